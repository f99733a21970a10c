//! The sheets of a bid that the program makes, declared once, in the order they stand: name, which way the paper is turned,
//! what a reader finds there, and what a later pricing reads from it.

use crate::figure::{Book, SheetId};

/// What a later pricing reads from a page of a bid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadBack {
    Nothing,
    /// Choices and what they were made on, which `--hold` keeps.
    Choices,
    /// Figures that somebody may have typed over.
    Edits,
    History,
}

/// Declares the pages: `Variant "Name" portrait|landscape ReadBack "what a reader finds there"`.
macro_rules! pages {
    ($($page:ident $name:literal $turned:ident $holds:ident $about:literal;)*) => {
        /// A sheet that a bid makes anew each time.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Page { $(#[doc = concat!("`", $name, "` ", $about)] $page,)* }

        impl Page {
            /// All of them, in the order they stand in a bid; the user's own sheets stand behind [`Page::Findings`].
            pub const ALL: &[Page] = &[$(Page::$page,)*];

            /// The name on its tab.
            pub const fn name(self) -> &'static str {
                match self { $(Page::$page => $name,)* }
            }

            /// What a reader finds there.
            pub const fn about(self) -> &'static str {
                match self { $(Page::$page => $about,)* }
            }

            /// What is read from it when the bid is priced again.
            pub const fn read_back(self) -> ReadBack {
                match self { $(Page::$page => ReadBack::$holds,)* }
            }

            const fn is_landscape(self) -> bool {
                match self { $(Page::$page => pages!(@ $turned),)* }
            }
        }
    };
    (@ landscape) => { true };
    (@ portrait) => { false };
}

pages! {
    Bid "Bid" portrait Nothing "what the customer reads and signs";
    Glance "At a glance" portrait Nothing "";
    Changes "Changes" landscape Nothing "what differs from the bid before, and the proof that it adds up";
    ChangeOrder "Change order" portrait Nothing "the page to sign";
    WhatIf "What if" landscape Nothing "every combination tried, and the cheapest that passes";
    CostBuildUp "Cost build-up" landscape Choices "from material and hours to the price; every line at its offer";
    Sizing "Sizing" landscape Choices "size, flow, loss and pressure of each run";
    CodeSizes "Code sizes" landscape Choices "the code's own size table beside the sizes of the bid";
    TakeOff "Take-off" landscape Nothing "every foot and piece, what is on hand, what to buy";
    Buying "Buying" landscape Choices "what to order, in whole packs, and what will be left over";
    CutPlan "Cut plan" landscape Choices "each stick and coil: the pieces in order, and what is left";
    Hours "Hours" landscape Nothing "hours by task, phase, place and who does them";
    Schedule "Schedule" landscape Nothing "the phases on the calendar: how long each takes, and when it is";
    Revisions "Revisions" landscape History "each revision of the bid, its total and what it changed";
    Findings "Findings" landscape Nothing "what to fix, with links to the cells";
    Checks "Checks" landscape Choices "is the bid still the one that was priced, and does it add up";
    Loads "Loads" landscape Nothing "what draws where, and the demand of each run";
    Friction "Friction" landscape Nothing "how the loss in each run comes about";
    Tees "Tees" landscape Choices "how each tee is made up of what is sold";
    Counts "Counts" landscape Nothing "every piece where it is needed";
    Defaults "Defaults" landscape Edits "settings the job leaves out and what stands for them; cells of the job as they are read";
    Rules "Rules" landscape Edits "the tables used, with their sources";
}

impl Page {
    /// The page of this name, whatever its capitals.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|page| page.name().eq_ignore_ascii_case(name))
    }
}

/// Where each page stands in a book.
#[derive(Debug, Clone)]
pub struct Pages {
    sheets: Vec<SheetId>,
    left_out: Vec<Page>,
}

impl Pages {
    /// Puts all pages into a book that has no sheets yet. Those left out stand nowhere and take no words.
    pub fn put(book: &mut Book, left_out: Vec<Page>) -> Self {
        let sheets = Page::ALL.iter().map(|page| book.sheet(page.name(), page.is_landscape())).collect();
        Self { sheets, left_out }
    }

    /// The sheet of a page.
    pub fn id(&self, page: Page) -> SheetId {
        self.sheets[page as usize]
    }

    /// Whether this bid has the page.
    pub fn has(&self, page: Page) -> bool {
        !self.left_out.contains(&page)
    }
}
