//! What a heading of the user's is: one of ours in any dress, one in another unit, a slip of the pen, or something else.

use crate::finding::nearly;
use crate::model::columns::{Column, Kind, Sheet};
use crate::model::fold;

/// Units as headings write them, folded, by the spelling that our own headings use.
const UNITS: &[(&str, &[&str])] = &[
    ("ft", &["ft", "feet", "foot", "lf", "linft"]),
    ("in", &["in", "inch", "inches"]),
    ("psi", &["psi", "psig"]),
    ("gpm", &["gpm", "gal/min"]),
    ("f", &["f", "degf"]),
    ("in/ft", &["in/ft", "inperft", "inch/foot"]),
    ("hours", &["hours", "hrs", "hr", "h"]),
    ("m", &["m", "meter", "meters", "metre", "metres"]),
    ("cm", &["cm"]),
    ("mm", &["mm"]),
    ("yd", &["yd", "yards"]),
    ("bar", &["bar"]),
    ("kPa", &["kpa"]),
    ("L/min", &["l/min", "lpm", "lps", "l/s", "m3/h"]),
    ("C", &["c", "degc", "celsius"]),
    ("minutes", &["minutes", "mins", "min"]),
];

/// What a heading turned out to be. Columns are indices into the declared list, found by looking through it: as such
/// they may be used to index it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Match {
    Name(usize),
    Alias(usize),
    WrongUnit(usize, &'static str),
    Slip(usize),
    Other,
}

/// The names of a sheet's columns, folded once.
pub(super) struct Names {
    pub declared: &'static Sheet,
    /// By column: its name, then its aliases, as written and folded.
    spellings: Vec<Vec<(&'static str, String)>>,
}

impl Names {
    pub(super) fn of(declared: &'static Sheet) -> Self {
        let all = |c: &'static Column| std::iter::once(&c.name).chain(c.aliases).map(|n| (*n, fold(n))).collect();
        Self { declared, spellings: declared.columns.iter().map(all).collect() }
    }

    /// What a heading is, slips of the pen included.
    pub(super) fn find(&self, text: &str) -> Match {
        match self.find_right(text) {
            Match::Other => {
                let slip = |s: &Vec<(&str, String)>| nearly(text, s.iter().map(|(name, _)| *name)).is_some();
                self.spellings.iter().position(slip).map_or(Match::Other, Match::Slip)
            }
            found => found,
        }
    }

    /// What a heading is when it is written right.
    pub(super) fn find_right(&self, text: &str) -> Match {
        if let Some(found) = self.by_name(text) {
            return found;
        }
        if let Some((base, remark)) = split_unit(text)
            && let Some(Match::Name(index) | Match::Alias(index)) = self.by_name(base)
        {
            let column = &self.declared.columns[index];
            return match (unit(remark), own_unit(column)) {
                (Some(found), Some(own)) if found != own => Match::WrongUnit(index, found),
                // A quantity may be in anything; words are in no unit, so this is a column of the user's own.
                (Some(_), None) if !column.kind.is_number() => Match::Other,
                _ => Match::Alias(index),
            };
        }
        Match::Other
    }

    /// By name or alias, alike but for case, spaces and punctuation. Signs alone, such as `$`, must be the same signs.
    fn by_name(&self, text: &str) -> Option<Match> {
        let folded = fold(text);
        let same = |(name, other): &(&str, String)| {
            if folded.is_empty() || other.is_empty() { name.trim() == text.trim() } else { folded == *other }
        };
        let names = self.spellings.iter().position(|s| s.first().is_some_and(same)).map(Match::Name);
        names.or_else(|| self.spellings.iter().position(|s| s.iter().skip(1).any(same)).map(Match::Alias))
    }
}

/// `Length (feet)`, `Length [feet]` or `Length feet` -> `Length`, `feet`. Without brackets only a unit is split off.
pub(super) fn split_unit(text: &str) -> Option<(&str, &str)> {
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some((base, rest)) = text.split_once(open) {
            return Some((base.trim(), rest.trim_end().trim_end_matches(close)));
        }
    }
    let (base, word) = text.trim().rsplit_once([' ', ','])?;
    unit(word).map(|_| (base.trim(), word))
}

/// The unit that a remark in a heading is.
pub(super) fn unit(text: &str) -> Option<&'static str> {
    let wanted = fold(text);
    UNITS.iter().find(|(_, spellings)| spellings.contains(&wanted.as_str())).map(|(unit, _)| *unit)
}

/// The unit that a declared column is in: the last word of its name; sizes are in inches.
fn own_unit(column: &Column) -> Option<&'static str> {
    if matches!(column.kind, Kind::Size | Kind::Sizes) {
        return Some("in");
    }
    unit(column.name.rsplit(' ').next().unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::{Fixture, Price, Run, Term};

    fn name(text: &str, declared: &'static Sheet) -> Option<&'static str> {
        match Names::of(declared).find(text) {
            Match::Name(i) | Match::Alias(i) => Some(declared.columns[i].name),
            _ => None,
        }
    }

    #[test]
    fn headings_are_known_in_any_dress() {
        for text in ["Length ft", "LENGTH FT", "Length (ft)", "length, feet", "Length [feet]", " Length ", "Feet"] {
            assert_eq!(name(text, &Run::SHEET), Some("Length ft"), "{text}");
        }
        assert_eq!(name("Price ($)", &Price::SHEET), Some("Price"));
        assert_eq!(name("Note (optional)", &Run::SHEET), Some("Note"));
        assert_eq!(name("$", &Term::SHEET), Some("Amount"));
        assert_eq!(name("#", &Term::SHEET), None);
    }

    #[test]
    fn a_foreign_unit_is_not_taken_for_ours() {
        for text in ["Length (m)", "Length meters", "Rise (in)", "Size (mm)"] {
            assert!(matches!(Names::of(&Run::SHEET).find(text), Match::WrongUnit(..)), "{text}");
        }
    }

    #[test]
    fn units_are_listed_folded() {
        for spelling in UNITS.iter().flat_map(|(_, spellings)| *spellings) {
            assert_eq!(fold(spelling), *spelling);
        }
    }

    #[test]
    fn slips_are_seen_and_other_columns_left_alone() {
        assert!(matches!(Names::of(&Run::SHEET).find("Lenght ft"), Match::Slip(_)));
        for text in ["Trench depth", "Photo", "Mat'l code", ""] {
            assert_eq!(Names::of(&Run::SHEET).find(text), Match::Other, "{text}");
        }
        assert_eq!(Names::of(&Fixture::SHEET).find("Drain (in)"), Match::Other);
    }
}
