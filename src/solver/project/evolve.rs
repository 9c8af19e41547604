//! Two populations of plans that beget each other: one pressed to the start of the project, one to its end.
//!
//! A child takes its order from two plans of one population and is pressed the other way, so every single schedule is both
//! a crossing and a justification. The middle of a child comes from a stretch of time in which one parent keeps the
//! resources busy, the rest from the other parent.
//!
//! Up to that stretch, a child's plan is the beginning of the other parent's own: once that parent's children have placed it, it
//! is taken over instead of being placed again, and only the activities that are placed count.
//!
//! Two things keep placements from being wasted. Parents that start most activities at the same times hardly ever have a shorter
//! child, so a parent looks for another that differs. And a child is given up once an activity starts later, counted from the
//! end it must keep, than in any plan of either population. That is no proof, but of a thousand better children it loses one, and
//! it is known sooner than by the arrows alone.
//!
//! # Sources
//! Valls, Ballestín & Quintanilla, *A hybrid genetic algorithm for the resource-constrained project scheduling problem*, EJOR
//! 185 (2008) 495–508 (busy stretches); Debels & Vanhoucke, *A decomposition-based genetic algorithm*, Operations
//! Research 55 (2007) 457–469 (two populations); both cited from memory, the sizes here are our own.

use std::collections::BTreeSet;

use super::dice::Dice;
use super::distances::Distances;
use super::incumbent::Incumbent;
use super::network::Direction;
use super::network::Network;
use super::network::to_size;
use super::problem::Problem;
use super::profile::Lanes;
use super::profile::Profile;
use super::sample::Sampler;
use super::serial;
use super::serial::Limit;
use super::solve::Effort;
use super::windows::Windows;

/// Members of each population at most.
const MOST_MEMBERS: usize = 2000;
/// And at least.
const LEAST_MEMBERS: usize = 8;
/// Schedules for each member, with one more for every two activities.
const SCHEDULES_A_MEMBER: u64 = 20;
/// Shares of the schedules, in 100, after which the worse of every two neighbours leaves: first breadth, then depth.
const SHRINK_AT: [u64; 2] = [40, 70];
/// Smaller populations do not shrink.
const LEAST_TO_SHRINK: usize = 40;
/// Starts kept by all members together at most (three of an activity and member), so that large projects fit in memory.
const MOST_STARTS: usize = 4_000_000;
/// A parent looks for the other among one in so many members to either side.
const NEIGHBOURS: usize = 6;
/// Activities of 100 that the two parents may start at one time.
const MOST_ALIKE: usize = 50;
/// Members tried to find one that differs so much.
const MATES_TRIED: usize = 10;
/// Chance in 100 that two neighbours in a child's order change places.
const SWAP_PERCENT: usize = 3;
/// Stretches of time compared to find a busy one.
const STRETCHES: usize = 3;

/// A plan made in one direction, ready to be a parent in the other.
#[derive(Debug, Clone)]
struct Member {
    makespan: usize,
    /// Work weighted by its start: of two plans of one length, the one that works earlier has more room at its end.
    lateness: u64,
    /// The activities in the other direction's order of time, and their starts there.
    order: Vec<usize>,
    mirrored: Vec<usize>,
    /// Where the first activities of the order come when it is pressed: as many as children needed so far.
    pressed: Vec<usize>,
}

impl Member {
    fn rank(&self) -> (usize, u64) {
        (self.makespan, self.lateness)
    }

    /// How many activities two members start at the same times.
    fn alike(&self, other: &Self) -> usize {
        let starts = self.mirrored.iter().zip(&other.mirrored);
        starts.filter(|(one, other)| one == other).count()
    }
}

/// The beginning of an order that a child shares with its parent.
#[derive(Debug)]
struct Beginning {
    /// So many activities.
    length: usize,
    /// Where the parent's order comes when pressed, as far as it is known.
    pressed: Vec<usize>,
}

impl Beginning {
    fn none() -> Self {
        Self {
            length: 0,
            pressed: Vec::new(),
        }
    }

    /// Writes the known starts and returns how many there are.
    fn take_over(&self, order: &[usize], starts: &mut [usize]) -> usize {
        let shared = order.iter().take(self.length);
        let mut known = 0;
        for (&activity, &start) in shared.zip(&self.pressed) {
            starts[activity] = start;
            known += 1;
        }
        known
    }

    /// Learns the starts of the activities placed, as far as the beginning goes.
    fn prolong(&mut self, placed: &[usize], starts: &[usize]) {
        let shared = placed.iter().take(self.length).skip(self.pressed.len());
        self.pressed
            .extend(shared.map(|&activity| starts[activity]));
    }
}

