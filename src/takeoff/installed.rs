//! What is in already of this job: the pieces of runs, fixtures and devices whose Status is installed. They are priced like
//! all others, and neither ordered nor taken from stock once more.

use super::counts::{CountColumns, YES, material_of};
use super::{Context, Item};
use crate::figure::{Book, ColumnId, Term, Value};
use crate::model::Phase;
use crate::parts::{Count, is_ring};
use crate::rules::Rules;
use crate::table::columns;
use crate::unit::Unit;

const AS_PIPE_END: [&str; 4] = ["As pipe end 1", "As pipe end 2", "As pipe end 3", "As pipe end 4"];

columns! {
    struct Columns(used: usize) on Counts("In already") {
        item: "Line", words 34;
        phase: "In phase", words 12;
        by_end as Vec<ColumnId>: &AS_PIPE_END[..used], Each;
        pieces: "Counted", Quantity;
        with_more: "With waste, spares", Quantity;
    }
}

/// The table of what is in, on the Counts sheet: a row for each item and phase.
pub(super) struct InAlready<'a> {
    rules: &'a Rules,
    counts: &'a [Count],
    sums: &'a CountColumns,
    columns: Columns,
}

/// Whether pieces that are in could come to this line at other sizes than they have now.
fn could_be_in(counts: &[Count], item: &Item, phase: Phase) -> bool {
    let follows = |count: &&Count| count.in_already && count.phase == phase && count.follows_a_size();
    counts.iter().filter(follows).any(|count| match is_ring(item) {
        // An end that nothing is joined to as it now is, such as that of a bend support, may be joined at another size.
        true => count
            .ends
            .iter()
            .map(|end| end.value().to_string())
            .any(|end| material_of(&end) == item.material || end.is_empty()),
        false => count.may_be(&item.kind) && count.item.material == item.material,
    })
}

impl<'a> InAlready<'a> {
    /// `None` where nothing is in.
    pub(crate) fn new(book: &mut Book, context: &'a Context, sums: &'a CountColumns) -> Option<Self> {
        sums.in_already.as_ref()?;
        let used = sums.ends.iter().take_while(|end| end.values().iter().any(|v| *v != Value::Blank)).count();
        let columns = Columns::on_page(book, context, used);
        Some(Self { rules: context.rules, counts: &context.parts.counts, sums, columns })
    }

    /// How many of an item that a phase needs are in, waste and spares included; `None` where none ever are. `more` makes of a
    /// counted quantity what is needed for it.
    pub(crate) fn of(&self, book: &mut Book, item: &Item, phase: Phase, more: impl Fn(Term) -> Term) -> Option<Term> {
        let Self { rules, counts, sums, columns } = self;
        let is_in = sums.in_already.as_ref()?;
        let (yes, when) = (Term::text(YES), Term::text(phase.word()));
        let bears = |column: &crate::figure::Column, key: &Term| {
            Term::sum_where(&sums.quantity, &[(column, key), (&sums.phase, &when), (is_in, &yes)])
        };
        let words = item.text();
        let pipe_key = words.split_once(' ').filter(|_| is_ring(item)).map(|(_, pipe_key)| Term::text(pipe_key));
        let ends = &sums.ends[..columns.by_end.len()];
        let now = match &pipe_key {
            Some(key) => ends.iter().any(|end| bears(end, key).value().as_f64() > 0.0),
            None => bears(&sums.item, &Term::text(words.as_str())).value().as_f64() > 0.0,
        };
        // A size changed in the finished bid moves what is in to another line.
        if !now && !could_be_in(counts, item, phase) {
            return None;
        }
        let row = book.row(columns.table);
        let key = book.label(row, columns.item, &words);
        book.label(row, columns.phase, phase.word());
        let counted = match pipe_key {
            Some(pipe_key) => {
                let ends = ends.iter().zip(&columns.by_end);
                let sums: Vec<Term> = ends.map(|(end, into)| book.put(row, *into, bears(end, &pipe_key))).collect();
                Term::total(&sums.iter().collect::<Vec<_>>())
            }
            None => bears(&sums.item, &key),
        };
        let counted = book.put(row, columns.pieces, counted);
        let needed = book.put(row, columns.with_more, more(counted.clone()));
        let unit = if rules.is_feet(item) { Unit::Feet } else { Unit::Each };
        [&counted, &needed].into_iter().for_each(|term| book.unit(term, unit));
        Some(needed)
    }
}
