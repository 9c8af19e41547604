//! What a change to the job would bring: the whole plan made anew with it, and its finish and cost.

use jiff::civil::DateTime;

use crate::bid::CostGroup;
use crate::job::Job;
use crate::recipe::PlaceRole;
use crate::units::Money;

use super::Plan;
use super::Waiting;
use super::make;

/// A change that can be tried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// One more person of a row.
    Person(String),
    /// One more piece of equipment.
    Equipment(String),
    /// So many minutes longer on every working day at the site.
    Longer(u16),
    /// Saturdays at the site, with Friday's hours.
    Saturday,
    /// All panels on another recipe.
    Recipe(String),
}

/// What a change brings.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// The change, in words.
    pub change: String,
    /// Whether a plan could be made.
    pub possible: bool,
    /// When the wall is clear.
    pub wall_clear: Option<DateTime>,
    /// When everything is done.
    pub finish: Option<DateTime>,
    /// Minutes by which the hand-over is missed.
    pub late_minutes: i64,
    /// Price before tax.
    pub price: Money,
    /// Labour of it.
    pub labour: Money,
}

impl Change {
    /// The usual changes: one more of each person and of each shared equipment, an hour a day, Saturdays.
    pub fn usual(job: &Job) -> Vec<Self> {
        let people = job.people.iter().map(|row| Self::Person(row.name.clone()));
        let equipment = job
            .equipment
            .iter()
            .map(|row| Self::Equipment(row.name.clone()));
        people
            .chain(equipment)
            .chain([Self::Longer(60), Self::Saturday])
            .collect()
    }

    /// Reads `person=conservator`, `equipment=scaffold tower`, `hours=1`, `saturday` or `recipe=water-based`.
    pub fn read(text: &str) -> Option<Self> {
        let (word, rest) = text.split_once('=').unwrap_or((text, ""));
        let rest = rest.trim();
        match word.trim().to_lowercase().as_str() {
            "person" if !rest.is_empty() => Some(Self::Person(rest.to_owned())),
            "equipment" if !rest.is_empty() => Some(Self::Equipment(rest.to_owned())),
            "recipe" if !rest.is_empty() => Some(Self::Recipe(rest.to_owned())),
            "saturday" if rest.is_empty() => Some(Self::Saturday),
            "hours" => {
                let hours: u16 = rest.parse().ok().filter(|hours| (1..=12).contains(hours))?;
                Some(Self::Longer(hours * 60))
            }
            _ => None,
        }
    }

    /// The change in words.
    pub fn words(&self) -> String {
        match self {
            Self::Person(name) | Self::Equipment(name) => format!("one more {name}"),
            Self::Longer(60) => "an hour longer each day on site".to_owned(),
            Self::Longer(minutes) => format!("{} hours longer each day on site", minutes / 60),
            Self::Saturday => "Saturdays on site".to_owned(),
            Self::Recipe(id) => format!("all panels on `{id}`"),
        }
    }

    /// The job with the change; none where it names nothing or changes nothing.
    pub fn apply(&self, job: &Job) -> Option<Job> {
        let mut job = job.clone();
        match self {
            Self::Person(name) => job.people.iter_mut().find(|row| row.name == *name)?.count += 1,
            Self::Equipment(name) => {
                job.equipment
                    .iter_mut()
                    .find(|row| row.name == *name)?
                    .count += 1;
            }
            Self::Longer(minutes) => {
                let site = job
                    .places
                    .iter_mut()
                    .find(|site| site.role == PlaceRole::Site)?;
                let ends = site.hours.iter_mut().filter_map(|day| day.last_mut());
                ends.for_each(|end| end.1 = (end.1 + minutes).min(24 * 60));
            }
            Self::Saturday => {
                let site = job
                    .places
                    .iter_mut()
                    .find(|site| site.role == PlaceRole::Site)?;
                let friday = site.hours.get(4)?.clone();
                let saturday = site.hours.get_mut(5).filter(|hours| hours.is_empty())?;
                *saturday = friday;
            }
            Self::Recipe(id) => {
                let recipe = job.planning.recipes.get(id)?.clone();
                job.panels
                    .iter_mut()
                    .for_each(|row| row.recipe.clone_from(id));
                job.recipes = std::collections::BTreeMap::from([(id.clone(), recipe)]);
            }
        }
        Some(job)
    }
}

/// What was tried.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trials {
    /// The plan as it is, then each change by itself.
    pub single: Vec<Trial>,
    /// Changes together, which are tried where none by itself meets the hand-over.
    pub together: Vec<Trial>,
}

/// Of the single changes that bring the end of the wall nearer, so many are tried together.
const MOST_HELPFUL: usize = 4;

/// Of the pairs that come nearest, so many are tried with a third change.
const MOST_PAIRS: usize = 2;

