//! Chooses what to buy where: one problem for each group of needs that share suppliers.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::solver::milp::Answer;
use crate::solver::milp::Effort;
use crate::solver::milp::Status;
use crate::solver::milp::solve;
use crate::solver::sourcing;
use crate::units::Money;

use super::covering::Covering;
use super::covering::Rounding;
use super::market::Market;
use super::model::Draft;
use super::model::Taken;
use super::slots::Slot;
use super::slots::delivery_days;
use super::slots::slots;
use super::slots::to_number;
use super::staging::Ends;

/// Table cells that the engine of shared charges may fill for a group: some hundredths of a second where the integer
/// program has the last word, some seconds where it has none.
const WORK: u64 = 20_000_000;
const MUCH_WORK: u64 = 1_500_000_000;

/// Columns up to which the integer program is solved to its optimum, and up to which it is tried at all.
const SMALL: usize = 900;
const LARGEST: usize = 2_000;

/// The same with a weekly budget, which nothing else here keeps: beyond it only the offers of the plan without a budget are spread over
/// weeks, and no more weeks than fit.
const LARGEST_WITH_BUDGET: usize = 8_000;

/// A gap that is good enough where proof would take minutes.
const GOOD_GAP: f64 = 0.005;

/// What is bought, and how far it is proven to be the cheapest.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Chosen {
    pub(super) taken: Vec<Taken>,
    /// What the plans cost in the engines' numbers.
    pub(super) objective: f64,
    /// No plan can cost less.
    pub(super) bound: f64,
    /// The engines whose plans these are.
    pub(super) engines: BTreeSet<&'static str>,
    pub(super) proven: bool,
    /// Whether packs are too large to keep a place under its storage limit.
    pub(super) over_storage: bool,
    /// Where a weekly budget cannot be kept, the least that could be.
    pub(super) least_budget: Option<f64>,
}

/// Finds the least total of goods, freight and surcharges.
pub(super) fn choose(market: &Market<'_>, ends: &Ends, budget: Option<Money>) -> Chosen {
    let days = delivery_days(market, budget.is_some());
    let mut chosen = Chosen {
        proven: true,
        ..Chosen::default()
    };
    for group in groups(market, budget.is_some()) {
        let slots = slots(market, &group, &days);
        let part = Part {
            market,
            ends: limits_of(market, &group, ends),
            budget: budget.map(|budget| to_number(budget.amount())),
            group,
            slots,
        };
        part.choose(&mut chosen);
    }
    chosen
}

/// The storage limits that concern a group.
fn limits_of(market: &Market<'_>, group: &[usize], ends: &Ends) -> Ends {
    let wanted = group.iter().filter_map(|index| market.wanted.get(*index));
    let places: BTreeSet<usize> = wanted
        .flat_map(|want| want.stages.iter().filter_map(|stage| stage.limited))
        .collect();
    let mut ends = ends.clone();
    ends.retain(|place, _| places.contains(place));
    ends
}

/// A group of needs with everything that decides how they are bought.
struct Part<'a> {
    market: &'a Market<'a>,
    group: Vec<usize>,
    slots: Vec<Slot>,
    ends: Ends,
    budget: Option<f64>,
}

/// A plan with its cost.
struct Found {
    taken: Vec<Taken>,
    cost: f64,
    engine: &'static str,
}

