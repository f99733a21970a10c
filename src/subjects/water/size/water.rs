//! The water itself: how thick it is at the coldest of the year.

use super::Context;
use super::rule_tables::RuleTables;
use crate::figure::{Book, Term};
use crate::model::Setting;
use crate::sheets::Page;
use crate::table::List;
use crate::unit::Unit;

/// Figures of the water that friction is reckoned on.
#[derive(Debug)]
pub(crate) struct WaterFigures {
    /// Kinematic viscosity, ft2/s, at Cold water temperature; a straight line between the rows of the table.
    pub viscosity_ft2_s: Term,
}

/// Puts the water's figures on the Friction sheet.
pub(crate) fn water(book: &mut Book, context: &Context, tables: &RuleTables) -> WaterFigures {
    let title = "The water, at the coldest of the year";
    let list = List::put(book, context.page(Page::Friction), title, [0.0; 2], Unit::None);
    let mut put = |words: &str, term: Term, unit: Unit| list.line_in(book, words, term, unit);
    let temperature =
        put("Cold water temperature, F", context.settings.get(Setting::ColdWaterTemperature), Unit::Fahrenheit);
    let row = put("Row in the table of water", tables.viscosity.row(&temperature), Unit::Each);
    let slope = put("Change between rows, millionths of ft2/s for 1 F", tables.viscosity.slope(&row), Unit::Ratio);
    let million = Term::number(1_000_000);
    let viscosity = put(
        "Kinematic viscosity, millionths of ft2/s",
        tables.viscosity.between(&temperature, &row, &slope),
        Unit::Ratio,
    );
    let viscosity_ft2_s = put("Kinematic viscosity, ft2/s", viscosity / million, Unit::None);
    WaterFigures { viscosity_ft2_s }
}
