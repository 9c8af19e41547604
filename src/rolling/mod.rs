//! Panels to drums: least diameter from the strain in the paint, tubes, turns, and what goes on a drum.
//!
//! *In*: job, survey, takeoff. *Out*: [`Rolling`]. *Rules*: laminate strain under the paint's limit with its reserve, never
//! under the common-practice floor; a painting is never cut to fit.

mod assign;
mod beam;
mod bound;
mod brim;
mod choose;
mod counted;
mod cut_tubes;
mod defend;
mod drum;
mod exact;
mod explain;
mod fill;
mod instead;
mod kit;
mod laminate;
mod layers;
mod least_diameter;
mod market;
mod outcome;
mod parcel;
mod price;
mod serve;
pub mod spiral;
mod tube;
mod way_out;

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::catalog::Give;
use crate::diag::Ledger;
use crate::diag::Level;
use crate::diag::Problem;
use crate::diag::Problems;
use crate::job::Job;
use crate::job::PanelRow;
use crate::job::RollAlong;
use crate::recipe::Recipe;
use crate::survey::Panel;
use crate::survey::Survey;
use crate::takeoff::Need;
use crate::takeoff::Takeoff;
use crate::units::Temperature;

use assign::Loaded;
use laminate::Bend;
use laminate::Laminate;
use layers::Faced;
use least_diameter::Allowed;
use serve::Dressing;
use serve::Kin;
use serve::Roll;
use tube::Tube;

pub(crate) use kit::Counts;
pub(crate) use kit::covering;
pub(crate) use kit::number;
pub(crate) use kit::uses_per;
pub(crate) use layers::grams_per_m2;
pub(crate) use parcel::Parcel;
pub(crate) use parcel::batten_thickness;
pub(crate) use parcel::board_thickness;
pub(crate) use parcel::skid_thickness;
pub(crate) use parcel::ways_out;
pub(crate) use way_out::gap;

pub use defend::Case;
pub use defend::Defence;
pub use defend::Ply;
pub use defend::State;
pub use defend::Way;
pub use defend::defend;
pub use outcome::Bending;
pub use outcome::Choice;
pub use outcome::Drum;
pub use outcome::Flat;
pub use outcome::Governs;
pub use outcome::Loads;
pub use outcome::Rolled;
pub use outcome::Rolling;
pub use outcome::Stands;
pub use outcome::TubeCut;

/// Puts every panel that may be rolled on a drum, and says why the others stay flat.
///
/// Problems: a warning at the row of a panel that no tube serves, with what would; notes on tubes and facing materials that are not
/// wholly described.
pub fn roll(
    job: &Job,
    survey: &Survey,
    takeoff: &Takeoff,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Rolling {
    let mut rolling = Rolling {
        bending: vec![None; survey.panels.len()],
        ..Rolling::default()
    };
    let rolls = gather(job, survey, takeoff, &mut rolling, ledger, problems);
    let tubes = tube::tubes(job, problems);
    let dressing = Dressing::of(job);
    let (assignment, choice) = choose::choose(job, &rolls, &tubes, &dressing);
    rolling.choice = choice;
    leave_flat(
        job,
        survey,
        (&rolls, &assignment.left),
        (&tubes, &dressing),
        &mut rolling,
        problems,
    );
    finish(
        job,
        (&assignment.drums, &rolls, &tubes),
        &dressing,
        &mut rolling,
    );
    for drum in &rolling.drums {
        ledger.record(explain::drum(job, survey, drum));
    }
    if !rolling.drums.is_empty() {
        ledger.record(explain::choice(job, &rolling.choice, rolling.drums.len()));
    }
    rolling.needs = needs(job, survey, &rolling, &dressing, problems);
    rolling
}

/// Works out how every panel bends that comes off the wall; those that may not be rolled go to the flats.
fn gather<'a>(
    job: &'a Job,
    survey: &Survey,
    takeoff: &Takeoff,
    rolling: &mut Rolling,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Vec<Roll<'a>> {
    let faced = faced(survey, takeoff);
    let mut unknown = BTreeSet::new();
    let mut rolls = Vec::new();
    for (index, (panel, faced)) in survey.panels.iter().zip(&faced).enumerate() {
        let Some(row) = job.panels.get(panel.row) else {
            continue;
        };
        let Some(recipe) = job
            .recipe_of(row)
            .filter(|recipe| layers::comes_off(recipe))
        else {
            continue;
        };
        let laminate = layers::laminate(job, (panel, row), recipe, faced, &mut unknown);
        match roll_of(job, (index, panel, row), recipe, &laminate, ledger) {
            Ok(roll) => {
                if let Some(slot) = rolling.bending.get_mut(index) {
                    *slot = Some(roll.bending.clone());
                }
                rolls.push(roll);
            }
            Err(why) => rolling.flats.push(Flat {
                panel: index,
                why,
                instead: Vec::new(),
                thickness: laminate.thickness(),
                grams_per_m2: laminate.grams_per_m2(),
            }),
        }
    }
    for id in unknown {
        problems.note(
            None,
            format!("thickness or modulus of `{id}` is not known: as a facing it is not taken to stiffen the roll"),
            "add both to its row in materials.csv to see how the facing spares the paint",
        );
    }
    rolls
}

/// What was laid and brushed, by panel.
fn faced<'a>(survey: &Survey, takeoff: &'a Takeoff) -> Vec<Faced<'a>> {
    let mut faced = vec![Faced::default(); survey.panels.len()];
    for laid in &takeoff.layers {
        if let Some(panel) = faced.get_mut(laid.panel) {
            panel.laid.push(laid);
        }
    }
    for brushed in &takeoff.solutions {
        if let Some(panel) = faced.get_mut(brushed.panel) {
            panel.brushed.push(brushed);
        }
    }
    faced
}

