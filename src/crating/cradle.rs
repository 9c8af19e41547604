//! Cradles at the ends of a drum: foam boards that hold the bare face, so that the roll carries no load on paint.

use crate::job::Job;
use crate::units::Length;
use crate::units::Mass;

use super::build::Build;
use super::build::MOST_PARTS;

/// Standard acceleration of fall in m/s².
const G: f64 = 9.806_65;
/// The share of the tube's diameter that a cradle embraces: the chord of its lower third, 120 degrees (workshop judgement).
const CHORD: f64 = 0.866_025_403_784_438_6;

/// How hard foam is pressed under a drum or tray.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bearing {
    /// Foam boards at each end of a drum, or pads under a tray.
    pub(super) pieces: i64,
    /// Length that bears: along the drum at each end, or along the tray in all.
    pub(super) length: Length,
    /// Pressure at rest, in kPa.
    pub(super) pressure: f64,
    /// The most that the foam bears for good, in kPa, where the catalogue says so.
    pub(super) limit: Option<f64>,
}

impl Bearing {
    /// Says whether something bears at all, and not too hard.
    pub(super) fn holds(&self) -> bool {
        self.pieces > 0 && self.limit.is_none_or(|limit| self.pressure <= limit + 1e-9)
    }
}

/// A drum in its cell of a crate.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cell {
    /// Diameter of the tube.
    pub(super) diameter: Length,
    /// Bare face at the end that has less of it.
    pub(super) free: Length,
    /// Mass of the drum.
    pub(super) mass: Mass,
    /// Width and height that the foam fills.
    pub(super) size: (Length, Length),
    /// Room between the drum's end and the end board.
    pub(super) room: Length,
}

/// Adds cradles and cushions at both ends of a drum.
///
/// Cradles are whole foam boards across the crate with a hole for the tube. As many stand at each end as bear half the drum's mass without
/// the foam creeping, and never more than stand on the bare face, so that no foam touches paint. Cushions without a hole fill the room
/// behind the drum's end.
///
/// # Formula
/// pressure = m g / (2 · length · D sin 60°)
///
/// # Sources
/// Foam cradles at the ends of the tube: trade.md section 2.1 (Dicus 1992). Static load limits against creep: the foam's row in
/// materials.csv. That a cradle bears on the chord of the lower third is workshop judgement.
pub(super) fn cradles(job: &Job, id: &str, cell: &Cell, build: &mut Build) -> Bearing {
    let foam = job.catalog.materials.get(&job.catalog.crate_kit.foam);
    let limit = foam.and_then(|foam| foam.strength).map(|mpa| mpa * 1_000.0);
    let chord = cell.diameter.times(CHORD);
    let thick = foam.and_then(|foam| foam.thickness);
    let Some(thick) = thick.filter(|thick| thick.is_positive()) else {
        return Bearing {
            pieces: 0,
            length: Length::ZERO,
            pressure: 0.0,
            limit,
        };
    };
    let half = cell.mass.times(0.5);
    let most = whole(cell.free, thick);
    let needed = limit.map_or(1, |limit| {
        (1..=most.max(1))
            .find(|boards| pressure(half, thick * *boards, chord) <= limit)
            .unwrap_or(most)
    });
    // A board thicker than the bare face is cut down to it.
    let pieces = needed.min(most.max(i64::from(cell.free.is_positive())));
    let length = (thick * pieces).min(cell.free.max(Length::ZERO));
    let cushions = whole(cell.room, thick).max(i64::from(cell.room.is_positive()));
    for end in 1..=2 {
        for layer in 1..=pieces {
            build.foam(&format!("{id} cradle {end}.{layer}"), cell.size, foam);
            build.holes += (cell.diameter * cell.diameter).to_m2() * std::f64::consts::FRAC_PI_4;
        }
        for layer in 1..=cushions {
            build.foam(&format!("{id} cushion {end}.{layer}"), cell.size, foam);
        }
    }
    Bearing {
        pieces,
        length,
        pressure: pressure(half, length, chord),
        limit,
    }
}

/// Whole boards within a length.
fn whole(length: Length, board: Length) -> i64 {
    (length.to_steps() / board.to_steps()).clamp(0, MOST_PARTS)
}

/// Pressure in kPa of a mass on a rectangle; nought on none.
pub(super) fn pressure(mass: Mass, length: Length, width: Length) -> f64 {
    let m2 = (length * width).to_m2();
    if m2 > 0.0 {
        mass.to_kg() * G / m2 / 1_000.0
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 60 kg on two cradles of 50 mm under a tube of 500 mm: 30 · 9.80665 / (0.05 · 0.4330) = 13.59 kPa; on 100 mm, half of it.
    #[test]
    fn pressure_under_a_drum() {
        let chord = Length::mm(500.0).times(CHORD);
        let found = |length: f64| pressure(Mass::kg(30.0), Length::mm(length), chord);
        assert!((found(50.0) - 13.588).abs() < 1e-2, "{}", found(50.0));
        assert!((found(100.0) - 6.794).abs() < 1e-2);
        assert_eq!(found(0.0), 0.0);
    }

    #[test]
    fn whole_boards_only() {
        assert_eq!(whole(Length::mm(100.0), Length::mm(50.0)), 2);
        assert_eq!(whole(Length::mm(99.0), Length::mm(50.0)), 1);
        assert_eq!(whole(Length::mm(-5.0), Length::mm(50.0)), 0);
    }
}