impl Part<'_> {
    fn choose(&self, chosen: &mut Chosen) {
        let columns = columns(&self.slots);
        let is_tied = !self.ends.is_empty() || self.budget.is_some();
        let work = match columns {
            // The integer program has to answer in any case.
            0..=LARGEST if is_tied => WORK / 4,
            0..=LARGEST => WORK,
            _ => MUCH_WORK,
        };
        let (mut bound, mut found) = self.shared_charges(work);
        let goal = if columns > SMALL { GOOD_GAP } else { 0.0 };
        let is_done = !is_tied
            && found
                .as_ref()
                .is_some_and(|found| is_near(found.cost, bound, goal));
        let largest = if self.budget.is_some() {
            LARGEST_WITH_BUDGET
        } else {
            LARGEST
        };
        let narrowed = found
            .as_ref()
            .filter(|_| self.budget.is_some() && columns > largest)
            .map(|found| self.narrowed(&found.taken, largest));
        if let Some(part) = narrowed {
            // What is proved of few offers says nothing of all: the bound stays, and no least budget is known.
            let draft = Draft::of(part.market, &part.group, &part.slots);
            let least_budget = chosen.least_budget;
            let answer = part.answer(&draft, None, chosen);
            chosen.least_budget = least_budget;
            if answer.has_values() {
                found = Some(Found {
                    taken: draft.read(&answer.values),
                    cost: answer.objective,
                    engine: answer.engine,
                });
            }
        } else if !is_done && columns <= largest {
            let draft = Draft::of(self.market, &self.group, &self.slots);
            let start = found.as_ref().map(|found| draft.values(&found.taken));
            let answer = self.answer(&draft, start.as_deref(), chosen);
            bound = bound.max(answer.bound);
            let cheaper = found
                .as_ref()
                .is_none_or(|found| answer.objective < found.cost - 1e-9);
            if answer.has_values() && (cheaper || is_tied) {
                found = Some(Found {
                    taken: draft.read(&answer.values),
                    cost: answer.objective,
                    engine: answer.engine,
                });
            } else if answer.status == Status::Optimal
                && let Some(found) = &mut found
            {
                found.engine = answer.engine;
            }
        }
        self.add(found, bound, chosen);
    }

    /// The same needs with the offers that a plan takes, on as many days each as fit into so many columns, the first and the last among them.
    fn narrowed(&self, taken: &[Taken], largest: usize) -> Self {
        let choices: BTreeSet<usize> = taken.iter().map(|taken| taken.choice).collect();
        let mut of_choice: BTreeMap<usize, Vec<&Slot>> = BTreeMap::new();
        for slot in self
            .slots
            .iter()
            .filter(|slot| choices.contains(&slot.choice))
        {
            of_choice.entry(slot.choice).or_default().push(slot);
        }
        let prices: usize = of_choice
            .values()
            .filter_map(|slots| Some(slots.first()?.prices.len() * 2))
            .sum();
        let days = (largest / prices.max(1)).max(2);
        let slots = of_choice.into_values().flat_map(|slots| {
            let last = slots.len() - 1;
            let kept: BTreeSet<usize> = if last < days {
                (0..=last).collect()
            } else {
                (0..days).map(|at| at * last / (days - 1)).collect()
            };
            kept.into_iter()
                .filter_map(move |at| slots.get(at).copied().cloned())
        });
        Self {
            market: self.market,
            group: self.group.clone(),
            slots: slots.collect(),
            ends: self.ends.clone(),
            budget: self.budget,
        }
    }

    fn add(&self, found: Option<Found>, bound: f64, chosen: &mut Chosen) {
        let Some(found) = found else {
            chosen.proven = false;
            return;
        };
        chosen.over_storage |= !self.keeps_limits(&found.taken);
        let is_proven = is_near(found.cost, bound, 0.0);
        chosen.proven &= is_proven;
        chosen.bound += if is_proven {
            found.cost
        } else {
            bound.clamp(0.0, found.cost)
        };
        chosen.objective += found.cost;
        chosen.engines.insert(found.engine);
        chosen.taken.extend(found.taken);
    }

    /// A bound and a plan from the engine that shares out the orders' charges.
    fn shared_charges(&self, work: u64) -> (f64, Option<Found>) {
        let state =
            |rounding, apart| Covering::of(self.market, &self.group, &self.slots, rounding, apart);
        // Each delivery by itself keeps what stands at a place low.
        let apart = !self.ends.is_empty();
        let mut covering = state(Rounding::Plan, apart);
        let mut outcome = sourcing::solve(&covering.problem, work);
        let mut bound = outcome.bound;
        if apart && work < MUCH_WORK {
            // The integer program gives the bound.
            bound = 0.0;
        } else if apart || covering.is_coarse {
            bound = sourcing::solve(&state(Rounding::Bound, false).problem, work / 4).bound;
        }
        if outcome.plan.is_none() {
            // No plan reaches some minimum: the orders are made all the same, and warned of.
            covering
                .problem
                .orders
                .iter_mut()
                .for_each(|order| order.minimum = 0.0);
            outcome = sourcing::solve(&covering.problem, work / 4);
        }
        if covering.is_coarse {
            bound = bound.max(self.least_goods());
        }
        let found = outcome.plan.map(|plan| Found {
            cost: sourcing::cost(&covering.problem, &plan),
            taken: covering.taken(&plan),
            engine: sourcing::NAME,
        });
        (bound, found)
    }

    /// No plan costs less than every need at its least price an amount, freight and charges left out: of needs so large that they are counted in
    /// coarser units, this says more than their tables.
    fn least_goods(&self) -> f64 {
        let mut least: BTreeMap<usize, f64> = BTreeMap::new();
        for slot in &self.slots {
            let Some(choice) = self.market.choices.get(slot.choice) else {
                continue;
            };
            let pack = to_number(choice.offer.pack).max(f64::MIN_POSITIVE);
            for tier in &slot.prices {
                let price = tier.price / pack;
                let known = least.entry(choice.wanted).or_insert(price);
                *known = known.min(price);
            }
        }
        let needs = self.group.iter().filter_map(|index| {
            let amount = to_number(self.market.wanted.get(*index)?.all_to_buy());
            Some(amount * least.get(index)?)
        });
        // A hair less, for the noise of binary fractions.
        needs.sum::<f64>() * (1.0 - 1e-9)
    }

    /// Solves the integer program within the limits; where packs do not allow the storage limit, within what the work
    /// takes; where the budget cannot be kept, without, saying what could be.
    fn answer(&self, draft: &Draft<'_>, start: Option<&[f64]>, chosen: &mut Chosen) -> Answer {
        let mut limited = draft.clone();
        if let Some(budget) = self.budget {
            limited.limit_budget(budget);
        }
        for is_relaxed in [false, true] {
            let mut stored = limited.clone();
            for (place, staged) in &self.ends {
                stored.limit_storage(*place, staged, is_relaxed);
            }
            let answer = solve(&stored.model, start, effort(stored.model.size()));
            if answer.has_values() {
                return answer;
            }
            if self.ends.is_empty() {
                break;
            }
        }
        if self.budget.is_some() {
            chosen.least_budget = draft.least_budget();
        }
        solve(&draft.model, start, effort(draft.model.size()))
    }

    /// Says whether what stands at every place stays under its limit.
    fn keeps_limits(&self, taken: &[Taken]) -> bool {
        self.ends.iter().all(|(place, staged)| {
            let stored = self.market.stored_at(&self.group, *place);
            let shelf: f64 = stored
                .iter()
                .filter_map(|index| self.market.wanted.get(*index))
                .map(|want| to_number(want.stock.amount))
                .sum();
            staged.rooms().all(|(last, room)| {
                let arrived: f64 = taken
                    .iter()
                    .filter(|taken| taken.days.there <= last)
                    .filter_map(|taken| Some((self.market.choices.get(taken.choice)?, taken.packs)))
                    .filter(|(choice, _)| stored.contains(&choice.wanted))
                    .map(|(choice, packs)| to_number(choice.offer.pack) * f64::from(packs))
                    .sum();
                arrived + shelf <= room + 1.0
            })
        })
    }
}