/// The coldest place of the job, where paintings are rolled or unrolled.
fn coldest(job: &Job) -> Option<Temperature> {
    let temperatures = job.places.iter().map(|site| site.temperature);
    temperatures.min_by(|a, b| a.to_celsius().total_cmp(&b.to_celsius()))
}

/// Makes a panel ready for rolling, or says why it may not be rolled.
fn roll_of<'a>(
    job: &'a Job,
    (index, panel, row): (usize, &Panel, &'a PanelRow),
    recipe: &Recipe,
    laminate: &Laminate,
    ledger: &mut Ledger,
) -> Result<Roll<'a>, String> {
    if row.give == Give::None {
        return Err("its paint takes no bending (`give` none)".to_owned());
    }
    if layers::roll_step(recipe).is_none() {
        return Err(format!("recipe `{}` does not roll it", row.recipe));
    }
    let class = job.catalog.strains.get(&row.give);
    let class = class.ok_or_else(|| format!("strain.csv has no row for `{}`", row.give.name()))?;
    let bends = laminate.bends(job.catalog.drum_kit.paint);
    let allowed = Allowed::at(class, coldest(job));
    let bending = least_diameter::bending(laminate, &bends, &allowed);
    let bending = bending.ok_or("what strain its paint takes, or its paint layer, is not known")?;
    ledger.record(explain::bending(job, &panel.id, laminate, &bends, &bending));
    Ok(ready((index, panel, row), (bends, bending), class.turns))
}

/// A panel with how it bends, ready for tubes.
fn ready<'a>(
    (index, panel, row): (usize, &Panel, &'a PanelRow),
    (bends, bending): (Vec<Bend>, Bending),
    most_turns: f64,
) -> Roll<'a> {
    Roll {
        panel: index,
        kin: Kin {
            recipe: &row.recipe,
            mould: row.mould,
            destination: &row.destination,
            return_date: row.return_date,
        },
        return_order: row.return_order,
        size: (panel.width, panel.height),
        grams: panel.area.to_m2() * bending.grams_per_m2,
        bends,
        bending,
        most_turns,
        axes: match row.roll_along {
            RollAlong::Auto => instead::BOTH,
            RollAlong::Width => &[true],
            RollAlong::Height => &[false],
        },
    }
}

/// Leaves flat what no tube serves, with a warning a row.
fn leave_flat(
    job: &Job,
    survey: &Survey,
    (rolls, left): (&[Roll<'_>], &[usize]),
    (tubes, dressing): (&[Tube<'_>], &Dressing),
    rolling: &mut Rolling,
    problems: &mut Problems,
) {
    let mut warned = BTreeSet::new();
    for roll in left.iter().filter_map(|index| rolls.get(*index)) {
        let Some(panel) = survey.panels.get(roll.panel) else {
            continue;
        };
        let Some(row) = job.panels.get(panel.row) else {
            continue;
        };
        let flat = instead::flat(job, row, roll, tubes, dressing);
        if warned.insert(panel.row) {
            let text = format!(
                "panel `{}` cannot be rolled and stays flat: {}",
                row.panel, flat.why
            );
            let help = flat.instead.clone();
            problems.push(Problem {
                level: Level::Warning,
                place: Some(row.at.clone()),
                text,
                help,
            });
        }
        rolling.flats.push(flat);
    }
    rolling.flats.sort_by_key(|flat| flat.panel);
}

/// Numbers the drums, cuts their faces, and names the stock tube that each was cut from.
fn finish(
    job: &Job,
    (drums, rolls, tubes): (&[Loaded], &[Roll<'_>], &[Tube<'_>]),
    dressing: &Dressing,
    rolling: &mut Rolling,
) {
    let numbered = (1_usize..).zip(drums);
    let made = numbered.filter_map(|(number, loaded)| {
        Some((
            drum::drum(number, loaded, (rolls, tubes), dressing)?,
            loaded.tube,
        ))
    });
    let made: Vec<(Drum, usize)> = made.collect();
    let faces = made
        .iter()
        .map(|(drum, tube)| (drum.id.as_str(), *tube, drum.face));
    rolling.tube_cuts = cut_tubes::cut_tubes(job, &faces.collect::<Vec<_>>(), tubes);
    rolling.drums = made.into_iter().map(|(drum, _)| drum).collect();
    let pieces = rolling.tube_cuts.iter();
    let from: BTreeMap<&str, &str> = pieces
        .flat_map(|cut| {
            cut.pieces
                .iter()
                .map(|(id, _)| (id.as_str(), cut.material.as_str()))
        })
        .collect();
    for drum in &mut rolling.drums {
        if let Some(material) = from.get(drum.id.as_str()) {
            (*material).clone_into(&mut drum.tube);
        }
    }
}

/// Everything that drums take; notes what could not be counted.
fn needs(
    job: &Job,
    survey: &Survey,
    rolling: &Rolling,
    dressing: &Dressing,
    problems: &mut Problems,
) -> Vec<Need> {
    let mut kit = kit::Kit::default();
    kit.tubes(job, survey, &rolling.drums, &rolling.tube_cuts);
    for (index, drum) in rolling.drums.iter().enumerate() {
        kit.drum(job, survey, dressing, drum, index == 0);
    }
    for id in kit.uncounted {
        problems.note(
            None,
            format!("how much of `{id}` the drums take cannot be counted"),
            "give its width and length in materials.csv, or count its use by the drum, panel, m2 or m-edge",
        );
    }
    kit.needs
}
