//! What can be bought and what is known of it: materials, offers, suppliers, solvents, rates and limits.
//!
//! The rows stand in `catalogs/*.csv`, compiled in; a job folder's own rows replace or add by id.

mod condition;
mod kit;
mod material;
mod offer;
mod physics;
mod rate;
mod read;
mod waste;

use std::collections::BTreeMap;

use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

pub use condition::Adhesive;
pub use condition::Give;
pub use condition::Paint;
pub(crate) use condition::choices;
pub use kit::CrateKit;
pub use kit::DrumKit;
pub use kit::PaintSide;
pub use kit::Per;
pub use kit::Use;
pub use material::Grain;
pub use material::Hazard;
pub use material::Material;
pub use material::MaterialKind;
pub use offer::Breaks;
pub use offer::Delivery;
pub use offer::LeadDays;
pub use offer::Offer;
pub use offer::PriceBreak;
pub use offer::Supplier;
pub use physics::Cold;
pub use physics::LayerClass;
pub use physics::Solvent;
pub use physics::Strain;
pub use rate::Multiplier;
pub use rate::Rate;
pub use read::built_in;
pub(crate) use read::material;
pub use read::override_crate;
pub use read::override_drum;
pub(crate) use read::uses;
pub use read::with_rows;
pub use waste::WasteClass;
pub use waste::WasteWhen;

/// Everything known beforehand, by id.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Catalog {
    /// Materials by id.
    pub materials: BTreeMap<String, Material>,
    /// Offers, in the order of the files.
    pub offers: Vec<Offer>,
    /// Suppliers by id.
    pub suppliers: BTreeMap<String, Supplier>,
    /// Pure solvents and named mixtures by id.
    pub solvents: BTreeMap<String, Solvent>,
    /// Labour rates by id.
    pub rates: BTreeMap<String, Rate>,
    /// How much harder removal is, a row a pair of paint and adhesive.
    pub multipliers: Vec<Multiplier>,
    /// What bending each class of paint takes.
    pub strains: BTreeMap<Give, Strain>,
    /// Thickness and stiffness of the painting's own layers where a panel row says nothing.
    pub layers: BTreeMap<String, LayerClass>,
    /// What leaves a job as contaminated waste, by material.
    pub waste: BTreeMap<String, WasteClass>,
    /// What goes on and with every drum.
    pub drum_kit: DrumKit,
    /// What every crate is built from.
    pub crate_kit: CrateKit,
}

impl Catalog {
    /// The material that recipes name for an id: the one that it is another size of, else itself.
    pub fn main_size<'a>(&'a self, id: &'a str) -> &'a str {
        let material = self.materials.get(id);
        material
            .and_then(|material| material.same_as.as_deref())
            .unwrap_or(id)
    }

    /// The least price of one unit in whole cents, rounded up, among offers that can be ordered on a day or later; none without any.
    ///
    /// Of each offer the price of a single pack counts: breaks may not be reached.
    pub fn least_cents(&self, id: &str, day: Date) -> Option<u64> {
        let offers = self.offers.iter().filter(|offer| offer.material == id);
        let valid = offers.filter(|offer| offer.first_order(day).is_some());
        let each = valid.filter_map(|offer| offer.price_of(1).amount().checked_div(offer.pack));
        each.min()?
            .checked_mul(Decimal::ONE_HUNDRED)?
            .ceil()
            .to_u64()
    }
}
