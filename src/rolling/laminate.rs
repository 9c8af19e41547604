//! A painting as a stack of layers: where its neutral axis lies and how far the paint stands off it.

use crate::catalog::PaintSide;
use crate::units::Length;

/// One layer of the stack.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layer {
    /// What it is.
    pub(crate) name: String,
    /// Thickness.
    pub(crate) thickness: Length,
    /// Elastic modulus in MPa; nothing where it is not known, so that the layer does not stiffen.
    pub(crate) modulus: f64,
    /// Mass an area in g/m².
    pub(crate) grams_per_m2: f64,
}

/// The layers from the reverse outwards.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Laminate {
    /// Residue, canvas and ground, from the reverse up to the paint.
    pub(crate) below: Vec<Layer>,
    /// The paint.
    pub(crate) paint: Option<Layer>,
    /// The facing, from the paint outwards.
    pub(crate) facing: Vec<Layer>,
}

/// Which layers slide on each other as the stack bends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bond {
    /// None: the whole stack bends as one.
    All,
    /// The facing slides on the paint; the painting itself bends as one.
    Painting,
    /// Every layer slides and bends about its own middle.
    Nothing,
}

impl Bond {
    /// The state in words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::All => "all layers bonded",
            Self::Painting => "facing slips on the paint",
            Self::Nothing => "every layer slips",
        }
    }
}

/// How the paint stands off the axis that does not stretch; all in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bend {
    /// Which layers are bonded.
    pub(crate) bond: Bond,
    /// The axis above the reverse.
    pub(crate) axis: f64,
    /// The axis above the face that lies on the drum: the reverse, or the facing where the paint faces inwards.
    pub(crate) rise: f64,
    /// From the axis to the paint's outer face; stretched where positive.
    pub(crate) outer: f64,
    /// From the axis to the paint's inner face; pressed where negative.
    pub(crate) inner: f64,
}

impl Bend {
    /// The greater distance of the paint's two faces from the axis.
    pub(crate) fn lever(&self) -> f64 {
        self.outer.abs().max(self.inner.abs())
    }

    /// The strain in the paint on a drum of that diameter in mm.
    ///
    /// # Formula
    /// `ε = lever / (R + ȳ)`, R the drum's radius, `ȳ = Σ E h y / Σ E h` the axis that does not stretch above the face that lies on the drum,
    /// over the layers that are bonded to each other; the lever is the distance of the paint's farther face from that axis. A painting
    /// alone of thickness h has `ε = h / (D + h)`.
    ///
    /// # Sources
    /// trade.md section 3.3, transformed section; S-1 to S-11.
    pub(crate) fn strain(&self, diameter: f64) -> f64 {
        self.lever() / (diameter / 2.0 + self.rise)
    }

    /// The strains at the paint's outer and inner face on a drum of that diameter in mm, stretched positive, pressed negative.
    pub(crate) fn faces(&self, diameter: f64, side: PaintSide) -> [f64; 2] {
        let sign = match side {
            PaintSide::Out => 1.0,
            PaintSide::In => -1.0,
        };
        [self.outer, self.inner].map(|off| sign * off / (diameter / 2.0 + self.rise))
    }

    /// The least diameter in mm at which the strain stays at or under a limit.
    pub(crate) fn least_diameter(&self, strain: f64) -> f64 {
        (2.0 * (self.lever() / strain - self.rise)).max(0.0)
    }
}

impl Laminate {
    /// The three states that a real roll lies between.
    ///
    /// A facing that is firmly adhered draws the axis up to the paint and spares it; one whose resin is still soft, or that
    /// creeps in store, does not. Layers that slide altogether bend about their own middles. A roll may be in any of the three,
    /// so all are worked out and the worst counts.
    pub(crate) fn bends(&self, side: PaintSide) -> Vec<Bend> {
        let Some(paint) = &self.paint else {
            return Vec::new();
        };
        let inner = height(&self.below);
        let outer = inner + paint.thickness.to_mm();
        let whole = outer + height(&self.facing);
        let bend = |bond, axis: f64| Bend {
            bond,
            axis,
            rise: match side {
                PaintSide::Out => axis,
                PaintSide::In => whole - axis,
            },
            outer: outer - axis,
            inner: inner - axis,
        };
        let painting = self.below.iter().chain(&self.paint);
        let middle = f64::midpoint(inner, outer);
        let mut bends = vec![bend(
            Bond::All,
            neutral_axis(painting.clone().chain(&self.facing)),
        )];
        if !self.facing.is_empty() {
            bends.push(bend(Bond::Painting, neutral_axis(painting)));
        }
        bends.push(bend(Bond::Nothing, middle));
        bends
    }