/// Plans the job with each change; the first trial is the plan as it is. Changes that change nothing are left out.
///
/// Where none of them meets the hand-over, pairs of those that help most are tried (also the same change twice, such as two more
/// people), and where no pair does, the nearest pairs with a third change.
pub fn what_if(plan: &Plan, changes: &[Change], watch: &mut dyn Waiting) -> Trials {
    let mut singles: Vec<(Vec<&Change>, Trial)> = Vec::new();
    for change in changes {
        singles.extend(tried(plan, &[change], watch));
    }
    let late = plan.schedule.late_minutes;
    let misses = |trial: &Trial| !trial.possible || trial.late_minutes > 0;
    let mut together: Vec<(Vec<&Change>, Trial)> = Vec::new();
    if plan.job.hand_over.is_some() && late > 0 && singles.iter().all(|(_, trial)| misses(trial)) {
        let mut helpful: Vec<_> = singles
            .iter()
            .filter(|(_, trial)| trial.possible && trial.late_minutes < late)
            .collect();
        helpful.sort_by_key(|(_, trial)| (trial.late_minutes, trial.price.cents().amount()));
        helpful.truncate(MOST_HELPFUL);
        let best: Vec<&Change> = helpful
            .iter()
            .flat_map(|(changes, _)| changes.iter().copied())
            .collect();
        for (at, first) in best.iter().enumerate() {
            for second in best.iter().skip(at) {
                together.extend(tried(plan, &[first, second], watch));
            }
        }
        if together.iter().all(|(_, trial)| misses(trial)) {
            let mut pairs: Vec<_> = together
                .iter()
                .filter(|(_, trial)| trial.possible)
                .collect();
            pairs.sort_by_key(|(_, trial)| (trial.late_minutes, trial.price.cents().amount()));
            let mut threes: Vec<Vec<&Change>> = Vec::new();
            for (pair, _) in pairs.into_iter().take(MOST_PAIRS) {
                for third in &best {
                    let mut three = pair.clone();
                    three.push(third);
                    three.sort_by_key(|change| changes.iter().position(|known| known == *change));
                    if !threes.contains(&three) {
                        threes.push(three);
                    }
                }
            }
            for three in threes {
                together.extend(tried(plan, &three, watch));
            }
        }
    }
    let mut single = vec![trial("as it is".to_owned(), plan)];
    single.extend(singles.into_iter().map(|(_, trial)| trial));
    Trials {
        single,
        together: together.into_iter().map(|(_, trial)| trial).collect(),
    }
}

/// The job planned with some changes; none where one of them changes nothing.
fn tried<'a>(
    plan: &Plan,
    changes: &[&'a Change],
    watch: &mut dyn Waiting,
) -> Option<(Vec<&'a Change>, Trial)> {
    let mut job = plan.job.clone();
    for change in changes {
        job = change.apply(&job)?;
    }
    let changed = make::again(plan, job, watch);
    Some((changes.to_vec(), trial(words(changes), &changed)))
}

/// Changes in words, the same ones counted together: `2 more conservator and Saturdays on site`.
fn words(changes: &[&Change]) -> String {
    let mut told: Vec<(&Change, u16)> = Vec::new();
    for change in changes {
        match told.iter_mut().find(|(known, _)| known == change) {
            Some((_, times)) => *times += 1,
            None => told.push((change, 1)),
        }
    }
    let words = told.into_iter().map(|(change, times)| match change {
        Change::Person(name) | Change::Equipment(name) if times > 1 => {
            format!("{times} more {name}")
        }
        Change::Longer(minutes) => Change::Longer(minutes * times).words(),
        Change::Person(_) | Change::Equipment(_) | Change::Saturday | Change::Recipe(_) => {
            change.words()
        }
    });
    words.collect::<Vec<_>>().join(" and ")
}

fn trial(change: String, plan: &Plan) -> Trial {
    let labour = plan
        .bid
        .lines
        .iter()
        .filter(|line| line.group == CostGroup::Labour);
    Trial {
        change,
        possible: !plan.problems.has_errors(),
        wall_clear: plan.schedule.wall_clear,
        finish: plan.schedule.finish,
        late_minutes: plan.schedule.late_minutes,
        price: plan.bid.total - plan.bid.tax,
        labour: labour.fold(Money::ZERO, |sum, line| sum + line.amount),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_together_are_counted_in_words() {
        let (person, hour) = (Change::Person("assistant".into()), Change::Longer(60));
        assert_eq!(
            words(&[&person, &hour, &person]),
            "2 more assistant and an hour longer each day on site"
        );
        assert_eq!(words(&[&hour, &hour]), "2 hours longer each day on site");
        assert_eq!(
            words(&[&Change::Saturday, &person]),
            "Saturdays on site and one more assistant"
        );
    }

    #[test]
    fn changes_are_read_as_people_write_them() {
        fn case(text: &str, change: impl Into<Option<Change>>) {
            assert_eq!(Change::read(text), change.into(), "{text}");
        }
        case(
            "person=conservator",
            Some(Change::Person("conservator".into())),
        );
        case(
            "equipment = scaffold tower",
            Some(Change::Equipment("scaffold tower".into())),
        );
        case("hours=2", Some(Change::Longer(120)));
        case("Saturday", Some(Change::Saturday));
        case(
            "recipe=water-based",
            Some(Change::Recipe("water-based".into())),
        );
        case("hours=0", None);
        case("person", None);
        case("sunday", None);
    }
}
