//! Charts over the rows of a table: columns, and a line to its own scale over them.

use crate::figure::address::{Addresses, CHART_ROWS};
use crate::figure::{Book, ChartSpec, ColumnId, Range};
use rust_xlsxwriter::{
    Chart, ChartAxisLabelPosition, ChartLegendPosition, ChartLine, ChartSolidFill, ChartType, Color, Worksheet,
    XlsxError,
};

/// Width in pixels, so that it fits a landscape letter page.
const WIDTH: u32 = 900;
/// Pixels of a row of the default height.
const ROW: u32 = 20;
const COLUMNS: Color = Color::RGB(0x1F_77_B4);
const LINE: Color = Color::RGB(0xD6_27_28);

/// Puts the chart at the left edge of a row.
pub(crate) fn insert(
    worksheet: &mut Worksheet,
    row: u32,
    spec: &ChartSpec,
    book: &Book,
    addresses: &Addresses,
) -> Result<(), XlsxError> {
    let names = range(book, addresses, spec.categories.0, spec.categories.1, spec.rows);
    let heading = |column: ColumnId| heading(book, column);
    let mut chart = Chart::new(ChartType::Column);
    chart
        .add_series()
        .set_name(&*heading(spec.columns))
        .set_categories(names)
        .set_values(range(book, addresses, spec.columns, spec.columns, spec.rows))
        .set_format(ChartSolidFill::new().set_color(COLUMNS));
    chart.title().set_name(&*spec.title);
    chart.legend().set_position(ChartLegendPosition::Bottom);
    // Below the columns, those that go down too.
    chart.x_axis().set_label_position(ChartAxisLabelPosition::Low);
    chart.y_axis().set_name(&*heading(spec.columns));
    if let Some(line) = spec.line {
        let mut over = Chart::new(ChartType::Line);
        over.add_series()
            .set_name(&*heading(line))
            .set_categories(names)
            .set_values(range(book, addresses, line, line, spec.rows))
            .set_secondary_axis(true)
            .set_format(ChartLine::new().set_color(LINE).set_width(1.5));
        over.y2_axis().set_name(&*heading(line));
        chart.combine(&over);
    }
    chart.set_width(WIDTH).set_height((CHART_ROWS - 1) * ROW);
    worksheet.insert_chart(row, 0, &chart)?;
    Ok(())
}

fn heading(book: &Book, column: ColumnId) -> String {
    let spec = &book.table_spec(column.table());
    let heading =
        spec.columns.get(usize::from(column.index())).map(|c| super::style::heading_words(&c.heading, c.unit));
    heading.unwrap_or_default()
}

/// The cells of these columns in these rows, as the library wants them: sheet, first row and column, last row and column.
fn range<'a>(
    book: &'a Book,
    addresses: &Addresses,
    first: ColumnId,
    last: ColumnId,
    rows: (u32, u32),
) -> (&'a str, u32, u16, u32, u16) {
    let range = Range { table: first.table(), column: first.index(), first: rows.0, last: rows.1 };
    let (sheet, first_row, last_row) = addresses.range(book, range);
    (sheet, first_row, first.index(), last_row, last.index())
}
