//! What makes work slower or quicker: the rows of the rule table that hold for the job, and the factor of each task.

use super::{Context, Work};
use crate::figure::written::UsersRow;
use crate::figure::{Book, ColumnId, TableId, Term, Value};
use crate::model::Setting;
use crate::sheets::Page;
use crate::unit::Unit;
use rust_decimal::Decimal;

/// The table on the Rules sheet, filled as rows are asked for.
pub(super) struct Conditions {
    table: TableId,
    place: ColumnId,
    form: ColumnId,
    material: ColumnId,
    factor: ColumnId,
    source: ColumnId,
    basis: ColumnId,
    as_written: ColumnId,
    /// By row of the rule table.
    put: Vec<(usize, Term)>,
}

impl Conditions {
    pub fn put(book: &mut Book, context: &Context) -> Self {
        let title = "What makes work slower or quicker; factors of all rows that fit are multiplied";
        let table = book.table(context.page(Page::Rules), title);
        Self {
            table,
            place: book.column(table, "Place", Unit::None),
            form: book.column(table, "Form", Unit::None),
            material: book.column(table, "Material", Unit::None),
            factor: book.column(table, "Factor", Unit::Ratio),
            source: book.column(table, "Source", Unit::None),
            basis: book.column(table, "Basis", Unit::None),
            as_written: book.as_written_column(table),
            put: Vec::new(),
        }
    }

    /// The factor of some work: every row that fits, and the job's own.
    pub fn factor(&mut self, book: &mut Book, context: &Context, work: &Work) -> Term {
        let place = work.place.map_or("", |place| place.word());
        let mut factor: Option<Term> = None;
        for (index, row) in context.rules.labor_conditions().iter().enumerate() {
            if !row.fits(place, work.form, &work.material) {
                continue;
            }
            let known = self.put.iter().find(|(known, _)| *known == index).map(|(_, term)| term.clone());
            let term = known.unwrap_or_else(|| {
                let line = book.row(self.table);
                let basis = row.origin.basis.word();
                let any = |word: &str| if word.is_empty() { "any".to_owned() } else { word.to_owned() };
                book.label(line, self.place, &any(&row.place));
                book.label(line, self.form, &any(&row.form));
                book.label(line, self.material, &any(&row.material));
                let source = row.origin.words();
                let term = book.rule(line, self.factor, Value::Exact(row.factor), &source);
                book.label(line, self.source, &row.origin.source);
                book.label(line, self.basis, basis);
                let keys = [("place", &*row.place), ("form", &*row.form), ("material", &*row.material)];
                let users = UsersRow { sheet: "Labor conditions", keys: &keys };
                book.write_down(line, self.as_written, &users, &[(self.factor, "factor", Decimal::ONE)]);
                self.put.push((index, term.clone()));
                term
            });
            factor = Some(match factor {
                Some(factor) => factor * term,
                None => term,
            });
        }
        let own = context.settings.get(Setting::LaborFactor);
        match factor {
            Some(factor) => factor * own,
            None => own,
        }
    }
}
