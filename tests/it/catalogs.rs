//! The built-in catalogue: it loads, hangs together, and holds what published tables hold.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use facelay::catalog;
use facelay::catalog::Adhesive;
use facelay::catalog::Catalog;
use facelay::catalog::MaterialKind;
use facelay::catalog::Paint;
use facelay::diag::Problems;
use facelay::recipe;
use facelay::units::LengthUnit;
use facelay::units::NumberStyle;
use rust_decimal::prelude::ToPrimitive;

/// The files of `catalogs/` as a job folder would hold them.
fn files() -> BTreeMap<String, Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogs");
    let entries = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file());
    entries
        .map(|path| {
            (
                format!("catalogs/{}", path.file_name().unwrap().to_str().unwrap()),
                fs::read(&path).unwrap(),
            )
        })
        .collect()
}

/// Reads one file over the built-in catalogue and returns what was said.
fn said(file: &str, text: &str) -> Vec<String> {
    let mut problems = Problems::new();
    let files = BTreeMap::from([(format!("catalogs/{file}"), text.as_bytes().to_vec())]);
    drop(catalog::with_rows(
        catalog::built_in(),
        &files,
        &mut problems,
    ));
    problems
        .iter()
        .map(|problem| format!("{}: {}", problem.place.as_ref().unwrap(), problem.text))
        .collect()
}

#[test]
fn the_built_in_rows_load_without_a_problem() {
    let mut problems = Problems::new();
    let read = catalog::with_rows(Catalog::default(), &files(), &mut problems);
    assert!(problems.is_empty(), "{problems:#?}");
    assert_eq!(read, catalog::built_in());
}

#[test]
fn every_row_says_where_it_comes_from() {
    for (file, bytes) in files().iter().filter(|(file, _)| {
        Path::new(file)
            .extension()
            .is_some_and(|ending| ending == "csv")
    }) {
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let column = reader
            .headers()
            .unwrap()
            .iter()
            .position(|heading| heading == "source")
            .unwrap();
        for (row, record) in reader.records().enumerate() {
            assert!(
                !record.unwrap().get(column).unwrap().trim().is_empty(),
                "{file}, row {}",
                row + 2
            );
        }
    }
}

#[test]
fn everything_can_be_bought_and_most_of_it_from_two() {
    let catalog = catalog::built_in();
    let mut single = 0;
    for id in catalog.materials.keys() {
        let offers = catalog.offers.iter().filter(|offer| offer.material == *id);
        let suppliers: BTreeSet<&str> = offers.map(|offer| offer.supplier.as_str()).collect();
        assert!(!suppliers.is_empty(), "nobody offers {id}");
        single += usize::from(suppliers.len() == 1);
    }
    assert!(
        single * 2 < catalog.materials.len(),
        "{single} of {} have one supplier",
        catalog.materials.len()
    );
}

/// A larger pack or a later break that costs more a unit would be a slip of the pen.
#[test]
fn buying_more_from_a_supplier_never_costs_more_a_unit() {
    let catalog = catalog::built_in();
    let mut last: BTreeMap<(&str, &str), (f64, f64)> = BTreeMap::new();
    for offer in &catalog.offers {
        let pack = offer.pack.to_f64().unwrap();
        let of_unit = |index: usize| offer.prices[index].price.amount().to_f64().unwrap() / pack;
        for index in 1..offer.prices.len() {
            assert!(
                of_unit(index) <= of_unit(index - 1),
                "{} from {}",
                offer.material,
                offer.supplier
            );
        }
        let before = last.insert((&offer.material, &offer.supplier), (pack, of_unit(0)));
        if let Some((smaller, price)) = before {
            // A cent of rounding on the pack.
            assert!(
                smaller < pack && of_unit(0) <= price + 0.01 / pack,
                "{} from {}",
                offer.material,
                offer.supplier
            );
        }
    }
}

/// Ids that recipes, drums and crates name.
fn used(catalog: &Catalog) -> BTreeSet<String> {
    let style = NumberStyle {
        unit: LengthUnit::Mm,
        decimal_comma: false,
    };
    let mut ids = BTreeSet::new();
    for (file, text) in recipe::built_in() {
        let recipe =
            recipe::read(file, text.as_bytes(), catalog, style, &mut Problems::new()).unwrap();
        for solution in &recipe.solutions {
            ids.extend(solution.resin.clone());
            ids.extend(solution.solvents.iter().map(|(id, _)| id.clone()));
        }
        for step in &recipe.steps {
            ids.extend(step.material.clone());
            ids.extend(step.uses.iter().map(|used| used.material.clone()));
        }
    }
    let (drum, packing) = (&catalog.drum_kit, &catalog.crate_kit);
    ids.extend(
        [
            &drum.interleaf,
            &drum.padding,
            &drum.cover,
            &drum.stand,
            &drum.stand_hire,
            &packing.barrier,
            &packing.skid,
            &packing.support,
            &packing.lining,
        ]
        .into_iter()
        .flatten()
        .cloned(),
    );
    ids.extend([&packing.board, &packing.batten, &packing.foam].map(Clone::clone));
    ids.extend(
        [&packing.buffer, &packing.screw, &packing.bolt]
            .into_iter()
            .flatten()
            .map(|(id, _)| id.clone()),
    );
    ids.extend(
        drum.uses
            .iter()
            .chain(&packing.uses)
            .map(|used| used.material.clone()),
    );
    ids
}

