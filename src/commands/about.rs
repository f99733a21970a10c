//! What a bid workbook says of itself in its document properties.

use crate::model::{Job, KeptBook, Raw, Setting};
use crate::write::About;

/// The property that tells whether the inputs of two bids are the same.
pub const INPUTS_PROPERTY: &str = "tallybore-inputs";

/// Title and author from the Job sheet, and a mark of all inputs. A bid that is priced again has the same.
pub fn about(job: &Job, kept: &KeptBook) -> About {
    let job_name = job.text(Setting::JobName).to_string();
    About {
        title: if job_name.is_empty() { "Plumbing bid".to_owned() } else { format!("Plumbing bid: {job_name}") },
        author: job.text(Setting::PreparedBy).to_string(),
        bid: bid(job),
        job_name,
        properties: vec![(INPUTS_PROPERTY.to_owned(), inputs_mark(kept))],
    }
}

/// `Bid H-14, revision 1`.
fn bid(job: &Job) -> String {
    let (number, revision) = (job.text(Setting::BidNumber), job.text(Setting::Revision));
    let revision = if revision.trim().is_empty() { "0" } else { revision.trim() };
    match number.trim() {
        "" => format!("Revision {revision}"),
        number => format!("Bid {number}, revision {revision}"),
    }
}

/// A mark of what stands in the user's sheets, wherever the file lies and however it was saved: 16 hexadecimal digits.
/// It tells changed inputs from unchanged ones by accident, not against somebody who wants them to look alike.
fn inputs_mark(kept: &KeptBook) -> String {
    let mut mark = Fnv::default();
    for sheet in &kept.sheets {
        mark.word(&sheet.name);
        for cell in &sheet.cells {
            let (kind, text) = match &cell.raw {
                Raw::Blank if cell.formula.is_none() => continue,
                Raw::Blank => ("blank", String::new()),
                Raw::Number(number) => ("number", number.normalize().to_string()),
                Raw::Text(text) => ("text", text.to_string()),
                Raw::Date(serial) => ("date", serial.normalize().to_string()),
                Raw::Flag(flag) => ("flag", flag.to_string()),
                Raw::Fault(fault) => ("fault", fault.to_string()),
            };
            mark.word(&crate::place::a1(cell.row, cell.column));
            mark.word(kind);
            mark.word(&text);
            mark.word(cell.formula.as_deref().unwrap_or(""));
        }
    }
    format!("{:016x}", mark.0)
}

/// FNV-1a, 64 bits.
struct Fnv(u64);

impl Default for Fnv {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Fnv {
    /// The bytes of a word and one that no word holds, so that "ab", "c" and "a", "bc" differ.
    fn word(&mut self, word: &str) {
        for byte in word.bytes().chain([0xff]) {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{KeptCell, KeptSheet};

    fn book(raw: Raw) -> KeptBook {
        let cell = KeptCell { row: 3, column: 1, raw, formula: None, format: None };
        KeptBook { sheets: vec![KeptSheet { name: "Job".into(), cells: vec![cell], ..KeptSheet::default() }] }
    }

    #[test]
    fn the_mark_is_the_published_hash() {
        // FNV-1a 64 of "a", from the hash's public test suite.
        let mut hash = Fnv::default();
        hash.0 = (hash.0 ^ u64::from(b'a')).wrapping_mul(0x0100_0000_01b3);
        assert_eq!(hash.0, 0xaf63_dc4c_8601_ec8c);
    }

    #[test]
    fn the_mark_changes_with_the_inputs_alone() {
        let seven = inputs_mark(&book(Raw::Number("7.0".parse().unwrap())));
        assert_eq!(seven, inputs_mark(&book(Raw::Number(7.into()))));
        assert_ne!(seven, inputs_mark(&book(Raw::Text("7".into()))));
        assert_ne!(seven, inputs_mark(&book(Raw::Number(8.into()))));
    }
}
