//! CSV tables: the bytes as a table of a catalogue, and now and then as each table of a job.
#![no_main]

use facelay::diag::Problems;
use libfuzzer_sys::fuzz_target;

const OF_A_JOB: [&str; 7] = [
    "panels.csv",
    "openings.csv",
    "outlines.csv",
    "stock.csv",
    "orders.csv",
    "progress.csv",
    "lines.csv",
];
const OF_A_CATALOGUE: [&str; 9] = [
    "catalogs/materials.csv",
    "catalogs/offers.csv",
    "catalogs/suppliers.csv",
    "catalogs/solvents.csv",
    "catalogs/rates.csv",
    "catalogs/removal.csv",
    "catalogs/strain.csv",
    "catalogs/layers.csv",
    "catalogs/waste.csv",
];

fuzz_target!(init: facelay_fuzz::begin("tables"), |bytes: &[u8]| {
    facelay_fuzz::tables("panels.csv", bytes);
    for name in OF_A_CATALOGUE {
        let mut problems = Problems::new();
        let files = [(name.to_owned(), bytes.to_vec())].into();
        facelay::catalog::with_rows(facelay_fuzz::CATALOG.clone(), &files, &mut problems);
        facelay_fuzz::assert_told(&problems);
    }
    // A whole job takes a hundred times as long.
    let sum: usize = bytes.iter().map(|byte| usize::from(*byte)).sum();
    if sum % 16 == 0 {
        for name in OF_A_JOB {
            facelay_fuzz::read(&facelay_fuzz::job_with(name, bytes));
        }
    }
});
