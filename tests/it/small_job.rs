//! Small jobs made by hand, for the tests of the stages that count money and air.
#![allow(clippy::unwrap_used, reason = "a failing test may stop where it fails")]

use facelay::catalog::*;
use facelay::crating::Crating;
use facelay::diag::Ledger;
use facelay::diag::Problems;
use facelay::exposure::Exposure;
use facelay::exposure::PlaceAir;
use facelay::job::*;
use facelay::purchase::Purchase;
use facelay::recipe::steps::StepKind;
use facelay::recipe::*;
use facelay::rolling::Rolling;
use facelay::schedule::Activity;
use facelay::schedule::Schedule;
use facelay::schedule::Worker;
use facelay::survey::Panel;
use facelay::survey::Survey;
use facelay::takeoff::Need;
use facelay::takeoff::Takeoff;
use facelay::units::*;
use jiff::civil::Date;
use jiff::civil::DateTime;
use jiff::civil::date;
use rust_decimal::Decimal;

use crate::builder;

pub(crate) fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

pub(crate) fn money(text: &str) -> Money {
    Money::new(decimal(text))
}

pub(crate) fn material(id: &str, kind: MaterialKind) -> Material {
    Material {
        name: format!("{id}, plain"),
        grams_per_m2: Some(12.0),
        density: Some(0.8669),
        ..builder::sheeting(id, kind, 640.0, 970.0)
    }
}

pub(crate) fn solvent(id: &str) -> Solvent {
    let toluene = Solvent {
        id: id.to_owned(),
        name: id.to_owned(),
        molar_mass: 92.138,
        density: 0.8669,
        antoine: [9.050_43, 1327.62, -55.525],
        boiling_c: Some(110.6),
        flash_c: Some(4.0),
        lower_explosive_percent: Some(1.1),
        limit_ppm: Some(20.0),
        limit_source: "test".to_owned(),
        source: "trade.md 6".to_owned(),
    };
    if id == "water" {
        let antoine = [10.115_64, 1687.537, -42.98];
        Solvent {
            molar_mass: 18.015,
            antoine,
            flash_c: None,
            lower_explosive_percent: None,
            limit_ppm: None,
            ..toluene
        }
    } else {
        toluene
    }
}

pub(crate) fn supplier(id: &str) -> Supplier {
    Supplier {
        id: id.to_owned(),
        name: format!("{id} supplies"),
        currency: None,
        minimum_order: Money::ZERO,
        freight_fixed: Money::ZERO,
        freight_per_kg: Money::ZERO,
        freight_free_from: None,
        hazard_surcharge: Money::ZERO,
    }
}

/// An offer with its prices as `(from packs, price)`.
pub(crate) fn offer(material: &str, supplier: &str, pack: &str, prices: &[(u32, &str)]) -> Offer {
    Offer {
        material: material.to_owned(),
        supplier: supplier.to_owned(),
        pack: decimal(pack),
        prices: prices
            .iter()
            .map(|(from_packs, price)| PriceBreak {
                from_packs: *from_packs,
                price: money(price),
            })
            .collect(),
        breaks: Breaks::All,
        least_packs: 1,
        lead_days: 2,
        lead: LeadDays::Working,
        delivery: Delivery::Standard,
        valid_from: None,
        valid_until: None,
        tax: None,
    }
}

pub(crate) fn step(id: &str, kind: StepKind) -> Step {
    Step {
        name: format!("step {id}"),
        same_day: true,
        ..builder::step(id, kind)
    }
}

pub(crate) fn site() -> Site {
    let day = || vec![(480, 720), (780, 1020)];
    Site {
        hours: [day(), day(), day(), day(), day(), vec![], vec![]],
        ..builder::site()
    }
}

