//! Fills bars one after another: longest first, or with the least slack found.

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use crate::solver::packing::effort::Effort;
use crate::solver::packing::job::Cuts;
use crate::solver::packing::job::Job;
use crate::solver::packing::job::Pattern;

/// Nodes a search for one tight fill may visit.
const NODES: u64 = 3_000;

/// How one bar is filled.
pub(super) enum Way<'a> {
    /// Longest that fits, again and again (first-fit decreasing, bar by bar).
    Longest,
    /// The longest, then the set that leaves the least slack (minimum bin slack; Gupta and Ho 1999,
    /// with the first piece fixed as in Fleszar and Hindi 2002, "New heuristics for one-dimensional bin-packing").
    Tightest,
    /// The same, with lengths passed over by chance so that every run differs.
    Random(&'a mut ChaCha8Rng),
}

/// Cuts everything the bars allow, each bar filled the given way; repeats a pattern as often as it goes.
pub(super) fn fill_all(mut job: Job, mut way: Way<'_>, effort: &mut Effort<'_>) -> Cuts {
    let mut cuts = Cuts::new();
    let mut alive = Alive::new(&job);
    loop {
        effort.spend(10);
        alive.drop_empty(&job);
        let Some(pattern) = best_bar(&job, &mut alive, &mut way, effort) else {
            return cuts;
        };
        let times = job.times(&pattern).max(1);
        job.take(&pattern, times);
        cuts.push((pattern, times));
    }
}

/// The fill with the least cost for its length over all bar kinds; of equals, the one with least slack.
fn best_bar(
    job: &Job,
    alive: &mut Alive,
    way: &mut Way<'_>,
    effort: &mut Effort<'_>,
) -> Option<Pattern> {
    let mut best: Option<(u128, u128, u64, Pattern)> = None;
    for (kind, bar) in job
        .kinds
        .iter()
        .enumerate()
        .filter(|(_, bar)| bar.supply != Some(0))
    {
        let items = match way {
            Way::Longest => longest(job, alive, bar.length, effort),
            Way::Tightest => tightest(job, alive, bar.length, None, effort),
            Way::Random(chance) => tightest(job, alive, bar.length, Some(chance), effort),
        };
        if items.is_empty() {
            continue;
        }
        let pattern = Pattern { kind, items };
        let used = job.used(&pattern);
        let slack = bar.length - used;
        let better = best.as_ref().is_none_or(|(cost, length, least, _)| {
            let (this, that) = (u128::from(bar.cost) * length, cost * u128::from(used));
            this < that || (this == that && slack < *least)
        });
        if better {
            best = Some((u128::from(bar.cost), u128::from(used), slack, pattern));
        }
    }
    best.map(|found| found.3)
}

/// Which lengths are still wanted, with jumps over those that are not.
struct Alive {
    next: Vec<usize>,
    first: usize,
}

impl Alive {
    fn new(job: &Job) -> Self {
        Self {
            next: (0..=job.lengths.len()).collect(),
            first: 0,
        }
    }

    fn drop_empty(&mut self, job: &Job) {
        self.first = self.from(self.first, job);
    }

    /// The first wanted length at or after `i`.
    fn from(&mut self, mut i: usize, job: &Job) -> usize {
        let start = i;
        while i < job.lengths.len() && (job.demand[i] == 0 || self.next[i] != i) {
            i = if self.next[i] == i {
                i + 1
            } else {
                self.next[i]
            };
        }
        let mut k = start;
        while k < i {
            k = core::mem::replace(&mut self.next[k], i).max(k + 1);
        }
        i
    }

    /// The longest wanted length that fits, at or after `i`.
    fn fitting(&mut self, i: usize, room: u64, job: &Job) -> usize {
        let fits = job.lengths.partition_point(|length| *length > room);
        self.from(i.max(fits), job)
    }
}

fn longest(
    job: &Job,
    alive: &mut Alive,
    length: u64,
    effort: &mut Effort<'_>,
) -> Vec<(usize, u64)> {
    let mut items = Vec::new();
    let mut room = length;
    let mut i = alive.fitting(alive.first, room, job);
    while let Some(&piece) = job.lengths.get(i) {
        let count = job.demand[i].min(room.checked_div(piece).unwrap_or(u64::MAX));
        items.push((i, count));
        room -= count * piece;
        i = alive.fitting(i + 1, room, job);
        effort.spend(1);
    }
    items
}

fn tightest(
    job: &Job,
    alive: &mut Alive,
    length: u64,
    chance: Option<&mut ChaCha8Rng>,
    effort: &mut Effort<'_>,
) -> Vec<(usize, u64)> {
    let first = alive.fitting(alive.first, length, job);
    let Some(&piece) = job.lengths.get(first) else {
        return Vec::new();
    };
    let mut search = Slack {
        job,
        alive,
        counts: vec![(first, 1)],
        best: vec![(first, 1)],
        least: length - piece,
        nodes: 0,
        chance,
    };
    search.visit(first, length - piece);
    effort.spend(search.nodes);
    search.best
}

struct Slack<'a> {
    job: &'a Job,
    alive: &'a mut Alive,
    counts: Vec<(usize, u64)>,
    best: Vec<(usize, u64)>,
    least: u64,
    nodes: u64,
    chance: Option<&'a mut ChaCha8Rng>,
}

impl Slack<'_> {
    fn visit(&mut self, from: usize, room: u64) {
        self.nodes += 1;
        if room < self.least {
            self.least = room;
            self.best = self.counts.clone();
        }
        let mut i = self.alive.fitting(from, room, self.job);
        while i < self.job.lengths.len() && self.least > 0 && self.nodes < NODES {
            let skip = self
                .chance
                .as_mut()
                .is_some_and(|chance| chance.random_range(0..4_u8) == 0);
            if !skip && self.add(i) {
                self.visit(i, room - self.job.lengths[i]);
                self.remove();
            }
            self.nodes += 1;
            i = self.alive.fitting(i + 1, room, self.job);
        }
    }

    fn add(&mut self, i: usize) -> bool {
        match self.counts.last_mut() {
            Some(last) if last.0 == i => {
                let more = last.1 < self.job.demand[i];
                last.1 += u64::from(more);
                return more;
            }
            _ => self.counts.push((i, 1)),
        }
        true
    }

    fn remove(&mut self) {
        if let Some(last) = self.counts.last_mut() {
            last.1 -= 1;
            if last.1 == 0 {
                self.counts.pop();
            }
        }
    }
}
