//! The most that paintings can still add to a stock tube, by the length that is left: what a search for fillings never exceeds.

use super::scope::Scope;
use super::scope::Values;

/// A class that may go on the tube.
#[derive(Clone, Debug)]
pub(super) struct Stage {
    /// An index of the market's classes.
    pub(super) class: usize,
    /// An index of the scope's kins.
    pub(super) kin: usize,
    /// How many of its paintings are wanted.
    pub(super) copies: usize,
    /// The ways in which one of them lies.
    pub(super) ways: Vec<Way>,
}

/// A way of lying on the tube.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    /// An index of the class's ways on the tube.
    pub(super) index: usize,
    /// What it takes of the face, in whole mm.
    pub(super) width: i64,
    /// What the painting is worth less what it costs there, in cents.
    pub(super) gain: f64,
}

/// What the classes from each on can add at most.
#[derive(Clone, Debug)]
pub(super) struct Headroom {
    /// The classes that the tube serves, kin by kin, in the order in which they are laid.
    pub(super) stages: Vec<Stage>,
    /// By kin, what one more drum costs, in cents.
    pub(super) setups: Vec<f64>,
    /// What a drum takes of a length besides its paintings: a margin and a saw cut, in whole mm.
    pub(super) fresh: i64,
    /// By stage, then without and with an open drum of its kin, by room in mm.
    most: Vec<[Vec<f64>; 2]>,
}

impl Headroom {
    /// Works it out for one tube.
    ///
    /// Dynamic programming over classes and whole mm, from the last class back: a class is skipped, or one of its paintings takes its width
    /// of the room and adds its gain; the first of a kin opens a drum. What a drum can bear is left out, so a real filling adds no more.
    pub(super) fn new(scope: &Scope<'_, '_>, tube: usize, values: &Values) -> Self {
        let market = scope.market;
        let longest = market.tubes[tube].length().to_mm_up();
        let stages = stages(scope, tube, values);
        let setups: Vec<f64> = values
            .fees
            .iter()
            .map(|fees| market.opened(tube) + fees[tube])
            .collect();
        let fresh = market.margin + market.kerf;
        let size = to_place(longest + market.kerf) + 1;
        let mut most = vec![[vec![0.0; size], vec![0.0; size]]; stages.len() + 1];
        for (at, stage) in stages.iter().enumerate().rev() {
            let stays = stages.get(at + 1).is_some_and(|next| next.kin == stage.kin);
            let later = &most[at + 1];
            let setup = setups[stage.kin];
            let open = with_copies(stage, &later[usize::from(stays)], (setup, fresh));
            let mut closed = later[0].clone();
            for (room, value) in closed.iter_mut().enumerate().skip(to_place(fresh)) {
                *value = value.max(open[room - to_place(fresh)] - setup);
            }
            most[at] = [closed, open];
        }
        Self {
            stages,
            setups,
            fresh,
            most,
        }
    }

    /// The most that classes from a stage on can add in a room.
    pub(super) fn most(&self, stage: usize, is_open: bool, room: i64) -> f64 {
        usize::try_from(room).map_or(f64::NEG_INFINITY, |room| {
            let by_room = &self.most[stage][usize::from(is_open)];
            by_room[room.min(by_room.len() - 1)]
        })
    }
}

/// What a class and those after it add where a drum of its kin is open.
fn with_copies(stage: &Stage, skipped: &[f64], (setup, fresh): (f64, i64)) -> Vec<f64> {
    let mut fewer = skipped.to_vec();
    for _ in 0..stage.copies {
        let mut more = skipped.to_vec();
        for way in &stage.ways {
            // Where a drum is rather paid for than charged, another of the same kin may be worth its length.
            let another = (setup < 0.0).then_some((way.width + fresh, way.gain - setup));
            for (width, gain) in [(way.width, way.gain)].into_iter().chain(another) {
                let width = to_place(width);
                for (value, before) in more.iter_mut().skip(width).zip(&fewer) {
                    *value = value.max(gain + before);
                }
            }
        }
        fewer = more;
    }
    fewer
}

/// The classes that may lie on the tube: kin by kin, wide ones first.
fn stages(scope: &Scope<'_, '_>, tube: usize, values: &Values) -> Vec<Stage> {
    let mut stages: Vec<Stage> = Vec::new();
    for (class, known) in scope.market.classes.iter().enumerate() {
        let Some(worth) = values.paintings[class][tube] else {
            continue;
        };
        let ways = known.ways[tube].iter().enumerate();
        let ways: Vec<Way> = ways
            .map(|(index, lying)| Way {
                index,
                width: lying.width,
                gain: worth - scope.market.laid(tube, lying),
            })
            .collect();
        let copies = scope.copies(class, tube);
        if copies > 0 {
            stages.push(Stage {
                class,
                kin: scope.kin_of[class],
                copies,
                ways,
            });
        }
    }
    let narrowest = |stage: &Stage| stage.ways.iter().map(|way| way.width).min();
    stages.sort_by(|a, b| a.kin.cmp(&b.kin).then(narrowest(b).cmp(&narrowest(a))));
    stages
}

/// Whole millimetres as a place in a list.
fn to_place(mm: i64) -> usize {
    usize::try_from(mm).unwrap_or(0)
}
