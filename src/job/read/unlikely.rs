//! What a job can say and seldom means: warnings, so that a lost unit or a swapped number is seen before it is priced.

use crate::diag::Problems;
use crate::input::Row;
use crate::input::Section;
use crate::units::Length;
use crate::units::usual;

use super::panels::Panel;
use super::panels::Size;
use super::settings::Settings;
use crate::job::PanelRow;
use crate::job::Person;

/// Years from the first working day to the hand-over beyond which one of the two is doubted.
const YEARS: i16 = 3;

/// How many times what others cost a person may cost before it is doubted.
const TIMES: u32 = 20;

/// Warns of a panel of unusual size, thickness or mass.
pub(super) fn panel(row: &Row<'_>, panel: &PanelRow, size: Option<Size>, problems: &mut Problems) {
    let written = |heading| {
        let own = row.field(heading);
        if own.is_blank() {
            row.field("size")
        } else {
            own
        }
    };
    let (width, height) = size
        .map(|(width, height)| (width.to_mm(), height.to_mm()))
        .unzip();
    let before = problems.iter().count();
    written("height").doubt(height, usual::PANEL_HEIGHT, problems);
    // Both sides in one cell are doubted once.
    if row.field("size").is_blank() || problems.iter().count() == before {
        written("width").doubt(width, usual::PANEL_WIDTH, problems);
    }
    row.field("thickness").doubt(
        panel.thickness.map(Length::to_mm),
        usual::THICKNESS,
        problems,
    );
    row.field("mass")
        .doubt(panel.grams_per_m2, usual::AREAL_MASS, problems);
}

/// Warns of paintings that go back before work begins.
pub(super) fn returns(panels: &[Panel], settings: &Settings, problems: &mut Problems) {
    for panel in panels {
        let row = &panel.row;
        if let Some((back, first)) = row
            .return_date
            .zip(settings.first_day)
            .filter(|(back, first)| back < first)
        {
            problems.warning(
                Some(row.at.clone()),
                format!(
                    "`{}` goes back on {back}, before the first working day, {first}",
                    row.panel
                ),
                "check `return_date`; leave it if it is right",
            );
        }
    }
}

/// Warns of people who cost more than is charged for them, or many times what others cost.
pub(super) fn pay(root: &Section<'_>, people: &[Person], problems: &mut Problems) {
    // Problems of the tables themselves are told where they are read.
    let sections = root.field("person").sections(&mut Problems::new());
    let least = people
        .iter()
        .map(|person| person.cost.amount())
        .filter(|cost| !cost.is_zero())
        .min();
    for (section, person) in sections.iter().zip(people) {
        if person.charge < person.cost {
            let text = format!(
                "an hour of `{}` is charged at {} and costs {}",
                person.name, person.charge, person.cost
            );
            section.field("charge").warning(
                text,
                "check whether the two were swapped; leave them if the loss is meant",
                problems,
            );
        }
        let cost = section.field("cost");
        if least
            .is_some_and(|least| person.cost.amount() > least * rust_decimal::Decimal::from(TIMES))
        {
            let text = format!(
                "`{}` is more than {TIMES} times what another person costs",
                cost.shown()
            );
            cost.warning(
                text,
                "check the decimal sign; leave it if it is right",
                problems,
            );
        }
    }
}

/// Warns of a hand-over years after the first day.
pub(super) fn days(root: &Section<'_>, settings: &Settings, problems: &mut Problems) {
    let Some((first, last)) = settings.first_day.zip(settings.hand_over) else {
        return;
    };
    if last.year() - first.year() > YEARS {
        let text =
            format!("`{last}` is more than {YEARS} years after the first working day, `{first}`");
        root.field("hand_over")
            .warning(text, "check the year; leave it if it is right", problems);
    }
}
