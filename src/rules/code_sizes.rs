//! The codes' own size tables: what meter and pipe carry at a pressure over a developed length. A second opinion beside
//! the sizes of a bid, not what they are made from.

use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use super::{CodeBasis, Rules};
use crate::model::Size;
use rust_decimal::{Decimal, dec};

/// The developed lengths that the tables have columns for, ft.
pub const CODE_LENGTHS: [u16; 15] = [40, 60, 80, 100, 150, 200, 250, 300, 400, 500, 600, 700, 800, 900, 1000];

pub(super) const CODE_SIZES: Spec = Spec {
    name: "code_sizes",
    file: "code_sizes.csv",
    about: "fixture units that a meter and a pipe size carry in a range of pressure, by developed length",
    sheet: None,
    columns: &[
        Column::new("code", Kind::Word(&["IRC", "IPC", "UPC"]), Role::Key),
        Column::new("psi_from", Kind::Number, Role::Key).to(dec!(1000)),
        Column::new("psi_to", Kind::Number, Role::Optional).to(dec!(1000)),
        Column::new("meter", Kind::Size, Role::Key),
        Column::new("pipe", Kind::Size, Role::Key),
        Column::new("ft_40", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_60", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_80", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_100", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_150", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_200", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_250", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_300", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_400", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_500", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_600", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_700", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_800", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_900", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("ft_1000", Kind::Number, Role::Optional).to(dec!(100000)),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// One line of a code's size table.
#[derive(Debug, Clone, PartialEq)]
pub struct CodeSize {
    pub code: CodeBasis,
    pub psi_from: Decimal,
    /// `None` for the range that is open above.
    pub psi_to: Option<Decimal>,
    /// Meter and service, or street service.
    pub meter: Size,
    pub pipe: Size,
    /// Fixture units by [`CODE_LENGTHS`]; `None` where the table ends before.
    pub units: Vec<Option<Decimal>>,
    pub origin: Origin,
}

impl Row for CodeSize {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            code: CodeBasis::named(&cells.text("code"))?,
            psi_from: cells.number("psi_from")?,
            psi_to: cells.number("psi_to"),
            meter: cells.size("meter")?,
            pipe: cells.size("pipe")?,
            units: CODE_LENGTHS.iter().map(|feet| cells.number(&format!("ft_{feet}"))).collect(),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    /// The lines of a code's size table, by pressure, then meter, then pipe. The IPC's is the IRC's, line for line, unless
    /// rows of its own are given.
    pub fn code_sizes(&self, code: CodeBasis) -> Vec<&CodeSize> {
        let of = |code: CodeBasis| self.code_sizes.iter().filter(move |row| row.code == code);
        let own = if of(code).next().is_none() && code == CodeBasis::Ipc { CodeBasis::Irc } else { code };
        let mut rows: Vec<&CodeSize> = of(own).collect();
        rows.sort_by_key(|row| (row.psi_from, row.meter, row.pipe));
        rows
    }
}
