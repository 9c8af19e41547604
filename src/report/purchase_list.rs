//! The purchase list: orders ready to send, every material, and how each quantity came about.

use rust_decimal::Decimal;

use crate::catalog::Supplier;
use crate::plan::Plan;
use crate::purchase::Order;

use super::Column;
use super::Report;
use super::Sheet;
use super::Table;
use super::Value;
use super::about;
use super::cells::paper;
use super::cells::sheet_name;
use super::crates;
use super::leftovers;
use super::materials;
use super::ordered;
use super::orders;

/// The workbook for whoever orders supplies.
pub(super) fn build(plan: &Plan) -> Report {
    let mut sheets = vec![about::sheet(
        plan,
        "Purchase list: what to order from whom and by when. Send each order sheet as it stands.",
        &[
            "Sheet orders: one row an order, the most urgent first. The sheets after it: one order each.",
            "Sheet materials: what is needed in all, what is taken from the shelf, what is left over.",
            "Boxed cells are for you to write in: on each order's sheet the day it was sent and promised for, and what came; on the sheet \
             ordered what you bought elsewhere. Save the workbook and plan again with --progress this-file, or put it into the job folder: \
             what came is on the shelf then, and what is on its way is not bought again.",
            "Change a price or a number of packs and the sums follow.",
        ],
    )];
    sheets.push(
        Sheet::new("orders", "Orders, the most urgent first")
            .across()
            .note(format!(
                "All amounts in {}. The sum is {}.",
                plan.job.currency,
                plan.purchase.sure()
            ))
            .table(orders::overview(plan, true)),
    );
    sheets.extend(
        plan.purchase
            .orders
            .iter()
            .enumerate()
            .map(|(at, order)| order_sheet(plan, at + 1, order)),
    );
    sheets.push(ordered::sheet(plan));
    sheets.push(
        Sheet::new("materials", "Every material")
            .across()
            .table(materials::table(plan, true)),
    );
    sheets.push(
        Sheet::new("deliveries", "What arrives when")
            .across()
            .note("Each order arrives whole. What may not stand on site all at once, or would not keep, comes in stages.")
            .table(deliveries(plan)),
    );
    sheets.push(
        Sheet::new("why", "What was chosen against what")
            .across()
            .note("Freight, surcharges and minimum orders are weighed over all orders together, so one line may cost more than its next best.")
            .table(materials::reasons(plan)),
    );
    sheets.push(hazards(plan));
    sheets.push(
        Sheet::new("left over", "What is left over: return it or keep it")
            .across()
            .note(format!(
                "Worth {} % of its price to the next job (`kept_value` in job.toml). The shelf after the job is in stock-after.csv, which the next job reads as its stock.csv.",
                plan.job.buying.kept_value.value().normalize()
            ))
            .table(leftovers::table(plan)),
    );
    sheets.push(
        Sheet::new("needs", "What is needed by when")
            .across()
            .table(needs(plan)),
    );
    if !plan.crating.crates.is_empty() {
        sheets.extend(crates::sheets(plan));
    }
    sheets.push(about::derivations(
        plan,
        &["material/", "need/", "order/", "solution/"],
    ));
    sheets.push(about::cautions(plan));
    about::list_sheets(&mut sheets);
    Report {
        name: "purchase-list".into(),
        title: format!("{}: purchase list", plan.job.title),
        paper: paper(plan),
        sheets,
    }
}

