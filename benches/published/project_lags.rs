//! Projects with longest lags in `ProGen/max` format (`.sch`): name, makespan or `infeasible`, lower bound, schedules, seconds.

use std::process::ExitCode;

use facelay::solver::project::Activity;
use facelay::solver::project::Lag;
use facelay::solver::project::NoPlan;
use facelay::solver::project::Problem;
use facelay::solver::project::ProblemError;

use crate::published::project::Settings;
use crate::published::project::name;
use crate::published::project::refuse;

/// Without a limit every instance gets this long.
const SECONDS: &str = "10";

/// Solves all `.sch` files named.
pub(crate) fn run(arguments: &[String]) -> ExitCode {
    let default = ["--seconds".to_owned(), SECONDS.to_owned()];
    let settings = match Settings::read(&[&default, arguments].concat()) {
        Ok(settings) => settings,
        Err(message) => return refuse(&message),
    };
    settings.for_each_file("sch", |path, text| {
        let name = name(path);
        let problem = match read(text)? {
            // These sets hold activities that ask for more than there ever is: published as infeasible.
            Err(ProblemError::Demand { .. }) => {
                println!("{name}\tinfeasible\t-\t0\t0.000");
                return Ok(());
            }
            other => other.map_err(|error| error.to_string())?,
        };
        let (outcome, seconds) = settings.solve(&problem)?;
        match outcome {
            Ok(plan) => println!(
                "{name}\t{}\t{}\t{}\t{seconds:.3}",
                plan.makespan, plan.lower_bound, plan.schedules
            ),
            Err(NoPlan::Infeasible) => println!("{name}\tinfeasible\t-\t-\t{seconds:.3}"),
            Err(NoPlan::NotFound { schedules }) => {
                println!("{name}\tnone\t-\t{schedules}\t{seconds:.3}");
            }
        }
        Ok(())
    })
}

/// A head, then arrows with their lags, then durations and demands, then capacities; one row each, dummies included.
fn read(text: &str) -> Result<Result<Problem, ProblemError>, String> {
    let mut rows = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .map(numbers);
    let mut next = || {
        rows.next()
            .unwrap_or_else(|| Err("the file ends too early".to_owned()))
    };
    let head = next()?;
    let count = usize::try_from(at(&head, 0)?)
        .map_err(|_| "the head counts below 0")?
        .saturating_add(2);
    let (mut activities, mut lags) = (Vec::new(), Vec::new());
    for from in 0..count {
        let row = next()?;
        let arrows = usize::try_from(at(&row, 2)?).map_err(|_| "a row counts below 0")?;
        for arrow in 0..arrows {
            let to = usize::try_from(at(&row, 3 + arrow)?).map_err(|_| "a successor is below 0")?;
            lags.push(Lag {
                from,
                to,
                least: at(&row, 3 + arrows + arrow)?,
                most: None,
            });
        }
    }
    for _ in 0..count {
        let row = next()?;
        let demands = row.get(3..).unwrap_or(&[]).to_vec();
        activities.push(Activity {
            duration: at(&row, 2)?,
            demands,
        });
    }
    Ok(Problem::new(next()?, activities, lags))
}

fn numbers(line: &str) -> Result<Vec<i64>, String> {
    let words = line.split(|letter: char| letter.is_whitespace() || "[]".contains(letter));
    words
        .filter(|word| !word.is_empty())
        .map(|word| {
            word.parse()
                .map_err(|_| format!("`{word}` stands for a number"))
        })
        .collect()
}

fn at(row: &[i64], position: usize) -> Result<i64, String> {
    row.get(position)
        .copied()
        .ok_or_else(|| "a row is too short".to_owned())
}
