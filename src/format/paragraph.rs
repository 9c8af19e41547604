//! Words for a terminal of 80 columns: how wide they are there, where lines break, what may not reach it.

use unicode_width::UnicodeWidthChar;
use unicode_width::UnicodeWidthStr;

/// The widest line written.
pub(super) const COLUMNS: usize = 80;

/// Columns that words take: two for a wide letter, none for a mark on another.
pub(super) fn width_of(words: &str) -> usize {
    words.width()
}

/// As much of a name as fits so many columns, and the columns it takes.
pub(super) fn cut(name: &str, columns: usize) -> (String, usize) {
    let (mut kept, mut used) = (String::new(), 0);
    for letter in plain(name).chars() {
        let width = letter.width().unwrap_or(0);
        if used + width > columns {
            break;
        }
        used += width;
        kept.push(letter);
    }
    (kept, used)
}

/// Words without what would steer a terminal: control characters, and marks that turn the order of letters round from there on.
pub(super) fn plain(words: &str) -> String {
    let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    words
        .chars()
        .filter(|c| !turns(*c))
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// Breaks a paragraph so that no line is wider than 80 columns; the first line begins with a label, the others under its end.
///
/// Lines break at spaces, and within a word only where it is wider than a line.
pub fn wrap(label: &str, note: &str) -> String {
    let label = plain(label);
    let indent = width_of(&label);
    // A label as wide as the page stands above its words.
    let (mut text, indent) = if indent < COLUMNS {
        (label, indent)
    } else {
        (wrap("", &label), 0)
    };
    let mut used = indent;
    for word in plain(note).split_whitespace() {
        let mut word = word.to_owned();
        if used > indent && used + 1 + width_of(&word) > COLUMNS {
            new_line(&mut text, indent);
            used = indent;
        } else if used > indent {
            text.push(' ');
            used += 1;
        }
        while used + width_of(&word) > COLUMNS {
            let (piece, _) = cut(&word, COLUMNS - used);
            if piece.is_empty() && used == indent {
                break;
            }
            word = word.split_off(piece.len());
            text += &piece;
            new_line(&mut text, indent);
            used = indent;
        }
        used += width_of(&word);
        text += &word;
    }
    text + "\n"
}

fn new_line(text: &mut String, indent: usize) {
    text.push('\n');
    text.push_str(&" ".repeat(indent));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn widest(text: &str) -> usize {
        text.lines().map(width_of).max().unwrap_or(0)
    }

    #[test]
    fn words_break_at_spaces_and_long_ones_anywhere() {
        assert_eq!(wrap("Drums     ", "D1"), "Drums     D1\n");
        let text = wrap("Caution   ", &"lead ".repeat(40));
        assert!(
            widest(&text) <= COLUMNS && text.lines().count() == 3,
            "{text}"
        );
        let text = wrap("Caution   ", &"x".repeat(200));
        assert_eq!(widest(&text), COLUMNS);
        assert_eq!(text.matches('x').count(), 200);
    }

    #[test]
    fn wide_letters_count_twice_and_marks_not_at_all() {
        let text = wrap("", &"東の壁画".repeat(30));
        assert_eq!(widest(&text), COLUMNS);
        assert_eq!(text.matches('東').count(), 30);
        assert_eq!(cut("東の壁", 5), ("東の".to_owned(), 4));
        // An e with a combining accent is one column.
        assert_eq!(cut("e\u{301}a", 1), ("e\u{301}".to_owned(), 1));
    }

    #[test]
    fn a_label_wider_than_the_page_stands_above() {
        let text = wrap(&"n".repeat(100), "word");
        assert!(
            widest(&text) <= COLUMNS && text.ends_with("\nword\n"),
            "{text}"
        );
    }

    #[test]
    fn nothing_steers_the_terminal() {
        assert_eq!(plain("a\u{1b}[31m\u{202e}b\u{7}"), "a [31mb ");
    }
}
