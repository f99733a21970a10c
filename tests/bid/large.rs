//! Jobs as large as they come: no formula outgrows a spreadsheet, and what is summed in parts is the same sum.

use crate::support::job::job_of_book;
use crate::support::recalc::{Held, differences, recalculated};
use std::fmt::Write;
use tallybore::figure::address::addresses;
use tallybore::figure::spell::{Sheetwise, formula};
use tallybore::figure::{Book, Home};
use tallybore::pipeline::Priced;

/// Limits of Excel 2010 by its maker's own list of specifications and limits: 255 arguments in a function, 8,192
/// characters in a formula, 64 levels of functions inside one another.
const ARGUMENTS: usize = 255;
const CHARACTERS: usize = 8_192;
const LEVELS: usize = 64;

/// Arguments of the call that has most, and how deep calls and brackets lie inside one another.
fn shape(formula: &str) -> (usize, usize) {
    let (mut open, mut quoted) = (vec![1], None);
    let (mut most, mut deepest) = (0, 0);
    for c in formula.chars() {
        match (quoted, c) {
            (Some(quote), c) if c == quote => quoted = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quoted = Some(c),
            (None, '(') => open.push(1),
            (None, ',') => *open.last_mut().unwrap() += 1,
            (None, ')') => most = most.max(open.pop().unwrap()),
            _ => {}
        }
        deepest = deepest.max(open.len() - 1);
    }
    (most, deepest)
}

fn formulas(book: &Book) -> Vec<String> {
    let addresses = addresses(book);
    let mut formulas = Vec::new();
    for sheet in book.sheets() {
        let names = Sheetwise { book, addresses: &addresses, sheet: &sheet.name };
        for block in &sheet.blocks {
            let tallybore::figure::Block::Table(table) = block else { continue };
            let spec = book.table_spec(*table);
            for row in 0..spec.rows {
                for column in 0..spec.columns.len() as u16 {
                    let figure = book.cell_at(*table, row, column);
                    let expr = figure.filter(|fig| matches!(book.home(*fig), Home::Table(..)));
                    formulas.extend(expr.and_then(|fig| book.expr(fig)).map(|expr| formula(expr, &names)));
                }
            }
        }
    }
    formulas
}

fn all_fit(priced: &Priced) -> usize {
    let formulas = formulas(&priced.book);
    for formula in &formulas {
        let (most, deepest) = shape(formula);
        assert!(most <= ARGUMENTS && deepest <= LEVELS, "{most} arguments, {deepest} deep: {formula}");
        assert!(formula.chars().count() < CHARACTERS, "{formula}");
    }
    formulas.len()
}

/// So many fixtures on one run, `kinds` of them in turn, and a price with thirty breaks.
fn job_text(fixtures: usize, kinds: &[&str]) -> String {
    let mut text =
        "[Job]\nItem | Value\nSupply pressure | 60\nLabor rate | 70\n\n[Runs]\nRun | From | Size | Length ft\n\
                    A | SUPPLY | 2 | 20\nB | A | 2 | 30\n\n[Fixtures]\nTag | Fixture | Cold run | Count\n"
            .to_owned();
    for at in 0..fixtures {
        let count = if at % 3 == 0 { "" } else { "1" };
        let _ = writeln!(text, "F{at} | {} | B | {count}", kinds[at % kinds.len()]);
    }
    text += "\n[Prices]\nKind | Material | Size | Unit | Price | From units\npipe | PEX | 2 | foot | 6.40 |\n";
    for at in 0..31 {
        let from = if at == 0 { String::new() } else { (10 * at).to_string() };
        let _ = writeln!(text, "stop valve | | 1/2 x 3/8 | each | {}.40 | {from}", 40 - at);
    }
    text
}

#[test]
fn seven_hundred_fixtures_price_and_recalculate() {
    // Fixtures in turn make sums of scattered cells; more of them than a function takes arguments are enough of those.
    for (fixtures, kinds) in [(700, &["lavatory"][..]), (280, &["lavatory", "water closet"])] {
        let made = job_of_book(&job_text(fixtures, kinds));
        let priced = made.price();
        assert!(all_fit(&priced) > 5_000);
        let cells = recalculated(&made.bid_of(&priced));
        let errors: Vec<_> = cells.iter().filter(|cell| matches!(cell.stored, Held::Error(_))).collect();
        assert!(errors.is_empty(), "{errors:?}");
        assert_eq!(differences(cells), []);
    }
}

/// Twenty trunks of fifteen lengths, with a branch off each length.
#[test]
fn six_hundred_runs_have_formulas_that_fit() {
    let (mut runs, mut fixtures) = (String::new(), String::new());
    for trunk in 0..20 {
        let mut from = "SUPPLY".to_owned();
        for at in 0..15 {
            let name = format!("T{trunk}.{at}");
            let _ = writeln!(runs, "{name} | {from} | {} | {}", 3 + at % 5, at % 2);
            let _ = writeln!(runs, "B{trunk}.{at} | {name} | {} | 2", 5 + at % 7);
            let _ = writeln!(fixtures, "F{trunk}.{at} | lavatory | B{trunk}.{at}");
            from = name;
        }
    }
    let text = format!(
        "[Job]\nItem | Value\nSupply pressure | 70\n\n[Fixtures]\nTag | Fixture | Cold run\n{fixtures}\n\
         [Runs]\nRun | From | Length ft | Rise ft\n{runs}\n\
         [Prices]\nKind | Material | Size | Unit | Pack | Price\npipe | PEX | 1/2 | coil | 100 | 48.50\n\
         pipe | PEX | 3/4 | coil | 100 | 88\npipe | PEX | 1 | coil | 100 | 150\n"
    );
    assert!(all_fit(&job_of_book(&text).price()) > 20_000);
}

/// Gnumeric takes INDEX over a single cell for an error; one price, one kind of pipe, one line of anything gives such ranges.
#[test]
fn no_formula_looks_a_row_up_in_a_single_cell() {
    let made = job_of_book(&job_text(1, &["lavatory"]));
    for formula in formulas(&made.price().book) {
        for inside in formula.split("INDEX(").skip(1) {
            let range = inside.split(',').next().unwrap();
            let range = range.rsplit('!').next().unwrap();
            let (first, last) = range.split_once(':').expect("a range");
            assert_ne!(first, last, "{formula}");
        }
    }
}

/// The codes' size tables end at a length; a job that reaches farther shows a word there, not an error.
#[test]
fn a_way_longer_than_the_codes_size_table_shows_no_error() {
    let text = job_text(3, &["lavatory"]).replace("B | A | 2 | 30", "B | A | 2 | 3000");
    let cells = recalculated(&job_of_book(&text).bid());
    let errors: Vec<_> = cells.iter().filter(|cell| matches!(cell.stored, Held::Error(_))).collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert!(cells.iter().any(|cell| cell.stored == Held::Text("over the table".to_owned())));
}
