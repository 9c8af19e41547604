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

pub use condition::Adhesive;
pub use condition::Give;
pub use condition::Paint;
pub(crate) use condition::choices;
pub use kit::CrateKit;
pub use kit::DrumKit;
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
