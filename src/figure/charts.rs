//! Charts: a place on a sheet, and what is drawn there from the rows of a table.

use super::book::Book;
use super::layout::{Block, ColumnId, SheetId};
use std::sync::Arc;

/// A place for a chart, handed out by [`Book::chart`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChartId(pub(crate) u16);

/// A chart over rows of one table.
#[derive(Debug, Clone)]
pub struct ChartSpec {
    /// Printed over it.
    pub title: Arc<str>,
    /// First and last of the columns side by side that name a row.
    pub categories: (ColumnId, ColumnId),
    /// Drawn as columns.
    pub columns: ColumnId,
    /// Drawn as a line, to a scale of its own at the right.
    pub line: Option<ColumnId>,
    /// First and last row, both included.
    pub rows: (u32, u32),
}

impl Book {
    /// A place for a chart, to be drawn once the table it shows is there.
    pub fn chart(&mut self, sheet: SheetId) -> ChartId {
        let id = ChartId(self.charts.len() as u16);
        self.charts.push(None);
        self.sheets[usize::from(sheet.0)].blocks.push(Block::Chart(id));
        id
    }

    /// Says what a chart shows, once its table is there.
    pub fn draw(&mut self, chart: ChartId, spec: ChartSpec) {
        self.charts[usize::from(chart.0)] = Some(spec);
    }

    /// What a chart shows; `None` while nothing has been drawn.
    pub fn chart_spec(&self, chart: ChartId) -> Option<&ChartSpec> {
        self.charts.get(usize::from(chart.0))?.as_ref()
    }
}
