//! Drums, how each painting bends, crates, and whether each gets out.

use crate::catalog::PaintSide;
use crate::crating::Content;
use crate::diag::count;
use crate::plan::Plan;
use crate::rolling::Governs;
use crate::rolling::Stands;
use crate::units::Money;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::length;
use super::cells::length_column;
use super::cells::names;
use super::cells::paper;

/// The tables that `facelay drums` prints.
pub(super) fn build(plan: &Plan) -> Report {
    let sheet = Sheet::new("drums", "Drums and crates")
        .heading("Drums")
        .table(drums(plan))
        .note(choice(plan))
        .note("Panels stand as they lie on the drum. They are rolled as they come off the wall, the last last (`facelay days JOB` has the days); where the job gives turns at the other end, what is needed first is rolled last.")
        .heading("How each painting bends")
        .table(bending(plan))
        .note(format!("Strain: in the first turn on its drum, paint {}; it has to stay under limit / reserve. `facelay drums JOB --panel P` shows what would allow a smaller drum.", side(plan)))
        .note("The diameter is an aid to the conservator's judgement: a test on the real paint comes first.")
        .heading("Panels that stay flat")
        .table(flats(plan))
        .heading("Crates")
        .table(crates(plan))
        .note("Several drums or trays share a crate where that costs less. Pieces, cut lists and marks of each stand in the crate-….csv files and the purchase list.")
        .heading("What is in each crate, and how")
        .table(held(plan))
        .heading("Carried without a crate")
        .table(bare(plan))
        .heading("Ways out")
        .table(ways_out(plan))
        .note("What is spare is reckoned for a box: leave room for hands and for the turn. Masses and carriers are estimates: weigh before lifting; a competent person plans every lift.");
    Report {
        name: "drums".into(),
        title: format!("{}: drums and crates", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    }
}

fn drums(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("drum"),
        Column::text("tube"),
        length_column(plan, "diameter"),
        length_column(plan, "face"),
        Column::text("panels"),
        Column::number("turns", 2),
        length_column(plan, "over the roll"),
        Column::number("mass (kg)", 1),
        length_column(plan, "sag").only_wide(),
        Column::number("wall stress (MPa)", 2).only_wide(),
        Column::number("stress limit (MPa)", 2).only_wide(),
        Column::number("on each bearing (N)", 0).only_wide(),
        Column::number("to turn it (N)", 0).only_wide(),
    ];
    let rows = plan.rolling.drums.iter().map(|drum| {
        vec![
            Value::text(&drum.id),
            Value::text(&drum.tube),
            length(plan, drum.diameter),
            length(plan, drum.face),
            names(drum.panels.iter().map(|rolled| plan.panel_id(rolled.panel))),
            Value::Number(drum.turns),
            length(plan, drum.outside_diameter),
            Value::Number(drum.mass.to_kg()),
            length(plan, drum.deflection),
            Value::Number(drum.loads.stress),
            Value::Number(drum.loads.stress_limit),
            Value::Number(drum.loads.bearing),
            Value::Number(drum.loads.turning),
        ]
    });
    Table::new("Drums", columns).rows(rows)
}

pub(super) fn bending(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("panel"),
        Column::text("drum").only_wide(),
        Column::number("strain", 5),
        Column::number("last turn", 5).only_wide(),
        Column::number("limit", 4),
        Column::number("reserve", 1),
        length_column(plan, "by strain"),
        length_column(plan, "floor"),
        length_column(plan, "least"),
        Column::text("decided by"),
        Column::number("mass (kg/m2)", 2).only_wide(),
    ];
    let mut rolled = vec![None; plan.survey.panels.len()];
    for drum in &plan.rolling.drums {
        for on in &drum.panels {
            if let Some(slot) = rolled.get_mut(on.panel) {
                *slot = Some((drum.id.as_str(), on));
            }
        }
    }
    let panels = plan.survey.panels.iter().zip(&plan.rolling.bending);
    let rows = panels.zip(rolled).filter_map(|((panel, bending), on)| {
        let bending = bending.as_ref()?;
        let number = |value: Option<f64>| value.map_or_else(|| Value::text(""), Value::Number);
        Some(vec![
            Value::text(&panel.id),
            Value::text(on.map_or("", |(drum, _)| drum)),
            number(on.map(|(_, on)| on.strain)),
            number(on.map(|(_, on)| on.last_strain)),
            Value::Number(bending.limit),
            Value::Number(bending.reserve),
            length(plan, bending.by_strain),
            length(plan, bending.floor),
            length(plan, bending.least_diameter),
            Value::text(match bending.governs {
                Governs::Strain => "strain",
                Governs::Floor => "floor",
            }),
            Value::Number(bending.grams_per_m2 / 1000.0),
        ])
    });
    Table::new("Bending", columns).rows(rows)
}

/// Which way the paint faces, in a word.
fn side(plan: &Plan) -> &'static str {
    match plan.job.catalog.drum_kit.paint {
        PaintSide::Out => "outwards",
        PaintSide::In => "inwards",
    }
}

/// What the drums cost together and how sure it is that nothing costs less; the stands they turn on.
pub(super) fn choice(plan: &Plan) -> String {
    let choice = &plan.rolling.choice;
    let currency = &plan.job.currency;
    let sure = if choice.proven {
        "no choice of drums costs less (proved)".to_owned()
    } else {
        format!(
            "no choice can cost less than {} {currency}; whether one does is not proved",
            choice.lower_bound.cents()
        )
    };
    let stands = choice.stands.map_or_else(String::new, |stands| {
        format!(" Stands to turn them on: {}.", turned_on(plan, stands))
    });
    format!(
        "Tubes, padding, film, ends, interleaf and an estimate of their crates: {} {currency}; {sure}.{stands}",
        choice.cost.cents()
    )
}

