//! Fast random numbers for the inner loop, seeded from `ChaCha8`.

use rand::Rng;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

/// A 64-bit xorshift-multiply generator (`xorshift64*`, Vigna 2016, from memory): quick, repeatable, good enough to break ties with.
#[derive(Debug, Clone)]
pub(super) struct Dice {
    state: u64,
}

impl Dice {
    /// The same seed gives the same numbers on every machine.
    pub(super) fn new(seed: u64) -> Self {
        let state = ChaCha8Rng::seed_from_u64(seed).next_u64() | 1;
        Self { state }
    }

    /// Returns a number from 0 to `count - 1`, or 0 if there is none.
    #[inline]
    pub(super) fn below(&mut self, count: usize) -> usize {
        self.state ^= self.state >> 12;
        self.state ^= self.state << 25;
        self.state ^= self.state >> 27;
        let drawn = u128::from(self.state.wrapping_mul(0x2545_F491_4F6C_DD1D));
        // The high half of a product with 64 bits is even over all counts.
        let scaled = (drawn * u128::try_from(count).unwrap_or(0)) >> u64::BITS;
        usize::try_from(scaled).unwrap_or(0)
    }

    /// Returns a number from `low` to `high`, both included.
    #[inline]
    pub(super) fn between(&mut self, low: usize, high: usize) -> usize {
        low + self.below(high.saturating_sub(low) + 1)
    }

    /// Is true in `percent` of 100 throws.
    #[inline]
    pub(super) fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
}
