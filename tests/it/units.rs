//! Measures against what museums really wrote, and a handful of texts of the same grammar written afresh.

use std::collections::BTreeMap;
use std::path::PathBuf;

use facelay::units::LengthUnit;
use facelay::units::NumberStyle;
use facelay::units::SizeOrder;
use facelay::units::parse_air;
use facelay::units::parse_length;
use facelay::units::parse_size;

const STYLE: NumberStyle = NumberStyle {
    unit: LengthUnit::Mm,
    decimal_comma: false,
};

/// A table of what a museum wrote, from the folder `shared` beside the clone. Where that is not there the test fails, unless whoever runs
/// it has said with `FACELAY_WITHOUT_SHARED=1` to go without (`tests/run` does, and says so).
pub(crate) fn museum(file: &str) -> Option<String> {
    let folders = [
        std::env::var("FACELAY_SHARED").unwrap_or_default(),
        "../shared".to_owned(),
        "/work/shared".to_owned(),
    ];
    let mut paths = folders
        .iter()
        .filter(|folder| !folder.is_empty())
        .map(|folder| PathBuf::from(folder).join("reference").join(file));
    let text = paths.find_map(|path| std::fs::read_to_string(path).ok());
    assert!(
        text.is_some() || std::env::var_os("FACELAY_WITHOUT_SHARED").is_some(),
        "{file} is not on this machine: put the folder `shared` beside the clone, or set FACELAY_WITHOUT_SHARED=1 to go without it"
    );
    text
}

/// Source: Tate collection data, CC0, `tategallery/collection` at a51d8af; height before width by its custom.
#[test]
fn every_size_of_a_museum_is_read_or_refused_for_a_reason() {
    let Some(text) = museum("museum-dimensions.csv") else {
        return;
    };
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let mut others = Vec::new();
    for record in csv::Reader::from_reader(text.as_bytes()).records() {
        let record = record.unwrap();
        let wanted: (f64, f64) = (record[2].parse().unwrap(), record[3].parse().unwrap());
        let outcome = match parse_size(&record[1], STYLE, SizeOrder::HeightFirst) {
            Ok(size) if (size.height.to_mm(), size.width.to_mm()) == wanted => "read".to_owned(),
            Ok(size) => {
                others.push(format!(
                    "{} {:?}",
                    &record[1],
                    (size.height.to_mm(), size.width.to_mm())
                ));
                "read otherwise".to_owned()
            }
            Err(misread) if misread.text.ends_with(" parts") => "several parts".to_owned(),
            Err(misread) if misread.text.contains("says more than a size") => {
                "more than a size".to_owned()
            }
            Err(misread) => misread.text,
        };
        *counts.entry(outcome).or_default() += 1;
    }
    let count = |outcome: &str| counts.get(outcome).copied().unwrap_or(0);
    assert_eq!(counts.values().sum::<usize>(), 2_691);
    assert_eq!(counts.len(), 4, "a reason nobody expected");
    assert_eq!(
        (
            count("read"),
            count("several parts"),
            count("more than a size")
        ),
        (2_392, 289, 2)
    );
    // Without a word before them the record takes the last two of three numbers.
    assert!(
        others
            .iter()
            .all(|text| text.starts_with(|c: char| c.is_ascii_digit())),
        "{others:?}"
    );
}

/// Source: Carnegie Museum of Art collection data, CC0, `cmoa/collection` at 3603ad5.
#[test]
fn every_inch_of_a_museum_is_read_to_a_hundredth() {
    let Some(text) = museum("museum-inches.csv") else {
        return;
    };
    let mut read = 0;
    for record in csv::Reader::from_reader(text.as_bytes()).records() {
        let record = record.unwrap();
        for (text, inches) in [(&record[2], &record[4]), (&record[3], &record[5])] {
            let length = parse_length(text, STYLE).unwrap_or_else(|misread| panic!("{misread:?}"));
            let wanted: f64 = inches.parse().unwrap();
            assert!(
                (length.to_inches() - wanted).abs() <= 0.01,
                "{text}: {} for {wanted}",
                length.to_inches()
            );
            read += 1;
        }
        let both = format!("{} × {}", &record[2], &record[3]);
        let size = parse_size(&both, STYLE, SizeOrder::HeightFirst)
            .unwrap_or_else(|misread| panic!("{misread:?}"));
        assert!(
            (size.width.to_inches() - record[5].parse::<f64>().unwrap()).abs() <= 0.01,
            "{both}"
        );
    }
    assert_eq!(read, 1_800);
}

/// The same grammar, invented here.
#[test]
fn sizes_written_afresh() {
    fn case(text: &str, height: f64, width: f64) {
        let size = parse_size(text, STYLE, SizeOrder::HeightFirst)
            .unwrap_or_else(|misread| panic!("{misread:?}"));
        assert_eq!(
            (size.height.to_mm(), size.width.to_mm()),
            (height, width),
            "{text}"
        );
    }
    case("support: 1830 x 2440 mm", 1830.0, 2440.0);
    case("unconfirmed: 581 x 425 x 20 mm", 581.0, 425.0);
    case("object: 1550 x 1320 x 130 mm, 57 kg", 1550.0, 1320.0);
    case("3' 9 1/2\" × 2' 3\"", 1155.7, 685.8);
    let parts = parse_size(
        "image: 100 x 200 mm / mount: 150 x 250 mm",
        STYLE,
        SizeOrder::HeightFirst,
    )
    .unwrap_err();
    assert_eq!(
        parts.text,
        "`image: 100 x 200 mm / mount: 150 x 250 mm` has 2 parts"
    );
    assert_eq!(
        parts.help,
        "leave only the size of the painting itself, such as `100 x 200 mm`"
    );
}

/// Every fraction that Unicode has as one character for an inch's halves to eighths.
#[test]
fn fractions_of_one_character_are_read() {
    for (written, over, under) in [
        ("½", 1.0, 2.0),
        ("⅓", 1.0, 3.0),
        ("⅔", 2.0, 3.0),
        ("¼", 1.0, 4.0),
        ("¾", 3.0, 4.0),
        ("⅕", 1.0, 5.0),
        ("⅖", 2.0, 5.0),
        ("⅗", 3.0, 5.0),
        ("⅘", 4.0, 5.0),
        ("⅙", 1.0, 6.0),
        ("⅚", 5.0, 6.0),
        ("⅛", 1.0, 8.0),
        ("⅜", 3.0, 8.0),
        ("⅝", 5.0, 8.0),
        ("⅞", 7.0, 8.0),
    ] {
        for (text, whole) in [
            (format!("{written} in"), 0.0),
            (format!("17{written} in"), 17.0),
        ] {
            let found = parse_length(&text, STYLE).unwrap().to_mm();
            let right = 25.4 * (whole + over / under);
            assert!((found - right).abs() < 1e-4, "{text}: {found}");
        }
    }
}

/// 0.3048³ m³ sixty times an hour; a litre a second is 3.6 m³/h.
#[test]
fn air_flows_are_read() {
    for (text, flow) in [
        ("1800", 1_800.0),
        ("500 l/s", 1_800.0),
        ("1000 cfm", 1_699.010_795_52),
        ("1000 ft3/min", 1_699.010_795_52),
    ] {
        let found = parse_air(text, STYLE).unwrap();
        assert!((found / flow - 1.0).abs() < 1e-9, "{text}: {found}");
    }
}