/// What stands cost and whether they are hired, where it is planned for how many days.
fn turned_on(plan: &Plan, stands: Stands) -> String {
    let shown = |money: Option<Money>| {
        money.map_or_else(
            || "not to be had".to_owned(),
            |money| format!("{} {}", money.cents(), plan.job.currency),
        )
    };
    let bought = shown(stands.bought);
    if plan.schedule.activities.is_empty() {
        return format!("{} for a day hired, {bought} bought", shown(stands.a_day));
    }
    let days = plan.schedule.rolling_days;
    format!(
        "{} for {} hired, {bought} bought; {}",
        shown(stands.hired(days)),
        count(days, "rolling day"),
        if stands.is_hired(days) {
            "hired"
        } else {
            "bought"
        }
    )
}

pub(super) fn flats(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("panel"),
        Column::text("why"),
        Column::text("what would let it be rolled"),
    ];
    let rows = plan.rolling.flats.iter().map(|flat| {
        vec![
            Value::text(plan.panel_id(flat.panel)),
            Value::text(&flat.why),
            Value::Text(flat.instead.join("; ")),
        ]
    });
    Table::new("Flats", columns).rows(rows)
}

pub(super) fn crates(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("crate"),
        Column::text("holds"),
        length_column(plan, "long"),
        length_column(plan, "wide"),
        length_column(plan, "high"),
        Column::number("tare (kg)", 0).only_wide(),
        Column::number("gross (kg)", 0),
        Column::number("charged (kg)", 1).only_wide(),
        Column::text("carried by"),
        Column::money("about").only_wide(),
    ];
    let rows = plan.crating.crates.iter().map(|packed| {
        let (drums, flats) = plan.contents_of(packed);
        let [long, wide, high] = packed.outside;
        vec![
            Value::text(&packed.id),
            names(drums.into_iter().chain(flats)),
            length(plan, long),
            length(plan, wide),
            length(plan, high),
            Value::Number(packed.tare.to_kg()),
            Value::Number(packed.gross.to_kg()),
            Value::Number(packed.charged.to_kg()),
            carried(packed.carriers),
            Value::Decimal(packed.estimate.amount()),
        ]
    });
    Table::new("Crates", columns).rows(rows)
}

fn carried(carriers: Option<u32>) -> Value {
    match carriers {
        None => Value::text("lifting gear"),
        Some(1) => Value::text("1 person"),
        Some(people) => Value::Text(format!("{people} people")),
    }
}

/// What stands in each crate, how hard it presses its foam, and where the whole balances.
fn held(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("crate"),
        Column::text("what"),
        length_column(plan, "on foam"),
        Column::number("pressed (kPa)", 1),
        Column::number("bears (kPa)", 1),
        length_column(plan, "balance from left"),
        length_column(plan, "balance up").only_wide(),
    ];
    let rows = plan.crating.crates.iter().flat_map(|packed| {
        let (drums, flats) = plan.contents_of(packed);
        let held = drums.into_iter().chain(flats).zip(&packed.presses);
        let rows: Vec<Vec<Value>> = held
            .map(|(name, press)| {
                vec![
                    Value::text(&packed.id),
                    Value::text(name),
                    length(plan, press.length),
                    Value::Number(press.pressure),
                    press.limit.map_or(Value::Empty, Value::Number),
                    length(plan, packed.centre[0]),
                    length(plan, packed.centre[2]),
                ]
            })
            .collect();
        rows
    });
    Table::new("Held", columns).rows(rows)
}

/// The drum's or panel's name.
fn name(plan: &Plan, content: Content) -> &str {
    match content {
        Content::Drum(drum) => plan.rolling.drums.get(drum).map_or("", |drum| &drum.id),
        Content::Flat(panel) => plan.panel_id(panel),
    }
}

fn bare(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("what"),
        length_column(plan, "long"),
        length_column(plan, "wide"),
        length_column(plan, "high"),
        Column::number("mass (kg)", 0),
        Column::text("carried by"),
    ];
    let rows = plan.crating.bare.iter().map(|bare| {
        let [long, wide, high] = bare.size;
        vec![
            Value::text(name(plan, bare.content)),
            length(plan, long),
            length(plan, wide),
            length(plan, high),
            Value::Number(bare.mass.to_kg()),
            carried(bare.carriers),
        ]
    });
    Table::new("Bare", columns).rows(rows)
}

pub(super) fn ways_out(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("what"),
        Column::text("way out"),
        Column::text("place").only_wide(),
        Column::text("passes"),
        length_column(plan, "spare"),
        Column::text("tightest"),
    ];
    let crates = plan.crating.crates.iter();
    let crates = crates.map(|packed| (packed.id.as_str(), &packed.ways_out));
    let bare = plan.crating.bare.iter();
    let bare = bare.map(|bare| (name(plan, bare.content), &bare.ways_out));
    let rows = crates.chain(bare).flat_map(|(what, ways_out)| {
        ways_out.iter().map(move |passage| {
            vec![
                Value::text(what),
                Value::text(&passage.way),
                Value::text(&passage.place),
                Value::text(if passage.fits { "yes" } else { "NO" }),
                length(plan, passage.spare),
                Value::text(&passage.tightest),
            ]
        })
    });
    Table::new("WaysOut", columns).rows(rows)
}
