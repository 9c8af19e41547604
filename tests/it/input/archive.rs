//! The plainest zip archive, so that tests can put anything into a workbook.

use std::io::Cursor;
use std::io::Write;

use zip::write::SimpleFileOptions;

const MIME: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";

/// Packs files.
pub(in super::super) fn zip(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer
            .start_file(*name, SimpleFileOptions::default())
            .unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// The content of an open document with one sheet `walls` of these rows.
pub(super) fn content(rows: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content><office:body><office:spreadsheet>\
         <table:table table:name=\"walls\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    )
}

/// An open document with one sheet of these rows.
pub(super) fn ods(rows: &str) -> Vec<u8> {
    ods_of(content(rows).as_bytes())
}

/// An open document with this content.
pub(super) fn ods_of(content: &[u8]) -> Vec<u8> {
    zip(&[
        ("mimetype", MIME),
        ("META-INF/manifest.xml", b"<manifest:manifest/>"),
        ("content.xml", content),
    ])
}

/// Unpacks files.
pub(super) fn unzip(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut files = Vec::new();
    for index in 0..archive.len() {
        let mut entry = archive.by_index(index).unwrap();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut entry, &mut bytes).unwrap();
        files.push((entry.name().unwrap().into_owned(), bytes));
    }
    files
}
