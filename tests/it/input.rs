//! Workbooks and documents as people really have them, made here cell by cell.

pub(super) mod archive;

use facelay::diag::Problems;
use facelay::input::Document;
use facelay::input::Row;
use facelay::input::Table;
use facelay::input::tables;
use facelay::units::Bound;
use facelay::units::LengthUnit;
use facelay::units::NumberStyle;
use facelay::units::bound;
use rust_xlsxwriter::ExcelDateTime;
use rust_xlsxwriter::Format;
use rust_xlsxwriter::Formula;
use rust_xlsxwriter::Workbook;

use archive::ods;
use archive::zip;

const STYLE: NumberStyle = NumberStyle {
    unit: LengthUnit::Mm,
    decimal_comma: false,
};
const SHARE: Bound = Bound {
    name: "a share",
    least: 0.0,
    most: 100.0,
    unit: "%",
};

fn read(file: &str, bytes: &[u8]) -> (Vec<Table>, Vec<String>) {
    let mut problems = Problems::new();
    let tables = tables(file, bytes, STYLE, &mut problems);
    (tables, said(&problems))
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
        .map(|problem| format!("{}: {}", place(problem), problem.text))
        .collect()
}

/// A sheet that does not begin at A1, with every sort of cell.
fn every_sort_of_cell() -> Vec<u8> {
    let mut book = Workbook::new();
    let page = book.add_worksheet().set_name("walls").unwrap();
    for (column, heading) in (2..).zip(["panel", "width", "share", "day", "mould", "cost", "notes"])
    {
        page.write(4, column, heading).unwrap();
    }
    let date = Format::new().set_num_format("dd/mm/yyyy");
    let percent = Format::new().set_num_format("0.0%");
    page.write(5, 2, 12).unwrap();
    page.write(5, 3, 812.8).unwrap();
    page.write_with_format(5, 4, 0.155, &percent).unwrap();
    page.write_with_format(5, 5, ExcelDateTime::from_ymd(2026, 12, 1).unwrap(), &date)
        .unwrap();
    page.write(5, 6, true).unwrap();
    page.write(
        5,
        7,
        Formula::new("=1.1+2.2").set_result("3.3000000000000003"),
    )
    .unwrap();
    page.write(7, 2, "N2").unwrap();
    page.write(7, 3, "10' 6\"").unwrap();
    page.write(7, 5, "2026-12-02").unwrap();
    page.write(7, 6, "no").unwrap();
    page.write(7, 7, Formula::new("=A0").set_result("#REF!"))
        .unwrap();
    book.save_to_buffer().unwrap()
}

fn width(row: &Row<'_>, problems: &mut Problems) -> Option<f64> {
    row.field("width")
        .length(bound::PANEL_SIDE, problems)
        .map(facelay::units::Length::to_mm)
}

#[test]
fn every_sort_of_cell_of_a_workbook_is_read() {
    let (tables, complaints) = read("walls.xlsx", &every_sort_of_cell());
    assert_eq!(complaints, Vec::<String>::new());
    let table = &tables[0];
    assert!(table.is_named("Walls"));
    let mut problems = Problems::new();
    let known = ["panel", "width", "share", "day", "mould", "cost", "notes"];
    assert!(table.check_headings(&known, &known, &mut problems));
    let rows: Vec<_> = table.rows().collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0].field("panel").text(&mut problems).unwrap(), "12");
    assert_eq!(width(&rows[0], &mut problems), Some(812.8));
    assert_eq!(
        rows[0]
            .field("share")
            .percent(SHARE, &mut problems)
            .unwrap()
            .value()
            .to_string(),
        "15.5"
    );
    assert_eq!(
        rows[0]
            .field("day")
            .date(&mut problems)
            .unwrap()
            .to_string(),
        "2026-12-01"
    );
    assert_eq!(rows[0].field("mould").yes_no(&mut problems), Some(true));
    assert_eq!(
        rows[0]
            .field("cost")
            .money(&mut problems)
            .unwrap()
            .to_string(),
        "3.3"
    );
    assert!(rows[0].field("notes").is_blank());
    assert_eq!(width(&rows[1], &mut problems), Some(3200.4));
    assert_eq!(
        rows[1]
            .field("day")
            .date(&mut problems)
            .unwrap()
            .to_string(),
        "2026-12-02"
    );
    assert!(problems.is_empty(), "{problems:?}");
    assert_eq!(rows[1].field("cost").money(&mut problems), None);
    assert_eq!(
        said(&problems),
        ["walls.xlsx, sheet walls, cell H8, column cost: the cell shows the error `#REF!`"]
    );
}