    /// Thickness of the whole.
    pub(crate) fn thickness(&self) -> Length {
        self.layers().map(|layer| layer.thickness).sum()
    }

    /// The paint's outer face above the reverse.
    pub(crate) fn paint_face(&self) -> Length {
        self.below
            .iter()
            .chain(&self.paint)
            .map(|layer| layer.thickness)
            .sum()
    }

    /// Mass an area of the whole in g/m².
    pub(crate) fn grams_per_m2(&self) -> f64 {
        self.layers().map(|layer| layer.grams_per_m2).sum()
    }

    /// Every layer, from the reverse outwards.
    pub(crate) fn layers(&self) -> impl Iterator<Item = &Layer> {
        self.below.iter().chain(&self.paint).chain(&self.facing)
    }
}

/// Thickness of layers in mm.
fn height(layers: &[Layer]) -> f64 {
    layers.iter().map(|layer| layer.thickness.to_mm()).sum()
}

/// The axis that does not stretch, in mm above the lowest layer: `Σ E h y / Σ E h`; the middle where no modulus is known.
fn neutral_axis<'a>(layers: impl Iterator<Item = &'a Layer>) -> f64 {
    let (mut base, mut stiffness, mut moment) = (0.0, 0.0, 0.0);
    for layer in layers {
        let thickness = layer.thickness.to_mm();
        let tension = layer.modulus.max(0.0) * thickness;
        stiffness += tension;
        moment += tension * (base + thickness / 2.0);
        base += thickness;
    }
    if stiffness > 0.0 {
        moment / stiffness
    } else {
        base / 2.0
    }
}

#[cfg(test)]
pub(super) mod tests {
    use proptest::prelude::*;

    use super::*;

    pub(crate) fn layer(modulus: f64, thickness: f64) -> Layer {
        Layer {
            name: String::new(),
            thickness: Length::mm(thickness),
            modulus,
            grams_per_m2: 0.0,
        }
    }

    fn near(found: f64, printed: f64, slack: f64) {
        assert!(
            (found - printed).abs() <= slack * printed.abs(),
            "{found} is not {printed}"
        );
    }

    fn mural(facing: bool) -> Laminate {
        Laminate {
            below: vec![layer(100.0, 0.6), layer(2000.0, 0.15)],
            paint: Some(layer(300.0, 0.15)),
            facing: if facing {
                vec![layer(1500.0, 0.1), layer(400.0, 0.5)]
            } else {
                Vec::new()
            },
        }
    }

    /// Source: trade.md section 3.3, S-1 to S-6: a single sheet bends about its middle, `h / (D + h)`.
    #[test]
    fn strain_of_a_single_sheet() {
        fn case(diameter: f64, thickness: f64, strain: f64) {
            let sheet = Laminate {
                paint: Some(layer(300.0, thickness)),
                ..Laminate::default()
            };
            for bend in sheet.bends(PaintSide::Out) {
                near(bend.strain(diameter), strain, 1e-4);
                near(bend.least_diameter(bend.strain(diameter)), diameter, 1e-9);
            }
        }
        case(300.0, 1.0, 0.003_322_3);
        case(300.0, 1.5, 0.004_975_1);
        case(300.0, 2.0, 0.006_622_5);
        case(300.0, 3.0, 0.009_901_0);
        case(610.0, 1.0, 0.001_636_7);
        case(610.0, 2.0, 0.003_268_0);
        case(610.0, 3.0, 0.004_894_0);
        case(914.0, 1.5, 0.001_638_4);
        case(914.0, 3.0, 0.003_271_5);
        case(1200.0, 1.0, 0.000_832_64);
        case(1200.0, 3.0, 0.002_493_8);
        case(3700.0, 2.0, 0.000_540_25);
        case(498.0, 2.0, 0.004);
        case(798.0, 2.0, 0.0025);
        case(220.22, 2.0, 0.009);
    }

