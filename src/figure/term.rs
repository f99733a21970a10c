//! Values not yet in a cell, with how they came about: the operations of the trade over them.

use super::functions::Op;
use super::operand::Operand;
use super::value::{Fault, Value};
use super::{Expr, Fig};
use rust_decimal::Decimal;
use std::sync::Arc;

/// A value together with the expression that gives it. Every operation makes both at once.
#[derive(Debug, Clone)]
pub struct Term {
    value: Value,
    expr: Expr,
}

/// A stretch of one table column or of a column of the user's, with its values.
#[derive(Debug, Clone)]
pub struct Column {
    pub(super) values: Arc<[Value]>,
    /// `None` for a stretch without rows.
    pub(super) range: Option<Expr>,
}

impl Column {
    /// Top to bottom.
    pub fn values(&self) -> &[Value] {
        &self.values
    }
}

/// What an operation takes: a term or a range.
#[derive(Clone)]
enum Argument {
    One(Term),
    Many(Column),
}

impl Term {
    pub(super) fn cell(fig: Fig, value: Value) -> Self {
        Self { value, expr: Expr::Cell(fig) }
    }

    /// An expression with what it gives.
    pub(super) fn made(value: Value, expr: Expr) -> Self {
        Self { value, expr }
    }

    /// A constant: a law of nature, a conversion, a word. Never a figure that came from somewhere.
    pub fn constant(value: Value) -> Self {
        // There is no blank to write into a formula: an empty text stands for it.
        let value = if value == Value::Blank { Value::text("") } else { value };
        Self { expr: Expr::Const(value.clone()), value }
    }

    /// A constant number.
    pub fn number(number: impl Into<Decimal>) -> Self {
        Self::constant(Value::Exact(number.into()))
    }

    /// A constant word.
    pub fn text(text: impl Into<Arc<str>>) -> Self {
        Self::constant(Value::Text(text.into()))
    }

    /// What it comes to.
    pub fn value(&self) -> &Value {
        &self.value
    }

    /// How it came about.
    pub fn expr(&self) -> &Expr {
        &self.expr
    }

    /// The cell this term merely points at, if it does.
    pub fn fig(&self) -> Option<Fig> {
        match self.expr {
            Expr::Cell(fig) => Some(fig),
            _ => None,
        }
    }

