//! Searches for a better schedule: rules first, then breeding, then random changes to the order and to crew sizes.

use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::Search;
use super::breed::Member;
use super::breed::any_crew;
use super::breed::breed;
use super::generate::Generator;
use super::model::Exhausted;
use super::model::Model;
use super::place::State;
use super::rules;
use super::score::Score;
use super::score::score;

/// Schedules without improvement after which the search returns to the best.
const STALE: u64 = 150;

/// With fewer schedules a population would hardly be made when they are spent.
const LEAST_TO_BREED: u64 = 60;

/// Schedules after which a long search begins again from the best and a new population.
const ROUND: u64 = 3000;

/// The share of a round, one schedule in so many, that is kept for random changes to the best.
const KEPT: u64 = 3;

/// The best schedule found.
#[derive(Debug, Clone)]
pub(super) struct Best {
    pub(super) state: State,
    pub(super) score: Score,
    pub(super) schedules: u64,
}

/// What a schedule is made from.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// Smaller is placed first.
    pub(super) keys: Vec<i64>,
    /// Most people for each task.
    pub(super) caps: Vec<usize>,
}

/// Searches within the effort; calendars of the model are extended where they are too short.
pub(super) fn search(
    model: &mut Model,
    search: Search,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Best, Exhausted> {
    let mut runner = Runner::new(model, search.effort);
    let members = runner.try_rules(model, stop);
    if let (None, Some(exhausted)) = (runner.best_score, runner.exhausted) {
        return Err(exhausted);
    }
    if model.problem.tasks.len() > 1 {
        runner.go_in_rounds(model, members, search, stop);
    }
    Ok(Best {
        score: runner
            .best_score
            .unwrap_or_else(|| score(model, &runner.best_state)),
        state: runner.best_state,
        schedules: runner.schedules,
    })
}

/// Says whether the search finds a schedule that breaks no rule and is not late; ends with the first.
pub(super) fn finds_sound(model: &mut Model, search: Search) -> bool {
    let mut runner = Runner::new(model, search.effort);
    runner.first_sound = true;
    runner.try_rules(model, &mut || false);
    if runner.best_score.is_some() && model.problem.tasks.len() > 1 {
        let mut random = ChaCha8Rng::seed_from_u64(search.seed);
        runner.wander(model, &mut random, &mut || false);
    }
    runner.best_score.is_some_and(Score::is_sound)
}

/// What the search follows: the score, with the ends of all chains in place of the last end alone.
///
/// The last end is a flat hill: most changes leave it where it is. The sum of the ends of tasks that
/// nothing follows shows whether the rest comes nearer.
pub(super) type Guide = (usize, i64, i64, i64, usize);

pub(super) struct Runner {
    pub(super) generator: Generator,
    effort: u64,
    /// Whether the first schedule that breaks nothing and is not late is good enough.
    first_sound: bool,
    pub(super) schedules: u64,
    pub(super) best: Plan,
    /// None before the first schedule.
    best_score: Option<Score>,
    /// Why the last schedule that failed did so.
    exhausted: Option<Exhausted>,
    best_guide: Guide,
    best_state: State,
}

impl Runner {
    fn new(model: &Model, effort: u64) -> Self {
        let generator = Generator::new(model);
        Self {
            best_state: generator.state.clone(),
            generator,
            effort: effort.max(1),
            first_sound: false,
            schedules: 0,
            best: Plan {
                keys: Vec::new(),
                caps: Vec::new(),
            },
            best_score: None,
            exhausted: None,
            best_guide: (0, 0, 0, 0, 0),
        }
    }

    pub(super) fn is_over(&self, stop: &mut dyn FnMut() -> bool) -> bool {
        let sound = self.first_sound && self.best_score.is_some_and(Score::is_sound);
        self.best_score.is_some() && (sound || self.schedules >= self.effort || stop())
    }

    /// Generates one schedule, with longer calendars if need be, and keeps it if it is the best.
    ///
    /// `None` where a calendar that does not repeat ends too early for this order.
    pub(super) fn run(&mut self, model: &mut Model, plan: &Plan) -> Option<Score> {
        self.schedules += 1;
        let order = model.network.flatten(&plan.keys);
        while let Err(exhausted) = self.generator.run(model, &order, &plan.caps) {
            self.exhausted = Some(exhausted);
            let horizon = model.horizon();
            if !model.can_extend(exhausted.task) || model.extend(2 * horizon).is_err() {
                return None;
            }
        }
        let score = score(model, &self.generator.state);
        if self.best_score.is_none_or(|best| score < best) {
            self.best_score = Some(score);
            self.best_state.clone_from(&self.generator.state);
            self.best = plan.clone();
            self.best_guide = self.guide(model, score);
        }
        Some(score)
    }

    /// Says how promising the schedule is that was generated last.
    fn guide(&self, model: &Model, score: Score) -> Guide {
        let slots = self.generator.state.slots.iter().zip(&model.network.out);
        let ends = slots
            .filter(|(_, out)| out.is_empty())
            .map(|(slot, _)| slot.finish);
        let (count, sum) = ends.fold((0, 0), |(count, sum), end| (count + 1, sum + end));
        let whole = score.finish + score.late_by;
        (
            score.broken,
            score.broken_by,
            whole * count + sum,
            score.cost,
            score.changes,
        )
    }

    /// The schedule generated last, as a parent of others.
    pub(super) fn member(&self, model: &Model, score: Score, caps: &[usize]) -> Member {
        Member::new(&self.generator.state, self.guide(model, score), caps)
    }

    /// Breeds, then changes the best at random, over and over until the effort is spent.
    fn go_in_rounds(
        &mut self,
        model: &mut Model,
        members: Vec<Member>,
        search: Search,
        stop: &mut dyn FnMut() -> bool,
    ) {
        let mut random = ChaCha8Rng::seed_from_u64(search.seed);
        let mut members = members;
        while !self.is_over(stop) {
            let end = self.schedules.saturating_add(ROUND).min(search.effort);
            if search.effort >= LEAST_TO_BREED {
                self.effort = end - (end - self.schedules) / KEPT;
                breed(self, model, members, &mut random, stop);
                self.effort = end;
            }
            self.wander(model, &mut random, stop);
            self.effort = search.effort;
            members = vec![Member::new(
                &self.best_state,
                self.best_guide,
                &self.best.caps,
            )];
        }
    }

    /// Makes a schedule by each rule and returns them.
    fn try_rules(&mut self, model: &mut Model, stop: &mut dyn FnMut() -> bool) -> Vec<Member> {
        let mut members = Vec::new();
        let widest = caps(model, |_, most| most);
        for rule in rules::ALL {
            if self.is_over(stop) {
                return members;
            }
            let keys = rule.keys(model);
            members.extend(self.made(model, keys, widest.clone()));
        }
        let smaller = [
            caps(model, |fewest, _| fewest),
            caps(model, usize::midpoint),
        ];
        for caps in smaller {
            if self.best_score.is_none() || self.is_over(stop) {
                return members;
            }
            let keys = self.best.keys.clone();
            members.extend(self.made(model, keys, caps));
        }
        members
    }

    fn made(&mut self, model: &mut Model, keys: Vec<i64>, caps: Vec<usize>) -> Option<Member> {
        let plan = Plan { keys, caps };
        let score = self.run(model, &plan)?;
        Some(self.member(model, score, &plan.caps))
    }

    fn wander(
        &mut self,
        model: &mut Model,
        random: &mut ChaCha8Rng,
        stop: &mut dyn FnMut() -> bool,
    ) {
        let mut here = self.best.clone();
        let mut guide_here = self.best_guide;
        let mut stale = 0;
        while !self.is_over(stop) {
            let mut next = here.clone();
            let changes = 1 + random.random_range(0..3_u32) + if stale == 0 { 2 } else { 0 };
            for _ in 0..changes {
                next.change(model, &self.best_state, random);
            }
            let best_before = self.best_score;
            let score = self.run(model, &next);
            let guide = score.map(|score| self.guide(model, score));
            stale = if self.best_score < best_before {
                0
            } else {
                stale + 1
            };
            if let Some(guide) = guide.filter(|guide| *guide <= guide_here) {
                (here, guide_here) = (next, guide);
            } else if stale % STALE == STALE - 1 {
                here = self.best.clone();
                guide_here = self.best_guide;
            }
        }
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
            6 => self.caps[task] = any_crew(model, task, random),
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