fn order_sheet(plan: &Plan, number: usize, order: &Order) -> Sheet {
    let name = orders::supplier(plan, order);
    let lines = orders::lines_name(number);
    // A column that says nothing takes the room of the names.
    let is_told = order.lines.iter().any(|line| line.is_express);
    let mut columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::number("packs", 0),
        Column::text("pack of"),
        Column::money("price of a pack"),
        Column::money("amount")
            .summed()
            .computed("ROUND([packs]*[price of a pack],2)"),
        Column::number("kg a pack", 3),
        Column::number("tax (%)", 1),
    ];
    columns.extend(is_told.then(|| Column::text("delivery")));
    columns.extend([
        Column::day("need by"),
        Column::text("received (packs)").asked("how many packs came; yes is all of them"),
        Column::day("received on").asked("the day they came, such as 2027-01-15"),
        Column::text("reply").asked("what the supplier says; it is not read"),
    ]);
    let rows = order.lines.iter().map(|line| {
        let mut row = vec![
            Value::text(&line.material),
            Value::text(plan.material_name(&line.material)),
            Value::Decimal(line.packs.into()),
            Value::Text(line.pack.to_string()),
            Value::Decimal(line.unit_price.amount()),
            Value::Decimal(line.amount.cents().amount()),
            Value::Decimal(line.kilograms),
            Value::Decimal(line.tax.value()),
        ];
        row.extend(is_told.then(|| orders::delivery(line.is_express)));
        row.extend([
            Value::Day(line.need_by),
            Value::Empty,
            Value::Empty,
            Value::Empty,
        ]);
        row
    });
    let supplier = plan.job.catalog.suppliers.get(&order.supplier);
    Sheet::new(
        sheet_name(&format!("{number} {name}")),
        format!("Order to {name}"),
    )
    .across()
    .note(format!(
        "Send by {}. It has to be there by {}, and arrives on {} if it is sent on {}. Amounts in {}.",
        order.order_by.strftime("%A %Y-%m-%d"),
        order
            .lines
            .iter()
            .map(|line| line.need_by)
            .min()
            .unwrap_or(order.arrives),
        order.arrives.strftime("%A %Y-%m-%d"),
        plan.job.order_day,
        plan.job.currency
    ))
    .note(supplier.map_or_else(String::new, |supplier| terms(plan, supplier)))
    .table(whole(&name, order, number))
    .table(Table::new(&lines, columns).rows(rows))
    .table(sums(plan, order, number, supplier))
}

/// What to write of the whole order: when it was sent, for when it is promised, whether all of it came.
fn whole(supplier: &str, order: &Order, number: usize) -> Table {
    let columns = vec![
        Column::text("supplier"),
        Column::day("arrives"),
        Column::day("sent on").asked("the day you sent the order"),
        Column::day("promised for").asked("the day the supplier promised"),
        Column::day("all received on").asked("the day all of it came, if it came on one day"),
    ];
    let row = vec![
        Value::text(supplier),
        Value::Day(order.arrives),
        Value::Empty,
        Value::Empty,
        Value::Empty,
    ];
    Table::new(format!("Order{number}Sent"), columns).rows([row])
}

/// A supplier's terms in a sentence.
fn terms(plan: &Plan, supplier: &Supplier) -> String {
    let mut words = vec![format!("Minimum order {}", supplier.minimum_order)];
    words.push(format!(
        "freight {} and {} a kg{}",
        supplier.freight_fixed,
        supplier.freight_per_kg,
        supplier
            .freight_free_from
            .map_or_else(String::new, |from| format!(", free from {from}"))
    ));
    words.push(format!("hazard surcharge {}", supplier.hazard_surcharge));
    let rate = supplier
        .currency
        .as_ref()
        .and_then(|other| Some((other, plan.job.buying.rates.get(other)?)));
    if let Some((other, rate)) = rate {
        words.push(format!(
            "its prices are in {other}, 1 {other} = {rate} {}",
            plan.job.currency
        ));
    }
    format!("{}.", words.join("; "))
}

