//! The type that drawings are written with: how wide words are, where lines break, which characters there are.

use std::sync::LazyLock;

use ttf_parser::Face;

use super::Type;

/// The plain face.
pub(crate) const PLAIN: &[u8] = include_bytes!("../../../catalogs/fonts/DejaVuSans.ttf");
/// The bold face.
pub(crate) const BOLD: &[u8] = include_bytes!("../../../catalogs/fonts/DejaVuSans-Bold.ttf");

static FACES: LazyLock<[Option<Face<'static>>; 2]> =
    LazyLock::new(|| [Face::parse(PLAIN, 0).ok(), Face::parse(BOLD, 0).ok()]);

/// Stands where the face has no such character.
const UNKNOWN: char = '\u{fffd}';

/// Width of a line of words in millimetres.
pub(crate) fn text_width(words: &str, size: f64, bold: bool) -> f64 {
    let [plain, heavy] = &*FACES;
    let Some(face) = (if bold { heavy } else { plain }) else {
        return 0.0;
    };
    let units: f64 = legible(words)
        .chars()
        .filter_map(|letter| face.glyph_index(letter))
        .filter_map(|glyph| face.glyph_hor_advance(glyph))
        .map(f64::from)
        .sum();
    units * size / f64::from(face.units_per_em())
}

/// The words with a sign for every character that a face lacks, on one line, without marks that turn the direction of writing.
pub(super) fn legible(words: &str) -> String {
    let known = |letter: char| {
        FACES
            .iter()
            .flatten()
            .all(|face| face.glyph_index(letter).is_some_and(|glyph| glyph.0 != 0))
    };
    let steers = |letter: &char| matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}');
    words
        .chars()
        .filter(|letter| !steers(letter))
        .map(|letter| match letter {
            letter if letter.is_control() || letter.is_whitespace() => ' ',
            letter if known(letter) => letter,
            _ => UNKNOWN,
        })
        .collect()
}

/// Says whether the words can be written as they are.
pub(crate) fn is_legible(words: &str) -> bool {
    legible(words) == words
}

/// As many of the words as fit a width, with `…` where some are left out.
pub(crate) fn shorten(words: &str, face: Type, width: f64) -> String {
    let words = legible(words);
    if text_width(&words, face.size, face.bold) <= width {
        return words;
    }
    let mut kept = String::new();
    let mut room = width - text_width("…", face.size, face.bold);
    for letter in words.chars() {
        room -= text_width(letter.encode_utf8(&mut [0; 4]), face.size, face.bold);
        if room < 0.0 {
            break;
        }
        kept.push(letter);
    }
    kept + "…"
}

/// Breaks words into lines no wider than so many millimetres; a word that is wider alone is broken too.
pub(crate) fn wrap(words: &str, face: Type, width: f64) -> Vec<String> {
    let space = text_width(" ", face.size, face.bold);
    let mut lines: Vec<String> = Vec::new();
    let mut used = f64::INFINITY;
    for word in legible(words)
        .split(' ')
        .filter(|word| !word.is_empty())
        .flat_map(|word| broken(word, face, width))
    {
        let wide = text_width(&word, face.size, face.bold);
        match lines.last_mut() {
            Some(line) if used + space + wide <= width => {
                line.push(' ');
                line.push_str(&word);
                used += space + wide;
            }
            Some(_) | None => {
                lines.push(word);
                used = wide;
            }
        }
    }
    lines
}

/// A word in parts that are no wider than a line.
fn broken(word: &str, face: Type, width: f64) -> Vec<String> {
    if text_width(word, face.size, face.bold) <= width {
        return vec![word.to_owned()];
    }
    let mut parts = Vec::new();
    let (mut part, mut used) = (String::new(), 0.0);
    for letter in word.chars() {
        let wide = text_width(letter.encode_utf8(&mut [0; 4]), face.size, face.bold);
        if used + wide > width && !part.is_empty() {
            parts.push(std::mem::take(&mut part));
            used = 0.0;
        }
        part.push(letter);
        used += wide;
    }
    parts.push(part);
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_faces_have_what_sheets_are_written_with() {
        let needed = "Aaz09äéß×±≤½⅝′″Ø·–—²→☐✓'\"/…⌀…\u{fffd}";
        assert_eq!(legible(needed), needed);
    }

    #[test]
    fn what_cannot_be_written_is_marked_and_nothing_turns_the_line() {
        assert_eq!(legible("面1\n\u{202e}2"), "\u{fffd}1 2");
    }

    #[test]
    fn lines_stay_within_their_width_and_lose_nothing() {
        let words = "one two three Donaudampfschifffahrtsgesellschaft seven";
        let lines = wrap(words, Type::plain(3.0), 20.0);
        for line in &lines {
            assert!(text_width(line, 3.0, false) <= 20.0, "{line}");
        }
        assert_eq!(lines.join("").replace(' ', ""), words.replace(' ', ""));
        assert!(text_width(&shorten(words, Type::plain(3.0), 20.0), 3.0, false) <= 20.0);
    }
}
