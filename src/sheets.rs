//! The sheets of a bid that the program makes: name, where it stands, which way the paper is turned, what a reader finds
//! there, and what a later pricing reads from it. Here are those about the whole job; a subject declares its own.

use crate::figure::{Book, SheetId};

/// What a later pricing reads from a page of a bid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReadBack {
    Nothing,
    /// Choices and what they were made on, which `--hold` keeps.
    Choices,
    /// Figures that somebody may have typed over.
    Edits,
    History,
}

/// The parts of a bid, as they follow each other; in each the pages stand as declared, those of the subjects in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Part {
    /// What it comes to.
    Price,
    /// What the subjects have figured.
    Results,
    /// What to buy and to do, and whether the bid holds; behind it stand the user's own sheets.
    Work,
    /// How the results of the subjects come about.
    Workings,
    /// What everything is made from.
    Basis,
}

/// A sheet that a bid makes anew each time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Page {
    pub(crate) name: &'static str,
    pub(crate) part: Part,
    pub(crate) is_landscape: bool,
    pub(crate) read_back: ReadBack,
    pub(crate) about: &'static str,
}

/// Declares the pages of a stage or a subject, part by part: `Name "Name" portrait|landscape ReadBack "what a reader finds
/// there";`. Each becomes `Page::Name`, for `columns!` and all who link to it; together they are `PAGES`.
macro_rules! pages {
    ($($part:ident { $($page:ident $name:literal $turned:ident $holds:ident $about:literal;)* })*) => {
        #[allow(non_upper_case_globals, reason = "pages read as the variants of a list")]
        impl $crate::sheets::Page {
            $($(
                #[doc = $name]
                pub const $page: Self = Self {
                    name: $name,
                    part: $crate::sheets::Part::$part,
                    is_landscape: $crate::sheets::pages!(@ $turned),
                    read_back: $crate::sheets::ReadBack::$holds,
                    about: $about,
                };
            )*)*
        }

        /// The pages that are declared here.
        pub(crate) const PAGES: &[$crate::sheets::Page] = &[$($($crate::sheets::Page::$page,)*)*];
    };
    (@ landscape) => { true };
    (@ portrait) => { false };
}
pub(crate) use pages;

pages! {
    Price {
        Bid "Bid" portrait Nothing "what the customer reads and signs";
        Summary "At a glance" portrait Nothing "";
        Changes "Changes" landscape Nothing "what differs from the bid before, and the proof that it adds up";
        ChangeOrder "Change order" portrait Nothing "the page to sign";
        WhatIf "What if" landscape Nothing "every combination tried, and the cheapest that passes";
        CostBuildUp "Cost build-up" landscape Choices "from material and hours to the price; every line at its offer";
    }
    Results {
        Trips "Trips" landscape Nothing "driving to the job by phase and to the supply house, in hours, miles and dollars";
    }
    Work {
        TakeOff "Take-off" landscape Nothing "every foot and piece, what is on hand, what to buy";
        Buying "Buying" landscape Choices "what to order, in whole packs, and what will be left over";
        CutPlan "Cut plan" landscape Choices "each stick and coil: the pieces in order, and what is left";
        Hours "Hours" landscape Nothing "hours by task, phase, place and who does them";
        Schedule "Schedule" landscape Nothing "the phases on the calendar: how long each takes, and when it is";
        Revisions "Revisions" landscape History "each revision of the bid, its total and what it changed";
        Findings "Findings" landscape Nothing "what to fix, with links to the cells";
        Checks "Checks" landscape Choices "is the bid still the one that was priced, and does it add up";
    }
    Basis {
        Counts "Counts" landscape Nothing "every piece where it is needed";
        Defaults "Defaults" landscape Edits "settings the job leaves out and what stands for them; cells of the job as they are read";
        Rules "Rules" landscape Edits "the tables used, with their sources";
    }
}

impl Page {
    /// The name on its tab.
    pub const fn name(self) -> &'static str {
        self.name
    }

    /// What a reader finds there.
    pub const fn about(self) -> &'static str {
        self.about
    }

    /// What is read from it when the bid is priced again.
    pub const fn read_back(self) -> ReadBack {
        self.read_back
    }
}

/// Where each page stands in a book.
#[derive(Debug, Clone)]
pub struct Pages {
    sheets: Vec<(Page, SheetId)>,
    left_out: Vec<Page>,
}

impl Pages {
    /// Puts these pages into a book that has no sheets yet. Those left out stand nowhere and take no words.
    pub fn put(book: &mut Book, pages: &[Page], left_out: Vec<Page>) -> Self {
        let sheets = pages.iter().map(|page| (*page, book.sheet(page.name, page.is_landscape))).collect();
        Self { sheets, left_out }
    }

    /// The sheet of a page; the first one's, were a page ever asked for that nobody lists.
    pub fn id(&self, page: Page) -> SheetId {
        let known = self.sheets.iter().find(|(known, _)| known.name == page.name);
        known.map_or(SheetId(0), |(_, sheet)| *sheet)
    }

    /// The pages that this bid has, in their order. Those of subjects are all put by the time that anybody asks.
    pub fn here(&self, book: &Book) -> Vec<Page> {
        let is_here = |(page, sheet): &&(Page, SheetId)| match page.part {
            Part::Results | Part::Workings => !book.sheets()[usize::from(sheet.0)].is_empty(),
            Part::Price | Part::Work | Part::Basis => !self.left_out.contains(page),
        };
        self.sheets.iter().filter(is_here).map(|(page, _)| *page).collect()
    }
}
