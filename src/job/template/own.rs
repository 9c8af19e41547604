//! What a studio's own recipes and catalogue may say, for the guide; a test asks the readers whether this is all.

use super::keys::Group;

/// The tables of a recipe file.
pub(super) const RECIPE: &[Group] = &[
    Group {
        table: "",
        about: "At the top. Needed: `id` and at least one step.",
        keys: &[
            ("id", "The name that a panel's row uses.", "`\"our-paste\"`"),
            (
                "name",
                "The treatment in words. Without it: the id.",
                "`\"Supple painting held by paste\"`",
            ),
            ("about", "What it is for.", "any text"),
            (
                "substitutes",
                "What may be bought instead of a material.",
                "`{ tissue-9 = [\"tissue-12\"] }`",
            ),
            ("solution", "What is mixed: see `[[solution]]`.", "a table"),
            ("step", "What is done, in order: see `[[step]]`.", "a table"),
        ],
    },
    Group {
        table: "[[solution]]",
        about: "What is mixed for the steps that brush something on. Needed: `id`, `solvents`, and a `concentration` where there is a resin.",
        keys: &[
            ("id", "The name that steps use.", "`\"facing\"`"),
            (
                "name",
                "What mixing cards call it.",
                "`\"Facing resin, 10 % w/v\"`",
            ),
            (
                "resin",
                "What is dissolved; none for a plain solvent.",
                "`\"acrylic-butyl\"`",
            ),
            (
                "concentration",
                "With its basis, since a bare 10 % has readings that differ by a tenth or more.",
                "`\"10 % w/v\"`, `\"10 % w/w\"`, `\"10 % v/v\"`, `\"10 g/100 ml solvent\"`",
            ),
            (
                "solvents",
                "The solvents with their parts by volume.",
                "`{ toluene = 70, white-spirit = 30 }`",
            ),
            ("pot_life", "How long a batch may be used.", "`\"4 h\"`"),
            (
                "largest_batch",
                "The most that is mixed at once.",
                "`\"2 l\"`",
            ),
        ],
    },
    Group {
        table: "[[step]]",
        about: "One step, after the one above it. Needed: `id`, `kind`, `skill`; of a layer `material`; `spread` wherever there is a `solution`.",
        keys: &[
            ("id", "The name that schedules use.", "`\"tissue\"`"),
            (
                "name",
                "What is done, for the day sheet. Without it: the id.",
                "`\"Cushion layer\"`",
            ),
            (
                "kind",
                "What kind of step it is.",
                "`\"marks\"`, `\"clean\"`, `\"layer\"`, `\"coat\"`, `\"release\"`, `\"roll\"`, `\"reverse\"`, `\"crate\"`, `\"remove-facing\"`, `\"remount\"` or `\"labour\"`",
            ),
            (
                "material",
                "Of a layer: the sheet or roll that is laid.",
                "`\"tissue-12\"`",
            ),
            ("solution", "What is brushed on.", "`\"facing\"`"),
            (
                "spread",
                "How much of it, on the area of sheet laid (of panel, where none is laid).",
                "`\"120 g/m2\"`",
            ),
            (
                "waste",
                "Loss on solution and on what is used by area.",
                "`\"8 %\"`",
            ),
            (
                "overlap",
                "Of a layer: least overlap of neighbouring sheets.",
                "`\"20 mm\"`",
            ),
            (
                "margin",
                "Of a layer: how far it goes past the panel's edge; negative stays inside.",
                "`\"50 mm\"`, `\"-10 mm\"`",
            ),
            (
                "opening_lap",
                "Of a layer: how far it laps into openings.",
                "`\"30 mm\"`",
            ),
            (
                "seam_distance",
                "Of a layer: least distance of its seams from like seams of the layer below.",
                "`\"100 mm\"`",
            ),
            (
                "canvas_seam_distance",
                "Of a layer: least distance of its upright seams from the canvas's own.",
                "`\"80 mm\"`",
            ),
            (
                "longest_piece",
                "Of a layer: the longest that a piece may be. Without it only the stock limits it.",
                "`\"1.5 m\"`",
            ),
            (
                "laying",
                "Of a layer: in which order sheets are laid. Without it: from the top down.",
                "`\"top-down\"` or `\"middle-out\"`",
            ),
            (
                "trim",
                "Of a layer: what a piece is cut larger than what it covers, on each trimmed side.",
                "`\"5 mm\"`",
            ),
            (
                "direction",
                "Of a layer: which way its sheets run. Without it: whichever buys less.",
                "`\"auto\"`, `\"upright\"` or `\"level\"`",
            ),
            (
                "work",
                "Rates of `rates.csv`, or minutes written out.",
                "`[\"lay-tissue\", { minutes = 20, per = \"panel\" }]`",
            ),
            (
                "skill",
                "What everyone on it must be able to do.",
                "`\"conservator\"`",
            ),
            (
                "crew",
                "Fewest and most people at once. Without it: one.",
                "`[1, 2]`",
            ),
            (
                "speed",
                "How many people's work each crew does, from the fewest to the most. Without it everyone does a whole share.",
                "`[1, 1.7]`",
            ),
            (
                "when",
                "At which hours of the place it may be done. Without it: any.",
                "`\"any\"`, `\"daylight\"` or `\"cool\"`",
            ),
            (
                "drying",
                "At 20 °C and 50 % humidity, before the next step.",
                "`\"3 h\"`",
            ),
            (
                "cures",
                "At 20 °C and 50 %, before the facing may be loaded or rolled.",
                "`\"48 h\"`",
            ),
            (
                "same_day",
                "It must be finished within one working day. Without it: no.",
                "`true`",
            ),
            (
                "pausable",
                "It may stand over breaks and nights. Without it: yes.",
                "`false`",
            ),
            (
                "after",
                "The steps above that it waits for, on the same panel; `[]` waits for nothing. Without it: the step above.",
                "`[\"facing\", \"boards\"]`",
            ),
            (
                "within",
                "The longest time on the clock from the end of the step above to the start of this one.",
                "`\"24 h\"`",
            ),
            (
                "order",
                "Whether it waits for the step above on the same panel, or on all panels. Without it: the same.",
                "`\"panel\"` or `\"all\"`",
            ),
            (
                "equipment",
                "What it holds while it lasts.",
                "`{ \"scaffold tower\" = 1 }`",
            ),
            (
                "uses",
                "What else it uses up: per m2, m-edge, panel, drum, crate, person-hour, person-day, batch or job.",
                "`[{ material = \"gloves-nitrile\", rate = 4, per = \"person-day\" }]`",
            ),
            (
                "place",
                "Where it is done. Without it: at the site.",
                "`\"site\"` or `\"studio\"`",
            ),
        ],
    },
];

