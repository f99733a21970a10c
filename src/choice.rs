//! What the program decides: the kinds of choices, where a bid keeps each of them, and those that a bid which is read has
//! kept. A choice goes by the name of what it is for, never by a row.

use crate::sheets::Page;
use std::collections::BTreeMap;

/// A kind of choice. Its table is the one on its page that has its heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Choice {
    pub(crate) name: &'static str,
    pub(crate) page: Page,
    pub(crate) heading: &'static str,
    pub(crate) is_secondary: bool,
}

/// Declares the kinds of choices of a stage or a subject: `Kind Page "heading";`, and how it is named in the column at the left.
/// Each becomes `Choice::Kind`; together they are `CHOICES`. `secondary` behind the heading: it only stands beside another kind in
/// the same table, so that its heading alone makes no table of choices.
macro_rules! choices {
    ($($(#[$about:meta])* $kind:ident $page:ident $heading:literal $($secondary:ident)?;)*) => {
        #[allow(non_upper_case_globals, reason = "kinds read as the variants of a list")]
        impl $crate::choice::Choice {
            $(
                $(#[$about])*
                pub const $kind: Self = Self {
                    name: stringify!($kind),
                    page: $crate::sheets::Page::$page,
                    heading: $heading,
                    is_secondary: $crate::choice::choices!(@ $($secondary)?),
                };
            )*
        }

        /// The kinds that are declared here.
        pub(crate) const CHOICES: &[$crate::choice::Choice] = &[$($crate::choice::Choice::$kind,)*];
    };
    (@) => { false };
    (@ secondary) => { true };
}
pub(crate) use choices;

choices! {
    /// The offer that a line is priced at, by the line.
    Offer CostBuildUp "Chosen offer";
    /// What an alternate changed when it was priced, by the alternate.
    Alternate CostBuildUp "As priced";
    /// What the alternates were priced on, by deciding input.
    AlternatesBasis CostBuildUp "When chosen";
    /// Packs to order, by line and offer.
    Packs Buying "Chosen packs";
    /// What packs and cuts were chosen on, by deciding input.
    BuyingBasis Buying "When chosen";
    /// The least that a kind of pipe can cost, by the pipe.
    LeastCost Buying "Least there is";
    /// What pipe of other colors would cost, by the way it would be colored.
    OtherColor Buying "As planned";
    /// What a stick or coil is taken from, by the stick or coil.
    Unit CutPlan "Chosen offer";
    /// Inches of a piece, by the piece.
    Cut CutPlan "Chosen cut";
    /// What the rows of the job said when it was priced, by row.
    JobRow Checks "As priced";
}

impl Choice {
    /// The page of a bid that keeps it.
    pub const fn page(self) -> Page {
        self.page
    }

    /// The heading over it there.
    pub const fn heading(self) -> &'static str {
        self.heading
    }

    /// Whether it only stands beside another kind in the same table.
    pub const fn is_secondary(self) -> bool {
        self.is_secondary
    }
}

/// The choices that a bid has kept, by kind and name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SavedChoices(BTreeMap<(Choice, String), String>);

impl SavedChoices {
    /// The first of a name stays.
    pub fn insert_first(&mut self, kind: Choice, name: &str, choice: String) {
        self.0.entry((kind, name.to_owned())).or_insert(choice);
    }

    /// In place of the one that was kept.
    pub fn set(&mut self, kind: Choice, name: &str, choice: String) {
        self.0.insert((kind, name.to_owned()), choice);
    }

    pub fn get(&self, kind: Choice, name: &str) -> Option<&str> {
        self.0.get(&(kind, name.to_owned())).map(String::as_str)
    }

    /// All of a kind, by name.
    pub fn of(&self, kind: Choice) -> impl Iterator<Item = (&str, &str)> {
        let all = self.0.range((kind, String::new())..).take_while(move |((of, _), _)| *of == kind);
        all.map(|((_, name), choice)| (name.as_str(), choice.as_str()))
    }

    /// Lets go of every choice for what goes by this name.
    pub fn forget(&mut self, name: &str) {
        self.0.retain(|(_, of), _| *of != name);
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
