//! Whether a tube serves a painting: diameter, length, turns, sag and stress.

use std::f64::consts::PI;

use jiff::civil::Date;

use crate::catalog::Material;
use crate::job::Job;
use crate::units::Length;

use super::beam;
use super::laminate::Bend;
use super::layers::grams_per_m2;
use super::outcome::Bending;
use super::outcome::Loads;
use super::spiral;
use super::tube::Tube;

/// Paintings share a drum only where all of this is alike: treated by one recipe, mouldy or not, for one destination and day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Kin<'a> {
    /// The recipe's id.
    pub(super) recipe: &'a str,
    /// Mouldy paintings keep to themselves.
    pub(super) mould: bool,
    /// Where they go.
    pub(super) destination: &'a str,
    /// When they are needed there.
    pub(super) return_date: Option<Date>,
}

/// A painting to be rolled.
#[derive(Clone, Debug)]
pub(super) struct Roll<'a> {
    /// The panel, an index of the survey.
    pub(super) panel: usize,
    /// Whom it may share a drum with.
    pub(super) kin: Kin<'a>,
    /// Its turn at its destination; 1 is needed first.
    pub(super) return_order: Option<u32>,
    /// Width and height.
    pub(super) size: (Length, Length),
    /// Mass of the painting with its facing, in grams.
    pub(super) grams: f64,
    /// How its paint stands off the axis.
    pub(super) bends: Vec<Bend>,
    /// Its least drum.
    pub(super) bending: Bending,
    /// The most turns its class allows.
    pub(super) most_turns: f64,
    /// The ways it may be wound: true winds the width.
    pub(super) axes: &'static [bool],
}

impl Roll<'_> {
    /// How much of the face it takes.
    pub(super) const fn across(&self, along_width: bool) -> Length {
        if along_width {
            self.size.1
        } else {
            self.size.0
        }
    }

    /// How much is wound up, without leader and tail.
    pub(super) const fn along(&self, along_width: bool) -> Length {
        if along_width {
            self.size.0
        } else {
            self.size.1
        }
    }
}

/// What the drum kit adds to every drum, worked out once.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Dressing {
    /// Free face at each end, and between two paintings.
    pub(super) margin: Length,
    /// Leader and tail, each.
    pub(super) leader: Length,
    /// How far the interleaf stands out.
    pub(super) interleaf_margin: Length,
    /// Thickness of padding and cover on the tube, in mm.
    padding_mm: f64,
    /// Thickness of the interleaf, in mm.
    interleaf_mm: f64,
    /// Mass of the interleaf in g/m².
    interleaf_grams: f64,
    /// Mass of padding and covers in g/m² of the tube's face.
    face_grams: f64,
    /// How much looser than its thickness the roll is wound.
    looseness: f64,
    /// The most sag as a fraction of the face.
    sag_limit: f64,
    /// The share of strength that may be used.
    stress_share: f64,
    /// Diameter of the bar on which the drum turns, in mm.
    bar: f64,
}

impl Dressing {
    /// Reads the job's drum kit.
    pub(super) fn of(job: &Job) -> Self {
        let kit = &job.catalog.drum_kit;
        let find = |id: &Option<String>| id.as_ref().and_then(|id| job.catalog.materials.get(id));
        let (padding, cover, interleaf) =
            (find(&kit.padding), find(&kit.cover), find(&kit.interleaf));
        let thick = |material: Option<&Material>| {
            material
                .and_then(|m| m.thickness)
                .map_or(0.0, Length::to_mm)
        };
        let heavy = |material: Option<&Material>| material.and_then(grams_per_m2).unwrap_or(0.0);
        Self {
            margin: kit.end_margin,
            leader: kit.leader,
            interleaf_margin: kit.interleaf_margin,
            padding_mm: thick(padding) + thick(cover),
            interleaf_mm: thick(interleaf),
            interleaf_grams: heavy(interleaf),
            face_grams: heavy(padding) + 2.0 * heavy(cover),
            looseness: kit.looseness.to_f64(),
            sag_limit: kit.sag_limit,
            stress_share: kit.stress_share,
            bar: kit.bar.to_mm(),
        }
    }

    /// Thickness of one wrap in mm: painting and facing, wound loosely, and the interleaf.
    pub(super) fn wrap(&self, roll: &Roll<'_>) -> f64 {
        roll.bending.thickness.to_mm() * (1.0 + self.looseness) + self.interleaf_mm
    }

    /// Diameter of the padded tube in mm, on which the painting is wound.
    pub(super) fn core(&self, tube: &Tube<'_>) -> f64 {
        tube.diameter.to_mm() + 2.0 * self.padding_mm
    }

    /// Length wound up, leader and tail included.
    pub(super) fn wound(&self, roll: &Roll<'_>, along_width: bool) -> Length {
        roll.along(along_width) + self.leader + self.leader
    }

    /// The face for one painting alone, up to a whole millimetre.
    pub(super) fn face(&self, across: Length) -> Length {
        Length::whole_mm(self.margin.to_mm_up() + self.width(across))
    }

    /// What one painting takes of a face with one margin, in whole millimetres.
    pub(super) fn width(&self, across: Length) -> i64 {
        (across + self.margin).to_mm_up()
    }

    /// Mass of padding and covers in grams a millimetre of face.
    pub(super) fn grams_per_mm(&self, tube: &Tube<'_>) -> f64 {
        self.face_grams * PI * tube.diameter.to_m() / 1_000.0
    }

