//! Every kind of finding that the program can make, for the guide.

use crate::finding::{self, Declaration};
use crate::{buy, check, input, labor, model, order, price, quote, read, revise, rules, subjects};

/// Those of the stages.
const LISTS: &[&[Declaration]] = &[
    finding::LIST,
    model::findings::LIST,
    rules::findings::LIST,
    read::findings::file::LIST,
    read::findings::sheets::LIST,
    input::findings::LIST,
    read::findings::kept::LIST,
    check::findings::job::LIST,
    check::findings::values::LIST,
    check::findings::prices::LIST,
    buy::findings::LIST,
    labor::findings::LIST,
    price::findings::LIST,
    order::findings::LIST,
    quote::findings::LIST,
    revise::findings::LIST,
    super::findings::LIST,
];

/// All of them, by name.
pub fn all_findings() -> Vec<&'static Declaration> {
    let mut all: Vec<&Declaration> = LISTS.iter().copied().flatten().chain(subjects::findings()).collect();
    all.sort_by_key(|declared| declared.slug);
    all
}
