//! Steps that must be finished in a day but are more than a day's work, split into day sections.

use super::Given;
use super::draft::Before;
use super::draft::Draft;

/// Splits every draft that even the largest crew cannot finish within the longest day of its place (the longest stretch without a break,
/// where it may not pause) into equal sections, one after the other.
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
            let mut part = Draft {
                after: after.clone(),
                ..draft.clone()
            };
            if count > 1 {
                part.id = format!("{}/{}", draft.id, section + 1);
                part.work = share(draft.work, section, count);
                part.air_m3 = draft.air_m3 / f64::from(count);
            }
            if section > 0 {
                part.after = vec![Before::directly(split.len() - 1)];
            }
            split.push(part);
        }
    }
    split
}

/// The minutes of one of so many equal sections; the first ones take what does not divide.
fn share(work: u32, section: u32, count: u32) -> u32 {
    work / count + u32::from(section < work % count)
}

fn sections(given: &Given<'_>, draft: &Draft<'_>) -> u32 {
    let Some((_, step)) = draft
        .step
        .filter(|(_, step)| step.same_day || !step.pausable)
    else {
        return 1;
    };
    let Some(site) = given.job.places.get(draft.place) else {
        return 1;
    };
    let stretch = |hours: &Vec<(u16, u16)>| {
        let lengths = hours
            .iter()
            .map(|(from, to)| u32::from(to.saturating_sub(*from)));
        if step.pausable {
            lengths.sum::<u32>()
        } else {
            lengths.max().unwrap_or(0)
        }
    };
    let longest = site.hours.iter().map(stretch).max().unwrap_or(0);
    let skilled: u32 = given
        .job
        .people
        .iter()
        .filter(|row| row.skills.contains(&step.skill))
        .map(|row| row.count)
        .sum();
    let crew = step.crew.1.min(skilled).max(1);
    match longest.saturating_mul(crew) {
        0 => 1,
        day => draft.work.div_ceil(day).max(1),
    }
}