/// How many columns an integer program over some slots has, at most.
fn columns(slots: &[Slot]) -> usize {
    slots.iter().map(|slot| slot.prices.len() * 2).sum()
}

/// Says whether a plan costs no more than a bound and a part of it, or less than half a cent more.
fn is_near(cost: f64, bound: f64, part: f64) -> bool {
    cost - bound <= (part * cost).max(0.004)
}

fn effort(columns: usize) -> Effort {
    if columns <= SMALL {
        Effort::nodes(2_000)
    } else {
        Effort {
            nodes: 50,
            gap: GOOD_GAP,
        }
    }
}

/// Needs that share a supplier, directly or through others, belong together; so do those that share a storage limit,
/// and all of them where they share a budget.
fn groups(market: &Market<'_>, all: bool) -> Vec<Vec<usize>> {
    let mut links: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
    for choice in &market.choices {
        let supplier = if all {
            "all"
        } else {
            choice.supplier.id.as_str()
        };
        links
            .entry(format!("supplier {supplier}"))
            .or_default()
            .insert(choice.wanted);
        let stages = market
            .wanted
            .get(choice.wanted)
            .map(|want| want.stages.as_slice())
            .unwrap_or_default();
        for place in stages.iter().filter_map(|stage| stage.limited) {
            links
                .entry(format!("place {place}"))
                .or_default()
                .insert(choice.wanted);
        }
    }
    let mut groups: Vec<BTreeSet<usize>> = Vec::new();
    for mut linked in links.into_values() {
        let (joined, apart): (Vec<_>, Vec<_>) = groups
            .into_iter()
            .partition(|group| !group.is_disjoint(&linked));
        linked.extend(joined.into_iter().flatten());
        groups = apart;
        groups.push(linked);
    }
    groups
        .into_iter()
        .map(|group| group.into_iter().collect())
        .collect()
}
