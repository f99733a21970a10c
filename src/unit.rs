//! The units of the trade, and how many digits of each a reader is shown.

/// What a figure counts. Decides the heading's unit, the number format and the column's alignment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Words, or a bare number that needs no unit.
    None,
    /// US dollars and cents.
    Money,
    /// Money for one unit, to a tenth of a cent where it has one.
    UnitPrice,
    /// Feet, as decimals.
    Feet,
    /// Inches, as decimals.
    Inches,
    /// So many of something that the row names: feet, pieces, days.
    Quantity,
    /// Pieces, whole.
    Each,
    /// US gallons per minute.
    Gpm,
    /// Pounds per square inch.
    Psi,
    /// psi lost in 100 ft.
    PsiPer100Ft,
    /// Velocity.
    FeetPerSecond,
    /// Water supply fixture units.
    FixtureUnits,
    /// Degrees.
    Fahrenheit,
    /// Hours of work.
    Hours,
    /// US gallons.
    Gallons,
    /// A share shown as a percentage; 0.07 is 7 %.
    Percent,
    /// A pure number with decimals (Reynolds number, friction factor, C).
    Ratio,
    /// Very small pure numbers, such as friction factors.
    SmallRatio,
    /// A day of the calendar, as spreadsheet programs count them.
    Date,
    /// Whole days.
    Days,
}

impl Unit {
    /// As printed after a heading or a value; empty for pure numbers and words.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::None | Self::Quantity | Self::Ratio | Self::SmallRatio | Self::Date => "",
            Self::Money | Self::UnitPrice => "$",
            Self::Feet => "ft",
            Self::Inches => "in",
            Self::Each => "ea",
            Self::Gpm => "gpm",
            Self::Psi => "psi",
            Self::PsiPer100Ft => "psi/100 ft",
            Self::FeetPerSecond => "ft/s",
            Self::FixtureUnits => "wsfu",
            Self::Fahrenheit => "F",
            Self::Hours => "h",
            Self::Gallons => "gal",
            Self::Percent => "%",
            Self::Days => "days",
        }
    }

    /// The spreadsheet number format.
    pub fn number_format(self) -> &'static str {
        match self {
            Self::None => "General",
            Self::Money => "#,##0.00",
            Self::UnitPrice => "#,##0.0000",
            Self::Feet | Self::FeetPerSecond | Self::Gpm | Self::Psi | Self::FixtureUnits => "#,##0.00",
            Self::Quantity | Self::PsiPer100Ft | Self::Hours | Self::Gallons => "#,##0.00",
            Self::Inches => "0.000",
            Self::Each | Self::Days => "#,##0",
            Self::Fahrenheit => "0",
            Self::Percent => "0.00%",
            Self::Ratio => "#,##0.00",
            Self::SmallRatio => "0.00000",
            Self::Date => "yyyy-mm-dd",
        }
    }
}

/// `12,345.67` from `12345.67`.
pub(crate) fn with_commas(money: &str) -> String {
    let (sign, digits) = money.strip_prefix('-').map_or(("", money), |digits| ("-", digits));
    let (whole, cents) = digits.split_once('.').unwrap_or((digits, ""));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    if cents.is_empty() { format!("{sign}{grouped}") } else { format!("{sign}{grouped}.{cents}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_grouped_by_thousands() {
        let pairs = [("0.00", "0.00"), ("999.50", "999.50"), ("1000", "1,000"), ("-1234567.89", "-1,234,567.89")];
        for (plain, grouped) in pairs {
            assert_eq!(with_commas(plain), grouped);
        }
    }
}
