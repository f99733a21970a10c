//! A row that one word does not name, spoken of as the Changes sheet does: `price pipe PEX 3/4 Quillmoor Supply`, `task set
//! filter`, `cost Trench`. Without a heading its figure is meant: the price, the hours, the quantity.

use super::edit::NOUNS;
use super::inputs;
use crate::finding::{Finding, UnknownName, excerpt, nearest};
use crate::model::columns::Column;
use crate::model::{KeptBook, fold};
use crate::place::Place;
use crate::revise::findings::EditNotRead;

/// Sheets whose rows are named so, and the column that is meant where none is said.
const SHEETS: &[(&str, &str)] = &[("Prices", "Price"), ("Labor", "Hours"), ("Other costs", "Quantity")];

/// The cell of a row and a heading; `None` when the words begin with no such row's noun.
pub(super) fn cell(book: &KeptBook, target: &str) -> Option<Result<Place, Box<Finding>>> {
    let (first, rest) = target.split_once(char::is_whitespace)?;
    let (sheet, noun, _) = NOUNS.iter().find(|(_, noun, _)| fold(noun) == fold(first))?;
    let (_, meant) = SHEETS.iter().find(|(name, _)| name == sheet)?;
    let kept = book.declared(sheet)?;
    let declared = kept.declared?;
    let words: Vec<&str> = rest.split_whitespace().collect();
    let heading = |cut: usize| {
        let said = fold(&words[cut..].join(" "));
        let is = |column: &&Column| column.aliases.iter().chain([&column.name]).any(|name| fold(name) == said);
        declared.columns.iter().find(is).map(|column| (cut, column.name))
    };
    // The longest heading that the words end with; a row may be named by a word that is a heading too.
    let (cut, column) = (1..words.len()).find_map(heading).unwrap_or((words.len(), meant));
    let name = words[..cut].join(" ");
    let rows = inputs::named_rows(book, declared);
    let same: Vec<u32> = rows.iter().filter(|(known, _)| fold(known) == fold(&name)).map(|(_, row)| *row).collect();
    let begins = |known: &str| {
        let known: Vec<String> = known.split_whitespace().map(fold).collect();
        known.starts_with(&words[..cut].iter().map(|word| fold(word)).collect::<Vec<_>>())
    };
    let found = match same.is_empty() {
        false => same,
        true => rows.iter().filter(|(known, _)| begins(known)).map(|(_, row)| *row).collect(),
    };
    Some(match (&found[..], kept.column_of.get(column)) {
        ([row], Some(at)) => Ok(kept.place(*row, *at)),
        ([], _) => Err(UnknownName {
            what: noun,
            nearest: nearest(&name, rows.iter().map(|(known, _)| known.as_str())).map(str::to_owned),
            found: excerpt(&name),
            remedy: format!("Name a row of the sheet {sheet}."),
        }
        .into()),
        ([_], None) => Err(EditNotRead {
            typed: excerpt(target),
            expected: format!("a heading that the workbook's sheet {sheet} has; it has no column {column}"),
        }
        .into()),
        (several, _) => Err(EditNotRead {
            typed: excerpt(target),
            expected: format!(
                "words that only one row of the sheet {sheet} begins with; these rows do: {}",
                several.iter().map(|row| (u64::from(*row) + 1).to_string()).collect::<Vec<_>>().join(", ")
            ),
        }
        .into()),
    })
}