/// The tables of a catalogue.
pub(super) const CATALOGUE: &[Group] = &[
    Group {
        table: "materials.csv",
        about: "A row of a known `id` replaces the built-in one. Needed: `id`, `kind`, and the sizes that the kind has.",
        keys: &[
            ("id", "The name that recipes and offers use.", "tissue-12"),
            (
                "name",
                "What it is, in words.",
                "Long-fibre tissue, 12 g/m2",
            ),
            (
                "kind",
                "Its form, which decides what it is counted in.",
                "sheet, roll, liquid, resin, tube, board, timber or each",
            ),
            ("width", "Of a sheet, roll, board or timber.", "600 mm"),
            (
                "length",
                "Of a sheet, roll, board, timber or tube: one stock unit.",
                "900 mm",
            ),
            ("thickness", "Of a sheet, roll, board or timber.", "0.05 mm"),
            ("diameter", "Of a tube: outside.", "400 mm"),
            ("wall", "Of a tube.", "10 mm"),
            (
                "feather",
                "How far torn edges run out in loose fibres; 0 where it is cut.",
                "8 mm",
            ),
            ("g_per_m2", "Mass of an area.", "12"),
            (
                "density_g_ml",
                "Density of a liquid, resin, board, timber, or of a tube's wall.",
                "0.87",
            ),
            (
                "modulus_mpa",
                "How stiff it is, along its weaker direction.",
                "1820",
            ),
            (
                "strength_mpa",
                "Of a tube in bending; of a foam board the pressure that it bears for good.",
                "10.1",
            ),
            (
                "crush_n_mm",
                "Of a tube: the load that crushes it, in N a millimetre of length, where its maker gives one.",
                "12",
            ),
            ("g_each", "Mass of one of what is counted.", "350"),
            (
                "grain",
                "Which way its fibres run.",
                "none, length or width",
            ),
            (
                "kerf",
                "What a cut or a tear takes away between two pieces.",
                "0 mm",
            ),
            (
                "same_as",
                "The material that this row is another size of.",
                "tissue-12",
            ),
            (
                "keeps_days",
                "How long it keeps from delivery. Blank: well.",
                "180",
            ),
            (
                "hazard",
                "For storage, freight and cautions.",
                "none, flammable, flammable-toxic or toxic",
            ),
            (
                "solvent",
                "The row of solvents.csv that describes its vapour.",
                "toluene",
            ),
            (
                "source",
                "Where the values come from; for people to read.",
                "the maker's data sheet",
            ),
        ],
    },
    Group {
        table: "offers.csv",
        about: "Who sells what in which packs. Needed: `material`, `supplier`, `pack`, `price`.",
        keys: &[
            ("material", "An id of materials.csv.", "tissue-12"),
            ("supplier", "An id of suppliers.csv.", "paper-and-cloth"),
            ("pack", "What a pack holds, in the material's unit.", "25"),
            ("price", "What a pack costs.", "47.25"),
            ("break1_packs", "From so many packs on …", "4"),
            ("break1_price", "… a pack costs this.", "44.89"),
            ("break2_packs", "And from so many on …", "10"),
            ("break2_price", "… this.", "43.00"),
            (
                "breaks",
                "Whether a break lowers all packs or only those from it on. Blank: all.",
                "all-packs or packs-above",
            ),
            (
                "least_packs",
                "The fewest that are sold at once. Blank: 1.",
                "2",
            ),
            ("lead_days", "Days from order to delivery. Blank: 0.", "5"),
            (
                "lead_counts",
                "How those days are counted. Blank: working.",
                "working or calendar",
            ),
            (
                "delivery",
                "Ordinary, or faster at this row's price. Blank: standard.",
                "standard or express",
            ),
            ("valid_from", "The first day of the price.", "2027-01-01"),
            ("valid_until", "The last day of the price.", "2027-06-30"),
            ("tax", "The tax on it where that is not the job's.", "7 %"),
            (
                "source",
                "Where the price comes from; for people to read.",
                "quotation of May",
            ),
        ],
    },
    Group {
        table: "suppliers.csv",
        about: "Who sells, and on which terms. Needed: `id`.",
        keys: &[
            ("id", "The name that offers use.", "paper-and-cloth"),
            ("name", "The name on the order.", "Paper and Cloth Stores"),
            (
                "currency",
                "If it is not the job's; its rate stands in `[purchase]` of job.toml.",
                "USD",
            ),
            ("minimum_order", "What an order must come to.", "60.00"),
            ("freight_fixed", "Freight of an order.", "14.50"),
            ("freight_per_kg", "And for each kilogram.", "0.35"),
            (
                "freight_free_from",
                "No freight from this sum on.",
                "450.00",
            ),
            (
                "hazard_surcharge",
                "For an order with hazardous goods.",
                "38.00",
            ),
            (
                "source",
                "Where the terms come from; for people to read.",
                "price list",
            ),
        ],
    },
    Group {
        table: "solvents.csv",
        about: "What is known of a solvent's vapour. Needed: `id`, `molar_mass`.",
        keys: &[
            ("id", "The name that materials use.", "toluene"),
            ("name", "In words.", "toluene"),
            ("molar_mass", "In g/mol.", "92.138"),
            ("density_20c", "At 20 °C, in g/ml.", "0.8669"),
            (
                "antoine_a",
                "First constant of log10(P / Pa) = A - B / (T / K + C).",
                "9.05043",
            ),
            ("antoine_b", "Second constant.", "1327.62"),
            ("antoine_c", "Third constant.", "-55.525"),
            ("boiling_c", "Boiling point in °C.", "110.6"),
            ("flash_c", "Flash point in °C.", "4.0"),
            (
                "lel_percent",
                "Lower explosive limit, percent by volume.",
                "1.0",
            ),
            ("limit_ppm", "Exposure limit over eight hours.", "20"),
            (
                "limit_source",
                "Whose limit, and of which year: it differs by country.",
                "the authority's table",
            ),
            ("source", "Where the other values come from.", "a handbook"),
        ],
    },
    Group {
        table: "rates.csv",
        about: "How long work takes. All columns but `name` and `source` are needed.",
        keys: &[
            ("id", "The name that recipes use.", "lay-tissue"),
            ("name", "The work in words.", "Laying tissue"),
            ("minutes", "Person-minutes a unit.", "18"),
            (
                "per",
                "The unit.",
                "m2, m-edge, panel, drum, crate, person-hour, person-day, batch or job",
            ),
            (
                "source",
                "Where it comes from: your own records are best.",
                "our last four jobs",
            ),
        ],
    },
    Group {
        table: "removal.csv",
        about: "How many times the easiest removal each pair takes. All columns but `source` are needed.",
        keys: &[
            ("paint", "State of the paint.", "flaking"),
            ("adhesive", "What holds the canvas.", "oil-lead"),
            (
                "factor",
                "How many times the work of release and reverse cleaning.",
                "20",
            ),
            ("source", "Where it comes from.", "our records"),
        ],
    },
    Group {
        table: "strain.csv",
        about: "What bending each class takes. Needed: `give`, `limit`.",
        keys: &[
            ("give", "The class.", "stiff"),
            (
                "limit",
                "The strain that the paint may see before the reserve.",
                "0.004",
            ),
            ("reserve", "How many times less is planned.", "2"),
            ("floor", "The least diameter all the same, in mm.", "450"),
            ("turns", "The most turns on a drum.", "3"),
            ("cold_below", "Under this temperature …", "11 °C"),
            ("cold_limit", "… this limit holds.", "0.0025"),
            ("source", "Where it comes from.", "a test on the real paint"),
        ],
    },
    Group {
        table: "layers.csv",
        about: "The layers of a painting where a panel's row does not say. All columns but `source` are needed.",
        keys: &[
            (
                "id",
                "The layer, such as canvas, or residue- and an adhesive.",
                "residue-paste",
            ),
            ("thickness_mm", "Its thickness.", "0.1"),
            ("modulus_mpa", "How stiff it is.", "500"),
            ("density_g_ml", "Its density.", "1.3"),
            ("source", "Where it comes from.", "a sample measured"),
        ],
    },
    Group {
        table: "waste.csv",
        about: "What leaves as contaminated waste. All columns but `source` are needed.",
        keys: &[
            ("material", "An id of materials.csv.", "wipes"),
            ("grams", "What a used one weighs.", "6"),
            (
                "when",
                "What makes it contaminated: lead on any panel, or what it was used with.",
                "lead or solvent",
            ),
            ("source", "Where it comes from.", "weighed"),
        ],
    },
];
