//! What is ordered already: the job's table of orders, and the order sheets of a purchase list that somebody filled in.

use jiff::civil::Date;
use rust_decimal::Decimal;

use crate::catalog::Catalog;
use crate::diag::Problems;
use crate::input::Field;
use crate::input::Row;
use crate::input::Table;
use crate::units::Quantity;
use crate::units::Unit;

use super::bounds;
use super::saved::OrderSheet;
use super::saved::Saved;
use super::settings;
use super::stock;
use super::stock::Stock;
use super::tables::Tables;
use crate::job::Ordered;
use crate::job::Received;

/// The columns that a table of orders may have.
pub(super) const COLUMNS: &[&str] = &[
    "material", "quantity", "unit", "supplier", "ordered", "promised", "received", "notes",
];
/// Those it must have.
pub(super) const REQUIRED: [&str; 3] = ["material", "quantity", "promised"];

/// What is on its way, and what has come.
#[derive(Default)]
pub(super) struct Orders {
    pub(super) coming: Vec<Ordered>,
    pub(super) received: Vec<Received>,
}

/// Reads what is ordered; what has been received goes on the shelf too.
pub(super) fn read(
    tables: &Tables,
    saved: &Saved,
    catalog: &Catalog,
    stock: &mut Stock,
    problems: &mut Problems,
) -> Orders {
    let mut orders = Orders::default();
    let own = tables
        .get("orders")
        .filter(|table| table.check_headings(COLUMNS, &REQUIRED, problems));
    let before = saved
        .ordered_before
        .as_ref()
        .filter(|table| !table.is_empty());
    if let Some((own, _)) = own.filter(|own| !own.is_empty()).zip(before) {
        problems.note(
            Some(own.place()),
            "the table is not read: the purchase list's sheet `ordered` has what it had when the list was written",
            "write later orders on that sheet",
        );
    }
    let plain = before.or(own).into_iter().chain(&saved.orders);
    for row in plain.flat_map(Table::rows) {
        orders.read_row(&row, catalog, problems);
    }
    let listed = orders.received.len();
    for sheet in &saved.order_sheets {
        orders.read_sheet(sheet, catalog, problems);
    }
    for (at, row) in orders.received.iter().enumerate() {
        if at < listed && before.is_none() {
            row.note_counted(stock, problems);
        }
        stock.add(row.material.clone(), row.quantity, row.received);
    }
    orders
}

impl Received {
    /// Notes where the stock table has some of the material too: somebody may have counted it there already.
    fn note_counted(&self, stock: &Stock, problems: &mut Problems) {
        let Self {
            material, quantity, ..
        } = self;
        if stock.counted.contains(material) {
            let on = self
                .received
                .map_or_else(String::new, |day| format!(" on {day}"));
            let text = format!(
                "{quantity} of `{material}` received{on} are counted beside what the stock table has of it"
            );
            problems.note(
                Some(self.at.clone()),
                text,
                "delete this row if they are counted in the stock table",
            );
        }
    }
}

impl Orders {
    /// Reads a row of a table of orders.
    fn read_row(&mut self, row: &Row<'_>, catalog: &Catalog, problems: &mut Problems) {
        let mut day = |heading| settings::day(row.field(heading), problems);
        let (ordered, promised, received) = (day("ordered"), day("promised"), day("received"));
        let Some((material, quantity)) = stock::material(row, catalog, problems) else {
            return;
        };
        let supplier = row.field("supplier").text(problems).unwrap_or_default();
        if received.is_some() {
            self.received.push(Received {
                at: row.place(),
                material,
                quantity,
                supplier,
                ordered,
                received,
            });
            return;
        }
        let field = row.field("promised").required(problems);
        let Some(promised) = promised else { return };
        if in_order(&field, ordered, promised, problems) {
            self.coming.push(Ordered {
                at: row.place(),
                material,
                quantity,
                supplier,
                ordered,
                promised,
            });
        }
    }

    /// Reads an order sheet: nothing of an order that was neither sent nor came, else what came and what is still to come.
    fn read_sheet(&mut self, sheet: &OrderSheet, catalog: &Catalog, problems: &mut Problems) {
        let whole = Whole::read(sheet.whole.as_ref(), problems);
        for row in sheet.lines.rows() {
            let Some(line) = Line::read(&row, catalog, &whole, problems) else {
                continue;
            };
            let of = |packs: u32| Quantity {
                amount: (line.pack.amount * Decimal::from(packs)).normalize(),
                ..line.pack
            };
            if line.came > 0 {
                self.received.push(Received {
                    at: row.place(),
                    material: line.material.clone(),
                    quantity: of(line.came),
                    supplier: whole.supplier.clone(),
                    ordered: whole.sent,
                    received: line.on,
                });
            }
            let rest = line.packs.saturating_sub(line.came);
            let was_sent = whole.sent.is_some() || line.came > 0;
            if let Some(promised) = whole.promised.filter(|_| was_sent && rest > 0) {
                self.coming.push(Ordered {
                    at: row.place(),
                    material: line.material,
                    quantity: of(rest),
                    supplier: whole.supplier.clone(),
                    ordered: whole.sent,
                    promised,
                });
            }
        }
    }
}

