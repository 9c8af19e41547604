//! The columns of the tables, with what the template workbook says of each.

use crate::catalog::Adhesive;
use crate::catalog::Give;
use crate::catalog::Paint;

use super::TemplateKind;
use crate::job::RollAlong;

/// A column of a template sheet.
#[derive(Clone, Copy)]
pub(super) struct Column {
    pub(super) heading: &'static str,
    pub(super) meaning: &'static str,
    pub(super) allowed: &'static str,
    /// The example rows' cells, metric and imperial; the first is the example of the explaining sheet too.
    pub(super) metric: &'static [&'static str],
    pub(super) imperial: &'static [&'static str],
    /// The words to choose from.
    pub(super) list: Option<List>,
    /// The width in letters.
    pub(super) width: f64,
}

impl Column {
    /// The example cells in the measures of a template.
    pub(super) const fn cells(&self, kind: TemplateKind) -> &'static [&'static str] {
        match kind {
            TemplateKind::Metric => self.metric,
            TemplateKind::Imperial => self.imperial,
        }
    }
}

/// A list of words to choose from, each a column of the sheet `lists`.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum List {
    Shape,
    OpeningShape,
    Recipe,
    Paint,
    Give,
    Adhesive,
    RollAlong,
    YesNo,
}

impl List {
    pub(super) const ALL: [Self; 8] = [
        Self::Shape,
        Self::OpeningShape,
        Self::Recipe,
        Self::Paint,
        Self::Give,
        Self::Adhesive,
        Self::RollAlong,
        Self::YesNo,
    ];

    /// The heading of its column.
    pub(super) const fn heading(self) -> &'static str {
        match self {
            Self::Shape => "shape",
            Self::OpeningShape => "shape of an opening",
            Self::Recipe => "recipe",
            Self::Paint => "paint",
            Self::Give => "give",
            Self::Adhesive => "adhesive",
            Self::RollAlong => "roll_along",
            Self::YesNo => "yes or no",
        }
    }

    /// Its words.
    pub(super) fn words(self) -> Vec<&'static str> {
        match self {
            Self::Shape => vec!["rectangle", "lunette", "arch", "ellipse", "outline"],
            Self::OpeningShape => vec!["rectangle", "arch", "ellipse"],
            Self::Recipe => crate::job::read::built_in_recipes(),
            Self::Paint => Paint::ALL.iter().map(|word| word.name()).collect(),
            Self::Give => Give::ALL.iter().map(|word| word.name()).collect(),
            Self::Adhesive => Adhesive::ALL.iter().map(|word| word.name()).collect(),
            Self::RollAlong => RollAlong::ALL.iter().map(|word| word.name()).collect(),
            Self::YesNo => vec!["yes", "no"],
        }
    }
}

/// A sheet of the template workbook.
pub(super) struct Sheet {
    pub(super) name: &'static str,
    pub(super) about: &'static str,
    pub(super) columns: &'static [Column],
}

/// Starts a column without examples and choices.
const fn column(
    heading: &'static str,
    meaning: &'static str,
    allowed: &'static str,
    width: f64,
) -> Column {
    Column {
        heading,
        meaning,
        allowed,
        metric: &[],
        imperial: &[],
        list: None,
        width,
    }
}

/// Gives a column the same examples in both measures.
const fn examples(column: &Column, cells: &'static [&'static str]) -> Column {
    Column {
        metric: cells,
        imperial: cells,
        ..*column
    }
}

/// Gives a column its examples in metric and imperial measures.
const fn measured(
    column: &Column,
    metric: &'static [&'static str],
    imperial: &'static [&'static str],
) -> Column {
    Column {
        metric,
        imperial,
        ..*column
    }
}

/// Gives a column a list of words to choose from.
const fn choose(column: &Column, list: List) -> Column {
    Column {
        list: Some(list),
        ..*column
    }
}

pub(super) const LENGTH: &str = "a length: 3.2 m, 320 cm, 3200 mm, 10' 6\", 10 ft 6 1/2 in; a bare number is in the unit of job.toml";

