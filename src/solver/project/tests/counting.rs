//! How schedules are counted: by the activities placed, each of which is given one start (Kolisch & Hartmann, *Experimental
//! investigation of heuristics for resource-constrained project scheduling*, EJOR 174 (2006) 23–37, allow one start of every
//! activity a schedule; cited from memory).

use super::j30_1_1;
use crate::solver::project::incumbent::Incumbent;
use crate::solver::project::network::Network;
use crate::solver::project::network::to_size;
use crate::solver::project::profile::Lanes;
use crate::solver::project::profile::Profile;
use crate::solver::project::serial::Limit;
use crate::solver::project::serial::generate;

#[test]
fn as_many_placements_as_activities_are_one_schedule() {
    let mut stop = || false;
    let mut incumbent = Incumbent::new(4, 0, &mut stop);
    incumbent.allow(3);
    let counted: Vec<u64> = [4, 3, 1, 1]
        .iter()
        .map(|&placed| {
            incumbent.count(placed);
            incumbent.schedules()
        })
        .collect();
    assert_eq!(counted, [1, 2, 2, 3]);
    // Three placements are left, too few for a plan from the start.
    assert!(incumbent.is_done());
}

#[test]
fn schedule_given_up_counts_up_to_the_activity_that_comes_too_late() {
    let problem = j30_1_1();
    let direction = Network::new(&problem).unwrap().forwards;
    let mut profile = Profile::new(Lanes::new(&problem), to_size(problem.length()));
    let mut starts = vec![0; direction.order.len()];
    let order = direction.order.clone();
    let mut with = |longest| {
        let tails = &direction.tails;
        let limit = Limit { longest, tails };
        generate(&direction, &mut profile, &order, 0, limit, &mut starts)
    };
    let (placed, made) = with(usize::MAX);
    assert_eq!(placed, 32);
    let makespan = made.unwrap();
    assert_eq!(with(makespan), (32, Some(makespan)));
    let (placed, made) = with(makespan - 1);
    assert_eq!(made, None);
    assert!(placed <= 32);
    // The critical path is 38 long, so the first activity is too late at once.
    assert_eq!(with(37), (1, None));
}

#[test]
fn beginning_taken_over_gives_the_plan_that_placing_it_again_would() {
    let problem = j30_1_1();
    let direction = Network::new(&problem).unwrap().forwards;
    let mut profile = Profile::new(Lanes::new(&problem), to_size(problem.length()));
    let order = &direction.order;
    let mut whole = vec![0; order.len()];
    let limit = Limit {
        longest: usize::MAX,
        tails: &direction.tails,
    };
    let made = generate(&direction, &mut profile, order, 0, limit, &mut whole);
    for known in 0..=order.len() {
        let mut starts = vec![0; order.len()];
        for &activity in &order[..known] {
            starts[activity] = whole[activity];
        }
        let again = generate(&direction, &mut profile, order, known, limit, &mut starts);
        assert_eq!((again, &starts), (made, &whole));
    }
}
