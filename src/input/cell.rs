//! One raw cell -> a number, a text, a size, a length, a percent, a date; with a finding when it is none.

use super::taxed::{TAXED, Taxed, UNTAXED};
use crate::finding::{Finding, Sink, excerpt, nearest, nearly};
use crate::input::findings::{
    BarePercent, BlankFormula, DateFromText, DateInCell, FaultInCell, MissingValue, NegativeValue, PriceFromText,
    PriceNotRead, SizeFromDate, UnknownChoice, WrongKind,
};
use crate::model::{
    Field, KeptCell, Raw, Size, civil_date, counter_price, date_text, fold, meaning, parse_date, parse_feet,
    parse_number, parse_percent, parse_typed_date,
};
use crate::place::Place;
use rust_decimal::Decimal;
use std::sync::Arc;

/// What a blank cell means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Blank {
    Fine,
    Stop,
}

/// A cell about to be read: what stands in it, and how findings speak of it.
pub(crate) struct Cell<'a> {
    /// `None` when the sheet has no such column.
    pub place: Option<Place>,
    pub kept: Option<&'a KeptCell>,
    /// The heading, or the Job item.
    pub column: &'a str,
    /// The unit that may follow a number typed as text: `2.5 gpm`.
    pub unit: &'a str,
    /// What a blank cell is.
    pub blank: Blank,
    /// A value that cannot be read stops the bid.
    pub needed: bool,
}

