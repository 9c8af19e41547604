//! Panels that share a page, and numbers that share a size, in few words.

/// Numbers in ascending order as words, neighbours joined: `1–4, 7`.
pub(super) fn runs(numbers: &[u64]) -> String {
    numbers
        .chunk_by(|a, b| a.checked_add(1) == Some(*b))
        .filter_map(|run| run.first().zip(run.last()))
        .map(|(first, last)| match last - first {
            0 => first.to_string(),
            1 => format!("{first}, {last}"),
            _ => format!("{first}–{last}"),
        })
        .collect::<Vec<_>>()
        .join(", ")
}

/// Panels by name, those of one row joined: `L1/1 to L1/3`.
pub(super) fn panels(ids: &[&str]) -> String {
    ids.chunk_by(|a, b| follows(a, b))
        .filter_map(|run| run.first().zip(run.last()).map(|ends| (run.len(), ends)))
        .map(|(many, (first, last))| match many {
            1 => (*first).to_owned(),
            2 => format!("{first}, {last}"),
            _ => format!("{first} to {last}"),
        })
        .collect::<Vec<_>>()
        .join(", ")
}

/// Says whether a panel is the next of the same row.
fn follows(a: &str, b: &str) -> bool {
    let parts = |id: &str| {
        let (row, number) = id.rsplit_once('/')?;
        Some((row.to_owned(), number.parse::<u64>().ok()?))
    };
    match (parts(a), parts(b)) {
        (Some((row, number)), Some((other, next))) => {
            row == other && number.checked_add(1) == Some(next)
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_are_joined() {
        assert_eq!(runs(&[1, 2, 3, 4, 7, 9, 10]), "1–4, 7, 9, 10");
        assert_eq!(runs(&[]), "");
        assert_eq!(
            panels(&["L1/1", "L1/2", "L1/3", "L2", "A/b/9", "A/b/10"]),
            "L1/1 to L1/3, L2, A/b/9, A/b/10"
        );
    }
}
