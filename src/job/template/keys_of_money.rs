//! The keys of job.toml about money: terms, purchase, cases, odds.

use super::keys::Group;

/// The tables, in the order in which the template has them.
pub(super) const MONEY: &[Group] = &[
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
        about: "The same job with something otherwise, priced beside it by `facelay compare JOB` and in the bid. Needed: `name`.",
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
];
