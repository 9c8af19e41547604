//! The shared strings of a workbook counted while they are unpacked: the reader takes memory for as many as the file says, whether they
//! are there or not, and for as many as there are, however short.

use std::io::Write;

/// The most strings; ten times what the largest table that is read could hold in a column of its own for each row.
const MOST: u64 = 5_000_000;

/// The attribute that says how many there are.
const SAID: &[u8] = b"uniqueCount";

/// What ends each, and begins it as a rule: both are counted.
const MARK: &[u8] = b"si>";

/// Counts what passes through it.
#[derive(Debug, Default)]
pub(super) struct Strings {
    /// The largest number said.
    said: u64,
    /// Beginnings and ends met.
    marks: u64,
    /// How much of the attribute has been met.
    in_said: usize,
    /// How much of a mark has been met.
    in_mark: usize,
    /// The number behind the attribute, while it is read.
    number: Option<u64>,
}

impl Strings {
    /// Says whether there are more than are read, or said to be.
    pub(super) const fn are_too_many(&self) -> bool {
        self.said > MOST || self.marks > MOST * 2
    }

    fn pass(&mut self, byte: u8) {
        self.in_mark = next(MARK, self.in_mark, byte);
        if self.in_mark == MARK.len() {
            self.marks += 1;
            self.in_mark = 0;
        }
        if let Some(number) = self.number {
            match byte {
                b'0'..=b'9' => {
                    let more = number
                        .saturating_mul(10)
                        .saturating_add(u64::from(byte - b'0'));
                    self.number = Some(more);
                    self.said = self.said.max(more);
                    return;
                }
                b'=' | b'"' | b'\'' | b' ' | b'\t' | b'\r' | b'\n' | b'+' if number == 0 => return,
                _ => self.number = None,
            }
        }
        self.in_said = next(SAID, self.in_said, byte);
        if self.in_said == SAID.len() {
            self.number = Some(0);
            self.in_said = 0;
        }
    }
}

/// How much of a word has been met once a byte is added; neither word repeats its own beginning.
fn next(word: &[u8], met: usize, byte: u8) -> usize {
    if word.get(met) == Some(&byte) {
        met + 1
    } else {
        usize::from(word.first() == Some(&byte))
    }
}

impl Write for Strings {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        for byte in bytes {
            self.pass(*byte);
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Strings {
        let mut strings = Strings::default();
        for part in text.as_bytes().chunks(7) {
            strings.write_all(part).unwrap();
        }
        strings
    }

    #[test]
    fn what_is_said_and_what_is_there_counts() {
        let few = of(r#"<sst count="9" uniqueCount="1187"><si><t>a</t></si><x:si></x:si></sst>"#);
        assert_eq!((few.said, few.marks), (1187, 4));
        assert!(!few.are_too_many());
        assert!(of("<sst uniqueCount = '4000000000'>").are_too_many());
        assert!(of("<sst uuniqueCount=\"99999999999999999999999\">").are_too_many());
        assert!(of(&"<si></si>".repeat(5_000_001)).are_too_many());
    }
}
