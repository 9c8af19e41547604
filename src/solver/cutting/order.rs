//! Orders in which pieces are placed.

use core::cmp::Reverse;

use crate::solver::cutting::job::Part;

/// What is placed first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Order {
    Area,
    LongestSide,
    Length,
    Width,
    Edge,
    ShortestSide,
}

/// All of them.
pub(super) const ORDERS: [Order; 6] = [
    Order::Area,
    Order::LongestSide,
    Order::Length,
    Order::Width,
    Order::Edge,
    Order::ShortestSide,
];

impl Order {
    /// The first key, greatest first.
    pub(super) fn key(self, part: &Part) -> u64 {
        let (w, h) = (u64::from(part.w), u64::from(part.h));
        match self {
            Self::Area => w * h,
            Self::LongestSide => w.max(h),
            Self::Length => h,
            Self::Width => w,
            Self::Edge => w + h,
            Self::ShortestSide => w.min(h),
        }
    }

    /// Sorts part numbers, greatest first.
    pub(super) fn sort(self, parts: &[Part], numbers: &mut [u32]) {
        numbers.sort_by_key(|n| {
            let part = &parts[*n as usize];
            Reverse((self.key(part), part.area(), *n))
        });
    }
}
