//! Random problems against trying everything, and the sizes that a large job has.

use proptest::prelude::*;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::cost::cost;
use super::*;

fn tier(from: u32, most: u32, price: f64) -> Tier {
    Tier {
        from,
        most,
        price,
        fixed: 0.0,
    }
}

/// The least cost by trying every number of packs of every line.
fn by_trying(problem: &Problem, most: u32) -> Option<f64> {
    let lines: Vec<(usize, usize)> = problem
        .needs
        .iter()
        .enumerate()
        .flat_map(|(need, row)| (0..row.lines.len()).map(move |line| (need, line)))
        .collect();
    let mut counts = vec![0_u32; lines.len()];
    let mut best: Option<f64> = None;
    loop {
        let mut plan: Plan = vec![Vec::new(); problem.needs.len()];
        for ((need, line), count) in lines.iter().zip(&counts) {
            if *count > 0 {
                plan[*need].push((*line, *count));
            }
        }
        let allowed = problem.needs.iter().zip(&plan).all(|(need, packs)| {
            packs
                .iter()
                .all(|(line, count)| need.lines[*line].goods(*count).is_some())
        });
        if allowed
            && covers(problem, &plan)
            && let Some(cost) = cost(problem, &plan)
        {
            best = Some(best.map_or(cost, |best: f64| best.min(cost)));
        }
        let Some(next) = counts.iter().position(|count| *count < most) else {
            return best;
        };
        counts[next] += 1;
        counts[..next].fill(0);
    }
}

fn covers(problem: &Problem, plan: &Plan) -> bool {
    problem.needs.iter().zip(plan).all(|(need, packs)| {
        need.checks.iter().all(|check| {
            let got: usize = packs
                .iter()
                .filter(|(line, _)| *line < check.lines)
                .map(|(line, count)| need.lines[*line].size * *count as usize)
                .sum();
            got >= check.amount
        })
    })
}

fn random(seed: u64) -> Problem {
    let mut dice = ChaCha8Rng::seed_from_u64(seed);
    let orders = (0..2)
        .map(|_| Order {
            fixed: f64::from(dice.random_range(0..20_u32)),
            hazard: f64::from(dice.random_range(0..8_u32)),
            minimum: f64::from(dice.random_range(0..30_u32)),
            free_from: dice
                .random_bool(0.4)
                .then(|| f64::from(dice.random_range(10..60_u32))),
        })
        .collect();
    let needs = (0..2)
        .map(|_| {
            let amount = dice.random_range(1..9_usize);
            let early = dice.random_range(0..=amount);
            let lines: Vec<Line> = (0..2)
                .map(|order| {
                    let price = f64::from(dice.random_range(2..20_u32));
                    let least = dice.random_range(1..3_u32);
                    let lower = price * f64::from(dice.random_range(5..10_u32)) / 10.0;
                    let tiers = match dice.random_range(0..3_u32) {
                        0 => vec![tier(least, 99, price)],
                        1 => vec![tier(least, 2, price), tier(3, 99, lower)],
                        // Only the packs from the third on are cheaper.
                        _ => vec![
                            tier(least, 2, price),
                            Tier {
                                fixed: 2.0 * (price - lower),
                                ..tier(3, 99, lower)
                            },
                        ],
                    };
                    Line {
                        order,
                        size: dice.random_range(1..4_usize),
                        freight: f64::from(dice.random_range(0..3_u32)),
                        tiers,
                    }
                })
                .collect();
            Need {
                amount,
                hazardous: dice.random_bool(0.5),
                checks: vec![
                    Check {
                        lines: 1,
                        amount: if dice.random_bool(0.3) { early } else { 0 },
                    },
                    Check { lines: 2, amount },
                ],
                lines,
            }
        })
        .collect();
    Problem { orders, needs }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]
    /// The bound is never above the least cost, and the plan is one that covers and costs what it says.
    #[test]
    fn the_bound_and_the_plan_hold(seed in 0_u64..100_000) {
        let problem = random(seed);
        let outcome = solve(&problem, 2_000_000);
        let Some(least) = by_trying(&problem, 12) else { return Ok(()) };
        prop_assert!(outcome.bound <= least + 1e-6, "bound {} above {least}", outcome.bound);
        // The least of 2,294 such problems was 0.43.
        prop_assert!(outcome.bound >= 0.3 * least, "bound {} far below {least}", outcome.bound);
        if let Some(plan) = &outcome.plan {
            prop_assert!(covers(&problem, plan));
            let cost = cost(&problem, plan).unwrap();
            // Only up to twelve packs of a line were tried.
            let tried = plan.iter().flatten().all(|(_, count)| *count <= 12);
            prop_assert!(!tried || cost >= least - 1e-6, "{cost} below {least}");
        }
    }

    /// One need without charges is covered exactly.
    #[test]
    fn a_single_need_is_solved_exactly(seed in 0_u64..100_000) {
        let mut problem = random(seed);
        problem.needs.truncate(1);
        for order in &mut problem.orders {
            *order = Order::default();
        }
        let outcome = solve(&problem, 2_000_000);
        let least = by_trying(&problem, 12).unwrap();
        prop_assert!((outcome.bound - least).abs() < 1e-6, "{} for {least}", outcome.bound);
        prop_assert!((cost(&problem, &outcome.plan.unwrap()).unwrap() - least).abs() < 1e-6);
    }
}

/// How often and how far the plans of small problems with hard terms miss the least cost, and how near the bound is to it. Measured: 18 of 300
/// missed, the worst by 10 %; half of the bounds met the least cost, nine in ten were above 0.8 of it.
#[test]
fn plans_are_near_the_least_cost() {
    let (mut missed, mut worst, mut all) = (0, 0.0_f64, 0);
    let mut bounds = Vec::new();
    for seed in 0..300 {
        let problem = random(seed);
        let Some(least) = by_trying(&problem, 12) else {
            continue;
        };
        all += 1;
        let outcome = solve(&problem, 2_000_000);
        bounds.push(outcome.bound / least);
        let found = outcome
            .plan
            .map_or(f64::INFINITY, |plan| cost(&problem, &plan).unwrap());
        if found > least + 1e-6 {
            missed += 1;
            worst = worst.max(found / least - 1.0);
        }
    }
    assert!(
        missed * 12 < all,
        "{missed} of {all} missed, the worst by {worst}"
    );
    assert!(worst < 0.15, "{worst}");
    bounds.sort_by(f64::total_cmp);
    let (tenth, half) = (bounds[all / 10], bounds[all / 2]);
    assert!(tenth > 0.75 && half > 0.999, "{tenth} {half}");
}

#[test]
fn what_cannot_be_covered_has_no_plan() {
    let mut problem = random(1);
    problem.needs[0].lines.clear();
    problem.needs[0].checks = vec![Check {
        lines: 0,
        amount: 1,
    }];
    problem.needs[0].amount = 1;
    assert_eq!(solve(&problem, 1_000_000).plan, None);
}
