//! Numbers typed into a finished bid that pricing would not take: outside the range that their column or setting declares,
//! halves of what has none, more rise than length.

use super::input_snapshot::Record;
use super::unread::below_heading;
use crate::figure::{Column, Term};
use crate::model::DATES;
use crate::model::range::Range;
use crate::subjects;

/// So many runs to a formula that it can still be read.
const RUNS_TOGETHER: usize = 2;

impl Record<'_, '_> {
    pub(super) fn ranges(&mut self) {
        self.columns_within();
        self.settings_within();
        self.rises();
    }

    fn columns_within(&mut self) {
        for sheet in self.watched() {
            for column in sheet.declared.map_or(&[][..], |declared| declared.columns) {
                let Some(index) = sheet.column_of.get(column.name) else { continue };
                let Some(cells) = below_heading(self.book, sheet, *index) else { continue };
                if let Some(range) = &column.range {
                    let outside = Term::outside(&cells, range.least, range.most);
                    let words = format!("{} in {} beyond {}", column.name, sheet.name, range.possible(column.scale()));
                    self.row(Term::text(words), 0, outside);
                    self.dates(&cells, range, &format!("{} in {}", column.name, sheet.name));
                }
                if column.is_whole {
                    // The square of what is not whole is not whole; a sum of such squares hardly ever is.
                    let squares = Term::sum_product(&cells, &cells);
                    let parts = squares.above(&squares.whole_down());
                    let words = format!("{} in {} that is not whole", column.name, sheet.name);
                    self.row(Term::text(words), 0, parts.pick(&Term::text("parts"), &Term::text("whole")));
                }
            }
        }
    }

    /// To a formula a date is a number of days, which as a price may be meant: one more of them than was priced is told.
    fn dates(&mut self, cells: &Column, range: &Range, column: &str) {
        if range.most > DATES.most {
            let dates = Term::between(cells, DATES.least, DATES.most);
            self.row(Term::text(format!("{column} that may be a date")), 0, dates);
        }
    }

    fn settings_within(&mut self) {
        let (inside, outside) = (Term::text(""), Term::text("beyond"));
        for spec in subjects::settings() {
            let (Some(range), value) = (&spec.range, self.context.settings.get(spec)) else { continue };
            // A number may stand as text.
            let value = value + Term::number(0);
            let nearest = value.max(&Term::number(range.least)).min(&Term::number(range.most));
            let fits = nearest.same(&value).pick(&inside, &outside);
            let now = value.is_number().pick(&fits, &inside);
            let words = format!("Job {} beyond {}", spec.name, range.possible(spec.scale()));
            self.row(Term::text(words), 0, now);
        }
    }

    fn rises(&mut self) {
        let runs: Vec<_> = self.context.job.runs.iter().filter(|run| run.rise_ft.cell.is_some()).collect();
        for runs in runs.chunks(RUNS_TOGETHER) {
            let over = runs.iter().map(|run| {
                let (rise, length) = (run.rise_ft.figure(self.book), run.length_ft.figure(self.book));
                rise.max(&(Term::number(0) - &rise)).above(&length)
            });
            let Some(over) = over.reduce(|one, other| one.or(&other)) else { continue };
            let [first, last] = [runs.first(), runs.last()].map(|run| run.map_or(0, |run| u64::from(run.row) + 1));
            let words = format!("More Rise ft than Length ft in Runs, rows {first} to {last}");
            self.row(Term::text(words), 0, over.pick(&Term::text("more"), &Term::text("")));
        }
    }
}
