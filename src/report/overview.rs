//! The page for whoever runs the job: the totals, the hours, where pressure is tight, what to buy next, what to fix.

use super::Context;
use super::findings::COUNTED;
use super::input_snapshot::Checks;
use crate::buy::left_over_share;
use crate::entries::{Line, Remark};
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, CellKind, Column, ColumnId, Look, RowId, Term, Value};
use crate::finding::{Finding, Severity};
use crate::model::{Phase, Setting};
use crate::place::Place;
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::unit::Unit;
use rust_decimal::Decimal;

const LABEL: f64 = 36.0;
const NUMBER: f64 = 16.0;
/// Lines shown of a longer list.
const LINES_TO_BUY: usize = 10;
const FINDINGS_SHOWN: usize = 8;

/// Hours by phase as figures, for the checks: all, and who does them.
pub(crate) struct Hours {
    pub by_phase: Vec<Term>,
    pub by_who: Vec<Term>,
}

/// A cell that waits for its verdict.
pub(crate) struct Open {
    row: RowId,
    column: ColumnId,
}

pub(super) fn put(book: &mut Book, context: &Context, checks: &Checks, severities: Option<&Column>) -> (Hours, Open) {
    let sheet = context.page(Page::Summary);
    book.words(sheet, Look::Title, Page::Summary.name());
    money(book, context);
    side_by_side(book, context);
    let open = standing(book, context, checks, severities);
    for (title, entries) in &context.entries.lists {
        let lines = Lines::new(book, context, title);
        entries.iter().for_each(|line| lines.entry(book, line));
    }
    let hours = hours(book, context);
    to_buy(book, context);
    links(book, context);
    // Last, so that the cells above stand where they stood when the same job is priced with other findings.
    to_fix(book, context);
    (hours, open)
}

/// Whether everything adds up, once the Checks sheet has counted what does not.
pub(super) fn put_reconciliation(book: &mut Book, open: &Open, off: &Term) {
    let verdict = off.flag_any(PRICE_AGAIN);
    book.put(open.row, open.column, verdict);
}

/// A list of labels, figures and a few words.
struct Lines {
    list: List,
    words: ColumnId,
}

impl Lines {
    fn new(book: &mut Book, context: &Context, title: &str) -> Self {
        let list = List::put(book, context.page(Page::Summary), title, [LABEL, NUMBER], Unit::None);
        Self { words: list.notes(book, NUMBER), list }
    }

    /// A figure under its label, and what is said of it, if anything.
    fn put(&self, book: &mut Book, [label, words]: [&str; 2], value: Term, unit: Unit) -> Term {
        let row = self.list.label(book, label);
        let value = book.put(row, self.list.value, value);
        book.unit(&value, unit);
        if !words.is_empty() {
            book.label(row, self.words, words);
        }
        value
    }

    /// A row whose verdict is told in words, leading to the sheet that says more.
    fn check(&self, book: &mut Book, label: &str, value: Term, page: Page) {
        let row = self.asked(book, label, page);
        book.put(row, self.list.value, value);
    }

    /// A line that a subject says.
    fn entry(&self, book: &mut Book, line: &Line) {
        match line {
            Line::Question { words, answer, page } => self.check(book, words, answer.clone(), *page),
            Line::Figure { label, value, unit, remark } => {
                let row = self.list.label(book, label);
                let value = book.put(row, self.list.value, value.clone());
                book.unit(&value, *unit);
                match remark {
                    Some(Remark::Words(words)) => _ = book.label(row, self.words, words),
                    Some(Remark::Live(words)) => _ = book.put(row, self.words, words.clone()),
                    None => {}
                }
            }
        }
    }

    /// A question whose answer is put later.
    fn asked(&self, book: &mut Book, label: &str, page: Page) -> RowId {
        let row = self.list.label(book, label);
        book.mark(row, CellKind::Check);
        let words = book.label(row, self.words, &format!("see {}", page.name()));
        book.link(&words, &Place::new(page.name(), 0, 0));
        row
    }
}

fn money(book: &mut Book, context: &Context) {
    let build_up = &context.bid.build_up;
    let lines = Lines::new(book, context, "Two totals");
    lines.put(book, ["Hired price", "all work at the hired rate, as on the Bid"], build_up.total.clone(), Unit::Money);
    let totals = &build_up.totals;
    // Who has no hours of an owner in the job is a shop: to it the cash is what the job costs.
    let owner_works = totals.owner_hours.value().as_f64() > 0.0;
    let cash_words = match owner_works {
        true => "what the owner pays others; own hours, overhead and profit left out",
        false => "paid out for the job; overhead and profit left out",
    };
    lines.put(book, ["Cash out of pocket", cash_words], totals.cash_total.clone(), Unit::Money);
    if owner_works {
        own_hours(book, context, &lines);
    }
    lines.put(book, ["Hired hours", ""], build_up.totals.hired_hours.clone(), Unit::Hours);
    if let Some(whole_packs) = &context.bid.whole_packs {
        let more = "over the feet and pieces that the cash counts; sales tax included";
        lines.put(book, ["Whole packs cost more by", more], whole_packs.more.clone(), Unit::Money);
        let first = "what goes out when all is ordered as Buying has it";
        lines.put(book, ["Cash with whole packs", first], whole_packs.cash.clone(), Unit::Money);
        let left = "left over of the packs: stock, or to take back";
        lines.put(book, ["Of it left over", left], whole_packs.left_over.clone(), Unit::Money);
        let share = left_over_share(context.settings);
        lines.put(book, ["Left-overs count at", "of their price, by Left-over worth in Job"], share, Unit::Percent);
    }
}