#[test]
fn a_merged_cell_counts_for_all_its_rows() {
    let mut book = Workbook::new();
    let page = book.add_worksheet();
    for (row, cells) in (0..).zip([["panel", "width"], ["N1", ""], ["N2", ""], ["N3", "2 m"]]) {
        page.write(row, 0, cells[0]).unwrap();
        page.write(row, 1, cells[1]).unwrap();
    }
    page.merge_range(1, 1, 2, 1, "3 m", &Format::new()).unwrap();
    let (tables, _) = read("walls.xlsx", &book.save_to_buffer().unwrap());
    let mut problems = Problems::new();
    let widths: Vec<_> = tables[0]
        .rows()
        .map(|row| width(&row, &mut problems))
        .collect();
    assert_eq!(widths, [Some(3000.0), Some(3000.0), Some(2000.0)]);
    let rows = "<table:table-row><table:table-cell office:value-type=\"string\"><text:p>panel</text:p></table:table-cell>\
        <table:table-cell office:value-type=\"string\"><text:p>width</text:p></table:table-cell></table:table-row>\
        <table:table-row><table:table-cell office:value-type=\"string\"><text:p>N1</text:p></table:table-cell>\
        <table:table-cell table:number-rows-spanned=\"2\" office:value-type=\"float\" office:value=\"3000\"><text:p>3000</text:p></table:table-cell></table:table-row>\
        <table:table-row><table:table-cell office:value-type=\"string\"><text:p>N2</text:p></table:table-cell>\
        <table:covered-table-cell/></table:table-row>";
    let (tables, complaints) = read("walls.ods", &ods(rows));
    assert_eq!(complaints, Vec::<String>::new());
    let widths: Vec<_> = tables[0]
        .rows()
        .map(|row| width(&row, &mut problems))
        .collect();
    assert_eq!(widths, [Some(3000.0), Some(3000.0)]);
}

#[test]
fn an_open_document_is_read_alike() {
    let rows = "<table:table-row table:number-rows-repeated=\"3\"><table:table-cell table:number-columns-repeated=\"1024\"/></table:table-row>\
        <table:table-row><table:table-cell/><table:table-cell office:value-type=\"string\"><text:p>panel</text:p></table:table-cell>\
        <table:table-cell office:value-type=\"string\"><text:p>width</text:p></table:table-cell>\
        <table:table-cell office:value-type=\"string\"><text:p>day</text:p></table:table-cell>\
        <table:table-cell office:value-type=\"string\"><text:p>share</text:p></table:table-cell></table:table-row>\
        <table:table-row><table:table-cell/><table:table-cell office:value-type=\"string\"><text:p>N1</text:p></table:table-cell>\
        <table:table-cell office:value-type=\"string\"><text:p>10 ft 6</text:p></table:table-cell>\
        <table:table-cell office:value-type=\"date\" office:date-value=\"2026-12-01\"><text:p>1.12.26</text:p></table:table-cell>\
        <table:table-cell office:value-type=\"percentage\" office:value=\"0.155\"><text:p>15.5%</text:p></table:table-cell></table:table-row>\
        <table:table-row><table:table-cell/><table:table-cell office:value-type=\"string\"><text:p>N2</text:p></table:table-cell>\
        <table:table-cell table:formula=\"of:=[.B0]\" office:value-type=\"string\" office:string-value=\"\" calcext:value-type=\"error\"><text:p>Err:522</text:p></table:table-cell></table:table-row>\
        <table:table-row table:number-rows-repeated=\"1048000\"><table:table-cell table:number-columns-repeated=\"16384\"/></table:table-row>";
    let (tables, complaints) = read("walls.ods", &ods(rows));
    assert_eq!(complaints, Vec::<String>::new());
    let mut problems = Problems::new();
    let rows: Vec<_> = tables[0].rows().collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(width(&rows[0], &mut problems), Some(3200.4));
    assert_eq!(
        rows[0]
            .field("day")
            .date(&mut problems)
            .unwrap()
            .to_string(),
        "2026-12-01"
    );
    assert_eq!(
        rows[0]
            .field("share")
            .percent(SHARE, &mut problems)
            .unwrap()
            .value()
            .to_string(),
        "15.5"
    );
    assert_eq!(width(&rows[1], &mut problems), None);
    assert_eq!(
        said(&problems),
        ["walls.ods, sheet walls, cell C6, column width: the cell shows the error `Err:522`"]
    );
}

