//! Recipes of a job folder.
#![no_main]

use facelay::diag::Problems;
use libfuzzer_sys::fuzz_target;

fuzz_target!(init: facelay_fuzz::begin("recipe"), |bytes: &[u8]| {
    let mut problems = Problems::new();
    let recipe = facelay::recipe::read(
        "recipes/own.toml",
        bytes,
        &facelay_fuzz::CATALOG,
        facelay_fuzz::STYLE,
        &mut problems,
    );
    assert_eq!(recipe.is_none(), problems.has_errors());
    facelay_fuzz::assert_told(&problems);
});