/// Goods, freight, surcharge, total and tax of one order, live.
fn sums(plan: &Plan, order: &Order, number: usize, supplier: Option<&Supplier>) -> Table {
    let lines = orders::lines_name(number);
    let tax = plan.job.terms.tax.value();
    let rows = [
        (
            "goods",
            format!("SUM({lines}[amount])"),
            order.goods.cents().amount(),
        ),
        (
            "freight",
            freight(&lines, supplier),
            order.freight.cents().amount(),
        ),
        (
            "hazard surcharge",
            String::new(),
            order.surcharge.cents().amount(),
        ),
        (
            "total of the order",
            "{-3:amount}+{-2:amount}+{-1:amount}".to_owned(),
            order.total.cents().amount(),
        ),
        (
            "tax",
            format!(
                "ROUND((SUMPRODUCT({lines}[amount],{lines}[tax (%)])+({{-3:amount}}+{{-2:amount}})*{tax})/100,2)"
            ),
            order.tax.cents().amount(),
        ),
        (
            "total with tax",
            "{-2:amount}+{-1:amount}".to_owned(),
            (order.total + order.tax).cents().amount(),
        ),
    ];
    let row = |(text, formula, amount): (&str, String, Decimal)| {
        let amount = if formula.is_empty() {
            Value::Decimal(amount)
        } else {
            Value::Formula(formula, amount)
        };
        vec![Value::text(text), amount]
    };
    Table::new(
        orders::sums_name(number),
        vec![Column::text("sum"), Column::money("amount")],
    )
    .rows(rows.into_iter().map(row))
}

/// The freight of an order as a formula: fixed and by weight, or nothing from a sum on.
fn freight(lines: &str, supplier: Option<&Supplier>) -> String {
    let Some(supplier) = supplier else {
        return String::new();
    };
    let charged = format!(
        "ROUND({}+{}*SUMPRODUCT({lines}[packs],{lines}[kg a pack]),2)",
        supplier.freight_fixed, supplier.freight_per_kg
    );
    match supplier.freight_free_from {
        Some(from) => format!("IF({{-1:amount}}>={from},0,{charged})"),
        None => charged,
    }
}

/// One row an order line, by the day it arrives.
fn deliveries(plan: &Plan) -> Table {
    let columns = vec![
        Column::day("soonest there"),
        Column::text("supplier"),
        Column::day("send by"),
        Column::text("material"),
        Column::text("what"),
        Column::number("quantity", 1),
        Column::text("unit"),
        Column::day("there by"),
        Column::text("keeps"),
    ];
    let mut orders: Vec<&Order> = plan.purchase.orders.iter().collect();
    orders.sort_by_key(|order| (order.arrives, order.order_by));
    let rows = orders.into_iter().flat_map(|order| {
        order.lines.iter().map(|line| {
            vec![
                Value::Day(order.arrives),
                Value::text(orders::supplier(plan, order)),
                Value::Day(order.order_by),
                Value::text(&line.material),
                Value::text(plan.material_name(&line.material)),
                Value::Decimal(line.quantity),
                Value::text(line.pack.unit.name()),
                Value::Day(line.need_by),
                leftovers::keeps(plan, &line.material),
            ]
        })
    });
    Table::new("Deliveries", columns).rows(rows)
}

/// Hazards and storage, with the limits of the places.
fn hazards(plan: &Plan) -> Sheet {
    let mut sheet = Sheet::new("hazards and storage", "Hazards and storage").across().note(
        "Read each safety data sheet before the first order. Local fire and health rules decide what may stand where, and competent people see to it.",
    );
    for air in &plan.exposure.air {
        let place = plan.job.places.get(air.place).map(|place| &place.name);
        if let Some((limit, place)) = air.flammable_limit.zip(place) {
            sheet = sheet.note(format!(
                "At `{place}` no more than {:.1} l of flammable liquid may stand at once; deliveries are staged to keep that.",
                limit.to_ml() / 1_000.0
            ));
        }
    }
    sheet.table(materials::hazards(plan))
}

fn needs(plan: &Plan) -> Table {
    let columns = vec![
        Column::text("material"),
        Column::text("what"),
        Column::number("quantity", 1),
        Column::text("unit"),
        Column::day("ready by"),
        Column::text("first used for"),
        Column::text("figure"),
    ];
    let rows = plan.purchase.demands.iter().map(|demand| {
        vec![
            Value::text(&demand.material),
            Value::text(plan.material_name(&demand.material)),
            Value::Decimal(demand.quantity.amount),
            Value::text(demand.quantity.unit.name()),
            Value::Day(demand.need_by),
            Value::text(&demand.first_use),
            Value::text(&demand.because),
        ]
    });
    Table::new("Needs", columns).rows(rows)
}
