//! The What if sheet: every combination of some inputs, priced, one row each; and which is the cheapest that passes.

use super::compare::{NUMBER, exact};
use super::summary::Verdict;
use super::{Context, Summary};
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, CellKind, ChartSpec, ColumnId, Look, RowId, SheetId, Term, Value};
use crate::sheets::Page;
use crate::table::List;
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// Everything that was tried.
#[derive(Debug, Clone)]
pub struct WhatIf {
    /// What was varied: `main size`, `supply pressure`.
    pub inputs: Vec<String>,
    /// The bid as it stands, and its total.
    pub base: Summary,
    pub rows: Vec<Tried>,
}

/// One combination.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// In the order of the inputs.
    pub values: Vec<String>,
    /// What it comes to, or why it cannot be priced.
    pub outcome: Result<Outcome, String>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    pub least_spare: Option<(f64, String)>,
    pub verdict: Verdict,
    /// Why it does not pass, in words; empty where it does.
    pub failures: String,
    /// Runs with another pipe than the bid has.
    pub re_sized: Vec<String>,
    pub material: Decimal,
    pub hours: Decimal,
    pub total: Decimal,
}

impl Outcome {
    pub fn of(tried: &Summary, base: &Summary) -> Self {
        let re_sized = tried.runs.iter().filter(|run| {
            base.run(&run.name).is_none_or(|was| (&was.material, &was.size) != (&run.material, &run.size))
        });
        Self {
            least_spare: tried.least_spare.clone(),
            verdict: tried.verdict(),
            failures: tried.failures(),
            re_sized: re_sized.map(|run| format!("{} {}", run.name, run.size)).collect(),
            material: tried.material(),
            hours: tried.all_hours,
            total: tried.total,
        }
    }
}

impl WhatIf {
    /// The cheapest combination that passes, the first of equals.
    pub fn cheapest(&self) -> Option<&Tried> {
        let passing = self.rows.iter().filter_map(|row| match &row.outcome {
            Ok(outcome) if outcome.verdict == Verdict::Passes => Some((outcome.total, row)),
            _ => None,
        });
        passing.min_by_key(|(total, _)| *total).map(|(_, row)| row)
    }

    /// What a combination is: `main size 3/4, supply pressure 45`.
    pub(crate) fn label(&self, tried: &Tried) -> String {
        let words = self.inputs.iter().zip(&tried.values).map(|(name, value)| format!("{name} {value}"));
        words.collect::<Vec<_>>().join(", ")
    }
}

/// Every way to take one of each, as places in lists of these lengths, the last varying fastest. `None` when there are
/// more than `most`.
pub(crate) fn combinations(lengths: &[usize], most: usize) -> Option<Vec<Vec<usize>>> {
    let count = lengths.iter().try_fold(1_usize, |count, length| count.checked_mul(*length))?;
    if count > most {
        return None;
    }
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for length in lengths {
        let longer = |head: &Vec<usize>| {
            let head = head.clone();
            (0..*length).map(move |at| head.iter().copied().chain([at]).collect())
        };
        all = all.iter().flat_map(longer).collect();
    }
    Some(all)
}

columns! {
    struct Columns(inputs: &[String]) {
        inputs as Vec<ColumnId>: inputs, words (NUMBER);
        spare: "Least pressure to spare", Psi (NUMBER);
        run: "At the end of run", words (NUMBER);
        sized: "Runs re-sized", Each 10;
        material: "Material", Money (NUMBER);
        hours: "Hours", Hours 10;
        total: "Total", Money (NUMBER);
        difference: "Difference", Money (NUMBER);
        passes: "Passes", words 16;
        passing: "Total where it passes", quiet Money (NUMBER);
        pick: "Pick", total words 20;
        which: "Which runs", quiet words 40;
    }
}

