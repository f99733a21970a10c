//! What people write for a word of a list: what it means where it can mean one thing only, and what to ask where it can
//! mean several.

use super::fold;
use super::vocabulary::device_aliases;

/// By column: the word of its list that is meant, and what is written.
const MEANT: &[(&str, &[&str], &[&str])] = &[
    ("Where", &["joist bay"], &["joists", "joist", "joist space", "floor joists", "between joists"]),
    ("Where", &["inside"], &["interior"]),
    ("Where", &["inside wall"], &["interior wall", "in wall", "wall", "stud wall", "partition"]),
    ("Where", &["outside wall"], &["exterior wall", "outer wall"]),
    ("Where", &["crawl space"], &["crawl", "crawls"]),
    ("Where", &["buried"], &["underground", "in ground", "in the ground", "trench", "below grade"]),
    ("Where", &["in slab"], &["underslab", "under the slab", "below slab", "slab"]),
    ("Where", &["open"], &["exposed"]),
    ("Joints", &["allowed"], &["ok", "okay", "yes", "y", "true", "allow"]),
    ("Joints", &["none"], &["no", "n", "false", "no joints", "one piece"]),
    ("Status", &["existing"], &["exist", "existing to remain", "to remain", "ETR"]),
    ("Status", &["remove"], &["removed", "to be removed", "demo", "demolish"]),
    ("Status", &["by others"], &["others", "N.I.C.", "not in contract"]),
    ("Form", &["stick"], &["sticks", "straight", "straight lengths"]),
    ("Form", &["coil"], &["coils", "roll", "rolls"]),
    ("Phase", &["rough-in"], &["rough", "top-out"]),
    ("Phase", &["trim"], &["finish", "trim-out", "set fixtures"]),
    ("By", &["hired"], &["crew", "plumber"]),
    ("By", &["owner"], &["self", "me"]),
];

/// What could be meant where nobody but the writer knows which.
const PERHAPS: &[(&str, &[&str], &[&str])] = &[
    ("Kind", &["tank heater", "tankless heater"], &["heater", "water heater", "hot water heater", "HWH", "WH"]),
    ("Where", &["joist bay", "attic"], &["ceiling", "in ceiling", "above ceiling"]),
    ("Where", &["outside wall", "buried"], &["outside", "exterior", "outdoors", "outdoor"]),
    ("Where", &["open", "crawl space"], &["basement"]),
];

/// The place in the list of what a word means, where it is no word of the list itself.
pub(crate) fn meant(column: &str, list: &[&str], typed: &str) -> Option<usize> {
    let words = find(MEANT, column, typed)?;
    words.iter().find_map(|word| list.iter().position(|known| known == word))
}

/// The words of the list that may be meant.
pub(crate) fn perhaps(column: &str, list: &[&'static str], typed: &str) -> Vec<&'static str> {
    let words = find(PERHAPS, column, typed).unwrap_or_default();
    words.iter().copied().filter(|word| list.contains(word)).collect()
}

/// What people write for the words of this list: each everyday name, with the word it means.
pub(crate) fn everyday(column: &str, list: &[&str]) -> Vec<(&'static str, &'static str)> {
    let of_column = MEANT.iter().filter(|(of, ..)| *of == column);
    let mut names: Vec<_> = of_column.flat_map(|(_, meant, words)| words.iter().map(|w| (*w, meant[0]))).collect();
    if column == "Kind" {
        names.extend(device_aliases());
    }
    names.retain(|(_, meant)| list.contains(meant));
    names
}

type Entry = (&'static str, &'static [&'static str], &'static [&'static str]);

fn find(table: &'static [Entry], column: &str, typed: &str) -> Option<&'static [&'static str]> {
    let wanted = fold(typed);
    let written = |words: &[&str]| words.iter().any(|word| fold(word) == wanted);
    table.iter().find(|(of, _, words)| *of == column && written(words)).map(|(_, meant, _)| *meant)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::columns::{BY, DEVICE_KINDS, FORM, JOINTS, PHASES, STATUS, WHERE};
    use std::collections::BTreeSet;

    fn list(column: &str) -> &'static [&'static str] {
        match column {
            "Where" => WHERE,
            "Joints" => JOINTS,
            "Status" => STATUS,
            "Form" => FORM,
            "Phase" => PHASES,
            "By" => BY,
            _ => DEVICE_KINDS,
        }
    }

    #[test]
    fn every_word_means_one_thing_and_that_is_in_the_list() {
        let mut seen = BTreeSet::new();
        for (column, meant, written) in MEANT.iter().chain(PERHAPS) {
            assert!(meant.iter().any(|word| list(column).contains(word)), "{column}: {meant:?}");
            for word in *written {
                assert!(seen.insert((*column, fold(word))), "{column}: {word} twice");
                assert!(!list(column).contains(word), "{column}: {word} is in the list itself");
            }
        }
    }

    #[test]
    fn what_can_be_two_things_is_asked() {
        assert_eq!(perhaps("Kind", DEVICE_KINDS, "Water heater"), ["tank heater", "tankless heater"]);
        assert!(perhaps("Where", WHERE, "ceiling").contains(&"attic"));
        assert_eq!(perhaps("Where", WHERE, "ceiling").len(), 2);
        assert_eq!(meant("Where", WHERE, "ceiling"), None);
    }
}
