//! `removal.csv`: how much harder removal is, for each paint and adhesive.

use crate::diag::Problems;
use crate::input::Table;
use crate::units::Bound;

use crate::catalog::Adhesive;
use crate::catalog::Catalog;
use crate::catalog::Multiplier;
use crate::catalog::Paint;

pub(super) const COLUMNS: &[&str] = &["paint", "adhesive", "factor", "source"];

const FACTOR: Bound = Bound {
    name: "removal factor",
    least: 0.1,
    most: 1_000.0,
    unit: "",
};

/// Reads the rows; one of a known pair replaces it.
pub(super) fn read(table: &Table, catalog: &mut Catalog, problems: &mut Problems) {
    for row in table.rows() {
        let paint = row
            .field("paint")
            .required(problems)
            .choice(Paint::ALL, Paint::name, problems);
        let adhesive = row.field("adhesive").required(problems).choice(
            Adhesive::ALL,
            Adhesive::name,
            problems,
        );
        let factor = row
            .field("factor")
            .required(problems)
            .number(FACTOR, problems);
        let source = row.field("source").text(problems).unwrap_or_default();
        let (Some(paint), Some(adhesive), Some(factor)) = (paint, adhesive, factor) else {
            continue;
        };
        catalog
            .multipliers
            .retain(|known| known.paint != paint || known.adhesive != adhesive);
        catalog.multipliers.push(Multiplier {
            paint,
            adhesive,
            factor,
            source,
        });
    }
}
