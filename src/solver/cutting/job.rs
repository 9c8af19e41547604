//! The job as the searches see it: pieces and stock with the saw cut added, equal pieces taken together.

use std::collections::BTreeMap;

use crate::solver::cutting::plan::Piece;
use crate::solver::cutting::plan::Stock;
use crate::solver::cutting::tree::Laid;
use crate::solver::cutting::tree::Tree;

/// The greatest length the searches count with.
const MOST: u64 = 0x7fff_ffff;

/// Equal pieces; sizes include the saw cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part {
    pub(super) w: u32,
    pub(super) h: u32,
    pub(super) turns: bool,
}

/// The ways a part may lie. A plain array: asking for the next is what the searches do most.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ways {
    laid: [Laid; 2],
    count: usize,
}

impl Ways {
    pub(super) fn iter(&self) -> impl Iterator<Item = Laid> + '_ {
        self.laid.iter().take(self.count).copied()
    }

    /// Those that fit into a width and a length.
    pub(super) fn within(self, w: u32, h: u32) -> impl Iterator<Item = Laid> {
        let ways = self.laid.into_iter().take(self.count);
        ways.filter(move |laid| laid.w <= w && laid.h <= h)
    }
}

/// A kind of stock; sizes are what is usable, plus the saw cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kind {
    pub(super) w: u32,
    pub(super) h: u32,
    pub(super) across: bool,
    pub(super) cost: u64,
    pub(super) supply: Option<u64>,
}

/// Parts and kinds.
#[derive(Debug, Default)]
pub(super) struct Job {
    pub(super) parts: Vec<Part>,
    pub(super) counts: Vec<u64>,
    /// The given pieces of each part: (index, count).
    pub(super) members: Vec<Vec<(usize, u64)>>,
    pub(super) kinds: Vec<Kind>,
    /// Pieces that no stock can hold.
    pub(super) unplaceable: Vec<(usize, u64)>,
}

/// A sheet or roll being filled.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    pub(super) kind: usize,
    pub(super) tree: Tree,
}

/// Sheets with how many are cut alike.
pub(super) type Sheets = Vec<(Sheet, u64)>;

impl Part {
    pub(super) fn area(&self) -> u64 {
        u64::from(self.w) * u64::from(self.h)
    }

    /// The ways a part may lie: as given, and turned where that makes a difference.
    pub(super) const fn ways(&self, part: u32) -> Ways {
        let straight = Laid {
            part,
            w: self.w,
            h: self.h,
            turned: false,
        };
        let turned = Laid {
            part,
            w: self.h,
            h: self.w,
            turned: true,
        };
        let turns = self.turns && self.w != self.h;
        Ways {
            laid: [straight, turned],
            count: if turns { 2 } else { 1 },
        }
    }

    pub(super) fn fits(&self, w: u32, h: u32) -> bool {
        (self.w <= w && self.h <= h) || (self.turns && self.h <= w && self.w <= h)
    }
}

impl Kind {
    pub(super) fn area(&self) -> u64 {
        u64::from(self.w) * u64::from(self.h)
    }

    pub(super) fn empty(&self) -> Tree {
        Tree::new(self.w, self.h, self.across)
    }
}

impl Job {
    pub(super) fn new(stocks: &[Stock], pieces: &[Piece], kerf: u64) -> Self {
        let kinds = stocks.iter().map(|stock| kind(stock, kerf)).collect();
        let mut job = Self {
            kinds,
            ..Self::default()
        };
        let mut alike: BTreeMap<(u32, u32, bool), Vec<(usize, u64)>> = BTreeMap::new();
        for (i, piece) in pieces
            .iter()
            .enumerate()
            .filter(|(_, piece)| piece.count > 0)
        {
            match job.placeable(piece, kerf) {
                Some(part) => alike
                    .entry((part.w, part.h, part.turns))
                    .or_default()
                    .push((i, piece.count)),
                None => job.unplaceable.push((i, piece.count)),
            }
        }
        for ((w, h, turns), members) in alike {
            job.parts.push(Part { w, h, turns });
            job.counts.push(
                members
                    .iter()
                    .map(|member| member.1)
                    .fold(0, u64::saturating_add),
            );
            job.members.push(members);
        }
        job
    }

    /// The piece as a part, if any stock can hold it. Pieces without extent are refused.
    fn placeable(&self, piece: &Piece, kerf: u64) -> Option<Part> {
        let grown = |length: u64| {
            (length > 0)
                .then(|| length.saturating_add(kerf))
                .filter(|length| *length <= MOST)
        };
        let w = u32::try_from(grown(piece.width)?).ok()?;
        let h = u32::try_from(grown(piece.length)?).ok()?;
        let part = Part {
            w,
            h,
            turns: piece.may_turn,
        };
        self.kinds
            .iter()
            .any(|kind| kind.supply != Some(0) && part.fits(kind.w, kind.h))
            .then_some(part)
    }

    pub(super) fn part(&self, part: u32) -> &Part {
        &self.parts[part as usize]
    }

    /// What sheets cost: money first, then their number.
    pub(super) fn cost(&self, sheets: &Sheets) -> (u128, u64) {
        sheets.iter().fold((0, 0), |(cost, count), (sheet, times)| {
            let each = u128::from(self.kinds[sheet.kind].cost);
            let all = each.saturating_mul(u128::from(*times));
            (
                u128::saturating_add(cost, all),
                u64::saturating_add(count, *times),
            )
        })
    }
}

fn kind(stock: &Stock, kerf: u64) -> Kind {
    let usable = |length: u64| {
        let inner = length.saturating_sub(stock.margin(kerf).saturating_mul(2));
        let grown = if inner == 0 {
            0
        } else {
            inner.saturating_add(kerf).min(MOST)
        };
        u32::try_from(grown).unwrap_or(0)
    };
    Kind {
        w: usable(stock.width),
        h: usable(stock.length),
        across: stock.first_cut_across,
        cost: stock.cost,
        supply: stock.supply,
    }
}
