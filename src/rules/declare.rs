//! The macro that declares a rule table: what a row says, its file, the user's sheet that goes before it, its columns with
//! what they may hold, and the typed row.

use super::origin::Origin;
use super::table::Spec;
use crate::finding::Finding;
use std::sync::Arc;

/// A typed row of a rule table.
pub trait Row: Sized + Clone + std::fmt::Debug + Send + Sync + 'static {
    /// The table as declared.
    const SPEC: &'static Spec;

    /// Types the cells of a row, in the order of the columns. `None` means that the columns' kinds let something through
    /// that they should not have.
    fn read(cells: &[Arc<str>], origin: &Origin) -> Option<Self>;

    /// Puts the rows of a table in order; as they stand where nothing is said.
    fn sort(_: &mut [Self]) {}

    /// What is wrong with rows that are right one by one.
    fn check(_: &[Self], _: &mut Vec<Finding>) {}

    /// Where the row comes from.
    fn origin(&self) -> &Origin;

    /// Its cells in the order of the columns, as a sheet of the user's would have them.
    fn cells(&self) -> Vec<String>;
}

/// Declares a rule table. The doc comment says what one row says; it stands in the list of tables too.
///
/// ```text
/// rule! {
///     /// Share of a kind of part that is bought beyond the need; of kinds not listed none.
///     Spare "spares" overridden by "Spares" {
///         key kind: Arc<str> = Text;
///         /// 0.05 is one in twenty.
///         value share: Decimal = Share;
///         remark note: Arc<str> = Text;
///     }
/// }
/// ```
///
/// makes `struct Spare { kind, share, note, origin }`, read from `templates/rules/spares.csv` and from the user's sheet
/// Spares. Behind the name `in "spares.csv"` takes the file from the folder of the declaration, as the tables of subjects
/// do; behind the sheet `sorted by |row| (row.share,)` puts the rows in order, and `checked by function` holds them against each
/// other. A column is `role field: Type = Kind`, by `super::table::Role` and `super::table::Kind`; its type says how the text is
/// read ([`super::cell::CellValue`]). In parentheses after the field the column's name, where that is another; after
/// the kind `to 100`, the most that can be meant; `also ["id"]`, other headings; `or value`, what a blank stands for.
macro_rules! rule {
    (
        $(#[doc = $about:literal])+
        $row:ident $name:literal $(in $file:literal)? $(overridden by $sheet:literal)? $(sorted by |$sorted:ident| $order:tt)?
        $(checked by $check:ident)? {
            $(
                $(#[doc = $doc:literal])*
                $role:ident $field:ident $(($column:literal))? : $type:ty = $kind:ident $(($list:expr))?
                $(to $most:tt)? $(also [$($alias:literal),+])? $(or $blank:expr)?;
            )+
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, PartialEq)]
        #[allow(unreachable_pub, reason = "a subject keeps its rows to itself")]
        pub struct $row {
            $(
                $(#[doc = $doc])*
                #[doc = concat!("\n", rule!(@about $role))]
                pub $field: $type,
            )+
            /// Where the row comes from.
            pub origin: $crate::rules::Origin,
        }

        impl $crate::rules::declare::Row for $row {
            const SPEC: &'static $crate::rules::table::Spec = &$crate::rules::table::Spec {
                name: $name,
                file: concat!($name, ".csv"),
                text: $crate::rules::rule!(@text $name $(, $file)?),
                rows: $crate::rules::typed::<Self>,
                doc: concat!($($about),+),
                sheet: $crate::rules::rule!(@sheet $($sheet)?),
                columns: &[$($crate::rules::table::Column {
                    name: $crate::rules::rule!(@column $field $($column)?),
                    aliases: &[$($($alias),+)?],
                    kind: $crate::rules::table::Kind::$kind $(($list))?,
                    role: $crate::rules::rule!(@role $role),
                    most: $crate::rules::rule!(@most $($most)?),
                }),+],
            };

            fn read(cells: &[std::sync::Arc<str>], origin: &$crate::rules::Origin) -> Option<Self> {
                let mut cells = cells.iter();
                $(
                    let $field: Option<$type> = $crate::rules::cell::CellValue::read(cells.next()?);
                    let $field: $type = $crate::rules::rule!(@blank $field $(, $blank)?);
                )+
                Some(Self { $($field,)+ origin: origin.clone() })
            }

            $(fn sort(rows: &mut [Self]) {
                rows.sort_by_key(|$sorted| $order);
            })?

            $(fn check(rows: &[Self], findings: &mut Vec<$crate::finding::Finding>) {
                $check(rows, findings);
            })?

            fn origin(&self) -> &$crate::rules::Origin {
                &self.origin
            }

            fn cells(&self) -> Vec<String> {
                vec![$($crate::rules::cell::CellValue::text(&self.$field)),+]
            }
        }
    };
    (@text $name:literal) => {
        include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/rules/", $name, ".csv"))
    };
    (@text $name:literal, $file:literal) => { include_str!($file) };
    (@sheet) => { None };
    (@sheet $sheet:literal) => { Some($sheet) };
    (@column $field:ident) => { stringify!($field) };
    (@column $field:ident $column:literal) => { $column };
    (@role key) => { $crate::rules::table::Role::Key };
    (@role key_or_blank) => { $crate::rules::table::Role::KeyOrBlank };
    (@role value) => { $crate::rules::table::Role::Value };
    (@role optional) => { $crate::rules::table::Role::Optional };
    (@role remark) => { $crate::rules::table::Role::Remark };
    (@about key) => { "Tells rows apart." };
    (@about key_or_blank) => { "Tells rows apart; a blank stands for all that no other row names." };
    (@about value) => { "Every row has it." };
    (@about optional) => { "A row may leave it blank." };
    (@about remark) => { "A remark of this row alone; a row that replaces it has its own." };
    (@most) => { None };
    (@most $most:tt) => { Some(rust_decimal::dec!($most)) };
    (@blank $field:ident) => { $field? };
    (@blank $field:ident, $blank:expr) => {
        match $field {
            Some(given) => given,
            None => $blank,
        }
    };
}

pub(crate) use rule;
