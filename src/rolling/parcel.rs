//! The crate that a roll or a flat panel will need: its size inside and outside.

use crate::job::Job;
use crate::job::Site;
use crate::job::WayOut;
use crate::units::Length;

use super::way_out;

/// Sizes of a crate, each length, width and height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Parcel {
    /// Inside the boards.
    pub(crate) inside: [Length; 3],
    /// Over battens and skids.
    pub(crate) outside: [Length; 3],
}

impl Parcel {
    /// The crate of a drum: room for a cradle beyond each end of the face, and clearance round the finished roll.
    pub(crate) fn of_drum(job: &Job, face: Length, roll: Length) -> Self {
        let kit = &job.catalog.crate_kit;
        let round = roll + kit.clearance + kit.clearance;
        Self::around(
            job,
            [face + kit.end_clearance + kit.end_clearance, round, round],
        )
    }

    /// The crate with that inside.
    ///
    /// Boards close all six sides. Battens lie flat on them in frames round the crate and round both ends, and two skids lie under the
    /// frames.
    pub(crate) fn around(job: &Job, inside: [Length; 3]) -> Self {
        let (board, batten) = (board_thickness(job), batten_thickness(job));
        let shell = (board + batten) * 2;
        let [length, width, height] = inside;
        Self {
            inside,
            outside: [
                length + shell,
                width + shell,
                height + shell + skid_thickness(job),
            ],
        }
    }

    /// Says whether the crate passes every way out of the job.
    pub(crate) fn passes_all(&self, job: &Job) -> bool {
        ways_out(job).all(|(_, way)| way_out::gap(self.outside, way.kind).spare >= Length::ZERO)
    }
}

/// Every way out with its place.
pub(crate) fn ways_out(job: &Job) -> impl Iterator<Item = (&Site, &WayOut)> {
    job.places
        .iter()
        .flat_map(|site| site.ways_out.iter().map(move |way| (site, way)))
}

/// Thickness of the crate's boards; nothing where the catalogue does not say.
pub(crate) fn board_thickness(job: &Job) -> Length {
    thickness(job, &job.catalog.crate_kit.board)
}

/// Thickness of the crate's battens; nothing where the catalogue does not say.
pub(crate) fn batten_thickness(job: &Job) -> Length {
    thickness(job, &job.catalog.crate_kit.batten)
}

/// Thickness of the crate's skids; nothing where the catalogue does not say.
pub(crate) fn skid_thickness(job: &Job) -> Length {
    let kit = &job.catalog.crate_kit;
    thickness(job, kit.skid.as_ref().unwrap_or(&kit.batten))
}

fn thickness(job: &Job, id: &str) -> Length {
    job.catalog
        .materials
        .get(id)
        .and_then(|material| material.thickness)
        .unwrap_or(Length::ZERO)
}
