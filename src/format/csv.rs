//! A table to CSV: UTF-8, commas, one heading line, every column, numbers with a point, no cell that a spreadsheet would run.

use crate::report::Kind;
use crate::report::Table;
use crate::report::Value;

use super::CannotWrite;
use super::finite::finite;

/// Writes one table; totals are left out, as other programs add up for themselves.
///
/// # Errors
/// A row does not have a value for each column, or a number is none.
pub fn write_csv(table: &Table) -> Result<Vec<u8>, CannotWrite> {
    finite(table)?;
    let cannot = |why: &dyn ToString| CannotWrite {
        file: format!("{}.csv", table.name),
        why: why.to_string(),
    };
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer
        .write_record(table.columns.iter().map(|column| column.heading.as_str()))
        .map_err(|e| cannot(&e))?;
    for row in &table.rows {
        let cells = table
            .columns
            .iter()
            .zip(row)
            .map(|(column, value)| cell(value, column.kind));
        writer.write_record(cells).map_err(|e| cannot(&e))?;
    }
    writer.into_inner().map_err(|e| cannot(&e))
}

fn cell(value: &Value, kind: Kind) -> String {
    match value {
        Value::Empty => String::new(),
        Value::Text(text) => guarded(text),
        Value::Number(number) => match kind {
            Kind::Number(decimals) => format!("{number:.*}", usize::from(decimals)),
            Kind::Text | Kind::Money | Kind::Percent | Kind::Day | Kind::Time => number.to_string(),
        },
        Value::Decimal(number) | Value::Formula(_, number) => match kind {
            Kind::Money => format!("{number:.2}"),
            Kind::Text | Kind::Number(_) | Kind::Percent | Kind::Day | Kind::Time => {
                number.normalize().to_string()
            }
        },
        Value::Day(day) => day.to_string(),
        Value::Time(time) => time.strftime("%Y-%m-%dT%H:%M").to_string(),
    }
}

/// Puts an apostrophe before words that a spreadsheet would take for a formula.
fn guarded(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Column;
    use rust_decimal::Decimal;

    #[test]
    fn formulas_are_written_as_words_and_money_with_cents() {
        let table =
            Table::new("lines", vec![Column::text("what"), Column::money("amount")]).rows([
                vec![Value::text("=cmd()"), Value::Decimal(Decimal::from(7))],
                vec![
                    Value::text("brush, 50 mm"),
                    Value::Formula("1+1".into(), Decimal::new(2505, 3)),
                ],
            ]);
        let text = String::from_utf8(write_csv(&table).unwrap()).unwrap();
        assert_eq!(
            text,
            "what,amount\r\n'=cmd(),7.00\r\n\"brush, 50 mm\",2.50\r\n"
        );
    }
}
