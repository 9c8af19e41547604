//! Small jobs made in Rust, for tests of the stages before and beside the readers.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use facelay::catalog::Adhesive;
use facelay::catalog::Catalog;
use facelay::catalog::Give;
use facelay::catalog::Grain;
use facelay::catalog::Hazard;
use facelay::catalog::Material;
use facelay::catalog::MaterialKind;
use facelay::catalog::Paint;
use facelay::catalog::Per;
use facelay::catalog::Use;
use facelay::diag::Place;
use facelay::geometry::Point;
use facelay::geometry::Region;
use facelay::job::Job;
use facelay::job::OddsTerms;
use facelay::job::Opening;
use facelay::job::OpeningShape;
use facelay::job::PanelRow;
use facelay::job::PanelShape;
use facelay::job::Paper;
use facelay::job::Planning;
use facelay::job::RollAlong;
use facelay::job::Site;
use facelay::job::Terms;
use facelay::recipe::Basis;
use facelay::recipe::Concentration;
use facelay::recipe::Direction;
use facelay::recipe::Laying;
use facelay::recipe::Order;
use facelay::recipe::PlaceRole;
use facelay::recipe::Recipe;
use facelay::recipe::Solution;
use facelay::recipe::Step;
use facelay::recipe::When;
use facelay::recipe::steps::StepKind;
use facelay::takeoff::LaidLayer;
use facelay::takeoff::Way;
use facelay::units::Area;
use facelay::units::Length;
use facelay::units::LengthUnit;
use facelay::units::Percent;
use facelay::units::Temperature;
use jiff::civil::date;

/// Millimetres.
pub(crate) fn mm(value: f64) -> Length {
    Length::mm(value)
}

/// A row of a table called `panels.csv`.
pub(crate) fn row(number: usize) -> Place {
    Place::Cell {
        file: "panels.csv".to_owned(),
        sheet: None,
        row: number,
        column: 0,
        heading: String::new(),
    }
}

/// A sound, rectangular panel on the recipe `facing`.
pub(crate) fn panel(name: &str, width: f64, height: f64) -> PanelRow {
    PanelRow {
        at: row(2),
        panel: name.to_owned(),
        count: 1,
        place: "north wall".to_owned(),
        shape: PanelShape::Rectangle,
        width: mm(width),
        height: mm(height),
        recipe: "facing".to_owned(),
        paint: Paint::Sound,
        give: Give::Stiff,
        adhesive: Adhesive::Paste,
        release_rate: None,
        removal_factor: None,
        thickness: None,
        grams_per_m2: None,
        measured: facelay::job::MeasuredLayers::default(),
        height_above_floor: Length::ZERO,
        roll_along: RollAlong::Auto,
        seams: Vec::new(),
        destination: String::new(),
        return_date: None,
        return_order: None,
        mould: false,
        lead: false,
        notes: String::new(),
        openings: Vec::new(),
    }
}

/// A panel through corners in millimetres.
pub(crate) fn outline(name: &str, corners: &[(f64, f64)]) -> PanelRow {
    let points = corners
        .iter()
        .map(|&(x, y)| Point::new(mm(x), mm(y)))
        .collect();
    PanelRow {
        shape: PanelShape::Outline(points),
        ..panel(name, 1000.0, 1000.0)
    }
}

/// A rectangular opening.
pub(crate) fn opening(left: f64, bottom: f64, width: f64, height: f64) -> Opening {
    Opening {
        shape: OpeningShape::Rectangle,
        left: mm(left),
        bottom: mm(bottom),
        width: mm(width),
        height: mm(height),
        at: Place::Cell {
            file: "openings.csv".to_owned(),
            sheet: None,
            row: 2,
            column: 0,
            heading: String::new(),
        },
    }
}

/// A material without anything optional.
pub(crate) fn material(id: &str, kind: MaterialKind) -> Material {
    Material {
        id: id.to_owned(),
        name: id.to_owned(),
        kind,
        width: None,
        length: None,
        thickness: None,
        diameter: None,
        wall: None,
        feather: Length::ZERO,
        grams_per_m2: None,
        density: None,
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
        source: "demo".to_owned(),
    }
}

/// A sheet or roll of a width and length in millimetres.
pub(crate) fn sheeting(id: &str, kind: MaterialKind, width: f64, length: f64) -> Material {
    Material {
        width: Some(mm(width)),
        length: Some(mm(length)),
        ..material(id, kind)
    }
}

/// A liquid or resin of a density in g/ml.
pub(crate) fn dense(id: &str, kind: MaterialKind, density: f64) -> Material {
    Material {
        density: Some(density),
        ..material(id, kind)
    }
}