/// What is left to an owner who works on the job, and what the hours are worth.
fn own_hours(book: &mut Book, context: &Context, lines: &Lines) {
    let totals = &context.bid.build_up.totals;
    let difference = "hired price less cash; Cost build-up says why, part by part";
    lines.put(book, ["Left to the owner", difference], totals.difference.clone(), Unit::Money);
    let own = lines.put(book, ["Owner's own hours", ""], totals.owner_hours.clone(), Unit::Hours);
    let worth = "what the same hours would cost hired, burden included";
    lines.put(book, ["Worth of them at the hired rate", worth], totals.hired_worth.clone(), Unit::Money);
    let an_hour = "all that is left to the owner, by own hour; before any tax on it";
    lines.put(book, ["Left per hour of own work", an_hour], totals.an_hour.clone(), Unit::Money);
    let a_week = context.settings.get(Setting::OwnerHoursPerWeek);
    let weeks = a_week.above(&Term::number(0)).pick(&(&own / &a_week), &Term::number(0)).round(1);
    let row = book.row(lines.list.label.table());
    let words = [Term::text("Weeks of them, at "), a_week.clone(), Term::text(" h a week")];
    let words = Term::join(&[&words[0], &words[1], &words[2]]);
    book.put(row, lines.list.label, words);
    let weeks = book.put(row, lines.list.value, weeks);
    book.unit(&weeks, Unit::Ratio);
}

columns! {
    struct Prices on Summary("Side by side") {
        label: "What", words (LABEL);
        hired: "Hired price", Money (NUMBER);
        cash: "Cash", Money (NUMBER);
        difference: "Difference", Money (NUMBER);
    }
}

/// Hired price and cash beside each other, in a few groups of their parts.
fn side_by_side(book: &mut Book, context: &Context) {
    let build_up = &context.bid.build_up;
    let Prices { table, label, hired, cash, difference } = Prices::on_page(book, context);
    let mut put = |words: &str, price: &Term, paid: &Term, kind: CellKind| {
        let row = book.row(table);
        book.mark(row, kind);
        book.label(row, label, words);
        let price = book.put(row, hired, price.clone());
        let paid = book.put(row, cash, paid.clone());
        book.put(row, difference, price - paid);
    };
    for group in &build_up.totals.groups {
        put(group.words, &group.hired, &group.cash, CellKind::Plain);
    }
    put("All of it", &build_up.total, &build_up.totals.cash_total, CellKind::Total);
}

/// Do the figures still hold, and what did pricing find? Gives the question that is answered last.
fn standing(book: &mut Book, context: &Context, checks: &Checks, severities: Option<&Column>) -> Open {
    let lines = Lines::new(book, context, "How it stands");
    let structure = checks.price_again.flag_any(PRICE_AGAIN);
    lines.check(book, "Is the job still the one priced?", structure, Page::Checks);
    let numbers = context.bid.build_up.total.is_number().and(&context.labor.total.is_number());
    lines.check(book, "Are the total and the hours numbers?", numbers.ok_or("an error"), Page::Checks);
    let row = lines.asked(book, "Does everything add up?", Page::Checks);
    let open = Open { row, column: lines.list.value };
    let unpriced = &context.bid.build_up.unpriced;
    let priced = unpriced.flag_any("prices missing");
    lines.check(book, "Does every line have its price?", priced, Page::CostBuildUp);
    context.entries.standing.iter().for_each(|line| lines.entry(book, line));
    for (severity, words) in COUNTED {
        let row = book.row(lines.list.label.table());
        book.label(row, lines.list.label, words);
        let count = match severities {
            Some(column) => {
                let count = Term::count_where(&[(column, &Term::text(severity.word()))]);
                book.put(row, lines.list.value, count)
            }
            None => book.state(row, lines.list.value, Value::Exact(Decimal::ZERO), "none were found"),
        };
        book.unit(&count, Unit::Each);
        let words = book.label(row, lines.words, "see Findings");
        book.link(&words, &Place::new(Page::Findings.name(), 0, 0));
    }
    open
}

columns! {
    struct ByPhase on Summary("Hours by phase") {
        label: "Phase", words (LABEL);
        owner: "Owner", Hours (NUMBER);
        hired: "Hired", Hours (NUMBER);
        all: "All", Hours (NUMBER);
        begins: "Begins", Date (NUMBER);
        ends: "Ends", Date (NUMBER);
    }
}

