//! The macro that declares findings beside what finds them: facts, severity, name, words, remedy and source in one place.

use super::{Finding, Severity};

/// A kind of finding, as it is listed for readers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Declaration {
    /// Stable name: `unknown-name`.
    pub slug: &'static str,
    /// Name of the struct that holds its facts: `UnknownName`.
    pub name: &'static str,
    /// When it is made; the lines of its doc comment, without line ends.
    pub about: &'static str,
    /// One, or the one that holds where a condition is met and the one that holds elsewhere.
    pub severities: &'static [Severity],
}

/// The facts of a finding, which become a [`Finding`] where it is made.
pub trait Declared: Into<Finding> {
    /// Stable name: `unknown-name`.
    const SLUG: &'static str;
}

impl<Facts: Declared> From<Facts> for Box<Finding> {
    fn from(facts: Facts) -> Self {
        Self::new(facts.into())
    }
}

/// Declares findings. Each becomes a struct of its facts that turns into a [`Finding`] without a place; all of
/// a call stand in its `LIST`.
///
/// ```text
/// findings! {
///     /// The supply is over what the code allows without a regulator.
///     PressureTooHigh { psi: String, allowed: String } = Fix "pressure-too-high" {
///         found: "Static pressure can reach {psi} psi; a PRV is required above {allowed} psi.",
///         remedy: "Add a regulator to Devices, at the start of the main.",
///         source: "IRC P2903.3.1; UPC 608.2",
///     }
/// }
/// ```
///
/// `and figure` after the name of a stop says that the stages can work with it: what they find is told in the same breath.
/// `Stop if needed else Fix` takes the severity from a fact; a condition of more than a name stands in parentheses.
/// `found` and `remedy` are a text with facts in braces, or `(...)` as `format!` takes it, or `{ ... }`, code that makes a
/// text; it may use up facts that are not needed further down. `source` too, or `{ ... }` that makes an `Option<String>`.
/// `table: { ... }` makes the rows under what was found, a `Vec<String>` each.
macro_rules! findings {
    ($(
        $(#[doc = $about:literal])+
        $name:ident { $($(#[doc = $fact:literal])* $field:ident: $kind:ty),* $(,)? }
        = $severity:ident $(if $condition:tt else $otherwise:ident)? $slug:literal $(and $goes_on:ident)? {
            found: $found:tt,
            remedy: $remedy:tt
            $(, source: $source:tt)?
            $(, table: $table:tt)?
            $(,)?
        }
    )+) => {
        $(
            $(#[doc = $about])+
            pub struct $name { $($(#[doc = $fact])* pub(crate) $field: $kind,)* }

            impl $crate::finding::Declared for $name {
                const SLUG: &'static str = $slug;
            }

            impl From<$name> for $crate::finding::Finding {
                fn from(facts: $name) -> Self {
                    let $name { $($field),* } = facts;
                    Self {
                        severity: $crate::finding::findings!(@severity $severity $(if $condition else $otherwise)?),
                        slug: $slug,
                        goes_on: $crate::finding::findings!(@goes_on $($goes_on)?),
                        place: None,
                        found: $crate::finding::findings!(@text $found),
                        remedy: $crate::finding::findings!(@text $remedy),
                        source: $crate::finding::findings!(@source $($source)?),
                        table: $crate::finding::findings!(@table $($table)?),
                    }
                }
            }
        )+

        /// What is declared here.
        pub(crate) const LIST: &[$crate::finding::Declaration] = &[$($crate::finding::Declaration {
            slug: $slug,
            name: stringify!($name),
            about: concat!($($about),+),
            severities: &[$crate::finding::Severity::$severity $(, $crate::finding::Severity::$otherwise)?],
        }),+];
    };
    (@severity $severity:ident) => { $crate::finding::Severity::$severity };
    (@severity $severity:ident if ($($condition:tt)+) else $otherwise:ident) => {
        match $($condition)+ {
            true => $crate::finding::Severity::$severity,
            false => $crate::finding::Severity::$otherwise,
        }
    };
    (@severity $severity:ident if $condition:ident else $otherwise:ident) => {
        $crate::finding::findings!(@severity $severity if ($condition) else $otherwise)
    };
    (@goes_on) => { false };
    (@goes_on figure) => { true };
    (@text ($($format:tt)+)) => { format!($($format)+) };
    (@text { $($code:tt)+ }) => { String::from({ $($code)+ }) };
    (@text $text:literal) => { format!($text) };
    (@source) => { None };
    (@source { $($code:tt)+ }) => { { $($code)+ } };
    (@source $text:literal) => { Some($text.to_owned()) };
    (@table) => { Vec::new() };
    (@table $code:tt) => { $code };
}

pub(crate) use findings;