/// The whole search.
#[derive(Debug)]
pub(super) struct Evolution<'a> {
    network: &'a Network,
    profile: Profile,
    /// Makes plans forwards and backwards where there are longest lags.
    windows: Option<Box<[Windows; 2]>>,
    dice: Dice,
    /// Share of all resources an activity takes, in thousandths summed over resources.
    weights: Vec<u64>,
    keys: Vec<(usize, usize, usize)>,
    taken: Vec<bool>,
    starts: Vec<usize>,
    order: Vec<usize>,
    /// Least time from an activity's start to the end in any plan of both populations, in the direction children are made in.
    tails: Vec<usize>,
    size: usize,
    is_sampled: bool,
    /// Schedules after which the populations shrink, the next one last.
    shrink_after: Vec<u64>,
    left: Vec<Member>,
    right: Vec<Member>,
}

impl<'a> Evolution<'a> {
    /// Prepares a search of about so many schedules.
    pub(super) fn new(problem: &Problem, network: &'a Network, effort: &Effort) -> Self {
        let count = problem.activities().len();
        let each = SCHEDULES_A_MEMBER + to_weight(count / 2);
        let affordable = usize::try_from(effort.schedules / each).unwrap_or(usize::MAX);
        let most = (MOST_STARTS / (6 * count.max(1))).min(MOST_MEMBERS);
        let weight = |demands: &[i64]| -> u64 {
            let shares = demands.iter().zip(problem.capacities());
            shares
                .map(|(demand, capacity)| (1000 * demand / (*capacity).max(1)).unsigned_abs())
                .sum()
        };
        Self {
            network,
            profile: Profile::new(Lanes::new(problem), to_size(problem.length())),
            windows: None,
            dice: Dice::new(effort.seed),
            weights: problem
                .activities()
                .iter()
                .map(|one| weight(&one.demands))
                .collect(),
            keys: Vec::with_capacity(count),
            taken: vec![false; count],
            starts: vec![0; count],
            order: Vec::with_capacity(count),
            tails: network.forwards.tails.clone(),
            size: affordable.min(most).max(LEAST_MEMBERS),
            is_sampled: false,
            shrink_after: SHRINK_AT
                .iter()
                .rev()
                .map(|share| (effort.schedules / 100).saturating_mul(*share))
                .collect(),
            left: Vec::new(),
            right: Vec::new(),
        }
    }

    /// Prepares a search for plans that keep longest lags; `network` has the other lags only.
    pub(super) fn with_windows(
        problem: &Problem,
        network: &'a Network,
        distances: &Distances,
        effort: &Effort,
    ) -> Self {
        let mirrored = distances.mirrored(&network.forwards.durations);
        let backwards = Windows::new(problem, mirrored);
        let forwards = Windows::new(problem, distances.clone());
        Self {
            windows: Some(Box::new([forwards, backwards])),
            ..Self::new(problem, network, effort)
        }
    }

    /// Adds a known plan to both populations.
    pub(super) fn add(&mut self, starts: &[usize]) {
        let member = self.member(true, starts);
        let mirrored = self.member(false, &member.mirrored);
        self.left.push(member);
        self.right.push(mirrored);
    }

    /// Improves the incumbent until its effort is spent, it meets its bound or it is told to stop; can be called again.
    pub(super) fn run(&mut self, incumbent: &mut Incumbent<'_>) {
        if !self.is_sampled {
            self.sample(incumbent);
        }
        let (mut left, mut right) = (
            std::mem::take(&mut self.left),
            std::mem::take(&mut self.right),
        );
        while !incumbent.is_done() && !left.is_empty() {
            if self.should_shrink(incumbent) && left.len() > LEAST_TO_SHRINK {
                left = better_halves(left);
                right = better_halves(right);
            }
            self.generation(true, &mut right, &mut left, incumbent);
            self.generation(false, &mut left, &mut right, incumbent);
        }
        (self.left, self.right) = (left, right);
    }

    fn should_shrink(&mut self, incumbent: &Incumbent<'_>) -> bool {
        let next = self.shrink_after.last();
        let is_due = next.is_some_and(|&after| incumbent.schedules() >= after);
        if is_due {
            self.shrink_after.pop();
        }
        is_due
    }

    /// Samples the first plans and presses the better half the other way.
    fn sample(&mut self, incumbent: &mut Incumbent<'_>) {
        let network = self.network;
        let mut sampler = Sampler::new(&network.forwards);
        let mut left = std::mem::take(&mut self.left);
        let mut order = std::mem::take(&mut self.order);
        for _ in 0..2 * self.size {
            if incumbent.is_done() {
                break;
            }
            sampler.draw(&network.forwards, &mut self.dice, &mut order);
            left.extend(self.press(true, &order, &mut Beginning::none(), usize::MAX, incumbent));
        }
        self.order = order;
        left.sort_by_key(Member::rank);
        left.truncate(self.size);
        self.right.clear();
        for member in &left {
            let pressed = if incumbent.is_done() {
                None
            } else {
                self.press(
                    false,
                    &member.order,
                    &mut Beginning::none(),
                    usize::MAX,
                    incumbent,
                )
            };
            // A plan that cannot be pressed is kept as it is.
            let pressed = pressed.unwrap_or_else(|| self.member(false, &member.mirrored));
            self.right.push(pressed);
        }
        self.is_sampled = left.len() == self.size;
        self.left = left;
    }

