//! How good the cuts are, and what they were chosen on.

use super::Context;
use super::cut_sheet::Cuts;
use super::joint_cost::Joints;
use super::pipe::Pipe;
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, ColumnId, Term, Value};
use crate::model::Setting;
use crate::rules::fits;
use crate::sheets::Page;
use crate::table::{List, columns};
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
    pub(crate) fn fill(
        &self,
        book: &mut Book,
        context: &Context,
        pipes: &[Pipe],
        cuts: &Cuts,
        joints: &Joints,
    ) -> Vec<CutQuality> {
        let found: std::sync::Arc<str> = "no plan that the search allows costs less".into();
        pipes
            .iter()
            .zip(&cuts.pipes)
            .map(|(pipe, cuts)| {
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

columns! {
    struct Basis on Buying("What packs and cuts were chosen on") {
        label: "Deciding input", words 44;
        now_column: "Now", Ratio;
        chosen_column: Choice::BuyingBasis.heading(), Ratio;
        check_column: "Check", check 18;
    }
}

/// What packs and cuts were chosen on, beside what it is now: a formula can see that a choice no longer does, not that it
/// is no longer the cheapest.
pub(super) fn record(book: &mut Book, context: &Context, cuts: &Cuts, joints: &Joints) {
    let mut now: Vec<(String, Term)> = Vec::new();
    if !cuts.run_needs.values().is_empty() {
        now.push(("Inches that the runs need".to_owned(), Term::sum(&cuts.run_needs)));
    }
    for (at, costs) in joints.costs().chunks(TOGETHER).enumerate() {
        now.push((format!("Costs of joints, {}", at + 1), Term::total(costs)));
    }
    for setting in [Setting::SawKerf, Setting::ShortestJoinedPiece, Setting::UsableOffcut, Setting::LeftoverWorth] {
        now.push((setting.name().to_owned(), context.settings.get(setting)));
    }
    let mut prices = Vec::new();
    let mut packs = Vec::new();
    let mut steps = Vec::new();
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
    for (at, terms) in trips.chunks(TOGETHER).enumerate() {
        now.push((format!("Trips and least orders, {}", at + 1), Term::total(&terms.iter().collect::<Vec<_>>())));
    }
    for (words, terms) in [("Prices", &prices), ("Packs", &packs), ("First and least units", &steps)] {
        for (at, terms) in terms.chunks(TOGETHER).enumerate() {
            now.push((
                format!("{words} of what is bought, {}", at + 1),
                Term::total(&terms.iter().collect::<Vec<_>>()),
            ));
        }
    }
    let Basis { table, label, now_column, chosen_column, check_column } = Basis::on_page(book, context);
    for (words, term) in now {
        let row = book.row(table);
        book.label(row, label, &words);
        let now = book.put(row, now_column, term.round(6));
        let saved = context.saved_number(Choice::BuyingBasis, &words);
        let recorded = saved.map_or_else(|| now.value().clone(), Value::Exact);
        book.choose(row, [chosen_column, check_column], recorded, |chosen| {
            let same = now.at_least(chosen).and(&chosen.at_least(&now));
            same.ok_or(PRICE_AGAIN)
        });
    }
    let verdicts = book.whole(check_column);
    let verdict = Term::price_again_in(&verdicts).flag_any(PRICE_AGAIN);
    let list = List::checks(book, context.page(Page::Buying), "", [44.0, 0.0]);
    list.line(book, "Are packs and cuts still the ones to choose?", verdict);
}
