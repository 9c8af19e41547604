//! What the conservator wrote: the job, its panels and its stock, read, checked and joined with recipes and catalogue.

mod buying;
mod case;
mod choices;
mod odds;
mod offcut;
mod panel;
mod paper;
mod people;
mod place;
mod planning;
mod read;
mod template;
mod terms;

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::catalog::Catalog;
use crate::recipe::Recipe;
use crate::units::Length;
use crate::units::LengthUnit;
use crate::units::Locale;
use crate::units::Quantity;

pub use buying::Buying;
pub use buying::Odds;
pub use buying::Ordered;
pub use buying::Received;
pub use buying::Shelved;
pub use case::ByOthers;
pub use case::Case;
pub use choices::CHOICES_FILE;
pub use choices::Choices;
pub use odds::Condition;
pub use odds::OddsTerms;
pub use odds::Spread;
pub use odds::SpreadOf;
pub use odds::ThreePoints;
pub use offcut::Offcut;
pub use panel::MeasuredLayers;
pub use panel::Opening;
pub use panel::OpeningShape;
pub use panel::PanelRow;
pub use panel::PanelShape;
pub use panel::RollAlong;
pub use paper::Paper;
pub use people::Equipment;
pub use people::Person;
pub use place::Site;
pub use place::WayOut;
pub use place::WayOutKind;
pub use planning::Bay;
pub use planning::Effort;
pub use planning::Hold;
pub use planning::Planning;
pub use planning::Progress;
pub use read::read;
pub use read::read_with;
pub use template::Scene;
pub use template::TemplateKind;
pub use template::guide;
pub use template::template;
pub use terms::CostGroup;
pub use terms::Disposal;
pub use terms::LabourAt;
pub use terms::MaterialsAt;
pub use terms::OwnLine;
pub use terms::PaidPer;
pub use terms::Terms;

/// A whole job, checked: every id in it names something that exists.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// The job's title.
    pub title: String,
    /// The currency's code or sign, as written.
    pub currency: String,
    /// The unit of bare lengths, and of lengths shown to people.
    pub unit: LengthUnit,
    /// The paper that its outputs are printed on.
    pub paper: Paper,
    /// How numbers and days are written in what people read.
    pub locale: Locale,
    /// First working day.
    pub first_day: Date,
    /// The day on whose end the wall must be clear.
    pub hand_over: Option<Date>,
    /// The day on which orders are first sent.
    pub order_day: Date,
    /// The places, the site first; a studio follows where the job has one.
    pub places: Vec<Site>,
    /// People, a row a name or role.
    pub people: Vec<Person>,
    /// Equipment.
    pub equipment: Vec<Equipment>,
    /// Percentages, own cost lines and allowances.
    pub terms: Terms,
    /// The same job with named things otherwise.
    pub cases: Vec<Case>,
    /// What was chosen on the page; it is in force in all else that stands here.
    pub choices: Choices,
    /// How far off the figures may be.
    pub odds: OddsTerms,
    /// The panel rows, in the order written.
    pub panels: Vec<PanelRow>,
    /// Whole units on the shelf, by material id; part sheets and roll ends are among the offcuts.
    pub stock: BTreeMap<String, Quantity>,
    /// Today, fixed days, what is done, bays.
    pub planning: Planning,
    /// The same by age: what makes up each sum of [`Job::stock`].
    pub shelf: BTreeMap<String, Vec<Shelved>>,
    /// What is ordered and on its way.
    pub ordered: Vec<Ordered>,
    /// What was ordered and has come; it is part of [`Job::stock`].
    pub received: Vec<Received>,
    /// How the job buys.
    pub buying: Buying,
    /// Part sheets and roll ends on the shelf.
    pub offcuts: Vec<Offcut>,
    /// The least side of an offcut that is worth keeping.
    pub useful_offcut: Length,
    /// Recipes that panels use, by id.
    pub recipes: BTreeMap<String, Recipe>,
    /// The catalogue with the job's own rows.
    pub catalog: Catalog,
    /// SHA-256 of every input file, by name, as hexadecimal.
    pub inputs: BTreeMap<String, String>,
}

impl Job {
    /// The recipe of a panel row.
    pub fn recipe_of(&self, panel: &PanelRow) -> Option<&Recipe> {
        self.recipes.get(&panel.recipe)
    }
}
