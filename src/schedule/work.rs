//! Person-minutes of a step on a panel.

use std::collections::BTreeMap;

use crate::catalog::Per;
use crate::diag::Derivation;
use crate::diag::Ledger;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;

use super::Given;

/// What a step's work is counted by, for one panel.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shares {
    /// Share of a drum: one over the panels on it.
    pub(super) drum: f64,
    /// Share of a crate: one over the panels in it.
    pub(super) packing: f64,
    /// Share of the whole job: all of it for the first panel with the step, else nothing.
    pub(super) job: f64,
}

/// Areas laid, by panel and step.
pub(super) type Laid = BTreeMap<(usize, usize), f64>;

/// The areas of sheet laid, by panel and step, in m².
pub(super) fn laid(given: &Given<'_>) -> Laid {
    let mut areas = Laid::new();
    for layer in &given.takeoff.layers {
        *areas.entry((layer.panel, layer.step)).or_default() += layer.laid.to_m2();
    }
    areas
}

/// Returns the person-minutes of one step on one panel, rounded up to whole minutes.
///
/// # Formula
/// Σ rate × amount × factor; the amount is m² of sheet laid (of panel, where none is laid), m of edge, or a share of drum, crate or
/// job; the factor is the removal multiplier for release and reverse cleaning, else 1. A measured release rate r replaces the rates by
/// area of the release: 60 × area / r.
///
/// # Sources
/// Rates and multipliers: `catalogs/rates.csv` and `removal.csv`, each row with its own source.
pub(super) fn minutes(
    given: &Given<'_>,
    laid: &Laid,
    panel: usize,
    at: usize,
    step: &Step,
    shares: Shares,
    ledger: &mut Ledger,
) -> u32 {
    let Some(surveyed) = given.survey.panels.get(panel) else {
        return 0;
    };
    let Some(row) = given.job.panels.get(surveyed.row) else {
        return 0;
    };
    let area = laid
        .get(&(panel, at))
        .copied()
        .unwrap_or(surveyed.area.to_m2());
    let measured = row
        .release_rate
        .filter(|rate| *rate > 0.0 && step.kind == StepKind::Release);
    let factor = if step.kind.rule().multiplied {
        row.removal_factor
            .unwrap_or_else(|| multiplier(given, row.paint, row.adhesive))
    } else {
        1.0
    };
    let mut total = measured.map_or(0.0, |rate| 60.0 * area / rate);
    let mut parts = Vec::new();
    for work in &step.work {
        let amount = match work.per {
            Per::M2 if measured.is_some() => continue,
            Per::M2 => area,
            Per::MEdge => surveyed.edge.to_m(),
            Per::Panel => 1.0,
            Per::Drum => shares.drum,
            Per::Crate => shares.packing,
            Per::Job => shares.job,
            Per::PersonHour | Per::PersonDay | Per::Batch => 0.0,
        };
        total += work.minutes * amount * factor;
        parts.push(format!(
            "{} min × {amount:.2} {}",
            work.minutes,
            work.per.name()
        ));
    }
    let minutes = rounded_up(total);
    let mut derivation = Derivation::new(
        format!("work/{}/{}", surveyed.id, step.id),
        format!("Work of {} on {}", step.name, surveyed.id),
        format!("{minutes} person-minutes"),
        "Σ rate × amount × factor",
    )
    .input("rates", parts.join(" + "))
    .rounded("up to whole minutes");
    if let Some(rate) = measured {
        derivation = derivation.input(
            "measured in a test patch",
            format!("{rate} m²/person-hour on {area:.2} m²"),
        );
    } else if factor > 1.0 {
        derivation = derivation.input(
            "removal factor",
            format!(
                "{factor} ({} paint, {})",
                row.paint.name(),
                row.adhesive.name()
            ),
        );
    }
    ledger.record(derivation);
    minutes
}

fn multiplier(
    given: &Given<'_>,
    paint: crate::catalog::Paint,
    adhesive: crate::catalog::Adhesive,
) -> f64 {
    let found = given
        .job
        .catalog
        .multipliers
        .iter()
        .find(|row| row.paint == paint && row.adhesive == adhesive);
    found.map_or(1.0, |row| row.factor)
}

/// Rounds up to whole minutes; a millionth of a minute above is the noise of binary fractions.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the range of u32 just before"
)]
pub(super) fn rounded_up(minutes: f64) -> u32 {
    if minutes.is_finite() {
        (minutes - 1e-6).ceil().clamp(0.0, 2.0e9) as u32
    } else {
        0
    }
}
