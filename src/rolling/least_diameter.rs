//! The least drum that spares the paint.

use crate::catalog::Strain;
use crate::units::Length;
use crate::units::Temperature;

use super::laminate::Bend;
use super::laminate::Bond;
use super::laminate::Laminate;
use super::outcome::Bending;
use super::outcome::Governs;

/// Beyond this no drum is built; it keeps a nearly unbendable paint within what lengths can hold.
const LARGEST_MM: f64 = 1_000_000.0;

/// What a class allows at the temperature at which the painting is rolled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Allowed {
    /// The most strain in the paint.
    pub(super) limit: f64,
    /// The reserve factor.
    pub(super) reserve: f64,
    /// The floor of common practice.
    pub(super) floor: Length,
    /// Whether the cold has lowered the limit.
    pub(super) cold: bool,
}

impl Allowed {
    /// What a class allows at a temperature; where no source says what the cold does, it does nothing here.
    pub(super) fn at(class: &Strain, temperature: Option<Temperature>) -> Self {
        let cold = class.cold.zip(temperature);
        let cold = cold.filter(|(cold, now)| now.to_celsius() < cold.below.to_celsius());
        let lower = cold.map_or(class.limit, |(cold, _)| cold.limit.min(class.limit));
        Self {
            limit: lower,
            reserve: class.reserve,
            floor: class.floor,
            cold: lower < class.limit,
        }
    }
}

/// Returns the least diameter of drum for a painting, rounded up to a whole millimetre; none where its paint takes no strain at all.
///
/// # Formula
/// `D = 2 (lever · reserve / limit − ȳ)` in each state of bond (ȳ: the neutral axis above the face on the drum), the largest of them, and never under
/// the floor of common practice.
///
/// # Limits
/// The diameter is an aid to the conservator's judgement: age, cold and dry air shrink what paint takes, and a test on the real paint
/// comes first.
///
/// # Sources
/// trade.md section 3: yield strain 0.004 of artists' materials and 0.0025 of brittle gesso (Mecklenburg, Tumosa and Erhardt, in *Painted
/// Wood*, 1998); transformed section of handbooks.
pub(super) fn bending(laminate: &Laminate, bends: &[Bend], class: &Allowed) -> Option<Bending> {
    let allowed = class.limit / class.reserve;
    if !(allowed > 0.0 && allowed.is_finite()) {
        return None;
    }
    let axis = bends.iter().find(|bend| bend.bond == Bond::All)?.axis;
    let worst = bends.iter().max_by(|a, b| {
        a.least_diameter(allowed)
            .total_cmp(&b.least_diameter(allowed))
    })?;
    let by_strain = Length::mm(worst.least_diameter(allowed).min(LARGEST_MM));
    let governs = if by_strain > class.floor {
        Governs::Strain
    } else {
        Governs::Floor
    };
    let diameter = by_strain.max(class.floor).to_mm_up();
    Some(Bending {
        least_diameter: Length::whole_mm(diameter),
        governs,
        limit: class.limit,
        reserve: class.reserve,
        cold: class.cold,
        floor: class.floor,
        by_strain,
        neutral_axis: Length::mm(axis),
        paint_face: laminate.paint_face(),
        lever: Length::mm(worst.lever()),
        thickness: laminate.thickness(),
        grams_per_m2: laminate.grams_per_m2(),
    })
}