/// Says whether an order is promised for no earlier a day than it was sent on.
fn in_order(
    promise: &Field<'_>,
    ordered: Option<Date>,
    promised: Date,
    problems: &mut Problems,
) -> bool {
    let late = ordered.filter(|ordered| *ordered > promised);
    if let Some(ordered) = late {
        promise.problem(
            format!("promised for {promised}, before it was ordered on {ordered}"),
            "check the two days",
            problems,
        );
    }
    late.is_none()
}

/// What an order sheet says of the whole order.
#[derive(Default)]
struct Whole {
    supplier: String,
    sent: Option<Date>,
    /// The day promised; without one the day that the plan reckoned with, or the day it was sent if that is later.
    promised: Option<Date>,
    received: Option<Date>,
}

impl Whole {
    fn read(table: Option<&Table>, problems: &mut Problems) -> Self {
        let Some(row) = table.and_then(|table| table.rows().next()) else {
            return Self::default();
        };
        let mut day = |heading| settings::day(row.field(heading), problems);
        let (arrives, sent) = (day("arrives"), day("sent on"));
        let (promised, received) = (day("promised for"), day("all received on"));
        let promise = row.field("promised for");
        if let Some(promised) = promised {
            in_order(&promise, sent, promised, problems);
        }
        if let Some((sent, received)) = sent.zip(received).filter(|(sent, came)| sent > came) {
            row.field("all received on").problem(
                format!("received on {received}, before it was sent on {sent}"),
                "check the two days",
                problems,
            );
        }
        Self {
            supplier: row.field("supplier").text(problems).unwrap_or_default(),
            sent,
            promised: promised.or_else(|| arrives.max(sent)),
            received,
        }
    }
}

/// A line of an order sheet.
struct Line {
    material: String,
    packs: u32,
    pack: Quantity,
    came: u32,
    on: Option<Date>,
}

impl Line {
    /// Reads a line; none where nothing can be made of it, which is told.
    fn read(
        row: &Row<'_>,
        catalog: &Catalog,
        whole: &Whole,
        problems: &mut Problems,
    ) -> Option<Self> {
        let field = row.field("material").required(problems);
        let (material, unit) = stock::known(&field, catalog, problems)?;
        let packs = row
            .field("packs")
            .required(problems)
            .whole(bounds::PACKS, problems)?;
        let pack = pack(&row.field("pack of").required(problems), unit, problems)?;
        let own = settings::day(row.field("received on"), problems);
        let on = own.or(whole.received);
        let field = row.field("received (packs)");
        let all = on.map_or(0, |_| packs);
        let came = match field.text(problems).map(|text| text.to_lowercase()) {
            None => all,
            Some(word) if ["yes", "all", "x", "true"].contains(&word.as_str()) => packs,
            Some(word) if ["no", "none", "false"].contains(&word.as_str()) => 0,
            Some(_) => field.whole(bounds::PACKS, problems)?,
        };
        if came > packs {
            field.problem(
                format!(
                    "{came} packs came, but {} ordered",
                    crate::diag::count(usize::try_from(packs).unwrap_or(0), "pack")
                ),
                "count packs, not what is in them; if more came than was ordered, change `packs` too",
                problems,
            );
            return None;
        }
        Some(Self {
            material,
            packs,
            pack,
            came,
            on,
        })
    }
}

/// Reads what a pack holds, as the purchase list writes it: `100 sheet`.
fn pack(field: &Field<'_>, unit: Unit, problems: &mut Problems) -> Option<Quantity> {
    let text = field.text(problems)?;
    // The list writes it with a point or, by the job's locale, with a comma, and never parts thousands.
    let text = text.replace(',', ".");
    let mut words = text.split_whitespace();
    let amount = words.next().and_then(|word| word.parse::<Decimal>().ok());
    let amount = amount.filter(|amount| amount.is_sign_positive() && !amount.is_zero());
    let is_unit = words.next() == Some(unit.name());
    let amount = amount.filter(|_| is_unit && words.next().is_none());
    if amount.is_none() {
        field.problem(
            format!("`{}` is no pack of this material", field.shown()),
            format!(
                "leave what the purchase list had, such as `100 {}`",
                unit.name()
            ),
            problems,
        );
    }
    amount.map(|amount| Quantity::new(amount, unit))
}
