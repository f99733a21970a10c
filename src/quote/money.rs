//! Money as a report writes it.

use rust_decimal::Decimal;

/// `$31.50`; a tenth of a cent stays.
pub(crate) fn dollars(price: Decimal) -> String {
    let price = price.normalize();
    if price.scale() < 2 { format!("${price:.2}") } else { format!("${price}") }
}
