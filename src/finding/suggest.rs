//! The nearest existing name for a mistyped one, or nothing: a suggestion is always a name that exists.

use crate::model::fold;

/// The candidate nearest to `typed`, when it is near enough to be meant: a third of the letters may differ, and a
/// beginning counts as near. Ties go to the earlier candidate.
pub fn nearest<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = fold(typed);
    if wanted.is_empty() {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let name = fold(candidate);
        let longest = wanted.chars().count().max(name.chars().count());
        let begins = name.len() >= 3 && wanted.len() >= 3 && (name.starts_with(&wanted) || wanted.starts_with(&name));
        let distance = if begins { 1 } else { strsim::osa_distance(&wanted, &name) };
        let near = distance <= (longest / 3).max(1) && distance < longest;
        if near && best.is_none_or(|(d, _)| distance < d) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_suggestion_is_near_and_exists() {
        assert_eq!(nearest("lavatry", ["bathtub", "lavatory"]), Some("lavatory"));
        assert_eq!(nearest("M1A", ["M1", "K1"]), Some("M1"));
        assert_eq!(nearest("zebra", ["bathtub", "lavatory"]), None);
        assert_eq!(nearest("", ["bathtub"]), None);
    }
}
