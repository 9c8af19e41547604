//! Bytes to text: UTF-8, UTF-16 with its mark, and Windows-1252 as the last resort, which is said aloud.

use crate::diag::Place;
use crate::diag::Problems;

/// Reads bytes as text; gives none, and a problem, where they are none.
pub(super) fn decode(file: &str, bytes: &[u8], problems: &mut Problems) -> Option<String> {
    let place = Place::File {
        file: file.to_owned(),
    };
    let utf16 = match bytes {
        [0xFF, 0xFE, rest @ ..] => Some((rest, u16::from_le_bytes as fn([u8; 2]) -> u16)),
        [0xFE, 0xFF, rest @ ..] => Some((rest, u16::from_be_bytes as fn([u8; 2]) -> u16)),
        _ => None,
    };
    let text = match utf16 {
        Some((rest, unit)) => wide(rest, unit),
        None if bytes.contains(&0) => None,
        None => Some(narrow(file, bytes, problems)),
    };
    match text {
        Some(text) if !text.contains('\0') => Some(text.trim_start_matches('\u{feff}').to_owned()),
        _ => {
            // Whoever wrote a table of settings did not mean a workbook.
            let is_toml = file.to_lowercase().ends_with(".toml");
            let (text, help) = if is_toml {
                (
                    "the file is no text",
                    "open it in a text editor and save it as UTF-8",
                )
            } else {
                (
                    "the file is neither text nor a workbook",
                    "save the table as CSV in UTF-8, or as .xlsx or .ods",
                )
            };
            problems.error(Some(place), text, help);
            None
        }
    }
}

/// Reads UTF-16.
fn wide(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Option<String> {
    let (pairs, rest) = bytes.as_chunks::<2>();
    let text =
        char::decode_utf16(pairs.iter().map(|pair| unit(*pair))).collect::<Result<String, _>>();
    text.ok().filter(|_| rest.is_empty())
}

/// Reads UTF-8, or else Windows-1252 with a warning that shows the first line concerned.
fn narrow(file: &str, bytes: &[u8], problems: &mut Problems) -> String {
    let broken = match std::str::from_utf8(bytes) {
        Ok(text) => return text.to_owned(),
        Err(error) => error.valid_up_to(),
    };
    let text: String = bytes.iter().map(|byte| windows_1252(*byte)).collect();
    let row = 1 + bytes
        .iter()
        .take(broken)
        .filter(|byte| **byte == b'\n')
        .count();
    let line = super::field::shortened(text.split('\n').nth(row - 1).unwrap_or(""));
    let place = Place::Cell {
        file: file.to_owned(),
        sheet: None,
        row,
        column: 0,
        heading: String::new(),
    };
    problems.warning(
        Some(place),
        format!("the file is not UTF-8; it was read as Windows-1252, which makes this line `{line}`"),
        "look whether its accents and signs are right; to be rid of this, save the file as `CSV UTF-8`",
    );
    text
}

/// The characters of Windows-1252 from 0x80 to 0x9F; the five codes without one become the replacement character.
///
/// Source: Unicode Consortium, mapping table CP1252.TXT (from memory).
const WINDOWS_1252: [char; 32] = [
    '€', '\u{fffd}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{fffd}', 'Ž',
    '\u{fffd}', '\u{fffd}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{fffd}',
    'ž', 'Ÿ',
];

fn windows_1252(byte: u8) -> char {
    let high = usize::from(byte)
        .checked_sub(0x80)
        .and_then(|index| WINDOWS_1252.get(index));
    high.copied().unwrap_or_else(|| char::from(byte))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(bytes: &[u8]) -> (Option<String>, Vec<String>) {
        let mut problems = Problems::new();
        let decoded = decode("panels.csv", bytes, &mut problems);
        let said = problems
            .iter()
            .map(|problem| format!("{}: {}", problem.level, problem.text))
            .collect();
        (decoded, said)
    }

    #[test]
    fn marks_are_dropped_and_utf_16_is_read() {
        assert_eq!(
            text("\u{feff}panel".as_bytes()),
            (Some("panel".to_owned()), Vec::new())
        );
        assert_eq!(text(b"\xFF\xFEp\0\xBD\0").0.unwrap(), "p½");
        assert_eq!(text(b"\xFE\xFF\0p\0\xBD").0.unwrap(), "p½");
        assert_eq!(text(b"\xFF\xFEp").0, None);
    }

    #[test]
    fn windows_1252_is_read_and_said() {
        let (read, said) = text(b"panel\nM\xFCnchen \x80 \xBD\n");
        assert_eq!(read.unwrap(), "panel\nMünchen € ½\n");
        assert_eq!(
            said,
            [
                "warning: the file is not UTF-8; it was read as Windows-1252, which makes this line `München € ½`"
            ]
        );
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert_eq!(
            text(b"\x7FELF\0\x01").1,
            ["error: the file is neither text nor a workbook"]
        );
    }
}
