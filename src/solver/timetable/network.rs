//! The links of a problem as a graph: who follows whom, and in which order to place.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::calendar::Minute;
use super::problem::Problem;
use super::problem::Within;

/// A link as the engine uses it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Arc {
    pub(super) before: usize,
    pub(super) after: usize,
    pub(super) lag: Minute,
    pub(super) reach: Option<Within>,
}

/// A hold that ends with some task.
#[derive(Debug, Clone, Copy)]
pub(super) struct Held {
    pub(super) owner: usize,
    pub(super) resource: usize,
    pub(super) units: i64,
}

/// Neighbours of each task, and the groups that have to be placed together.
#[derive(Debug, Clone)]
pub(super) struct Network {
    pub(super) arcs: Vec<Arc>,
    /// For each task, the arcs that lead to it and the arcs that leave it.
    pub(super) into: Vec<Vec<usize>>,
    pub(super) out: Vec<Vec<usize>>,
    /// For each task, the holds that end with it.
    pub(super) held: Vec<Vec<Held>>,
    /// A topological order.
    pub(super) order: Vec<usize>,
    groups: Vec<Group>,
}

/// Tasks and inner groups that are placed one after another before anything outside them.
///
/// A longest time and a hold both tie a later task back to an earlier one. Where everything between
/// the two is placed in one go, a failed tie can be mended by lifting just those tasks off again.
#[derive(Debug, Clone, Default)]
struct Group {
    members: Vec<Member>,
    /// Members that follow each member.
    after: Vec<Vec<usize>>,
    /// How many entries of `after` name each member.
    waits: Vec<usize>,
}

#[derive(Debug, Clone, Copy)]
enum Member {
    Task(usize),
    Group(usize),
}

/// An edge from a later task back to an earlier one.
#[derive(Debug, Clone, Copy)]
struct Tie {
    later: usize,
    earlier: usize,
    holds: bool,
}

/// Returns the links of a problem as arcs.
pub(super) fn arcs(problem: &Problem) -> Vec<Arc> {
    let arc = |link: &super::problem::Link| Arc {
        before: link.before,
        after: link.after,
        lag: link.lag,
        reach: link.within,
    };
    problem.links.iter().map(arc).collect()
}

impl Network {
    /// Builds the graph; fails with the tasks of a circle.
    pub(super) fn new(problem: &Problem, arcs: Vec<Arc>) -> Result<Self, Vec<usize>> {
        let count = problem.tasks.len();
        let mut into = vec![Vec::new(); count];
        let mut out = vec![Vec::new(); count];
        for (index, arc) in arcs.iter().enumerate() {
            into[arc.after].push(index);
            out[arc.before].push(index);
        }
        let mut held = vec![Vec::new(); count];
        for (owner, task) in problem.tasks.iter().enumerate() {
            for hold in &task.holds {
                let (resource, units) = (hold.resource, hold.units);
                held[hold.until].push(Held {
                    owner,
                    resource,
                    units,
                });
            }
        }
        let mut network = Self {
            arcs,
            into,
            out,
            held,
            order: Vec::new(),
            groups: Vec::new(),
        };
        network.order = network.sorted()?;
        network.group();
        Ok(network)
    }

    /// Returns all tasks in an order that keeps links and groups, smaller keys first.
    pub(super) fn flatten(&self, keys: &[i64]) -> Vec<usize> {
        let mut least = vec![i64::MAX; self.groups.len()];
        // Inner groups come after the group that contains them.
        for at in (0..self.groups.len()).rev() {
            let key = |member: &Member| key_of(*member, keys, &least);
            least[at] = self.groups[at].members.iter().map(key).min().unwrap_or(0);
        }
        let mut order = Vec::with_capacity(keys.len());
        self.flatten_group(0, keys, &least, &mut order);
        order
    }

    fn flatten_group(&self, at: usize, keys: &[i64], least: &[i64], order: &mut Vec<usize>) {
        let Some(group) = self.groups.get(at) else {
            return;
        };
        let entry = |member: usize| Reverse((key_of(group.members[member], keys, least), member));
        let mut waits = group.waits.clone();
        let ready = (0..waits.len()).filter(|&member| waits[member] == 0);
        let mut heap: BinaryHeap<_> = ready.map(entry).collect();
        while let Some(Reverse((_, member))) = heap.pop() {
            match group.members[member] {
                Member::Task(task) => order.push(task),
                Member::Group(inner) => self.flatten_group(inner, keys, least, order),
            }
            for &next in &group.after[member] {
                waits[next] -= 1;
                if waits[next] == 0 {
                    heap.push(entry(next));
                }
            }
        }
    }

