//! One resource: what must run at a time leaves room for so much else at that time.

use super::disjunctive::narrow;
use super::domains::Domains;
use super::domains::Fact;

/// A resource with its users.
#[derive(Debug, Clone)]
pub(super) struct Resource {
    capacity: i64,
    users: Vec<User>,
    edges: Vec<(i64, i64)>,
    blocks: Vec<Block>,
}

#[derive(Debug, Clone, Copy)]
struct User {
    activity: usize,
    duration: i64,
    demand: i64,
}

/// A stretch of time with a constant amount of compulsory use.
#[derive(Debug, Clone, Copy)]
struct Block {
    begin: i64,
    end: i64,
    height: i64,
}

impl User {
    /// The time in which the user runs whatever is decided; empty if the end comes first.
    fn compulsory(&self, domains: &Domains) -> (i64, i64) {
        (
            domains.latest(self.activity),
            domains.earliest(self.activity) + self.duration,
        )
    }

    fn runs_at(&self, domains: &Domains, time: i64) -> bool {
        let (begin, end) = self.compulsory(domains);
        begin <= time && time < end
    }
}

impl Resource {
    /// Keeps the activities that use the resource.
    pub(super) fn new(
        capacity: i64,
        durations: &[i64],
        demands: impl Iterator<Item = i64>,
    ) -> Self {
        let users = demands
            .zip(durations)
            .enumerate()
            .map(|(activity, (demand, &duration))| User {
                activity,
                duration,
                demand,
            })
            .filter(|user| user.demand > 0 && user.duration > 0)
            .collect();
        Self {
            capacity,
            users,
            edges: Vec::new(),
            blocks: Vec::new(),
        }
    }

    /// Whether all users together never ask too much.
    pub(super) fn is_ample(&self) -> bool {
        self.users.iter().map(|user| user.demand).sum::<i64>() <= self.capacity
    }

    pub(super) fn activities(&self) -> impl Iterator<Item = usize> {
        self.users.iter().map(|user| user.activity)
    }

    /// Narrows the starts of the users; returns statements that cannot all hold if there is no room.
    pub(super) fn propagate(&mut self, domains: &mut Domains) -> Result<(), Vec<Fact>> {
        self.build(domains);
        if let Some(full) = self
            .blocks
            .iter()
            .find(|block| block.height > self.capacity)
        {
            let time = full.begin + (full.end - full.begin - 1) / 2;
            return Err(self.why(domains, time, None, self.capacity));
        }
        let least = self.users.iter().map(|user| user.demand).max().unwrap_or(0);
        self.blocks
            .retain(|block| block.height + least > self.capacity);
        for at in 0..self.users.len() {
            let user = self.users[at];
            if domains.earliest(user.activity) < domains.latest(user.activity) {
                self.push_later(domains, user)?;
                self.push_earlier(domains, user)?;
            }
        }
        Ok(())
    }

    /// Adds up the compulsory parts.
    fn build(&mut self, domains: &Domains) {
        self.edges.clear();
        self.blocks.clear();
        for user in &self.users {
            let (begin, end) = user.compulsory(domains);
            if begin < end {
                self.edges.push((begin, user.demand));
                self.edges.push((end, -user.demand));
            }
        }
        self.edges.sort_unstable();
        let (mut height, mut since) = (0, 0);
        for &(time, change) in &self.edges {
            if time > since && height > 0 {
                self.blocks.push(Block {
                    begin: since,
                    end: time,
                    height,
                });
            }
            since = time;
            height += change;
        }
    }

    /// The room a block leaves for a user is too small: its own compulsory part does not count against it.
    fn is_blocked(&self, domains: &Domains, block: &Block, user: User) -> bool {
        let own = if user.runs_at(domains, block.begin) {
            user.demand
        } else {
            0
        };
        block.height - own + user.demand > self.capacity
    }

    fn push_later(&self, domains: &mut Domains, user: User) -> Result<(), Vec<Fact>> {
        let first = self
            .blocks
            .partition_point(|block| block.end <= domains.earliest(user.activity));
        for block in &self.blocks[first..] {
            if block.begin >= domains.earliest(user.activity) + user.duration {
                break;
            }
            if !self.is_blocked(domains, block, user) {
                continue;
            }
            while domains.earliest(user.activity) < block.end {
                // Step by step, so that every step has a reason at one time only.
                let time = (block.end - 1).min(domains.earliest(user.activity) + user.duration - 1);
                let mut why = self.why(
                    domains,
                    time,
                    Some(user.activity),
                    self.capacity - user.demand,
                );
                why.push(Fact::at_least(user.activity, time - user.duration + 1));
                let reason = domains.store(&why);
                narrow(domains, Fact::at_least(user.activity, time + 1), reason)?;
            }
        }
        Ok(())
    }

    fn push_earlier(&self, domains: &mut Domains, user: User) -> Result<(), Vec<Fact>> {
        let last = self
            .blocks
            .partition_point(|block| block.begin < domains.latest(user.activity) + user.duration);
        for block in self.blocks[..last].iter().rev() {
            if block.end <= domains.latest(user.activity) {
                break;
            }
            if !self.is_blocked(domains, block, user) {
                continue;
            }
            while domains.latest(user.activity) + user.duration > block.begin {
                let time = block.begin.max(domains.latest(user.activity));
                let mut why = self.why(
                    domains,
                    time,
                    Some(user.activity),
                    self.capacity - user.demand,
                );
                why.push(Fact::at_most(user.activity, time));
                let reason = domains.store(&why);
                narrow(
                    domains,
                    Fact::at_most(user.activity, time - user.duration),
                    reason,
                )?;
            }
        }
        Ok(())
    }

    /// Statements that make users other than one take more than `room` at a time; as few as the greatest demands need.
    fn why(&self, domains: &Domains, time: i64, but: Option<usize>, room: i64) -> Vec<Fact> {
        let mut running: Vec<&User> = self
            .users
            .iter()
            .filter(|user| Some(user.activity) != but && user.runs_at(domains, time))
            .collect();
        running.sort_by_key(|user| -user.demand);
        let mut facts = Vec::with_capacity(2 * running.len() + 1);
        let mut taken = 0;
        for user in running {
            if taken > room {
                break;
            }
            taken += user.demand;
            facts.push(Fact::at_least(user.activity, time - user.duration + 1));
            facts.push(Fact::at_most(user.activity, time));
        }
        facts
    }
}
