//! Searches for a better schedule: rules first, then random changes to the order and to crew sizes.

use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::Search;
use super::generate::Generator;
use super::model::Exhausted;
use super::model::Model;
use super::place::State;
use super::rules;
use super::score::Score;
use super::score::score;

/// Schedules without improvement after which the search returns to the best.
const STALE: u64 = 150;

/// The best schedule found.
#[derive(Debug, Clone)]
pub(super) struct Best {
    pub(super) state: State,
    pub(super) score: Score,
    pub(super) schedules: u64,
}

/// What a schedule is made from.
#[derive(Debug, Clone)]
struct Plan {
    /// Smaller is placed first.
    keys: Vec<i64>,
    /// Most people for each task.
    caps: Vec<usize>,
}

/// Searches within the effort; calendars of the model are extended where they are too short.
pub(super) fn search(
    model: &mut Model,
    search: Search,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Best, Exhausted> {
    let mut runner = Runner::new(model, search.effort);
    runner.try_rules(model, stop)?;
    runner.wander(model, &mut ChaCha8Rng::seed_from_u64(search.seed), stop)?;
    Ok(Best {
        state: runner.best_state,
        score: runner.best_score,
        schedules: runner.schedules,
    })
}

struct Runner {
    generator: Generator,
    effort: u64,
    schedules: u64,
    best: Plan,
    best_score: Score,
    best_state: State,
}

impl Runner {
    fn new(model: &Model, effort: u64) -> Self {
        let generator = Generator::new(model);
        let worst = Score {
            broken: usize::MAX,
            broken_by: 0,
            late_by: 0,
            finish: 0,
            cost: 0,
            changes: 0,
        };
        Self {
            best_state: generator.state.clone(),
            generator,
            effort: effort.max(1),
            schedules: 0,
            best: Plan {
                keys: Vec::new(),
                caps: Vec::new(),
            },
            best_score: worst,
        }
    }

    fn is_over(&self, stop: &mut dyn FnMut() -> bool) -> bool {
        self.schedules >= self.effort || (self.schedules > 0 && stop())
    }

    /// Generates one schedule, with longer calendars if need be, and keeps it if it is the best.
    fn run(&mut self, model: &mut Model, plan: &Plan) -> Result<Score, Exhausted> {
        self.schedules += 1;
        let order = model.network.flatten(&plan.keys);
        while let Err(exhausted) = self.generator.run(model, &order, &plan.caps) {
            if !model.can_extend() {
                return Err(exhausted);
            }
            let horizon = model.horizon();
            model.extend(2 * horizon)?;
        }
        let score = score(model, &self.generator.state);
        if score < self.best_score {
            self.best_score = score;
            self.best_state.clone_from(&self.generator.state);
            self.best = plan.clone();
        }
        Ok(score)
    }

    fn try_rules(
        &mut self,
        model: &mut Model,
        stop: &mut dyn FnMut() -> bool,
    ) -> Result<(), Exhausted> {
        let widest = caps(model, |_, most| most);
        for rule in rules::ALL {
            if self.is_over(stop) {
                return Ok(());
            }
            let keys = rule.keys(model);
            self.run(
                model,
                &Plan {
                    keys,
                    caps: widest.clone(),
                },
            )?;
        }
        let smaller = [
            caps(model, |fewest, _| fewest),
            caps(model, usize::midpoint),
        ];
        for caps in smaller {
            if self.is_over(stop) {
                return Ok(());
            }
            let keys = self.best.keys.clone();
            self.run(model, &Plan { keys, caps })?;
        }
        Ok(())
    }

    fn wander(
        &mut self,
        model: &mut Model,
        random: &mut ChaCha8Rng,
        stop: &mut dyn FnMut() -> bool,
    ) -> Result<(), Exhausted> {
        if model.problem.tasks.len() < 2 {
            return Ok(());
        }
        let mut here = self.best.clone();
        let mut score_here = self.best_score;
        let mut stale = 0;
        while !self.is_over(stop) {
            let mut next = here.clone();
            let changes = 1 + random.random_range(0..3_u32) + if stale == 0 { 2 } else { 0 };
            for _ in 0..changes {
                next.change(model, &self.best_state, random);
            }
            let best_before = self.best_score;
            let score = self.run(model, &next)?;
            stale = if score < best_before { 0 } else { stale + 1 };
            if score <= score_here {
                (here, score_here) = (next, score);
            } else if stale >= STALE {
                (here, score_here) = (self.best.clone(), self.best_score);
                stale = 0;
            }
        }
        Ok(())
    }
}

impl Plan {
    fn change(&mut self, model: &Model, best: &State, random: &mut ChaCha8Rng) {
        let count = self.keys.len();
        let task = random.random_range(0..count);
        match random.random_range(0..8_u8) {
            0..=3 => {
                let other = random.random_range(0..count);
                self.keys[task] = self.keys[other] + random.random_range(-1..=1_i64);
            }
            4 | 5 => {
                let other = random.random_range(0..count);
                let delta = self.keys[other] - self.keys[task];
                let tag = model.problem.tasks[task].tag;
                let all = self.keys.iter_mut().zip(&model.problem.tasks);
                all.filter(|(_, stated)| stated.tag == tag)
                    .for_each(|(key, _)| *key += delta);
            }
            6 => {
                let crews = &model.crews[task];
                self.caps[task] = crews[random.random_range(0..crews.len())].0;
            }
            _ => {
                // Of three tasks the one that finishes last in the best schedule is brought forward.
                let mut pick = || random.random_range(0..count);
                let late = [task, pick(), pick()]
                    .into_iter()
                    .max_by_key(|&t| best.slots[t].finish);
                let other = pick();
                if let Some(late) = late {
                    self.keys[late] = self.keys[late].min(self.keys[other]) - 1;
                }
            }
        }
    }
}

fn caps(model: &Model, choose: impl Fn(usize, usize) -> usize) -> Vec<usize> {
    let tasks = model.problem.tasks.iter();
    tasks.map(|task| choose(task.fewest, task.most)).collect()
}
