//! The keys at the top of job.toml.

use jiff::civil::Date;

use crate::diag::Problems;
use crate::diag::list;
use crate::diag::nearest;
use crate::input::Document;
use crate::input::Field;
use crate::input::Section;
use crate::job::Paper;
use crate::units::Length;
use crate::units::LengthUnit;
use crate::units::Locale;
use crate::units::NumberStyle;
use crate::units::SizeOrder;

use super::bounds;

/// The keys that job.toml may have.
const KEYS: &[&str] = &[
    "title",
    "currency",
    "locale",
    "unit",
    "decimal",
    "size_order",
    "paper",
    "first_day",
    "hand_over",
    "order_day",
    "default_recipe",
    "today",
    "hold",
    "bay",
    "useful_offcut",
    "place",
    "person",
    "equipment",
    "terms",
    "purchase",
    "case",
    "odds",
    "drum",
    "crate",
    "tables",
];

/// The least side of an offcut worth keeping, where the job does not say.
const USEFUL_OFFCUT: Length = Length::whole_mm(150);

/// How the job writes measures.
pub(super) struct Writing {
    pub(super) style: NumberStyle,
    pub(super) order: SizeOrder,
    pub(super) paper: Paper,
    /// The job's customs, with its own decimal mark where it names one.
    pub(super) locale: Option<Locale>,
}

/// What stands at the top of job.toml; what could not be read is empty or none, its problem told.
pub(super) struct Settings {
    pub(super) title: String,
    pub(super) currency: String,
    pub(super) first_day: Option<Date>,
    pub(super) hand_over: Option<Date>,
    pub(super) order_day: Option<Date>,
    pub(super) default_recipe: Option<String>,
    pub(super) useful_offcut: Length,
}

impl Settings {
    /// The day on which the first orders are sent: the first working day where nothing else is said.
    pub(super) fn first_order(&self) -> Option<Date> {
        self.order_day.or(self.first_day)
    }
}

/// Reads how measures are written, which has to be known before any of them is read.
pub(super) fn writing(document: &Document, problems: &mut Problems) -> Writing {
    let root = document.root();
    let unit = root
        .field("unit")
        .required(problems)
        .one_of(&["mm", "cm", "m", "in", "ft"], problems);
    let unit = match unit {
        Some("cm") => LengthUnit::Cm,
        Some("m") => LengthUnit::M,
        Some("in") => LengthUnit::Inch,
        Some("ft") => LengthUnit::Foot,
        _ => LengthUnit::Mm,
    };
    let locale = locale(&root.field("locale"), problems);
    let decimal = root.field("decimal").one_of(&["point", "comma"], problems);
    let decimal_comma = decimal.map_or_else(
        || locale.is_some_and(|locale| locale.decimal_comma),
        |word| word == "comma",
    );
    let locale = locale.map(|locale| Locale {
        decimal_comma,
        ..locale
    });
    let order = match root
        .field("size_order")
        .one_of(&["height-first", "width-first"], problems)
    {
        Some("width-first") => SizeOrder::WidthFirst,
        _ => SizeOrder::HeightFirst,
    };
    let paper = root.field("paper").one_of(Paper::NAMES, problems);
    Writing {
        style: NumberStyle {
            unit,
            decimal_comma,
        },
        order,
        paper: Paper::named(paper, locale, unit),
        locale,
    }
}

/// Reads the name of a country's customs.
fn locale(field: &Field<'_>, problems: &mut Problems) -> Option<Locale> {
    let name = field.text(problems)?;
    let found = Locale::named(&name);
    if found.is_none() {
        let names: Vec<&str> = Locale::names().collect();
        let near = nearest(&name, names.iter().copied());
        let help = near.map_or_else(
            || format!("write one of {}, or delete the line", list(&names, "or")),
            |near| {
                format!(
                    "write `{near}` if that is meant; known are {}",
                    list(&names, "and")
                )
            },
        );
        field.problem(
            format!("`{}` is no locale that is known here", field.shown()),
            help,
            problems,
        );
    }
    found
}

/// Says which keys do not belong into job.toml.
pub(super) fn check_keys(root: &Section<'_>, problems: &mut Problems) {
    root.known(KEYS, problems);
}

/// Reads title, currency, days, the default recipe and what offcuts are kept.
pub(super) fn read(
    root: &Section<'_>,
    locale: Option<Locale>,
    problems: &mut Problems,
) -> Settings {
    let mut currency = root.field("currency");
    if locale.is_none() {
        currency = currency.required(problems);
    }
    let usual = locale.map_or("", |locale| locale.currency);
    let mut code = currency.text(problems).unwrap_or_else(|| usual.to_owned());
    if code.chars().count() > 4
        || code
            .chars()
            .any(|c| c.is_ascii_digit() || c.is_whitespace())
    {
        let text = format!("`{}` is no currency", currency.shown());
        currency.problem(
            text,
            "write its code or sign, such as `EUR` or `€`",
            problems,
        );
        code.clear();
    }
    Settings {
        title: root
            .field("title")
            .required(problems)
            .text(problems)
            .unwrap_or_default(),
        currency: code,
        first_day: day(root.field("first_day").required(problems), problems),
        hand_over: day(root.field("hand_over"), problems),
        order_day: day(root.field("order_day"), problems),
        default_recipe: root.field("default_recipe").text(problems),
        useful_offcut: root
            .field("useful_offcut")
            .length(bounds::USEFUL_OFFCUT, problems)
            .unwrap_or(USEFUL_OFFCUT),
    }
}

/// Reads a day of this century or the next, so that a slip of the pen does not plan for centuries.
pub(super) fn day(field: Field<'_>, problems: &mut Problems) -> Option<Date> {
    let date = field.date(problems)?;
    if !(2000..=2199).contains(&date.year()) {
        let text = format!("`{date}` is too far away: days must lie from 2000 to 2199");
        field.problem(text, "check the year", problems);
        return None;
    }
    Some(date)
}
