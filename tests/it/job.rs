//! Whole job folders: the same job as CSV, XLSX and one workbook, new folders from templates, and very many rows.

use std::collections::BTreeMap;
use std::fmt::Write;

use facelay::diag::Problems;
use facelay::job;
use facelay::job::Job;
use facelay::job::OpeningShape;
use facelay::job::PanelShape;
use facelay::job::Scene;
use facelay::job::TemplateKind;
use rust_xlsxwriter::Workbook;

type Files = BTreeMap<String, Vec<u8>>;

const SETTINGS: &str = include_str!("../errors/_whole/job.toml");
const PANELS: &str = include_str!("../errors/_whole/panels.csv");

fn files(files: &[(&str, &[u8])]) -> Files {
    files
        .iter()
        .map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec()))
        .collect()
}

fn said(problems: &Problems) -> Vec<String> {
    let place = |problem: &facelay::diag::Problem| {
        problem
            .place
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default()
    };
    problems
        .iter()
        .map(|problem| format!("{}: {}: {}", problem.level, place(problem), problem.text))
        .collect()
}

fn good(files: &Files) -> Job {
    let (job, problems) = job::read(files);
    assert_eq!(said(&problems), Vec::<String>::new());
    job.unwrap()
}

/// Writes CSV texts as the sheets of a workbook.
fn workbook(sheets: &[(&str, &str)]) -> Vec<u8> {
    let mut book = Workbook::new();
    for (name, text) in sheets {
        let page = book.add_worksheet().set_name(*name).unwrap();
        for (row, record) in (0..).zip(
            csv::ReaderBuilder::new()
                .has_headers(false)
                .from_reader(text.as_bytes())
                .records(),
        ) {
            for (column, cell) in (0..).zip(&record.unwrap()) {
                page.write(row, column, cell).unwrap();
            }
        }
    }
    book.save_to_buffer().unwrap()
}

