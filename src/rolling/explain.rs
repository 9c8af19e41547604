//! How drums and least diameters came about.

use crate::catalog::PaintSide;
use crate::diag::Derivation;
use crate::job::Job;
use crate::survey::Survey;
use crate::units::Length;
use crate::units::Money;
use crate::units::show_length;

use super::laminate::Bend;
use super::laminate::Laminate;
use super::outcome::Bending;
use super::outcome::Choice;
use super::outcome::Drum;
use super::outcome::Governs;

/// What stands beside every diameter.
const CAUTION: &str = "an aid to the conservator's judgement: age, cold and dry air shrink what paint takes; test on the real paint first";

/// Explains a panel's least diameter: layers, axis, strain in every state of bond.
pub(super) fn bending(
    job: &Job,
    panel: &str,
    laminate: &Laminate,
    bends: &[Bend],
    found: &Bending,
) -> Derivation {
    let show = |length| show_length(length, job.unit);
    let governs = match found.governs {
        Governs::Strain => "the strain in the paint",
        Governs::Floor => "the floor of common practice for its class",
    };
    let least = found.least_diameter;
    let mut derivation = Derivation::new(
        format!("bending/{panel}"),
        format!("least drum for panel {panel}, paint {}", side(job)),
        format!("{}, governed by {governs}; {CAUTION}", show(least)),
        "D = 2 (lever · reserve / limit − axis) in the worst state of bond, not under the floor; strain = lever / (D/2 + axis); axis = Σ E h y / Σ E h, above the face that lies on the drum",
    );
    for layer in laminate.layers() {
        let stiff = if layer.modulus > 0.0 {
            format!("E {} MPa", layer.modulus)
        } else {
            "not taken to stiffen".to_owned()
        };
        derivation = derivation.input(
            layer.name.clone(),
            format!(
                "{:.3} mm, {stiff}, {:.0} g/m²",
                layer.thickness.to_mm(),
                layer.grams_per_m2
            ),
        );
    }
    // A distance that rounds to nothing has no sign.
    let shown = |mm: f64| (mm * 1000.0).round() / 1000.0 + 0.0;
    for bend in bends {
        let text = format!(
            "axis {:.3} mm above the reverse; paint {:.3} to {:.3} mm from it; strain {:.5} on that drum",
            shown(bend.axis),
            shown(bend.inner),
            shown(bend.outer),
            bend.strain(least.to_mm())
        );
        derivation = derivation.input(bend.bond.words(), text);
    }
    derivation
        .input("facing", facing_words(bends))
        .input("limit", limit_words(found))
        .input("reserve", found.reserve)
        .input("floor", show(found.floor))
        .rounded("up to a whole millimetre")
        .source("limits: the class's row in strain.csv; transformed section of laminates")
}

/// Which way the paint faces.
const fn side(job: &Job) -> &'static str {
    match job.catalog.drum_kit.paint {
        PaintSide::Out => "outwards",
        PaintSide::In => "inwards",
    }
}

/// The limit, and whether the cold has lowered it.
fn limit_words(found: &Bending) -> String {
    if found.cold {
        format!(
            "{}, lowered by the cold at the job's coldest place",
            found.limit
        )
    } else {
        found.limit.to_string()
    }
}

/// What an adhered facing does to the axis.
fn facing_words(bends: &[Bend]) -> String {
    match bends {
        [all, painting, _] => format!(
            "firmly adhered it draws the axis from {:.3} to {:.3} mm, towards the paint; a resin that is soft or creeps loses that, so the drum does not count on it",
            painting.axis, all.axis
        ),
        _ => "none".to_owned(),
    }
}

/// Explains a drum.
pub(super) fn drum(job: &Job, survey: &Survey, drum: &Drum) -> Derivation {
    let show = |length| show_length(length, job.unit);
    let mut derivation = Derivation::new(
        format!("drum/{}", drum.id),
        format!("drum {}", drum.id),
        format!(
            "`{}`, {} in diameter, face {}, {} over the roll, {:.1} kg, sag {:.1} mm; {CAUTION}",
            drum.tube,
            show(drum.diameter),
            show(drum.face),
            show(drum.outside_diameter),
            drum.mass.to_kg(),
            drum.deflection.to_mm()
        ),
        "face = Σ across + gaps and end margins; L = π N (D + N t); sag = 5 w L⁴ / 384 E I + w L² / 8 k G A on bearings at the ends",
    );
    for rolled in &drum.panels {
        let Some(panel) = survey.panels.get(rolled.panel) else {
            continue;
        };
        let side = if rolled.along_width {
            "width"
        } else {
            "height"
        };
        let text = format!(
            "{side} wound up, {:.2} turns, strain {:.5} in the first and {:.5} in the last, face from {} for {}",
            rolled.turns,
            rolled.strain,
            rolled.last_strain,
            show(rolled.start),
            show(rolled.across)
        );
        derivation = derivation.input_from(panel.id.clone(), text, format!("bending/{}", panel.id));
    }
    let kit = &job.catalog.drum_kit;
    derivation
        .input("least diameter", show(drum.least_diameter))
        .input("strain in the paint", format!("{:.5} of {:.5} allowed before the reserve", drum.strain, drum.strain_limit))
        .input("wall stress at mid-span", format!("{:.2} MPa of {:.2} MPa that may be used in store", drum.loads.stress, drum.loads.stress_limit))
        .input("pressed where it lies", crush_words(drum))
        .input("on each bearing", format!("{:.0} N", drum.loads.bearing))
        .input("to turn it", format!("{:.0} N at the rim, against 150 to 200 N that a person may be asked to start a load with", drum.loads.turning))
        .input("order", "rolled in this order: as they stand in the job, what is needed first at the other end last, so that it comes off first")
        .input("end margin", show(kit.end_margin))
        .input("leader and tail, each", show(kit.leader))
        .input("looseness", format!("{} %", kit.looseness.value()))
        .input("most sag", format!("{:.1} mm", kit.sag_limit * Length::to_mm(drum.face)))
        .rounded("face up to a whole millimetre")
        .source("spiral and hollow beam: handbook formulas, shear included; the painting carries nothing; pushing: HSE filter for pushing and pulling, 20 or 15 kgf to start")
}

fn crush_words(drum: &Drum) -> String {
    drum.loads.crush.map_or_else(
        || "the catalogue gives no limit: lay it in wide cradles or hang it by its bar".to_owned(),
        |(load, limit)| format!("{load:.2} N/mm of {limit:.2} N/mm that may be used"),
    )
}

/// Explains the choice of drums.
pub(super) fn choice(job: &Job, choice: &Choice, drums: usize) -> Derivation {
    let sure = if choice.proven {
        "no choice costs less (proved)"
    } else {
        "not proved to be the cheapest"
    };
    let money = |money: Money| format!("{} {}", money.cents(), job.currency);
    Derivation::new(
        "drums/choice",
        "choice of drums",
        format!("{drums} drums for {}, {sure}", money(choice.cost)),
        "Σ stock tubes bought + drums × (kit by the piece + padding and film by area + boards of a crate round the padded tube) + interleaf",
    )
    .input("no choice can cost less than", money(choice.lower_bound))
    .rounded("unit prices up to a whole cent; the sum to a cent")
    .source("up to 30 paintings: linear program over filled stock tubes, those within the gap listed, the cheapest picked; beyond: rule of thumb beside a bound")
}
