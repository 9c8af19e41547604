//! Trays for panels that stay flat: a support board in a frame of battens, a collar round the painting, pads round the edges.

use crate::job::Job;
use crate::rolling::batten_thickness;
use crate::survey::Panel;
use crate::units::Length;
use crate::units::Mass;

use super::build::Build;
use super::build::MOST_PARTS;
use super::build::parts_of;
use super::cradle::Bearing;
use super::cradle::pressure;
use super::weigh;

/// The side of a pad of foam (workshop judgement).
const PAD: Length = Length::whole_mm(300);

/// A tray: it stands on its longer edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tray {
    /// The longer side of the support.
    pub(super) long: Length,
    /// The shorter side of the support.
    pub(super) short: Length,
    /// Frame, support, and collar or painting, whichever is thicker.
    pub(super) depth: Length,
}

/// Returns the tray of a panel: its bounding box and the support's margin all round.
///
/// The facing's flaps are wrapped round the support and held on its back. A frame of battens with cross bars stiffens the back; a collar of
/// the same battens stands on the margin in front, so that nothing touches the face and trays can stand against each other.
///
/// # Sources
/// Flaps of facing fabric wrapped round travelling support panels and stapled: *Conserving Canvas*, Getty 2023, ch. 12 (trade.md section
/// 1.1). Frame and collar: common practice for travelling frames.
pub(super) fn tray(job: &Job, panel: &Panel, painting: Length) -> Tray {
    let margin = job.catalog.crate_kit.support_margin;
    let around = margin + margin;
    let batten = batten_thickness(job);
    Tray {
        long: panel.width.max(panel.height) + around,
        short: panel.width.min(panel.height) + around,
        depth: support_thickness(job) + batten + batten.max(painting),
    }
}

fn support_thickness(job: &Job) -> Length {
    job.catalog
        .materials
        .get(support(job))
        .and_then(|board| board.thickness)
        .unwrap_or_default()
}

/// The board that carries flat panels.
pub(super) fn support(job: &Job) -> &str {
    let kit = &job.catalog.crate_kit;
    kit.support.as_ref().unwrap_or(&kit.board)
}

impl Tray {
    /// Adds the tray's boards, battens and screwed edges; joints of the support lie on cross bars.
    pub(super) fn build(&self, job: &Job, id: &str, build: &mut Build) {
        let catalog = &job.catalog;
        let board = catalog.materials.get(support(job));
        build.support(&format!("{id} support"), (self.short, self.long), board);
        let broad = catalog
            .materials
            .get(&catalog.crate_kit.batten)
            .and_then(|batten| batten.width)
            .unwrap_or_default();
        let between = self.short - broad - broad;
        for part in ["frame", "collar"] {
            for (piece, length) in [(1, self.long), (2, self.long), (3, between), (4, between)] {
                build.batten(format!("{id} {part} {piece}"), length);
            }
            build.edges += (self.long + self.short) * 2;
        }
        let spacing = catalog.crate_kit.batten_spacing;
        let bays = if spacing.is_positive() {
            parts_of(self.long, spacing).clamp(1, MOST_PARTS)
        } else {
            1
        };
        for bar in 1..bays {
            build.batten(format!("{id} bar {bar}"), between);
            build.edges += between.max(Length::ZERO);
        }
    }

    /// Mass of the tray without the painting.
    pub(super) fn mass(&self, job: &Job) -> Mass {
        let mut build = Build::default();
        self.build(job, "", &mut build);
        weigh::build(job, &build)
    }

    /// Adds the pads round one tray: as many under it as its weight asks for, two above, two at each end, and one at each corner before
    /// and behind, all as thick as the cushion.
    pub(super) fn pads(&self, job: &Job, id: &str, mass: Mass, build: &mut Build) -> Bearing {
        let kit = &job.catalog.crate_kit;
        let foam = job.catalog.materials.get(&kit.foam);
        let (layers, _) = cushion(job);
        let side = PAD.min(self.short.half());
        let limit = foam.and_then(|foam| foam.strength);
        let room = parts_of(self.long, PAD).max(2);
        let needed = limit.map_or(2, |limit| {
            (2..=room)
                .find(|pads| pressure(mass, side * *pads, self.depth) <= limit * 1_000.0)
                .unwrap_or(room)
        });
        for layer in 1..=layers {
            for pad in 1..=needed + 6 {
                build.foam(&format!("{id} pad {layer}.{pad}"), (side, self.depth), foam);
            }
            for pad in 1..=8 {
                build.foam(&format!("{id} face pad {layer}.{pad}"), (side, side), foam);
            }
        }
        Bearing {
            pieces: if layers > 0 { needed } else { 0 },
            length: side * needed,
            pressure: pressure(mass, side * needed, self.depth),
            limit: limit.map(|limit| limit * 1_000.0),
        }
    }
}

/// How many sheets of foam a pad has, and the gap that it fills: the clearance, or a sheet where that is thicker. What is left of the gap
/// takes the lining and shims.
pub(super) fn cushion(job: &Job) -> (i64, Length) {
    let kit = &job.catalog.crate_kit;
    let thick = job
        .catalog
        .materials
        .get(&kit.foam)
        .and_then(|foam| foam.thickness)
        .filter(|thick| thick.is_positive());
    let Some(thick) = thick else {
        return (0, kit.clearance);
    };
    let sheets = (kit.clearance.to_steps() / thick.to_steps()).clamp(1, MOST_PARTS);
    (sheets, kit.clearance.max(thick))
}