#[test]
fn a_whole_job_is_read() {
    let openings = "panel,shape,left,bottom,width,height,spring\nN1,arch,40 cm,0,90 cm,2.1 m,1.7 m\nN1,,2 m,1 m,300,300,\n";
    let outlines = "panel,x,y\nS1,0,0\nS1,3 m,0\nS1,3 m,2 m\nS1,0,1.5 m\nS1,0,0\n";
    let panels = format!("{PANELS}S1,south wall,outline,,,,,,,brittle,oil-lead,\n");
    let all = files(&[
        ("job.toml", SETTINGS.as_bytes()),
        ("panels.csv", panels.as_bytes()),
        ("openings.csv", openings.as_bytes()),
        ("outlines.csv", outlines.as_bytes()),
    ]);
    let job = good(&all);
    assert_eq!(
        (job.title.as_str(), job.currency.as_str()),
        ("Assembly hall, north range", "EUR")
    );
    assert_eq!(job.hand_over.unwrap().to_string(), "2027-01-29");
    assert_eq!(job.order_day.to_string(), "2026-11-20");
    assert_eq!(job.places[0].hours[0], [(480, 720), (780, 1020)]);
    assert_eq!(job.places[0].hours[5], [(480, 720)]);
    assert!(job.places[0].hours[6].is_empty());
    assert_eq!(job.places[0].closed.len(), 10);
    assert_eq!(job.places[0].humidity, 65.0);
    assert_eq!(job.places[0].drying_factor, 1.0);
    assert_eq!(job.places[0].flammable_limit.unwrap().to_ml(), 20_000.0);
    assert_eq!(job.people[0].count, 3);
    assert_eq!(job.terms.own_lines[0].rate.to_string(), "840.00");
    let [n1, n2, n3, s1] = job.panels.as_slice() else {
        panic!("{} panels", job.panels.len())
    };
    assert_eq!(
        (n1.width.to_mm(), n1.height.to_mm(), n1.recipe.as_str()),
        (3200.0, 2400.0, "supple-paste")
    );
    assert_eq!(n1.openings.len(), 2);
    assert_eq!(n1.openings[1].shape, OpeningShape::Rectangle);
    assert!(matches!(n2.shape, PanelShape::Arch { spring } if spring.to_mm() == 1800.0));
    assert_eq!((n3.count, n3.shape.clone()), (2, PanelShape::Lunette));
    assert!(matches!(&s1.shape, PanelShape::Outline(corners) if corners.len() == 4));
    assert_eq!(
        (s1.width.to_mm(), s1.height.to_mm(), s1.lead),
        (3000.0, 2000.0, true)
    );
    // Known answer: `printf abc | sha256sum`, FIPS 180-2 appendix B.1.
    let mut abc = all;
    abc.insert("notes.txt".to_owned(), b"abc".to_vec());
    assert_eq!(
        good(&abc).inputs["notes.txt"],
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

/// A roll end measured a little short is as wide as its roll; rows of one size add up, whole units apart from parts.
#[test]
fn the_shelf_has_whole_units_and_parts() {
    let stock = "material,quantity,unit,width,length,notes\ntissue-12,18,sheet,,,\ngauze-25,1,roll,35.43 in,12.5 m,end\ntissue-12,2,sheet,320 mm,40 cm,\ntissue-12,1,,320,400,\n";
    let job = good(&files(&[
        ("job.toml", SETTINGS.as_bytes()),
        ("panels.csv", PANELS.as_bytes()),
        ("stock.csv", stock.as_bytes()),
    ]));
    assert_eq!(job.stock.len(), 1);
    assert_eq!(job.useful_offcut.to_mm(), 150.0);
    let parts: Vec<_> = job
        .offcuts
        .iter()
        .map(|part| {
            (
                part.material.as_str(),
                part.width.to_mm(),
                part.length.to_mm(),
                part.count,
            )
        })
        .collect();
    assert_eq!(
        parts,
        [
            ("gauze-25", 900.0, 12_500.0, 1),
            ("tissue-12", 320.0, 400.0, 3)
        ]
    );
}

#[test]
fn the_same_tables_mean_the_same_in_every_file() {
    let openings = "panel,left,bottom,width,height\nN1,400,0,900,2100\n";
    let csv = good(&files(&[
        ("job.toml", SETTINGS.as_bytes()),
        ("panels.csv", PANELS.as_bytes()),
        ("openings.csv", openings.as_bytes()),
    ]));
    let sheets = workbook(&[
        ("About", "what\nnothing\n"),
        ("Panels", PANELS),
        ("openings", openings),
        ("lists", "a\nb\n"),
    ]);
    for name in ["job.xlsx", "panels.xlsx"] {
        let mut xlsx = good(&files(&[
            ("job.toml", SETTINGS.as_bytes()),
            (name, &sheets),
        ]));
        assert_eq!(xlsx.panels.len(), csv.panels.len());
        for (one, other) in xlsx.panels.iter_mut().zip(&csv.panels) {
            one.at = other.at.clone();
            for (one, other) in one.openings.iter_mut().zip(&other.openings) {
                one.at = other.at.clone();
            }
            assert_eq!(one, other);
        }
    }
    let named = format!("{SETTINGS}\n[tables]\npanels = \"walls.xlsx\"\n");
    let only = workbook(&[("Sheet1", PANELS)]);
    assert_eq!(
        good(&files(&[
            ("job.toml", named.as_bytes()),
            ("walls.xlsx", &only)
        ]))
        .panels
        .len(),
        3
    );
}

#[test]
fn two_tables_of_one_name_are_told() {
    let sheets = workbook(&[("panels", PANELS), ("pannels", PANELS)]);
    let (job, problems) = job::read(&files(&[
        ("job.toml", SETTINGS.as_bytes()),
        ("panels.csv", PANELS.as_bytes()),
        ("job.xlsx", &sheets),
    ]));
    assert!(job.is_none());
    assert_eq!(
        said(&problems),
        [
            "warning: job.xlsx, sheet pannels, row 1: the sheet `pannels` is not read: it has none of the names that a job's tables have",
            "error: panels.csv, row 1: the table `panels` is here and in `job.xlsx`, sheet `panels`, too",
        ]
    );
}

fn templates() -> impl Iterator<Item = (TemplateKind, Scene)> {
    let scenes = Scene::ALL.iter().copied();
    scenes.flat_map(|scene| TemplateKind::ALL.iter().map(move |kind| (*kind, scene)))
}

#[test]
fn a_new_folder_can_be_planned_as_it_stands() {
    for (kind, scene) in templates() {
        let template: Files = job::template(kind, scene).unwrap().into_iter().collect();
        let job = good(&template);
        let panels = if scene == Scene::Mural { 4 } else { 3 };
        assert_eq!(job.panels.len(), panels, "{}", scene.name());
        let openings = matches!(scene, Scene::Hall | Scene::Mural);
        assert_eq!(job.panels[0].openings.len(), usize::from(openings));
        let inches = kind == TemplateKind::Imperial;
        assert_eq!(job.unit.is_imperial(), inches);
        let plan = facelay::plan::make(job, Problems::new(), &mut |_| ());
        assert!(!plan.problems.has_errors(), "{}", scene.name());
        assert_eq!(
            template,
            job::template(kind, scene).unwrap().into_iter().collect()
        );
    }
}

/// Every key line of a new job.toml says what it is for.
#[test]
fn a_new_job_file_explains_its_lines() {
    for (kind, scene) in templates() {
        let template: Files = job::template(kind, scene).unwrap().into_iter().collect();
        let text = String::from_utf8(template["job.toml"].clone()).unwrap();
        let mut explained = std::collections::BTreeSet::new();
        for line in text
            .lines()
            .filter(|line| !line.is_empty() && !line.starts_with('#'))
        {
            let key = line.split(['=', '#']).next().unwrap().trim().to_owned();
            assert!(line.contains('#') || explained.contains(&key), "{line}");
            explained.insert(key);
        }
    }
}

#[test]
fn forty_thousand_rows_are_read() {
    let mut panels = "panel,place,shape,width,height,paint,give,adhesive,seams,notes\n".to_owned();
    let mut openings = "panel,left,bottom,width,height\n".to_owned();
    for number in 0..40_000 {
        writeln!(
            panels,
            "P{number},wall {},rectangle,{} mm,8' 2 1/2\",sound,stiff,paste,0.4 m,a note",
            number % 7,
            2_000 + number % 500
        )
        .unwrap();
        writeln!(openings, "P{number},400,0,300,900").unwrap();
    }
    let all = files(&[
        ("job.toml", SETTINGS.as_bytes()),
        ("panels.csv", panels.as_bytes()),
        ("openings.csv", openings.as_bytes()),
    ]);
    let job = good(&all);
    assert_eq!(
        job.panels
            .iter()
            .map(|panel| panel.openings.len())
            .sum::<usize>(),
        40_000
    );
}

/// Whatever stands in the files, a job is read or told to be wrong.
fn survives(name: &str, bytes: &[u8]) {
    let mut all = files(&[
        ("job.toml", SETTINGS.as_bytes()),
        ("panels.csv", PANELS.as_bytes()),
    ]);
    all.insert(name.to_owned(), bytes.to_vec());
    let (job, problems) = job::read(&all);
    assert_eq!(job.is_none(), problems.has_errors());
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(32))]

    #[test]
    fn no_bytes_stop_the_reader(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..200)) {
        for name in ["job.toml", "panels.csv", "openings.csv", "stock.csv", "job.xlsx", "recipes/own.toml", "catalogs/offers.csv"] {
            survives(name, &bytes);
        }
    }

    /// A line of the job taken away, doubled, or cut is read or told.
    #[test]
    fn no_slip_in_the_job_file_stops_the_reader(line in 0_usize..60, cut in 0_usize..40, how in 0..3) {
        let mut lines: Vec<String> = SETTINGS.lines().map(str::to_owned).collect();
        let line = line % lines.len();
        match how {
            0 => drop(lines.remove(line)),
            1 => lines.insert(line, lines[line].clone()),
            _ => lines[line] = lines[line].chars().take(cut).collect(),
        }
        survives("job.toml", lines.join("\n").as_bytes());
    }

    #[test]
    fn no_row_stops_the_reader(cells in proptest::collection::vec("[0-9a-z.,'\" /x-]{0,12}", 12)) {
        let heading = PANELS.lines().next().unwrap();
        let quoted: Vec<String> = cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect();
        survives("panels.csv", format!("{heading}\n{}\n", quoted.join(",")).as_bytes());
    }
}

