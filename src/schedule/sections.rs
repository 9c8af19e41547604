//! Steps that must be finished in a day but are more than a day's work or a day's air, split into day sections.

use crate::catalog::Per;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;

use super::Given;
use super::draft::Before;
use super::draft::Draft;
use super::pace;

/// Splits every draft that even the largest crew cannot finish within the longest day of its place (the longest stretch without a break,
/// where it may not pause), or that gives off more vapour than a day's air takes up, into equal sections, one after the other.
///
/// Only work that goes on over the area can be split: a painting is not rolled by halves.
pub(super) fn split<'a>(given: &Given<'a>, drafts: Vec<Draft<'a>>) -> Vec<Draft<'a>> {
    let mut split: Vec<Draft<'a>> = Vec::with_capacity(drafts.len());
    // Where each draft's last section stands.
    let mut last = Vec::with_capacity(drafts.len());
    let counts: Vec<u32> = drafts.iter().map(|draft| sections(given, draft)).collect();
    let mut ends = 0;
    for &count in &counts {
        ends += usize::try_from(count).unwrap_or(1);
        last.push(ends - 1);
    }
    for (draft, count) in drafts.into_iter().zip(counts) {
        let after: Vec<Before> = draft
            .after
            .iter()
            .map(|before| Before {
                draft: last.get(before.draft).copied().unwrap_or(before.draft),
                ..*before
            })
            .collect();
        for section in 0..count {
            let mut part = section_of(given, &draft, section, count);
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

/// One of so many equal sections of a draft, with the time that the hour's air lets it take.
fn section_of<'a>(given: &Given<'_>, draft: &Draft<'a>, section: u32, count: u32) -> Draft<'a> {
    let mut part = draft.clone();
    if count > 1 {
        part.id = format!("{}/{}", draft.id, section + 1);
        part.work = share(draft.work, section, count);
        part.air_m3 = draft.air_m3 / f64::from(count);
    }
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

/// The minutes of one of so many equal sections; the first ones take what does not divide.
fn share(work: u32, section: u32, count: u32) -> u32 {
    work / count + u32::from(section < work % count)
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
            ..section_of(given, draft, 0, *count)
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