    /// Source: trade.md section 3.3, S-7: on a drum of 3.7 m those distances from the axis reach the strain.
    #[test]
    fn distance_from_the_axis_that_reaches_a_strain() {
        fn case(lever: f64, strain: f64) {
            let bend = Bend {
                bond: Bond::All,
                axis: 0.0,
                rise: 0.0,
                outer: lever,
                inner: 0.0,
            };
            near(bend.strain(3700.0), strain, 1e-9);
        }
        case(7.40, 0.004);
        case(4.625, 0.0025);
        case(1.85, 0.001);
    }

    /// Source: trade.md section 3.3, S-8 (pine beam with a steel strip on top, found at transtutors 13676926) and S-9 (steel under
    /// wood, from memory of Gere, *Mechanics of Materials*, example 6-1; arithmetic checked). Widths are 140 and 200 mm, or alike.
    #[test]
    fn neutral_axes_of_handbook_beams() {
        let pine = [
            layer(12_500.0 * 140.0, 400.0),
            layer(200_000.0 * 200.0, 8.0),
        ];
        near(neutral_axis(pine.iter()), 264.0, 1e-9);
        let wood = [layer(30_000.0, 0.5), layer(1_500.0, 6.0)];
        near(neutral_axis(wood.iter()), 1.46875, 1e-9);
    }

    /// Source: trade.md section 3.3, S-10 and S-11 (computed from the formulas; inputs illustrative).
    #[test]
    fn an_adhered_facing_draws_the_axis_to_the_paint() {
        let faced = mural(true).bends(PaintSide::Out);
        near(faced[0].axis, 0.861_093, 1e-6);
        near(faced[0].outer / (300.0 + faced[0].axis), 0.000_129_32, 1e-4);
        assert!(
            faced[0].inner < 0.0,
            "the axis lies within the paint: its inner face is pressed"
        );
        let bare = mural(false).bends(PaintSide::Out);
        near(bare[0].axis, 0.636_111, 1e-6);
        near(bare[0].outer, 0.263_889, 1e-5);
        near(bare[0].strain(600.0), 0.000_877_77, 1e-5);
        // Worked by hand: 0.263889 and 0.113889 mm off the axis, over 300 + 0.636111 mm.
        let [outer, inner] = bare[0].faces(600.0, PaintSide::Out);
        near(outer, 0.000_877_77, 1e-5);
        near(inner, 0.113_889 / 300.636_111, 1e-5);
        assert_eq!(
            faced[1].axis, bare[0].axis,
            "a facing that slips leaves the painting's own axis"
        );
        assert_eq!(
            faced[2].lever(),
            mural(false).bends(PaintSide::Out)[1].lever()
        );
    }

    #[test]
    fn layers_without_a_modulus_do_not_stiffen() {
        let mut faced = mural(true);
        for layer in &mut faced.facing {
            layer.modulus = 0.0;
        }
        assert_eq!(
            faced.bends(PaintSide::Out)[0].axis,
            mural(false).bends(PaintSide::Out)[0].axis
        );
        let limp = Laminate {
            below: vec![layer(0.0, 1.0)],
            paint: Some(layer(0.0, 1.0)),
            facing: Vec::new(),
        };
        assert_eq!(limp.bends(PaintSide::Out)[0].axis, 1.0, "the middle");
        assert_eq!(Laminate::default().bends(PaintSide::Out), Vec::new());
    }

    proptest! {
        /// The axis recomputed in many thin slices, a way that shares no step with the formula.
        #[test]
        fn the_axis_agrees_with_thin_slices(
            layers in prop::collection::vec((1.0..3_000.0_f64, 0.05..2.0_f64), 1..6),
        ) {
            let stack: Vec<Layer> = layers.iter().map(|(e, h)| layer(*e, *h)).collect();
            let (mut stiffness, mut moment, mut base) = (0.0, 0.0, 0.0);
            for layer in &stack {
                let slice = layer.thickness.to_mm() / 500.0;
                for i in 0..500 {
                    stiffness += layer.modulus * slice;
                    moment += layer.modulus * slice * (base + slice * (f64::from(i) + 0.5));
                }
                base += layer.thickness.to_mm();
            }
            prop_assert!((neutral_axis(stack.iter()) - moment / stiffness).abs() < 1e-6);
        }
    }
}
