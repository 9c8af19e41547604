//! The keys of job.toml, with what the guide says of each; a test asks the reader whether these are all.

/// A table of job.toml.
pub(super) struct Group {
    /// Its line in the file; empty for the keys above the first table.
    pub(super) table: &'static str,
    pub(super) about: &'static str,
    pub(super) keys: &'static [Key],
}

/// A key: its name, what it means (and what it is without), and how it is written.
pub(super) type Key = (&'static str, &'static str, &'static str);

/// The tables, in the order in which the template has them.
pub(super) const GROUPS: &[Group] = &[
    Group {
        table: "",
        about: "At the top, above the first table. Needed: `title`, `currency`, `unit`, `first_day`.",
        keys: &[
            (
                "title",
                "What the job is called on every sheet.",
                "`\"Assembly hall\"`",
            ),
            (
                "currency",
                "The currency of every price: a code or a sign.",
                "`\"EUR\"`",
            ),
            (
                "unit",
                "What a length without a unit means.",
                "`\"mm\"`, `\"cm\"`, `\"m\"`, `\"in\"` or `\"ft\"`",
            ),
            (
                "decimal",
                "How decimals are written. Without it: point.",
                "`\"point\"` or `\"comma\"`",
            ),
            (
                "size_order",
                "Which number of a text such as 2134 x 3658 mm comes first. Without it: height.",
                "`\"height-first\"` or `\"width-first\"`",
            ),
            (
                "locale",
                "How the country of the job writes: decimal mark, paper and currency unless they are named, and days and decimals in tables, workbooks and cut sheets. CSV and JSON stay the same.",
                "`\"de-DE\"`, `\"en-GB\"`, `\"en-US\"`, `\"fr-FR\"` …",
            ),
            (
                "paper",
                "What is printed on. Without it: Letter where the unit is in or ft, else A4.",
                "`\"a4\"` or `\"letter\"`",
            ),
            ("first_day", "The first working day.", "`2027-01-11`"),
            (
                "hand_over",
                "The wall must be clear by the end of this day. Without it nothing is late.",
                "`2027-03-12`",
            ),
            (
                "order_day",
                "The day on which the first orders are sent. Without it: the first working day.",
                "`2026-11-25`",
            ),
            (
                "default_recipe",
                "The treatment of panels whose row names none.",
                "`\"supple-paste\"`",
            ),
            (
                "today",
                "Once the work goes on: the rest is planned from this day. Without it: the day after the last one finished.",
                "`2027-02-01`",
            ),
            (
                "useful_offcut",
                "A left-over with a shorter side than this is waste; longer ones are listed for next time. Without it: 150 mm.",
                "`\"150 mm\"`",
            ),
            (
                "place",
                "The site and the studio: see `[[place]]`.",
                "a table",
            ),
            ("person", "Who works: see `[[person]]`.", "a table"),
            (
                "equipment",
                "What steps hold while they last: see `[[equipment]]`.",
                "a table",
            ),
            (
                "hold",
                "Activities with a day of their own: see `[[hold]]`.",
                "a table",
            ),
            (
                "bay",
                "Panels reached from one standing of a tower: see `[[bay]]`.",
                "a table",
            ),
            (
                "terms",
                "What is added to the cost: see `[terms]`.",
                "a table",
            ),
            ("purchase", "How the job buys: see `[purchase]`.", "a table"),
            (
                "case",
                "The same job with something otherwise: see `[[case]]`.",
                "a table",
            ),
            (
                "odds",
                "How far off the figures may be: see `[odds]`.",
                "a table",
            ),
            (
                "drum",
                "What differs from the usual drum: see `[drum]`.",
                "a table",
            ),
            (
                "crate",
                "What differs from the usual crate: see `[crate]`.",
                "a table",
            ),
            (
                "tables",
                "Files whose names are not the usual ones: see `[tables]`.",
                "a table",
            ),
        ],
    },
    Group {
        table: "[[place]]",
        about: "One for the site, and one for the studio if steps of a recipe are done there. Needed: `role`, `name`, `hours`, \
                `temperature`, `humidity`.",
        keys: &[
            (
                "role",
                "The site is where the wall is; the studio is elsewhere.",
                "`\"site\"` or `\"studio\"`",
            ),
            ("name", "What day sheets call it.", "`\"Assembly hall\"`"),
            (
                "hours",
                "Working hours by weekday; a day without hours is free.",
                "`{ mon-fri = [\"08:00-12:00\", \"13:00-17:00\"] }`",
            ),
            (
                "closed",
                "Days without work: single ones, or from..to.",
                "`[2027-03-26, \"2026-12-24..2027-01-03\"]`",
            ),
            (
                "temperature",
                "Of the room while the work goes on: it decides how long drying takes.",
                "`\"17 °C\"`",
            ),
            (
                "humidity",
                "Relative humidity of the room, likewise.",
                "`\"55 %\"`",
            ),
            (
                "room_volume",
                "Of the room, for the estimate of vapour.",
                "`\"900 m3\"`, `\"14000 ft3\"`",
            ),
            (
                "fresh_air",
                "What comes in by ventilation. Without it no limit on vapour is worked out.",
                "`\"1800 m3/h\"`, `\"900 cfm\"`",
            ),
            (
                "flammable_limit",
                "The most flammable liquid that may be kept there: deliveries are staged. Without it none is.",
                "`\"50 l\"`, `\"5 US gal\"`",
            ),
            (
                "drying_factor",
                "How many times longer than the recipe says drying takes here, besides the climate. Without it: 1.",
                "`1.5`",
            ),
            (
                "travel_days",
                "Whole days on the road to the other place. Nobody works at both on one day. Without it: 0.",
                "`1`",
            ),
            (
                "daylight",
                "Hours of daylight, for steps with `when = \"daylight\"`.",
                "`\"08:30-16:00\"`",
            ),
            (
                "cool",
                "The cool hours, for steps with `when = \"cool\"`.",
                "`\"07:00-11:00\"`",
            ),
            (
                "lifts",
                "Heights above the floor where one lift of the scaffold ends: no sheet crosses them.",
                "`[\"2.0 m\", \"4.0 m\"]`",
            ),
            (
                "lift_reach",
                "How far past such a height hands still reach. Without it: 300 mm.",
                "`\"300 mm\"`",
            ),
            (
                "way_out",
                "What a crate has to pass: see `[[place.way_out]]`.",
                "a table",
            ),
        ],
    },
    Group {
        table: "[[place.way_out]]",
        about: "Each thing that a crate has to pass on its way out, in any order. Needed: `name`, `kind` and the kind's measures.",
        keys: &[
            ("name", "What it is called.", "`\"west door\"`"),
            (
                "kind",
                "A corner is where two corridors meet.",
                "`\"door\"`, `\"corner\"`, `\"lift\"` or `\"vehicle\"`",
            ),
            (
                "width",
                "Of a door, lift car or vehicle: clear width.",
                "`\"1.60 m\"`",
            ),
            ("height", "Of all of them: clear height.", "`\"2.40 m\"`"),
            (
                "first",
                "Of a corner: width of the corridor from which the crate comes.",
                "`\"2.20 m\"`",
            ),
            (
                "second",
                "Of a corner: width of the corridor into which it turns.",
                "`\"2.60 m\"`",
            ),
            ("depth", "Of a lift car.", "`\"2.10 m\"`"),
            ("length", "Of a vehicle: inside.", "`\"6.10 m\"`"),
        ],
    },
    Group {
        table: "[[person]]",
        about: "One for each person, or for several of one kind. Needed: `name`, `skills`, `cost`, `charge`.",
        keys: &[
            ("name", "A name or a role.", "`\"conservator\"`"),
            ("count", "How many of them there are. Without it: 1.", "`3`"),
            (
                "skills",
                "What they may do, as the steps of the recipe ask for it.",
                "`[\"conservator\", \"assistant\"]`",
            ),
            ("cost", "What an hour costs.", "`\"38.00\"`"),
            ("charge", "What an hour is charged at.", "`\"62.00\"`"),
            (
                "away",
                "Days on which they are not there.",
                "`[2026-12-07, \"2027-02-15..2027-02-16\"]`",
            ),
        ],
    },
    Group {
        table: "[[equipment]]",
        about: "What the steps of a recipe hold while they last. Needed: `name`.",
        keys: &[
            (
                "name",
                "The name that the recipe uses.",
                "`\"scaffold tower\"`",
            ),
            ("count", "How many there are. Without it: 1.", "`2`"),
            (
                "moving",
                "How long it takes to move one to another panel and set it up. Without it: no time.",
                "`\"20 min\"`",
            ),
            (
                "hire_day",
                "Hire of one a day. Without it: owned.",
                "`\"35.00\"`",
            ),
            (
                "hire_week",
                "Hire of one a week, if that is cheaper.",
                "`\"140.00\"`",
            ),
        ],
    },
    Group {
        table: "[[hold]]",
        about: "An activity with a day of its own. Needed: `activity` and at least one of `day`, `earliest`, `latest`.",
        keys: &[
            (
                "activity",
                "Panel and step, or crate and step, as `facelay days JOB` names them.",
                "`\"N1/release\"`",
            ),
            ("day", "The day it starts.", "`2026-12-14`"),
            ("time", "And the time, if that matters.", "`\"09:00\"`"),
            ("earliest", "Not to start before this day.", "`2026-12-14`"),
            (
                "latest",
                "To be done by the end of this day.",
                "`2026-12-18`",
            ),
        ],
    },
    Group {
        table: "[[bay]]",
        about: "Panels that are reached from one standing of a tower: one of them at a time is worked at. All three keys are needed.",
        keys: &[
            ("name", "What the bay is called.", "`\"north, left\"`"),
            (
                "tower",
                "The equipment that stands there.",
                "`\"scaffold tower\"`",
            ),
            (
                "panels",
                "The panels, each in one bay only.",
                "`[\"N1\", \"N2\"]`",
            ),
        ],
    },
    Group {
        table: "[tables]",
        about: "Which file of the folder holds a table, where its name is not the usual one (`panels.csv`, `panels.xlsx`, `panels.ods`).",
        keys: &[
            ("panels", "The table of panels.", "`\"survey 2.xlsx\"`"),
            (
                "openings",
                "Doors, windows and vents.",
                "`\"openings 2.csv\"`",
            ),
            (
                "outlines",
                "Corners of panels that are no plain shape.",
                "`\"corners.csv\"`",
            ),
            ("stock", "What is on the shelf.", "`\"shelf.ods\"`"),
            ("orders", "What is ordered already.", "`\"ordered.csv\"`"),
            ("lines", "Own cost lines.", "`\"extras.csv\"`"),
            ("progress", "What is done.", "`\"done.csv\"`"),
        ],
    },
];
