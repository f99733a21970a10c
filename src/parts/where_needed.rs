//! What a quantity is for, in a few words.

use crate::figure::Term;

/// Names that a quantity was counted for. Words cannot follow a changed size: where the quantity is no longer what they
/// were listed at, they give way to a word where to look.
pub(crate) fn counted_from(names: &[&str], quantity: &Term) -> Term {
    let look = Term::text("see Counts");
    if names.is_empty() {
        return quantity.above(&Term::number(0)).pick(&look, &Term::text("")).or_if_fault(&look);
    }
    let listed_at = Term::constant(quantity.value().clone());
    let unchanged = quantity.at_least(&listed_at).and(&listed_at.at_least(quantity));
    unchanged.pick(&Term::text(shortened(names)), &look).or_if_fault(&look)
}

/// The most letters of a list of names, what follows it aside.
const LETTERS: usize = 32;

/// Names in a row, each once, as far as there is room; then how many more there are.
pub(crate) fn shortened(names: &[&str]) -> String {
    let mut each: Vec<&str> = Vec::with_capacity(names.len());
    for name in names {
        if !each.contains(name) {
            each.push(name);
        }
    }
    let mut words = String::new();
    for (index, name) in each.iter().enumerate() {
        let comma = if index == 0 { "" } else { ", " };
        if index > 0 && words.len() + comma.len() + name.len() > LETTERS {
            return format!("{words} and {} more", each.len() - index);
        }
        words.push_str(comma);
        words.extend(name.chars().take(LETTERS));
    }
    words
}

#[cfg(test)]
mod tests {
    use super::shortened;

    #[test]
    fn long_lists_of_names_end_in_a_count() {
        assert_eq!(shortened(&["T1", "T2", "T1"]), "T1, T2");
        let names: Vec<String> = (1..=30).map(|n| format!("R{n}")).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        assert_eq!(shortened(&names), "R1, R2, R3, R4, R5, R6, R7, R8 and 22 more");
    }
}
