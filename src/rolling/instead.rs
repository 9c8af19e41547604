//! What would let a painting be rolled that no tube serves.

use crate::job::Job;
use crate::job::PanelRow;
use crate::units::Length;
use crate::units::show_length;

use super::outcome::Flat;
use super::serve;
use super::serve::Dressing;
use super::serve::Refusal;
use super::serve::Roll;
use super::spiral;
use super::tube::Tube;

/// Both ways of winding.
pub(super) const BOTH: &[bool] = &[false, true];

/// Says why no tube serves a painting, and everything that would let it be rolled.
pub(super) fn flat(
    job: &Job,
    row: &PanelRow,
    roll: &Roll<'_>,
    tubes: &[Tube<'_>],
    dressing: &Dressing,
) -> Flat {
    let nearest = nearest_tube(roll, tubes, dressing);
    let mut instead = Vec::new();
    instead.push(better_tube(job, roll, nearest, dressing));
    instead.extend(other_axis(roll, tubes, dressing));
    instead.extend(own_seams(job, row, roll, tubes, dressing));
    instead
        .push("carry it flat: faced, detached in plane and crated on a support board".to_owned());
    Flat {
        panel: roll.panel,
        why: why(job, roll, nearest),
        instead,
        thickness: roll.bending.thickness,
        grams_per_m2: roll.bending.grams_per_m2,
    }
}

/// The tube and axis that come nearest to serving, with what bars them.
type Nearest<'a> = Option<(&'a Tube<'a>, bool, Refusal)>;

fn nearest_tube<'a>(roll: &Roll<'_>, tubes: &'a [Tube<'a>], dressing: &Dressing) -> Nearest<'a> {
    let pairs = tubes
        .iter()
        .flat_map(|tube| roll.axes.iter().map(move |axis| (tube, *axis)));
    let refused = pairs.filter_map(|(tube, axis)| {
        Some((tube, axis, serve::serve(roll, tube, axis, dressing).err()?))
    });
    refused.max_by_key(|(tube, axis, refusal)| {
        (
            rank(*refusal),
            tube.length().min(face(roll, *axis, dressing)),
            tube.diameter,
        )
    })
}

/// How near a refused tube came: it fails late in the list of what is checked.
const fn rank(refusal: Refusal) -> u8 {
    match refusal {
        Refusal::Slender => 0,
        Refusal::Short => 1,
        Refusal::Turns(_) => 2,
        Refusal::Weak(..) => 3,
        Refusal::Sags(..) => 4,
    }
}

fn face(roll: &Roll<'_>, axis: bool, dressing: &Dressing) -> Length {
    Length::whole_mm((roll.across(axis) + dressing.margin + dressing.margin).to_mm_up())
}

/// The shortest face on which the painting could lie.
fn shortest_face(roll: &Roll<'_>, dressing: &Dressing) -> Length {
    roll.axes
        .iter()
        .map(|axis| face(roll, *axis, dressing))
        .min()
        .unwrap_or_default()
}

fn why(job: &Job, roll: &Roll<'_>, nearest: Nearest<'_>) -> String {
    let show = |length| show_length(length, job.unit);
    let Some((tube, _, refusal)) = nearest else {
        return "the catalogue has no tube that can be reckoned with".to_owned();
    };
    let id = tube.id();
    match refusal {
        Refusal::Slender => {
            format!(
                "its paint asks for a drum of at least {}; the widest tube, `{id}`, has {}",
                show(roll.bending.least_diameter),
                show(tube.diameter)
            )
        }
        Refusal::Short => format!(
            "no tube wide enough is long enough for it; `{id}` has {}",
            show(tube.length())
        ),
        Refusal::Turns(turns) => format!(
            "on `{id}` it would take {turns:.1} turns, and its class allows {:.1}",
            roll.most_turns
        ),
        Refusal::Sags(sag, most) => {
            format!("`{id}` would sag {sag:.1} mm under it, and {most:.1} mm are allowed")
        }
        Refusal::Weak(stress, most) => format!(
            "the wall of `{id}` would be bent with {stress:.2} MPa, and {most:.2} MPa are allowed"
        ),
    }
}

/// The tube that would serve.
fn better_tube(job: &Job, roll: &Roll<'_>, nearest: Nearest<'_>, dressing: &Dressing) -> String {
    let show = |length| show_length(length, job.unit);
    let least = roll.bending.least_diameter;
    let plain = |face| {
        format!(
            "use a tube at least {} long and {} in diameter",
            show(face),
            show(least)
        )
    };
    match nearest {
        None | Some((_, _, Refusal::Slender | Refusal::Short)) => {
            plain(shortest_face(roll, dressing))
        }
        Some((tube, axis, Refusal::Turns(_))) => {
            let wound = dressing.wound(roll, axis).to_mm();
            let core = Length::mm(
                spiral::least_drum_for_turns(roll.most_turns, dressing.wrap(roll), wound).min(1e6),
            );
            let padding = Length::mm(dressing.core(tube)) - tube.diameter;
            let wide = Length::whole_mm((core - padding).max(least).to_mm_up());
            format!(
                "use a tube at least {} in diameter and {} long, so that it takes no more turns than allowed",
                show(wide),
                show(face(roll, axis, dressing))
            )
        }
        Some((_, axis, Refusal::Sags(..) | Refusal::Weak(..))) => {
            format!(
                "{}, with a thicker or stiffer wall, or give it a bearing in the middle",
                plain(face(roll, axis, dressing))
            )
        }
    }
}

fn other_axis(roll: &Roll<'_>, tubes: &[Tube<'_>], dressing: &Dressing) -> Option<String> {
    let [only] = roll.axes else { return None };
    let other = !only;
    let tube = tubes
        .iter()
        .find(|tube| serve::serve(roll, tube, other, dressing).is_ok())?;
    let side = if other { "width" } else { "height" };
    Some(format!(
        "wind up its {side} instead (`roll_along` {side} or auto): then `{}` serves",
        tube.id()
    ))
}

/// Separating at the canvas's own seams, where every part could be rolled.
fn own_seams(
    job: &Job,
    row: &PanelRow,
    roll: &Roll<'_>,
    tubes: &[Tube<'_>],
    dressing: &Dressing,
) -> Option<String> {
    let (width, height) = roll.size;
    let mut seams: Vec<Length> = row
        .seams
        .iter()
        .copied()
        .filter(|seam| seam.is_positive() && *seam < width)
        .collect();
    seams.sort_unstable();
    seams.dedup();
    let ends = seams.iter().copied().chain([width]);
    let mut from = Length::ZERO;
    for end in ends {
        let size = (end - from, height);
        let part = Roll {
            size,
            grams: roll.grams * size.0.ratio(width),
            axes: BOTH,
            ..roll.clone()
        };
        let served = tubes.iter().any(|tube| {
            BOTH.iter()
                .any(|axis| serve::serve(&part, tube, *axis, dressing).is_ok())
        });
        if !served {
            return None;
        }
        from = end;
    }
    let shown: Vec<String> = seams
        .iter()
        .map(|seam| show_length(*seam, job.unit))
        .collect();
    let list = shown.join(", ");
    (!seams.is_empty()).then(|| format!("part it at its own seams at {list} from the left, if opening them can be answered for: each part can be rolled"))
}
