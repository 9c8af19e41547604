//! What goes into crates: drums, and flat panels on their trays.

use crate::job::Job;
use crate::job::PanelRow;
use crate::rolling::Drum;
use crate::rolling::Flat;
use crate::rolling::Rolling;
use crate::survey::Survey;
use crate::units::Length;
use crate::units::Mass;

use super::outcome::Content;
use super::tray;
use super::tray::Tray;

/// Mass of a painting in g/m² where nothing is known of it: the heavier of two weighed panoramas (trade.md section 2.4, R-1).
const HEAVY_PAINTING: f64 = 3_910.0;

/// A drum or a flat panel on its tray, as it is carried without a crate.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// Which it is.
    pub(super) content: Content,
    /// Along, across and up, as it stands in a crate.
    pub(super) size: [Length; 3],
    /// Its mass.
    pub(super) mass: Mass,
    /// The panels on it, indexes of the survey.
    pub(super) panels: Vec<usize>,
    /// How it is held.
    pub(super) held: Held,
}

/// How an item is held in a crate.
#[derive(Clone, Debug)]
pub(super) enum Held {
    /// A drum, by the bare face at both ends.
    Ends {
        /// Diameter of the tube.
        diameter: Length,
        /// Bare face at the end that has less of it.
        free: Length,
        /// How far the centre of mass lies beyond the middle of the face; negative before it.
        beyond: Length,
    },
    /// A tray, by pads round its edges.
    Edges(Tray),
}

/// Every drum, then every flat panel.
pub(super) fn items(job: &Job, survey: &Survey, rolling: &Rolling) -> Vec<Item> {
    let drums = rolling.drums.iter().enumerate();
    let drums = drums.map(|(index, drum)| of_drum(survey, rolling, index, drum));
    let flats = rolling.flats.iter();
    drums
        .chain(flats.filter_map(|flat| of_flat(job, survey, flat)))
        .collect()
}

impl Item {
    /// The row of its first panel.
    pub(super) fn row<'a>(&self, job: &'a Job, survey: &Survey) -> Option<&'a PanelRow> {
        job.panels
            .get(survey.panels.get(*self.panels.first()?)?.row)
    }

    /// Says whether it is a drum.
    pub(super) const fn is_drum(&self) -> bool {
        matches!(self.content, Content::Drum(_))
    }
}

fn of_drum(survey: &Survey, rolling: &Rolling, index: usize, drum: &Drum) -> Item {
    let ends = drum
        .panels
        .iter()
        .flat_map(|rolled| [rolled.start, drum.face - rolled.start - rolled.across]);
    Item {
        content: Content::Drum(index),
        size: [drum.face, drum.outside_diameter, drum.outside_diameter],
        mass: drum.mass,
        panels: drum.panels.iter().map(|rolled| rolled.panel).collect(),
        held: Held::Ends {
            diameter: drum.diameter,
            free: ends.min().unwrap_or_default(),
            beyond: beyond_the_middle(survey, rolling, drum),
        },
    }
}

/// Where the paintings' masses pull the drum's centre to; tube and interleaf lie evenly along the face.
fn beyond_the_middle(survey: &Survey, rolling: &Rolling, drum: &Drum) -> Length {
    let moment = drum.panels.iter().filter_map(|rolled| {
        let area = survey.panels.get(rolled.panel)?.area.to_m2();
        let bending = rolling.bending.get(rolled.panel)?.as_ref()?;
        let middle = rolled.start + rolled.across.half() - drum.face.half();
        Some(area * bending.grams_per_m2 * middle.to_mm())
    });
    let grams = drum.mass.to_g();
    if grams > 0.0 {
        Length::mm(moment.sum::<f64>() / grams)
    } else {
        Length::ZERO
    }
}

fn of_flat(job: &Job, survey: &Survey, flat: &Flat) -> Option<Item> {
    let panel = survey.panels.get(flat.panel)?;
    let tray = tray::tray(job, panel, flat.thickness);
    let known = Some(flat.grams_per_m2).filter(|grams| *grams > 0.0);
    let painting = known.unwrap_or(HEAVY_PAINTING) * panel.area.to_m2();
    Some(Item {
        content: Content::Flat(flat.panel),
        size: [tray.long, tray.depth, tray.short],
        mass: Mass::g(painting) + tray.mass(job),
        panels: vec![flat.panel],
        held: Held::Edges(tray),
    })
}
