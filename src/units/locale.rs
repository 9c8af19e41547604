//! How a country writes numbers and days: for what people read; files for programs stay the same everywhere.

/// The customs of one country.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Locale {
    /// Its name, such as `de-DE`: language and country.
    pub name: &'static str,
    /// Whether decimals follow a comma.
    pub decimal_comma: bool,
    /// How days are written.
    pub days: Days,
    /// The currency that people there most likely reckon in.
    pub currency: &'static str,
    /// Whether Letter is the usual paper; else it is A4.
    pub letter: bool,
}

/// How days are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Days {
    /// `2027-01-11`.
    YearFirst,
    /// Day, month, year in digits with this between them: `11.01.2027`.
    DayFirst(char),
    /// `11 Jan 2027`: in English the digits alone could be read two ways.
    DayMonthWord,
    /// `Jan 11, 2027`.
    MonthWordFirst,
}

const fn locale(
    name: &'static str,
    decimal_comma: bool,
    days: Days,
    currency: &'static str,
) -> Locale {
    Locale {
        name,
        decimal_comma,
        days,
        currency,
        letter: false,
    }
}

const fn on_letter(locale: Locale) -> Locale {
    Locale {
        letter: true,
        ..locale
    }
}

/// The customs that are known.
///
/// # Source
/// Unicode Common Locale Data Repository, as Python's babel 2 has it (`tests/reference/check_locales.py` compares); paper: the
/// territories of its element `paperSize` (from memory). Days in English are our own choice.
const ALL: [Locale; 17] = [
    locale("da-DK", true, Days::DayFirst('.'), "DKK"),
    locale("de-AT", true, Days::DayFirst('.'), "EUR"),
    locale("de-CH", false, Days::DayFirst('.'), "CHF"),
    locale("de-DE", true, Days::DayFirst('.'), "EUR"),
    locale("en-AU", false, Days::DayMonthWord, "AUD"),
    on_letter(locale("en-CA", false, Days::YearFirst, "CAD")),
    locale("en-GB", false, Days::DayMonthWord, "GBP"),
    locale("en-IE", false, Days::DayMonthWord, "EUR"),
    on_letter(locale("en-US", false, Days::MonthWordFirst, "USD")),
    locale("es-ES", true, Days::DayFirst('/'), "EUR"),
    on_letter(locale("fr-CA", true, Days::YearFirst, "CAD")),
    locale("fr-FR", true, Days::DayFirst('/'), "EUR"),
    locale("it-IT", true, Days::DayFirst('/'), "EUR"),
    locale("nl-NL", true, Days::DayFirst('-'), "EUR"),
    locale("pl-PL", true, Days::DayFirst('.'), "PLN"),
    locale("pt-PT", true, Days::DayFirst('/'), "EUR"),
    locale("sv-SE", true, Days::YearFirst, "SEK"),
];

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

impl Locale {
    /// How figures are written where a job says nothing: a decimal point, and days that sort and cannot be misread.
    pub const PLAIN: Self = locale("", false, Days::YearFirst, "");

    /// The names of all.
    pub fn names() -> impl Iterator<Item = &'static str> {
        ALL.iter().map(|locale| locale.name)
    }

    /// Finds one by its name.
    pub fn named(name: &str) -> Option<Self> {
        ALL.iter().copied().find(|locale| locale.name == name)
    }

    /// Writes the numbers and days within a text as people there do.
    ///
    /// A text of the program has decimal points and days such as `2027-01-11`; what stands between backticks is to be typed and stays as
    /// it is, and so does what only looks like a number: versions, names, parts of words.
    ///
    /// ```
    /// use facelay::units::Locale;
    /// let german = Locale::named("de-DE").unwrap();
    /// assert_eq!(german.words("13419.70 EUR by 2027-01-11, 0.5 mm"), "13419,70 EUR by 11.01.2027, 0,5 mm");
    /// assert_eq!(german.words("facelay 0.1.0, `0.5`, N1-2.5"), "facelay 0.1.0, `0.5`, N1-2.5");
    /// ```
    pub fn words(&self, text: &str) -> String {
        if !self.decimal_comma && self.days == Days::YearFirst {
            return text.to_owned();
        }
        let mut written = String::with_capacity(text.len() + 8);
        let mut typed = false;
        for token in tokens(text) {
            typed ^= token == "`";
            if typed {
                written.push_str(token);
            } else if let Some((year, month, day)) = date(token) {
                written.push_str(&self.date(year, month, day));
            } else if self.decimal_comma && is_decimal(token) {
                written.push_str(&token.replace('.', ","));
            } else {
                written.push_str(token);
            }
        }
        written
    }

    fn date(&self, year: &str, month: &str, day: &str) -> String {
        let name = month
            .parse::<usize>()
            .ok()
            .and_then(|month| MONTHS.get(month.checked_sub(1)?))
            .unwrap_or(&"");
        let short = day.trim_start_matches('0');
        match self.days {
            Days::YearFirst => format!("{year}-{month}-{day}"),
            Days::DayFirst(mark) => format!("{day}{mark}{month}{mark}{year}"),
            Days::DayMonthWord => format!("{short} {name} {year}"),
            Days::MonthWordFirst => format!("{name} {short}, {year}"),
        }
    }

    /// How spreadsheet programs are told to write days.
    pub const fn spreadsheet_days(&self) -> &'static str {
        match self.days {
            Days::YearFirst => "yyyy-mm-dd",
            Days::DayFirst('.') => "dd.mm.yyyy",
            Days::DayFirst('-') => "dd-mm-yyyy",
            Days::DayFirst(_) => "dd/mm/yyyy",
            Days::DayMonthWord => "d mmm yyyy",
            Days::MonthWordFirst => "mmm d, yyyy",
        }
    }
}