#[test]
fn too_much_of_anything_is_told() {
    let many = format!("panel\n{}", "N\n".repeat(100_001));
    let long = format!("panel\nN{}\n", "1".repeat(40_000));
    let wide = format!("panel\nN1{}\n", ",1".repeat(300));
    for (text, first) in [
        (
            many,
            "t.csv, row 1: the table has 100001 rows, more than the 100000 that are read",
        ),
        (
            long,
            "t.csv, row 2, column panel: the cell has more than 32,767 letters",
        ),
        (
            wide,
            "t.csv, row 2, column 2: `1` stands in a column without a heading",
        ),
    ] {
        let (tables, complaints) = read("t.csv", text.as_bytes());
        assert_eq!(complaints, Vec::<String>::new());
        let mut problems = Problems::new();
        tables[0].check_headings(&["panel"], &["panel"], &mut problems);
        assert_eq!(said(&problems)[0], first);
    }
}

/// A cell in the last row and column of a sheet takes no memory for all those before it.
#[test]
fn a_cell_in_the_far_corner_is_told() {
    let mut book = Workbook::new();
    let page = book.add_worksheet();
    page.write(0, 0, "panel").unwrap();
    page.write(1, 0, "N1").unwrap();
    page.write(1024 * 1024 - 1, 16 * 1024 - 1, "stray").unwrap();
    let (tables, _) = read("walls.xlsx", &book.save_to_buffer().unwrap());
    let mut problems = Problems::new();
    assert!(tables[0].check_headings(&["panel"], &["panel"], &mut problems));
    assert_eq!(
        said(&problems),
        [
            "walls.xlsx, sheet Sheet1, cell XFD1048576, column 16384: the cell lies beyond the 100000 rows and 256 columns that are read"
        ]
    );
}

#[test]
fn files_that_are_no_workbook_are_told() {
    fn case(bytes: &[u8], text: &str) {
        assert_eq!(read("walls.xlsx", bytes).1, [format!("walls.xlsx: {text}")]);
    }
    case(
        &zip(&[("notes.txt", b"hello")]),
        "the file is a zip archive, but no workbook that can be read",
    );
    case(
        b"PK\x03\x04 torn",
        "the file is a zip archive, but no workbook that can be read",
    );
    case(
        b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1",
        "the file is a workbook with a password, or one in the old .xls format",
    );
    let locked = zip(&[
        ("content.xml", b"?"),
        ("META-INF/manifest.xml", b"<manifest:encryption-data/>"),
    ]);
    case(&locked, "the workbook has a password");
    let large = vec![b' '; 257 * 1024 * 1024];
    let bomb = zip(&[("xl/workbook.xml", b"<a/>"), ("xl/large.xml", &large)]);
    assert!(bomb.len() < 1_000_000);
    case(&bomb, "the workbook unpacks to more than 256 MB");
}

/// A workbook whose parts end anywhere is refused, and soon.
#[test]
fn torn_open_documents_are_refused() {
    let rows = "<table:table-row><table:table-cell office:value-type=\"string\"><office:annotation><text:p>x</text:p>\
        </office:annotation><text:p>panel</text:p></table:table-cell></table:table-row>";
    let whole = archive::content(rows);
    for end in (0..whole.len()).step_by(7) {
        let (tables, complaints) = read("walls.ods", &archive::ods_of(&whole.as_bytes()[..end]));
        assert!(
            tables.is_empty() && complaints.len() == 1,
            "{end}: {complaints:?}"
        );
    }
    let many = "<table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell table:number-columns-repeated=\"16000\" \
        office:value-type=\"float\" office:value=\"1\"/></table:table-row>";
    assert_eq!(
        read("walls.ods", &ods(many)).1,
        ["walls.ods: the workbook cannot be read: a sheet has more than 20000000 cells"]
    );
}

