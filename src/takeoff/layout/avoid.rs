//! Places that no seam may come near.

use crate::geometry::Chord;
use crate::units::Length;

/// Stretches of a line that no seam may lie in; their ends are free.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Avoid(Vec<Chord>);

impl Avoid {
    /// Keeps seams a distance from every place.
    pub(super) fn new(places: impl Iterator<Item = (Length, Length)>) -> Self {
        let around = |(at, distance): (Length, Length)| {
            distance.is_positive().then_some(Chord {
                from: at - distance,
                to: at + distance,
            })
        };
        let mut zones: Vec<Chord> = places.filter_map(around).collect();
        zones.sort_unstable();
        let mut apart: Vec<Chord> = Vec::with_capacity(zones.len());
        for zone in zones {
            match apart.last_mut() {
                Some(last) if zone.from < last.to => last.to = last.to.max(zone.to),
                Some(_) | None => apart.push(zone),
            }
        }
        Self(apart)
    }

    /// The largest free place not above `at`.
    pub(super) fn floor(&self, at: Length) -> Length {
        let below = self.0.partition_point(|zone| zone.from < at);
        match below.checked_sub(1).and_then(|index| self.0.get(index)) {
            Some(zone) if at < zone.to => zone.from,
            Some(_) | None => at,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: i64) -> Length {
        Length::whole_mm(value)
    }

    #[test]
    fn the_ends_of_a_forbidden_stretch_are_free() {
        let places = [(100, 30), (150, 30), (400, 10), (500, 0)];
        let avoid = Avoid::new(places.into_iter().map(|(at, by)| (mm(at), mm(by))));
        let free = |at: i64| avoid.floor(mm(at)).to_mm();
        assert_eq!([free(60), free(70), free(71)], [60.0, 70.0, 70.0]);
        assert_eq!([free(130), free(179), free(180)], [70.0, 70.0, 180.0]);
        assert_eq!([free(399), free(500)], [390.0, 500.0]);
    }

    #[test]
    fn a_place_between_two_stretches_that_touch_is_free() {
        let avoid = Avoid::new([(mm(100), mm(30)), (mm(160), mm(30))].into_iter());
        assert_eq!(avoid.floor(mm(130)), mm(130));
        assert_eq!(avoid.floor(mm(131)), mm(130));
    }
}
