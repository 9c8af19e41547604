//! Drums and flat panels to crates: boards, timber, foam, fixings, mass, and whether each gets out of the building.
//!
//! *In*: job, survey, rolling. *Out*: [`Crating`]. *Rules*: the roll carries no load on paint; boards by guillotine plan, timber by
//! stock length; each crate, and each drum and tray without one, against each way out.

mod build;
mod cradle;
mod cut;
mod explain;
mod fittings;
mod item;
mod marks;
mod mass;
mod needs;
mod outcome;
mod packed;
mod passage;
mod pieces;
mod price;
mod rests;
mod share;
mod tray;
mod weigh;

use std::collections::BTreeSet;

use crate::diag::Ledger;
use crate::diag::Problems;
use crate::job::Job;
use crate::rolling::Rolling;
use crate::survey::Survey;

use item::Item;
use marks::Marked;
use needs::Packing;
use packed::Packed;
use price::Prices;

pub use outcome::Bare;
pub use outcome::Content;
pub use outcome::Contents;
pub use outcome::Crate;
pub use outcome::CratePiece;
pub use outcome::Crating;
pub use outcome::CutBound;
pub use outcome::Passage;
pub use outcome::Press;

/// Packs every drum and every flat panel whose recipe has a crate step, several in one crate where that costs less.
///
/// Problems: a warning at the row of a panel whose crate does not pass a way out, or under which the foam is pressed too hard; notes on
/// materials of the crate kit that are not wholly described.
pub fn pack(
    job: &Job,
    survey: &Survey,
    rolling: &Rolling,
    ledger: &mut Ledger,
    problems: &mut Problems,
) -> Crating {
    let items = item::items(job, survey, rolling);
    let bare: Vec<Bare> = items.iter().map(|item| bare(job, item)).collect();
    let (crated, loose): (Vec<(Item, &Bare)>, Vec<_>) = items
        .into_iter()
        .zip(&bare)
        .partition(|(item, _)| needs::crate_step(job, survey, &item.panels).is_some());
    let (items, crated_bare): (Vec<Item>, Vec<&Bare>) = crated.into_iter().unzip();
    let prices = Prices::of(job);
    let shared = share::share(job, survey, &prices, &items);
    let mut shed = Shed {
        job,
        survey,
        rolling,
        prices: &prices,
        count: shared.len(),
        warned: BTreeSet::new(),
        ledger,
        problems,
    };
    let mut packing = Packing::new(job, survey);
    let mut crates = Vec::new();
    for (number, together) in (1_usize..).zip(&shared) {
        let inner: Vec<(&Item, &Bare)> = together
            .iter()
            .filter_map(|index| Some((items.get(*index)?, *crated_bare.get(*index)?)))
            .collect();
        crates.push(shed.make(number, &inner, &mut packing));
    }
    for (item, bare) in loose {
        shed.ledger
            .record(explain::bare(job, survey, rolling, &item, bare));
    }
    Crating {
        crates,
        bare,
        ..packing.finish(&prices, problems)
    }
}

fn bare(job: &Job, item: &Item) -> Bare {
    let [_, _, high] = item.size;
    Bare {
        content: item.content,
        size: item.size,
        mass: item.mass,
        carriers: mass::carriers(item.mass, high.half()),
        ways_out: passage::passages(job, item.size),
    }
}

/// Where crates are made.
struct Shed<'a> {
    job: &'a Job,
    survey: &'a Survey,
    rolling: &'a Rolling,
    prices: &'a Prices<'a>,
    count: usize,
    /// Rows and ways out that were warned of.
    warned: BTreeSet<(usize, String, String)>,
    ledger: &'a mut Ledger,
    problems: &'a mut Problems,
}

impl Shed<'_> {
    /// Makes a crate, explains it, warns of it and adds what it takes.
    fn make(
        &mut self,
        number: usize,
        inner: &[(&Item, &Bare)],
        packing: &mut Packing<'_>,
    ) -> Crate {
        let id = format!("K{number}");
        let (items, bare): (Vec<&Item>, Vec<&Bare>) = inner.iter().copied().unzip();
        let packed = packed::packed(self.job, &id, &items);
        let panels: Vec<usize> = items
            .iter()
            .flat_map(|item| item.panels.iter().copied())
            .collect();
        let made = self.assemble(id, number, &items, &packed, &panels);
        self.warn(&made, &items, &packed, &bare);
        for (item, bare) in inner {
            self.ledger.record(explain::bare(
                self.job,
                self.survey,
                self.rolling,
                item,
                bare,
            ));
        }
        self.ledger.record(explain::explain(
            self.job,
            self.survey,
            self.rolling,
            &made,
            &packed,
        ));
        packing.add(&made, &panels, packed);
        made
    }

    fn assemble(
        &self,
        id: String,
        number: usize,
        items: &[&Item],
        packed: &Packed,
        panels: &[usize],
    ) -> Crate {
        let outside = packed.parcel.outside;
        let carriers = mass::carriers(packed.gross, outside[2].half());
        let step = needs::step_of_crate(self.job, self.survey, panels);
        let marks = marks::marks(Marked {
            job: self.job,
            survey: self.survey,
            rolling: self.rolling,
            number: (number, self.count),
            items,
            gross: packed.gross,
            centre: packed.centre,
            carriers,
        });
        Crate {
            contents: contents(items),
            inside: packed.parcel.inside,
            outside,
            tare: packed.tare,
            gross: packed.gross,
            charged: mass::charged(packed.gross, outside),
            centre: packed.centre,
            carriers,
            presses: packed.bearings.iter().map(press).collect(),
            estimate: price::money(self.prices.crate_cost(packed, step)),
            marks,
            pieces: pieces::list(self.job, &id, packed),
            ways_out: passage::passages(self.job, outside),
            id,
        }
    }

    /// Warns once a row and way of a crate that does not pass, and of foam that is pressed too hard.
    fn warn(&mut self, made: &Crate, items: &[&Item], packed: &Packed, bare: &[&Bare]) {
        for (item, bearing) in items.iter().zip(&packed.bearings) {
            let row = item.row(self.job, self.survey);
            if let Some(row) = row.filter(|_| !bearing.holds()) {
                passage::warn_of_press(made, row, bearing, self.problems);
            }
        }
        let first = items.first().and_then(|item| item.panels.first());
        let Some(at) = first.and_then(|panel| Some(self.survey.panels.get(*panel)?.row)) else {
            return;
        };
        let Some(row) = self.job.panels.get(at) else {
            return;
        };
        for passage in made.ways_out.iter().filter(|passage| !passage.fits) {
            let told = (at, passage.place.clone(), passage.way.clone());
            if self.warned.insert(told) {
                passage::warn(self.job, made, row, passage, bare, self.problems);
            }
        }
    }
}

fn contents(items: &[&Item]) -> Contents {
    let drums: Vec<usize> = items
        .iter()
        .filter_map(|item| match item.content {
            Content::Drum(index) => Some(index),
            Content::Flat(_) => None,
        })
        .collect();
    if drums.is_empty() {
        let panels = items.iter().flat_map(|item| item.panels.iter().copied());
        Contents::Flats(panels.collect())
    } else {
        Contents::Drums(drums)
    }
}

const fn press(bearing: &cradle::Bearing) -> Press {
    Press {
        length: bearing.length,
        pressure: bearing.pressure,
        limit: bearing.limit,
    }
}
