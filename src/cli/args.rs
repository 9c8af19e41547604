//! What may be typed: the definitions from which help, completions and the man page are made.

use std::path::PathBuf;

use clap::Args;
use clap::Parser;
use clap::Subcommand;
use clap_complete::Shell;
use jiff::civil::Date;

use crate::job::Effort;

/// Plan the removal of mural paintings on canvas: what to buy, which drums, who does what when, what it costs
#[derive(Debug, Parser)]
#[command(name = "facelay", version, max_term_width = 80, after_help = EXAMPLES)]
pub(super) struct Arguments {
    /// Say nothing but problems: no progress, no summary
    #[arg(short, long, global = true)]
    pub(super) quiet: bool,
    #[command(subcommand)]
    pub(super) command: Command,
}

const EXAMPLES: &str = "Examples:
  facelay new my-hall                      start a folder with templates
  facelay plan my-hall --out my-hall/out   plan it and write the workbooks

Exit codes: 0 done, 1 the job has errors, 2 bad usage.
Every figure of vapour, fire, load and strain is an estimate: local rules and
competent people decide.";

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Start a job folder with filled-in templates; nothing is overwritten
    #[command(
        after_help = "Examples:\n  facelay new my-hall\n  facelay new my-ceiling --like ceiling --inches"
    )]
    New(New),
    /// Show every problem of a job, each with its place and remedy
    #[command(after_help = "Example:\n  facelay check my-hall")]
    Check(Check),
    /// Plan a job and write workbooks, plan.json and CSV files
    #[command(
        after_help = "Examples:\n  facelay plan my-hall --out my-hall/out\n  facelay plan my-hall --out week-2 --progress my-hall/out/labour-schedule.xlsx"
    )]
    Plan(Plan),
    /// Show panels, layers, stock and solutions
    #[command(after_help = "Example:\n  facelay quantities my-hall --panel N1")]
    Quantities(Quantities),
    /// Show drums, how each painting bends, crates and ways out
    #[command(after_help = "Example:\n  facelay drums my-hall --panel N1")]
    Drums(Drums),
    /// Show who does what on which day
    #[command(
        after_help = "Examples:\n  facelay days my-hall\n  facelay days my-hall --person \"conservator 2\"\n  facelay days my-hall --what-if saturday person=conservator"
    )]
    Days(Days),
    /// Show orders, packs and suppliers
    #[command(after_help = "Example:\n  facelay buy my-hall --today 2026-11-25 --csv > list.csv")]
    Buy(Buy),
    /// Show cost lines, the price and its odds
    #[command(after_help = "Example:\n  facelay bid my-hall")]
    Bid(Bid),
    /// Show the job's cases side by side, and its price over removal factors
    #[command(after_help = "Example:\n  facelay compare my-hall")]
    Compare(Tables),
    /// Show how a figure came about
    #[command(after_help = "Example:\n  facelay why my-hall drum/D1")]
    Why(Why),
    /// Show the plan as a page to try changes on, in a browser on this computer
    #[command(after_help = "Example:\n  facelay view my-hall")]
    View(View),
    /// Print shell completions
    #[command(after_help = "Example:\n  facelay completions bash > facelay.bash")]
    Completions(Completions),
    /// Print a man page, or the page on every column and key
    #[command(
        after_help = "Examples:\n  facelay manual > facelay.1\n  facelay manual plan > facelay-plan.1\n  facelay manual inputs > inputs.md"
    )]
    Manual(Manual),
}