/// Returns the state that strains the paint most on a drum of that diameter in mm, with its strain.
pub(super) fn worst_strain(bends: &[Bend], diameter: f64) -> Option<(Bend, f64)> {
    let strains = bends.iter().map(|bend| (*bend, bend.strain(diameter)));
    strains.max_by(|a, b| a.1.total_cmp(&b.1))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::catalog::Cold;
    use crate::catalog::PaintSide;
    use crate::rolling::laminate::tests::layer;

    fn class(limit: f64, reserve: f64, floor: f64) -> Allowed {
        Allowed {
            limit,
            reserve,
            floor: Length::mm(floor),
            cold: false,
        }
    }

    fn mural(canvas: f64, facing: f64) -> Laminate {
        Laminate {
            below: vec![layer(100.0, canvas), layer(2000.0, 0.15)],
            paint: Some(layer(300.0, 0.15)),
            facing: if facing > 0.0 {
                vec![layer(1500.0, 0.1), layer(400.0, facing)]
            } else {
                Vec::new()
            },
        }
    }

    fn least(laminate: &Laminate, class: &Allowed) -> Bending {
        bending(laminate, &laminate.bends(PaintSide::Out), class).unwrap()
    }

    /// Source: trade.md section 3.3, S-6: a sheet of 2 mm needs 498, 798 and 220.22 mm at strains 0.004, 0.0025 and 0.009.
    #[test]
    fn least_diameters_of_a_single_sheet() {
        fn case(strain: f64, diameter: i64) {
            let sheet = Laminate {
                paint: Some(layer(300.0, 2.0)),
                ..Laminate::default()
            };
            let found = least(&sheet, &class(strain, 1.0, 100.0));
            assert_eq!(found.least_diameter, Length::whole_mm(diameter));
            assert_eq!(found.governs, Governs::Strain);
        }
        case(0.004, 498);
        case(0.0025, 798);
        case(0.009, 221);
    }

    /// S-11's lever of 0.263889 mm and axis of 0.636111 mm: 2 (0.263889 · 2 / 0.004 − 0.636111) = 262.6 mm, under the floor.
    #[test]
    fn the_floor_of_common_practice_governs_a_thin_painting() {
        let thin = least(&mural(0.6, 0.0), &class(0.004, 2.0, 460.0));
        assert_eq!(
            (thin.least_diameter, thin.governs),
            (Length::mm(460.0), Governs::Floor)
        );
        let bare = least(&mural(0.6, 0.0), &class(0.004, 2.0, 0.0));
        assert_eq!(
            (bare.least_diameter, bare.governs),
            (Length::mm(263.0), Governs::Strain)
        );
    }

    /// A resin that creeps must not be counted on: the faced painting needs no smaller a drum than the bare one.
    #[test]
    fn a_facing_never_makes_the_drum_smaller() {
        let class = class(0.004, 2.0, 0.0);
        assert_eq!(
            least(&mural(0.6, 0.5), &class).least_diameter,
            least(&mural(0.6, 0.0), &class).least_diameter
        );
    }

    #[test]
    fn paint_that_takes_no_strain_has_no_drum() {
        let laminate = mural(0.6, 0.0);
        for (limit, reserve) in [(0.0, 2.0), (0.004, 0.0), (f64::NAN, 2.0), (-1.0, 2.0)] {
            assert_eq!(
                bending(
                    &laminate,
                    &laminate.bends(PaintSide::Out),
                    &class(limit, reserve, 460.0)
                ),
                None
            );
        }
        assert_eq!(
            bending(&Laminate::default(), &[], &class(0.004, 2.0, 460.0)),
            None
        );
    }

    /// Source: trade.md 3.1: acrylic paint turns brittle near −3 to 11 °C (Erlebacher and others, MRS 1992).
    #[test]
    fn the_cold_lowers_what_a_class_takes_where_a_source_says_so() {
        let supple = Strain {
            limit: 0.004,
            reserve: 2.0,
            floor: Length::mm(300.0),
            turns: 4.0,
            cold: Some(Cold {
                below: Temperature::celsius(11.0),
                limit: 0.0025,
            }),
            source: String::new(),
        };
        let at = |degrees: f64| Allowed::at(&supple, Some(Temperature::celsius(degrees)));
        assert_eq!((at(11.0).limit, at(11.0).cold), (0.004, false));
        assert_eq!((at(8.0).limit, at(8.0).cold), (0.0025, true));
        let steady = Strain {
            cold: None,
            ..supple.clone()
        };
        assert!(!Allowed::at(&steady, Some(Temperature::celsius(2.0))).cold);
        assert_eq!(
            Allowed::at(&supple, None).limit,
            0.004,
            "no temperature is known"
        );
        assert!(
            least(&mural(2.0, 0.0), &at(8.0)).by_strain
                > least(&mural(2.0, 0.0), &at(20.0)).by_strain
        );
    }

    /// Paint inwards lies nearer the drum's axis, by the facing and all above the neutral axis: 2 (0.263889 · 500 − 0.263889) = 263.4 mm
    /// with no facing, since the axis of S-11 lies 0.263889 mm below the paint's face; the paint is pressed, not stretched.
    #[test]
    fn paint_inwards_is_pressed_and_asks_for_a_little_more() {
        let laminate = mural(0.6, 0.0);
        let class = class(0.004, 2.0, 0.0);
        let inwards = laminate.bends(PaintSide::In);
        let found = bending(&laminate, &inwards, &class).unwrap();
        assert_eq!(found.least_diameter, Length::mm(264.0));
        let [outer, inner] = inwards[0].faces(600.0, PaintSide::In);
        assert!(outer < 0.0 && outer.abs() > inner.abs(), "{outer} {inner}");
        let [outer, _] = laminate.bends(PaintSide::Out)[0].faces(600.0, PaintSide::Out);
        assert!(outer > 0.0);
    }

    proptest! {
        /// Stiffer canvas, ground or residue draws the axis away from the paint.
        #[test]
        fn stiffer_behind_the_paint_never_asks_for_a_smaller_drum(
            layers in prop::collection::vec((1.0..3_000.0_f64, 0.05..2.0_f64), 1..4),
            paint in (10.0..3_000.0_f64, 0.05..1.0_f64), which in 0..4_usize, stiffer in 1.0..10.0_f64, limit in 0.001..0.01_f64,
        ) {
            let stack = |factor: f64| Laminate {
                below: layers.iter().enumerate().map(|(index, (e, h))| layer(if index == which % layers.len() { e * factor } else { *e }, *h)).collect(),
                paint: Some(layer(paint.0, paint.1)),
                facing: Vec::new(),
            };
            let class = class(limit, 2.0, 300.0);
            // The lowest layer alone has the longest arm: one above the axis may draw it up to the paint.
            let (soft, stiff) = (stack(1.0), stack(if which % layers.len() == 0 { stiffer } else { 1.0 }));
            prop_assert!(least(&stiff, &class).least_diameter >= least(&soft, &class).least_diameter);
        }

        /// Of a painting without facing. Under a thick stiff facing the axis can lie beyond the paint, whose inner face is then
        /// pressed hardest, and a thicker canvas draws the axis back.
        #[test]
        fn thicker_or_more_brittle_never_asks_for_a_smaller_drum(
            canvas in 0.2..3.0_f64, more in 0.0..3.0_f64,
            limit in 0.001..0.01_f64, less in 0.1..1.0_f64, reserve in 1.0..4.0_f64,
        ) {
            let start = least(&mural(canvas, 0.0), &class(limit, reserve, 300.0));
            let thicker = least(&mural(canvas + more, 0.0), &class(limit, reserve, 300.0));
            let brittle = least(&mural(canvas, 0.0), &class(limit * less, reserve, 300.0));
            prop_assert!(thicker.least_diameter >= start.least_diameter);
            prop_assert!(brittle.least_diameter >= start.least_diameter);
        }

        #[test]
        fn more_brittle_never_asks_for_a_smaller_drum_under_a_facing(
            canvas in 0.2..3.0_f64, facing in 0.0..1.0_f64, limit in 0.001..0.01_f64, less in 0.1..1.0_f64,
        ) {
            let start = least(&mural(canvas, facing), &class(limit, 2.0, 300.0));
            let brittle = least(&mural(canvas, facing), &class(limit * less, 2.0, 300.0));
            prop_assert!(brittle.least_diameter >= start.least_diameter);
        }

        #[test]
        fn on_its_least_drum_the_strain_with_its_reserve_is_within_the_limit(
            canvas in 0.2..3.0_f64, facing in 0.0..1.0_f64, limit in 0.001..0.01_f64, reserve in 1.0..4.0_f64,
        ) {
            let laminate = mural(canvas, facing);
            let found = least(&laminate, &class(limit, reserve, 0.0));
            let (_, strain) = worst_strain(&laminate.bends(PaintSide::Out), found.least_diameter.to_mm()).unwrap();
            prop_assert!(strain * reserve <= limit * (1.0 + 1e-12));
        }
    }
}
