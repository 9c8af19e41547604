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
                "Panel and step, or crate and step, as `facelay days` names them.",
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
        table: "[terms]",
        about: "What is added to the cost. Without a percentage: 0 %.",
        keys: &[
            (
                "contingency",
                "For what cannot be foreseen: on the sum of the cost lines.",
                "`\"10 %\"`",
            ),
            (
                "contingency_of",
                "Other percentages for groups of cost.",
                "`{ labour = \"15 %\" }`",
            ),
            (
                "overhead",
                "Of running the studio: on cost and contingency.",
                "`\"12 %\"`",
            ),
            ("markup", "On all before it.", "`\"8 %\"`"),
            ("tax", "On the price.", "`\"20 %\"`"),
            (
                "days_in_hand",
                "Working days that materials lie ready before they are used. Without it: 2.",
                "`2`",
            ),
            (
                "materials",
                "Whole packs as ordered, or the share that the job uses up. Without it: as bought.",
                "`\"as-bought\"` or `\"as-used\"`",
            ),
            (
                "labour",
                "The rate at which labour stands in the bid. Without it: charge.",
                "`\"charge\"` or `\"cost\"`",
            ),
            (
                "disposal",
                "What a carrier takes: see `[terms.disposal]`.",
                "a table",
            ),
            (
                "lump_sum",
                "Cost that is not worked out here: see `[[terms.lump_sum]]`.",
                "a table",
            ),
        ],
    },
    Group {
        table: "[terms.disposal]",
        about: "What a licensed carrier takes for contaminated waste. Needed: `per_kg`.",
        keys: &[
            ("per_kg", "For each kilogram.", "`\"4.20\"`"),
            ("least", "And no less than this.", "`\"160.00\"`"),
        ],
    },
    Group {
        table: "[[terms.lump_sum]]",
        about: "Cost that is not worked out here. Needed: `text`, `group`, `amount`. Longer lists go into the table `lines`.",
        keys: &[
            ("text", "What it is.", "`\"Travel, two vans\"`"),
            (
                "group",
                "The group of cost it is listed in.",
                "`\"travel\"`",
            ),
            ("amount", "How much.", "`\"840.00\"`"),
            (
                "per",
                "Once, for each day on which somebody works at the site, or for each such day of each person. Without it: once.",
                "`\"job\"`, `\"site-day\"` or `\"person-day\"`",
            ),
        ],
    },
    Group {
        table: "[purchase]",
        about: "How the job buys; may be left out.",
        keys: &[
            (
                "quantities",
                "By the recipe's waste factors, or as sure as the cost of a stopped crew makes worthwhile. Without it: waste factors.",
                "`\"waste-factors\"` or `\"odds\"`",
            ),
            (
                "stopped_day",
                "With odds, needed: what a day costs on which the crew stands.",
                "`\"1400.00\"`",
            ),
            (
                "spread_rates",
                "With odds: how far resins and liquids stray from their rates.",
                "`\"10 %\"`",
            ),
            (
                "spread_waste",
                "With odds: how far sheets and rolls stray from their waste.",
                "`\"5 %\"`",
            ),
            (
                "kept_value",
                "What a leftover is worth, of its price. Without it: nothing.",
                "`\"20 %\"`",
            ),
            (
                "budget_week",
                "The most that the orders sent in one week may come to.",
                "`\"5000.00\"`",
            ),
            (
                "rates",
                "What 1 of another currency is worth, for suppliers that have one.",
                "`{ USD = \"0.92\" }`",
            ),
        ],
    },
    Group {
        table: "[[case]]",
        about: "The same job with something otherwise, priced beside it by `facelay compare` and in the bid. Needed: `name`.",
        keys: &[
            ("name", "What the case is called.", "`\"as feared\"`"),
            (
                "text",
                "What it means, for the reader of the bid.",
                "`\"glue turns out to be oil paste\"`",
            ),
            (
                "panels",
                "Which panels it is about. Without it: all.",
                "`[\"N1\", \"N2\"]`",
            ),
            ("recipe", "Another treatment.", "`\"stiff-glue\"`"),
            ("paint", "Another state of the paint.", "`\"flaking\"`"),
            ("give", "Another class of bending.", "`\"brittle\"`"),
            ("adhesive", "Another adhesive.", "`\"oil-lead\"`"),
            ("lead", "Lead is known or suspected.", "`true`"),
            ("mould", "Mould has been seen.", "`true`"),
            (
                "removal_factor",
                "How many times the easiest removal it takes, in place of the one for paint and adhesive.",
                "`10`",
            ),
            ("people", "Other counts of people.", "`{ conservator = 7 }`"),
            (
                "cost",
                "Other costs of an hour.",
                "`{ conservator = \"41.00\" }`",
            ),
            (
                "charge",
                "Other charges of an hour.",
                "`{ conservator = \"66.00\" }`",
            ),
            ("first_day", "Another first working day.", "`2027-02-01`"),
            ("hand_over", "Another day of hand-over.", "`2027-04-30`"),
            (
                "order_day",
                "Another day of the first orders.",
                "`2026-12-14`",
            ),
            ("contingency", "Another percentage.", "`\"20 %\"`"),
            ("overhead", "Another percentage.", "`\"10 %\"`"),
            ("markup", "Another percentage.", "`\"6 %\"`"),
            (
                "by_others",
                "Somebody else removes the panels for a lump sum.",
                "`{ text = \"by the roofers\", amount = \"9000.00\" }`",
            ),
        ],
    },
    Group {
        table: "[odds]",
        about: "How the odds of cost and finish are drawn; may be left out.",
        keys: &[
            (
                "draws",
                "How often the job is drawn, at least 100.",
                "`5000`",
            ),
            (
                "seed",
                "Where the random numbers start: the same seed gives the same odds.",
                "`1`",
            ),
            (
                "spread",
                "Three-point estimates in place of the catalogue's: see `[[odds.spread]]`.",
                "a table",
            ),
            (
                "condition",
                "What may turn out to be so: see `[[odds.condition]]`.",
                "a table",
            ),
        ],
    },
    Group {
        table: "[[odds.spread]]",
        about: "A three-point estimate, as shares of what is planned. Needed: `of`, `low`, `likely`, `high`.",
        keys: &[
            (
                "name",
                "What the reader of the bid sees. Without it: what it is of.",
                "`\"hours of release\"`",
            ),
            (
                "of",
                "What is spread.",
                "`\"removal\"`, `\"labour\"`, `\"materials\"`, `\"prices\"` or `\"own-lines\"`",
            ),
            ("low", "The least.", "`\"70 %\"`"),
            ("likely", "The most likely.", "`\"100 %\"`"),
            ("high", "The most.", "`\"200 %\"`"),
            (
                "shared",
                "How much of it all panels, materials or suppliers have in common. Without it: 50 %.",
                "`\"60 %\"`",
            ),
            (
                "cause",
                "Spreads with one cause go up and down together.",
                "`\"the damp\"`",
            ),
            (
                "source",
                "Where the estimate comes from; for people to read.",
                "`\"our last four jobs\"`",
            ),
        ],
    },
    Group {
        table: "[[odds.condition]]",
        about: "What may turn out to be so, and what it does then. Needed: `name`, `chance`.",
        keys: &[
            (
                "name",
                "What may turn out to be so.",
                "`\"lead found below the paint\"`",
            ),
            ("chance", "How probable it is.", "`\"30 %\"`"),
            ("cost", "A sum that it costs.", "`\"1250.00\"`"),
            (
                "removal",
                "How many more hours of release and reverse cleaning.",
                "`\"40 %\"`",
            ),
            ("labour", "How many more hours of other work.", "`\"10 %\"`"),
            ("materials", "How much more material.", "`\"5 %\"`"),
            (
                "days",
                "Working days lost: one number, or least, most likely and most.",
                "`[0, 2, 5]`",
            ),
        ],
    },
    Group {
        table: "[drum]",
        about: "What differs from the usual drum of `catalogs/drum.toml`.",
        keys: &[
            (
                "paint",
                "Which way the paint faces.",
                "`\"out\"` or `\"in\"`",
            ),
            ("end_margin", "Free face at each end.", "`\"100 mm\"`"),
            (
                "leader",
                "Unpainted leader and tail along the roll, each.",
                "`\"300 mm\"`",
            ),
            (
                "interleaf",
                "The material between the turns.",
                "`\"release-film\"`",
            ),
            (
                "interleaf_margin",
                "How far it reaches past the painting.",
                "`\"50 mm\"`",
            ),
            (
                "padding",
                "What the tube is padded with.",
                "`\"foam-roll-3\"`",
            ),
            (
                "cover",
                "What the roll is wrapped in.",
                "`\"polyethylene-film\"`",
            ),
            (
                "looseness",
                "How much thicker than its layers a roll comes out.",
                "`\"20 %\"`",
            ),
            (
                "sag_limit",
                "Sag between the bearings over the face length.",
                "`0.002`",
            ),
            (
                "stress_share",
                "The share of its strength that a tube bears for good.",
                "`0.1`",
            ),
            ("kerf", "What a cut of a tube takes away.", "`\"4 mm\"`"),
            ("bar", "The bar on which a drum turns.", "`\"60 mm\"`"),
            (
                "stand",
                "The pair of stands on which drums turn, bought.",
                "`\"bearing-stands\"`",
            ),
            (
                "stand_hire",
                "Or hired, a day for each painting rolled; the cheaper is taken.",
                "`\"bearing-stands-day\"`",
            ),
            (
                "uses",
                "What else every drum takes.",
                "`[{ material = \"label\", rate = 2, per = \"drum\" }]`",
            ),
        ],
    },
    Group {
        table: "[crate]",
        about: "What differs from the usual crate of `catalogs/crate.toml`.",
        keys: &[
            (
                "clearance",
                "Between roll and boards on every side.",
                "`\"60 mm\"`",
            ),
            (
                "end_clearance",
                "Beyond the drum's end, for cradle and bar.",
                "`\"120 mm\"`",
            ),
            ("board", "The boards.", "`\"plywood-12\"`"),
            ("batten", "The battens.", "`\"timber-70x25-4200\"`"),
            (
                "batten_spacing",
                "From one batten to the next.",
                "`\"800 mm\"`",
            ),
            ("skid", "The skids.", "`\"timber-95x45-4800\"`"),
            ("foam", "Of cradles, cushions and pads.", "`\"foam-50\"`"),
            (
                "support",
                "What carries a panel that stays flat.",
                "`\"honeycomb-25\"`",
            ),
            (
                "support_margin",
                "How far it reaches past the panel.",
                "`\"100 mm\"`",
            ),
            ("lining", "The lining.", "`\"foam-roll-3\"`"),
            ("barrier", "The vapour barrier.", "`\"barrier-film\"`"),
            ("kerf", "What a saw cut takes away.", "`\"4 mm\"`"),
            (
                "buffer",
                "What steadies the air inside.",
                "`{ material = \"silica-gel\", g_per_m3 = 6400 }`",
            ),
            (
                "screw",
                "Screws for each metre of joint.",
                "`{ material = \"screw-4x40\", per_m = 8 }`",
            ),
            (
                "bolt",
                "Bolts for each metre of lid.",
                "`{ material = \"coach-bolt\", per_m = 2 }`",
            ),
            (
                "most_together",
                "Drums, or flat panels, in one crate where that costs less.",
                "`3`",
            ),
            (
                "heaviest_together",
                "A crate with several of them weighs no more.",
                "`\"300 kg\"`",
            ),
            (
                "uses",
                "What else every crate takes.",
                "`[{ material = \"handle\", rate = 4, per = \"crate\" }]`",
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
