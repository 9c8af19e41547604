//! Solution for a step: how much, and what it is mixed from.

use crate::catalog::Catalog;
use crate::recipe::Basis;
use crate::recipe::Concentration;
use crate::recipe::Solution;
use crate::units::Area;
use crate::units::Mass;
use crate::units::Volume;

use super::outcome::Part;

/// Mass of solution for an area.
///
/// # Formula
/// m = A × s × (1 + w): A the area of sheet laid, overlaps twice (of panel, where no sheet is laid), s the spread in
/// g/m², w the waste as a fraction.
///
/// # Sources
/// Common practice; check value F-12 of the reference (9.5048 m² × 340 g/m² × 1.08 = 3490.16 g).
pub(super) fn mass_for(area: Area, grams_per_m2: f64, waste: f64) -> Mass {
    Mass::g(area.to_m2() * grams_per_m2 * (1.0 + waste))
}

/// The parts of one gram of a solution; scaled to any mass they keep their proportions.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mix {
    /// Share of the mass, and millilitres a gram of solution where a density is known.
    shares: Vec<(String, f64, Option<f64>)>,
}

/// A material whose density a conversion needs and the catalogue lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct NoDensity(pub String);

impl Mix {
    /// Works out the shares of a solution.
    ///
    /// # Formula
    /// Solvents by volume parts: shares of the solvents' volume, density of the mixture ρs = Σ (part × density) / Σ part.
    /// With x the concentration, ρr the resin's density, in grams and millilitres:
    /// - w/w: x g resin and (100 - x) g solvent;
    /// - w/v: x g resin made up to 100 ml, so 100 - x/ρr ml solvent;
    /// - g/100 ml solvent: x g resin and 100 ml solvent;
    /// - v/v: x ml resin and 100 - x ml solvent.
    ///
    /// # Limits
    /// Volumes are taken to add up; real solutions differ by a percent or so.
    ///
    /// # Sources
    /// Standard chemistry arithmetic; check values F-7 to F-11 of the reference, computed there.
    pub(super) fn of(solution: &Solution, catalog: &Catalog) -> Result<Self, NoDensity> {
        let solvents = solvents_of(solution, catalog)?;
        let solvent_density: f64 = solvents
            .iter()
            .map(|(_, share, density)| share * density)
            .sum();
        let (resin, solvent) = match (&solution.resin, solution.concentration) {
            (Some(resin), Some(concentration)) => {
                let density = density_of(resin, catalog);
                let needed = || density.ok_or_else(|| NoDensity(resin.clone()));
                let (resin_g, solvent_g) = grams(concentration, needed, solvent_density)?;
                (Some((resin.clone(), resin_g, density)), solvent_g)
            }
            (Some(_) | None, _) => (None, 1.0),
        };
        Ok(Self::from_grams(resin, solvent, &solvents, solvent_density))
    }

    fn from_grams(
        resin: Option<(String, f64, Option<f64>)>,
        solvent_g: f64,
        solvents: &[(String, f64, f64)],
        solvent_density: f64,
    ) -> Self {
        let total = solvent_g + resin.as_ref().map_or(0.0, |(_, grams, _)| *grams);
        let of_total = |grams: f64| if total > 0.0 { grams / total } else { 0.0 };
        let solvent_ml = if solvent_density > 0.0 {
            of_total(solvent_g) / solvent_density
        } else {
            0.0
        };
        let resin = resin.map(|(id, grams, density)| {
            let share = of_total(grams);
            (id, share, density.map(|density| share / density))
        });
        let solvents = solvents.iter().map(|(id, share, density)| {
            let ml = solvent_ml * share;
            (id.clone(), ml * density, Some(ml))
        });
        Self {
            shares: resin.into_iter().chain(solvents).collect(),
        }
    }

    /// The parts of a mass of solution, the resin first.
    pub(super) fn parts(&self, mass: Mass) -> Vec<Part> {
        let part = |(id, share, ml): &(String, f64, Option<f64>)| Part {
            material: id.clone(),
            mass: mass.times(*share),
            volume: ml.map(|ml| Volume::ml(ml * mass.to_g())),
        };
        self.shares.iter().map(part).collect()
    }
}

