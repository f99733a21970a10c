//! The codes' own size tables: what meter and pipe carry at a pressure over a developed length. A second opinion beside
//! the sizes of a bid, not what they are made from.

use crate::model::CODES;
use crate::model::Size;
use crate::rules::rule;
use crate::rules::{CodeBasis, Rules};
use rust_decimal::Decimal;
use std::sync::Arc;

/// The developed lengths that the tables have columns for, ft.
pub const CODE_LENGTHS: [u16; 15] = [40, 60, 80, 100, 150, 200, 250, 300, 400, 500, 600, 700, 800, 900, 1000];

rule! {
    /// Fixture units that a meter and a pipe size carry in a range of pressure, by developed length.
    CodeSize "code_sizes" {
        key code: CodeBasis = Word(CODES);
        /// The least pressure of the range, psi.
        key psi_from: Decimal = Number to 1000;
        /// `None` for the range that is open above.
        optional psi_to: Option<Decimal> = Number to 1000;
        /// Meter and service, or street service.
        key meter: Size = Size;
        key pipe: Size = Size;
        /// `None` where the table ends before; so of all lengths.
        optional ft_40: Option<Decimal> = Number to 100000;
        optional ft_60: Option<Decimal> = Number to 100000;
        optional ft_80: Option<Decimal> = Number to 100000;
        optional ft_100: Option<Decimal> = Number to 100000;
        optional ft_150: Option<Decimal> = Number to 100000;
        optional ft_200: Option<Decimal> = Number to 100000;
        optional ft_250: Option<Decimal> = Number to 100000;
        optional ft_300: Option<Decimal> = Number to 100000;
        optional ft_400: Option<Decimal> = Number to 100000;
        optional ft_500: Option<Decimal> = Number to 100000;
        optional ft_600: Option<Decimal> = Number to 100000;
        optional ft_700: Option<Decimal> = Number to 100000;
        optional ft_800: Option<Decimal> = Number to 100000;
        optional ft_900: Option<Decimal> = Number to 100000;
        optional ft_1000: Option<Decimal> = Number to 100000;
        remark note: Arc<str> = Text;
    }
}

impl CodeSize {
    /// Fixture units by [`CODE_LENGTHS`]; `None` where the table ends before.
    #[rustfmt::skip]
    pub fn units(&self) -> [Option<Decimal>; CODE_LENGTHS.len()] {
        [
            self.ft_40, self.ft_60, self.ft_80, self.ft_100, self.ft_150, self.ft_200, self.ft_250, self.ft_300,
            self.ft_400, self.ft_500, self.ft_600, self.ft_700, self.ft_800, self.ft_900, self.ft_1000,
        ]
    }
}

impl Rules {
    /// The lines of a code's size table, by pressure, then meter, then pipe. The IPC's is the IRC's, line for line, unless
    /// rows of its own are given.
    pub fn code_sizes(&self, code: CodeBasis) -> Vec<&CodeSize> {
        let of = |code: CodeBasis| self.code_size_rows().iter().filter(move |row| row.code == code);
        let own = if of(code).next().is_none() && code == CodeBasis::Ipc { CodeBasis::Irc } else { code };
        let mut rows: Vec<&CodeSize> = of(own).collect();
        rows.sort_by_key(|row| (row.psi_from, row.meter, row.pipe));
        rows
    }
}