    fn sorted(&self) -> Result<Vec<usize>, Vec<usize>> {
        let mut waits: Vec<usize> = self.into.iter().map(Vec::len).collect();
        let mut order: Vec<usize> = (0..waits.len()).filter(|&task| waits[task] == 0).collect();
        let mut at = 0;
        while let Some(&task) = order.get(at) {
            at += 1;
            for &arc in &self.out[task] {
                let next = self.arcs[arc].after;
                waits[next] -= 1;
                if waits[next] == 0 {
                    order.push(next);
                }
            }
        }
        if order.len() == waits.len() {
            Ok(order)
        } else {
            Err(self.circle(&waits))
        }
    }

    /// Walks backwards among tasks that still wait until one comes up twice.
    fn circle(&self, waits: &[usize]) -> Vec<usize> {
        let mut seen = vec![usize::MAX; waits.len()];
        let mut path = Vec::new();
        let mut next = waits.iter().position(|&wait| wait > 0);
        while let Some(task) = next {
            if seen[task] != usize::MAX {
                path.drain(..seen[task]);
                path.reverse();
                return path;
            }
            seen[task] = path.len();
            path.push(task);
            let mut sources = self.into[task].iter().map(|&arc| self.arcs[arc].before);
            next = sources.find(|&before| waits[before] > 0);
        }
        path
    }

    fn ties(&self) -> Vec<Tie> {
        let reaches = self
            .arcs
            .iter()
            .filter(|arc| arc.reach.is_some())
            .map(|arc| Tie {
                later: arc.after,
                earlier: arc.before,
                holds: false,
            });
        let held = self.held.iter().enumerate().flat_map(|(later, holds)| {
            holds.iter().map(move |held| Tie {
                later,
                earlier: held.owner,
                holds: true,
            })
        });
        reaches
            .chain(held)
            .filter(|tie| tie.later != tie.earlier)
            .collect()
    }

    fn group(&mut self) {
        let all: Vec<usize> = (0..self.into.len()).collect();
        let mut local = vec![usize::MAX; all.len()];
        self.groups.push(Group::default());
        let mut work = vec![(0, all, self.ties(), 0)];
        while let Some((at, tasks, mut ties, depth)) = work.pop() {
            for (index, &task) in tasks.iter().enumerate() {
                local[task] = index;
            }
            if depth > 0 {
                self.drop_outermost_holds(&tasks, &local, &mut ties);
            }
            let edges = self.edges_within(&tasks, &local);
            let mut parts = strong_parts(tasks.len(), &edges, &ties, &local);
            if depth > 0 && (depth > 16 || parts.iter().all(|&part| part == 0)) {
                parts = (0..tasks.len()).collect();
            }
            let (group, inner) = self.fill(&tasks, &edges, &parts);
            self.groups[at] = group;
            for (place, members) in inner {
                let is_inside = |tie: &&Tie| {
                    let (later, earlier) = (local[tie.later], local[tie.earlier]);
                    parts[later] == parts[earlier] && parts[later] == parts[local[members[0]]]
                };
                let inside = ties.iter().filter(is_inside).copied().collect();
                work.push((place, members, inside, depth + 1));
            }
            for &task in &tasks {
                local[task] = usize::MAX;
            }
        }
    }

    /// Drops holds that span a whole group, so that the groups inside them can be told apart.
    fn drop_outermost_holds(&self, tasks: &[usize], local: &[usize], ties: &mut Vec<Tie>) {
        let inner = |other: usize| local[other] != usize::MAX;
        let is_first = |task: usize| {
            !self.into[task]
                .iter()
                .any(|&arc| inner(self.arcs[arc].before))
        };
        let is_last = |task: usize| {
            !self.out[task]
                .iter()
                .any(|&arc| inner(self.arcs[arc].after))
        };
        debug_assert!(tasks.iter().all(|&task| inner(task)));
        ties.retain(|tie| !(tie.holds && is_first(tie.earlier) && is_last(tie.later)));
    }

    fn edges_within(&self, tasks: &[usize], local: &[usize]) -> Vec<(usize, usize)> {
        let from = |&task: &usize| {
            let next = self.out[task]
                .iter()
                .map(|&arc| local[self.arcs[arc].after]);
            next.filter(|&to| to != usize::MAX)
                .map(move |to| (local[task], to))
        };
        tasks.iter().flat_map(from).collect()
    }

    /// Makes a group of parts, and reserves a place for each part of several tasks.
    fn fill(
        &mut self,
        tasks: &[usize],
        edges: &[(usize, usize)],
        parts: &[usize],
    ) -> (Group, Vec<(usize, Vec<usize>)>) {
        let count = parts.iter().max().map_or(0, |&part| part + 1);
        let mut lists = vec![Vec::new(); count];
        for (index, &part) in parts.iter().enumerate() {
            lists[part].push(tasks[index]);
        }
        let mut group = Group {
            after: vec![Vec::new(); count],
            waits: vec![0; count],
            members: Vec::with_capacity(count),
        };
        let mut inner = Vec::new();
        for list in lists {
            if let [task] = list[..] {
                group.members.push(Member::Task(task));
            } else {
                group.members.push(Member::Group(self.groups.len()));
                inner.push((self.groups.len(), list));
                self.groups.push(Group::default());
            }
        }
        for &(from, to) in edges {
            if parts[from] != parts[to] {
                group.after[parts[from]].push(parts[to]);
                group.waits[parts[to]] += 1;
            }
        }
        (group, inner)
    }
}