/// The sheets that hold data.
pub(super) const SHEETS: &[Sheet] = &[
    Sheet {
        name: "panels",
        about: "One row a panel. Needed: panel, and width and height (or size).",
        columns: &[
            examples(
                &column(
                    "panel",
                    "The panel's name, as it is written on plans and labels.",
                    "any text, each name once",
                    10.0,
                ),
                &["N1", "N2", "N3"],
            ),
            examples(
                &column(
                    "place",
                    "Where it hangs. Panels of one place share scaffold.",
                    "any text",
                    14.0,
                ),
                &["north wall", "north wall", "north wall"],
            ),
            choose(
                &examples(
                    &column(
                        "shape",
                        "The outline of the canvas. Blank is a rectangle.",
                        "a word of the list; lunette: a circular segment; outline: corners on the sheet outlines",
                        11.0,
                    ),
                    &["rectangle", "arch", "lunette"],
                ),
                List::Shape,
            ),
            measured(
                &column("width", "Width of the whole panel.", LENGTH, 11.0),
                &["3.20 m", "2.40 m", "2.40 m"],
                &["10' 6\"", "8'", "8'"],
            ),
            measured(
                &column("height", "Height of the whole panel.", LENGTH, 11.0),
                &["2.40 m", "2.60 m", "1.10 m"],
                &["7' 10 1/2\"", "8' 6\"", "3' 7\""],
            ),
            column(
                "size",
                "Instead of width and height: both in one text, as a condition report has them.",
                "394 x 419 mm, or 12' 6\" x 8' 2 1/2\"; height first unless job.toml says width-first",
                14.0,
            ),
            measured(
                &column(
                    "spring",
                    "Of an arch only: height of the line from which it curves, above the bottom edge.",
                    LENGTH,
                    9.0,
                ),
                &["", "1.80 m", ""],
                &["", "6'", ""],
            ),
            choose(
                &examples(
                    &column(
                        "recipe",
                        "The treatment. Blank is default_recipe of job.toml.",
                        "a recipe of the list, or of a file in the folder recipes",
                        18.0,
                    ),
                    &["", "", "supple-paste"],
                ),
                List::Recipe,
            ),
            examples(
                &column(
                    "count",
                    "How many identical panels there are. Blank is 1.",
                    "a whole number",
                    7.0,
                ),
                &["1", "1", "2"],
            ),
            choose(
                &examples(
                    &column(
                        "paint",
                        "The state of the paint. Blank is sound.",
                        "a word of the list",
                        11.0,
                    ),
                    &["sound", "sound", "cupped"],
                ),
                List::Paint,
            ),
            choose(
                &examples(
                    &column(
                        "give",
                        "How much bending the paint takes. Blank is stiff; none may not be rolled at all.",
                        "a word of the list",
                        9.0,
                    ),
                    &["supple", "stiff", "stiff"],
                ),
                List::Give,
            ),
            choose(
                &examples(
                    &column(
                        "adhesive",
                        "What holds the canvas to the wall. Blank is paste.",
                        "a word of the list",
                        10.0,
                    ),
                    &["paste", "paste", "glue"],
                ),
                List::Adhesive,
            ),
            column(
                "release_rate",
                "From a test patch: what one person releases in an hour. It goes before the recipe's.",
                "an area an hour: 0.8 m2/h, 9 ft2/h",
                12.0,
            ),
            column(
                "thickness",
                "Canvas, ground, paint and residue together, if measured.",
                "a length: 2 mm, 5/64 in",
                10.0,
            ),
            column(
                "mass",
                "Mass of an area of the painting, if measured.",
                "a mass an area: 2100 g/m2, 62 oz/yd2",
                10.0,
            ),
            column(
                "paint_thickness",
                "Thickness of the paint layer, if measured. Blank is the catalogue's.",
                "a length: 0.2 mm",
                11.0,
            ),
            column(
                "paint_modulus",
                "How stiff the paint is, if measured. Blank is the catalogue's.",
                "a modulus: 300 MPa, 1.8 GPa",
                11.0,
            ),
            column(
                "canvas_modulus",
                "How stiff the canvas is on its thickness, if measured. Blank is the catalogue's.",
                "a modulus: 100 MPa",
                11.0,
            ),
            measured(
                &column(
                    "height_above_floor",
                    "From the floor to the panel's bottom edge. Blank is 0.",
                    LENGTH,
                    18.0,
                ),
                &["0.90 m", "0", "2.80 m"],
                &["3'", "0", "9' 2\""],
            ),
            choose(
                &column(
                    "roll_along",
                    "Which side is wound up. Blank is auto: whichever suits the drum.",
                    "a word of the list",
                    11.0,
                ),
                List::RollAlong,
            ),
            measured(
                &column(
                    "seams",
                    "The canvas's own upright seams, from the left edge.",
                    "lengths with semicolons between: 1.1 m; 2.2 m",
                    14.0,
                ),
                &["1.60 m", "", ""],
                &["5' 3\"", "", ""],
            ),
            column(
                "destination",
                "Where it goes afterwards. Panels for one destination share drums and crates.",
                "any text",
                14.0,
            ),
            column(
                "return_date",
                "The day it is needed there. Panels of one day share drums.",
                "a day: 2027-05-03",
                12.0,
            ),
            column(
                "return_order",
                "Its turn there: 1 is needed first. It is rolled last of its drum and comes off first.",
                "a whole number",
                9.0,
            ),
            choose(
                &column(
                    "mould",
                    "Mould has been seen. Blank is no.",
                    "yes or no",
                    7.0,
                ),
                List::YesNo,
            ),
            choose(
                &column(
                    "lead",
                    "Lead is known or suspected. Blank is no, but yes with the adhesive oil-lead.",
                    "yes or no",
                    7.0,
                ),
                List::YesNo,
            ),
            examples(
                &column("notes", "Anything else.", "any text", 24.0),
                &["", "above the side door", "a pair, left and right"],
            ),
        ],
    },
    Sheet {
        name: "openings",
        about: "One row a door, window or vent within a panel. May stay empty.",
        columns: &[
            examples(
                &column(
                    "panel",
                    "The panel it is in, as named on the sheet panels.",
                    "a panel's name",
                    10.0,
                ),
                &["N1"],
            ),
            choose(
                &examples(
                    &column(
                        "shape",
                        "Its outline. Blank is a rectangle.",
                        "a word of the list",
                        11.0,
                    ),
                    &["rectangle"],
                ),
                List::OpeningShape,
            ),
            measured(
                &column(
                    "left",
                    "From the panel's left edge to the opening's.",
                    LENGTH,
                    11.0,
                ),
                &["0.40 m"],
                &["1' 4\""],
            ),
            measured(
                &column(
                    "bottom",
                    "From the panel's bottom edge to the opening's.",
                    LENGTH,
                    11.0,
                ),
                &["0"],
                &["0"],
            ),
            measured(
                &column("width", "Width of the opening.", LENGTH, 11.0),
                &["0.60 m"],
                &["2'"],
            ),
            measured(
                &column("height", "Height of the opening.", LENGTH, 11.0),
                &["0.50 m"],
                &["1' 8\""],
            ),
            column(
                "spring",
                "Of an arch only: height of the line from which it curves, above the opening's bottom.",
                LENGTH,
                11.0,
            ),
        ],
    },
    Sheet {
        name: "outlines",
        about: "One row a corner of a panel whose shape is outline, in order around it. May stay empty.",
        columns: &[
            column(
                "panel",
                "The panel, as named on the sheet panels.",
                "a panel's name",
                10.0,
            ),
            column(
                "x",
                "From the panel's leftmost point to the corner.",
                LENGTH,
                11.0,
            ),
            column(
                "y",
                "From the panel's lowest point up to the corner.",
                LENGTH,
                11.0,
            ),
        ],
    },
    Sheet {
        name: "stock",
        about: "One row a material that is on the shelf already. May stay empty.",
        columns: &[
            column(
                "material",
                "The material's id in the catalogue.",
                "an id of materials.csv",
                18.0,
            ),
            column(
                "quantity",
                "How much there is.",
                "a number, with its unit or without",
                11.0,
            ),
            column(
                "unit",
                "The unit it is counted in, to be sure.",
                "sheet, roll, g, ml or each; kg and l are converted",
                9.0,
            ),
            column(
                "width",
                "Of a part sheet or roll end: its size along the width of a whole one. Empty for whole ones.",
                LENGTH,
                11.0,
            ),
            column(
                "length",
                "Of a part sheet or roll end: its size along the length of a whole one. Empty for whole ones.",
                LENGTH,
                11.0,
            ),
            column(
                "received",
                "The day it came, if it does not keep.",
                "a date, or empty",
                12.0,
            ),
            column("notes", "Anything else.", "any text", 24.0),
        ],
    },
    Sheet {
        name: "orders",
        about: "One row a material that is ordered already. May stay empty.",
        columns: &[
            column(
                "material",
                "The material's id in the catalogue.",
                "an id of materials.csv",
                18.0,
            ),
            column(
                "quantity",
                "How much is ordered.",
                "a number, with its unit or without",
                11.0,
            ),
            column(
                "unit",
                "The unit it is counted in, to be sure.",
                "sheet, roll, g, ml or each; kg and l are converted",
                9.0,
            ),
            column("supplier", "From whom.", "any text", 18.0),
            column("ordered", "The day it was ordered.", "a date", 12.0),
            column(
                "promised",
                "The day for which it is promised.",
                "a date",
                12.0,
            ),
            column(
                "received",
                "The day it came; from then on it counts as on the shelf. Delete the row once it is counted in stock.",
                "a date, or empty",
                12.0,
            ),
            column("notes", "Anything else.", "any text", 24.0),
        ],
    },
    Sheet {
        name: "progress",
        about: "One row a step that is done or begun, once the work goes on; `today` in job.toml or --today says what day it is. May stay \
                empty.",
        columns: &[
            column(
                "panel",
                "The panel, or the crate for packing it. One of several alike is named as in the schedule.",
                "a panel's or crate's name, such as N1, C4/1 or K1",
                10.0,
            ),
            column(
                "step",
                "The step's id in the recipe.",
                "such as marks or tissue",
                14.0,
            ),
            column(
                "done",
                "How much of it is done. Blank is all.",
                "yes, no or a percentage",
                9.0,
            ),
            column(
                "finished",
                "The day it was finished, from which drying counts. Blank is just now.",
                "a day, such as 2026-12-04",
                13.0,
            ),
            column(
                "at",
                "The time of that day. Blank is the end of the day's hours.",
                "such as 15:30",
                8.0,
            ),
            column(
                "actual hours",
                "What it really took, of all people together; gives the rates of the next job.",
                "person-hours",
                11.0,
            ),
            column(
                "actual solution",
                "The solution that it really used.",
                "grams, or with a unit such as 1.2 kg",
                13.0,
            ),
            column("notes", "Anything else.", "any text", 24.0),
        ],
    },
    Sheet {
        name: "lines",
        about: "One row a cost of your own that is not worked out here. May stay empty.",
        columns: &[
            column("text", "What it is.", "any text", 30.0),
            column(
                "group",
                "The group of cost it is listed in; any other word goes to the other costs.",
                "materials, freight, labour, equipment, drums, crates, disposal, travel, lodging, tests, others, other",
                12.0,
            ),
            column("quantity", "How many. Blank is 1.", "a number", 10.0),
            column(
                "unit",
                "What is counted. Blank is what it is paid per.",
                "any text",
                10.0,
            ),
            column(
                "rate",
                "What one costs, in the job's currency.",
                "an amount: 38.00",
                10.0,
            ),
            column(
                "per",
                "Paid once, for each day on which somebody works at the site, or for each such day of each person. Blank is once.",
                "job, site-day or person-day",
                12.0,
            ),
            column("notes", "Anything else.", "any text", 24.0),
        ],
    },
];
