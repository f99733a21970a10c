//! Reading a curve that stands in the book as a table sorted high to low: the next row up, or a straight line between.

use super::{Column, Term};

/// A curve's two columns, x sorted high to low.
#[derive(Debug, Clone)]
pub struct Curve {
    /// Sorted high to low.
    pub x: Column,
    /// What belongs to each x.
    pub y: Column,
}

impl Curve {
    /// Where `x` falls: the row (from 1) of the smallest x that is still at least as large. Above the table's last
    /// value it is a fault. Put it in a cell of its own; the readings below take it from there.
    pub fn row(&self, x: &Term) -> Term {
        Term::row_at_least(x, &self.x)
    }

    /// The next row up, as the code's own worked example reads its table.
    pub fn next_row_up(&self, row: &Term) -> Term {
        Term::at(&self.y, row)
    }

    /// The slope of the straight line between this row and the next lower one, to be put in a cell. In the last row
    /// there is no lower one: the slope is 0 and the value is held.
    pub fn slope(&self, row: &Term) -> Term {
        let rows = Term::number(self.x.values().len() as u64);
        let below = (row + Term::number(1)).min(&rows);
        let rise = Term::at(&self.y, row) - Term::at(&self.y, &below);
        let width = Term::at(&self.x, row) - Term::at(&self.x, &below);
        row.at_least(&rows).pick(&Term::number(0), &(rise / width))
    }

    /// The straight line, down from this row's own point by the slope.
    pub fn between(&self, x: &Term, row: &Term, slope: &Term) -> Term {
        let at_row = Term::at(&self.x, row);
        Term::at(&self.y, row) - (at_row - x) * slope
    }
}
