//! Allowances, held against what was chosen.

use super::Context;
use crate::figure::Book;
use crate::parts::Allowance;
use crate::table::columns;

columns! {
    struct Reconciled on CostBuildUp("Allowances, and what was chosen") {
        what: "Allowance for", words 36;
        allowed: "Allowance", Money;
        chosen: "Chosen, tax included", Money;
        over: "Over or under", Money;
    }
}

/// The allowances of Terms, then those of the subjects: their own cells, or a table of them where anything has been chosen
/// or a subject has some.
pub(super) fn put(book: &mut Book, context: &Context) -> Vec<Allowance> {
    let terms = context.job.terms.iter().filter(|term| &*term.kind.value == "allowance");
    let own = terms.filter(|term| term.amount.value.is_some()).map(|term| Allowance {
        what: term.text.figure(book),
        allowed: term.amount.figure(book),
        chosen: term.chosen.value.map(|_| term.chosen.figure(book)),
    });
    let own: Vec<Allowance> = own.collect();
    let given = &context.costs.allowances;
    if given.is_empty() && own.iter().all(|allowance| allowance.chosen.is_none()) {
        return own;
    }
    let columns = Reconciled::on_page(book, context);
    let put = |allowance: &Allowance| {
        let row = book.row(columns.table);
        let what = book.put(row, columns.what, allowance.what.clone());
        let allowed = book.put(row, columns.allowed, allowance.allowed.clone());
        let chosen = allowance.chosen.clone().map(|chosen| book.put(row, columns.chosen, chosen.cents()));
        let put = Allowance { what, allowed, chosen };
        if let Some(over) = put.over() {
            book.put(row, columns.over, over);
        }
        put
    };
    own.iter().chain(given).map(put).collect()
}
