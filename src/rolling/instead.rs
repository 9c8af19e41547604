//! What would let a painting be rolled that no tube serves.

use crate::job::Job;
use crate::job::PanelRow;
use crate::units::Length;
use crate::units::show_length;

use super::outcome::Flat;
use super::parcel::Parcel;
use super::price::Prices;
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
    let prices = &Prices::of(job);
    let mut instead = Vec::new();
    instead.push(better_tube(job, roll, nearest, (dressing, prices)));
    instead.extend(other_axis(job, roll, tubes, (dressing, prices)));
    instead.extend(own_seams(job, row, roll, tubes, (dressing, prices)));
    instead.push(in_plane(job, roll, prices));
    Flat {
        panel: roll.panel,
        why: why(job, roll, nearest),
        instead,
        thickness: roll.bending.thickness,
        grams_per_m2: roll.bending.grams_per_m2,
    }
}

/// The recipe of the flat route.
const FLAT: &str = "flat-support";

/// Carried flat, with what its support and a crate of its own cost.
fn in_plane(job: &Job, roll: &Roll<'_>, prices: &Prices<'_>) -> String {
    let (width, height) = roll.size;
    let kit = &job.catalog.crate_kit;
    let (out, clearance) = (kit.support_margin * 2, kit.clearance * 2);
    let support = [width + out, height + out];
    let [long, high] = support.map(|side| side + clearance);
    let crated = Parcel::around(job, [long, clearance, high]);
    let recipe = job
        .planning
        .recipes
        .contains_key(FLAT)
        .then(|| format!("give it the recipe `{FLAT}`, the flat route"));
    format!(
        "{}: faced, detached in plane and carried on a support board (support and crate about {})",
        recipe.unwrap_or_else(|| "carry it flat".to_owned()),
        shown(job, prices.flat(support, crated.outside))
    )
}

/// Cents as money of the job, to a whole unit: these are estimates.
fn shown(job: &Job, cents: f64) -> String {
    format!("{:.0} {}", cents / 100.0, job.currency)
}

/// The cheapest way to have a painting on a tube that serves, in cents.
fn cheapest(
    roll: &Roll<'_>,
    (tubes, axes): (&[Tube<'_>], &[bool]),
    (dressing, prices): (&Dressing, &Prices<'_>),
) -> Option<(String, f64)> {
    let pairs = tubes
        .iter()
        .flat_map(|tube| axes.iter().map(move |axis| (tube, *axis)));
    let served = pairs.filter_map(|(tube, axis)| {
        let winding = serve::serve(roll, tube, axis, dressing).ok()?;
        let face = dressing.face(winding.across);
        Some((tube.id().to_owned(), prices.alone(tube, face, dressing)))
    });
    served.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// What bars a painting from every tube when it is wound so.
pub(super) fn bar(
    job: &Job,
    roll: &Roll<'_>,
    axis: bool,
    (tubes, dressing): (&[Tube<'_>], &Dressing),
) -> String {
    let only = Roll {
        axes: if axis { &[true] } else { &[false] },
        ..roll.clone()
    };
    why(job, roll, nearest_tube(&only, tubes, dressing))
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
        Refusal::Crushed(..) => 4,
        Refusal::Sags(..) => 5,
    }
}

fn face(roll: &Roll<'_>, axis: bool, dressing: &Dressing) -> Length {
    dressing.face(roll.across(axis))
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
        Refusal::Crushed(load, most) => format!(
            "`{id}` would be pressed with {load:.2} N/mm where it lies, and {most:.2} N/mm are allowed"
        ),
        Refusal::Weak(stress, most) => format!(
            "the wall of `{id}` would be bent with {stress:.2} MPa, and {most:.2} MPa are allowed"
        ),
    }
}

/// The tube that would serve, at the price a metre of the nearest one.
fn better_tube(
    job: &Job,
    roll: &Roll<'_>,
    nearest: Nearest<'_>,
    (dressing, prices): (&Dressing, &Prices<'_>),
) -> String {
    let show = |length| show_length(length, job.unit);
    let least = roll.bending.least_diameter;
    let about = |face: Length| {
        let Some((tube, ..)) = nearest else {
            return String::new();
        };
        let a_metre = tube.share(tube.length()) / tube.length().to_m().max(0.001);
        let cost = a_metre * face.to_m() + prices.drum(tube, dressing).of(face);
        format!(
            " (drum and crate about {} at the price a metre of `{}`)",
            shown(job, cost),
            tube.id()
        )
    };
    let plain = |face| {
        format!(
            "use a tube at least {} long and {} in diameter",
            show(face),
            show(least)
        )
    };
    match nearest {
        None | Some((_, _, Refusal::Slender | Refusal::Short)) => {
            let face = shortest_face(roll, dressing);
            plain(face) + &about(face)
        }
        Some((tube, axis, Refusal::Turns(_))) => {
            let wound = dressing.wound(roll, axis).to_mm();
            let core = Length::mm(
                spiral::least_drum_for_turns(roll.most_turns, dressing.wrap(roll), wound).min(1e6),
            );
            let padding = Length::mm(dressing.core(tube)) - tube.diameter;
            let wide = Length::whole_mm((core - padding).max(least).to_mm_up());
            let face = face(roll, axis, dressing);
            format!(
                "use a tube at least {} in diameter and {} long, so that it takes no more turns than allowed{}",
                show(wide),
                show(face),
                about(face)
            )
        }
        Some((_, axis, Refusal::Sags(..) | Refusal::Weak(..) | Refusal::Crushed(..))) => {
            let face = face(roll, axis, dressing);
            format!(
                "{}, with a thicker or stiffer wall, or give it a bearing in the middle{}",
                plain(face),
                about(face)
            )
        }
    }
}

fn other_axis(
    job: &Job,
    roll: &Roll<'_>,
    tubes: &[Tube<'_>],
    means: (&Dressing, &Prices<'_>),
) -> Option<String> {
    let [only] = roll.axes else { return None };
    let other = !only;
    let (tube, cost) = cheapest(roll, (tubes, &[other]), means)?;
    let side = if other { "width" } else { "height" };
    Some(format!(
        "wind up its {side} instead (`roll_along` {side} or auto): then `{tube}` serves (drum and crate about {})",
        shown(job, cost)
    ))
}

/// Separating at the canvas's own seams, where every part could be rolled.
fn own_seams(
    job: &Job,
    row: &PanelRow,
    roll: &Roll<'_>,
    tubes: &[Tube<'_>],
    means: (&Dressing, &Prices<'_>),
) -> Option<String> {
    let (width, height) = roll.size;
    let mut cost = 0.0;
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
        cost += cheapest(&part, (tubes, BOTH), means)?.1;
        from = end;
    }
    let places: Vec<String> = seams
        .iter()
        .map(|seam| show_length(*seam, job.unit))
        .collect();
    let list = places.join(", ");
    (!seams.is_empty()).then(|| format!("part it at its own seams at {list} from the left, if opening them can be answered for: each part can be rolled (drums and crates about {})", shown(job, cost)))
}
