//! ODS workbooks: their content.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(init: facelay_fuzz::begin("ods"), |bytes: &[u8]| {
    facelay_fuzz::tables("panels.ods", &facelay_fuzz::sheet::ods(bytes));
});
