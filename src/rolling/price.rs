//! What a drum costs besides its tube, for choosing: kit by the piece, padding and film by area, and an estimate of its crate.

use std::f64::consts::PI;

use crate::catalog::Per;
use crate::catalog::Use;
use crate::job::Job;
use crate::units::Length;

use super::parcel::Parcel;
use super::serve::Dressing;
use super::serve::Roll;
use super::tube;
use super::tube::Tube;

/// Unit prices in cents, each the cheapest offer's for one pack, up to a whole cent; nothing where there is no offer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Prices<'a> {
    job: &'a Job,
    /// Kit that a drum takes by the piece.
    drum_each: f64,
    /// Kit that a crate takes by the piece.
    crate_each: f64,
    /// Padding and two layers of cover, a square metre of the tube's face.
    face_m2: f64,
    /// Interleaf, a square metre.
    interleaf_m2: f64,
    /// Boards of the crate, a square metre.
    board_m2: f64,
    /// What carries a panel that stays flat, a square metre.
    support_m2: f64,
}

/// What a drum on a tube costs: so much, and so much more a millimetre of its face, in cents.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct DrumCost {
    /// Whatever its face.
    pub(super) each: f64,
    /// A millimetre of face.
    pub(super) per_mm: f64,
}

impl DrumCost {
    /// The cost of a face, in cents.
    pub(super) fn of(&self, face: Length) -> f64 {
        self.each + self.per_mm * face.to_mm()
    }
}

impl<'a> Prices<'a> {
    /// Reads them off the job's catalogue.
    pub(super) fn of(job: &'a Job) -> Self {
        let (drum, packing) = (&job.catalog.drum_kit, &job.catalog.crate_kit);
        let area = |id: &Option<String>| id.as_deref().map_or(0.0, |id| per_m2(job, id));
        Self {
            job,
            drum_each: counted(job, &drum.uses, Per::Drum),
            crate_each: counted(job, &packing.uses, Per::Crate),
            face_m2: area(&drum.padding) + 2.0 * area(&drum.cover),
            interleaf_m2: area(&drum.interleaf),
            board_m2: per_m2(job, &packing.board),
            support_m2: per_m2(job, packing.support.as_ref().unwrap_or(&packing.board)),
        }
    }

    /// What a drum on a tube costs without the tube.
    ///
    /// # Formula
    /// Kit and crate kit by the piece; padding and two layers of cover on `π d · face`; boards on the six outer sides of a crate round the
    /// padded tube. The roll itself, which is the same whatever tube it is on, adds a few millimetres that the estimate leaves out.
    ///
    /// # Sources
    /// Our own estimate, to choose by; what is bought and charged is counted from the crates as built.
    pub(super) fn drum(&self, tube: &Tube<'_>, dressing: &Dressing) -> DrumCost {
        let at = |face: i64| self.with_face(tube, Length::whole_mm(face), dressing);
        DrumCost {
            each: at(0),
            per_mm: (at(10_000) - at(0)) / 10_000.0,
        }
    }

    /// What a face of its own with its drum and crate costs, tube included, in cents.
    pub(super) fn alone(&self, tube: &Tube<'_>, face: Length, dressing: &Dressing) -> f64 {
        tube.share(face) + self.drum(tube, dressing).of(face)
    }

    /// What a flat panel's support, no smaller than so much, and its crate cost: boards, support and kit by the piece, in cents.
    pub(super) fn flat(&self, support: [Length; 2], outside: [Length; 3]) -> f64 {
        let [width, height] = support;
        self.crate_each + (width * height).to_m2() * self.support_m2 + self.boards(outside)
    }

    /// What the boards of a crate cost, in cents.
    fn boards(&self, outside: [Length; 3]) -> f64 {
        let [length, width, height] = outside;
        let sides = (length * width).to_m2() + (length * height).to_m2() + (width * height).to_m2();
        2.0 * sides * self.board_m2
    }

    fn with_face(&self, tube: &Tube<'_>, face: Length, dressing: &Dressing) -> f64 {
        let covered = face.to_m() * PI * tube.diameter.to_m() * self.face_m2;
        let core = Length::mm(dressing.core(tube));
        self.drum_each
            + self.crate_each
            + covered
            + self.boards(Parcel::of_drum(self.job, face, core).outside)
    }

    /// What the interleaf of one painting costs, in cents.
    pub(super) fn interleaf(&self, roll: &Roll<'_>, along_width: bool, dressing: &Dressing) -> f64 {
        dressing.interleaf_m2(roll, along_width) * self.interleaf_m2
    }
}

/// What a kit's uses by the piece cost, in cents.
fn counted(job: &Job, uses: &[Use], per: Per) -> f64 {
    let uses = uses.iter().filter(|used| used.per == per);
    uses.map(|used| used.rate * unit(job, &used.material)).sum()
}

fn per_m2(job: &Job, id: &str) -> f64 {
    let material = job.catalog.materials.get(id);
    let area = material.and_then(|material| Some((material.width? * material.length?).to_m2()));
    area.filter(|area| *area > 0.0)
        .map_or(0.0, |area| unit(job, id) / area)
}

fn unit(job: &Job, id: &str) -> f64 {
    tube::cents(job, id).map_or(0.0, tube::from_u64)
}
