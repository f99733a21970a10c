//! Limits and constants that the codes and the trade set.

use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use super::{CodeBasis, Rules};
use crate::model::fold;
use rust_decimal::Decimal;
use std::sync::Arc;

pub(super) const LIMITS: Spec = Spec {
    name: "limits",
    file: "limits.csv",
    about: "a limit or constant; a row for one code goes before the row for any",
    sheet: Some("Limits"),
    columns: &[
        Column::new("limit", Kind::Known, Role::Key).or(&["name", "item"]),
        Column::new("code", Kind::Each(&["any", "IRC", "IPC", "UPC"]), Role::Key).or(&["code basis"]),
        Column::new("value", Kind::Number, Role::Value),
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

    /// A limit by its name in the table: the code's own row, else the row for any code.
    pub fn limit(&self, name: &str, code: CodeBasis) -> Option<&Limit> {
        let wanted = fold(name);
        let find = |code: Option<CodeBasis>| self.limits.iter().find(|l| l.code == code && fold(&l.limit) == wanted);
        find(Some(code)).or_else(|| find(None))
    }
}