/// Prices in another currency are the job's as soon as they are read: 1.27 times, each pack's price and each charge to the cent, freight by weight as it is.
#[test]
fn prices_in_another_currency_are_turned_into_the_jobs() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/three-panels");
    let mut files = facelay::files::read_job(&folder).unwrap();
    let suppliers = "id,name,currency,minimum_order,freight_fixed,freight_per_kg,freight_free_from,hazard_surcharge,source\n\
        isle,Isle Stores,GBP,20.00,10.01,0.33,100.00,5.00,demo\n";
    let offers = "material,supplier,pack,price,break1_packs,break1_price,lead_days,source\n\
        tissue-5,isle,25,41.23,4,40.01,5,demo\n";
    files.insert("catalogs/suppliers.csv".to_owned(), suppliers.into());
    files.insert("catalogs/offers.csv".to_owned(), offers.into());
    let (_, problems) = job::read(&files);
    let unknown = "the prices of `isle` are in GBP, the job counts in USD, and no rate is stated";
    assert!(
        problems.iter().any(|problem| problem.text == unknown),
        "{problems:?}"
    );
    let toml = files.get_mut("job.toml").unwrap();
    toml.extend_from_slice(b"\n[purchase.rates]\nGBP = \"1.27\"\n");
    let (job, problems) = job::read(&files);
    let job = job.unwrap_or_else(|| panic!("{problems:?}"));
    let decimal = |money: facelay::units::Money| money.amount().normalize().to_string();
    let isle = &job.catalog.suppliers["isle"];
    assert_eq!(
        [
            isle.minimum_order,
            isle.freight_fixed,
            isle.freight_per_kg,
            isle.hazard_surcharge
        ]
        .map(decimal),
        ["25.4", "12.71", "0.4191", "6.35"]
    );
    assert_eq!(isle.freight_free_from.map(decimal).as_deref(), Some("127"));
    let offers = job
        .catalog
        .offers
        .iter()
        .filter(|offer| offer.supplier == "isle");
    let prices: Vec<String> = offers
        .flat_map(|offer| &offer.prices)
        .map(|price| decimal(price.price))
        .collect();
    assert_eq!(prices, ["52.36", "50.81"]);
}