    /// Mass of the interleaf with one painting, in grams.
    pub(super) fn interleaf_of(&self, roll: &Roll<'_>, along_width: bool) -> f64 {
        self.interleaf_m2(roll, along_width) * self.interleaf_grams
    }

    /// Area of the interleaf with one painting, in m².
    pub(super) fn interleaf_m2(&self, roll: &Roll<'_>, along_width: bool) -> f64 {
        let out = self.interleaf_margin + self.interleaf_margin;
        let (along, across) = (
            self.wound(roll, along_width) + out,
            roll.across(along_width) + out,
        );
        (along * across).to_m2()
    }
}

/// How a painting lies on a tube that serves it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Winding {
    /// True where the width is wound up.
    pub(super) along_width: bool,
    /// Its turns, leader and tail included.
    pub(super) turns: f64,
    /// Diameter over the roll.
    pub(super) outside: Length,
    /// How much of the face it takes.
    pub(super) across: Length,
    /// Mass of painting and interleaf in grams.
    pub(super) grams: f64,
}

/// Why a tube does not serve; the first that bars it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Refusal {
    /// The paint would be strained too much.
    Slender,
    /// The face would have to be longer than the tube.
    Short,
    /// More turns than the class allows.
    Turns(f64),
    /// It would sag more than allowed, in mm.
    Sags(f64, f64),
    /// Its wall would be bent harder than allowed, in MPa.
    Weak(f64, f64),
    /// It would be pressed flatter than allowed where it lies, in N/mm.
    Crushed(f64, f64),
}

/// Says how a painting lies on a tube alone on a face of its own, or why it may not.
pub(super) fn serve(
    roll: &Roll<'_>,
    tube: &Tube<'_>,
    along_width: bool,
    dressing: &Dressing,
) -> Result<Winding, Refusal> {
    if tube.diameter < roll.bending.least_diameter {
        return Err(Refusal::Slender);
    }
    let across = roll.across(along_width);
    let face = dressing.face(across);
    if face > tube.length() {
        return Err(Refusal::Short);
    }
    let winding = wind(roll, tube, along_width, dressing);
    if winding.turns > roll.most_turns {
        return Err(Refusal::Turns(winding.turns));
    }
    bear(tube, face, line_load(&winding), dressing)?;
    Ok(winding)
}

/// The turns on a bare diameter with the usual padding.
pub(super) fn turns_on(
    roll: &Roll<'_>,
    diameter: Length,
    along_width: bool,
    dressing: &Dressing,
) -> f64 {
    let wound = dressing.wound(roll, along_width).to_mm();
    let core = diameter.to_mm() + 2.0 * dressing.padding_mm;
    spiral::turns(core, dressing.wrap(roll), wound)
}

/// How a painting lies on a tube, whatever the limits.
pub(super) fn wind(
    roll: &Roll<'_>,
    tube: &Tube<'_>,
    along_width: bool,
    dressing: &Dressing,
) -> Winding {
    let (core, wrap) = (dressing.core(tube), dressing.wrap(roll));
    let wound = dressing.wound(roll, along_width).to_mm();
    Winding {
        along_width,
        turns: spiral::turns(core, wrap, wound),
        outside: Length::mm(spiral::outside_diameter(core, wrap, wound)),
        across: roll.across(along_width),
        grams: roll.grams + dressing.interleaf_of(roll, along_width),
    }
}

/// Mass of a wound painting in grams a millimetre of face.
pub(super) fn line_load(winding: &Winding) -> f64 {
    winding.grams / winding.across.to_mm().max(1.0)
}

/// Returns the sag in mm of a drum whose heaviest painting weighs so many grams a millimetre all along its face, or why it may not.
pub(super) fn bear(
    tube: &Tube<'_>,
    face: Length,
    heaviest: f64,
    dressing: &Dressing,
) -> Result<f64, Refusal> {
    let load = beam::load_of(heaviest + tube.grams_per_mm + dressing.grams_per_mm(tube));
    let span = face.to_mm();
    let (bending, shear) = beam::sag(tube.section, tube.modulus, load, span);
    let sag = bending + shear;
    let allowed = dressing.sag_limit * span;
    if sag > allowed {
        return Err(Refusal::Sags(sag, allowed));
    }
    let stress = beam::bending_stress(tube.section, load, span);
    let bearable = dressing.stress_share * tube.strength;
    if stress > bearable {
        return Err(Refusal::Weak(stress, bearable));
    }
    if let Some(limit) = tube.crush.map(|crush| crush * dressing.stress_share)
        && load > limit
    {
        return Err(Refusal::Crushed(load, limit));
    }
    Ok(sag)
}

/// How hard a tube is used by a drum that bears.
pub(super) fn loads(
    tube: &Tube<'_>,
    face: Length,
    heaviest: f64,
    grams: f64,
    dressing: &Dressing,
) -> Loads {
    let load = beam::load_of(heaviest + tube.grams_per_mm + dressing.grams_per_mm(tube));
    let weight = beam::load_of(grams);
    Loads {
        stress: beam::bending_stress(tube.section, load, face.to_mm()),
        stress_limit: dressing.stress_share * tube.strength,
        bearing: weight / 2.0,
        crush: tube
            .crush
            .map(|crush| (load, crush * dressing.stress_share)),
        turning: beam::turning_force(weight, dressing.bar, tube.diameter.to_mm()),
    }
}
