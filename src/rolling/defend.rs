//! Why one painting needs the drum it needs, and what would allow a smaller one: worked out when somebody asks.

use std::collections::BTreeSet;

use crate::catalog::Give;
use crate::catalog::MaterialKind;
use crate::catalog::PaintSide;
use crate::catalog::Strain;
use crate::diag::Problems;
use crate::job::Job;
use crate::job::PanelRow;
use crate::survey::Panel;
use crate::survey::Survey;
use crate::takeoff::Takeoff;
use crate::units::Length;

use super::coldest;
use super::instead::BOTH;
use super::instead::bar;
use super::laminate::Bend;
use super::laminate::Bond;
use super::laminate::Laminate;
use super::laminate::Layer;
use super::layers;
use super::layers::Faced;
use super::least_diameter;
use super::least_diameter::Allowed;
use super::outcome::Bending;
use super::outcome::Rolling;
use super::ready;
use super::serve;
use super::serve::Dressing;
use super::serve::Roll;
use super::tube;
use super::tube::Tube;

/// Everything that speaks for a painting's drum.
#[derive(Clone, Debug, PartialEq)]
pub struct Defence {
    /// The drum it is on; none for one that stays flat.
    pub drum: Option<String>,
    /// That drum's diameter, or the least diameter of one that stays flat.
    pub diameter: Length,
    /// Where the class's limit comes from.
    pub source: String,
    /// The layers from the reverse outwards.
    pub layers: Vec<Ply>,
    /// The strain in the paint on that diameter, in each state of bond.
    pub states: Vec<State>,
    /// The painting as it is, then what would change its least diameter.
    pub cases: Vec<Case>,
    /// Both ways of winding it.
    pub windings: Vec<Way>,
}

/// One layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Ply {
    /// What it is.
    pub name: String,
    /// Its thickness.
    pub thickness: Length,
    /// Its modulus in MPa; nothing where it is not taken to stiffen.
    pub modulus: f64,
    /// Its mass in g/m².
    pub grams_per_m2: f64,
}

/// The paint's strain in one state of bond; stretched positive, pressed negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// The state in words.
    pub bond: &'static str,
    /// The axis that does not stretch, above the reverse.
    pub axis: Length,
    /// At the paint's outer face, away from the canvas.
    pub outer: f64,
    /// At its inner face.
    pub inner: f64,
}

/// A painting, treated so.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// What is done.
    pub text: String,
    /// The strain in its paint on the diameter of the defence.
    pub strain: f64,
    /// How it bends.
    pub bending: Bending,
    /// The thinnest tube of the catalogue that would serve; none where none does.
    pub thinnest: Option<Length>,
}

/// One way of winding a painting.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Whether its width is wound up.
    pub along_width: bool,
    /// The face it takes alone.
    pub face: Length,
    /// Turns on the diameter of the defence.
    pub turns: f64,
    /// The most turns of its class.
    pub most_turns: f64,
    /// The thinnest tube that serves, or why none does.
    pub tube: Result<String, String>,
}

/// Returns what speaks for a panel's drum; none where the panel is not known or its paint takes no bending.
pub fn defend(
    job: &Job,
    survey: &Survey,
    takeoff: &Takeoff,
    rolling: &Rolling,
    panel: usize,
) -> Option<Defence> {
    let surveyed = survey.panels.get(panel)?;
    let row = job.panels.get(surveyed.row)?;
    let recipe = job.recipe_of(row)?;
    let faced = Faced::of(takeoff, panel);
    let laminate = layers::laminate(job, (surveyed, row), recipe, &faced, &mut BTreeSet::new());
    let class = job.catalog.strains.get(&row.give)?;
    let tubes = tube::tubes(job, &mut Problems::new());
    let desk = Desk {
        job,
        panel: (panel, surveyed, row),
        dressing: &Dressing::of(job),
        tubes: &tubes,
    };
    let plain = desk.plain(&laminate);
    let as_it_is = desk.bending(&plain, &laminate, class)?;
    let drum = rolling
        .drums
        .iter()
        .find(|drum| drum.panels.iter().any(|rolled| rolled.panel == panel));
    let diameter = drum.map_or(as_it_is.least_diameter, |drum| drum.diameter);
    let side = job.catalog.drum_kit.paint;
    Some(Defence {
        drum: drum.map(|drum| drum.id.clone()),
        diameter,
        source: class.source.clone(),
        layers: laminate.layers().map(ply).collect(),
        states: plain
            .iter()
            .map(|bend| state(bend, diameter, side))
            .collect(),
        cases: desk.cases(&laminate, class, diameter),
        windings: desk.ways(&plain, as_it_is, class, diameter),
    })
}

fn ply(layer: &Layer) -> Ply {
    Ply {
        name: layer.name.clone(),
        thickness: layer.thickness,
        modulus: layer.modulus,
        grams_per_m2: layer.grams_per_m2,
    }
}

fn state(bend: &Bend, diameter: Length, side: PaintSide) -> State {
    let [outer, inner] = bend.faces(diameter.to_mm(), side);
    State {
        bond: bend.bond.words(),
        axis: Length::mm(bend.axis),
        outer,
        inner,
    }
}

/// What every case is worked out from.
struct Desk<'a> {
    job: &'a Job,
    panel: (usize, &'a Panel, &'a PanelRow),
    dressing: &'a Dressing,
    tubes: &'a [Tube<'a>],
}