/// Grams of resin and of solvent that go together.
fn grams(
    concentration: Concentration,
    resin_density: impl Fn() -> Result<f64, NoDensity>,
    solvent_density: f64,
) -> Result<(f64, f64), NoDensity> {
    let x = concentration.value;
    Ok(match concentration.basis {
        Basis::MassInMass => (x, (100.0 - x).max(0.0)),
        Basis::MassInSolution => (x, (100.0 - x / resin_density()?).max(0.0) * solvent_density),
        Basis::MassToSolvent => (x, 100.0 * solvent_density),
        Basis::VolumeInVolume => (x * resin_density()?, (100.0 - x).max(0.0) * solvent_density),
    })
}

/// The solvents with their share of the volume and their density.
fn solvents_of(
    solution: &Solution,
    catalog: &Catalog,
) -> Result<Vec<(String, f64, f64)>, NoDensity> {
    let parts: f64 = solution.solvents.iter().map(|(_, part)| part).sum();
    let share = |part: f64| if parts > 0.0 { part / parts } else { 0.0 };
    let one = |(id, part): &(String, f64)| {
        let density = density_of(id, catalog).ok_or_else(|| NoDensity(id.clone()))?;
        Ok((id.clone(), share(*part), density))
    };
    solution.solvents.iter().map(one).collect()
}

