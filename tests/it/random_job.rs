//! Random small jobs as data, so that the same job can be written in another unit, in another order, or with one thing changed.
//!
//! Every length is a whole number of inches, which is exact in millimetres too. Used by the fuzzer as well, whose bytes are the dice.

use std::collections::BTreeMap;
use std::fmt::Write;

/// The files of a job by name.
pub type Files = BTreeMap<String, Vec<u8>>;

/// A job that can be planned, as a rule.
#[derive(Clone, Debug)]
pub struct RandomJob {
    /// Its panels.
    pub panels: Vec<RandomPanel>,
    /// Temperature at the site in °C.
    pub celsius: u32,
    /// Relative humidity in percent.
    pub humidity: u32,
    /// Conservators.
    pub people: u32,
    /// Scaffold towers.
    pub towers: u32,
    /// What is written behind the rest of job.toml.
    pub more: String,
}

/// One row of panels; lengths in inches.
#[derive(Clone, Debug)]
pub struct RandomPanel {
    /// Its name.
    pub name: String,
    /// Its shape.
    pub shape: &'static str,
    /// Width.
    pub width: u32,
    /// Height.
    pub height: u32,
    /// Springing line of an arch.
    pub spring: Option<u32>,
    /// Its recipe.
    pub recipe: &'static str,
    /// How many alike.
    pub count: u32,
    /// Paint, give and adhesive.
    pub state: [&'static str; 3],
    /// A door: left, bottom, width, height.
    pub door: Option<[u32; 4]>,
}

/// How a job is written down.
#[derive(Clone, Copy, Debug, Default)]
pub struct Writing {
    /// In inches instead of millimetres.
    pub inches: bool,
    /// Rows from the last to the first.
    pub rows_backwards: bool,
    /// Columns from the last to the first.
    pub columns_backwards: bool,
}

const RECIPES: [&str; 4] = ["supple-paste", "stiff-glue", "water-based", "brittle-lead"];
const PAINTS: [&str; 4] = ["sound", "cupped", "flaking", "powdering"];
const GIVES: [&str; 4] = ["supple", "stiff", "brittle", "none"];
const ADHESIVES: [&str; 5] = ["paste", "glue", "resin", "contact", "oil-lead"];

fn one_of<const N: usize>(
    words: [&'static str; N],
    dice: &mut dyn FnMut(u32) -> u32,
) -> &'static str {
    words[dice(u32::try_from(N).unwrap_or(1)) as usize % N]
}

impl RandomJob {
    /// Throws a job of one to three panels; `dice(n)` gives a number below n.
    pub fn of(dice: &mut dyn FnMut(u32) -> u32) -> Self {
        let number = 1 + dice(3);
        Self {
            panels: (1..=number).map(|at| RandomPanel::of(at, dice)).collect(),
            celsius: 8 + dice(18),
            humidity: 30 + dice(55),
            people: 3 + dice(3),
            towers: 2 + dice(3),
            more: String::new(),
        }
    }

    /// Writes the job's files.
    pub fn files(&self, writing: Writing) -> Files {
        let settings = self.settings(writing);
        let length = |inches: u32| {
            if writing.inches {
                inches.to_string()
            } else {
                // A tenth of a millimetre more than enough: an inch is 25.4 mm exactly.
                format!("{}.{}", inches * 254 / 10, inches * 254 % 10)
            }
        };
        let mut rows: Vec<Vec<String>> = self
            .panels
            .iter()
            .map(|panel| panel.cells(&length))
            .collect();
        let doors = |panel: &RandomPanel| {
            let [left, bottom, width, height] = panel.door?.map(length);
            Some(vec![panel.name.clone(), left, bottom, width, height])
        };
        let mut openings: Vec<Vec<String>> = self.panels.iter().filter_map(doors).collect();
        if writing.rows_backwards {
            rows.reverse();
            openings.reverse();
        }
        let mut files = BTreeMap::from([
            ("job.toml".to_owned(), settings.into_bytes()),
            (
                "panels.csv".to_owned(),
                table(PANEL_HEADINGS, rows, writing),
            ),
        ]);
        if !openings.is_empty() {
            files.insert(
                "openings.csv".to_owned(),
                table(OPENING_HEADINGS, openings, writing),
            );
        }
        files
    }

