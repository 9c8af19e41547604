//! The keys of job.toml that change what every drum and every crate is made with.

use super::keys::Group;

/// The two tables.
pub(super) const KITS: &[Group] = &[
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
];