fn hours(book: &mut Book, context: &Context) -> Hours {
    let ByPhase { table, label, owner, hired, all, begins, ends } = ByPhase::on_page(book, context);
    let mut by_phase = Vec::new();
    for phase in Phase::ALL {
        let row = book.row(table);
        book.label(row, label, phase.title());
        book.put(row, owner, context.labor.in_phase_by(phase, "owner"));
        book.put(row, hired, context.labor.in_phase_by(phase, "hired"));
        by_phase.push(book.put(row, all, context.labor.in_phase(phase)));
        if let Some(days) = context.labor.calendar.phases.iter().find(|days| days.phase == phase) {
            book.put(row, begins, days.begins.clone());
            book.put(row, ends, days.ends.clone());
        }
    }
    let row = book.row(table);
    book.mark(row, CellKind::Total);
    book.label(row, label, "All phases");
    let rows = Phase::ALL.len() as u32;
    let mut by_who = Vec::new();
    for column in [owner, hired] {
        let hours = book.stretch(column, 0, rows - 1);
        by_who.push(book.put(row, column, Term::sum(&hours)));
    }
    book.put(row, all, context.labor.total.clone());
    let weeks = context.labor.calendar.weeks.show(1);
    book.put(row, begins, Term::join(&[&weeks, &Term::text(" weeks")]));
    book.put(row, ends, context.labor.calendar.ends.clone());
    Hours { by_phase, by_who }
}

columns! {
    struct ToBuy {
        name: "Line", words (LABEL);
        here: "Needed in this phase", words (NUMBER);
        all: "To buy, whole job", words (NUMBER);
        amount: "Amount", Money (NUMBER);
    }
}

/// The largest lines to buy for the first phase that has something to buy.
fn to_buy(book: &mut Book, context: &Context) {
    let lines = &context.take_off.lines;
    let first = Phase::ALL.into_iter().enumerate().find_map(|(index, phase)| {
        let mut wanted: Vec<usize> = (0..context.bid.lines.len())
            .filter(|i| {
                let line = &lines[context.bid.lines[*i].line];
                let here = line.by_phase[index].as_ref().map_or(0.0, |quantity| quantity.value().as_f64());
                here > 0.0 && line.to_buy.value().as_f64() > 0.0
            })
            .collect();
        // The dearest first; of equals in the order of the take-off.
        wanted.sort_by(|a, b| {
            let worth = |i: &usize| context.bid.lines[*i].to_buy.value().as_f64();
            worth(b).total_cmp(&worth(a))
        });
        (!wanted.is_empty()).then_some((index, phase, wanted))
    });
    let Some((index, phase, wanted)) = first else { return };
    let title = match wanted.len() > LINES_TO_BUY {
        true => format!("To buy first, for {}: the {LINES_TO_BUY} dearest of {} lines", phase.word(), wanted.len()),
        false => format!("To buy first, for {}", phase.word()),
    };
    let table = book.table(context.page(Page::Summary), &title);
    let ToBuy { name, here, all, amount, .. } = ToBuy::in_table(book, table);
    for priced in wanted.into_iter().take(LINES_TO_BUY).map(|i| &context.bid.lines[i]) {
        let line = &lines[priced.line];
        let row = book.row(table);
        let unit = if line.feet { Unit::Feet } else { Unit::Each };
        book.put(row, name, line.key.clone());
        if let Some(quantity) = &line.by_phase[index] {
            let quantity = book.put(row, here, quantity.clone());
            book.unit(&quantity, unit);
        }
        let quantity = book.put(row, all, line.to_buy.clone());
        book.unit(&quantity, unit);
        book.put(row, amount, priced.to_buy.clone());
    }
}

/// The first findings that ask for something to be put right.
fn to_fix(book: &mut Book, context: &Context) {
    let mut fix: Vec<_> = context.findings.iter().filter(|f| f.severity == Severity::Fix).collect();
    let first = |finding: &Finding| context.entries.to_fix_first.contains(&finding.slug);
    fix.sort_by_key(|finding| !first(finding));
    if fix.is_empty() {
        return;
    }
    let title = match fix.len() > FINDINGS_SHOWN {
        true => format!("To fix: {FINDINGS_SHOWN} of {}, the others on Findings", fix.len()),
        false => "To fix".to_owned(),
    };
    let list = List::put(book, context.page(Page::Summary), &title, [LABEL, NUMBER], Unit::None);
    for finding in fix.into_iter().take(FINDINGS_SHOWN) {
        let row = book.row(list.label.table());
        match &finding.place {
            Some(at) => {
                let term = book.label(row, list.label, &at.to_string());
                book.link(&term, at);
            }
            None => {
                book.label(row, list.label, finding.slug);
            }
        }
        match first(finding) {
            true => book.label(row, list.value, &format!("{} {}", finding.found, finding.remedy)),
            false => book.label(row, list.value, &finding.found),
        };
    }
}

/// Where to look for what.
fn links(book: &mut Book, context: &Context) {
    let list = List::put(book, context.page(Page::Summary), "Where to look", [LABEL, NUMBER], Unit::None);
    for page in context.pages.here(book).into_iter().filter(|page| !page.about().is_empty()) {
        let row = book.row(list.label.table());
        let term = book.label(row, list.label, page.name());
        book.link(&term, &Place::new(page.name(), 0, 0));
        book.label(row, list.value, page.about());
    }
}