    /// Lets every member of one population be a parent of a child in the other, which replaces a worse one there.
    fn generation(
        &mut self,
        forwards: bool,
        parents: &mut [Member],
        children: &mut [Member],
        incumbent: &mut Incumbent<'_>,
    ) {
        // Plans that keep longest lags are limited by their windows instead.
        if self.windows.is_none() {
            self.learn_tails(parents, children);
        }
        let mut ranks: BTreeSet<(usize, u64)> = children.iter().map(Member::rank).collect();
        for (own, child) in children.iter_mut().enumerate() {
            if incumbent.is_done() {
                return;
            }
            let other = self.neighbour(own, parents);
            let mut order = std::mem::take(&mut self.order);
            let (busy, rest) = if self.dice.chance(50) {
                (own, other)
            } else {
                (other, own)
            };
            let begin = if busy == rest {
                order.clone_from(&parents[own].order);
                0
            } else {
                self.cross(&parents[busy], &parents[rest], &mut order)
            };
            // Under longest lags a later activity can put off an earlier one: no beginning is sure to stay.
            let begin = if self.windows.is_some() { 0 } else { begin };
            self.swap_neighbours(forwards, &mut order[begin..]);
            let mut beginning = Beginning {
                length: begin,
                pressed: std::mem::take(&mut parents[rest].pressed),
            };
            let made = self.press(forwards, &order, &mut beginning, child.makespan, incumbent);
            parents[rest].pressed = beginning.pressed;
            if let Some(made) = made
                && made.rank() <= child.rank()
                // Plans of one rank are mostly one plan: a second would only breed the same again.
                && (made.rank() == child.rank() || ranks.insert(made.rank()))
            {
                if made.rank() != child.rank() {
                    ranks.remove(&child.rank());
                }
                *child = made;
            }
            self.order = order;
        }
    }

    /// Takes the tails from the plans there are.
    fn learn_tails(&mut self, parents: &[Member], children: &[Member]) {
        self.tails.fill(usize::MAX);
        for child in children {
            let ends = child.mirrored.iter().zip(&self.network.forwards.durations);
            for (tail, (start, duration)) in self.tails.iter_mut().zip(ends) {
                *tail = (*tail).min(start + duration);
            }
        }
        for parent in parents {
            for (tail, start) in self.tails.iter_mut().zip(&parent.mirrored) {
                *tail = (*tail).min(parent.makespan - start);
            }
        }
    }

    /// The better of two members that differ, drawn from the neighbours as if the population stood in a ring.
    ///
    /// A good plan then spreads step by step instead of overrunning the population.
    fn neighbour(&mut self, own: usize, members: &[Member]) -> usize {
        let (one, other) = (self.mate(own, members), self.mate(own, members));
        if members[other].rank() < members[one].rank() {
            other
        } else {
            one
        }
    }

    /// A neighbour that differs enough, or the one among those tried that differs most.
    fn mate(&mut self, own: usize, members: &[Member]) -> usize {
        let count = members.len();
        let reach = count / NEIGHBOURS;
        let most_alike = self.weights.len() * MOST_ALIKE / 100;
        let (mut mate, mut least) = (own, usize::MAX);
        for _ in 0..MATES_TRIED {
            let drawn = (own + count + self.dice.between(0, 2 * reach) - reach) % count;
            let alike = members[own].alike(&members[drawn]);
            if alike <= least {
                (mate, least) = (drawn, alike);
            }
            if least <= most_alike {
                break;
            }
        }
        mate
    }

    /// The rest of the order from one parent, the busy middle as far as possible from the other; returns where that begins.
    fn cross(&mut self, busy: &Member, rest: &Member, order: &mut Vec<usize>) -> usize {
        let (begin, end) = self.busy_positions(busy);
        order.clear();
        order.extend_from_slice(&rest.order[..begin]);
        self.taken.fill(false);
        for &activity in &*order {
            self.taken[activity] = true;
        }
        for &activity in &busy.order {
            if order.len() >= end {
                break;
            }
            if !self.taken[activity] {
                self.taken[activity] = true;
                order.push(activity);
            }
        }
        order.extend(rest.order.iter().filter(|&&activity| !self.taken[activity]));
        begin
    }

