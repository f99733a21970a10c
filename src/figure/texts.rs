//! Numbers and sizes as text: how formulas join and show them.

use super::operand::Operand;
use super::spelling::Piece::{self, Digits, Raw, Text, Zeros};
use super::value::{Fault, Numeric, Value};
use crate::unit::with_commas;
use rust_decimal::Decimal;

pub(super) const WHOLE: &[Piece] = &[Text("TEXT(ROUND("), Raw(0), Text(",0),\"0\")")];
pub(super) const DECIMALS: &[Piece] =
    &[Text("TEXT(ROUND("), Raw(0), Text(","), Digits, Text("),\"0."), Zeros, Text("\")")];
pub(super) const MONEY: &[Piece] = &[Text("TEXT(ROUND("), Raw(0), Text(",2),\"#,##0.00\")")];
pub(super) const SIZE_KEY: &[Piece] =
    &[Text("IF("), Raw(0), Text("=\"\",\"\",SUBSTITUTE(TRIM("), Raw(0), Text("),\"\"\"\",\"\")&\"\"\"\")")];

pub(super) fn join(args: &[Operand]) -> Result<Value, Fault> {
    let words: Vec<String> = args.iter().map(|arg| Ok(arg.one().sound()?.to_string())).collect::<Result<_, _>>()?;
    Ok(Value::text(words.concat()))
}

/// With this many decimals.
pub(super) fn number(number: Numeric, digits: u8) -> Value {
    let decimals = usize::from(digits);
    Value::text(match number.round(u32::from(digits)) {
        Numeric::Exact(d) if d.is_zero() => format!("{:.decimals$}", Decimal::ZERO),
        Numeric::Exact(d) => format!("{d:.decimals$}"),
        Numeric::Physical(x) => format!("{x:.decimals$}"),
    })
}

pub(super) fn money(number: Numeric) -> Result<Value, Fault> {
    match number.round(2) {
        Numeric::Exact(d) => {
            let d = if d.is_zero() { d.abs() } else { d };
            Ok(Value::text(with_commas(&format!("{d:.2}"))))
        }
        Numeric::Physical(_) => Err(Fault::Number),
    }
}

/// Quotes and outer spaces off, one inch mark on. TRIM also folds inner runs of spaces to one.
pub(super) fn size_key(typed: &Value) -> Value {
    let typed = typed.to_string();
    let plain = typed.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ").replace('"', "");
    Value::text(if typed.is_empty() { String::new() } else { plain + "\"" })
}
