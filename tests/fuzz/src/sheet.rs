//! Workbooks made of changed parts: a changed archive is refused for its checksum, so the parts are changed and then packed.

use std::io::Cursor;
use std::io::Write;

use zip::CompressionMethod;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// Stands between the parts in a fuzzer's input.
pub const MARK: &[u8] = b"\n~~~~\n";

const TYPES: &str = r#"<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/></Types>"#;

const ROOT: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;

/// The parts of an XLSX workbook that are changed, in their order.
pub const PARTS: [&str; 5] = [
    "xl/worksheets/sheet1.xml",
    "xl/sharedStrings.xml",
    "xl/styles.xml",
    "xl/workbook.xml",
    "xl/_rels/workbook.xml.rels",
];

/// Packs an input into an XLSX workbook, parts that it lacks from `whole`.
#[must_use]
pub fn xlsx(input: &[u8], whole: &[Vec<u8>]) -> Vec<u8> {
    let parts = split(input);
    let named = PARTS.iter().enumerate().filter_map(|(at, name)| {
        let part = parts.get(at).copied().filter(|part| !part.is_empty());
        Some((*name, part.or_else(|| Some(whole.get(at)?.as_slice()))?))
    });
    pack(
        &named
            .chain([
                ("[Content_Types].xml", TYPES.as_bytes()),
                ("_rels/.rels", ROOT.as_bytes()),
            ])
            .collect::<Vec<_>>(),
    )
}

/// Packs an input into an ODS workbook: its content.
#[must_use]
pub fn ods(input: &[u8]) -> Vec<u8> {
    pack(&[
        (
            "mimetype",
            b"application/vnd.oasis.opendocument.spreadsheet",
        ),
        ("content.xml", input),
    ])
}

/// Parts an input at its marks.
fn split(input: &[u8]) -> Vec<&[u8]> {
    let mut parts = Vec::new();
    let mut rest = input;
    while let Some(at) = rest.windows(MARK.len()).position(|window| window == MARK) {
        parts.push(&rest[..at]);
        rest = &rest[at + MARK.len()..];
    }
    parts.push(rest);
    parts
}

fn pack(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (name, bytes) in parts {
        archive.start_file(*name, stored).unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}
