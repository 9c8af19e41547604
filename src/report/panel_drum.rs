//! One panel's drum defended: its layers, the strain in its paint, and what would allow a smaller drum.

use crate::plan::Plan;
use crate::rolling::Case;
use crate::rolling::Defence;
use crate::rolling::Governs;
use crate::rolling::Rolled;
use crate::rolling::defend;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::cells::length;
use super::cells::length_column;
use super::cells::length_text;
use super::cells::paper;

/// The tables that `facelay drums --panel` prints; none where the panel's paint takes no bending at all.
pub fn panel_drum(plan: &Plan, panel: usize) -> Option<Report> {
    let found = defend(&plan.job, &plan.survey, &plan.takeoff, &plan.rolling, panel)?;
    let id = plan.panel_id(panel);
    let on = found.drum.as_ref().map_or_else(
        || format!("Panel {id} stays flat; its least drum"),
        |drum| format!("Panel {id} on drum {drum}"),
    );
    let diameter = length_text(plan, found.diameter);
    let sheet = Sheet::new("drum", on.clone())
        .heading(format!("{on}, {diameter}"))
        .note(verdict(plan, panel, &found))
        .heading("Its layers, from the reverse outwards")
        .table(layers(&found))
        .heading(format!(
            "Strain in the paint in the first turn on {diameter}"
        ))
        .table(states(&found))
        .note(
            "A real roll lies between these states; the worst decides. Positive: stretched; negative: pressed.",
        )
        .heading("What would allow a smaller drum")
        .table(cases(plan, &found))
        .note(format!("Strain: on {diameter}; it may use limit / reserve. {}.", meanings(&found)))
        .note(format!("Class: {}.", found.source))
        .heading("Ways to wind it")
        .table(ways(plan, &found))
        .note("The diameter is an aid to the conservator's judgement: age, cold and dry air shrink what paint takes, and a test on the real paint comes first. Residue may hold lead: dust of its removal needs its own precautions under local rules.");
    Some(Report {
        name: "drum".into(),
        title: format!("{}: {on}", plan.job.title),
        paper: paper(plan),
        sheets: vec![sheet],
    })
}

/// The least diameter and the strain, in sentences.
fn verdict(plan: &Plan, panel: usize, found: &Defence) -> String {
    let Some(case) = found.cases.first() else {
        return String::new();
    };
    let bending = &case.bending;
    let least = length_text(plan, bending.least_diameter);
    let decided = match bending.governs {
        Governs::Strain => "the strain in the paint decides",
        Governs::Floor => "the floor of common practice for its class decides",
    };
    let cold = if bending.cold {
        "; the cold at the place has lowered the limit"
    } else {
        ""
    };
    let outer = rolled(plan, panel).map_or_else(String::new, |rolled| {
        format!(
            " Its {:.1} turns ease to {:.5} in the last.",
            rolled.turns, rolled.last_strain
        )
    });
    format!(
        "Least diameter {least}: {decided}. The strain reaches {:.5} in the first turn; limit {:.4}, reserve {:.1}, so {:.5} may be used{cold}.{outer}",
        case.strain,
        bending.limit,
        bending.reserve,
        bending.limit / bending.reserve,
    )
}

fn rolled(plan: &Plan, panel: usize) -> Option<&Rolled> {
    let drums = plan.rolling.drums.iter();
    drums
        .flat_map(|drum| &drum.panels)
        .find(|rolled| rolled.panel == panel)
}

fn layers(found: &Defence) -> Table {
    let columns = vec![
        Column::text("layer"),
        Column::number("thickness (mm)", 3),
        Column::number("modulus (MPa)", 0),
        Column::number("mass (g/m2)", 0),
    ];
    let rows = found.layers.iter().map(|layer| {
        vec![
            Value::text(&layer.name),
            Value::Number(layer.thickness.to_mm()),
            Value::Number(layer.modulus),
            Value::Number(layer.grams_per_m2),
        ]
    });
    Table::new("Layers", columns).rows(rows)
}

fn states(found: &Defence) -> Table {
    let columns = vec![
        Column::text("state"),
        Column::number("axis above the reverse (mm)", 3),
        Column::number("outer face", 5),
        Column::number("inner face", 5),
    ];
    let rows = found.states.iter().map(|state| {
        vec![
            Value::text(state.bond),
            Value::Number(state.axis.to_mm()),
            Value::Number(state.outer),
            Value::Number(state.inner),
        ]
    });
    Table::new("States", columns).rows(rows)
}

fn cases(plan: &Plan, found: &Defence) -> Table {
    let columns = vec![
        Column::text("if"),
        Column::number("strain", 5),
        Column::number("limit", 4).only_wide(),
        Column::number("reserve", 1).only_wide(),
        Column::number("may use", 5),
        length_column(plan, "by strain"),
        length_column(plan, "floor"),
        length_column(plan, "least"),
        Column::text("by"),
        length_column(plan, "tube"),
    ];
    Table::new("Cases", columns).rows(found.cases.iter().map(|case| row(plan, case)))
}

/// What the short words of the cases mean, of those that are there.
fn meanings(found: &Defence) -> String {
    let known = [
        ("residue off", "residue removed before rolling"),
        (
            "first sheet only",
            "faced with the sheet next to the paint and no more",
        ),
        ("no facing", "rolled without its facing"),
        (
            "facing holds",
            "proved that the facing stays firmly bonded, and does not creep",
        ),
        (
            "paint inwards",
            "rolled with the paint inwards, pressed instead of stretched",
        ),
        ("paint outwards", "rolled with the paint outwards"),
        (
            "rolled warm",
            "rolled above the temperature at which its class turns brittle",
        ),
    ];
    let there = |word: &str| found.cases.iter().any(|case| case.text == word);
    let mut words: Vec<String> = known
        .iter()
        .filter(|(word, _)| there(word))
        .map(|(word, meaning)| format!("{word}: {meaning}"))
        .collect();
    if found
        .cases
        .iter()
        .any(|case| case.text.starts_with("tested"))
    {
        words.push("tested: a test on the real paint shows that it gives so much".to_owned());
    }
    words.push("tube: the thinnest of the catalogue that would serve".to_owned());
    words.join("; ")
}

fn row(plan: &Plan, case: &Case) -> Vec<Value> {
    let bending = &case.bending;
    vec![
        Value::text(&case.text),
        Value::Number(case.strain),
        Value::Number(bending.limit),
        Value::Number(bending.reserve),
        Value::Number(bending.limit / bending.reserve),
        length(plan, bending.by_strain),
        length(plan, bending.floor),
        length(plan, bending.least_diameter),
        Value::text(match bending.governs {
            Governs::Strain => "strain",
            Governs::Floor => "floor",
        }),
        case.thinnest
            .map_or_else(|| Value::text("none"), |diameter| length(plan, diameter)),
    ]
}

fn ways(plan: &Plan, found: &Defence) -> Table {
    let columns = vec![
        Column::text("wound up"),
        length_column(plan, "face"),
        Column::number("turns", 2),
        Column::number("most turns", 1),
        Column::text("thinnest tube, or what bars it"),
    ];
    let rows = found.windings.iter().map(|way| {
        let (Ok(tube) | Err(tube)) = &way.tube;
        vec![
            Value::text(if way.along_width { "width" } else { "height" }),
            length(plan, way.face),
            Value::Number(way.turns),
            Value::Number(way.most_turns),
            Value::text(tube),
        ]
    });
    Table::new("Ways", columns).rows(rows)
}
