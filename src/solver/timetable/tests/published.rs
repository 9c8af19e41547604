//! Networks with published answers: unlimited people on a calendar that never closes.

use super::*;

/// Solves a network of `(minutes, predecessors)`; returns the finish and the explanations.
fn network(tasks: &[(Minute, &[usize])]) -> (Minute, Vec<Explanation>) {
    let mut links = Vec::new();
    for (after, (_, predecessors)) in tasks.iter().enumerate() {
        links.extend(predecessors.iter().map(|&before| Link::new(before, after)));
    }
    let problem = Problem {
        calendars: vec![Calendar::always(10)],
        people: vec![worker(); tasks.len()],
        tasks: tasks.iter().map(|&(minutes, _)| work(minutes, 1)).collect(),
        links,
        ..Problem::default()
    };
    let timetable = plan(&problem, 20);
    assert_eq!(timetable.lower_bound_finish, timetable.finish);
    (timetable.finish, explain(&problem, &timetable).unwrap())
}

/// Seven activities between events, 1-2 7, 1-3 10, 2-4 6, 3-4 5, 3-5 4, 4-5 3, 5-6 2.
///
/// Source: Taylor, B. W., Introduction to Management Science, ch. 8 (project management), end-of-chapter network,
/// as found in a solutions listing (ar.scribd 47113515): 20, critical 1-3-4-5-6, slacks 2 0 2 0 4 0 0.
#[test]
fn seven_activities_between_events() {
    let (finish, explanations) = network(&[
        (7, &[]),
        (10, &[]),
        (6, &[0]),
        (5, &[1]),
        (4, &[1]),
        (3, &[2, 3]),
        (2, &[4, 5]),
    ]);
    assert_eq!(finish, 20);
    let slacks: Vec<_> = explanations.iter().map(|e| e.slack).collect();
    assert_eq!(slacks, [2, 0, 2, 0, 4, 0, 0]);
    assert_eq!(explanations[5].cause, Cause::Link { link: 4 });
}

/// Fourteen activities of a construction job.
///
/// Source: Hillier, F. S., Lieberman, G. J., Introduction to Operations Research, project management chapter
/// (quoted from memory, arithmetic checked): 44, critical A-B-C-E-F-J-L-N; slacks D 4, G 4, H 4, I 2, K 1, M 4.
#[test]
#[allow(
    clippy::many_single_char_names,
    reason = "the letters are the source's"
)]
fn fourteen_activities_of_a_construction_job() {
    let (a, b, c, d, e, f, g, h, i, j, k, l) = (0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11);
    let (finish, explanations) = network(&[
        (2, &[]),
        (4, &[a]),
        (10, &[b]),
        (6, &[c]),
        (4, &[c]),
        (5, &[e]),
        (7, &[d]),
        (9, &[e, g]),
        (7, &[c]),
        (8, &[f, i]),
        (4, &[j]),
        (5, &[j]),
        (2, &[h]),
        (6, &[k, l]),
    ]);
    assert_eq!(finish, 44);
    let slacks: Vec<_> = explanations.iter().map(|e| e.slack).collect();
    assert_eq!(slacks, [0, 0, 0, 4, 0, 0, 4, 4, 2, 0, 1, 0, 4, 0]);
    let critical: Vec<_> = (0..14)
        .filter(|&task| explanations[task].critical)
        .collect();
    assert_eq!(critical, [a, b, c, e, f, j, l, 13]);
}
