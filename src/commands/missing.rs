//! `price --list-missing`: a copy of the job whose Prices has a row, without a price yet, for everything that the job needs
//! and nobody has priced. The workbook that is read is never touched.

use super::job::Opened;
use super::{Trouble, about};
use crate::model::{Job, KeptBook, Raw};
use crate::pipeline::Priced;
use crate::rules::{Item, Rules, offers_of};
use crate::write::{job_bytes, save};
use std::path::{Path, PathBuf};

/// What of the job has no price and no row to write one in: lines in the order of the take-off, then fittings that others are
/// bought for.
fn items<'a>(job: &Job, priced: &'a Priced) -> Vec<&'a Item> {
    let unpriced = priced.bid.lines.iter().filter(|line| !line.priced);
    let lines = unpriced.filter_map(|line| priced.take_off.lines.get(line.line));
    let needed = lines.filter(|line| line.needed.value().as_f64() > 0.0).map(|line| &line.item);
    let items = needed.chain(&priced.take_off.parts.unpriced);
    items.filter(|item| offers_of(job, &priced.rules, item).next().is_none()).collect()
}

/// Writes the copy and gives its name; `None` where everything has its row.
pub(crate) fn write(opened: &Opened, priced: &Priced, replace: bool) -> Result<Option<PathBuf>, Trouble> {
    let items = items(&opened.job, priced);
    if items.is_empty() {
        return Ok(None);
    }
    let copy = with_rows(&opened.kept, &items, &priced.rules);
    let bytes = job_bytes(&copy, &about::about(&opened.job, &copy)).map_err(|error| {
        Trouble::system(format!("{}: the copy could not be made: {error:#}.", opened.path.display()))
    })?;
    let output = output(&opened.path);
    save::save(&output, &bytes, replace).map_err(Trouble::system)?;
    Ok(Some(output))
}

/// `<name>-to-quote.xlsx` beside the workbook.
fn output(book: &Path) -> PathBuf {
    let mut name = book.file_stem().unwrap_or_default().to_owned();
    name.push("-to-quote.xlsx");
    book.with_file_name(name)
}

/// The sheets with the rows at the end of Prices.
fn with_rows(kept: &KeptBook, items: &[&Item], rules: &Rules) -> KeptBook {
    let mut copy = kept.clone();
    let is_prices = |sheet: &&mut crate::model::KeptSheet| sheet.declared.is_some_and(|of| of.name == "Prices");
    let Some(sheet) = copy.sheets.iter_mut().find(is_prices) else { return copy };
    for item in items {
        let row = sheet.next_row();
        let sizes = item.sizes.iter().map(ToString::to_string).collect::<Vec<_>>().join(" x ");
        let cells: [(&'static str, &str, Option<&str>); 5] = [
            ("Kind", &item.kind, None),
            ("Material", &item.material, None),
            ("Size", &sizes, Some("@")),
            ("Ends", &item.ends, None),
            ("Unit", if rules.is_feet(item) { "ft" } else { "each" }, None),
        ];
        for (heading, text, format) in cells.into_iter().filter(|(_, text, _)| !text.is_empty()) {
            let column = sheet.column_under(heading);
            sheet.put(row, column, Raw::Text(text.into()), format);
        }
    }
    copy
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_copy_stands_beside_its_workbook() {
        assert_eq!(output(Path::new("jobs/house.ods")), Path::new("jobs/house-to-quote.xlsx"));
    }
}