/// What people wrote into workbooks.
#[derive(Debug, Default, Args)]
pub(super) struct Given {
    /// Read back what was written into this purchase list or labour schedule (XLSX or ODS), or into a CSV file with the columns of progress, orders or stock; may be given several times
    #[arg(long, value_name = "FILE")]
    pub(super) progress: Vec<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct New {
    /// Folder to start; made if need be
    #[arg(value_name = "DIR")]
    pub(super) folder: PathBuf,
    /// Start in feet and inches, dollars and Letter paper
    #[arg(long)]
    pub(super) inches: bool,
    /// Start from this invented scene; each plans as it stands
    #[arg(long, value_name = "SCENE", value_parser = ["mural", "ceiling", "three-panels"])]
    pub(super) like: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Check {
    /// Job folder, with job.toml in it
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Print the problems as JSON
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) given: Given,
}

#[derive(Debug, Args)]
pub(super) struct Plan {
    /// Job folder, with job.toml in it
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Folder to write to; made if need be
    #[arg(long, value_name = "DIR")]
    pub(super) out: PathBuf,
    /// Overwrite files that somebody made or edited since
    #[arg(long)]
    pub(super) replace: bool,
    /// Plan the rest from this day on; the table `progress` says what is done
    #[arg(long, value_name = "DATE")]
    pub(super) today: Option<Date>,
    #[command(flatten)]
    pub(super) given: Given,
    #[command(flatten)]
    pub(super) search: Search,
}

/// How long a shorter schedule is looked for.
#[derive(Clone, Copy, Debug, Args)]
pub(super) struct Search {
    /// Look for a shorter schedule: quick, usual, thorough, or how many schedules to try
    #[arg(long, value_name = "EFFORT", default_value = "usual", value_parser = effort)]
    pub(super) effort: Effort,
    /// Look for so many seconds instead; another run may then find another schedule
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    pub(super) seconds: Option<f64>,
}

fn effort(text: &str) -> Result<Effort, String> {
    match text.trim().to_lowercase().as_str() {
        "quick" => Ok(Effort::Quick),
        "usual" => Ok(Effort::Usual),
        "thorough" => Ok(Effort::Thorough),
        number => match number.parse() {
            Ok(count @ 1..) => Ok(Effort::Schedules(count)),
            _ => Err("write quick, usual, thorough, or a number of schedules such as 5000".into()),
        },
    }
}

/// More than a week is no longer waiting for an answer.
const MOST_SECONDS: f64 = 7.0 * 24.0 * 3600.0;

fn seconds(text: &str) -> Result<f64, String> {
    let seconds = text.trim().parse::<f64>().ok();
    seconds
        .filter(|seconds| (0.0..=MOST_SECONDS).contains(seconds))
        .ok_or_else(|| "write a number of seconds from 0 to 604800, such as 60".into())
}

#[derive(Debug, Args)]
pub(super) struct Tables {
    /// Job folder, with job.toml in it
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Print JSON
    #[arg(long, conflicts_with = "csv")]
    pub(super) json: bool,
    /// Print CSV; an empty line stands between two tables
    #[arg(long)]
    pub(super) csv: bool,
}

#[derive(Debug, Args)]
pub(super) struct Days {
    #[command(flatten)]
    pub(super) tables: Tables,
    #[command(flatten)]
    pub(super) given: Given,
    /// Show this person's days; the name of a row shows all its people
    #[arg(long, value_name = "NAME", conflicts_with_all = ["panel", "air", "what_if"])]
    pub(super) person: Option<String>,
    /// Show what happens to this panel or crate, and why then
    #[arg(long, value_name = "PANEL", conflicts_with_all = ["air", "what_if"])]
    pub(super) panel: Option<String>,
    /// Show vapour and fire by day: estimates to plan by, never a reason not to measure
    #[arg(long, conflicts_with = "what_if")]
    pub(super) air: bool,
    /// Plan again with each change: person=NAME, equipment=NAME, hours=1, saturday, recipe=ID; without any, the usual ones
    #[arg(long, value_name = "CHANGE", num_args = 0..)]
    pub(super) what_if: Option<Vec<String>>,
    /// Plan the rest from this day on; the table `progress` says what is done
    #[arg(long, value_name = "DATE")]
    pub(super) today: Option<Date>,
    #[command(flatten)]
    pub(super) search: Search,
}

#[derive(Debug, Args)]
pub(super) struct Buy {
    #[command(flatten)]
    pub(super) tables: Tables,
    #[command(flatten)]
    pub(super) given: Given,
    /// Order from this day on instead of the job's `order_day`
    #[arg(long, value_name = "DATE")]
    pub(super) today: Option<Date>,
}

#[derive(Debug, Args)]
pub(super) struct Drums {
    #[command(flatten)]
    pub(super) tables: Tables,
    /// Show why this panel needs its drum, and what would allow a smaller one
    #[arg(long, value_name = "PANEL")]
    pub(super) panel: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Quantities {
    #[command(flatten)]
    pub(super) tables: Tables,
    /// Show this panel only
    #[arg(long, value_name = "PANEL")]
    pub(super) panel: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Bid {
    #[command(flatten)]
    pub(super) tables: Tables,
    #[command(flatten)]
    pub(super) given: Given,
    /// Price this case of job.toml instead of the job as it stands
    #[arg(long, value_name = "NAME")]
    pub(super) case: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Why {
    /// Job folder, with job.toml in it
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Figure, material, panel, drum, crate or cost line, e.g. tissue-12 or bid/L001
    #[arg(value_name = "WHAT")]
    pub(super) what: String,
    /// Print JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct View {
    /// Job folder, with job.toml in it
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Port to listen on; the next free one if it is in use, any with 0
    #[arg(long, value_name = "N", default_value_t = 7310)]
    pub(super) port: u16,
}

#[derive(Debug, Args)]
pub(super) struct Completions {
    /// Shell to complete in
    #[arg(value_name = "SHELL")]
    pub(super) shell: Shell,
}

#[derive(Debug, Args)]
pub(super) struct Manual {
    /// A command, for its man page, or `inputs`: everything that a job may say
    #[arg(value_name = "PAGE")]
    pub(super) page: Option<String>,
}
