//! Resource-constrained projects in Patterson format (`.rcp`): name, makespan, lower bound, schedules, seconds.

use std::path::Path;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;
use std::time::Instant;

use facelay::solver::project::Activity;
use facelay::solver::project::Effort;
use facelay::solver::project::Lag;
use facelay::solver::project::NoPlan;
use facelay::solver::project::Problem;
use facelay::solver::project::Solution;
use facelay::solver::project::broken_rule;
use facelay::solver::project::solve;

/// Published comparisons allow this many.
const SCHEDULES: u64 = 50_000;
const SEED: u64 = 1;

/// Solves all `.rcp` files named.
pub(crate) fn run(arguments: &[String]) -> ExitCode {
    let settings = match Settings::read(arguments) {
        Ok(settings) => settings,
        Err(message) => return refuse(&message),
    };
    settings.for_each_file("rcp", |path, text| {
        let problem = read(text)?;
        let (outcome, seconds) = settings.solve(&problem)?;
        let solution = outcome.map_err(|none| none.to_string())?;
        let Solution {
            makespan,
            lower_bound,
            schedules,
            ..
        } = solution;
        println!(
            "{}\t{makespan}\t{lower_bound}\t{schedules}\t{seconds:.3}",
            name(path)
        );
        Ok(())
    })
}

/// Says what is wrong with the command line.
pub(crate) fn refuse(message: &str) -> ExitCode {
    eprintln!("{message}");
    ExitCode::from(2)
}

/// The file's name without its ending.
pub(crate) fn name(path: &Path) -> String {
    path.file_stem()
        .map_or_else(String::new, |stem| stem.to_string_lossy().into_owned())
}

/// What the command line asks for.
#[derive(Debug)]
pub(crate) struct Settings {
    paths: Vec<PathBuf>,
    schedules: Option<u64>,
    seconds: Option<f64>,
}

impl Settings {
    /// Reads paths and the two limits.
    pub(crate) fn read(arguments: &[String]) -> Result<Self, String> {
        let mut settings = Self {
            paths: Vec::new(),
            schedules: None,
            seconds: None,
        };
        let mut rest = arguments.iter();
        while let Some(argument) = rest.next() {
            match argument.as_str() {
                "--schedules" => settings.schedules = Some(number(argument, rest.next())?),
                "--seconds" => settings.seconds = Some(number(argument, rest.next())?),
                path => settings.paths.push(PathBuf::from(path)),
            }
        }
        if settings.paths.is_empty() {
            Err("name a file or a folder of instances".to_owned())
        } else {
            Ok(settings)
        }
    }

    /// Calls `each` for all files with the ending, sorted; the exit code says whether all went well.
    pub(crate) fn for_each_file(
        &self,
        ending: &str,
        mut each: impl FnMut(&Path, &str) -> Result<(), String>,
    ) -> ExitCode {
        let mut code = ExitCode::SUCCESS;
        let mut complain = |path: &Path, message: &str| {
            eprintln!("{}: {message}", path.display());
            code = ExitCode::FAILURE;
        };
        let mut files = Vec::new();
        for path in &self.paths {
            if let Err(error) = collect(path, ending, &mut files) {
                complain(path, &error.to_string());
            }
        }
        files.sort();
        for path in &files {
            let outcome = std::fs::read(path)
                .map_err(|error| error.to_string())
                .and_then(|bytes| each(path, &String::from_utf8_lossy(&bytes)));
            if let Err(message) = outcome {
                complain(path, &message);
            }
        }
        code
    }

    /// Solves within the limits and checks the plan; gives the seconds it took, too.
    ///
    /// A limit in seconds alone leaves the schedules free.
    pub(crate) fn solve(
        &self,
        problem: &Problem,
    ) -> Result<(Result<Solution, NoPlan>, f64), String> {
        let begun = Instant::now();
        let limit = self
            .seconds
            .and_then(|seconds| Duration::try_from_secs_f64(seconds).ok());
        let free = if limit.is_some() { u64::MAX } else { SCHEDULES };
        let effort = Effort {
            schedules: self.schedules.unwrap_or(free),
            seed: SEED,
        };
        let outcome = solve(problem, &effort, &mut || {
            limit.is_some_and(|limit| begun.elapsed() >= limit)
        });
        let seconds = begun.elapsed().as_secs_f64();
        if let Some(broken) = outcome
            .as_ref()
            .ok()
            .and_then(|solution| broken_rule(problem, &solution.starts))
        {
            return Err(format!("the plan found breaks a rule: {broken}"));
        }
        Ok((outcome, seconds))
    }
}

fn number<T: std::str::FromStr>(option: &str, text: Option<&String>) -> Result<T, String> {
    let text = text.ok_or_else(|| format!("{option} needs a number"))?;
    text.parse()
        .map_err(|_| format!("{option} needs a number, not `{text}`"))
}

fn collect(path: &Path, ending: &str, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    if !std::fs::metadata(path)?.is_dir() {
        files.push(path.to_owned());
        return Ok(());
    }
    for entry in std::fs::read_dir(path)? {
        let inside = entry?.path();
        if inside.is_dir() {
            collect(&inside, ending, files)?;
        } else if inside
            .extension()
            .is_some_and(|own| own.eq_ignore_ascii_case(ending))
        {
            files.push(inside);
        }
    }
    Ok(())
}

/// Patterson format: counts, capacities, then for every activity its duration, demands and successors from 1.
fn read(text: &str) -> Result<Problem, String> {
    let mut numbers = text.split_whitespace().map(str::parse::<i64>);
    let mut next = || {
        numbers
            .next()
            .ok_or("the file ends too early")?
            .map_err(|_| "a word stands for a number")
    };
    let (count, resources) = (next()?, next()?);
    let capacities = (0..resources)
        .map(|_| next())
        .collect::<Result<Vec<i64>, _>>()?;
    let (mut activities, mut lags) = (Vec::new(), Vec::new());
    for activity in 0..count {
        let duration = next()?;
        let demands = (0..resources)
            .map(|_| next())
            .collect::<Result<Vec<i64>, _>>()?;
        activities.push(Activity { duration, demands });
        for _ in 0..next()? {
            let [from, to] = [activity, next()? - 1].map(usize::try_from);
            let (from, to) = (
                from.map_err(|_| "too many activities")?,
                to.map_err(|_| "successors count from 1")?,
            );
            lags.push(Lag {
                from,
                to,
                least: duration,
                most: None,
            });
        }
    }
    Problem::new(capacities, activities, lags).map_err(|error| error.to_string())
}