impl<'a> Cell<'a> {
    pub(crate) fn raw(&self) -> &'a Raw {
        self.kept.map_or(&Raw::Blank, |k| &k.raw)
    }

    /// True when the cell shows nothing.
    pub(crate) fn is_blank(&self) -> bool {
        match self.raw() {
            Raw::Blank => true,
            Raw::Text(text) => text.trim().is_empty(),
            _ => false,
        }
    }

    pub(crate) fn find(&self, sink: &mut Sink, what: impl Into<Finding>) {
        match &self.place {
            Some(place) => sink.at(place, what),
            None => sink.everywhere(what),
        }
    }

    fn column(&self) -> String {
        self.column.to_owned()
    }

    fn field<T>(&self, value: Option<T>) -> Field<T> {
        // A text of spaces shows nothing, and counts as nothing.
        let raw = if self.is_blank() { Raw::Blank } else { self.raw().clone() };
        Field { value, cell: self.place.clone(), raw }
    }

    /// Reads the cell with `read`, which gets what is neither blank nor an error; it answers what was expected when it
    /// can make nothing of it.
    fn with<T>(&self, sink: &mut Sink, read: impl FnOnce(&Raw, &mut Sink) -> Result<T, Refused>) -> Field<T> {
        if self.is_blank() {
            let unworked = self.kept.is_some_and(|k| k.formula.is_some() && k.raw == Raw::Blank);
            if unworked {
                self.find(sink, BlankFormula { column: self.column(), needed: self.needed });
            } else if self.blank == Blank::Stop && self.place.is_some() {
                self.find(sink, MissingValue { column: self.column() });
            }
            return self.field(None);
        }
        if let Raw::Fault(fault) = self.raw() {
            let fault = excerpt(fault);
            self.find(sink, FaultInCell { column: self.column(), fault, needed: self.needed });
            return self.field(None);
        }
        match read(self.raw(), sink) {
            Ok(value) => self.field(Some(value)),
            Err(refused) => {
                let (column, needed) = (self.column(), self.needed);
                let shown = shown(self.raw());
                match refused {
                    Refused::Expected(expected) => {
                        self.find(sink, WrongKind { column, found: shown, expected, needed });
                    }
                    Refused::Date { size } => self.find(sink, DateInCell { column, date: shown, size, needed }),
                    Refused::Found(finding) => self.find(sink, *finding),
                }
                self.field(None)
            }
        }
    }

    /// Any words. Numbers and dates are taken as they are written plainly.
    pub(crate) fn text(&self, sink: &mut Sink) -> Field<Arc<str>> {
        self.with(sink, |raw, _| Ok(plain_text(raw)))
    }

    pub(crate) fn number(&self, sink: &mut Sink, negative: bool) -> Field<Decimal> {
        self.with(sink, |raw, _| {
            let number = match raw {
                Raw::Number(number) => *number,
                Raw::Text(text) => parse_number(self.without_unit(text)).ok_or("a number")?,
                Raw::Date(_) => return Err(Refused::Date { size: false }),
                _ => return Err("a number".into()),
            };
            self.signed(number, negative)
        })
    }

    /// Money for one `unit`, as it is typed at a counter; a word for a price still to come is none.
    pub(crate) fn price(&self, sink: &mut Sink, unit: &str) -> Field<Decimal> {
        match self.raw() {
            Raw::Text(text) if counter_price::is_open(text) => Field { value: None, ..self.field(None) },
            Raw::Text(_) => self.with(sink, |raw, sink| {
                let text = plain_text(raw);
                if text.starts_with(['-', '\u{2212}']) {
                    return Err(Refused::Found(NegativeValue { column: self.column(), found: shown(raw) }.into()));
                }
                let (price, in_words) = counter_price::price(&text, unit).map_err(|problem| {
                    Refused::Found(PriceNotRead { found: shown(raw), problem, unit: unit.to_owned() }.into())
                })?;
                if in_words {
                    let value = price.normalize().to_string();
                    self.find(sink, PriceFromText { found: shown(raw), value, unit: unit.to_owned() });
                }
                Ok(price.normalize())
            }),
            _ => self.number(sink, false),
        }
    }

    /// Feet.
    pub(crate) fn length(&self, sink: &mut Sink) -> Field<Decimal> {
        self.with(sink, |raw, _| {
            let feet = match raw {
                Raw::Number(number) => *number,
                Raw::Text(text) => parse_feet(text).ok_or("a length in feet such as 12.5 or 12'6\"")?,
                Raw::Date(_) => return Err(Refused::Date { size: false }),
                _ => return Err("a length in feet such as 12.5 or 12'6\"".into()),
            };
            self.signed(feet, false)
        })
    }

    /// A share: 0.07 is 7 %.
    pub(crate) fn percent(&self, sink: &mut Sink, negative: bool) -> Field<Decimal> {
        self.with(sink, |raw, sink| {
            let share = self.share(raw, sink, "a percent such as 7% or 0.07")?;
            self.signed(share, negative)
        })
    }

    /// A share of tax, or a word for it.
    pub(crate) fn tax(&self, sink: &mut Sink) -> Field<Taxed> {
        let expected = "yes, no, or a percent such as 3%";
        self.with(sink, |raw, sink| match raw {
            Raw::Text(text) if [TAXED, UNTAXED].contains(&&*fold(text)) => Ok(Taxed::parse(text).ok_or(expected)?),
            _ => self.share(raw, sink, expected).and_then(|share| self.signed(share, false)).map(Taxed::At),
        })
    }

    fn share(&self, raw: &Raw, sink: &mut Sink, expected: &str) -> Result<Decimal, Refused> {
        Ok(match raw {
            // A cell that shows percents holds the share itself: 150 % is 1.5 in it.
            Raw::Number(number) if self.kept.is_some_and(KeptCell::is_percent) => *number,
            Raw::Number(number) => self.bare_percent(*number, sink).ok_or(expected)?,
            Raw::Text(text) if text.trim().ends_with('%') => parse_percent(text).ok_or(expected)?,
            Raw::Text(text) => parse_number(text).and_then(|n| self.bare_percent(n, sink)).ok_or(expected)?,
            Raw::Date(_) => return Err(Refused::Date { size: false }),
            _ => return Err(expected.into()),
        })
    }

    /// A bare 7 is 7 %, a bare 0.07 too.
    fn bare_percent(&self, number: Decimal, sink: &mut Sink) -> Option<Decimal> {
        if number.abs() < Decimal::ONE {
            return Some(number);
        }
        let percent = number.normalize().to_string();
        self.find(sink, BarePercent { column: self.column(), found: shown(self.raw()), percent });
        number.checked_div(Decimal::ONE_HUNDRED)
    }

    fn signed(&self, number: Decimal, negative: bool) -> Result<Decimal, Refused> {
        if number < Decimal::ZERO && !negative {
            return Err(Refused::Found(NegativeValue { column: self.column(), found: shown(self.raw()) }.into()));
        }
        Ok(number.normalize())
    }

    pub(crate) fn size(&self, sink: &mut Sink) -> Field<Size> {
        self.with(sink, |raw, sink| match raw {
            Raw::Number(number) => Ok(size_of(*number).ok_or(SIZE)?),
            Raw::Text(text) => Ok(Size::parse(text).ok_or(SIZE)?),
            Raw::Date(serial) => self.dated_size(*serial, sink),
            _ => Err(SIZE.into()),
        })
    }

    /// One size, or several joined by x.
    pub(crate) fn sizes(&self, sink: &mut Sink) -> Field<Vec<Size>> {
        let expected = "a size such as 3/4, or sizes such as 3/4 x 1/2 x 1/2";
        self.with(sink, |raw, sink| match raw {
            Raw::Number(number) => Ok(vec![size_of(*number).ok_or(expected)?]),
            Raw::Text(text) => {
                let sizes: Option<Vec<Size>> = text.split(['x', 'X', '×', '*']).map(Size::parse).collect();
                Ok(sizes.filter(|s| s.len() <= 4).ok_or(expected)?)
            }
            Raw::Date(serial) => Ok(vec![self.dated_size(*serial, sink)?]),
            _ => Err(expected.into()),
        })
    }

    fn dated_size(&self, serial: Decimal, sink: &mut Sink) -> Result<Size, Refused> {
        let size = size_of_date(serial).ok_or(Refused::Date { size: true })?;
        self.find(sink, SizeFromDate { date: date_text(serial), size: size.to_string() });
        Ok(size)
    }

    /// Days since 1899-12-30.
    pub(crate) fn date(&self, sink: &mut Sink) -> Field<Decimal> {
        self.with(sink, |raw, sink| match raw {
            Raw::Date(serial) if *serial >= Decimal::ONE => Ok(serial.floor()),
            Raw::Text(text) => {
                let date = parse_typed_date(text).ok_or("a date such as 2026-05-30")?;
                if parse_date(text) != Some(date) {
                    let (found, date) = (excerpt(text), date_text(date));
                    self.find(sink, DateFromText { column: self.column(), found, date });
                }
                Ok(date)
            }
            _ => Err("a date such as 2026-05-30".into()),
        })
    }

    /// The place of the word in a list.
    pub(crate) fn choice(&self, sink: &mut Sink, list: &'static [&'static str]) -> Field<usize> {
        self.with(sink, |raw, sink| {
            let text = plain_text(raw);
            // Most words are written as the list has them.
            if let Some(at) = list.iter().position(|word| **word == *text) {
                return Ok(at);
            }
            let wanted = fold(&text);
            if let Some(at) = list.iter().position(|word| fold(word) == wanted) {
                return Ok(at);
            }
            if let Some(at) = meaning::meant(self.column, list, &text) {
                return Ok(at);
            }
            let look = self.place.as_ref().is_none_or(|place| sink.has_room(place));
            let perhaps = meaning::perhaps(self.column, list, &text);
            let near = match perhaps.as_slice() {
                [] if look => self.nearest_choice(list, &text).map(str::to_owned),
                [] => None,
                several => Some(several.join("\" or \"")),
            };
            let (found, nearest) = (excerpt(&text), near);
            Err(Refused::Found(UnknownChoice { column: self.column(), found, nearest, list: list.to_vec() }.into()))
        })
    }

    /// A word out of a list, in the list's own spelling.
    pub(crate) fn word(&self, list: &'static [&'static str], sink: &mut Sink) -> Field<Arc<str>> {
        self.choice(sink, list).and_then(|at| list.get(at).map(|word| Arc::from(*word)))
    }

    /// A slip of a word of the list, or of an everyday name of one; else the nearest word.
    fn nearest_choice(&self, list: &'static [&'static str], text: &str) -> Option<&'static str> {
        let everyday = meaning::everyday(self.column, list);
        let slip = || nearly(text, everyday.iter().map(|(name, _)| *name));
        let meant = || slip().and_then(|name| everyday.iter().find(|(known, _)| *known == name)).map(|(_, word)| *word);
        nearly(text, list.iter().copied()).or_else(meant).or_else(|| nearest(text, list.iter().copied()))
    }

    /// The same cell, with what `fits` turns down refused.
    pub(crate) fn expecting<T>(
        &self,
        sink: &mut Sink,
        expected: &str,
        fits: impl FnOnce(&Raw, &mut Sink) -> Option<T>,
    ) -> Field<T> {
        self.with(sink, |raw, sink| fits(raw, sink).ok_or_else(|| expected.into()))
    }

    fn without_unit<'t>(&self, text: &'t str) -> &'t str {
        let text = text.trim();
        let cut = text.len().checked_sub(self.unit.len()).filter(|at| text.is_char_boundary(*at));
        match cut.map(|at| text.split_at(at)) {
            Some((number, unit)) if !unit.is_empty() && unit.eq_ignore_ascii_case(self.unit) => number.trim(),
            _ => text,
        }
    }
}

