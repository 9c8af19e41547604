//! What a change to the job would bring: the whole plan made anew with it, and its finish and cost.

use jiff::civil::DateTime;

use crate::bid::CostGroup;
use crate::diag::Problems;
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

/// Plans the job with each change; the first trial is the plan as it is. Changes that change nothing are left out.
pub fn what_if(plan: &Plan, changes: &[Change], watch: &mut dyn Waiting) -> Vec<Trial> {
    let mut trials = vec![trial("as it is".to_owned(), plan)];
    for change in changes {
        if let Some(job) = change.apply(&plan.job) {
            let changed = make(job, Problems::new(), watch);
            trials.push(trial(change.words(), &changed));
        }
    }
    trials
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