impl Desk<'_> {
    fn plain(&self, laminate: &Laminate) -> Vec<Bend> {
        laminate.bends(self.job.catalog.drum_kit.paint)
    }

    fn bending(&self, bends: &[Bend], laminate: &Laminate, class: &Strain) -> Option<Bending> {
        least_diameter::bending(laminate, bends, &Allowed::at(class, coldest(self.job)))
    }

    /// The painting as it is, and whatever could be done to it.
    fn cases(&self, laminate: &Laminate, class: &Strain, diameter: Length) -> Vec<Case> {
        let warm = |class: &Strain| Strain {
            cold: None,
            ..class.clone()
        };
        let mut tried: Vec<(String, Laminate, Vec<Bend>, Strain)> = Vec::new();
        let mut add = |text: &str, laminate: Laminate, bends: Vec<Bend>, class: &Strain| {
            tried.push((text.to_owned(), laminate, bends, class.clone()));
        };
        add("as it is", laminate.clone(), self.plain(laminate), class);
        if let Some(clean) = without_residue(laminate) {
            let bends = self.plain(&clean);
            add("residue off", clean, bends, class);
        }
        if let Some(thin) = self.first_sheet_only(laminate) {
            let bends = self.plain(&thin);
            add("first sheet only", thin, bends, class);
        }
        if !laminate.facing.is_empty() {
            let bare = Laminate {
                facing: Vec::new(),
                ..laminate.clone()
            };
            let bends = self.plain(&bare);
            add("no facing", bare, bends, class);
            let bonded = self.plain(laminate);
            let bonded = bonded.into_iter().filter(|bend| bend.bond == Bond::All);
            add("facing holds", laminate.clone(), bonded.collect(), class);
        }
        let (other, words) = match self.job.catalog.drum_kit.paint {
            PaintSide::Out => (PaintSide::In, "paint inwards"),
            PaintSide::In => (PaintSide::Out, "paint outwards"),
        };
        add(words, laminate.clone(), laminate.bends(other), class);
        if class.cold.is_some() && Allowed::at(class, coldest(self.job)).cold {
            add(
                "rolled warm",
                laminate.clone(),
                self.plain(laminate),
                &warm(class),
            );
        }
        for (give, softer) in self.softer() {
            let text = format!("tested {}", give.name());
            add(&text, laminate.clone(), self.plain(laminate), softer);
        }
        let cases = tried
            .into_iter()
            .filter_map(|(text, laminate, bends, class)| {
                let bending = self.bending(&bends, &laminate, &class)?;
                let strain = least_diameter::worst_strain(&bends, diameter.to_mm())?.1;
                let roll = self.roll(bends, bending.clone(), class.turns);
                let mut thin = self.tubes.iter().filter(|tube| {
                    let mut axes = roll.axes.iter();
                    axes.any(|axis| serve::serve(&roll, tube, *axis, self.dressing).is_ok())
                });
                Some(Case {
                    text,
                    strain,
                    bending,
                    thinnest: thin.next().map(|tube| tube.diameter),
                })
            });
        cases.collect()
    }

    /// The painting with nothing beyond the sheet next to the paint; none where there is no more than that.
    fn first_sheet_only(&self, laminate: &Laminate) -> Option<Laminate> {
        let materials = &self.job.catalog.materials;
        let sheet = laminate.facing.iter().position(|layer| {
            materials.get(&layer.name).is_some_and(|material| {
                matches!(material.kind, MaterialKind::Sheet | MaterialKind::Roll)
            })
        })?;
        let kept: Vec<Layer> = laminate.facing.iter().take(sheet + 1).cloned().collect();
        (kept.len() < laminate.facing.len()).then(|| Laminate {
            facing: kept,
            ..laminate.clone()
        })
    }

    /// The classes that take more than the panel's own.
    fn softer(&self) -> impl Iterator<Item = (Give, &Strain)> {
        let own = self.panel.2.give;
        let classes = self.job.catalog.strains.iter();
        classes
            .filter(move |(give, _)| **give < own)
            .map(|(give, class)| (*give, class))
    }

    fn roll(&self, bends: Vec<Bend>, bending: Bending, turns: f64) -> Roll<'_> {
        ready(self.panel, (bends, bending), turns)
    }

    /// Both ways of winding, whatever the row says.
    fn ways(&self, bends: &[Bend], bending: Bending, class: &Strain, diameter: Length) -> Vec<Way> {
        let roll = self.roll(bends.to_vec(), bending, class.turns);
        let ways = BOTH.iter().rev().map(|axis| {
            let served = self
                .tubes
                .iter()
                .find(|tube| serve::serve(&roll, tube, *axis, self.dressing).is_ok());
            Way {
                along_width: *axis,
                face: self.dressing.face(roll.across(*axis)),
                turns: serve::turns_on(&roll, diameter, *axis, self.dressing),
                most_turns: class.turns,
                tube: served.map_or_else(
                    || Err(bar(self.job, &roll, *axis, (self.tubes, self.dressing))),
                    |tube| Ok(tube.id().to_owned()),
                ),
            }
        });
        ways.collect()
    }
}

/// The painting without its residue; none where it has none.
fn without_residue(laminate: &Laminate) -> Option<Laminate> {
    let residue = |layer: &Layer| layer.name.starts_with("residue-");
    laminate.below.first().filter(|layer| residue(layer))?;
    Some(Laminate {
        below: laminate.below.iter().skip(1).cloned().collect(),
        ..laminate.clone()
    })
}