/// A text in runs of letters, digits, points and hyphens, and what stands between them; a point or hyphen at the end of a run is
/// punctuation and no part of it.
fn tokens(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        let first = rest.chars().next()?;
        let end = if is_inner(first) {
            let run = rest.find(|c| !is_inner(c)).unwrap_or(rest.len());
            let word = rest.get(..run).unwrap_or(rest).trim_end_matches(['.', '-']);
            word.len().max(first.len_utf8())
        } else {
            first.len_utf8()
        };
        let (token, after) = rest.split_at(end);
        rest = after;
        Some(token)
    })
}

fn is_inner(letter: char) -> bool {
    letter.is_alphanumeric() || matches!(letter, '.' | '-' | '_' | '/')
}

/// Year, month and day of a token such as `2027-01-11`.
fn date(token: &str) -> Option<(&str, &str, &str)> {
    let mut parts = token.split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    let digits =
        |part: &str, count| part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit());
    let whole = parts.next().is_none();
    (whole && digits(year, 4) && digits(month, 2) && digits(day, 2)).then_some((year, month, day))
}

/// Says whether a token is a number with one decimal point, a minus before it or not.
fn is_decimal(token: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let number = token.strip_prefix('-').unwrap_or(token);
    number
        .split_once('.')
        .is_some_and(|(whole, decimals)| digits(whole) && digits(decimals))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_days_are_written_as_people_do() {
        fn case(name: &str, text: &str, wanted: &str) {
            assert_eq!(Locale::named(name).unwrap().words(text), wanted, "{name}");
        }
        let text = "by Mon 2026-12-28: 6271.49 in all, 40 lines. At 16:10, -0.5 °C, (2.25 m2).";
        case(
            "de-DE",
            text,
            "by Mon 28.12.2026: 6271,49 in all, 40 lines. At 16:10, -0,5 °C, (2,25 m2).",
        );
        case(
            "en-US",
            text,
            "by Mon Dec 28, 2026: 6271.49 in all, 40 lines. At 16:10, -0.5 °C, (2.25 m2).",
        );
        case("en-GB", "2027-01-05.", "5 Jan 2027.");
        case("sv-SE", "2027-01-05, 1.5", "2027-01-05, 1,5");
        case(
            "fr-FR",
            "1.2.3 and a1.5 and 2027-01-05-x",
            "1.2.3 and a1.5 and 2027-01-05-x",
        );
        case(
            "fr-FR",
            "`--today 2027-01-05` on 2027-01-05",
            "`--today 2027-01-05` on 05/01/2027",
        );
        case("fr-FR", "3.", "3.");
        assert_eq!(Locale::PLAIN.words(text), text);
    }

    proptest::proptest! {
        #[test]
        fn no_text_loses_its_words(text in "\\PC*") {
            for locale in ALL {
                let letters = |text: &str| text.chars().filter(|c| !c.is_alphanumeric() && !" ,./-".contains(*c)).collect::<String>();
                proptest::prop_assert_eq!(letters(&locale.words(&text)), letters(&text));
            }
        }
    }
}
