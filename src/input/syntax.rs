//! What is wrong with a line of TOML, in the words of somebody who fills in a form, and what to write instead.

/// What to write, where a text is meant.
const TEXT: &str = "put the text between straight double quotation marks: `key = \"text\"`; one that holds a double quotation mark goes between \
                    single ones: `'10 ft 6\"'`";
const DATE: &str = "write a date as year-month-day without quotation marks, such as `2026-12-01`";
const COMMA: &str = "write a number with a decimal point, such as `38.50`, or put it between straight double quotation marks: then it is read as the \
                     job's `decimal` says";
const TABLE: &str =
    "write `[name]` or `[[name]]` on a line of its own, with as many brackets behind as before";
const LINE: &str = "write `key = value`: a number, `true`, a day such as `2026-12-01`, or a text between straight double quotation marks";

/// Turns a reader's message about a line into what is wrong and what to write.
pub(super) fn told(message: &str, line: &str) -> (String, &'static str) {
    let value = line.split_once('=').map_or(line, |(_, value)| value);
    let value = value.split('#').next().unwrap_or("").trim();
    let plain = |what: &str| format!("this line cannot be read: {what}");
    if message.contains("duplicate") {
        return doubled(line);
    }
    if value.contains(['“', '”', '„', '‘', '’']) && !value.contains('"') {
        let text = plain("its quotation marks are curly, as a word processor makes them");
        return (text, TEXT);
    }
    if is_like_a_date(value) {
        return (plain(&format!("`{value}` is no day")), DATE);
    }
    if has_decimal_comma(value) {
        return (plain(&format!("`{value}` has a comma in it")), COMMA);
    }
    if message.contains("date") || message.contains("time") {
        return (plain(message), DATE);
    }
    if message.contains("must be quoted") {
        let text = format!("`{value}` stands without quotation marks, and is no number");
        return (plain(&text), TEXT);
    }
    if message.contains("table") {
        return (plain(message), TABLE);
    }
    if message.contains("string") {
        return (plain("a quotation mark is missing"), TEXT);
    }
    if ["boolean", "float", "number", "integer"]
        .iter()
        .any(|word| message.contains(word))
    {
        let text = format!("`{value}` is neither a number nor a text between quotation marks");
        return (plain(&text), LINE);
    }
    (plain(message), LINE)
}

/// A key, or a table, that is there twice.
fn doubled(line: &str) -> (String, &'static str) {
    if line.trim_start().starts_with("[[") {
        return (
            "this table was begun with single brackets above".to_owned(),
            "write double brackets in all lines that begin one of several, such as `[[person]]`",
        );
    }
    if line.trim_start().starts_with('[') {
        return (
            "this table is there twice".to_owned(),
            "put all its keys below one of the two lines; of tables that come several times, write double brackets, such as `[[person]]`",
        );
    }
    (
        "this key is there twice".to_owned(),
        "keep one of the two lines",
    )
}

/// Says whether a value is a number with a comma where a point should be.
fn has_decimal_comma(value: &str) -> bool {
    let is_number = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let parts = value.split_once(',');
    parts.is_some_and(|(whole, rest)| is_number(whole) && is_number(rest))
}

/// Says whether a value looks like a day: three numbers, or a number, a month and a year.
fn is_like_a_date(value: &str) -> bool {
    let parts: Vec<&str> = value
        .split(['.', '/', '-', ' ', ','])
        .filter(|part| !part.is_empty())
        .collect();
    let [first, second, third] = parts.as_slice() else {
        return false;
    };
    let number = |part: &&str| part.bytes().all(|byte| byte.is_ascii_digit());
    let word = |part: &&str| part.chars().all(char::is_alphabetic) && part.chars().count() > 2;
    let year = |part: &&str| number(part) && part.len() == 4;
    let two = [first, second];
    (year(third) || year(first))
        && (number(second) || number(first) && word(second) || word(first) && number(second))
        && two.iter().any(|part| number(part))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_write_is_understood() {
        let cases = [
            ("title = “Hall”", "must be quoted", "curly", TEXT),
            (
                "title = Old hall # name",
                "values must be quoted",
                "`Old hall` stands",
                TEXT,
            ),
            ("first_day = 1.12.2026", "invalid float", "is no day", DATE),
            (
                "first_day = 26 February 2027",
                "must be quoted",
                "is no day",
                DATE,
            ),
            (
                "first_day = May 3, 2027",
                "must be quoted",
                "is no day",
                DATE,
            ),
            (
                "cost = 38,50 # an hour",
                "unexpected key or value, expected newline, `#`",
                "`38,50` has a comma",
                COMMA,
            ),
            (
                "count = three",
                "invalid boolean",
                "`three` is neither",
                LINE,
            ),
            (
                "unit = \"mm",
                "invalid basic string",
                "mark is missing",
                TEXT,
            ),
            (
                "temperature = 17 °C",
                "must be quoted",
                "`17 °C` stands",
                TEXT,
            ),
        ];
        for (line, message, says, help) in cases {
            let (text, found) = told(message, line);
            assert!(text.contains(says), "{line}: {text}");
            assert_eq!(found, help, "{line}");
        }
    }

    #[test]
    fn brackets_that_do_not_match_are_told_as_such() {
        assert!(
            told("duplicate key", "[[person]]")
                .0
                .contains("single brackets")
        );
        assert!(told("duplicate key", "[terms]").0.contains("there twice"));
        assert_eq!(
            told("duplicate key", "unit = 1").1,
            "keep one of the two lines"
        );
    }

    #[test]
    fn what_is_no_day_is_not_taken_for_one() {
        for value in ["3.2 m", "1.2.3", "10 ft 6", "2134 x 3658", "8:00-12:00"] {
            assert!(!is_like_a_date(value), "{value}");
        }
    }
}
