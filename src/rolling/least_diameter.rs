//! The least drum that spares the paint.

use crate::catalog::Strain;
use crate::units::Length;

use super::laminate::Bend;
use super::laminate::Bond;
use super::laminate::Laminate;
use super::outcome::Bending;
use super::outcome::Governs;

/// Beyond this no drum is built; it keeps a nearly unbendable paint within what lengths can hold.
const LARGEST_MM: f64 = 1_000_000.0;

/// Returns the least diameter of drum for a painting, rounded up to a whole millimetre; none where its paint takes no strain at all.
///
/// # Formula
/// `D = 2 (lever · reserve / limit − ȳ)` in each state of bond (ȳ: the neutral axis above the reverse), the largest of them, and never under
/// the floor of common practice.
///
/// # Limits
/// The diameter is an aid to the conservator's judgement: age, cold and dry air shrink what paint takes, and a test on the real paint
/// comes first.
///
/// # Sources
/// trade.md section 3: yield strain 0.004 of artists' materials and 0.0025 of brittle gesso (Mecklenburg, Tumosa and Erhardt, in *Painted
/// Wood*, 1998); transformed section of handbooks.
pub(super) fn bending(laminate: &Laminate, bends: &[Bend], class: &Strain) -> Option<Bending> {
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
    Some(Bending {
        least_diameter: Length::whole_mm(by_strain.max(class.floor).to_mm_up()),
        governs,
        limit: class.limit,
        reserve: class.reserve,
        floor: class.floor,
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
    use crate::rolling::laminate::tests::layer;

    fn class(limit: f64, reserve: f64, floor: f64) -> Strain {
        Strain {
            limit,
            reserve,
            floor: Length::mm(floor),
            turns: 3.0,
            source: String::new(),
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

    fn least(laminate: &Laminate, class: &Strain) -> Bending {
        bending(laminate, &laminate.bends(), class).unwrap()
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
                bending(&laminate, &laminate.bends(), &class(limit, reserve, 460.0)),
                None
            );
        }
        assert_eq!(
            bending(&Laminate::default(), &[], &class(0.004, 2.0, 460.0)),
            None
        );
    }

    proptest! {
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
            let (_, strain) = worst_strain(&laminate.bends(), found.least_diameter.to_mm()).unwrap();
            prop_assert!(strain * reserve <= limit * (1.0 + 1e-12));
        }
    }
}