    fn operand(&self) -> Operand<'_> {
        if self.fig().is_some() { Operand::Cell(&self.value) } else { Operand::One(&self.value) }
    }

    fn of(op: Op, args: &[&Self]) -> Self {
        let operands: Vec<Operand> = args.iter().map(|t| t.operand()).collect();
        let value = op.apply(&operands);
        Self { value, expr: Expr::Apply(op, args.iter().map(|t| t.expr.clone()).collect()) }
    }

    fn over(op: Op, args: &[Argument]) -> Self {
        let operands: Vec<Operand> = args
            .iter()
            .map(|arg| match arg {
                Argument::One(term) => term.operand(),
                Argument::Many(column) => Operand::Many(&column.values),
            })
            .collect();
        let value = op.apply(&operands);
        let parts: Option<Vec<Expr>> = args
            .iter()
            .map(|arg| match arg {
                Argument::One(term) => Some(term.expr.clone()),
                Argument::Many(column) => column.range.clone(),
            })
            .collect();
        match parts {
            Some(parts) => Self { value, expr: Expr::Apply(op, parts.into()) },
            // A range without rows cannot be spelled; what it gives (0, or not found) can.
            None => Self::constant(value),
        }
    }

    /// To a power, in f64.
    pub fn pow(&self, exponent: &Self) -> Self {
        Self::of(Op::Pow, &[self, exponent])
    }

    /// Logarithm to base 10, in f64.
    pub fn log10(&self) -> Self {
        Self::of(Op::Log10, &[self])
    }

    /// To the cent, half away from zero.
    pub fn cents(&self) -> Self {
        Self::of(Op::Cents, &[self])
    }

    /// To `digits` decimals: the one place where a physical value becomes exact.
    pub fn round(&self, digits: u8) -> Self {
        Self::of(Op::Round(digits), &[self])
    }

    /// Up to whole pieces.
    pub fn whole_up(&self) -> Self {
        Self::of(Op::WholeUp, &[self])
    }

    /// Down to whole pieces.
    pub fn whole_down(&self) -> Self {
        Self::of(Op::WholeDown, &[self])
    }

    /// The smaller of the two.
    pub fn min(&self, other: &Self) -> Self {
        Self::of(Op::Min, &[self, other])
    }

    /// The larger of the two.
    pub fn max(&self, other: &Self) -> Self {
        Self::of(Op::Max, &[self, other])
    }

    /// True where this is no less than `other`, both to six decimals.
    pub fn at_least(&self, other: &Self) -> Self {
        Self::of(Op::AtLeast, &[self, other])
    }

    /// True where this is more than `other`, both to six decimals.
    pub fn above(&self, other: &Self) -> Self {
        Self::of(Op::Above, &[self, other])
    }

    /// Equal texts (ignoring case) or equal plain numbers; not for computed numbers.
    pub fn same(&self, other: &Self) -> Self {
        Self::of(Op::Same, &[self, other])
    }

    /// True where the cell is blank or holds an empty text.
    pub fn is_blank(&self) -> Self {
        Self::of(Op::IsBlank, &[self])
    }

    /// True where it is a number rather than words or a blank.
    pub fn is_number(&self) -> Self {
        Self::of(Op::IsNumber, &[self])
    }

    /// Whether the cell that this points at, one with a formula, has it still; a fault in a program that cannot tell.
    pub fn is_formula(&self) -> Self {
        Self::of(Op::IsFormula, &[self])
    }

    /// Of a sheet's name, whether the workbook has such a sheet: `there` or `none`, now as whoever asks says.
    pub fn sheet_of_that_name(&self, there: bool) -> Self {
        Self::of(Op::Sheet { there }, &[self])
    }

    /// True where both hold.
    pub fn and(&self, other: &Self) -> Self {
        Self::of(Op::And, &[self, other])
    }

    /// True where either holds.
    pub fn or(&self, other: &Self) -> Self {
        Self::of(Op::Or, &[self, other])
    }

    /// True where this does not hold.
    pub fn negate(&self) -> Self {
        Self::of(Op::Not, &[self])
    }

    /// `then` where this condition holds, else `otherwise`.
    pub fn pick(&self, then: &Self, otherwise: &Self) -> Self {
        Self::of(Op::If, &[self, then, otherwise])
    }

    /// This, or `otherwise` where this is a fault.
    pub fn or_if_fault(&self, otherwise: &Self) -> Self {
        Self::of(Op::IfFault, &[self, otherwise])
    }

    /// The number as text with `digits` decimals.
    pub fn show(&self, digits: u8) -> Self {
        Self::of(Op::Show(digits), &[self])
    }

    /// Money as text with commas and cents.
    pub fn show_money(&self) -> Self {
        Self::of(Op::ShowMoney, &[self])
    }

    /// A size as typed, as the key that tables are looked up by.
    pub fn size_key(&self) -> Self {
        Self::of(Op::SizeKey, &[self])
    }

    /// A number as typed: the text of one counts too, and a percent. Blank is 0.
    pub fn plain_number(&self) -> Self {
        Self::of(Op::PlainNumber, &[self])
    }

    /// A number as typed, with its unit or without. Blank is 0.
    pub fn number_with_unit(&self, unit: &str) -> Self {
        match unit.chars().any(char::is_alphabetic) {
            true => Self::of(Op::NumberWithUnit, &[self, &Self::text(unit.to_lowercase())]),
            false => self.plain_number(),
        }
    }

    /// A length as typed, the signs of fractions in it written out.
    pub fn length_fractions(&self) -> Self {
        Self::of(Op::LengthFractions, &[self])
    }

    /// A [`Term::length_fractions`], halves and quarters in it as decimals: `19.5` for 19 1/2.
    pub fn length_decimals(&self) -> Self {
        Self::of(Op::LengthDecimals, &[self])
    }

    /// A [`Term::length_decimals`], its marks made alike: `12'6`, `12'`, and `6` for inches alone.
    pub fn length_text(&self) -> Self {
        Self::of(Op::LengthText, &[self])
    }

    /// Feet as typed: a number, or feet and inches, of which `text` is the [`Term::length_text`].
    pub fn feet(&self, text: &Self) -> Self {
        Self::of(Op::Feet, &[self, text])
    }

    /// A size as typed, without its inch marks: `3/4`, `1-1/4`, `0.75`.
    pub fn bare_size(&self) -> Self {
        Self::of(Op::BareSize, &[self])
    }

    /// A [`Term::bare_size`] in one spelling: `3/4`, `1 1/4`, `0.75`.
    pub fn size_text(&self) -> Self {
        Self::of(Op::SizeText, &[self])
    }

    /// The number that a text of digits is; anything else is a fault.
    pub fn digits(&self) -> Self {
        Self::of(Op::Digits, &[self])
    }

    /// The key of a size in the spelling of [`Term::size_text`]: `1-1/4"` for `1 1/4`.
    pub fn fraction_key(&self) -> Self {
        Self::of(Op::FractionKey, &[self])
    }

    /// Texts one after the other; of constants alone a constant.
    pub fn join(parts: &[&Self]) -> Self {
        let joined = match parts {
            // One number by itself would stay a number.
            [one] if !matches!(one.value(), Value::Text(_)) => Self::of(Op::Join, &[*one, &Self::text("")]),
            _ => Self::of(Op::Join, parts),
        };
        // Words that rest on no cell are one word, not a formula.
        match parts.iter().all(|part| matches!(part.expr(), Expr::Const(_))) {
            true => Self::constant(joined.value().clone()),
            false => joined,
        }
    }

    /// The sum of a list of terms; 0 for none.
    pub fn total(parts: &[&Self]) -> Self {
        match parts {
            [] => Self::number(0),
            [one] => (*one).clone(),
            _ => Self::of(Op::Sum, parts),
        }
    }

    /// Whether all of a list of conditions hold.
    pub fn all(conditions: &[&Self]) -> Self {
        match conditions {
            [one] => (*one).clone(),
            _ => Self::of(Op::And, conditions),
        }
    }

    /// The least of a list of cells, those that hold words left out; 0 where none holds a number.
    pub fn least_of(cells: &[&Self]) -> Self {
        Self::of(Op::Min, cells)
    }

    /// The greatest of them, likewise.
    pub fn greatest_of(cells: &[&Self]) -> Self {
        Self::of(Op::Max, cells)
    }

    /// The sum of a column, words in it left out.
    pub fn sum(column: &Column) -> Self {
        Self::over(Op::Sum, &[Argument::Many(column.clone())])
    }

    /// The greatest number in a column, words in it left out; 0 where there is none.
    pub fn greatest(column: &Column) -> Self {
        Self::over(Op::Max, &[Argument::Many(column.clone())])
    }

    /// The least number in a column, words in it left out; 0 where there is none.
    pub fn least(column: &Column) -> Self {
        Self::over(Op::Min, &[Argument::Many(column.clone())])
    }

    /// The sum of `amounts` over the rows where every column holds its key.
    pub fn sum_where(amounts: &Column, keys: &[(&Column, &Self)]) -> Self {
        let mut args = vec![Argument::Many(amounts.clone())];
        args.extend(pairs(keys));
        Self::over(Op::SumWhere, &args)
    }

    /// How many rows hold every key.
    pub fn count_where(keys: &[(&Column, &Self)]) -> Self {
        Self::over(Op::CountWhere, &pairs(keys).collect::<Vec<_>>())
    }

    /// How many cells of a column hold something; an empty text is nothing.
    pub fn count_filled(column: &Column) -> Self {
        Self::over(Op::CountFilled, &[Argument::Many(column.clone())])
    }

    /// How many cells of a column of the user's hold words, and the numbers of their rows (from 1) added up.
    pub fn words_in(column: &Column) -> [Self; 2] {
        let filled = match &column.range {
            Some(Expr::Inputs(range)) => &range.filled[..],
            _ => &[],
        };
        let sum = filled
            .iter()
            .filter(|(_, value)| matches!(value, Value::Text(_) | Value::Flag(_)))
            .map(|(row, _)| row + 1)
            .sum();
        let over = |op| Self::over(op, &[Argument::Many(column.clone())]);
        [over(Op::CountWords), over(Op::WordRows { sum })]
    }

    /// 0 while no number of a column lies outside these bounds; else how many are below, and the sum of those above.
    pub fn outside(column: &Column, least: Decimal, most: Decimal) -> Self {
        let bound = |number| Argument::One(Self::number(number));
        Self::over(Op::Outside, &[Argument::Many(column.clone()), bound(least), bound(most)])
    }

    /// How many numbers of a column lie between these bounds.
    pub fn between(column: &Column, least: Decimal, most: Decimal) -> Self {
        let bound = |number| Argument::One(Self::number(number));
        Self::over(Op::Between, &[Argument::Many(column.clone()), bound(least), bound(most)])
    }

    /// The sum over the rows of the products of two columns of equal length.
    pub fn sum_product(a: &Column, b: &Column) -> Self {
        Self::over(Op::SumProduct, &[Argument::Many(a.clone()), Argument::Many(b.clone())])
    }

    /// Which row of `column` holds `key`, from 1; not found is a fault.
    pub fn row_of(key: &Self, column: &Column) -> Self {
        Self::over(Op::RowOf, &[Argument::One(key.clone()), Argument::Many(column.clone())])
    }

    /// In a column sorted high to low, the last row still at least `x`.
    pub fn row_at_least(x: &Self, column: &Column) -> Self {
        Self::over(Op::RowAtLeast, &[Argument::One(x.clone()), Argument::Many(column.clone())])
    }

    /// The value in this row (from 1) of `column`.
    pub fn at(column: &Column, row: &Self) -> Self {
        Self::over(Op::Pick, &[Argument::Many(column.clone()), Argument::One(row.clone())])
    }

    /// The fault that a look-up gives which finds nothing.
    pub fn not_found() -> Self {
        Self::constant(Value::Fault(Fault::NotFound))
    }
}

fn pairs<'a>(keys: &'a [(&Column, &Term)]) -> impl Iterator<Item = Argument> + 'a {
    keys.iter().flat_map(|(column, key)| [Argument::Many((*column).clone()), Argument::One((*key).clone())])
}

macro_rules! operator {
    ($trait:ident, $method:ident, $op:ident) => {
        impl std::ops::$trait for &Term {
            type Output = Term;
            fn $method(self, other: Self) -> Term {
                Term::of(Op::$op, &[self, other])
            }
        }
        impl std::ops::$trait for Term {
            type Output = Term;
            fn $method(self, other: Self) -> Term {
                Term::of(Op::$op, &[&self, &other])
            }
        }
        impl std::ops::$trait<&Term> for Term {
            type Output = Term;
            fn $method(self, other: &Term) -> Term {
                Term::of(Op::$op, &[&self, other])
            }
        }
        impl std::ops::$trait<Term> for &Term {
            type Output = Term;
            fn $method(self, other: Term) -> Term {
                Term::of(Op::$op, &[self, &other])
            }
        }
    };
}

operator!(Add, add, Add);
operator!(Sub, sub, Sub);
operator!(Mul, mul, Mul);
operator!(Div, div, Div);
