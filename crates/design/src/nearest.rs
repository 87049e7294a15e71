//! The nearest known names to a mistyped one.

/// Up to three known names, nearest first, that plausibly were meant.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let word: Vec<char> = word.chars().take(64).collect();
    let allowed = (word.len() / 3).max(2);
    let mut found: Vec<(usize, &str)> = known
        .map(|name| (distance(&word, &name.chars().collect::<Vec<_>>()), name))
        .filter(|(d, _)| *d <= allowed)
        .collect();
    found.sort();
    found.into_iter().take(3).map(|(_, name)| name).collect()
}

/// `; did you mean "a" or "b"?`, or nothing.
pub(crate) fn suggestion<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<String> = nearest(word, known)
        .iter()
        .map(|n| format!("\"{n}\""))
        .collect();
    match names.is_empty() {
        true => String::new(),
        false => format!("; did you mean {}?", names.join(" or ")),
    }
}

/// Edits (insert, delete, replace) between two words, by Wagner and Fischer's table (1974).
fn distance(a: &[char], b: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let replaced = corner + usize::from(x != y);
            corner = row[j + 1];
            row[j + 1] = replaced.min(corner + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_word() {
        let known = ["lean_steer_deg", "bump_steer_deg", "caster_deg"];
        assert_eq!(
            nearest("lean_ster_deg", known.into_iter())[0],
            "lean_steer_deg"
        );
        assert!(nearest("colour", known.into_iter()).is_empty());
    }

    #[test]
    fn kitten_is_three_edits_from_sitting() {
        // The textbook pair of Levenshtein distance (from memory).
        let chars = |w: &str| w.chars().collect::<Vec<_>>();
        assert_eq!(distance(&chars("kitten"), &chars("sitting")), 3);
    }
}
