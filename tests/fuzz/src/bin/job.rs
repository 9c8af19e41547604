//! job.toml, and the two kits of the catalogue.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(init: facelay_fuzz::begin("job"), |bytes: &[u8]| {
    facelay_fuzz::read(&facelay_fuzz::job_with("job.toml", bytes));
    if bytes.len() % 4 == 0 {
        facelay_fuzz::read(&facelay_fuzz::job_with("catalogs/drum.toml", bytes));
        facelay_fuzz::read(&facelay_fuzz::job_with("catalogs/odds.toml", bytes));
    }
});