/// A row that nothing built in uses is there for a studio's own recipes, and its source says `spare`.
#[test]
fn what_nothing_uses_is_marked_spare() {
    let catalog = catalog::built_in();
    let used = used(&catalog);
    let unmarked: Vec<&str> = catalog
        .materials
        .values()
        .filter(|material| material.kind != MaterialKind::Tube && !used.contains(&material.id))
        .filter(|material| !material.source.contains("spare"))
        .map(|material| material.id.as_str())
        .collect();
    assert!(unmarked.is_empty(), "{unmarked:?}");
}

/// `uses` of a roll by drum, crate or panel count whole rolls: more than two would be metres written for rolls.
#[test]
fn nothing_takes_rolls_by_the_dozen() {
    let catalog = catalog::built_in();
    for used in catalog.drum_kit.uses.iter().chain(&catalog.crate_kit.uses) {
        let is_roll = catalog.materials[&used.material].kind == MaterialKind::Roll;
        assert!(
            !is_roll || used.rate <= 2.0,
            "{} rolls of {} a {}",
            used.rate,
            used.material,
            used.per.name()
        );
    }
}

#[test]
fn a_liquid_weighs_what_its_solvent_row_says() {
    let catalog = catalog::built_in();
    let liquids = catalog
        .materials
        .values()
        .filter_map(|material| Some((material, material.solvent.as_ref()?)));
    let mut seen = 0;
    for (material, solvent) in liquids {
        let (poured, tabled) = (material.density.unwrap(), catalog.solvents[solvent].density);
        assert!(
            (poured - tabled).abs() < 0.002,
            "{}: {poured} and {tabled}",
            material.id
        );
        assert_eq!(
            material.hazard.is_flammable(),
            catalog.solvents[solvent].flash_c.is_some(),
            "{}",
            material.id
        );
        seen += 1;
    }
    assert!(seen >= 9, "{seen} solvents");
}

#[test]
fn a_jobs_row_replaces_the_built_in_one_or_adds_to_it() {
    let files = BTreeMap::from([
        (
            "catalogs/rates.csv".to_owned(),
            b"id,minutes,per\nfacing-tissue,41,m2\nbirds,5,panel\n".to_vec(),
        ),
        (
            "catalogs/removal.csv".to_owned(),
            b"paint,adhesive,factor\nsound,glue,1.25\n".to_vec(),
        ),
    ]);
    let mut problems = Problems::new();
    let base = catalog::built_in();
    let own = catalog::with_rows(base.clone(), &files, &mut problems);
    assert!(problems.is_empty(), "{problems:#?}");
    assert_eq!(own.rates["facing-tissue"].minutes, 41.0);
    assert_eq!(own.rates.len(), base.rates.len() + 1);
    assert_eq!(own.multipliers.len(), base.multipliers.len());
    let glue = own
        .multipliers
        .iter()
        .find(|row| (row.paint, row.adhesive) == (Paint::Sound, Adhesive::Glue))
        .unwrap();
    assert_eq!(glue.factor, 1.25);
}

