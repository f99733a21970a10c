//! The types of columns: what each may hold, what is read from it, what a row keeps of it. A new one is one `impl`, here
//! or beside the type it is of.

use super::cell::Cell;
use super::words::{BY, FORM, JOINTS, MEDIA, PARTIES, PAYMENT, PHASES, TERM_KINDS, Variants, WATERS};
use super::{Cells, Column, ColumnType, Input, Kind};
use crate::figure::{Book, Term};
use crate::finding::Sink;
use crate::model::{At, Field, Range, Raw, Scale, Size, Taxed, parse_feet};
use rust_decimal::Decimal;
use std::fmt::Debug;
use std::marker::PhantomData;
use std::sync::Arc;

/// The name of a row.
#[derive(Debug, Clone, PartialEq)]
pub struct Name;

impl ColumnType for Name {
    type Value = Arc<str>;
    type Cell = At<Arc<str>>;
    const KIND: Kind = Kind::Text;
    const NEEDED: bool = true;
    const IS_NAME: bool = true;

    fn read(cells: &Cells, column: usize, sink: &mut Sink) -> Option<Self::Cell> {
        let field = cells.cell(column).text(sink);
        let value = field.value?;
        Some(At { written: value.clone(), value, place: field.cell? })
    }
}

/// Words that a row must have, of this type of column: blank where there are none, with a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Must<K>(PhantomData<K>);

impl<K: ColumnType<Value = Arc<str>, Cell = Input<K>>> ColumnType for Must<K> {
    type Value = Arc<str>;
    type Cell = At<Arc<str>>;
    const KIND: Kind = K::KIND;
    const NEEDED: bool = true;

    fn read(cells: &Cells, column: usize, sink: &mut Sink) -> Option<Self::Cell> {
        Some(cells.always((*K::read(cells, column, sink)?).clone()))
    }
}

/// Any words, which a row must have.
pub(crate) type Needed = Must<Text>;

/// A word of a list that a row must have.
pub(crate) type NeededOneOf<L> = Must<OneOf<L>>;

/// Declares types of columns: what is made of a cell, its kind, how it is read, and its number if it is one.
macro_rules! column_types {
    ($($(#[$about:meta])* $name:ident $(<const $param:ident: $of:ty $(= $default:literal)?>)?: $value:ty, $kind:ident,
        |$row:pat_param, $cell:ident, $sink:ident| $read:expr $(, number $number:expr)? $(, recorded $recorded:expr)?;)+
    ) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name$(<const $param: $of $(= $default)?>)?;

        impl$(<const $param: $of>)? ColumnType for $name$(<$param>)? {
            type Value = $value;
            type Cell = Input<Self>;
            const KIND: Kind = Kind::$kind;

            fn read(row: &Cells, column: usize, $sink: &mut Sink) -> Option<Self::Cell> {
                let ($row, $cell) = (row, row.cell(column));
                Some($read.into())
            }

            $(fn number(value: &$value) -> Option<Decimal> {
                ($number)(value)
            })?

            $(fn recorded(cell: &Input<Self>, book: &mut Book) -> Option<Term> {
                ($recorded)(cell, book)
            })?
        }
    )+};
}

column_types! {
    /// Any words.
    Text: Arc<str>, Text, |_, cell, sink| cell.text(sink);
    /// A number that may be negative. A blank cell is 0.
    Number: Decimal, Number, |_, cell, sink| cell.number(sink, true), number |number: &Decimal| Some(*number);
    /// A number that cannot be negative, and what stands for a blank cell.
    Positive<const BLANK: u32 = 0>: Decimal, Positive, |_, cell, sink| cell.number(sink, false), number |number: &Decimal| Some(*number);
    /// A length in feet.
    Feet: Decimal, Length, |_, cell, sink| cell.length(sink), number |number: &Decimal| Some(*number);
    /// Height gained, ft: a number or a length such as -2'6".
    Height: Decimal, Number, |_, cell, sink| height(&cell, sink), number |number: &Decimal| Some(*number);
    /// Dollars for one of what the row's Unit says.
    UnitPrice: Decimal, Price, |row, cell, sink| {
        cell.price(sink, row.under("Unit").text(&mut Sink::default()).text())
    }, number |number: &Decimal| Some(*number);
    /// A nominal size.
    PipeSize: Size, Size, |_, cell, sink| cell.size(sink), recorded size;
    /// Run x run x branch for tees; one size, or none, for most things.
    PipeSizes: Vec<Size>, Sizes, |_, cell, sink| cell.sizes(sink);
    /// Days since 1899-12-30.
    Day: Decimal, Date, |_, cell, sink| cell.date(sink), number |number: &Decimal| Some(*number);
    /// Sales tax, and whether a row whose cell is blank is taxed.
    SalesTax<const IF_BLANK: bool>: Taxed, Share, |_, cell, sink| cell.tax(sink), number tax_rate;
}

