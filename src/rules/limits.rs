//! Limits and constants that the codes and the trade set.

use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use super::{CodeBasis, Rules};
use crate::model::fold;
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

pub(super) const LIMITS: Spec = Spec {
    name: "limits",
    file: "limits.csv",
    about: "a limit or constant; a row for one code goes before the row for any, and the row of the latest edition not after the job's before older ones",
    sheet: Some("Limits"),
    columns: &[
        Column::new("limit", Kind::Known, Role::Key).or(&["name", "item"]),
        Column::new("code", Kind::Each(&["any", "IRC", "IPC", "UPC"]), Role::Key).or(&["code basis"]),
        Column::new("from_edition", Kind::Number, Role::KeyOrBlank).to(dec!(2100)).or(&["edition"]),
        Column::new("value", Kind::Number, Role::Value).to(dec!(10000)),
        Column::new("unit", Kind::Text, Role::Value),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// One limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    pub limit: Arc<str>,
    /// `None`: whatever the code.
    pub code: Option<CodeBasis>,
    /// The first edition of the code that it holds for; `None`: from the beginning.
    pub from_edition: Option<u16>,
    pub value: Decimal,
    pub unit: Arc<str>,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Limit {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            limit: cells.text("limit"),
            code: CodeBasis::named(&cells.text("code")),
            from_edition: cells.number("from_edition").and_then(|year| year.to_u16()),
            value: cells.number("value")?,
            unit: cells.text("unit"),
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn limits(&self) -> &[Limit] {
        &self.limits
    }

    /// A limit by its name in the table: the code's own row, else the row for any code; of several editions the latest
    /// that is not after the job's. A row of the user's goes before the program's, whatever their editions.
    pub fn limit(&self, name: &str, code: CodeBasis) -> Option<&Limit> {
        let wanted = fold(name);
        let holds = |limit: &&Limit| limit.from_edition.is_none_or(|from| self.edition.is_none_or(|own| from <= own));
        let find = |code: Option<CodeBasis>| {
            let named = self.limits.iter().filter(|l| l.code == code && fold(&l.limit) == wanted);
            named.filter(holds).max_by_key(|l| (l.origin.is_users(), l.from_edition))
        };
        find(Some(code)).or_else(|| find(None))
    }

    /// The edition of its code that a job names (`IRC 2018`); `None` where it names none, which is the latest.
    pub fn set_edition(&mut self, code_basis: &str) {
        let years = code_basis.split(|c: char| !c.is_ascii_digit()).filter_map(|digits| digits.parse().ok());
        self.edition = years.into_iter().find(|year: &u16| *year >= 1900);
    }
}
