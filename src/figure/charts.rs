//! Charts: a place on a sheet, and what is drawn there from the rows of a table.

use super::book::Book;
use super::layout::{Block, ChartId, ChartSpec, SheetId};

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
