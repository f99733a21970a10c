//! A row that one word does not name, spoken of as the Changes sheet does: `price pipe PEX 3/4 Quillmoor Supply`, `task set
//! filter`, `cost Trench`. Without a heading its figure is meant: the price, the hours, the quantity.

use super::inputs;
use crate::finding::{Finding, UnknownName, excerpt, nearest};
use crate::input::{Reference, Sheet};
use crate::model::{KeptBook, fold};
use crate::place::Place;
use crate::revise::findings::EditNotRead;

/// The cell of a row and a heading; `None` when the words begin with no such row's noun.
pub(super) fn cell(book: &KeptBook, target: &str) -> Option<Result<Place, Box<Finding>>> {
    let (first, rest) = target.split_once(char::is_whitespace)?;
    let declared = Sheet::of_noun(first)?;
    let Reference::Words(meant) = declared.reference else { return None };
    let (sheet, noun) = (declared.name, declared.noun);
    let kept = book.declared(sheet)?;
    let words: Vec<&str> = rest.split_whitespace().collect();
    let heading = |cut: usize| declared.find(&words[cut..].join(" ")).map(|column| (cut, column.name));
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
