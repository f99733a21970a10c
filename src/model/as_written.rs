//! What a row of rule figures was when the bid was written, as one text beside it: of which sheet of the user's a row would
//! go before it, what names that row, and each figure with the column it stands in.

use super::parse_number;
use rust_decimal::Decimal;

/// One row of rule figures as written.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AsWritten {
    /// The user's sheet whose rows go before the table's own.
    pub sheet: String,
    /// What names the row: headings and words.
    pub keys: Vec<(String, String)>,
    /// From left to right.
    pub figures: Vec<WrittenFigure>,
}

/// One figure of the row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenFigure {
    /// The column of the bid's sheet, from 0.
    pub column: u16,
    /// The heading in the user's sheet.
    pub heading: String,
    /// What the bid wrote there.
    pub was: Decimal,
    /// What the figure of the bid is multiplied by to be that of the user's sheet.
    pub times: Decimal,
}

const BETWEEN: char = '|';

impl AsWritten {
    /// `Labor conditions|place=attic|form=|material=|3 factor=1.25`
    pub fn to_text(&self) -> String {
        let mut text = self.sheet.clone();
        for (heading, words) in &self.keys {
            text.push_str(&format!("{BETWEEN}{heading}={}", words.replace(BETWEEN, " ")));
        }
        for WrittenFigure { column, heading, was, times } in &self.figures {
            text.push_str(&format!("{BETWEEN}{column} {heading}={}", was.normalize()));
            if *times != Decimal::ONE {
                text.push_str(&format!("*{}", times.normalize()));
            }
        }
        text
    }

    /// `None` for any other text.
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.split(BETWEEN);
        let mut row = Self { sheet: parts.next()?.trim().to_owned(), ..Self::default() };
        for part in parts {
            let (heading, value) = part.split_once('=')?;
            let figure = heading.split_once(' ').and_then(|(column, heading)| Some((column.parse().ok()?, heading)));
            match figure {
                Some((column, heading)) => {
                    let (was, times) = value.split_once('*').unwrap_or((value, "1"));
                    let (was, times) = (parse_number(was)?, parse_number(times)?);
                    row.figures.push(WrittenFigure { column, heading: heading.to_owned(), was, times });
                }
                None => row.keys.push((heading.to_owned(), value.to_owned())),
            }
        }
        (!row.figures.is_empty() && !row.sheet.is_empty()).then_some(row)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn a_row_is_read_as_it_was_written() {
        let figure = |column, heading: &str, was, times| WrittenFigure { column, heading: heading.into(), was, times };
        let row = AsWritten {
            sheet: "Water properties".into(),
            keys: vec![("temperature_f".into(), "40".into()), ("note".into(), String::new())],
            figures: vec![
                figure(1, "viscosity", dec!(16.64), dec!(0.000001)),
                figure(2, "psi", dec!(-0.5), Decimal::ONE),
            ],
        };
        assert_eq!(AsWritten::parse(&row.to_text()), Some(row));
        assert_eq!(AsWritten::parse("Labor conditions"), None);
        assert_eq!(AsWritten::parse("a=b|c"), None);
    }
}