const SIZE: &str = "a pipe size such as 3/4 or 1-1/4";

/// Why a cell was not read.
enum Refused {
    Expected(String),
    Date { size: bool },
    Found(Box<Finding>),
}

impl From<&str> for Refused {
    fn from(expected: &str) -> Self {
        Self::Expected(expected.to_owned())
    }
}

/// A cell's value in words; a date in ISO form.
pub(crate) fn plain_text(raw: &Raw) -> Arc<str> {
    match raw {
        Raw::Blank => "".into(),
        Raw::Number(number) => number.normalize().to_string().into(),
        Raw::Text(text) if text.trim().len() == text.len() => text.clone(),
        Raw::Text(text) => text.trim().into(),
        Raw::Date(serial) => date_text(*serial).into(),
        Raw::Flag(flag) => if *flag { "TRUE" } else { "FALSE" }.into(),
        Raw::Fault(fault) => fault.clone(),
    }
}

pub(crate) fn shown(raw: &Raw) -> String {
    excerpt(&plain_text(raw))
}

fn size_of(number: Decimal) -> Option<Size> {
    let sixteenths = number.checked_mul(Decimal::from(16))?;
    if !sixteenths.fract().is_zero() {
        return None;
    }
    Size::from_sixteenths(u16::try_from(sixteenths.trunc()).ok()?)
}

