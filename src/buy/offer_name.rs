//! What an offer is called where it is chosen: its supplier, and as much more as tells it from the other offers of the
//! line. A name stays with its row wherever Prices is sorted to, which a row number does not.

use crate::figure::{Book, Term, Value};
use crate::input::raw_value;
use crate::model::{Field, Job, Price, Raw, fold};
use crate::rules::{Rules, fits};
use crate::takeoff::Line;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Longer texts are looked up by no spreadsheet program.
const LONGEST: usize = 200;

/// What may be part of a name, in the order in which it is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Supplier,
    Unit,
    CatalogNumber,
    Pack,
    Water,
    Material,
    /// That it is a price break; from how many Units on is a number, which may change.
    Break,
    From,
    Least,
    Description,
    /// Which of several rows that say all the same.
    Number(usize),
}

/// What tells offers apart where the supplier does not.
const MORE: [Part; 9] = [
    Part::Unit,
    Part::CatalogNumber,
    Part::Break,
    Part::Pack,
    Part::Water,
    Part::Material,
    Part::From,
    Part::Least,
    Part::Description,
];

/// The name of one offer among those of a line.
#[derive(Debug, Clone)]
pub(crate) struct OfferName {
    parts: Vec<Part>,
    text: String,
}

impl Part {
    fn words(self, of: &Price) -> String {
        let number = |head: &str, field: &Field<_>| match shown(&field.raw) {
            text if text.is_empty() => text,
            text => format!("{head}{text}"),
        };
        match self {
            Part::Supplier if shown(&of.supplier.raw).is_empty() => ANY.to_owned(),
            Part::Supplier => shown(&of.supplier.raw),
            Part::Unit => shown(&of.unit.raw),
            Part::Pack => number(PACK, &of.pack),
            Part::CatalogNumber => shown(&of.part.raw),
            Part::Water => shown(&of.water.raw),
            Part::Material => shown(&of.material.raw),
            Part::Break if of.is_break() => BREAK.to_owned(),
            Part::Break => String::new(),
            Part::From => number(FROM, &of.from_units),
            Part::Least => number(LEAST, &of.minimum_units),
            Part::Description => shown(&of.description.raw),
            Part::Number(number) => format!("no. {number}"),
        }
    }

    fn live(self, book: &mut Book, of: &Price) -> Term {
        let head = |head: &str, term: Option<Term>| {
            let cell = term.unwrap_or_else(|| Term::text(""));
            let words = Term::join(&[&Term::text(head), &cell]);
            cell.is_blank().pick(&Term::text(""), &words)
        };
        let text = |term: Option<Term>| term.unwrap_or_else(|| Term::text(""));
        match self {
            Part::Supplier => match of.supplier.as_typed(book) {
                Some(cell) => cell.is_blank().pick(&Term::text(ANY), &cell),
                None => Term::text(ANY),
            },
            Part::Unit => text(of.unit.as_typed(book)),
            Part::Pack => head(PACK, of.pack.as_typed(book)),
            Part::CatalogNumber => text(of.part.as_typed(book)),
            Part::Water => text(of.water.as_typed(book)),
            Part::Material => text(of.material.as_typed(book)),
            Part::Break => Term::text(if of.is_break() { BREAK } else { "" }),
            Part::From => head(FROM, of.from_units.as_typed(book)),
            Part::Least => head(LEAST, of.minimum_units.as_typed(book)),
            Part::Description => text(of.description.as_typed(book)),
            Part::Number(number) => Term::text(format!("no. {number}")),
        }
    }
}

const ANY: &str = "any supplier";
const PACK: &str = "of ";
const BREAK: &str = "price break";
const FROM: &str = "from ";
const LEAST: &str = "at least ";

/// A cell as a join of a spreadsheet shows it.
fn shown(raw: &Raw) -> String {
    match raw_value(raw) {
        Value::Fault(_) => String::new(),
        value => value.to_string(),
    }
}

/// The names of the offers of one line, in their order.
fn names(offers: &[&Price]) -> Vec<OfferName> {
    let mut parts: Vec<Vec<Part>> = vec![vec![Part::Supplier]; offers.len()];
    for part in MORE {
        for group in alike(offers, &parts) {
            let words = |at: &usize| fold(&part.words(offers[*at]));
            // A part that all of them share tells none of them apart.
            if group.iter().any(|at| words(at) != words(&group[0])) {
                group.iter().filter(|at| !words(at).is_empty()).for_each(|at| parts[*at].push(part));
            }
        }
    }
    for group in alike(offers, &parts) {
        for (number, at) in group.iter().enumerate().skip(1) {
            parts[*at].push(Part::Number(number + 1));
        }
    }
    let name = |(parts, of): (Vec<Part>, &&Price)| OfferName { text: joined(&parts, of), parts };
    parts.into_iter().zip(offers).map(name).enumerate().map(|(at, name)| name.plain(at)).collect()
}

