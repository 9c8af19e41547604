//! The whole plan on structured random jobs: the bytes choose panels, recipes, people and climate.
#![no_main]

use facelay_fuzz::random_job::RandomJob;
use facelay_fuzz::random_job::Writing;
use libfuzzer_sys::fuzz_target;

fuzz_target!(init: facelay_fuzz::begin("plan"), |bytes: &[u8]| {
    let mut left = bytes.iter();
    let job = RandomJob::of(&mut |most| left.next().map_or(0, |byte| u32::from(*byte) % most));
    let Some(job) = facelay_fuzz::read(&job.files(Writing::default())) else {
        return;
    };
    let plan = facelay::plan::make(job, facelay::diag::Problems::new(), &mut |_| {});
    // A number that is none cannot be written.
    facelay::format::write_plan(&plan).expect("a plan that can be written");
    for entry in facelay::report::ALL {
        let report = (entry.build)(&plan);
        facelay::format::write_json(&report).expect("a report that can be written");
    }
});
