//! Grammar for messages: counts, lists, and the nearest known name.

/// Writes a count with its noun: `1 panel`, `3 panels`.
pub fn count(number: usize, noun: &str) -> String {
    match (number, noun.strip_suffix('y')) {
        (1, _) => format!("1 {noun}"),
        _ if noun == "person" => format!("{number} people"),
        (_, Some(stem)) if !stem.ends_with(['a', 'e', 'o', 'u']) => format!("{number} {stem}ies"),
        _ if noun.ends_with('x') || noun.ends_with("ch") => format!("{number} {noun}es"),
        _ => format!("{number} {noun}s"),
    }
}

/// Writes names as a list in backticks: `` `a`, `b` or `c` ``.
pub fn list<S: AsRef<str>>(names: &[S], joint: &str) -> String {
    let quoted: Vec<String> = names
        .iter()
        .map(|name| format!("`{}`", name.as_ref()))
        .collect();
    match quoted.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} {joint} {last}", rest.join(", ")),
    }
}

/// Finds the known name that was probably meant, if one is close enough.
pub fn nearest<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let found = found.to_lowercase();
    known
        .into_iter()
        .map(|name| {
            (
                strsim::damerau_levenshtein(&found, &name.to_lowercase()),
                name,
            )
        })
        .filter(|(distance, name)| *distance <= 1 + name.chars().count() / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_have_their_plural() {
        fn case(number: usize, noun: &str, text: &str) {
            assert_eq!(count(number, noun), text);
        }
        case(1, "panel", "1 panel");
        case(0, "panel", "0 panels");
        case(2, "activity", "2 activities");
        case(2, "day", "2 days");
        case(3, "box", "3 boxes");
        case(1, "person", "1 person");
        case(2, "person", "2 people");
    }

    #[test]
    fn lists_are_joined_as_in_speech() {
        assert_eq!(list(&["paste"], "or"), "`paste`");
        assert_eq!(
            list(&["paste", "glue", "resin"], "or"),
            "`paste`, `glue` or `resin`"
        );
        assert_eq!(list::<&str>(&[], "or"), "");
    }

    #[test]
    fn the_nearest_name_is_found_only_when_near() {
        let known = ["width", "height", "recipe"];
        assert_eq!(nearest("widht", known), Some("width"));
        assert_eq!(nearest("Recipes", known), Some("recipe"));
        assert_eq!(nearest("colour", known), None);
    }
}
