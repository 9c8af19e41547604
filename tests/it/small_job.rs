//! Small jobs made by hand, for the tests of the stages that count money and air.
#![allow(clippy::unwrap_used, reason = "a failing test may stop where it fails")]

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use facelay::catalog::*;
use facelay::crating::Crating;
use facelay::diag::Ledger;
use facelay::diag::Place;
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

pub(crate) fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

pub(crate) fn money(text: &str) -> Money {
    Money::new(decimal(text))
}

pub(crate) fn material(id: &str, kind: MaterialKind) -> Material {
    Material {
        id: id.to_owned(),
        name: format!("{id}, plain"),
        kind,
        width: Some(Length::mm(640.0)),
        length: Some(Length::mm(970.0)),
        thickness: None,
        diameter: None,
        wall: None,
        feather: Length::ZERO,
        grams_per_m2: Some(12.0),
        density: Some(0.8669),
        modulus: None,
        strength: None,
        crush: None,
        grams_each: None,
        grain: Grain::None,
        kerf: Length::ZERO,
        same_as: None,
        keeps_days: None,
        hazard: Hazard::None,
        solvent: None,
        source: "test".to_owned(),
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
        id: id.to_owned(),
        name: format!("step {id}"),
        kind,
        material: None,
        solution: None,
        overlap: Length::ZERO,
        margin: Length::ZERO,
        opening_lap: Length::ZERO,
        seam_distance: Length::ZERO,
        canvas_seam_distance: Length::ZERO,
        longest_piece: None,
        laying: Laying::TopDown,
        trim: Length::ZERO,
        direction: Direction::Auto,
        spread: None,
        waste: Percent::ZERO,
        work: Vec::new(),
        skill: "conservator".to_owned(),
        crew: (1, 2),
        speed: Vec::new(),
        when: When::Any,
        drying_minutes: 0,
        cures_minutes: 0,
        same_day: true,
        pausable: true,
        after: None,
        within_minutes: None,
        order: Order::Panel,
        equipment: Vec::new(),
        uses: Vec::new(),
        place: PlaceRole::Site,
    }
}

pub(crate) fn site() -> Site {
    let day = vec![(480, 720), (780, 1020)];
    Site {
        role: PlaceRole::Site,
        name: "hall".to_owned(),
        hours: [
            day.clone(),
            day.clone(),
            day.clone(),
            day.clone(),
            day,
            vec![],
            vec![],
        ],
        closed: BTreeSet::new(),
        temperature: Temperature::celsius(20.0),
        humidity: 50.0,
        room_m3: None,
        fresh_air_m3_h: None,
        flammable_limit: None,
        drying_factor: 1.0,
        travel_days: 0,
        daylight: None,
        cool: None,
        lifts: Vec::new(),
        lift_reach: Length::ZERO,
        ways_out: Vec::new(),
    }
}

/// A job of one recipe, `plain`; first day Tuesday 2026-12-01, ordered on Friday 2026-11-20.
pub(crate) fn job(steps: Vec<Step>, solutions: Vec<Solution>) -> Job {
    let recipe = Recipe {
        id: "plain".to_owned(),
        name: "Plain".to_owned(),
        about: String::new(),
        substitutes: BTreeMap::new(),
        solutions,
        steps,
    };
    let mut catalog = Catalog::default();
    for id in ["toluene", "water"] {
        catalog.solvents.insert(id.to_owned(), solvent(id));
    }
    Job {
        title: "Test hall".to_owned(),
        currency: "EUR".to_owned(),
        unit: LengthUnit::Mm,
        paper: Paper::A4,
        first_day: date(2026, 12, 1),
        hand_over: None,
        order_day: date(2026, 11, 20),
        places: vec![site()],
        people: Vec::new(),
        equipment: Vec::new(),
        terms: Terms::default(),
        cases: Vec::new(),
        choices: Choices::default(),
        odds: OddsTerms::default(),
        panels: Vec::new(),
        stock: BTreeMap::new(),
        planning: Planning::default(),
        shelf: BTreeMap::new(),
        ordered: Vec::new(),
        received: Vec::new(),
        locale: Locale::PLAIN,
        buying: Buying::default(),
        offcuts: Vec::new(),
        useful_offcut: Length::whole_mm(150),
        recipes: BTreeMap::from([("plain".to_owned(), recipe)]),
        catalog,
        inputs: BTreeMap::new(),
    }
}

/// Adds a panel, 4 × 3 m, to job and survey.
pub(crate) fn add_panel(job: &mut Job, survey: &mut Survey, id: &str) {
    job.panels.push(PanelRow {
        at: Place::File {
            file: "panels.csv".to_owned(),
        },
        panel: id.to_owned(),
        count: 1,
        place: "north wall".to_owned(),
        shape: PanelShape::Rectangle,
        width: Length::m(4.0),
        height: Length::m(3.0),
        recipe: "plain".to_owned(),
        paint: Paint::Sound,
        give: Give::Stiff,
        adhesive: Adhesive::Paste,
        release_rate: None,
        removal_factor: None,
        thickness: None,
        grams_per_m2: None,
        measured: MeasuredLayers::default(),
        height_above_floor: Length::ZERO,
        roll_along: RollAlong::Auto,
        destination: String::new(),
        return_date: None,
        return_order: None,
        seams: Vec::new(),
        mould: false,
        lead: false,
        notes: String::new(),
        openings: Vec::new(),
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
