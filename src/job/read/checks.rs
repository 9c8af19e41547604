//! What has to agree between the files: recipes with panels, people and equipment with recipes, days with days.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::catalog::Give;
use crate::diag::Place;
use crate::diag::Problems;
use crate::diag::count;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Field;
use crate::input::Section;
use crate::recipe::PlaceRole;
use crate::recipe::Recipe;
use crate::recipe::Step;
use crate::recipe::steps::StepKind;

use super::joining::Book;
use super::panels::Panel;
use super::settings::Settings;
use crate::job::Equipment;
use crate::job::Job;
use crate::job::Person;
use crate::job::Site;

/// Picks the recipes that panels use; an unknown one is told once for each row that names it, and once where it is the default.
pub(super) fn recipes_in_use(
    panels: &[Panel],
    book: &Book<'_>,
    default: &Field<'_>,
    problems: &mut Problems,
) -> BTreeMap<String, Recipe> {
    let mut used = BTreeMap::new();
    let mut unreadable = BTreeSet::new();
    for panel in panels.iter().filter(|panel| !panel.row.recipe.is_empty()) {
        let id = &panel.row.recipe;
        let told = unreadable.contains(id) && (!panel.names_recipe || book.is_known(id));
        if told || used.contains_key(id) {
            continue;
        }
        match book.get(id, problems) {
            Some(recipe) => drop(used.insert(id.clone(), recipe)),
            None if book.is_known(id) => drop(unreadable.insert(id.clone())),
            None => {
                let known = book.ids();
                let help = match nearest(id, known.iter().copied()) {
                    Some(near) => format!("write `{near}` if that is meant"),
                    None => format!(
                        "write one of {}, or add `recipes/{id}.toml`",
                        list(&known, "or")
                    ),
                };
                let text = format!("there is no recipe `{id}`");
                if panel.names_recipe {
                    problems.error(Some(panel.recipe_at.clone()), text, help);
                } else {
                    default.problem(text, help, problems);
                    unreadable.insert(id.clone());
                }
            }
        }
    }
    used
}

/// The built-in recipe of panels that may not be rolled.
const FLAT: &str = "flat-support";

/// Warns of panels that may not be rolled and whose recipe rolls them: they are planned flat, by a recipe made for something else.
///
/// `recipe_at` says by panel where its recipe is named.
pub(super) fn rolled_in_spite(
    job: &Job,
    recipe_at: &BTreeMap<String, Place>,
    problems: &mut Problems,
) {
    let rolls = |recipe: &Recipe| recipe.steps.iter().any(|step| step.kind == StepKind::Roll);
    for row in &job.panels {
        if row.give != Give::None || !job.recipe_of(row).is_some_and(rolls) {
            continue;
        }
        let text = format!(
            "panel `{}` may not be rolled (`give` none), and the recipe `{}` rolls it: the roll is left out, and it is carried flat",
            row.panel, row.recipe
        );
        let help = format!(
            "write the recipe `{FLAT}`, which detaches it in plane onto a support panel; or another `give`, if a test on the real paint allows a wide drum"
        );
        problems.warning(recipe_at.get(&row.panel).cloned(), text, help);
    }
}

/// Where job.toml and the choices name the days.
#[derive(Clone, Copy)]
pub(super) struct DaysAt<'a> {
    pub(super) root: Section<'a>,
    pub(super) page: Option<Section<'a>>,
}

