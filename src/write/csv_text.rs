//! Rows as CSV (RFC 4180: commas, double quotes, CR LF), safe to open in a spreadsheet program: no cell can begin a formula.

/// The bytes of rows of text, UTF-8. Control characters become spaces, so a cell keeps to its line; a cell whose first
/// sign could begin a formula gets an apostrophe before it, which spreadsheet programs take for "text".
pub fn csv_bytes(rows: &[Vec<String>]) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).flexible(true).from_writer(Vec::new());
    for row in rows {
        // Writing to memory cannot fail.
        let _ = writer.write_record(row.iter().map(|cell| safe(cell)));
    }
    writer.into_inner().unwrap_or_default()
}

fn safe(cell: &str) -> String {
    let plain: String = cell.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    // A program that trims a cell before it looks at it sees the first sign that can be seen.
    let first = plain.chars().find(|c| !c.is_whitespace() && !unseen(*c));
    if first.is_some_and(begins_a_formula) { format!("'{plain}") } else { plain }
}

/// Signs of no width, and those that turn the direction of reading.
fn unseen(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// `=`, `+`, `-`, `@`, and what they look like in other widths: some programs take one for the other.
fn begins_a_formula(c: char) -> bool {
    matches!(
        c,
        '=' | '+'
            | '-'
            | '@'
            | '\u{2212}'
            | '\u{fe62}'
            | '\u{fe63}'
            | '\u{fe66}'
            | '\u{fe6b}'
            | '\u{ff0b}'
            | '\u{ff0d}'
            | '\u{ff1d}'
            | '\u{ff20}'
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cells: &[&str]) -> Vec<String> {
        cells.iter().map(|cell| (*cell).to_owned()).collect()
    }

    #[test]
    fn cells_are_quoted_as_the_standard_says() {
        // RFC 4180, section 2, rules 1, 6 and 7.
        let bytes = csv_bytes(&[row(&["tee", "3/4\" x 1/2\"", "a, b"]), row(&["", "1", ""])]);
        assert_eq!(String::from_utf8(bytes).unwrap(), "tee,\"3/4\"\" x 1/2\"\"\",\"a, b\"\r\n,1,\r\n");
    }

    #[test]
    fn no_cell_begins_a_formula() {
        let begins = [
            "=1+1",
            "+1",
            "-1",
            "@SUM(1)",
            "\t=1",
            "\r=1",
            "\n=1",
            " =1",
            "\u{ff1d}1",
            "\u{ff0b}1",
            "\u{ff0d}1",
            "\u{ff20}x",
            "\u{200b}=1",
            "\u{202e}=1",
            "\u{feff}=1",
        ];
        for cell in begins {
            assert!(safe(cell).starts_with('\''), "{cell:?}");
            assert!(!safe(cell).contains(['\t', '\r', '\n']), "{cell:?}");
        }
        assert_eq!(safe("3/4\" - full port"), "3/4\" - full port");
    }
}