fn tax_rate(tax: &Taxed) -> Option<Decimal> {
    match tax {
        Taxed::At(share) => Some(*share),
        Taxed::ByJob => None,
    }
}

fn height(cell: &Cell, sink: &mut Sink) -> Field<Decimal> {
    match cell.raw() {
        Raw::Text(text) if parse_feet(text).is_some() => {
            cell.expecting(sink, "a height in feet", |_, _| parse_feet(text))
        }
        _ => cell.number(sink, true),
    }
}

/// However it is spelled.
fn size(cell: &Input<PipeSize>, book: &mut Book) -> Option<Term> {
    cell.cell.is_some().then(|| cell.figure(book))
}

/// What an Amount says, by the Kind of its row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Amount {
    /// A deduct is negative.
    Dollars(Decimal),
    /// What is due at a payment, of the whole.
    Share(Decimal),
}

impl Amount {
    /// Dollars, or the share.
    pub fn number(self) -> Decimal {
        let (Self::Dollars(number) | Self::Share(number)) = self;
        number
    }
}

impl ColumnType for Amount {
    type Value = Self;
    type Cell = Input<Self>;
    const KIND: Kind = Kind::Amount;

    fn read(cells: &Cells, column: usize, sink: &mut Sink) -> Option<Self::Cell> {
        let kind = cells.under("Kind").word(TERM_KINDS, &mut Sink::default());
        let cell = cells.cell(column);
        Some(match kind.text() {
            "payment" => cell.percent(sink, false).map(Self::Share).into(),
            _ => cell.number(sink, true).map(Self::Dollars).into(),
        })
    }

    fn number(amount: &Self) -> Option<Decimal> {
        Some((*amount).number())
    }

    fn range(amount: &Self, column: &Column) -> Option<(Range, Scale<'static>)> {
        match amount {
            Self::Dollars(_) => column.range.map(|range| (range, column.scale())),
            Self::Share(_) => Some((PAYMENT, Scale::Share)),
        }
    }
}

/// A list of which a cell has one word.
pub trait WordList: Debug + Clone + PartialEq + 'static {
    const WORDS: &'static [&'static str];
}

/// A word of a list, in the list's own spelling.
#[derive(Debug, Clone, PartialEq)]
pub struct OneOf<L>(PhantomData<L>);

impl<L: WordList> ColumnType for OneOf<L> {
    type Value = Arc<str>;
    type Cell = Input<Self>;
    const KIND: Kind = Kind::Choice(L::WORDS);

    fn read(cells: &Cells, column: usize, sink: &mut Sink) -> Option<Self::Cell> {
        Some(cells.cell(column).word(L::WORDS, sink).into())
    }
}

impl<V: Variants> ColumnType for V {
    type Value = V;
    type Cell = Input<V>;
    const KIND: Kind = Kind::Choice(V::WORDS);

    fn read(cells: &Cells, column: usize, sink: &mut Sink) -> Option<Self::Cell> {
        let at: Field<usize> = cells.cell(column).choice(sink, V::WORDS);
        Some(at.and_then(|at| V::ALL.get(at).copied()).into())
    }

    fn recorded(cell: &Input<Self>, book: &mut Book) -> Option<Term> {
        let cell = cell.as_typed(book)?;
        let Some(word) = V::BLANK_IS else { return Some(cell) };
        let blank = Term::text("");
        // A blank cell by itself would count as 0.
        Some(cell.same(&Term::text(word)).pick(&blank, &Term::join(&[&cell, &blank])))
    }
}

/// Declares the types of columns that hold one word of a list.
macro_rules! word_lists {
    ($($name:ident of $words:expr;)+) => {$(
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name;

        impl WordList for $name {
            const WORDS: &'static [&'static str] = $words;
        }
    )+};
}

word_lists! {
    Forms of FORM;
    JointRules of JOINTS;
    Phases of PHASES;
    Waters of WATERS;
    Workers of BY;
    Parties of PARTIES;
    TermKinds of TERM_KINDS;
    Media of MEDIA;
}
