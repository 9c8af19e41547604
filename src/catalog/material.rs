//! A material: what it is, its size, its physics, how it keeps and what it can do to people.

use crate::units::Length;
use crate::units::Unit;

use super::condition::choices;

choices! {
    /// What form a material comes in; it decides the unit it is counted in.
    MaterialKind {
        /// Flat sheets of paper, fabric or film.
        Sheet = "sheet",
        /// Rolls of paper, fabric, film or tape.
        Roll = "roll",
        /// Liquids by volume.
        Liquid = "liquid",
        /// Dry resins, adhesives and powders by mass.
        Resin = "resin",
        /// Tubes for drums, by stock length.
        Tube = "tube",
        /// Boards: plywood and foam, by the sheet.
        Board = "board",
        /// Timber by stock length.
        Timber = "timber",
        /// Anything counted.
        Each = "each",
    }
}

impl MaterialKind {
    /// Whether crates are made from it: its rests are used and kept where crates are cut.
    pub const fn is_for_crates(self) -> bool {
        matches!(self, Self::Board | Self::Timber)
    }

    /// The unit in which a material of this kind is counted, bought and stocked.
    pub const fn unit(self) -> Unit {
        match self {
            Self::Sheet | Self::Board => Unit::Sheet,
            Self::Roll => Unit::Roll,
            Self::Liquid => Unit::Ml,
            Self::Resin => Unit::G,
            Self::Tube | Self::Timber | Self::Each => Unit::Each,
        }
    }
}

choices! {
    /// Which way a sheet's fibres or threads run.
    Grain {
        /// No direction to keep: pieces may be turned.
        None = "none",
        /// Along the sheet's length.
        Length = "length",
        /// Along the sheet's width.
        Width = "width",
    }
}

choices! {
    /// What a material can do to people, for storage, freight and cautions.
    Hazard {
        /// Nothing out of the ordinary.
        None = "none",
        /// Burns easily; counts towards the storage limit.
        Flammable = "flammable",
        /// Burns easily and harms by breathing.
        FlammableToxic = "flammable-toxic",
        /// Harms by breathing or touch.
        Toxic = "toxic",
    }
}

impl Hazard {
    /// Says whether the material counts towards the limit for flammable liquid.
    pub const fn is_flammable(self) -> bool {
        matches!(self, Self::Flammable | Self::FlammableToxic)
    }
}

/// One material of the catalogue.
///
/// Lengths are of one stock unit: a sheet's sides, a roll's width and full length, a tube's or timber's stock length.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// The id that recipes and offers use.
    pub id: String,
    /// What it is, generically, in words.
    pub name: String,
    /// The form it comes in.
    pub kind: MaterialKind,
    /// Width of a sheet, roll, board or timber.
    pub width: Option<Length>,
    /// Length of a sheet, roll, board, timber or tube.
    pub length: Option<Length>,
    /// Thickness of a sheet, roll, board or timber.
    pub thickness: Option<Length>,
    /// Outer diameter of a tube.
    pub diameter: Option<Length>,
    /// Wall thickness of a tube.
    pub wall: Option<Length>,
    /// How far its edges run out in loose fibres where it is torn rather than cut; nothing where it is cut.
    pub feather: Length,
    /// Mass an area, in g/m².
    pub grams_per_m2: Option<f64>,
    /// Density in g/ml of a liquid, resin, board, timber, or of a tube's wall.
    pub density: Option<f64>,
    /// Elastic modulus in MPa, along its weaker direction.
    pub modulus: Option<f64>,
    /// Strength in MPa: of tubes in bending, of foam boards the pressure that they bear for good.
    pub strength: Option<f64>,
    /// Load across a tube that crushes it, in N a millimetre of its length, where its maker gives one.
    pub crush: Option<f64>,
    /// Mass in grams of one piece of what is counted.
    pub grams_each: Option<f64>,
    /// Which way the fibres run.
    pub grain: Grain,
    /// What a cut or a tear takes away between two pieces of a sheet or roll.
    pub kerf: Length,
    /// The material that this row is another size of: pieces laid of that one may be cut from this one.
    pub same_as: Option<String>,
    /// Days it keeps from delivery; none if it keeps well.
    pub keeps_days: Option<u32>,
    /// What it can do to people.
    pub hazard: Hazard,
    /// The row of the solvent table that describes its vapour.
    pub solvent: Option<String>,
    /// Where the values come from.
    pub source: String,
}

impl Material {
    /// The unit in which the material is counted, bought and stocked.
    pub const fn unit(&self) -> Unit {
        self.kind.unit()
    }

    /// A material of which only its form is known.
    #[cfg(test)]
    pub(crate) fn bare(id: &str, kind: MaterialKind) -> Self {
        Self {
            id: id.to_owned(),
            name: id.to_owned(),
            kind,
            width: None,
            length: None,
            thickness: None,
            diameter: None,
            wall: None,
            feather: Length::ZERO,
            grams_per_m2: None,
            density: None,
            modulus: None,
            strength: None,
            crush: None,
            grams_each: None,
            grain: Grain::None,
            kerf: Length::ZERO,
            same_as: None,
            keeps_days: None,
            hazard: Hazard::None,
            solvent: None,
            source: "test".to_owned(),
        }
    }

    /// What keeps another material from standing in for this one, if anything: layers are cut and solutions are mixed for
    /// this one.
    pub fn differs_from(&self, other: &Self) -> Option<&'static str> {
        let is_laid = !matches!(
            self.kind,
            MaterialKind::Liquid | MaterialKind::Resin | MaterialKind::Each
        );
        if self.id == other.id {
            Some("it is the same material")
        } else if self.kind != other.kind {
            Some("it comes in another form")
        } else if is_laid && (self.width != other.width || self.length != other.length) {
            Some("it has another size, and sheets are cut to the first")
        } else if (self.hazard == Hazard::None) != (other.hazard == Hazard::None)
            || self.solvent != other.solvent
        {
            Some("its vapour or hazard is another")
        } else {
            None
        }
    }
}
