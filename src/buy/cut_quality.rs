//! How good the cuts are, and what they were chosen on.

use super::Context;
use super::cut_sheet::Cuts;
use super::joint_cost::Joints;
use crate::basis::{self, Record};
use crate::choice::Choice;
use crate::figure::{Book, ColumnId, Term, Value};
use crate::model::Setting;
use crate::rules::fits;
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::Decimal;
use rust_decimal::dec;

columns! {
    pub(super) struct Table on Buying("Sticks against coils, and how near the least cost") {
        pipe: "Pipe", words 44;
        pipe_cost: "Sticks and coils", Money;
        joints: "Joints", words;
        joint_cost: "Cost of joints", Money;
        worth: "Left-over worth", Money;
        total: "Together", Money;
        bound: Choice::LeastCost.heading(), words;
        quality: "How good", words 20;
    }
}

/// Of one pipe.
pub(super) struct CutQuality {
    pub pipe_cost: Term,
    pub joint_cost: Term,
    pub total: Term,
    pub bound: Term,
    pub proved: bool,
}

impl Table {
    pub(crate) fn fill(&self, book: &mut Book, context: &Context, cuts: &Cuts, joints: &Joints) -> Vec<CutQuality> {
        let found: std::sync::Arc<str> = "no plan that the search allows costs less".into();
        cuts.pipes
            .iter()
            .map(|cuts| {
                let pipe = cuts.pipe;
                let row = book.row(self.table);
                book.label(row, self.pipe, &pipe.label());
                let money = |book: &mut Book, column: ColumnId, term: &Term| {
                    book.put_or_state(row, column, term.clone(), "in this plan")
                };
                let pipe_cost = money(book, self.pipe_cost, &cuts.price);
                let count = money(book, self.joints, &cuts.joints);
                let one = joints.of(&pipe.item).map_or_else(|| Term::number(0), |joint| joint.cost.clone());
                let joint_cost = book.put(row, self.joint_cost, &count * one);
                let worth = money(book, self.worth, &cuts.worth);
                let total = book.put(row, self.total, &pipe_cost + &joint_cost - &worth);
                let saved = pipe.is_saved.then(|| context.saved_number(Choice::LeastCost, &pipe.label())).flatten();
                let least =
                    saved.unwrap_or_else(|| (Decimal::from(pipe.plan.bound) / Decimal::ONE_THOUSAND).normalize());
                let bound = book.state(row, self.bound, Value::Exact(least), &found);
                book.unit(&bound, Unit::Money);
                // Worths are counted a little down in the search, and to a tenth of a cent.
                let near = (&bound + Term::number(dec!(0.02))).at_least(&total);
                let off = Term::join(&[&Term::text("at most $"), &(&total - &bound).show(2), &Term::text(" too much")]);
                let quality = near.pick(&Term::text("the least there is"), &off);
                let quality = book.put(row, self.quality, quality);
                let proved = *quality.value() == Value::text("the least there is") && pipe.plan.unmet.is_empty();
                CutQuality { pipe_cost, joint_cost, total, bound, proved }
            })
            .collect()
    }
}

/// Prices added up in one cell.
const TOGETHER: usize = 7;

/// What packs and cuts were chosen on.
pub(super) fn record(book: &mut Book, context: &Context, cuts: &Cuts, joints: &Joints) {
    let mut now: Vec<(String, Term)> = Vec::new();
    if !cuts.run_needs.values().is_empty() {
        now.push(("Inches that the runs need".to_owned(), Term::sum(&cuts.run_needs)));
    }
    now.extend(together("Costs of joints, ", &joints.costs()));
    for setting in [Setting::SawKerf, Setting::ShortestJoinedPiece, Setting::UsableOffcut, Setting::LeftoverWorth] {
        now.push((setting.name().to_owned(), context.settings.get(setting)));
    }
    for (words, terms) in deciding_cells(book, context) {
        now.extend(together(words, &terms.iter().collect::<Vec<_>>()));
    }
    let of = Record {
        kind: Choice::BuyingBasis,
        title: "What packs and cuts were chosen on",
        question: "Are packs and cuts still the ones to choose?",
    };
    basis::record(book, context, &of, &now);
}

/// So many in each cell, and their number behind the words.
fn together<'a>(words: &'a str, terms: &'a [&Term]) -> impl Iterator<Item = (String, Term)> + 'a {
    terms.chunks(TOGETHER).zip(1..).map(move |(terms, at)| (format!("{words}{at}"), Term::total(terms)))
}

/// Cells of the user's that packs and cuts are chosen on.
fn deciding_cells(book: &mut Book, context: &Context) -> [(&'static str, Vec<Term>); 4] {
    let (mut prices, mut packs, mut steps) = (Vec::new(), Vec::new(), Vec::new());
    let lines: Vec<_> = context.take_off.lines.iter().filter(|line| !line.idle).collect();
    for price in context.job.prices.iter().filter(|price| price.price.value.is_some()) {
        if !lines.iter().any(|line| fits(context.rules, &line.item, price)) {
            continue;
        }
        prices.push(price.price.figure(book));
        if price.pack.value.is_some() {
            packs.push(price.pack.figure(book));
        }
        for field in [&price.from_units, &price.minimum_units] {
            if field.value.is_some() {
                steps.push(field.figure(book));
            }
        }
    }
    let mut trips = Vec::new();
    for terms in super::suppliers::with_terms(context) {
        for field in [&terms.trip_cost, &terms.minimum_order] {
            if field.value.is_some() {
                trips.push(field.figure(book));
            }
        }
    }
    [
        ("Trips and least orders, ", trips),
        ("Prices of what is bought, ", prices),
        ("Packs of what is bought, ", packs),
        ("First and least units of what is bought, ", steps),
    ]
}
