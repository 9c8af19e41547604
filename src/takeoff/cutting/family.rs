//! What a material can be cut from: its sizes, how many of each lie on the shelf, what one costs, and offcuts.

use rust_decimal::prelude::ToPrimitive;

use crate::catalog::Grain;
use crate::catalog::Material;
use crate::catalog::MaterialKind;
use crate::job::Job;
use crate::solver::cutting::Piece;
use crate::units::Length;

use super::asked::Asked;
use super::asked::Whole;
use super::length;
use super::steps;

/// What a size without any offer is taken to cost, in cents: more than any that has a price.
const UNPRICED: u64 = 100_000_000;

/// A material with all its sizes.
#[derive(Clone, Debug)]
pub(super) struct Family<'a> {
    /// The material that recipes name.
    pub material: &'a str,
    /// Its sizes, the material's own first.
    pub sizes: Vec<Size<'a>>,
    /// Offcuts on the shelf, by size of stock and then their own.
    pub offcuts: Vec<Part<'a>>,
    /// Whether pieces may be turned when they are cut.
    pub turns: bool,
    /// What a cut takes.
    pub kerf: u64,
    /// Whether several sizes compete by price; otherwise units, or else areas, are counted.
    pub is_priced: bool,
    /// The least side of an offcut worth keeping.
    pub useful: Length,
    roll: bool,
}

/// One size that whole units come in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Size<'a> {
    pub material: &'a str,
    pub width: Length,
    pub length: Length,
    /// What one costs: cents, or 1 where there is no other size, or an area where none has a price.
    pub cost: u64,
    /// How many lie on the shelf.
    pub shelf: u64,
}

/// Equal offcuts on the shelf.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part<'a> {
    pub material: &'a str,
    pub width: Length,
    pub length: Length,
    pub count: u64,
}

impl<'a> Family<'a> {
    /// Looks up what a material can be cut from; none where it has no size.
    pub(super) fn of(job: &'a Job, material: &'a str) -> Option<Self> {
        let main = job.catalog.materials.get(material)?;
        let others = job.catalog.materials.values();
        let others = others.filter(|other| other.same_as.as_deref() == Some(material));
        let sizes = std::iter::once(main).chain(others);
        let sizes: Vec<Size<'a>> = sizes.filter_map(|material| size(job, material)).collect();
        let has_part = |id: &str| sizes.iter().any(|size| size.material == id);
        let offcuts = job.offcuts.iter().filter(|part| has_part(&part.material));
        let offcuts = offcuts.map(|part| Part {
            material: &part.material,
            width: part.width,
            length: part.length,
            count: part.count,
        });
        let mut family = Self {
            material,
            offcuts: offcuts.collect(),
            turns: main.grain == Grain::None,
            kerf: steps(main.kerf),
            is_priced: false,
            useful: job.useful_offcut,
            roll: main.kind == MaterialKind::Roll,
            sizes,
        };
        family.set_costs(job);
        (!family.sizes.is_empty()).then_some(family)
    }

    /// A lone size counts by units; several count by price, and by area where none has a price.
    fn set_costs(&mut self, job: &Job) {
        let prices: Vec<Option<u64>> = self
            .sizes
            .iter()
            .map(|size| job.catalog.least_cents(size.material, job.order_day))
            .collect();
        let lone = self.sizes.len() < 2;
        self.is_priced = !lone && prices.iter().any(Option::is_some);
        for (size, price) in self.sizes.iter_mut().zip(prices) {
            size.cost = match (lone, self.is_priced) {
                (true, _) => 1,
                (false, true) => price.unwrap_or(UNPRICED),
                (false, false) => millimetres(size.width).saturating_mul(millimetres(size.length)),
            };
        }
    }

    /// What is asked for pieces of it.
    pub(super) fn asked(&self, pieces: Vec<Piece>) -> Asked {
        let whole = |size: &Size<'_>| Whole {
            width: size.width,
            length: size.length,
            cost: size.cost,
            shelf: size.shelf,
        };
        let part = |part: &Part<'_>| (part.width, part.length, part.count);
        Asked {
            sizes: self.sizes.iter().map(whole).collect(),
            offcuts: self.offcuts.iter().map(part).collect(),
            kerf: self.kerf,
            roll: self.roll,
            pieces,
        }
    }

    /// Whether a left-over of so many steps each way is worth keeping.
    pub(super) fn keeps(&self, width: u64, along: u64) -> bool {
        length(width.min(along)) >= self.useful
    }
}

fn size<'a>(job: &Job, material: &'a Material) -> Option<Size<'a>> {
    let (width, length) = material.width.zip(material.length)?;
    let shelf = job.stock.get(&material.id);
    Some(Size {
        material: &material.id,
        width,
        length,
        cost: 1,
        shelf: shelf
            .and_then(|shelf| shelf.amount.floor().to_u64())
            .unwrap_or(0),
    })
}

fn millimetres(length: Length) -> u64 {
    u64::try_from(length.to_mm_up()).unwrap_or(0)
}