/// The one nominal size that a program can have turned into this date, if there is just one: 1/2 becomes 2 January or
/// 1 February of the year it was typed in, 1-1/4 becomes 1 January 2004.
pub(crate) fn size_of_date(serial: Decimal) -> Option<Size> {
    let (year, month, day) = civil_date(serial)?;
    let (month, day) = (u32::from(month), u32::from(day));
    let either = |a: u32, b: u32| (a, b) == (month, day) || (b, a) == (month, day);
    let written = |sixteenths: u16| {
        let (whole, rest) = (u32::from(sixteenths) / 16, u32::from(sixteenths) % 16);
        let below = 16 >> rest.trailing_zeros().min(4);
        let above = rest * below / 16;
        match (whole, rest) {
            (_, 0) => false,
            (0, _) => either(above, below),
            _ => either(whole, above) && year == 2000 + i64::from(below),
        }
    };
    let mut found = Size::NOMINAL.iter().filter(|size| written(size.sixteenths()));
    let size = found.next()?;
    if found.next().is_some() { None } else { Some(*size) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_made_of_sizes_are_known_again() {
        let size = |date: &str| size_of_date(parse_date(date).unwrap()).map(|s| s.to_string());
        for (date, expected) in [
            ("2026-01-02", "1/2"),
            ("2026-02-01", "1/2"),
            ("2026-03-04", "3/4"),
            ("2026-04-03", "3/4"),
            ("2025-01-04", "1/4"),
            ("2025-03-08", "3/8"),
            ("2004-01-01", "1-1/4"),
            ("2002-01-01", "1-1/2"),
        ] {
            assert_eq!(size(date).as_deref(), Some(expected), "{date}");
        }
        // In 2002 this day can have been 1/2 or 2-1/2; the others are no size at all.
        for date in ["2002-02-01", "2026-01-03", "2026-05-30", "2026-01-01", "2026-12-25"] {
            assert_eq!(size(date), None, "{date}");
        }
    }

    #[test]
    fn decimal_sizes_are_whole_sixteenths() {
        let size = |n: &str| size_of(n.parse().unwrap()).map(|s| s.to_string());
        assert_eq!(size("0.75").as_deref(), Some("3/4"));
        assert_eq!(size("1.5").as_deref(), Some("1-1/2"));
        for number in ["0.33", "0", "-1", "99", "79228162514264337593543950335"] {
            assert_eq!(size(number), None, "{number}");
        }
    }
}
