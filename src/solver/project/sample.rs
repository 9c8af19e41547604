//! Random orders that prefer the activities with the longest way to the end of the project.

use super::dice::Dice;
use super::network::Direction;

/// Work space for drawing orders of one direction.
///
/// An activity is drawn with a chance in proportion to how much longer its way is than the shortest among
/// those free to be drawn (regret, as in Drexl 1991 and Kolisch 1995; cited from memory).
#[derive(Debug)]
pub(super) struct Sampler {
    followers: Vec<Vec<usize>>,
    arrows: Vec<usize>,
    waiting: Vec<usize>,
    free: Vec<usize>,
}

impl Sampler {
    pub(super) fn new(direction: &Direction) -> Self {
        let count = direction.durations.len();
        let mut followers = vec![Vec::new(); count];
        let mut arrows = vec![0; count];
        for (activity, own) in arrows.iter_mut().enumerate() {
            for arrow in direction.arrows_into(activity) {
                *own += 1;
                followers[arrow.from].push(activity);
            }
        }
        Self {
            followers,
            arrows,
            waiting: Vec::new(),
            free: Vec::new(),
        }
    }

    /// Draws an order that respects all arrows.
    pub(super) fn draw(&mut self, direction: &Direction, dice: &mut Dice, order: &mut Vec<usize>) {
        order.clear();
        self.waiting.clone_from(&self.arrows);
        self.free.clear();
        self.free
            .extend((0..self.arrows.len()).filter(|&activity| self.arrows[activity] == 0));
        while let Some(position) = self.pick(&direction.tails, dice) {
            let activity = self.free.swap_remove(position);
            order.push(activity);
            for &follower in &self.followers[activity] {
                self.waiting[follower] -= 1;
                if self.waiting[follower] == 0 {
                    self.free.push(follower);
                }
            }
        }
    }

    fn pick(&self, tails: &[usize], dice: &mut Dice) -> Option<usize> {
        let shortest = self.free.iter().map(|&activity| tails[activity]).min()?;
        let regret = |activity: usize| tails[activity] - shortest + 1;
        let all = self.free.iter().fold(0, |sum: usize, &activity| {
            sum.saturating_add(regret(activity))
        });
        let mut left = dice.below(all);
        self.free.iter().position(|&activity| {
            let hit = left < regret(activity);
            left = left.saturating_sub(regret(activity));
            hit
        })
    }
}