#[test]
fn each_slip_is_told_with_its_cell() {
    fn case(file: &str, text: &str, place: &str, words: &str) {
        let said = said(file, text);
        let found = said
            .iter()
            .any(|line| line.starts_with(place) && line.contains(words));
        assert!(
            found,
            "{file}: no problem at `{place}` with `{words}` in {said:#?}"
        );
    }
    case(
        "materials.csv",
        "id,kind,length,diameter,wall\nt,tube,3000,100,50\n",
        "catalogs/materials.csv, row 2",
        "wall",
    );
    case(
        "materials.csv",
        "id,kind,width\ns,sheet,600\n",
        "catalogs/materials.csv, row 2",
        "length",
    );
    case(
        "materials.csv",
        "id,kind,density_g_ml,solvent\nl,liquid,0.8,toluen\n",
        "catalogs/materials.csv, row 2",
        "toluen",
    );
    case(
        "materials.csv",
        "id,kind,density_g_ml\nl,liquid,0.8\nl,liquid,0.9\n",
        "catalogs/materials.csv, row 3",
        "two rows",
    );
    let offers = "material,supplier,pack,price,break1_packs,break1_price,break2_packs,break2_price,lead_days\n";
    let supplier = catalog::built_in().suppliers.keys().next().unwrap().clone();
    case(
        "offers.csv",
        &format!("{offers}tissue-13,{supplier},1,2.00,,,,,5\n"),
        "catalogs/offers.csv, row 2",
        "tissue-13",
    );
    case(
        "offers.csv",
        &format!("{offers}tissue-12,{supplier},0,2.00,,,,,5\n"),
        "catalogs/offers.csv, row 2",
        "0",
    );
    case(
        "offers.csv",
        &format!("{offers}tissue-12,{supplier},10,20,5,19,5,18,5\n"),
        "catalogs/offers.csv, row 2",
        "5 packs",
    );
    case(
        "rates.csv",
        "id,minutes,per\nx,5,m3\n",
        "catalogs/rates.csv, row 2",
        "m3",
    );
    case("rate.csv", "id\nx\n", "catalogs/rate.csv", "rate.csv");
}

/// The least that the catalogue is to hold: facing materials as sheets and rolls, in metric and inch sizes, resins, solvents, tubes.
#[test]
fn there_is_enough_to_choose_from() {
    let catalog = catalog::built_in();
    let of = |kind: MaterialKind| {
        catalog
            .materials
            .values()
            .filter(move |material| material.kind == kind)
    };
    let facing = || {
        of(MaterialKind::Sheet)
            .chain(of(MaterialKind::Roll))
            .filter(|material| {
                material
                    .grams_per_m2
                    .is_some_and(|grams| (5.0..=150.0).contains(&grams))
            })
    };
    assert!(
        facing().count() >= 12,
        "{} facing materials",
        facing().count()
    );
    assert!(
        facing().any(|material| material.kind == MaterialKind::Sheet)
            && facing().any(|material| material.kind == MaterialKind::Roll)
    );
    assert!(
        facing().any(|material| material.id.contains("inch")
            || material.name.contains("in ")
            || material.name.contains('"')),
        "no facing in inches"
    );
    for word in ["tissue", "rag", "mulberry", "gauze", "muslin", "nonwoven"] {
        assert!(
            catalog.materials.keys().any(|id| id.contains(word)),
            "no {word}"
        );
    }
    assert!(
        of(MaterialKind::Resin).count() >= 6,
        "{} resins",
        of(MaterialKind::Resin).count()
    );
    assert!(
        of(MaterialKind::Tube).count() >= 8
            && of(MaterialKind::Board).count() >= 2
            && of(MaterialKind::Timber).count() >= 2
    );
    assert!(catalog.solvents.len() >= 8 && catalog.suppliers.len() == 4);
}

/// A job's `drum.toml` and `crate.toml` put their keys over the built-in kits; what they do not name stays.
#[test]
fn a_jobs_kits_are_put_over_the_built_in_ones() {
    let own = |file: &str, text: &str| {
        let mut problems = Problems::new();
        let files = BTreeMap::from([(file.to_owned(), text.as_bytes().to_vec())]);
        let catalog = catalog::with_rows(catalog::built_in(), &files, &mut problems);
        let said: Vec<String> = problems
            .iter()
            .map(|problem| format!("{} {}", problem.text, problem.help.join(" ")))
            .collect();
        (catalog, said.join("\n"))
    };
    let base = catalog::built_in();
    let (catalog, said) = own(
        "catalogs/drum.toml",
        "end_margin = \"150 mm\"\nlooseness = \"12 %\"\n",
    );
    assert_eq!(said, "");
    assert_eq!(catalog.drum_kit.end_margin.to_mm(), 150.0);
    assert_ne!(catalog.drum_kit.looseness, base.drum_kit.looseness);
    assert_eq!(
        (catalog.drum_kit.leader, &catalog.drum_kit.uses),
        (base.drum_kit.leader, &base.drum_kit.uses)
    );
    assert_eq!(catalog.crate_kit, base.crate_kit);
    let (_, said) = own("catalogs/drum.toml", "end_margn = 150\n");
    assert!(
        said.contains("end_margn") && said.contains("`end_margin`"),
        "{said}"
    );
    let (_, said) = own("catalogs/crate.toml", "board = \"tissue-12\"\n");
    assert!(
        said.contains("tissue-12") && said.contains("board"),
        "{said}"
    );
}
