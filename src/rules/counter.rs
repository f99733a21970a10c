//! What a counter is told of a thing beyond its size and ends, and what it would ask where nobody says.

use super::Rules;
use super::declare::rule;
use super::item::{Item, matches_kind};
use crate::model::{Size, same_folded};
use std::sync::Arc;

rule! {
    /// What an order says of a kind of thing, and what the counter asks where none of the answers is said.
    Counter "counter" {
        key kind: Arc<str> = Text;
        key_or_blank material: Arc<str> = Material;
        key_or_blank size: Option<Size> = Size;
        /// What is asked: `length`.
        key_or_blank asks: Arc<str> = Text;
        /// Words any of which answers it, a semicolon between them.
        optional answers: Arc<str> = Text;
        /// What is said of it in any case.
        optional says: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

impl Counter {
    /// Whether words answer what is asked; true where nothing is. An answer is a word of its own: `6 in`, not `insert`.
    pub fn is_answered(&self, words: &str) -> bool {
        let words = words.to_lowercase();
        let is_within = |answer: &str| {
            let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphabetic());
            words
                .match_indices(answer)
                .any(|(at, _)| edge(words[..at].chars().next_back()) && edge(words[at + answer.len()..].chars().next()))
        };
        self.asks.is_empty() || self.answers.split(';').any(|answer| is_within(&answer.trim().to_lowercase()))
    }
}

impl Rules {
    /// The rows of a thing.
    pub fn counter<'a>(&'a self, item: &'a Item) -> impl Iterator<Item = &'a Counter> {
        self.counter_rows().iter().filter(|row| {
            matches_kind(&row.kind, &item.kind)
                && (row.material.is_empty() || same_folded(&row.material, &item.material))
                && row.size.is_none_or(|size| item.sizes.first() == Some(&size))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_is_a_word() {
        let rules = Rules::embedded();
        let item = Item::new("supply line", "", &[]);
        let row = rules.counter(&item).next().unwrap();
        for (words, answered) in [("braided, 12 in", true), ("braided 12in", true), ("stainless, lined", false)] {
            assert_eq!(row.is_answered(words), answered, "{words}");
        }
    }
}
