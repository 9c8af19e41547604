//! One crate with what is in it: its size, its pieces, what bears, what it weighs and where its centre of mass lies.

use crate::job::Job;
use crate::rolling::Parcel;
use crate::rolling::batten_thickness;
use crate::rolling::board_thickness;
use crate::rolling::skid_thickness;
use crate::units::Length;
use crate::units::Mass;

use super::build;
use super::build::Build;
use super::cradle;
use super::cradle::Bearing;
use super::cradle::Cell;
use super::item::Held;
use super::item::Item;
use super::tray;
use super::weigh;

/// A crate that is worked out, not yet numbered among others.
#[derive(Clone, Debug)]
pub(super) struct Packed {
    /// Its size.
    pub(super) parcel: Parcel,
    /// Its own pieces, foam included.
    pub(super) shell: Build,
    /// The pieces of the trays in it.
    pub(super) trays: Build,
    /// How hard the foam is pressed, by item.
    pub(super) bearings: Vec<Bearing>,
    /// Mass of the crate itself.
    pub(super) tare: Mass,
    /// Mass with contents.
    pub(super) gross: Mass,
    /// Centre of mass from the left, front, lower corner outside.
    pub(super) centre: [Length; 3],
}

/// Packs drums, or trays, side by side in one crate.
pub(super) fn packed(job: &Job, id: &str, items: &[&Item]) -> Packed {
    let parcel = Parcel::around(job, inside(job, items));
    let mut shell = build::shell(job, id, parcel.inside);
    let mut trays = Build::default();
    let several = items.len() > 1;
    let named = |number: usize| {
        if several {
            format!("{id} no. {number}")
        } else {
            id.to_owned()
        }
    };
    let gaps = gaps_each(job, items);
    let mut bearings = Vec::new();
    for (number, item) in (1..).zip(items) {
        let name = named(number);
        bearings.push(match &item.held {
            Held::Ends { diameter, free, .. } => {
                let cell = Cell {
                    diameter: *diameter,
                    free: *free,
                    mass: item.mass,
                    size: (item.size[1] + gaps, parcel.inside[2]),
                    room: (parcel.inside[0] - item.size[0]).half(),
                };
                cradle::cradles(job, &name, &cell, &mut shell)
            }
            Held::Edges(tray) => {
                tray.build(job, &format!("{name} tray"), &mut trays);
                tray.pads(job, &name, item.mass, &mut shell)
            }
        });
    }
    let tare = weigh::build(job, &shell) + weigh::within(job, parcel.inside);
    let contents: Mass = items.iter().map(|item| item.mass).sum();
    Packed {
        centre: centre(job, &parcel, &shell, tare, items),
        parcel,
        shell,
        trays,
        bearings,
        tare,
        gross: tare + contents,
    }
}

/// Room for the longest and highest, side by side with a gap before, between and behind.
fn inside(job: &Job, items: &[&Item]) -> [Length; 3] {
    let kit = &job.catalog.crate_kit;
    let drums = items.iter().all(|item| item.is_drum());
    let (end, gap) = if drums {
        (kit.end_clearance, kit.clearance)
    } else {
        let (_, cushion) = tray::cushion(job);
        (cushion, cushion)
    };
    let most = |side: fn(&Item) -> Length| items.iter().map(|item| side(item)).max();
    let long = most(|item| item.size[0]).unwrap_or_default();
    let high = most(|item| item.size[2]).unwrap_or_default();
    let wide: Length = items.iter().map(|item| item.size[1] + gap).sum();
    [long + end + end, wide + gap, high + gap + gap]
}

/// The share of one drum in the gaps before, between and behind all, so that its cradle and cushion fill the crate.
fn gaps_each(job: &Job, items: &[&Item]) -> Length {
    let count = i64::try_from(items.len()).unwrap_or(1).max(1);
    let gaps = job.catalog.crate_kit.clearance * (count + 1);
    Length::steps(gaps.to_steps() / count)
}

/// Where the whole balances: the shell in its middle, skids under it, drums and trays where they stand.
///
/// # Formula
/// Σ m x / Σ m along each side.
///
/// # Sources
/// Statics of handbooks.
fn centre(job: &Job, parcel: &Parcel, shell: &Build, tare: Mass, items: &[&Item]) -> [Length; 3] {
    let [long, wide, high] = parcel.outside;
    let skid = skid_thickness(job);
    let skids = weigh::skids(job, shell);
    let middle = [long.half(), wide.half(), skid + (high - skid).half()];
    let mut sum = Moments::default();
    sum.add(tare - skids, middle);
    sum.add(skids, [long.half(), wide.half(), skid.half()]);
    let (_, cushion) = tray::cushion(job);
    let wall = board_thickness(job) + batten_thickness(job);
    let mut across = wall;
    for item in items {
        let [_, deep, tall] = item.size;
        let (gap, beyond, up) = match &item.held {
            Held::Ends { beyond, .. } => (job.catalog.crate_kit.clearance, *beyond, middle[2]),
            Held::Edges(_) => (cushion, Length::ZERO, skid + wall + cushion + tall.half()),
        };
        across += gap;
        sum.add(item.mass, [long.half() + beyond, across + deep.half(), up]);
        across += deep;
    }
    sum.centre().unwrap_or(middle)
}

#[derive(Default)]
struct Moments {
    grams: f64,
    grams_mm: [f64; 3],
}

impl Moments {
    fn add(&mut self, mass: Mass, at: [Length; 3]) {
        self.grams += mass.to_g();
        for (sum, side) in self.grams_mm.iter_mut().zip(at) {
            *sum += mass.to_g() * side.to_mm();
        }
    }

    fn centre(&self) -> Option<[Length; 3]> {
        (self.grams > 0.0).then(|| self.grams_mm.map(|moment| Length::mm(moment / self.grams)))
    }
}
