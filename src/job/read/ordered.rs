//! The table of what is ordered already.

use crate::catalog::Catalog;
use crate::diag::Problems;

use super::settings;
use super::stock;
use super::stock::Stock;
use super::tables::Tables;
use crate::job::Ordered;

/// Reads what is on its way; what has been received goes on the shelf.
pub(super) fn read(
    tables: &Tables,
    catalog: &Catalog,
    stock: &mut Stock,
    problems: &mut Problems,
) -> Vec<Ordered> {
    let Some(table) = tables.get("orders") else {
        return Vec::new();
    };
    let columns = &[
        "material", "quantity", "unit", "supplier", "ordered", "promised", "received", "notes",
    ];
    if !table.check_headings(columns, &["material", "quantity", "promised"], problems) {
        return Vec::new();
    }
    let mut all = Vec::new();
    for row in table.rows() {
        let mut day = |heading| settings::day(row.field(heading), problems);
        let (ordered, promised, received) = (day("ordered"), day("promised"), day("received"));
        let Some((material, quantity)) = stock::material(&row, catalog, problems) else {
            continue;
        };
        let supplier = row.field("supplier").text(problems).unwrap_or_default();
        if let Some(received) = received {
            if stock.all.contains_key(&material) {
                let text = format!(
                    "{quantity} of `{material}` received on {received} are counted beside what the stock table has of it"
                );
                problems.note(
                    Some(row.place()),
                    text,
                    "delete this row if they are counted in the stock table",
                );
            }
            stock.add(material, quantity, Some(received));
            continue;
        }
        let field = row.field("promised").required(problems);
        let Some(promised) = promised else { continue };
        if let Some(ordered) = ordered.filter(|ordered| *ordered > promised) {
            field.problem(
                format!("promised for {promised}, before it was ordered on {ordered}"),
                "check the two days",
                problems,
            );
            continue;
        }
        all.push(Ordered {
            at: row.place(),
            material,
            quantity,
            supplier,
            promised,
        });
    }
    all
}