/// A step of a kind that takes nothing.
pub(crate) fn step(id: &str, kind: StepKind) -> Step {
    Step {
        id: id.to_owned(),
        name: id.to_owned(),
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
        same_day: false,
        pausable: true,
        after: None,
        within_minutes: None,
        order: Order::Panel,
        equipment: Vec::new(),
        uses: Vec::new(),
        place: PlaceRole::Site,
    }
}

/// A layer of a material with an overlap in millimetres.
pub(crate) fn layer(id: &str, material: &str, overlap: f64) -> Step {
    Step {
        material: Some(material.to_owned()),
        overlap: mm(overlap),
        ..step(id, StepKind::Layer)
    }
}

/// A use at a rate.
pub(crate) fn uses(material: &str, rate: f64, per: Per) -> Use {
    Use {
        material: material.to_owned(),
        rate,
        per,
    }
}

/// 10 % w/v of `resin` in `toluene`.
pub(crate) fn solution(id: &str) -> Solution {
    Solution {
        id: id.to_owned(),
        name: id.to_owned(),
        resin: Some("resin".to_owned()),
        concentration: Some(Concentration {
            value: 10.0,
            basis: Basis::MassInSolution,
        }),
        solvents: vec![("toluene".to_owned(), 1.0)],
        pot_life_minutes: None,
        largest_batch: None,
    }
}

/// A recipe of steps.
pub(crate) fn recipe(id: &str, solutions: Vec<Solution>, steps: Vec<Step>) -> Recipe {
    Recipe {
        id: id.to_owned(),
        name: id.to_owned(),
        about: "tests".to_owned(),
        solutions,
        substitutes: BTreeMap::new(),
        steps,
    }
}

/// A job of panels on one recipe called `facing`, with the materials given and `resin` and `toluene`.
pub(crate) fn job(panels: Vec<PanelRow>, steps: Vec<Step>, materials: Vec<Material>) -> Job {
    let own = [
        dense("resin", MaterialKind::Resin, 1.15),
        dense("toluene", MaterialKind::Liquid, 0.8669),
    ];
    let materials = own
        .into_iter()
        .chain(materials)
        .map(|material| (material.id.clone(), material));
    let catalog = Catalog {
        materials: materials.collect(),
        ..Catalog::default()
    };
    job_of(
        panels,
        [recipe("facing", vec![solution("mix")], steps)],
        catalog,
    )
}

/// A job of panels on recipes and nothing else; first day Tuesday 2026-12-01, ordered on Wednesday 2026-11-25.
pub(crate) fn job_of(
    panels: Vec<PanelRow>,
    recipes: impl IntoIterator<Item = Recipe>,
    catalog: Catalog,
) -> Job {
    let recipes = recipes.into_iter();
    Job {
        title: "Test".to_owned(),
        currency: "EUR".to_owned(),
        unit: LengthUnit::Mm,
        paper: Paper::A4,
        first_day: date(2026, 12, 1),
        hand_over: None,
        order_day: date(2026, 11, 25),
        places: Vec::new(),
        people: Vec::new(),
        equipment: Vec::new(),
        terms: Terms::default(),
        cases: Vec::new(),
        choices: facelay::job::Choices::default(),
        odds: OddsTerms::default(),
        panels,
        stock: BTreeMap::new(),
        planning: Planning::default(),
        shelf: BTreeMap::new(),
        ordered: Vec::new(),
        received: Vec::new(),
        locale: facelay::units::Locale::PLAIN,
        buying: facelay::job::Buying::default(),
        offcuts: Vec::new(),
        useful_offcut: Length::whole_mm(150),
        recipes: recipes.map(|recipe| (recipe.id.clone(), recipe)).collect(),
        catalog,
        inputs: BTreeMap::new(),
    }
}

/// A place at 20 °C and 50 % humidity where nobody works yet.
pub(crate) fn site() -> Site {
    Site {
        role: PlaceRole::Site,
        name: "hall".to_owned(),
        hours: Default::default(),
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

/// A cloth laid on the first panel by the first step, without its pieces.
pub(crate) fn laid(cloth: &str, area: Area) -> LaidLayer {
    LaidLayer {
        panel: 0,
        step: 0,
        layer: 1,
        material: cloth.to_owned(),
        way: Way::Upright,
        overlap: Length::ZERO,
        seam_distance: Length::ZERO,
        canvas_seam_distance: Length::ZERO,
        longest_piece: None,
        laying: Laying::TopDown,
        bands: [].into(),
        region: Region::default().into(),
        pieces: Vec::new(),
        laid: area,
    }
}
