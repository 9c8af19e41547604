//! How much of one resource is taken over time: a step function in blocks, so that full stretches are skipped.

use super::calendar::Minute;
use super::calendar::Span;

/// Steps in a block before it is split.
const BLOCK: usize = 128;

/// Units taken of one resource over time.
#[derive(Debug, Clone)]
pub(super) struct Level {
    blocks: Vec<Block>,
}

#[derive(Debug, Clone)]
struct Block {
    /// The fewest units taken at any step of it.
    low: i64,
    steps: Vec<Step>,
}

/// From this minute to the next step, so many units are taken.
#[derive(Debug, Clone, Copy)]
struct Step {
    at: Minute,
    units: i64,
}

impl Level {
    /// Returns a level that is `full` in the given sorted stretches and 0 elsewhere.
    pub(super) fn new(full: i64, stretches: &[Span]) -> Self {
        let mut level = Self {
            blocks: vec![Block {
                low: 0,
                steps: vec![Step { at: 0, units: 0 }],
            }],
        };
        for &(start, end) in stretches {
            level.add(start, end, full);
        }
        level
    }

    /// Adds units (or takes them off, if negative) over a stretch.
    pub(super) fn add(&mut self, start: Minute, finish: Minute, units: i64) {
        let start = start.max(0);
        if finish <= start || units == 0 {
            return;
        }
        self.cut(start);
        self.cut(finish);
        let (mut block, mut at) = self.find(start);
        while let Some(these) = self.blocks.get_mut(block) {
            let mut past = false;
            for step in &mut these.steps[at..] {
                past = step.at >= finish;
                if past {
                    break;
                }
                step.units += units;
            }
            these.low = low_of(&these.steps);
            if past {
                break;
            }
            block += 1;
            at = 0;
        }
        self.smooth(finish);
        self.smooth(start);
    }

    /// Returns the end of the last stretch within `[start, finish)` at which more than `most` units are taken.
    pub(super) fn conflict(&self, start: Minute, finish: Minute, most: i64) -> Option<Minute> {
        let (mut block, mut at) = self.find(start);
        let mut clash = false;
        let mut end = None;
        while let Some(these) = self.blocks.get(block) {
            for step in &these.steps[at..] {
                if clash {
                    end = Some(step.at);
                }
                if step.at >= finish {
                    return end;
                }
                clash = step.units > most;
            }
            block += 1;
            at = 0;
        }
        end
    }

    /// Returns the first minute from `t` on at which no more than `most` units are taken.
    pub(super) fn next_open(&self, t: Minute, most: i64) -> Option<Minute> {
        let (mut block, mut at) = self.find(t);
        while let Some(these) = self.blocks.get(block) {
            if these.low <= most
                && let Some(step) = these.steps[at..].iter().find(|step| step.units <= most)
            {
                return Some(step.at.max(t));
            }
            block += 1;
            at = 0;
        }
        None
    }

    /// Finds the step that is in force at `t` (at or after 0).
    fn find(&self, t: Minute) -> (usize, usize) {
        let block = self
            .blocks
            .partition_point(|these| these.steps[0].at <= t)
            .max(1)
            - 1;
        let steps = &self.blocks[block].steps;
        (block, steps.partition_point(|step| step.at <= t).max(1) - 1)
    }

    /// Makes a step begin at `t`.
    fn cut(&mut self, t: Minute) {
        let (block, at) = self.find(t);
        let these = &mut self.blocks[block];
        let units = these.steps[at].units;
        if these.steps[at].at == t {
            return;
        }
        these.steps.insert(at + 1, Step { at: t, units });
        if these.steps.len() > BLOCK {
            let steps = these.steps.split_off(BLOCK / 2);
            these.low = low_of(&these.steps);
            let low = low_of(&steps);
            self.blocks.insert(block + 1, Block { low, steps });
        }
    }

    /// Removes the step at `t` where it changes nothing.
    fn smooth(&mut self, t: Minute) {
        let (block, at) = self.find(t);
        let here = self.blocks[block].steps[at];
        let previous = match at.checked_sub(1) {
            Some(left) => self.blocks[block].steps.get(left),
            None => block
                .checked_sub(1)
                .and_then(|left| self.blocks[left].steps.last()),
        };
        if here.at != t || previous.is_none_or(|step| step.units != here.units) {
            return;
        }
        let these = &mut self.blocks[block];
        these.steps.remove(at);
        if these.steps.is_empty() {
            self.blocks.remove(block);
        } else {
            these.low = low_of(&these.steps);
        }
    }
}

fn low_of(steps: &[Step]) -> i64 {
    steps.iter().map(|step| step.units).min().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use rand::RngExt;
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;

    use super::*;

    #[test]
    fn agrees_with_a_list_of_minutes() {
        let mut random = ChaCha8Rng::seed_from_u64(8);
        let mut level = Level::new(3, &[(100, 120)]);
        let mut units = vec![0_i64; 3000];
        units[100..120].fill(3);
        let minute = |n: usize| i64::try_from(n).unwrap();
        let mut added: Vec<(usize, usize, i64)> = Vec::new();
        for _ in 0..3000 {
            let (start, end, amount) = if added.len() > 150 {
                let (start, end, amount) = added.swap_remove(random.random_range(0..added.len()));
                (start, end, -amount)
            } else {
                let start = random.random_range(0..2900_usize);
                let end = start + random.random_range(1..90_usize);
                let amount = random.random_range(1..3_i64);
                added.push((start, end, amount));
                (start, end, amount)
            };
            level.add(minute(start), minute(end), amount);
            units[start..end]
                .iter_mut()
                .for_each(|unit| *unit += amount);
            let from = random.random_range(0..2900_usize);
            let to = from + random.random_range(1..80_usize);
            let last = (from..to).rev().find(|&m| units[m] > 4);
            let expected = last.map(|m| (m..3000).find(|&m| units[m] <= 4).unwrap_or(3000));
            let found = level.conflict(minute(from), minute(to), 4);
            // The stretch found may end inside a longer run above the limit; it must pass the last clash.
            assert_eq!(found.is_some(), expected.is_some());
            if let Some(end) = found {
                let open = level.next_open(end, 4).unwrap();
                assert_eq!(open, minute(expected.unwrap()));
            }
        }
    }
}
