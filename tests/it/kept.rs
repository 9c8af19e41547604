//! A plan made with what the plans before it left is the same to the byte as one made from nothing.

use facelay::files::read_job;
use facelay::job::Job;
use facelay::plan::Change;
use facelay::plan::Kept;
use facelay::view::Files;
use facelay::view::Planned;
use facelay::view::Session;
use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::metamorphic::random;
use super::random_job::Writing;

fn json(plan: &facelay::plan::Plan) -> String {
    String::from_utf8(facelay::format::write_plan(plan).unwrap()).unwrap()
}

/// Plans with what is kept and from nothing; both say the same.
fn both(job: &Job, kept: &mut Kept, what: &str) {
    let problems = facelay::diag::Problems::new();
    let next = facelay::plan::make_next(job.clone(), problems.clone(), kept, &mut |_| {});
    let alone = facelay::plan::make(job.clone(), problems, &mut |_| {});
    assert!(
        json(&next) == json(&alone),
        "{what}: not the plan made from nothing"
    );
    assert_eq!(next.ledger, alone.ledger, "{what}");
    assert_eq!(next.problems, alone.problems, "{what}");
    assert_eq!(next.cautions, alone.cautions, "{what}");
}

/// The folder as saving would leave it.
fn saved(session: &Session) -> Files {
    let mut files = session.folder().clone();
    for input in session.to_save().inputs {
        match input.bytes {
            Some(bytes) => drop(files.insert(input.name, bytes)),
            None => drop(files.remove(&input.name)),
        }
    }
    files
}

/// Picks things on the page over a job, one form after another, and plans each folder from nothing too.
fn pick_one_after_another(folder: &str, forms: &[&[(&str, &str)]]) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut session = Session::of(read_job(&folder).unwrap());
    let mut kept = Kept::default();
    session.accept(Planned::of(&session.request(), &mut kept));
    for form in forms {
        let fields = form.iter().chain(&[("form", "1")]);
        let fields = fields.map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
        assert!(session.pick(&fields.collect()), "{form:?}");
        session.accept(Planned::of(&session.request(), &mut kept));
        let (_, shown) = session
            .plan()
            .unwrap_or_else(|| panic!("{form:?} cannot be planned"));
        let (job, problems) = facelay::job::read(&saved(&session));
        let alone = facelay::plan::make(job.unwrap(), problems, &mut |_| {});
        assert!(
            json(&shown) == json(&alone),
            "{form:?}: not the plan of the saved folder"
        );
        assert_eq!(shown.ledger, alone.ledger, "{form:?}");
        assert_eq!(
            facelay::report::page(&shown),
            facelay::report::page(&alone),
            "{form:?}"
        );
    }
}

#[test]
fn picks_on_the_demo_give_the_plan_of_the_saved_folder() {
    pick_one_after_another(
        "examples/assembly-hall",
        &[
            &[("people.1", "6")],
            &[("recipe.0", "water-based")],
            &[("first_day", "2027-01-18"), ("people.1", "4")],
            &[("recipe.0", "stiff-glue"), ("hours.site.5", "08:00-12:00")],
            &[("order_day", "2026-11-20")],
            &[("recipe_of_all", "water-based")],
            &[("case", "")],
        ],
    );
}

#[test]
fn picks_on_three_panels_give_the_plan_of_the_saved_folder() {
    pick_one_after_another(
        "examples/three-panels",
        &[
            &[("recipe_of_all", "stiff-glue")],
            &[("people.0", "3")],
            &[("recipe.1", "water-based")],
            &[("recipe_of_all", "supple-paste")],
        ],
    );
}

#[test]
fn random_jobs_and_changes_to_them_give_the_plans_made_from_nothing() {
    let mut kept = Kept::default();
    let mut dice = ChaCha8Rng::seed_from_u64(3);
    for seed in 0..12 {
        let files = random(seed).files(Writing::default());
        let job = facelay::job::read(&files).0.unwrap();
        both(&job, &mut kept, &format!("job {seed}"));
        let changes = Change::usual(&job);
        let recipes = job.planning.recipes.keys().cloned().map(Change::Recipe);
        let all: Vec<Change> = changes.into_iter().chain(recipes).collect();
        for _ in 0..3 {
            let change = &all[dice.random_range(0..all.len())];
            if let Some(changed) = change.apply(&job) {
                both(
                    &changed,
                    &mut kept,
                    &format!("job {seed}, {}", change.words()),
                );
            }
        }
        for case in &job.cases {
            both(
                &job.as_case(case),
                &mut kept,
                &format!("job {seed}, case {}", case.name),
            );
        }
    }
}
