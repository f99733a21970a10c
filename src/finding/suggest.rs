//! The nearest existing name for a mistyped one, or nothing: a suggestion is always a name that exists.

use crate::folding::fold;

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

/// The kind of thing nearest to what is written. What a thing is its last word says: `pipe insulation` is no pipe, and a
/// `brass ball valve` is a ball valve. Of several the kind that says most of its words; else a slip.
pub fn nearest_kind<'a>(typed: &str, kinds: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let words = |text: &str| -> Vec<String> {
        text.split_whitespace().map(|word| fold(word).trim_end_matches('s').to_owned()).collect()
    };
    let written = words(typed);
    let holds =
        |all: &[String], some: &[String]| all.last() == some.last() && some.iter().all(|word| all.contains(word));
    let kinds: Vec<(&str, Vec<String>)> = kinds.into_iter().map(|kind| (kind, words(kind))).collect();
    let said = kinds.iter().filter(|(_, kind)| holds(&written, kind)).rev().max_by_key(|(_, kind)| kind.len());
    // One word may be short for one kind; where it is the end of several nobody can tell.
    let longer = || {
        let mut longer = kinds.iter().filter(|(_, kind)| holds(kind, &written));
        longer.next().filter(|(first, _)| longer.all(|(other, _)| other == first))
    };
    let begins =
        |kind: &[String]| kind.len() != written.len() && kind.iter().zip(&written).all(|(one, other)| one == other);
    let slip = || nearest(typed, kinds.iter().filter(|(_, kind)| !begins(kind)).map(|(kind, _)| *kind));
    said.or_else(longer).map(|(kind, _)| *kind).or_else(slip)
}

/// The candidate that `typed` is a slip of: a letter or two wrong in a name of four or more. Stricter than [`nearest`],
/// for names that may well be the user's own and right as they are.
pub fn nearly<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = fold(typed);
    let length = wanted.chars().count();
    let most = (length / 4).min(2);
    let slips = |name: &'a str| {
        let name_folded = fold(name);
        // Names of other lengths cannot be near: no need to compare them letter by letter.
        let near = name_folded.chars().count().abs_diff(length) <= most;
        near.then(|| (strsim::osa_distance(&wanted, &name_folded), name))
    };
    let near = candidates.into_iter().filter_map(slips).min_by_key(|(slips, _)| *slips)?;
    (length >= 4 && (1..=most).contains(&near.0)).then_some(near.1)
}

/// True when `short` is how people shorten `name`: its beginning (`Len`, `Insul`), or its consonants (`Cnt`, `Sz`). Units
/// are the caller's to take off.
pub fn shortens(short: &str, name: &str) -> bool {
    let (short, name) = (fold(short), fold(name));
    let length = short.chars().count();
    if !name.is_ascii() || !short.bytes().all(|b| b.is_ascii_lowercase()) || length >= name.len() {
        return false;
    }
    let begins = length >= 3 && name.starts_with(&short);
    let vowels = short.bytes().skip(1).any(|b| b"aeiou".contains(&b));
    // Two letters say little of a longer word.
    let enough = length >= 3 || (length == 2 && name.len() <= 4);
    let mut rest = name.bytes();
    let in_order = short.bytes().all(|b| rest.any(|other| other == b));
    begins || (!vowels && enough && short.as_bytes().first() == name.as_bytes().first() && in_order)
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

    #[test]
    fn what_a_thing_is_its_last_word_says() {
        let kinds = ["pipe", "ball valve", "stop valve", "pipe insulation", "ring", "stub-out", "hammer arrester"];
        for (written, kind) in [
            ("pipe insulation tape", None),
            ("pipe wrap", None),
            ("foam pipe insulation", Some("pipe insulation")),
            ("insulation", Some("pipe insulation")),
            ("pipe insulaton", Some("pipe insulation")),
            ("brass ball valves", Some("ball valve")),
            ("valve", None),
            ("crimp ring", Some("ring")),
            ("arrester", Some("hammer arrester")),
            ("stubout", Some("stub-out")),
        ] {
            assert_eq!(nearest_kind(written, kinds), kind, "{written}");
        }
        assert_eq!(nearest_kind("pipe", ["pipe insulation"]), None);
    }

    #[test]
    fn words_are_shortened_at_their_end_or_by_their_vowels() {
        for (short, name) in
            [("Cnt", "Count"), ("Sz", "Size"), ("Len.", "Length"), ("Lgth", "Length"), ("Mtl", "Material")]
        {
            assert!(shortens(short, name), "{short} {name}");
        }
        for (short, name) in
            [("Photo", "Phone"), ("Co", "Count"), ("Count", "Count"), ("Line", "Length"), ("Ht", "Hours")]
        {
            assert!(!shortens(short, name), "{short} {name}");
        }
    }

    #[test]
    fn a_slip_is_a_letter_or_two() {
        assert_eq!(nearly("Lenght ft", ["Rise ft", "Length ft"]), Some("Length ft"));
        assert_eq!(nearly("Length ft", ["Length ft"]), None, "nothing is wrong with it");
        assert_eq!(nearly("Supplier phone", ["Supplier"]), None);
        assert_eq!(nearly("Ruf", ["Run"]), None);
    }
}
