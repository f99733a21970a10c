//! Every spreadsheet function the engine uses, once: what it means and how it is spelled, side by side.
//!
//! Only functions that Excel 2010, LibreOffice 7.4 and Gnumeric all know, but for ISFORMULA, on which no figure rests. The bare forms of ROUNDUP and of comparisons
//! break on doubles (`3.0000000000000004` rounds up to 4), so nobody outside this file can write them: whole pieces are
//! `ROUNDUP(ROUND(x,6),0)`, comparisons `ROUND(a-b,6)>=0`, and the values here take the same two steps.

use super::operand::{Operand, flags};
use super::spelling::{Piece, Spelling, Strength};
use super::value::{Fault, Numeric, Value};
use super::{counting, matching, sheet_look, sums, texts, typed};
use rust_decimal::Decimal;
use std::cmp::Ordering;

/// What is done to the operands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Op {
    /// a + b.
    Add,
    /// a - b.
    Sub,
    /// a * b.
    Mul,
    /// a / b; by zero a fault.
    Div,
    /// a ^ b, in f64.
    Pow,
    /// LOG10, in f64.
    Log10,
    /// To the cent, half away from zero.
    Cents,
    /// To this many decimals, half away from zero.
    Round(u8),
    /// Up to a whole number, away from zero.
    WholeUp,
    /// Down to a whole number, toward zero.
    WholeDown,
    /// MIN of operands and ranges.
    Min,
    /// MAX of operands and ranges.
    Max,
    /// SUM of operands and ranges.
    Sum,
    /// SUMIFS: the range to add, then pairs of range and key.
    SumWhere,
    /// COUNTIFS: pairs of range and key.
    CountWhere,
    /// COUNT: how many of the operands are numbers.
    CountNumbers,
    /// How many cells of a range hold something: a number or words.
    CountFilled,
    /// How many cells of a range hold words.
    CountWords,
    /// The numbers of the rows of a range that hold words, added up: now `sum`, as whoever asks says.
    WordRows {
        /// The numbers of those rows, from 1, added up.
        sum: u32,
    },
    /// Of the numbers of a range, how many lie below the one bound, and those above the other added up: 0 where none does
    /// either, and another sum where one of them is another.
    Outside,
    /// How many numbers of a range lie between two bounds, each included.
    Between,
    /// SUMPRODUCT of two ranges.
    SumProduct,
    /// MATCH(key, range, 0): which row of the range bears the key, from 1.
    RowOf,
    /// MATCH(ROUND(x,6), range, -1): in a range sorted high to low, the last row that is still at least x.
    RowAtLeast,
    /// INDEX(range, row).
    Pick,
    /// IF(condition, then, otherwise).
    If,
    /// a >= b, after rounding the difference to six decimals.
    AtLeast,
    /// a > b, likewise.
    Above,
    /// Equality of texts (ignoring case) or of plain numbers.
    Same,
    /// `a=""`: blank, or an empty text.
    IsBlank,
    /// ISNUMBER.
    IsNumber,
    /// Whether a cell of ours still holds its formula. Excel knows it from 2013 on: whoever asks must do without it.
    IsFormula,
    /// Whether the workbook has a sheet of this name; see `sheet_look`.
    Sheet {
        /// The answer as whoever asks says.
        there: bool,
    },
    /// AND.
    And,
    /// OR.
    Or,
    /// NOT.
    Not,
    /// Texts joined with &. A truth value has no place here: programs spell it differently. So have numbers with more
    /// than 15 digits: show them rounded.
    Join,
    /// A number as text with this many decimals.
    Show(u8),
    /// Money as text, with commas and cents: `12,345.60`.
    ShowMoney,
    /// A size as typed -> its key: quotes and outer spaces off, one inch mark on; blank stays blank.
    SizeKey,
    /// A number as typed: itself, the text of it, a percent; blank is 0.
    PlainNumber,
    /// A number as typed, with the unit of the second operand or without: `45 psi`.
    NumberWithUnit,
    /// A length as typed -> the same with the signs of fractions written out: ` 1/2`; one below zero is no length.
    LengthFractions,
    /// That -> the same with halves and quarters as decimals: `19.5` for 19 1/2.
    LengthDecimals,
    /// That -> the same with its marks made alike: `12'6` for 12 ft 6 in, `6` for inches alone.
    LengthText,
    /// Feet as typed, and the length text of it: a number, or feet and inches.
    Feet,
    /// A size as typed -> the same without its inch marks: `3/4` for 3/4 in.
    BareSize,
    /// A size without inch marks -> the same in one spelling: `1 1/4` for 1-1/4, `3/4` for the sign of that fraction.
    SizeText,
    /// The number that a text of digits is. The e0 keeps 3/4 from being taken for a date: with it that is no number.
    Digits,
    /// A size text -> its key: `1-1/4"` for 1 1/4.
    FractionKey,
    /// The second operand where the first is a fault.
    IfFault,
}

