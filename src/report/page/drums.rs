//! Drums in section, how each painting bends, crates and ways out.

use crate::diag::count;
use crate::plan::Plan;
use crate::report::Column;
use crate::report::Table;
use crate::report::Value;
use crate::report::cells::length;
use crate::report::cells::length_column;
use crate::report::cells::length_text;
use crate::report::cut_sheets::inset;
use crate::report::drums;
use crate::rolling::Drum;

use super::Drawing;
use super::Fact;
use super::Listing;
use super::Part;
use super::Section;
use super::how::Placer;

/// The most drums drawn.
const MOST_DRUMS: usize = 60;

/// The section.
pub(super) fn section(plan: &Plan, placer: &mut Placer<'_>) -> Section {
    let mut parts = vec![Part::Note(
        "The diameter is an aid to the conservator's judgement: a test on the real paint comes first. Heavy and turning loads: a competent \
         person plans every lift."
            .to_owned(),
    )];
    let rolled = &plan.rolling.drums;
    if !rolled.is_empty() {
        parts.push(Part::Note(drums::choice(plan)));
        let cards = rolled.iter().take(MOST_DRUMS);
        let cards = cards.map(|drum| (format!("Drum {}", drum.id), card(plan, drum, placer)));
        parts.push(Part::Cards(cards.collect()));
        if rolled.len() > MOST_DRUMS {
            parts.push(Part::Note(format!(
                "{} more are not drawn here; drums.csv and plan.json have every one.",
                rolled.len() - MOST_DRUMS
            )));
        }
        parts.push(Part::Heading("How each painting bends".to_owned()));
        parts.push(bending(plan, placer));
    }
    if !plan.rolling.flats.is_empty() {
        parts.push(Part::Heading("Panels that stay flat".to_owned()));
        parts.push(Part::table("Panels that stay flat", drums::flats(plan)));
    }
    if !plan.crating.crates.is_empty() {
        parts.push(Part::Heading("Crates".to_owned()));
        let ids = plan.crating.crates.iter();
        let ids = ids.map(|packed| format!("crate/{}", packed.id));
        let crates = Listing::new("Crates", drums::crates(plan));
        parts.push(Part::Table(crates.opening(0, ids, placer)));
    }
    let ways = drums::ways_out(plan);
    if !ways.rows.is_empty() {
        parts.push(Part::fold(
            "Whether each gets out",
            vec![
                Part::table("Ways out", ways),
                Part::Note(
                    "What is spare is reckoned for a box: leave room for hands and for the turn. Masses and carriers are estimates: weigh \
                     before lifting."
                        .to_owned(),
                ),
            ],
        ));
    }
    Section {
        id: "drums",
        short: "Drums",
        title: "Drums and crates",
        parts,
    }
}

fn card(plan: &Plan, drum: &Drum, placer: &mut Placer<'_>) -> Vec<Part> {
    let (section, along) = (inset::section(plan, drum), inset::along(plan, drum));
    let strain = format!(
        "strain in the paint {:.4} of {:.4} allowed, reserve {:.1}",
        drum.strain, drum.strain_limit, drum.reserve
    );
    let over = format!(
        "{:.1} turns, {} over the roll, {:.0} kg, sag {}",
        drum.turns,
        length_text(plan, drum.outside_diameter),
        drum.mass.to_kg(),
        length_text(plan, drum.deflection)
    );
    let least = format!("least diameter {}", length_text(plan, drum.least_diameter));
    let fact = Fact::new(
        plan.material_name(&drum.tube),
        length_text(plan, drum.diameter),
    )
    .how(placer.open(&format!("drum/{}", drum.id)))
    .more([least, strain, over]);
    vec![
        Part::Facts(vec![fact]),
        picture(section),
        picture(along),
        Part::table(
            format!("On drum {}, from the marked end", drum.id),
            panels(plan, drum),
        ),
    ]
}

fn picture(figure: crate::report::Figure) -> Part {
    Part::Drawing(Drawing {
        caption: String::new(),
        figure,
    })
}

/// Which panel lies where.
fn panels(plan: &Plan, drum: &Drum) -> Table {
    let columns = vec![
        Column::number("no.", 0),
        Column::text("panel"),
        length_column(plan, "from"),
        length_column(plan, "to"),
        Column::number("turns", 1),
        Column::text("wound up"),
    ];
    let rows = drum.panels.iter().enumerate().map(|(at, rolled)| {
        vec![
            Value::count(at + 1),
            Value::text(plan.panel_id(rolled.panel)),
            length(plan, rolled.start),
            length(plan, rolled.start + rolled.across),
            Value::Number(rolled.turns),
            Value::text(if rolled.along_width {
                "its width"
            } else {
                "its height"
            }),
        ]
    });
    Table::new("OnDrum", columns).rows(rows)
}

fn bending(plan: &Plan, placer: &mut Placer<'_>) -> Part {
    let table = drums::bending(plan);
    let bent = plan.survey.panels.iter().zip(&plan.rolling.bending);
    let ids = bent
        .filter(|(_, bending)| bending.is_some())
        .map(|(panel, _)| format!("bending/{}", panel.id));
    let many = count(table.rows.len(), "painting");
    Part::fold(
        format!("Strain and least diameter of {many}"),
        vec![Part::Table(
            Listing::new("Strain and least diameter", table).opening(0, ids, placer),
        )],
    )
}
