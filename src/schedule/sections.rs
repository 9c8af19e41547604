//! Steps that must be finished in a day but are more than a day's work or a day's air, split into day sections.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::catalog::Per;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;
use crate::takeoff::LaidLayer;

use super::Given;
use super::draft::Before;
use super::draft::Draft;
use super::pace;

/// Splits every draft that even the largest crew cannot finish within the longest day of its place (the longest stretch without a break,
/// where it may not pause), or that gives off more vapour than a day's air takes up, into sections, one after the other: along the
/// seams of the sheets where it lays any, else into equal ones.
///
/// Only work that goes on over the area can be split: a painting is not rolled by halves.
pub(super) fn split<'a>(given: &Given<'a>, drafts: Vec<Draft<'a>>) -> Vec<Draft<'a>> {
    let mut split: Vec<Draft<'a>> = Vec::with_capacity(drafts.len());
    // Where each draft's last section stands.
    let mut last = Vec::with_capacity(drafts.len());
    let layers = layers(given);
    let parted: Vec<Vec<Part>> = drafts
        .iter()
        .map(|draft| parts(given, &layers, draft))
        .collect();
    let mut ends = 0;
    for parts in &parted {
        ends += parts.len().max(1);
        last.push(ends - 1);
    }
    for (draft, parts) in drafts.into_iter().zip(parted) {
        let after: Vec<Before> = draft
            .after
            .iter()
            .map(|before| Before {
                draft: last.get(before.draft).copied().unwrap_or(before.draft),
                ..*before
            })
            .collect();
        let split_up = parts.len() > 1;
        for (section, of) in parts.into_iter().enumerate() {
            let mut part = section_of(given, &draft, &of);
            if split_up {
                part.id = format!("{}/{}", draft.id, section + 1);
                part.sheets = of.sheets;
            }
            part.after = if section > 0 {
                vec![Before::directly(split.len() - 1)]
            } else {
                after.clone()
            };
            split.push(part);
        }
    }
    split
}

/// A part of a draft: from one share of it to another, and the sheets that it lays.
#[derive(Clone, Debug)]
struct Part {
    from: f64,
    to: f64,
    sheets: Option<Range<usize>>,
}

impl Part {
    /// One of so many equal parts.
    fn equal(section: u32, count: u32) -> Self {
        Self {
            from: f64::from(section) / f64::from(count),
            to: f64::from(section + 1) / f64::from(count),
            sheets: None,
        }
    }
}

/// The layers laid, by panel and step.
type Layers<'a> = BTreeMap<(usize, usize), &'a LaidLayer>;

fn layers<'a>(given: &Given<'a>) -> Layers<'a> {
    let layers = given.takeoff.layers.iter();
    layers
        .map(|layer| ((layer.panel, layer.step), layer))
        .collect()
}

/// The parts of a draft: along the seams of its sheets where it lays any, else equal ones.
fn parts(given: &Given<'_>, layers: &Layers<'_>, draft: &Draft<'_>) -> Vec<Part> {
    let count = sections(given, draft);
    let layer = draft
        .panel
        .zip(draft.step)
        .and_then(|(panel, (step, _))| layers.get(&(panel, step)));
    // Of a layer that is begun, nobody has said which sheets hang.
    let Some(layer) = layer.filter(|_| count > 1 && !draft.begun) else {
        return (0..count)
            .map(|section| Part::equal(section, count))
            .collect();
    };
    let sections = layer.sections(1.0 / f64::from(count));
    let total: f64 = sections.iter().map(|section| section.laid.to_m2()).sum();
    let mut laid = 0.0;
    sections
        .into_iter()
        .map(|section| {
            let from = laid / total.max(f64::MIN_POSITIVE);
            laid += section.laid.to_m2();
            Part {
                from,
                to: laid / total.max(f64::MIN_POSITIVE),
                sheets: Some(section.pieces),
            }
        })
        .collect()
}

