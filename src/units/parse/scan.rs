//! Texts to plain characters, and the numbers in them.

use rust_decimal::Decimal;

use super::Misread;

/// The most letters of a text that a message repeats.
const MOST_SHOWN: usize = 60;

/// The longest text in which a measure is looked for.
const MOST_READ: usize = 400;

/// A text in plain characters, read from left to right.
#[derive(Clone, Debug)]
pub(super) struct Scanner {
    /// The text as written, for messages.
    pub(super) shown: String,
    text: Vec<char>,
    at: usize,
    decimal_comma: bool,
}

impl Scanner {
    pub(super) fn new(text: &str, decimal_comma: bool) -> Self {
        let plain = plain(text);
        Self {
            shown: shown(text),
            text: plain.trim().chars().collect(),
            at: 0,
            decimal_comma,
        }
    }

    /// What has not been read, without spaces at its ends.
    pub(super) fn rest(&self) -> String {
        self.text
            .iter()
            .skip(self.at)
            .collect::<String>()
            .trim()
            .to_owned()
    }

    pub(super) fn at_end(&self) -> bool {
        self.rest().is_empty()
    }

    fn peek(&self, ahead: usize) -> Option<char> {
        self.text.get(self.at + ahead).copied()
    }

    fn digit(&self, ahead: usize) -> bool {
        self.peek(ahead).is_some_and(|c| c.is_ascii_digit())
    }

    pub(super) fn skip_spaces(&mut self) {
        while self.peek(0) == Some(' ') {
            self.at += 1;
        }
    }

    /// Takes a character if it is next.
    pub(super) fn take(&mut self, wanted: char) -> bool {
        let found = self.peek(0) == Some(wanted);
        self.at += usize::from(found);
        found
    }

    /// Takes the letters and signs of a unit up to the next space, digit or mark; a dot behind letters is dropped.
    pub(super) fn word(&mut self) -> String {
        let mut word = String::new();
        while let Some(c) = self.peek(0).filter(|c| c.is_alphabetic()) {
            word.extend(c.to_lowercase());
            self.at += 1;
        }
        if word.is_empty() {
            if let Some(mark) = self.peek(0).filter(|c| matches!(c, '\'' | '"')) {
                self.at += 1;
                word.push(mark);
            }
        } else {
            self.take('.');
        }
        word
    }

    /// Reads a number that may end in a fraction: `126`, `3.2`, `126 1/2`, `126-1/2`, `1/2`; none where none begins.
    pub(super) fn number(&mut self) -> Result<Option<Number>, Misread> {
        self.skip_spaces();
        if let Some(fraction) = self.fraction()? {
            return Ok(Some(Number {
                value: fraction,
                whole: false,
                mark: false,
                digits: 0,
            }));
        }
        let Some(written) = self.run() else {
            return Ok(None);
        };
        let value = self.value_of(&written)?;
        let mut number = Number {
            value,
            whole: value.fract().is_zero(),
            mark: written.contains(['.', ',']),
            digits: written.chars().filter(char::is_ascii_digit).count(),
        };
        let before = self.at;
        if self.take('-') || self.peek(0) == Some(' ') {
            self.skip_spaces();
            match self.fraction()? {
                Some(_) if number.mark => {
                    let text = format!("`{}` has both a decimal mark and a fraction", self.shown);
                    return Err(Misread::new(
                        text,
                        "write one of them, such as `3.5` or `3 1/2`",
                    ));
                }
                Some(fraction) => {
                    number.value = number.value.saturating_add(fraction);
                    number.whole = false;
                }
                None => self.at = before,
            }
        }
        Ok(Some(number))
    }

    /// Reads `n/m`, less than one; none where there is none.
    fn fraction(&mut self) -> Result<Option<Decimal>, Misread> {
        let over = (0..5).take_while(|ahead| self.digit(*ahead)).count();
        if over == 0 || self.peek(over) != Some('/') || !self.digit(over + 1) {
            return Ok(None);
        }
        let under = (0..5)
            .take_while(|ahead| self.digit(over + 1 + ahead))
            .count();
        let number = |from: usize, length: usize| -> u32 {
            let digits: String = self.text.iter().skip(self.at + from).take(length).collect();
            digits.parse().unwrap_or(0)
        };
        let (top, bottom) = (number(0, over), number(over + 1, under));
        if top == 0
            || top >= bottom
            || self
                .peek(over + 1 + under)
                .is_some_and(|c| c.is_ascii_digit() || c == '/')
        {
            let text = format!(
                "`{}` holds `{top}/{bottom}`, which is no fraction between 0 and 1",
                self.shown
            );
            return Err(Misread::new(
                text,
                "write a whole number and a fraction, such as `10 1/2`",
            ));
        }
        self.at += over + 1 + under;
        Ok(Some(Decimal::from(top) / Decimal::from(bottom)))
    }

    /// Takes digits with their marks, and groups of three behind single spaces.
    fn run(&mut self) -> Option<String> {
        let is_mark = |c: Option<char>| matches!(c, Some('.' | ','));
        let leads = |c: Option<char>| c == Some('.') || c == Some(',') && self.decimal_comma;
        if !(self.digit(0) || leads(self.peek(0)) && self.digit(1)) {
            return None;
        }
        let mut run = String::new();
        let mut groups_allowed = true;
        loop {
            let mark = is_mark(self.peek(0)) && self.digit(1);
            match self.peek(0) {
                Some(c) if c.is_ascii_digit() || mark => {
                    run.push(c);
                    self.at += 1;
                    groups_allowed &= !mark;
                }
                Some(' ') if groups_allowed && self.group_follows(&run) => {
                    self.at += 1;
                    run.push(' ');
                }
                _ => break,
            }
        }
        Some(run)
    }