/// The rows of Prices (indices) that a line can be bought at or is bought by, each with its name among them.
pub(crate) fn of_line(job: &Job, rules: &Rules, line: &Line) -> Vec<(usize, OfferName)> {
    let mut rows = fitting(job, rules, line);
    rows.extend(line.bought_by.iter().copied().filter(|row| *row < job.prices.len()));
    rows.sort_unstable();
    rows.dedup();
    let offers: Vec<&Price> = rows.iter().map(|index| &job.prices[*index]).collect();
    let names = names(&offers);
    rows.into_iter().zip(names).collect()
}

/// How the Cut plan calls what is bought already by a row of Prices.
pub(crate) fn bought(name: &OfferName) -> String {
    format!("bought from {}", name.text())
}

fn joined(parts: &[Part], of: &Price) -> String {
    parts.iter().map(|part| part.words(of)).collect::<Vec<_>>().join(", ")
}

/// Offers that have one name so far, each group of two or more.
fn alike(offers: &[&Price], parts: &[Vec<Part>]) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, (of, parts)) in offers.iter().zip(parts).enumerate() {
        groups.entry(fold(&joined(parts, of))).or_default().push(at);
    }
    groups.into_values().filter(|group| group.len() > 1).collect()
}

impl OfferName {
    /// As it stands when it is chosen.
    pub(crate) fn text(&self) -> &str {
        &self.text
    }

    /// The name as the cells of Prices now give it.
    pub(crate) fn live(&self, book: &mut Book, of: &Price) -> Term {
        if self.parts.is_empty() {
            return Term::text(self.text.clone());
        }
        let comma = Term::text(", ");
        let mut terms: Vec<Term> = Vec::new();
        for part in &self.parts {
            if !terms.is_empty() {
                terms.push(comma.clone());
            }
            terms.push(part.live(book, of));
        }
        match terms.as_slice() {
            [one] => one.clone(),
            terms => Term::join(&terms.iter().collect::<Vec<_>>()),
        }
    }

    /// What a look-up would not find as it stands (a pattern, a number, a text too long) goes by its number.
    fn plain(self, at: usize) -> Self {
        let pattern = self.text.contains(['*', '?', '~', '"']) || self.text.starts_with(['=', '<', '>']);
        let pattern = pattern || self.text.chars().count() > LONGEST;
        let odd = pattern || self.text.trim() != self.text || self.text.trim().parse::<f64>().is_ok();
        match odd {
            true => Self { parts: Vec::new(), text: format!("offer {}", at + 1) },
            false => self,
        }
    }
}

/// Which of the offers a bid means that was read: by its name, else by a shorter or longer one that fits it alone. A
/// price by the foot has no Pack of its own.
pub(crate) fn meant(job: &Job, offer_names: &[(usize, OfferName)], saved: &str) -> Option<usize> {
    let wanted = fold(saved);
    if let Some((row, _)) = offer_names.iter().find(|(_, name)| fold(name.text()) == wanted) {
        return Some(*row);
    }
    let every = |of: &Price| -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        let more: Vec<Part> = MORE.into_iter().filter(|part| *part != Part::Pack || !of.is_by_foot()).collect();
        for chosen in 0..(1u32 << more.len()) {
            let mut parts = vec![Part::Supplier];
            parts.extend(more.iter().enumerate().filter(|(at, _)| chosen & (1 << at) != 0).map(|(_, part)| *part));
            all.push(fold(&joined(&parts, of)));
        }
        all
    };
    let rows = offer_names.iter().map(|(row, _)| *row);
    let fitting: Vec<usize> = rows.filter(|row| every(&job.prices[*row]).contains(&wanted)).collect();
    match fitting[..] {
        [only] => Some(only),
        _ => None,
    }
}

/// Rows of Prices at which a line can be bought, in their order.
pub(super) fn fitting(job: &Job, rules: &Rules, line: &Line) -> Vec<usize> {
    let offers = |price: &Price| {
        let sound = price.price.value.is_some() && price.pack.value.is_none_or(|pack| pack > Decimal::ZERO);
        sound && fits(rules, &line.item, price)
    };
    let prices = &job.prices;
    (0..prices.len()).filter(|index| offers(&prices[*index])).collect()
}