pub(super) fn put(book: &mut Book, context: &Context, tried: &WhatIf, sheet: SheetId) {
    book.words(sheet, Look::Title, Page::WhatIf.name());
    book.words(
        sheet,
        Look::Words,
        "Every row is the whole job, sized and priced anew with these inputs: by the foot at the chosen offers, without a \
         cutting plan. Cutting and packs are worked out for the row you pick, once the bid is revised to it.",
    );
    let list = List::put(book, sheet, "", [0.0, NUMBER], Unit::Money);
    let drawing = book.chart(sheet);
    let table = book.table(sheet, "Combinations");
    let columns = Columns::in_table(book, table, &tried.inputs);

    let row = book.row(table);
    book.mark(row, CellKind::Total);
    match columns.inputs.first() {
        Some(first) => _ = book.label(row, *first, "as it stands"),
        None => return,
    }
    let base = &context.bid.build_up;
    let against = Base {
        total: book.put(row, columns.total, base.total.clone()),
        from: format!("pricing {} with these inputs", tried.base.origin).into(),
    };
    book.put(row, columns.material, base.material_total.clone());
    book.put(row, columns.hours, context.labor.total.clone());
    if let Some(least) = &context.entries.least_spare {
        book.put(row, columns.spare, least.psi.clone());
        book.put(row, columns.run, least.run.clone());
    }
    for tried in &tried.rows {
        let row = book.row(table);
        for (column, value) in columns.inputs.iter().zip(&tried.values) {
            book.carry(row, *column, Value::text(value.as_str()), &against.from);
        }
        match &tried.outcome {
            Ok(outcome) => columns.outcome(book, row, outcome, &against),
            Err(reason) => _ = book.label(row, columns.which, reason),
        }
    }
    let passing = book.whole(columns.passing);
    let least = Term::least(&passing);
    let cheapest = list.line(book, "Cheapest that passes", least);
    let row = list.label(book, "Total that they were held against");
    let tried_on = book.carry(row, list.value, exact(tried.base.total), &against.from);
    let same = against.total.above(&tried_on).or(&tried_on.above(&against.total));
    let verdict = same.flag(PRICE_AGAIN);
    list.line_like(book, "Is the bid still the one they were tried on?", verdict, CellKind::Check);
    for at in 0..tried.rows.len() as u32 {
        let row = RowId { table, index: at + 1 };
        if let Some(total) = book.at(row, columns.passing) {
            let is = total.same(&cheapest).pick(&Term::text("cheapest that passes"), &Term::text(""));
            book.put(row, columns.pick, is);
        }
    }
    if let Some(spec) = chart(&columns, book.table_spec(table).rows) {
        book.draw(drawing, spec);
    }
}

/// What every row is held against, and what its figures are said to come from.
struct Base {
    total: Term,
    from: Arc<str>,
}

impl Columns {
    fn outcome(&self, book: &mut Book, row: RowId, outcome: &Outcome, base: &Base) {
        let from = &base.from;
        if let Some((psi, run)) = &outcome.least_spare {
            book.carry(row, self.spare, Value::Physical(*psi), from);
            book.carry(row, self.run, Value::text(run.as_str()), from);
        }
        book.carry(row, self.sized, exact(Decimal::from(outcome.re_sized.len())), from);
        book.carry(row, self.material, exact(outcome.material), from);
        book.carry(row, self.hours, exact(outcome.hours), from);
        let total = book.carry(row, self.total, exact(outcome.total), from);
        book.put(row, self.difference, &total - &base.total);
        let passes = book.carry(row, self.passes, Value::text(outcome.verdict.words()), from);
        let passing = passes.same(&Term::text("yes")).pick(&total, &Term::text(""));
        book.put(row, self.passing, passing);
        book.carry(row, self.which, Value::text(which(&outcome.re_sized)), from);
    }
}

/// The first few runs.
pub(crate) fn which(runs: &[String]) -> String {
    super::sentences::listed(runs.iter().cloned(), 5)
}

/// The difference of each row as columns, what is left of the pressure as a line over them.
fn chart(columns: &Columns, rows: u32) -> Option<ChartSpec> {
    let last = rows.checked_sub(1).filter(|rows| *rows > 0)?;
    Some(ChartSpec {
        title: "What each combination does to the price, and the pressure it leaves".into(),
        categories: (*columns.inputs.first()?, *columns.inputs.last()?),
        columns: columns.difference,
        line: Some(columns.spare),
        rows: (1, last),
    })
}