impl Op {
    /// The value, by the rules a spreadsheet follows. A fault in an operand comes out, the leftmost first.
    pub fn apply(self, args: &[Operand]) -> Value {
        self.evaluate(args).unwrap_or_else(Value::Fault)
    }

    fn evaluate(self, args: &[Operand]) -> Result<Value, Fault> {
        let value = |i: usize| args.get(i).map_or(&Value::Blank, Operand::one);
        let range = |i: usize| args.get(i).map_or(&[][..], Operand::all);
        let number = |i: usize| value(i).number();
        let numeric = |n: Numeric| Ok(Value::from(n));
        let flag = |flag: bool| Ok(Value::Flag(flag));
        match self {
            Self::Add => numeric(number(0)? + number(1)?),
            Self::Sub => numeric(number(0)? - number(1)?),
            Self::Mul => numeric(number(0)? * number(1)?),
            Self::Div => numeric(number(0)?.over(number(1)?)?),
            Self::Pow => numeric(number(0)?.pow(number(1)?)),
            Self::Log10 => numeric(number(0)?.log10()?),
            Self::Cents => numeric(number(0)?.round(2)),
            Self::Round(digits) => numeric(number(0)?.round(u32::from(digits))),
            Self::WholeUp => numeric(number(0)?.whole_up()),
            Self::WholeDown => numeric(number(0)?.whole_down()),
            Self::Min => sums::extreme(args, Ordering::Less),
            Self::Max => sums::extreme(args, Ordering::Greater),
            Self::Sum => sums::sum(args),
            Self::SumWhere => sums::sum_where(args),
            Self::SumProduct => sums::sum_product(range(0), range(1)),
            Self::CountWhere => Ok(counting::rows_that_match(args)),
            Self::CountNumbers => Ok(counting::numbers(args)),
            Self::CountFilled => counting::filled(range(0)),
            Self::CountWords => counting::words(range(0)),
            Self::WordRows { sum } => Ok(Value::Exact(Decimal::from(sum))),
            Self::Outside => counting::outside(range(0), [value(1), value(2)]),
            Self::Between => counting::between(range(0), [value(1), value(2)]),
            Self::RowOf => matching::row_of(value(0).sound()?, range(1)),
            Self::RowAtLeast => matching::row_at_least(number(0)?, range(1)),
            Self::Pick => matching::pick(range(0), number(1)?),
            Self::If => value(if value(0).truth()? { 1 } else { 2 }).sound().cloned(),
            Self::AtLeast => flag(number(0)?.compare(number(1)?).is_ge()),
            Self::Above => flag(number(0)?.compare(number(1)?).is_gt()),
            Self::Same => flag(matching::same(value(0).sound()?, value(1).sound()?)),
            Self::IsBlank => flag(value(0).sound()?.is_blank()),
            Self::IsNumber => flag(value(0).is_number()),
            Self::IsFormula => flag(true),
            Self::Sheet { there } => Ok(sheet_look::value(there)),
            Self::And => flags(args).map(|flags| Value::Flag(flags.iter().all(|f| *f))),
            Self::Or => flags(args).map(|flags| Value::Flag(flags.iter().any(|f| *f))),
            Self::Not => flag(!value(0).truth()?),
            Self::Join => texts::join(args),
            Self::Show(digits) => Ok(texts::number(number(0)?, digits)),
            Self::ShowMoney => texts::money(number(0)?),
            Self::SizeKey => Ok(texts::size_key(value(0).sound()?)),
            Self::PlainNumber => typed::number(value(0)),
            Self::NumberWithUnit => typed::number_with_unit(value(0), value(1)),
            Self::LengthFractions => typed::length_fractions(value(0)),
            Self::LengthDecimals => typed::length_decimals(value(0)),
            Self::LengthText => typed::length_text(value(0)),
            Self::Feet => typed::feet(value(0), value(1)),
            Self::BareSize => typed::bare_size(value(0)),
            Self::SizeText => typed::size_text(value(0)),
            Self::Digits => typed::digits(value(0)),
            Self::FractionKey => typed::fraction_key(value(0)),
            Self::IfFault => value(usize::from(value(0).fault().is_some())).sound().cloned(),
        }
    }

