//! What the targets share: how a job's other files look, workbooks made of changed parts, and who answers for a panic.
#![allow(
    clippy::unwrap_used,
    reason = "what fails here is the fuzzer, which may stop"
)]

pub mod seeds;
pub mod sheet;

#[path = "../../it/random_job.rs"]
pub mod random_job;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use facelay::catalog::Catalog;
use facelay::diag::Problems;
use facelay::units::LengthUnit;
use facelay::units::NumberStyle;
use facelay::units::bound;

/// The files of a job by name.
pub type Files = BTreeMap<String, Vec<u8>>;

const JOB: &str = include_str!("../../errors/_whole/job.toml");
const PANELS: &str = include_str!("../../errors/_whole/panels.csv");

/// The built-in catalogue, read once.
pub static CATALOG: LazyLock<Catalog> = LazyLock::new(facelay::catalog::built_in);

/// How the numbers of every input are written.
pub const STYLE: NumberStyle = NumberStyle {
    unit: LengthUnit::Mm,
    decimal_comma: false,
};

/// A whole job of three panels with one file put over it.
#[must_use]
pub fn job_with(name: &str, bytes: &[u8]) -> Files {
    let mut files = BTreeMap::from([
        ("job.toml".to_owned(), JOB.into()),
        ("panels.csv".to_owned(), PANELS.into()),
    ]);
    files.insert(name.to_owned(), bytes.to_vec());
    files
}

/// Reads a job; either it is read or an error says why, and every problem says what to do.
pub fn read(files: &Files) -> Option<facelay::job::Job> {
    let (job, problems) = facelay::job::read(files);
    assert_eq!(job.is_none(), problems.has_errors());
    assert_told(&problems);
    job
}

/// Every problem says what is wrong and what to do.
pub fn assert_told(problems: &Problems) {
    for problem in problems {
        assert!(
            !problem.text.is_empty() && !problem.help.is_empty(),
            "{problem:?}"
        );
    }
}

/// Reads a file of tables, and every cell as each measure.
pub fn tables(name: &str, bytes: &[u8]) {
    let mut problems = Problems::new();
    for table in facelay::input::tables(name, bytes, STYLE, &mut problems) {
        table.check_headings(&["panel", "width", "height"], &["panel"], &mut problems);
        for row in table.rows().take(200) {
            for heading in ["panel", "width", "height"] {
                let field = row.field(heading);
                field.text(&mut problems);
                field.length(bound::PANEL_SIDE, &mut problems);
                field.whole(bound::COUNT, &mut problems);
                field.date(&mut problems);
                field.money(&mut problems);
                field.minutes(bound::DRYING, &mut problems);
            }
        }
    }
    assert_told(&problems);
}

/// Begins a target: writes its seeds where `FACELAY_SEEDS` says, and takes away the fuzzer's own word on panics. The reader of workbooks
/// catches those of its library, and one that nobody catches ends the target all the same.
pub fn begin(target: &str) {
    std::panic::set_hook(Box::new(|panic| eprintln!("{panic}")));
    if let Some(folder) = std::env::var_os("FACELAY_SEEDS") {
        for (number, input) in seeds::of(target).iter().enumerate() {
            let path = std::path::Path::new(&folder).join(format!("seed-{number:03}"));
            std::fs::write(path, input).unwrap();
        }
    }
}