    fn settings(&self, writing: Writing) -> String {
        let unit = if writing.inches { "in" } else { "mm" };
        let Self {
            celsius,
            humidity,
            people,
            towers,
            more,
            ..
        } = self;
        format!(
            r#"title = "Random job"
currency = "EUR"
unit = "{unit}"
paper = "a4"
first_day = 2027-01-11
order_day = 2026-11-25

[[place]]
role = "site"
name = "Hall"
hours = {{ mon-fri = ["08:00-12:00", "13:00-17:00"] }}
temperature = "{celsius} °C"
humidity = "{humidity} %"
room_volume = "2000 m3"
fresh_air = "6000 m3/h"
[[place.way_out]]
name = "door"
kind = "door"
width = "1600 mm"
height = "2400 mm"

[[place]]
role = "studio"
name = "Studio"
hours = {{ mon-fri = ["08:30-17:00"] }}
temperature = "20 °C"
humidity = "50 %"

[[person]]
name = "conservator"
count = {people}
skills = ["conservator", "assistant"]
cost = "34.00"
charge = "58.00"

[[person]]
name = "carpenter"
skills = ["carpenter"]
cost = "30.00"
charge = "50.00"

[[equipment]]
name = "scaffold tower"
count = {towers}
hire_day = "38.00"

[[equipment]]
name = "take-up track"

[[equipment]]
name = "extraction unit"

[[equipment]]
name = "studio extraction"

[terms]
contingency = "10 %"
overhead = "12 %"
markup = "8 %"
tax = "19 %"
{more}"#
        )
    }
}

const PANEL_HEADINGS: &[&str] = &[
    "panel", "place", "shape", "width", "height", "spring", "recipe", "count", "paint", "give",
    "adhesive",
];
const OPENING_HEADINGS: &[&str] = &["panel", "left", "bottom", "width", "height"];

fn table(headings: &[&str], mut rows: Vec<Vec<String>>, writing: Writing) -> Vec<u8> {
    rows.insert(
        0,
        headings
            .iter()
            .map(|heading| (*heading).to_owned())
            .collect(),
    );
    let mut text = String::new();
    for mut row in rows {
        if writing.columns_backwards {
            row.reverse();
        }
        text += &row.join(",");
        text.push('\n');
    }
    text.into_bytes()
}

impl RandomPanel {
    fn of(number: u32, dice: &mut dyn FnMut(u32) -> u32) -> Self {
        let shape = one_of(
            ["rectangle", "rectangle", "lunette", "arch", "ellipse"],
            dice,
        );
        let width = 28 + dice(90);
        let (height, spring) = match shape {
            "lunette" => (12 + dice(width / 2 - 12), None),
            "arch" => {
                let spring = 16 + dice(40);
                (spring + width / 4 + dice(width / 4), Some(spring))
            }
            _ => (24 + dice(70), None),
        };
        let door = (shape == "rectangle" && width > 64 && height > 50 && dice(2) == 1).then(|| {
            [
                8 + dice(20),
                dice(2) * 10,
                10 + dice(width / 2 - 30),
                16 + dice(height - 40),
            ]
        });
        Self {
            name: format!("P{number}"),
            shape,
            width,
            height,
            spring,
            recipe: one_of(RECIPES, dice),
            count: 1 + dice(2),
            state: [
                one_of(PAINTS, dice),
                one_of(GIVES, dice),
                one_of(ADHESIVES, dice),
            ],
            door,
        }
    }

    fn cells(&self, length: &dyn Fn(u32) -> String) -> Vec<String> {
        let [paint, give, adhesive] = self.state;
        let mut place = String::new();
        // Half of the panels hang on one wall, half on another.
        write!(place, "wall {}", self.width % 2).ok();
        vec![
            self.name.clone(),
            place,
            self.shape.to_owned(),
            length(self.width),
            length(self.height),
            self.spring.map(length).unwrap_or_default(),
            self.recipe.to_owned(),
            self.count.to_string(),
            paint.to_owned(),
            give.to_owned(),
            adhesive.to_owned(),
        ]
    }
}
