//! XLSX workbooks, part by part.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;

static WHOLE: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| {
    let rels = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>"#;
    let book = r#"<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="panels" sheetId="1" r:id="rId1"/></sheets></workbook>"#;
    let strings = r#"<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>panel</t></si></sst>"#;
    let styles = r#"<?xml version="1.0"?><styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>"#;
    let sheet = r#"<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData/></worksheet>"#;
    [sheet, strings, styles, book, rels]
        .map(|part| part.as_bytes().to_vec())
        .to_vec()
});

fuzz_target!(init: facelay_fuzz::begin("xlsx"), |bytes: &[u8]| {
    facelay_fuzz::tables("panels.xlsx", &facelay_fuzz::sheet::xlsx(bytes, &WHOLE));
});
