//! Limits and constants that the codes and the trade set.

use super::declare::rule;
use super::listing::page;
use super::{CodeBasis, Rules};
use crate::model::fold;
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// A limit or constant; a row for one code goes before the row for any, and the row of the latest edition not after the
    /// job's before older ones.
    Limit "limits" overridden by "Limits" {
        key limit: Arc<str> = Known also ["name", "item"];
        /// `None`: whatever the code.
        key code: Option<CodeBasis> = Each(&["any", "IRC", "IPC", "UPC"]) also ["code basis"];
        /// The first edition of the code that it holds for; `None`: from the beginning.
        key_or_blank from_edition: Option<u16> = Number to 2100 also ["edition"];
        /// In the unit beside it; a share as a share.
        value value: Decimal = Number to 10000;
        value unit: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

page! {
    LimitCells of Limit {
        limit: "Limit";
        value: "Value";
        unit: "Unit";
    }
}

impl Rules {
    /// A limit by its name in the table: the code's own row, else the row for any code; of several editions the latest
    /// that is not after the job's. A row of the user's goes before the program's, whatever their editions.
    pub fn limit(&self, name: &str, code: CodeBasis) -> Option<&Limit> {
        let wanted = fold(name);
        let find = |code: Option<CodeBasis>| {
            let of_name = self.limits().iter().filter(|l| l.code == code && fold(&l.limit) == wanted);
            of_name
                .filter(|l| self.edition_reaches(l.from_edition))
                .max_by_key(|l| (l.origin.is_users(), l.from_edition))
        };
        find(Some(code)).or_else(|| find(None))
    }

    /// Whether a row from this edition on holds for the edition that the job names.
    pub(crate) fn edition_reaches(&self, from: Option<u16>) -> bool {
        from.is_none_or(|from| self.edition.is_none_or(|own| from <= own))
    }

    /// The edition of its code that a job names (`IRC 2018`); `None` where it names none, which is the latest.
    pub fn set_edition(&mut self, code_basis: &str) {
        let years = code_basis.split(|c: char| !c.is_ascii_digit()).filter_map(|digits| digits.parse().ok());
        self.edition = years.into_iter().find(|year: &u16| *year >= 1900);
    }
}
