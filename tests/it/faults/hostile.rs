//! Files made to fill the memory: bombs, huge tables, deep trees, far cells. The real program refuses each with a limit that it names,
//! within 1 GiB as the system counts it, and soon.

use std::fs;
use std::path::Path;

use crate::cli::example;
use crate::input::archive::zip;

/// The most memory, in MiB.
const MOST: u64 = 1024;

/// The most seconds, on a busy machine.
const SECONDS: f64 = if cfg!(debug_assertions) { 600.0 } else { 60.0 };

/// Runs the program and gives its exit code, what it said on standard error, its seconds and its most memory in MiB.
///
/// The peak is what Linux counts for the process (`VmHWM`), looked at until it ends.
pub(crate) fn measured(folder: &Path, arguments: &[&str]) -> (Option<i32>, String, f64, u64) {
    let began = std::time::Instant::now();
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_facelay"))
        .args(arguments)
        .current_dir(folder)
        .stdout(std::process::Stdio::null())
        .stderr(fs::File::create(folder.join("said")).unwrap())
        .spawn()
        .unwrap();
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    let ended = loop {
        let text = fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kib = line.and_then(|line| line.split_whitespace().next()?.parse::<u64>().ok());
        peak = peak.max(kib.unwrap_or(0) / 1024);
        if let Some(ended) = child.try_wait().unwrap() {
            break ended;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    };
    let said = fs::read_to_string(folder.join("said")).unwrap();
    (ended.code(), said, began.elapsed().as_secs_f64(), peak)
}

const TYPES: &str = r#"<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/></Types>"#;
const BOOK: &str = r#"<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="panels" sheetId="1" r:id="rId1"/></sheets></workbook>"#;
const LINKS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>"#;
const ROOT: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
const HEAD: &str = r#"<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>"#;
const HEADINGS: &str = r#"<row r="1"><c r="A1" t="inlineStr"><is><t>panel</t></is></c><c r="B1" t="inlineStr"><is><t>width</t></is></c><c r="C1" t="inlineStr"><is><t>height</t></is></c></row>"#;
const FOOT: &str = "</sheetData></worksheet>";

/// A workbook with these rows and shared strings.
fn xlsx(rows: &str, strings: &str) -> Vec<u8> {
    let sheet = format!("{HEAD}{HEADINGS}{rows}{FOOT}");
    zip(&[
        ("[Content_Types].xml", TYPES.as_bytes()),
        ("_rels/.rels", ROOT.as_bytes()),
        ("xl/workbook.xml", BOOK.as_bytes()),
        ("xl/_rels/workbook.xml.rels", LINKS.as_bytes()),
        ("xl/sharedStrings.xml", strings.as_bytes()),
        ("xl/worksheets/sheet1.xml", sheet.as_bytes()),
    ])
}

fn strings(said: &str, inner: &str) -> String {
    format!(
        r#"<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" count="{said}" uniqueCount="{said}">{inner}</sst>"#
    )
}

fn ods(inner: &str) -> Vec<u8> {
    let content = format!(
        r#"<?xml version="1.0"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet><table:table table:name="panels">{inner}</table:table></office:spreadsheet></office:body></office:document-content>"#
    );
    zip(&[
        (
            "mimetype",
            b"application/vnd.oasis.opendocument.spreadsheet",
        ),
        ("content.xml", content.as_bytes()),
    ])
}

/// Has the program read one file as a job's panels; it has to refuse with these words.
fn refused(name: &str, file: &str, bytes: &[u8], words: &[&str]) {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    fs::remove_file(job.join("panels.csv")).unwrap();
    fs::write(job.join(file), bytes).unwrap();
    let (code, errors, seconds, mebibytes) = measured(folder.path(), &["check", "job"]);
    println!(
        "{name}: {} KB in the file, {mebibytes} MiB, {seconds:.1} s",
        bytes.len() / 1024
    );
    let shown: String = errors.chars().take(2_000).collect();
    assert_eq!(code, Some(1), "{name}: {shown}");
    assert!(!errors.contains("panicked"), "{name}: {shown}");
    for word in words {
        assert!(errors.contains(word), "{name}: no `{word}` in: {shown}");
    }
    assert!(mebibytes < MOST && mebibytes > 0, "{name}: {mebibytes} MiB");
    assert!(seconds < SECONDS, "{name}: {seconds} s");
    // Every row's slip is told, up to the most rows that are read.
    assert!(
        errors.len() < 20_000_000,
        "{name}: {} bytes of errors",
        errors.len()
    );
}

#[test]
fn a_bomb_is_refused_before_it_is_read() {
    let air = vec![b' '; 300 * 1024 * 1024];
    let bomb = zip(&[
        ("xl/workbook.xml", BOOK.as_bytes()),
        ("xl/worksheets/sheet1.xml", &air),
    ]);
    assert!(bomb.len() < 1024 * 1024);
    refused(
        "bomb",
        "panels.xlsx",
        &bomb,
        &[
            "panels.xlsx",
            "unpacks to more than 256 MB",
            "delete pictures",
        ],
    );
}

#[test]
fn strings_without_end_are_bounded() {
    let one = "<si><t>abc</t></si>".repeat(12 * 1024 * 1024);
    refused(
        "12 million strings",
        "panels.xlsx",
        &xlsx("", &strings("9", &one)),
        &["panels.xlsx", "5,000,000 different texts"],
    );
    let said = strings("4000000000", "<si><t>abc</t></si>");
    refused(
        "thousands of millions of strings, so it says",
        "panels.xlsx",
        &xlsx("", &said),
        &["panels.xlsx", "5,000,000 different texts"],
    );
    let long = format!("<si><t>{}</t></si>", "a".repeat(250 * 1024 * 1024));
    let cell = r#"<row r="2"><c r="A2" t="s"><v>0</v></c></row>"#;
    refused(
        "a string of 250 MB",
        "panels.xlsx",
        &xlsx(cell, &strings("1", &long)),
        &["panels.xlsx"],
    );
    // Ten thousand cells that all show one string of 100 KB.
    let shared = format!("<si><t>{}</t></si>", "a".repeat(100 * 1024));
    let cells: String = (2..10_002)
        .map(|row| format!(r#"<row r="{row}"><c r="A{row}" t="s"><v>0</v></c></row>"#))
        .collect();
    refused(
        "one string in 10,000 cells",
        "panels.xlsx",
        &xlsx(&cells, &strings("1", &shared)),
        &["panels.xlsx", "128 MB of text"],
    );
}

#[test]
fn trees_and_far_cells_are_bounded() {
    let deep = format!("{}{}", "<a>".repeat(2_000_000), "</a>".repeat(2_000_000));
    refused(
        "deep XML in XLSX",
        "panels.xlsx",
        &xlsx(&deep, &strings("1", "")),
        &["panels.xlsx"],
    );
    refused(
        "deep XML in ODS",
        "panels.ods",
        &ods(&deep),
        &["panels.ods"],
    );
    let far = r#"<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>"#;
    refused(
        "XFD1048576",
        "panels.xlsx",
        &xlsx(far, &strings("1", "")),
        &["XFD1048576", "100000 rows and 256 columns"],
    );
    let repeated = r#"<table:table-row table:number-rows-repeated="1048576"><table:table-cell table:number-columns-repeated="16384" office:value-type="float" office:value="1"/></table:table-row>"#;
    refused(
        "a cell repeated over a whole sheet",
        "panels.ods",
        &ods(repeated),
        &["panels.ods", "20000000 cells"],
    );
    let merged = format!(
        r#"<row r="2"><c r="A2"><v>1</v></c></row></sheetData><mergeCells>{}</mergeCells><sheetData>"#,
        r#"<mergeCell ref="A2:XFD1048576"/>"#.repeat(1_000)
    );
    refused(
        "a merged sheet",
        "panels.xlsx",
        &xlsx(&merged, &strings("1", "")),
        &["panels.xlsx"],
    );
}

#[test]
fn a_million_rows_are_bounded() {
    let rows: String = (0..1_000_000).fold("panel,width,height\n".to_owned(), |text, at| {
        text + &format!("P{at},36,48\n")
    });
    refused(
        "a million rows of CSV",
        "panels.csv",
        rows.as_bytes(),
        &["panels.csv", "100000"],
    );
    let cells: String = (2..1_000_002)
        .map(|row| {
            format!(
                r#"<row r="{row}"><c r="A{row}"><v>{row}</v></c><c r="B{row}"><v>36</v></c></row>"#
            )
        })
        .collect();
    refused(
        "a million rows of XLSX",
        "panels.xlsx",
        &xlsx(&cells, &strings("1", "")),
        &["panels.xlsx", "100000 rows"],
    );
    let row = r#"<table:table-row><table:table-cell office:value-type="float" office:value="36"/><table:table-cell office:value-type="float" office:value="48"/></table:table-row>"#;
    refused(
        "a million rows of ODS",
        "panels.ods",
        &ods(&row.repeat(1_000_000)),
        &["panels.ods"],
    );
    let wide = format!("panel,width,height{}\n", ",x".repeat(5_000_000));
    refused(
        "five million columns of CSV",
        "panels.csv",
        wide.as_bytes(),
        &["panels.csv", "256 columns"],
    );
}