fn key_of(member: Member, keys: &[i64], least: &[i64]) -> i64 {
    match member {
        Member::Task(task) => keys[task],
        Member::Group(inner) => least[inner],
    }
}

/// Numbers the strongly connected parts of a graph of edges and ties.
///
/// Two depth-first passes, the second against the edges in the order the first left them
/// (Kosaraju's algorithm; Sharir, M. (1981), Computers & Mathematics with Applications 7(1), 67-72).
fn strong_parts(
    count: usize,
    edges: &[(usize, usize)],
    ties: &[Tie],
    local: &[usize],
) -> Vec<usize> {
    let mut forward = vec![Vec::new(); count];
    let mut backward = vec![Vec::new(); count];
    let tied = ties
        .iter()
        .map(|tie| (local[tie.later], local[tie.earlier]));
    for (from, to) in edges.iter().copied().chain(tied) {
        forward[from].push(to);
        backward[to].push(from);
    }
    let mut left = Vec::with_capacity(count);
    let mut seen = vec![false; count];
    for root in 0..count {
        walk(root, &forward, &mut seen, |node| left.push(node));
    }
    let mut part = vec![0; count];
    let mut number = 0;
    seen.fill(false);
    for &root in left.iter().rev() {
        let mut found = false;
        walk(root, &backward, &mut seen, |node| {
            part[node] = number;
            found = true;
        });
        number += usize::from(found);
    }
    part
}

/// Visits what can be reached from `root`, calling `leave` when all below a node is done.
fn walk(root: usize, next: &[Vec<usize>], seen: &mut [bool], mut leave: impl FnMut(usize)) {
    if std::mem::replace(&mut seen[root], true) {
        return;
    }
    let mut path = vec![(root, 0)];
    while let Some((node, at)) = path.last_mut() {
        if let Some(&to) = next[*node].get(*at) {
            *at += 1;
            if !std::mem::replace(&mut seen[to], true) {
                path.push((to, 0));
            }
        } else {
            leave(*node);
            path.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solver::timetable::problem::End;
    use crate::solver::timetable::problem::Hold;
    use crate::solver::timetable::problem::Link;
    use crate::solver::timetable::problem::Task;

    fn network(count: usize, links: Vec<Link>, holds: &[(usize, usize)]) -> Network {
        let mut problem = Problem {
            tasks: vec![Task::default(); count],
            links,
            ..Problem::default()
        };
        for &(owner, until) in holds {
            problem.tasks[owner].holds.push(Hold {
                resource: 0,
                units: 1,
                until,
            });
        }
        let arcs = arcs(&problem);
        Network::new(&problem, arcs).unwrap()
    }

    #[test]
    fn a_longest_time_keeps_a_chain_together() {
        // 0 → 2 → 4 and 1 → 3; 0 → 4 has a longest time.
        let links = vec![
            Link::new(0, 2),
            Link::new(2, 4),
            Link::new(0, 4).within(60, End::Start),
            Link::new(1, 3),
        ];
        let order = network(5, links, &[]).flatten(&[0, 1, 2, 3, 4]);
        assert_eq!(order, [0, 2, 4, 1, 3]);
    }

    #[test]
    fn groups_inside_a_hold_over_everything_stay_apart() {
        // 0 opens, 5 closes; 1 → 2 and 3 → 4 are chains between them.
        let tied = |a, b| Link::new(a, b).within(60, End::Start);
        let mut links = vec![tied(1, 2), tied(3, 4)];
        links.extend([1, 2, 3, 4].map(|task| Link::new(0, task)));
        links.extend([1, 2, 3, 4].map(|task| Link::new(task, 5)));
        let order = network(6, links, &[(0, 5)]).flatten(&[0, 4, 9, 1, 8, 0]);
        assert_eq!(order, [0, 3, 4, 1, 2, 5]);
    }

    #[test]
    fn a_circle_is_named_in_order() {
        let problem = Problem {
            tasks: vec![Task::default(); 4],
            links: vec![
                Link::new(3, 0),
                Link::new(0, 1),
                Link::new(1, 2),
                Link::new(2, 0),
            ],
            ..Problem::default()
        };
        let circle = Network::new(&problem, arcs(&problem)).unwrap_err();
        assert_eq!(circle.len(), 3);
        let follows = |a: usize, b: usize| {
            problem
                .links
                .iter()
                .any(|link| (link.before, link.after) == (a, b))
        };
        assert!(
            (0..3).all(|i| follows(circle[i], circle[(i + 1) % 3])),
            "{circle:?}"
        );
    }
}