/// A job of one recipe, `plain`; first day Tuesday 2026-12-01, ordered on Friday 2026-11-20.
pub(crate) fn job(steps: Vec<Step>, solutions: Vec<Solution>) -> Job {
    let mut catalog = Catalog::default();
    for id in ["toluene", "water"] {
        catalog.solvents.insert(id.to_owned(), solvent(id));
    }
    let recipe = builder::recipe("plain", solutions, steps);
    Job {
        title: "Test hall".to_owned(),
        order_day: date(2026, 11, 20),
        places: vec![site()],
        ..builder::job_of(Vec::new(), [recipe], catalog)
    }
}

/// Adds a panel, 4 × 3 m, to job and survey.
pub(crate) fn add_panel(job: &mut Job, survey: &mut Survey, id: &str) {
    job.panels.push(PanelRow {
        recipe: "plain".to_owned(),
        ..builder::panel(id, 4_000.0, 3_000.0)
    });
    survey.panels.push(Panel {
        id: id.to_owned(),
        row: job.panels.len() - 1,
        outline: Vec::new(),
        openings: Vec::new(),
        shape: facelay::geometry::Polygon::default(),
        width: Length::m(4.0),
        height: Length::m(3.0),
        area: Area::m2(12.0),
        edge: Length::m(14.0),
    });
}

pub(crate) fn need(material: &str, amount: f64) -> Need {
    Need {
        material: material.to_owned(),
        amount,
        panel: None,
        step: None,
        because: format!("material/{material}"),
    }
}

pub(crate) fn at(day: Date, hour: i8) -> DateTime {
    day.at(hour, 0, 0, 0)
}

/// An activity of one step on one panel, in one stretch.
pub(crate) fn activity(
    panel: usize,
    step: usize,
    from: DateTime,
    to: DateTime,
    people: Vec<usize>,
) -> Activity {
    Activity {
        id: format!("{panel}-{step}"),
        panel: Some(panel),
        packing: None,
        recipe: "plain".to_owned(),
        step,
        place: 0,
        start: from,
        finish: to,
        work_minutes: 0,
        people,
        stretches: vec![(from, to)],
        after: Vec::new(),
        clears_wall: true,
        float_minutes: 0,
        moving_minutes: 0,
        air_minutes: 0,
        bay: None,
        stands_on: None,
        critical: false,
        waited_for: None,
        sheets: None,
        waits_for: String::new(),
    }
}

/// Everything that purchase reads.
#[derive(Default)]
pub(crate) struct Stages {
    pub(crate) survey: Survey,
    pub(crate) takeoff: Takeoff,
    pub(crate) rolling: Rolling,
    pub(crate) crating: Crating,
    pub(crate) exposure: Exposure,
    pub(crate) schedule: Schedule,
}

impl Stages {
    /// Limits the flammable liquid at the site.
    pub(crate) fn limit(&mut self, litres: f64) {
        self.exposure.air = vec![PlaceAir {
            place: 0,
            fresh_m3_h: None,
            day_m3: None,
            least_limit_ppm: None,
            needs_extraction: false,
            flammable_limit: Some(Volume::ml(litres * 1_000.0)),
        }];
    }

    pub(crate) fn workers(&mut self, rows: &[usize]) {
        self.schedule.workers = rows
            .iter()
            .enumerate()
            .map(|(index, row)| Worker {
                name: format!("worker {index}"),
                row: *row,
            })
            .collect();
    }

    /// Orders, with what it said.
    pub(crate) fn order(&self, job: &Job) -> (Purchase, Problems, Ledger) {
        let (mut ledger, mut problems) = (Ledger::new(), Problems::new());
        let Self {
            survey,
            takeoff,
            rolling,
            crating,
            exposure,
            schedule,
        } = self;
        let purchase = facelay::purchase::order(
            job,
            survey,
            takeoff,
            rolling,
            crating,
            exposure,
            schedule,
            &mut ledger,
            &mut problems,
        );
        (purchase, problems, ledger)
    }
}

/// The texts of problems, to look for words in.
pub(crate) fn texts(problems: &Problems) -> Vec<String> {
    problems
        .iter()
        .map(|problem| {
            format!(
                "{}: {} | {}",
                problem.level,
                problem.text,
                problem.help.join(" | ")
            )
        })
        .collect()
}