    /// The positions in a member's order that start within the busiest of a few stretches of time.
    fn busy_positions(&mut self, member: &Member) -> (usize, usize) {
        let whole = member.makespan;
        let length = self.dice.between(whole * 2 / 5, whole * 3 / 5).max(1);
        let mut busiest = (0, 0);
        for stretch in 0..STRETCHES {
            let begin = self.dice.between(0, whole.saturating_sub(length));
            let work = self.work_between(member, begin, begin + length);
            if stretch == 0 || work > busiest.0 {
                busiest = (work, begin);
            }
        }
        let begin = busiest.1;
        let position = |time: usize| {
            member
                .order
                .partition_point(|&activity| member.mirrored[activity] < time)
        };
        (position(begin), position(begin + length))
    }

    fn work_between(&self, member: &Member, begin: usize, end: usize) -> u64 {
        let durations = &self.network.forwards.durations;
        let mut work = 0;
        for (activity, &start) in member.mirrored.iter().enumerate() {
            let overlap = (start + durations[activity])
                .min(end)
                .saturating_sub(start.max(begin));
            work += self.weights[activity] * to_weight(overlap);
        }
        work
    }

    /// Changes the places of some neighbours that no arrow binds.
    fn swap_neighbours(&mut self, forwards: bool, order: &mut [usize]) {
        let direction = self.direction(forwards);
        for position in 1..order.len() {
            if self.dice.chance(SWAP_PERCENT) {
                let (before, after) = (order[position - 1], order[position]);
                if direction
                    .arrows_into(after)
                    .iter()
                    .all(|arrow| arrow.from != before)
                {
                    order.swap(position - 1, position);
                }
            }
        }
    }

    fn direction(&self, forwards: bool) -> &'a Direction {
        if forwards {
            &self.network.forwards
        } else {
            &self.network.backwards
        }
    }

    /// Makes the plan of an order; nothing as soon as it becomes longer than `longest`, as far as the tails tell.
    ///
    /// What is known of the order's beginning is taken over and made longer.
    fn press(
        &mut self,
        forwards: bool,
        order: &[usize],
        beginning: &mut Beginning,
        longest: usize,
        incumbent: &mut Incumbent<'_>,
    ) -> Option<Member> {
        let direction = self.direction(forwards);
        let mut starts = std::mem::take(&mut self.starts);
        let (placed, made) = if let Some(windows) = &mut self.windows {
            let most = incumbent.placements_left();
            windows[usize::from(!forwards)].generate(order, longest, most, &mut starts)
        } else {
            let known = beginning.take_over(order, &mut starts);
            let profile = &mut self.profile;
            let limit = Limit {
                longest,
                tails: &self.tails,
            };
            let (placed, made) =
                serial::generate(direction, profile, order, known, limit, &mut starts);
            let sure = if made.is_some() { placed } else { placed - 1 };
            beginning.prolong(&order[..sure], &starts);
            // Even an order given up within its known beginning counts a little, so that every search ends.
            (placed.saturating_sub(known).max(1), made)
        };
        incumbent.count(placed);
        let made = made.map(|makespan| {
            let member = self.member(forwards, &starts);
            incumbent.offer(makespan, if forwards { &starts } else { &member.mirrored });
            member
        });
        self.starts = starts;
        made
    }

    /// A plan with what it needs as a parent.
    fn member(&mut self, forwards: bool, starts: &[usize]) -> Member {
        let (direction, other) = (self.direction(forwards), self.direction(!forwards));
        let durations = &direction.durations;
        let ends = starts.iter().zip(durations);
        let makespan = ends.map(|(start, own)| start + own).max().unwrap_or(0);
        let mirrored: Vec<usize> = starts
            .iter()
            .zip(durations)
            .map(|(start, duration)| makespan - start - duration)
            .collect();
        let mut lateness = 0;
        for (activity, &start) in starts.iter().enumerate() {
            lateness += self.weights[activity] * to_weight(start * durations[activity]);
        }
        self.keys.clear();
        self.keys.extend(
            mirrored
                .iter()
                .enumerate()
                .map(|(activity, &start)| (start, other.rank[activity], activity)),
        );
        self.keys.sort_unstable();
        let mut order: Vec<usize> = self.keys.iter().map(|&(_, _, activity)| activity).collect();
        if !other.sorted_is_valid {
            order = other.respecting_arrows(&order);
        }
        Member {
            makespan,
            lateness,
            order,
            mirrored,
            pressed: Vec::new(),
        }
    }
}

/// The better of every two neighbours.
fn better_halves(members: Vec<Member>) -> Vec<Member> {
    let mut members = members.into_iter();
    let mut better = Vec::with_capacity(members.len().div_ceil(2));
    while let Some(one) = members.next() {
        better.push(match members.next() {
            Some(other) if other.rank() < one.rank() => other,
            Some(_) | None => one,
        });
    }
    better
}

fn to_weight(size: usize) -> u64 {
    u64::try_from(size).unwrap_or(u64::MAX)
}