    /// How this operation is written, and how tightly the formula text holds together.
    pub fn spelling(self) -> (Spelling, Strength) {
        use Piece::{Digits, Held, Raw, Text};
        use Spelling::{Call, Joined, Pieces};
        use Strength::{Add, Atom, Compare, Join, Multiply};
        match self {
            Self::Add => (Pieces(&[Held(0, Add), Text("+"), Held(1, Multiply)]), Add),
            Self::Sub => (Pieces(&[Held(0, Add), Text("-"), Held(1, Multiply)]), Add),
            Self::Mul => (Pieces(&[Held(0, Multiply), Text("*"), Held(1, Atom)]), Multiply),
            Self::Div => (Pieces(&[Held(0, Multiply), Text("/"), Held(1, Atom)]), Multiply),
            // Always in parentheses: 2^3^2 is 64 in one program and 512 in another.
            Self::Pow => (Pieces(&[Text("("), Held(0, Atom), Text("^"), Held(1, Atom), Text(")")]), Atom),
            Self::Log10 => (Call("LOG10"), Atom),
            Self::Cents => (Pieces(&[Text("ROUND("), Raw(0), Text(",2)")]), Atom),
            Self::Round(_) => (Pieces(&[Text("ROUND("), Raw(0), Text(","), Digits, Text(")")]), Atom),
            Self::WholeUp => (Pieces(&[Text("ROUNDUP(ROUND("), Raw(0), Text(",6),0)")]), Atom),
            Self::WholeDown => (Pieces(&[Text("ROUNDDOWN(ROUND("), Raw(0), Text(",6),0)")]), Atom),
            Self::Min => (Call("MIN"), Atom),
            Self::Max => (Call("MAX"), Atom),
            Self::Sum => (Call("SUM"), Atom),
            Self::SumWhere => (Call("SUMIFS"), Atom),
            Self::SumProduct => (Call("SUMPRODUCT"), Atom),
            Self::CountWhere => (Call("COUNTIFS"), Atom),
            Self::CountNumbers => (Call("COUNT"), Atom),
            Self::CountFilled => (Pieces(counting::FILLED), Atom),
            Self::CountWords => (Pieces(counting::WORDS), Atom),
            Self::WordRows { .. } => (Pieces(counting::WORD_ROWS), Atom),
            Self::Outside => (Pieces(counting::OUTSIDE), Add),
            Self::Between => (Pieces(counting::BETWEEN), Atom),
            Self::RowOf => (Pieces(&[Text("MATCH("), Raw(0), Text(","), Raw(1), Text(",0)")]), Atom),
            Self::RowAtLeast => (Pieces(&[Text("MATCH(ROUND("), Raw(0), Text(",6),"), Raw(1), Text(",-1)")]), Atom),
            Self::Pick => (Call("INDEX"), Atom),
            Self::If => (Call("IF"), Atom),
            Self::AtLeast => (Pieces(matching::AT_LEAST), Compare),
            Self::Above => (Pieces(matching::ABOVE), Compare),
            Self::Same => (Pieces(&[Held(0, Join), Text("="), Held(1, Join)]), Compare),
            Self::IsBlank => (Pieces(&[Held(0, Join), Text("=\"\"")]), Compare),
            Self::IsNumber => (Call("ISNUMBER"), Atom),
            Self::IsFormula => (Call("_xlfn.ISFORMULA"), Atom),
            Self::Sheet { .. } => (Pieces(sheet_look::PIECES), Atom),
            Self::And => (Call("AND"), Atom),
            Self::Or => (Call("OR"), Atom),
            Self::Not => (Call("NOT"), Atom),
            Self::Join => (Joined, Join),
            Self::Show(0) => (Pieces(texts::WHOLE), Atom),
            Self::Show(_) => (Pieces(texts::DECIMALS), Atom),
            Self::ShowMoney => (Pieces(texts::MONEY), Atom),
            Self::SizeKey => (Pieces(texts::SIZE_KEY), Atom),
            Self::PlainNumber => (Pieces(typed::NUMBER), Atom),
            Self::NumberWithUnit => (Pieces(typed::NUMBER_WITH_UNIT), Atom),
            Self::LengthFractions => (Pieces(typed::LENGTH_FRACTIONS), Atom),
            Self::LengthDecimals => (Pieces(typed::LENGTH_DECIMALS), Atom),
            Self::LengthText => (Pieces(typed::LENGTH_TEXT), Atom),
            Self::Feet => (Pieces(typed::FEET), Atom),
            Self::BareSize => (Pieces(typed::BARE_SIZE), Atom),
            Self::SizeText => (Pieces(typed::SIZE_TEXT), Atom),
            Self::Digits => (Pieces(typed::DIGITS), Atom),
            Self::FractionKey => (Pieces(typed::FRACTION_KEY), Join),
            Self::IfFault => (Call("IFERROR"), Atom),
        }
    }

    /// The decimals that the operation itself names.
    pub fn digits(self) -> u8 {
        match self {
            Self::Round(digits) | Self::Show(digits) => digits,
            _ => 0,
        }
    }
}