impl<'a> DaysAt<'a> {
    /// The field of a day that is in force: that of a choice, the case chosen if it is none of job.toml's days, else job.toml's.
    fn field(&self, key: &'static str, day: Date) -> Field<'a> {
        let own = self.root.field(key);
        let Some(page) = self.page else {
            return own;
        };
        let choices = page.field("choice").sections(&mut Problems::new());
        let says = |field: Field<'_>| field.date(&mut Problems::new()) == Some(day);
        let mut chosen = choices.iter().map(|choice| choice.field(key));
        match chosen.rfind(|field| says(*field)) {
            Some(choice) => choice,
            None if page.has("case") && !says(own) => page.field("case"),
            None => own,
        }
    }
}

/// Checks the order of the days, and that anybody can work before the hand-over; not if the first day could not be read.
pub(super) fn days(job: &Job, settings: &Settings, at: DaysAt<'_>, problems: &mut Problems) {
    let first = job.first_day;
    if settings.first_day.is_none() {
        return;
    }
    let ordered = settings.order_day.is_some() || job.order_day != first;
    if ordered && job.order_day > first {
        let order = job.order_day;
        let text = format!("`{order}` is after the first working day, `{first}`");
        at.field("order_day", order).problem(
            text,
            "write the day on which the first orders are sent",
            problems,
        );
    }
    if !ordered {
        let place = Place::File {
            file: "job.toml".to_owned(),
        };
        let text = format!(
            "there is no `order_day`: the first orders are sent on the first working day, `{first}`, and work waits for them"
        );
        problems.note(
            Some(place),
            text,
            "write `order_day = …`, the day on which the first orders are sent",
        );
    }
    let Some(hand_over) = job.hand_over else {
        return;
    };
    let field = at.field("hand_over", hand_over);
    if hand_over < first {
        let text = format!("`{hand_over}` is before the first working day, `{first}`");
        field.problem(text, "check both days", problems);
        return;
    }
    let site = job
        .places
        .iter()
        .find(|place| place.role == PlaceRole::Site);
    if let Some(site) = site.filter(|site| site.hours.iter().any(|spans| !spans.is_empty()))
        && !first
            .series(1.day())
            .take_while(|day| *day <= hand_over)
            .any(|day| works(site, day))
    {
        let text = format!(
            "nobody works at `{}` from `{first}` to `{hand_over}`",
            site.name
        );
        field.problem(
            text,
            "check the days, the hours and the closed days",
            problems,
        );
    }
}

fn works(site: &Site, day: Date) -> bool {
    let weekday = usize::try_from(day.weekday().to_monday_zero_offset()).unwrap_or(0);
    site.hours
        .get(weekday)
        .is_some_and(|spans| !spans.is_empty())
        && !site.closed.contains(&day)
}

/// Checks that the people, equipment and places that the recipes ask for are there.
pub(super) fn crew(job: &Job, root: &Section<'_>, problems: &mut Problems) {
    let Job {
        recipes,
        people,
        equipment,
        places,
        ..
    } = job;
    let mut needs = Needs::default();
    for (recipe, step) in recipes
        .values()
        .flat_map(|recipe| recipe.steps.iter().map(move |step| (recipe, step)))
    {
        needs.add(recipe, step);
    }
    if !people.is_empty() {
        needs.check_skills(people, &root.field("person").place(), problems);
    }
    needs.check_equipment(equipment, &root.field("equipment").place(), problems);
    if let Some(step) = needs
        .studio
        .filter(|_| places.iter().all(|place| place.role != PlaceRole::Studio))
    {
        let text = format!("{step} is done in the studio, but the job has none");
        let help = "add a `[[place]]` with `role = \"studio\"` and its hours";
        problems.error(Some(root.field("place").place()), text, help);
    }
}

/// What the steps need, with the step that needs most.
#[derive(Default)]
struct Needs {
    skills: BTreeMap<String, (u32, String)>,
    equipment: BTreeMap<String, (u32, String)>,
    studio: Option<String>,
}

impl Needs {
    fn add(&mut self, recipe: &Recipe, step: &Step) {
        let told = format!("step `{}` of recipe `{}`", step.id, recipe.id);
        let most = |needs: &mut BTreeMap<String, (u32, String)>, name: &str, number: u32| {
            let need = needs.entry(name.to_owned()).or_default();
            if need.1.is_empty() || number > need.0 {
                *need = (number, told.clone());
            }
        };
        most(&mut self.skills, &step.skill, step.crew.0.max(1));
        for (name, number) in &step.equipment {
            most(&mut self.equipment, name, *number);
        }
        if step.place == PlaceRole::Studio && self.studio.is_none() {
            self.studio = Some(told);
        }
    }

    fn check_skills(&self, people: &[Person], place: &Place, problems: &mut Problems) {
        let had: BTreeSet<&str> = people
            .iter()
            .flat_map(|person| person.skills.iter().map(String::as_str))
            .collect();
        for (skill, (needed, step)) in &self.skills {
            let able: u32 = people
                .iter()
                .filter(|person| person.skills.contains(skill))
                .map(|person| person.count)
                .sum();
            if able >= *needed {
                continue;
            }
            let needed_people = count(usize::try_from(*needed).unwrap_or(usize::MAX), "person");
            let text = match able {
                0 => format!(
                    "{step} needs {needed_people} with the skill `{skill}`, which nobody has"
                ),
                _ => format!(
                    "{step} needs {needed_people} with the skill `{skill}`; the job has {able}"
                ),
            };
            let help = match nearest(skill, had.iter().copied()).filter(|near| *near != skill) {
                Some(near) => format!(
                    "write `{skill}` instead of `{near}` under `skills`, or add a person who has it"
                ),
                None => format!(
                    "add `{skill}` to somebody's `skills`, raise a `count`, or add a person"
                ),
            };
            problems.error(Some(place.clone()), text, help);
        }
    }

    fn check_equipment(&self, equipment: &[Equipment], place: &Place, problems: &mut Problems) {
        for (name, (needed, step)) in &self.equipment {
            let there = equipment
                .iter()
                .find(|item| item.name == *name)
                .map_or(0, |item| item.count);
            if there >= *needed {
                continue;
            }
            let text = match there {
                0 => format!("{step} needs the equipment `{name}`, which the job has not"),
                _ => {
                    format!("{step} needs {needed} of the equipment `{name}`; the job has {there}")
                }
            };
            let near = nearest(name, equipment.iter().map(|item| item.name.as_str()));
            let help = match near.filter(|near| near != name) {
                Some(near) => format!("write `{name}` instead of `{near}`, or add it"),
                None => {
                    format!("add `[[equipment]]` with `name = \"{name}\"`, or raise its `count`")
                }
            };
            problems.error(Some(place.clone()), text, help);
        }
    }
}
