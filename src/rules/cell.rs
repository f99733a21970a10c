//! What a cell of a rule table is, typed: how it is read, and how it is written.

use crate::figure::Value;
use crate::folding::Worded;
use crate::model::{Size, parse_number};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::sync::Arc;

/// A value of a cell of a rule table. The text it is read from has passed its column's kind and is in the program's
/// own spelling; it is empty where the cell is blank.
pub trait CellValue: Sized {
    /// `None` where the text says no such value.
    fn read(text: &Arc<str>) -> Option<Self>;

    /// As a sheet of the user's would have it.
    fn text(&self) -> String;

    /// As the Rules page of a bid shows it; `None` for a cell that stays blank.
    fn shown(&self) -> Option<Value> {
        Some(Value::text(self.text()))
    }
}

impl CellValue for Arc<str> {
    fn read(text: &Arc<str>) -> Option<Self> {
        Some(text.clone())
    }

    fn text(&self) -> String {
        self.to_string()
    }
}

impl CellValue for String {
    fn read(text: &Arc<str>) -> Option<Self> {
        Some(text.to_string())
    }

    fn text(&self) -> String {
        self.clone()
    }
}

impl CellValue for Decimal {
    fn read(text: &Arc<str>) -> Option<Self> {
        parse_number(text)
    }

    fn text(&self) -> String {
        self.normalize().to_string()
    }

    fn shown(&self) -> Option<Value> {
        Some(Value::Exact(*self))
    }
}

/// Makes whole numbers cell values: years, pieces.
macro_rules! whole {
    ($($type:ty, $read:ident;)+) => {
        $(impl $crate::rules::cell::CellValue for $type {
            fn read(text: &Arc<str>) -> Option<Self> {
                parse_number(text)?.$read()
            }

            fn text(&self) -> String {
                self.to_string()
            }
        })+
    };
}

whole! {
    u8, to_u8;
    u16, to_u16;
}

impl CellValue for Size {
    fn read(text: &Arc<str>) -> Option<Self> {
        Self::parse(text)
    }

    fn text(&self) -> String {
        self.to_string()
    }

    fn shown(&self) -> Option<Value> {
        Some(Value::text(self.key()))
    }
}

/// A size as formulas look it up, or an empty text.
pub(crate) fn size_key(size: Option<Size>) -> String {
    size.map(Size::key).unwrap_or_default()
}

/// Blank, or a word that says no such value: `any` is no code of its own.
impl<T: CellValue> CellValue for Option<T> {
    fn read(text: &Arc<str>) -> Option<Self> {
        Some(T::read(text))
    }

    fn text(&self) -> String {
        self.as_ref().map(T::text).unwrap_or_default()
    }

    fn shown(&self) -> Option<Value> {
        self.as_ref().and_then(T::shown)
    }
}

/// Fixtures that make up a group: `bathtub/shower;lavatory`.
impl CellValue for Vec<Vec<Arc<str>>> {
    fn read(text: &Arc<str>) -> Option<Self> {
        Some(text.split(';').map(|slot| slot.split('/').map(Arc::from).collect()).collect())
    }

    fn text(&self) -> String {
        self.iter().map(|slot| slot.join("/")).collect::<Vec<_>>().join(";")
    }
}

impl<T: Worded> CellValue for T {
    fn read(text: &Arc<str>) -> Option<Self> {
        Self::from_name(text)
    }

    fn text(&self) -> String {
        self.word().to_owned()
    }
}
