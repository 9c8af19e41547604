//! When one person is free: a sorted list of free windows in blocks, so that full stretches are skipped.

use super::calendar::Calendar;
use super::calendar::Minute;
use super::calendar::Span;

/// Later than any minute reckoned with.
pub(super) const FOREVER: Minute = 1 << 50;

/// Windows in a block before it is split.
const BLOCK: usize = 64;

/// The free windows of one person.
#[derive(Debug, Clone)]
pub(super) struct Free {
    blocks: Vec<Block>,
}

#[derive(Debug, Clone)]
struct Block {
    /// The most working minutes of any window in it.
    room: Minute,
    windows: Vec<Window>,
}

#[derive(Debug, Clone, Copy)]
struct Window {
    start: Minute,
    end: Minute,
    /// Minutes in it at which anyone works at all.
    room: Minute,
}

impl Free {
    /// Returns the windows of someone who is always free.
    pub(super) fn new() -> Self {
        let mut free = Self { blocks: Vec::new() };
        free.clear();
        free
    }

    /// Makes everything free again.
    pub(super) fn clear(&mut self) {
        let whole = Window {
            start: 0,
            end: FOREVER,
            room: FOREVER,
        };
        self.blocks.truncate(1);
        match self.blocks.first_mut() {
            Some(block) => {
                block.windows.clear();
                block.windows.push(whole);
                block.room = FOREVER;
            }
            None => self.blocks.push(Block {
                room: FOREVER,
                windows: vec![whole],
            }),
        }
    }

    /// Returns the first window that ends after `t` and has room for `work` minutes.
    pub(super) fn window(&self, t: Minute, work: Minute) -> Option<Span> {
        let (mut block, mut at) = self.find(t);
        while let Some(these) = self.blocks.get(block) {
            if these.room >= work {
                let found = these.windows[at..]
                    .iter()
                    .find(|window| window.room >= work);
                if let Some(window) = found {
                    return Some((window.start, window.end));
                }
            }
            block += 1;
            at = 0;
        }
        None
    }

    /// Takes a stretch that lies within one free window.
    pub(super) fn take(&mut self, start: Minute, finish: Minute, anyone: &Calendar) {
        if finish <= start {
            return;
        }
        let (block, at) = self.find(start);
        let window = self.blocks[block].windows[at];
        debug_assert!(window.start <= start && finish <= window.end);
        let left = Window::new(window.start, start, anyone);
        let right = Window::new(finish, window.end, anyone);
        let windows = &mut self.blocks[block].windows;
        match (left, right) {
            (Some(left), Some(right)) => {
                windows[at] = left;
                windows.insert(at + 1, right);
            }
            (Some(one), None) | (None, Some(one)) => windows[at] = one,
            (None, None) => {
                windows.remove(at);
            }
        }
        self.tidy(block);
    }

    /// Gives back a stretch that was taken.
    pub(super) fn give(&mut self, start: Minute, finish: Minute, anyone: &Calendar) {
        if finish <= start {
            return;
        }
        let (mut start, mut finish) = (start, finish);
        let (block, at) = self.find(start);
        // The window on the right begins where the stretch ends, the one on the left ends where it begins.
        if let Some(next) = self
            .blocks
            .get(block)
            .and_then(|these| these.windows.get(at))
            && next.start == finish
        {
            finish = next.end;
            self.blocks[block].windows.remove(at);
            self.tidy(block);
        }
        let (block, at) = self.find(start - 1);
        if let Some(previous) = self
            .blocks
            .get(block)
            .and_then(|these| these.windows.get(at))
            && previous.end == start
        {
            start = previous.start;
            self.blocks[block].windows.remove(at);
            self.tidy(block);
        }
        let (block, at) = self.find(start);
        if let Some(window) = Window::new(start, finish, anyone) {
            if block == self.blocks.len() {
                self.blocks.push(Block {
                    room: 0,
                    windows: Vec::new(),
                });
            }
            self.blocks[block].windows.insert(at, window);
            self.tidy(block);
        }
    }

    /// Finds the first window that ends after `t`.
    fn find(&self, t: Minute) -> (usize, usize) {
        let ends_by = |block: &Block| block.windows.last().is_none_or(|window| window.end <= t);
        let block = self.blocks.partition_point(ends_by);
        let at = match self.blocks.get(block) {
            Some(these) => these.windows.partition_point(|window| window.end <= t),
            None => 0,
        };
        (block, at)
    }

    /// Brings a block's room up to date, splits it when full and drops it when empty.
    fn tidy(&mut self, block: usize) {
        let these = &mut self.blocks[block];
        if these.windows.is_empty() {
            self.blocks.remove(block);
            return;
        }
        let split = (these.windows.len() > BLOCK).then(|| these.windows.split_off(BLOCK / 2));
        these.room = most_room(&these.windows);
        if let Some(windows) = split {
            let room = most_room(&windows);
            self.blocks.insert(block + 1, Block { room, windows });
        }
    }
}

impl Window {
    fn new(start: Minute, end: Minute, anyone: &Calendar) -> Option<Self> {
        if end <= start {
            return None;
        }
        let room = if end >= FOREVER {
            FOREVER
        } else {
            anyone.work_between(start, end)
        };
        Some(Self { start, end, room })
    }
}

fn most_room(windows: &[Window]) -> Minute {
    windows.iter().map(|window| window.room).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use rand::RngExt;
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;

    use super::*;

    #[test]
    fn agrees_with_a_list_of_minutes() {
        let anyone = Calendar::from_intervals((0..400).map(|i| (i * 10, i * 10 + 7)));
        let mut random = ChaCha8Rng::seed_from_u64(5);
        let mut free = Free::new();
        let mut busy = vec![false; 4000];
        let mut taken: Vec<(usize, usize)> = Vec::new();
        let minute = |n: usize| i64::try_from(n).unwrap();
        for _ in 0..4000 {
            let start = random.random_range(0..3900_usize);
            let end = start + random.random_range(1..30_usize);
            if busy[start..end].iter().all(|b| !b) {
                busy[start..end].fill(true);
                free.take(minute(start), minute(end), &anyone);
                taken.push((start, end));
            } else if !taken.is_empty() && random.random_range(0..3_u8) == 0 {
                let (start, end) = taken.swap_remove(random.random_range(0..taken.len()));
                busy[start..end].fill(false);
                free.give(minute(start), minute(end), &anyone);
            }
            let t = random.random_range(0..3900_usize);
            let first = (t..4000).find(|&m| !busy[m]).unwrap_or(4000);
            let (window_start, window_end) = free.window(minute(t), 0).unwrap();
            assert_eq!(window_start.max(minute(t)), minute(first));
            let end = (first..4000).find(|&m| busy[m]).map_or(FOREVER, minute);
            assert_eq!(window_end, end);
        }
    }

    #[test]
    fn windows_without_room_are_skipped() {
        let anyone = Calendar::from_intervals([(0, 100), (200, 300)]);
        let mut free = Free::new();
        free.take(0, 90, &anyone);
        free.take(205, 250, &anyone);
        assert_eq!(free.window(0, 15), Some((90, 205)));
        assert_eq!(free.window(0, 16), Some((250, FOREVER)));
    }
}