/// A material's density in g/ml: its own, else that of its solvent row.
fn density_of(id: &str, catalog: &Catalog) -> Option<f64> {
    let material = catalog.materials.get(id)?;
    let row = material
        .solvent
        .as_ref()
        .and_then(|solvent| catalog.solvents.get(solvent));
    material
        .density
        .or(row.map(|solvent| solvent.density))
        .filter(|density| *density > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Material;
    use crate::catalog::MaterialKind;

    const RESIN: f64 = 1.15;
    const TOLUENE: f64 = 0.8669;

    fn close(found: f64, expected: f64) {
        assert!(
            (found / expected - 1.0).abs() < 1e-4,
            "{found} is not {expected}"
        );
    }

    /// Grams of resin a gram of solution, and grams a millilitre of solution.
    fn mixed(value: f64, basis: Basis, solvent: f64) -> (f64, f64) {
        let (resin, other) = grams(Concentration { value, basis }, || Ok(RESIN), solvent).unwrap();
        let total = resin + other;
        (resin / total, total / (resin / RESIN + other / solvent))
    }

    /// Source: trade.md F-7, computed there.
    #[test]
    fn ten_percent_made_up_to_volume() {
        let (resin, solvent) = grams(
            Concentration {
                value: 10.0,
                basis: Basis::MassInSolution,
            },
            || Ok(RESIN),
            TOLUENE,
        )
        .unwrap();
        close(resin, 10.0);
        close(solvent, 79.152);
        close(solvent / TOLUENE, 91.304);
        let (share, density) = mixed(10.0, Basis::MassInSolution, TOLUENE);
        close(share, 0.112_17);
        close(density, 0.891_52);
    }

    /// Source: trade.md F-8 and F-10, computed there: 10 % w/w in w/v.
    #[test]
    fn ten_percent_by_mass_in_grams_a_hundred_millilitres() {
        for (solvent, volume) in [
            (TOLUENE, 8.8878),
            (0.7903, 8.158),
            (0.7894, 8.150),
            (0.8995, 9.195),
            (0.8642, 8.862),
        ] {
            let (share, density) = mixed(10.0, Basis::MassInMass, solvent);
            close(share * density * 100.0, volume);
        }
    }

    /// Source: trade.md F-9, computed there.
    #[test]
    fn ten_grams_in_a_hundred_millilitres_of_solvent() {
        let (share, density) = mixed(10.0, Basis::MassToSolvent, TOLUENE);
        close(share * density * 100.0, 9.200);
        close(share, 0.103_42);
        close((10.0 + 100.0 * TOLUENE) / density, 108.70);
    }

    /// Worked by hand: 10 ml of resin weigh 11.5 g, 90 ml of toluene 78.021 g.
    #[test]
    fn ten_percent_by_volume() {
        let (share, density) = mixed(10.0, Basis::VolumeInVolume, TOLUENE);
        close(share, 11.5 / 89.521);
        close(density, 0.895_21);
    }

    /// Source: trade.md F-11: 20 : 2 : 1 by volume, 5 l; the ratio is a published facing emulsion's.
    #[test]
    fn three_liquids_by_parts() {
        let solvents = [
            ("varnish", 20.0 / 23.0),
            ("spirits", 2.0 / 23.0),
            ("water", 1.0 / 23.0),
        ];
        let solvents: Vec<_> = solvents
            .iter()
            .map(|(id, share)| ((*id).to_owned(), *share, 1.0))
            .collect();
        let mix = Mix::from_grams(None, 1.0, &solvents, 1.0);
        let volumes: Vec<f64> = mix
            .parts(Mass::kg(5.0))
            .iter()
            .map(|part| part.volume.unwrap().to_ml())
            .collect();
        for (found, expected) in volumes.into_iter().zip([4347.83, 434.78, 217.39]) {
            close(found, expected);
        }
    }

    /// A solution of what is given, in toluene and ethanol (densities of trade.md F-8 and F-10).
    fn mix(resin: Option<Concentration>, solvents: &[(&str, f64)]) -> Vec<(f64, Option<f64>)> {
        let mut catalog = Catalog::default();
        for (id, density) in [("resin", RESIN), ("toluene", TOLUENE), ("ethanol", 0.7894)] {
            let material = Material {
                density: Some(density),
                ..Material::bare(id, MaterialKind::Liquid)
            };
            catalog.materials.insert(id.to_owned(), material);
        }
        let solvents = solvents.iter().map(|(id, part)| ((*id).to_owned(), *part));
        let solution = Solution {
            id: "mix".to_owned(),
            name: String::new(),
            resin: resin.map(|_| "resin".to_owned()),
            concentration: resin,
            solvents: solvents.collect(),
            pot_life_minutes: None,
            largest_batch: None,
        };
        let parts = Mix::of(&solution, &catalog).unwrap().parts(Mass::g(100.0));
        let measures = |part: Part| (part.mass.to_g(), part.volume.map(Volume::to_ml));
        parts.into_iter().map(measures).collect()
    }

    /// Worked by hand: toluene and ethanol 3 : 1 weigh 0.847525 g/ml; 10 g of resin and 91.3043 ml of them make 100 ml, 87.3827 g, so 100 g hold
    /// 11.4439 g of resin and 88.5561 g, 104.488 ml, of solvents.
    #[test]
    fn a_hundred_grams_of_resin_in_two_solvents() {
        let ten = Concentration {
            value: 10.0,
            basis: Basis::MassInSolution,
        };
        let parts = mix(Some(ten), &[("toluene", 3.0), ("ethanol", 1.0)]);
        let by_hand = [
            (11.443_91, 9.951_227),
            (67.935_41, 78.365_91),
            (20.620_68, 26.121_97),
        ];
        assert_eq!(parts.len(), by_hand.len());
        for ((mass, volume), (grams, millilitres)) in parts.into_iter().zip(by_hand) {
            close(mass, grams);
            close(volume.unwrap(), millilitres);
        }
    }

    #[test]
    fn a_solution_of_nothing_has_no_parts_to_speak_of() {
        let none = Concentration {
            value: 0.0,
            basis: Basis::MassToSolvent,
        };
        assert_eq!(mix(Some(none), &[]), [(0.0, Some(0.0))]);
        assert_eq!(mix(None, &[("toluene", 0.0)]), [(0.0, Some(0.0))]);
    }

    /// Source: trade.md F-12, computed there.
    #[test]
    fn two_coats_with_waste() {
        close(mass_for(Area::m2(9.5048), 340.0, 0.08).to_g(), 3490.16);
    }
}
