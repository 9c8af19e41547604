//! What people wrote into facelay's own workbooks, or into tables given beside the job: which sheet holds what.
//!
//! Sheets are told by the headings of their tables, never by their names or places, so that a workbook may be sorted, filtered,
//! renamed and saved as XLSX or ODS.

use std::collections::BTreeMap;

use crate::diag::Place;
use crate::diag::Problems;
use crate::input::Table;
use crate::input::tables;
use crate::units::NumberStyle;

use super::ordered;
use super::planning;
use super::stock;

/// The workbooks that are read when they lie in the job folder.
const OWN: [&str; 2] = ["purchase-list", "labour-schedule"];

/// An order sheet of a purchase list: what is said of the whole order, and its lines.
pub(super) struct OrderSheet {
    pub(super) whole: Option<Table>,
    pub(super) lines: Table,
}

/// Tables with what is done, ordered and on the shelf; their headings are checked.
#[derive(Default)]
pub(super) struct Saved {
    pub(super) progress: Vec<Table>,
    pub(super) orders: Vec<Table>,
    pub(super) stock: Vec<Table>,
    pub(super) order_sheets: Vec<OrderSheet>,
    /// The purchase list's own list of what is ordered already: it has what the job's table of orders had.
    pub(super) ordered_before: Option<Table>,
}

/// The headings by which the lines of an order sheet are told.
const LINES: [&str; 4] = ["material", "packs", "pack of", "received (packs)"];
/// The headings by which what is said of a whole order is told.
const WHOLE: [&str; 3] = ["arrives", "sent on", "promised for"];
/// The headings by which a list of orders is told.
const ORDERS: [&str; 3] = ["material", "quantity", "promised"];
/// The headings by which a list of what is done is told.
const PROGRESS: [&str; 3] = ["panel", "step", "done"];

impl Saved {
    /// Finds what is written in the job folder's own workbooks and in files given beside it, by name and bytes.
    pub(super) fn find(
        files: &BTreeMap<String, Vec<u8>>,
        given: &[(String, Vec<u8>)],
        style: NumberStyle,
        problems: &mut Problems,
    ) -> Self {
        let mut saved = Self::default();
        let mut purchase_list: Option<String> = None;
        let own = OWN.iter().flat_map(|name| {
            let endings = ["xlsx", "ods"].map(|ending| format!("{name}.{ending}"));
            endings
                .into_iter()
                .filter_map(|file| files.get_key_value(&file))
        });
        let own = own.map(|(name, bytes)| (name, bytes, true));
        let given = given.iter().map(|(name, bytes)| (name, bytes, false));
        for (name, bytes, in_folder) in own.chain(given) {
            let said = problems.iter().count();
            let orders = saved.order_sheets.len();
            let found = saved.take(tables(name, bytes, style, problems), problems);
            // A file that cannot be read at all has been told already.
            if !found && problems.iter().count() == said {
                nothing_found(name, in_folder, problems);
            }
            let carried = saved.ordered_before.as_ref();
            let lists = saved.order_sheets.len() > orders
                || carried.is_some_and(|table| table.file() == name.as_str());
            if lists && let Some(first) = purchase_list.replace(name.clone()) {
                two_lists(&first, name, problems);
            }
        }
        saved
    }

    /// Sorts a file's tables; says whether any was one to read.
    fn take(&mut self, sheets: Vec<Table>, problems: &mut Problems) -> bool {
        let mut found = false;
        for sheet in sheets {
            found |= if sheet.sheet().is_some() {
                self.take_sheet(&sheet)
            } else {
                self.take_plain(sheet, problems)
            };
        }
        found
    }

    fn take_sheet(&mut self, sheet: &Table) -> bool {
        if let Some(lines) = sheet.part(&LINES) {
            let whole = sheet.part(&WHOLE);
            self.order_sheets.push(OrderSheet { whole, lines });
        } else if let Some(orders) = sheet.part(&ORDERS) {
            self.ordered_before = Some(orders);
        } else if let Some(progress) = sheet.part(&PROGRESS) {
            self.progress.push(progress);
        } else if let Some(stock) = sheet
            .part(&stock::REQUIRED)
            .filter(|_| sheet.is_named("stock"))
        {
            self.stock.push(stock);
        } else {
            return false;
        }
        true
    }

    /// Takes a table of a CSV file, whose headings are those of the job's own tables.
    fn take_plain(&mut self, table: Table, problems: &mut Problems) -> bool {
        let has = |names: &[&str]| names.iter().all(|name| table.has(name));
        let (known, required, kept) = if has(&planning::REQUIRED) {
            (
                planning::COLUMNS,
                &planning::REQUIRED[..],
                &mut self.progress,
            )
        } else if has(&ordered::REQUIRED) {
            (ordered::COLUMNS, &ordered::REQUIRED[..], &mut self.orders)
        } else if has(&stock::REQUIRED) {
            (stock::COLUMNS, &stock::REQUIRED[..], &mut self.stock)
        } else {
            return false;
        };
        if table.check_headings(known, required, problems) {
            kept.push(table);
        }
        true
    }
}

fn place(file: &str) -> Place {
    Place::File {
        file: file.to_owned(),
    }
}

fn nothing_found(file: &str, in_folder: bool, problems: &mut Problems) {
    let text = "there is nothing in it that could be read back: no order sheets, no sheet `what is done`, no table of progress, orders or stock";
    if in_folder {
        problems.warning(
            Some(place(file)),
            text,
            "give it another name if facelay did not write it",
        );
    } else {
        problems.error(
            Some(place(file)),
            text,
            "give the purchase list or the labour schedule that facelay wrote, or a CSV file with the columns of progress, orders or stock",
        );
    }
}

fn two_lists(first: &str, second: &str, problems: &mut Problems) {
    problems.error(
        Some(place(second)),
        format!("orders are in it and in `{first}` too, so that goods would count twice"),
        "give the latest purchase list only: what an earlier one had stands on its sheet `ordered`",
    );
}