/// A workbook any of whose parts ends anywhere is read or refused, and soon.
#[test]
fn torn_workbooks_do_not_stop_the_reader() {
    let parts = archive::unzip(&every_sort_of_cell());
    for torn in 0..parts.len() {
        for end in (0..parts[torn].1.len()).step_by(37) {
            let files: Vec<(&str, &[u8])> = parts
                .iter()
                .enumerate()
                .map(|(index, (name, bytes))| {
                    (
                        name.as_str(),
                        if index == torn { &bytes[..end] } else { bytes },
                    )
                })
                .collect();
            drop(read("walls.xlsx", &zip(&files)));
        }
    }
}

#[test]
fn a_document_tells_lines_and_columns() {
    let text = "name = \"Wände\"\nsize = { width = '3 q', deep = 1 }\nlist = [1, \"2 m\", true]\n";
    let mut problems = Problems::new();
    let document = Document::read("job.toml", text.as_bytes(), STYLE, &mut problems).unwrap();
    let root = document.root();
    root.known(&["name", "size", "list"], &mut problems);
    assert!(problems.is_empty());
    let size = root.field("size").section(&mut problems).unwrap();
    size.known(&["width", "depth"], &mut problems);
    assert_eq!(
        size.field("width").length(bound::PANEL_SIDE, &mut problems),
        None
    );
    assert_eq!(
        root.field("list")
            .lengths(bound::PANEL_SIDE, &mut problems)
            .len(),
        1
    );
    assert_eq!(
        said(&problems),
        [
            "job.toml, line 2, column 25: the key `deep` is not known here",
            "job.toml, line 2, column 18: width: `3 q`: `q` is no unit of length",
            "job.toml, line 3, column 9: list: `1` is too little: a panel's width or height must be from 10 to 120000 mm",
            "job.toml, line 3, column 19: list: `true` is true or false, where a length is needed",
        ]
    );
}

/// Nesting that no person writes is refused before it can exhaust the stack.
#[test]
fn deep_nesting_is_refused() {
    let deep =
        |open: &str, close: &str| format!("a = {}1{}", open.repeat(50_000), close.repeat(50_000));
    let texts = [
        deep("[", "]"),
        deep("{ a = ", " }"),
        format!("{}a = 1", "a.".repeat(50_000)),
        format!("[{}a]\nb = 1", "a.".repeat(50_000)),
    ];
    for text in texts {
        let mut problems = Problems::new();
        let document = Document::read("job.toml", text.as_bytes(), STYLE, &mut problems);
        assert!(
            document.is_none() && problems.has_errors(),
            "{}",
            &text[..20]
        );
    }
}

#[test]
fn numbers_of_a_document_keep_their_digits() {
    let text = "cost = 123456789.12345678\nwhole = 1_000\nhex = 0xFF\n";
    let mut problems = Problems::new();
    let document = Document::read("job.toml", text.as_bytes(), STYLE, &mut problems).unwrap();
    let money = |key| {
        document
            .root()
            .field(key)
            .money(&mut Problems::new())
            .unwrap()
            .to_string()
    };
    assert_eq!(money("cost"), "123456789.12345678");
    assert_eq!(money("whole"), "1000");
    assert_eq!(money("hex"), "255");
}

proptest::proptest! {
    #[test]
    fn no_bytes_stop_the_readers(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..300)) {
        drop(read("t.csv", &bytes));
        drop(Document::read("t.toml", &bytes, STYLE, &mut Problems::new()));
    }

    #[test]
    fn no_text_stops_the_readers(text in "[a-c,;\t\"\n\r=\\[\\]{}.0-9 ]{0,80}") {
        for table in read("t.csv", text.as_bytes()).0 {
            let mut problems = Problems::new();
            table.check_headings(&["a"], &["a"], &mut problems);
            for row in table.rows() {
                row.field("a").lengths(bound::PANEL_SIDE, &mut problems);
            }
        }
        drop(Document::read("t.toml", text.as_bytes(), STYLE, &mut Problems::new()));
    }

    /// A workbook with one byte changed is read or refused.
    #[test]
    fn a_damaged_workbook_does_not_stop_the_reader(at in 0_usize..5_000, byte in proptest::prelude::any::<u8>()) {
        let mut bytes = every_sort_of_cell();
        let at = at % bytes.len();
        bytes[at] = byte;
        drop(read("t.xlsx", &bytes));
    }
}