/// A part of a draft, with the time that the hour's air lets it take.
fn section_of<'a>(given: &Given<'_>, draft: &Draft<'a>, of: &Part) -> Draft<'a> {
    let mut part = draft.clone();
    part.work = share(draft.work, of);
    part.air_m3 = draft.air_m3 * (of.to - of.from);
    let air = given
        .exposure
        .air
        .iter()
        .find(|air| air.place == draft.place);
    if let Some(fresh) = air
        .and_then(|air| air.fresh_m3_h)
        .filter(|fresh| *fresh > 0.0)
    {
        part.air_minutes = super::work::rounded_up(60.0 * part.air_m3 / fresh);
    }
    part
}

/// The minutes of a part: what is done by its end less what was done by its start, so that the parts add up to the whole.
fn share(work: u32, of: &Part) -> u32 {
    // A millionth of a minute is the noise of sums of fractions.
    let by = |share: f64| super::work::rounded_up((f64::from(work) * share).min(f64::from(work)));
    by(of.to).saturating_sub(by(of.from))
}

/// No step is split into more sections than this.
const MOST: u32 = 2_000;

fn sections(given: &Given<'_>, draft: &Draft<'_>) -> u32 {
    let splits = |step: &Step| (step.same_day || !step.pausable) && by_area(step);
    let Some((_, step)) = draft.step.filter(|(_, step)| splits(step)) else {
        return 1;
    };
    let longest = longest(given, draft, step);
    let skilled: u32 = given
        .job
        .people
        .iter()
        .filter(|row| row.skills.contains(&step.skill))
        .map(|row| row.count)
        .sum();
    let crew = step.crew.1.min(skilled).max(step.crew.0).max(1);
    let moving = super::standing::tower(given, draft)
        .and_then(|(tower, _)| given.job.equipment.get(tower))
        .map_or(0, |row| row.moving_minutes);
    let fits = |count: &u32| {
        let part = Draft {
            moving,
            ..section_of(given, draft, &Part::equal(0, *count))
        };
        pace::of_crew(&part, step, crew) <= longest
    };
    let day =
        f64::from(i32::try_from(longest.max(1)).unwrap_or(i32::MAX)) * pace::speed(step, crew);
    let least = work_sections(draft.work, day).max(air_sections(given, draft));
    // A day that is too short even for the smallest section is said as an error by the engine.
    (least..=MOST).find(fits).unwrap_or(1)
}

/// Whether the work goes on over the area: sheets are laid, something is brushed on, or minutes are counted by the square metre.
fn by_area(step: &Step) -> bool {
    let rule = step.kind.rule();
    let counted = step.work.iter().any(|work| work.per == Per::M2);
    step.kind != StepKind::Roll && (rule.lays || rule.brushes || counted)
}

/// The most minutes that are worked at the place on one day, or without a break where the step may not pause.
fn longest(given: &Given<'_>, draft: &Draft<'_>, step: &Step) -> i64 {
    let Some(site) = given.job.places.get(draft.place) else {
        return 0;
    };
    let week = super::hours::of(site, step.when);
    let stretch = |hours: &Vec<(u16, u16)>| {
        let lengths = hours
            .iter()
            .map(|(from, to)| i64::from(to.saturating_sub(*from)));
        if step.pausable {
            lengths.sum::<i64>()
        } else {
            lengths.max().unwrap_or(0)
        }
    };
    week.iter().map(stretch).max().unwrap_or(0)
}

fn work_sections(work: u32, day: f64) -> u32 {
    super::work::rounded_up(f64::from(work) / day.max(1.0)).clamp(1, MOST)
}

/// Sections that each keep to a day's air.
fn air_sections(given: &Given<'_>, draft: &Draft<'_>) -> u32 {
    let air = given
        .exposure
        .air
        .iter()
        .find(|air| air.place == draft.place);
    let day = air.and_then(|air| air.day_m3).filter(|day| *day >= 1.0);
    day.map_or(1, |day| super::work::rounded_up(draft.air_m3 / day.floor()))
        .clamp(1, MOST)
}