    /// Says whether a space and exactly three digits follow that continue the number before them.
    fn group_follows(&self, run: &str) -> bool {
        let last = run.rsplit(' ').next().map_or(0, str::len);
        let fits = if run.contains(' ') {
            last == 3
        } else {
            (1..=3).contains(&last) && !run.starts_with('0')
        };
        fits && (1..=3).all(|ahead| self.digit(ahead))
            && !self.digit(4)
            && self.peek(4) != Some('/')
    }

    /// Reads digits with marks under the job's decimal mark.
    fn value_of(&self, written: &str) -> Result<Decimal, Misread> {
        let digits: String = written.chars().filter(|c| *c != ' ').collect();
        let (mark, other) = if self.decimal_comma {
            (',', '.')
        } else {
            ('.', ',')
        };
        if digits.chars().filter(char::is_ascii_digit).count() > 24 {
            let text = format!("`{}` has more digits than a measure can have", self.shown);
            return Err(Misread::new(text, "check the number"));
        }
        let marks = digits.matches(mark).count();
        let others = digits.matches(other).count();
        if others == 0 && marks <= 1 {
            return Ok(decimal(&digits.replace(mark, ".")));
        }
        let (front, back) = digits.split_once(mark).unwrap_or((&digits, ""));
        let grouped = is_grouped(front, other) && !back.contains([mark, other]);
        if grouped && (others > 1 || marks == 1) {
            return Ok(decimal(&digits.replace(other, "").replace(mark, ".")));
        }
        if marks > 0 || others > 1 {
            let mark = if self.decimal_comma {
                "a comma"
            } else {
                "a point"
            };
            let text =
                format!("`{written}` cannot be read as one number whose decimal mark is {mark}");
            return Err(Misread::new(
                text,
                self.style_help("write the digits without grouping"),
            ));
        }
        // One foreign mark alone: `1,250`, `12,5` or `0,5` with a decimal point, `1.250`, `12.5` or `0.5` with a comma.
        let as_decimal = digits.replace(other, ".");
        if self.decimal_comma && !grouped {
            return Ok(decimal(&as_decimal));
        }
        let text = format!(
            "`{written}` could be {} or {as_decimal}",
            digits.replace(other, "")
        );
        let ours = as_decimal.replace('.', &mark.to_string());
        let help = format!("write `{}` or `{ours}`", digits.replace(other, ""));
        Err(Misread::new(
            text,
            if grouped {
                help
            } else {
                self.style_help(&format!("write `{ours}`"))
            },
        ))
    }

    fn style_help(&self, first: &str) -> String {
        let word = if self.decimal_comma { "point" } else { "comma" };
        format!("{first}, or set `decimal = \"{word}\"` in job.toml if all numbers are written so")
    }
}

/// A number as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Number {
    pub(super) value: Decimal,
    /// Whether nothing stands behind a decimal mark or in a fraction.
    pub(super) whole: bool,
    /// Whether it has a decimal mark.
    pub(super) mark: bool,
    /// How many digits it has.
    pub(super) digits: usize,
}

/// Says whether digits are grouped in threes by a mark, the first group not beginning with nought.
fn is_grouped(digits: &str, mark: char) -> bool {
    let mut groups = digits.split(mark);
    let first = groups.next().unwrap_or("");
    (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups.all(|group| group.len() == 3)
}

/// Reads at most 24 plain digits with at most one point: always a decimal.
fn decimal(digits: &str) -> Decimal {
    digits.parse().unwrap_or_default()
}

/// Writes typographic characters in their plain forms.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    for c in text.chars().take(MOST_READ) {
        match c {
            '\u{2032}' | '\u{2019}' | '\u{2018}' | '\u{b4}' | '`' => plain.push('\''),
            '\u{2033}' | '\u{201d}' | '\u{201c}' | '\u{201f}' => plain.push('"'),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            '\u{2212}' | '\u{2013}' | '\u{2010}' | '\u{2011}' => plain.push('-'),
            '×' => plain.push('x'),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '\u{200b}' | '\u{2060}' | '\u{feff}' => {}
            _ if c.is_whitespace() => plain.push(' '),
            _ => match fraction_of(c) {
                Some(fraction) => {
                    if plain.ends_with(|before: char| before.is_ascii_digit()) {
                        plain.push(' ');
                    }
                    plain.push_str(fraction);
                }
                None => plain.push(c),
            },
        }
    }
    plain.replace("''", "\"")
}

/// The fractions that Unicode has as one character.
fn fraction_of(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅕' => "1/5",
        '⅖' => "2/5",
        '⅗' => "3/5",
        '⅘' => "4/5",
        '⅙' => "1/6",
        '⅚' => "5/6",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

/// Cuts a text to what fits in a message, on one line, without backticks.
pub(super) fn shown(text: &str) -> String {
    let tidy = |c: char| match c {
        '`' => '\'',
        c if c.is_control() => ' ',
        c => c,
    };
    let short: String = text.trim().chars().take(MOST_SHOWN).map(tidy).collect();
    if text.trim().chars().count() > MOST_SHOWN {
        format!("{short}…")
    } else {
        short
    }
}
