//! What a declaration says of a sheet and of its columns: headings, what a cell may hold, what rests on it, how it looks.

use super::Cells;
use crate::figure::{Book, Term};
use crate::finding::Sink;
use crate::model::fold;
use crate::model::{Range, Scale, same_folded};
use crate::place::Place;
use rust_decimal::Decimal;
use std::any::Any;
use std::fmt::Debug;
use std::sync::Arc;

/// What a cell of a column may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Any words.
    Text,
    /// A number, or its text.
    Number,
    /// A number that cannot be negative.
    Positive,
    /// Feet: `12.5`, `12'6"`, `150"`.
    Length,
    /// Dollars for one unit.
    Price,
    /// Dollars, which a deduct takes off, or a share.
    Amount,
    /// Nominal pipe size; the column is formatted as text so that 1/2 stays 1/2.
    Size,
    /// One size or several joined by x, as tees are named: `3/4 x 1/2 x 1/2`.
    Sizes,
    /// A date, kept as days since 1899-12-30.
    Date,
    /// A share such as 7%, or a word that stands for one.
    Share,
    /// One of a list of words.
    Choice(&'static [&'static str]),
}

impl Kind {
    /// True where a bare number is what is expected.
    pub fn is_number(self) -> bool {
        matches!(self, Self::Number | Self::Positive | Self::Length | Self::Price | Self::Amount)
    }
}

/// What rests on the cells of a column, which decides what is said when somebody changes one in a priced bid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Formulas follow it, or nothing rests on it yet.
    Given,
    /// What it says decides which rows and figures there are: after a change the bid has to be priced again.
    Decides,
    /// Likewise; a blank one leaves it to the job, which then decides.
    DecidesOrLeaves,
    /// Likewise, where another row of the sheet has the same keys: it tells them apart.
    DecidesAmongAlike,
    /// A number that formulas follow; that it is there at all decides.
    Present,
    /// Likewise, where the cell under this heading is there too.
    PresentWith(&'static str),
    /// Like [`Role::Present`], and any row of the sheet may get one later: they are counted.
    Counted,
    /// Words for the reader.
    Free,
}

/// What the drop-down of a column offers; anything else may be typed too.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Offers {
    /// What its kind has: the words of a choice.
    OfKind,
    Words(&'static [&'static str]),
    /// The names of the rows of this declared sheet.
    NamesOf(&'static str),
}

/// One column of a sheet.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// The heading, unit included.
    pub name: &'static str,
    /// Other spellings that mean the same.
    pub aliases: &'static [&'static str],
    /// What its cells may hold.
    pub kind: Kind,
    /// The sheet must have it.
    pub required: bool,
    /// A row may leave a required cell blank, and a check tells of all such rows at once.
    pub may_wait: bool,
    /// The note on the heading.
    pub help: &'static str,
    /// Of a number, a length, a share and a date: within what it can be meant.
    pub range: Option<Range>,
    /// Halves cannot be meant.
    pub is_whole: bool,
    /// What rests on its cells.
    pub role: Role,
    /// Where the row has a say in that: its own role there.
    pub role_by_row: Option<fn(&dyn Row) -> Role>,
    /// Without it there is no row.
    pub is_name: bool,
    /// Tells rows apart, in two workbooks of one job.
    pub is_key: bool,
    /// Says how far the work and the buying have come, which changes nothing that was agreed.
    pub is_progress: bool,
    /// The words of its drop-down.
    pub offers: Offers,
    /// In characters; 0 leaves it to the kind.
    pub width: f64,
    /// Holds sentences, which wrap.
    pub is_prose: bool,
}

/// A column of no kind yet: the declaration of its sheet gives it that of its field.
pub(crate) const fn column(name: &'static str, aliases: &'static [&'static str], help: &'static str) -> Column {
    Column {
        name,
        aliases,
        kind: Kind::Text,
        required: false,
        may_wait: false,
        help,
        range: None,
        is_whole: false,
        role: Role::Given,
        role_by_row: None,
        is_name: false,
        is_key: false,
        is_progress: false,
        offers: Offers::OfKind,
        width: 0.0,
        is_prose: false,
    }
}

impl Column {
    /// The sheet must have it.
    pub const fn needed(self) -> Self {
        Self { required: true, ..self }
    }

    /// Its cells may be blank for now; a check tells of them all at once.
    pub const fn may_wait(self) -> Self {
        Self { may_wait: true, ..self }
    }

    /// Its numbers are held to this range.
    pub const fn within(self, range: Range) -> Self {
        Self { range: Some(range), ..self }
    }

    /// Halves cannot be meant.
    pub const fn whole(self) -> Self {
        Self { is_whole: true, ..self }
    }

    /// It tells rows apart.
    pub const fn key(self) -> Self {
        Self { is_key: true, ..self }
    }

    /// Formulas cannot follow it: after a change the bid is priced again.
    pub const fn decides(self) -> Self {
        Self { role: Role::Decides, ..self }
    }

    /// Likewise; what a blank one comes to is decided by the job.
    pub const fn decides_or_leaves(self) -> Self {
        Self { role: Role::DecidesOrLeaves, ..self }
    }

    /// It tells rows of the same keys apart, and decides where there are such.
    pub const fn decides_among_alike(self) -> Self {
        Self { role: Role::DecidesAmongAlike, ..self }
    }

    /// Formulas follow its number; a blank that is filled, or the other way about, decides.
    pub const fn decides_if_present(self) -> Self {
        Self { role: Role::Present, ..self }
    }

    /// Likewise, where the cell under that heading is filled too.
    pub const fn decides_if_present_with(self, heading: &'static str) -> Self {
        Self { role: Role::PresentWith(heading), ..self }
    }

    /// The row has a say in its role.
    pub const fn by_row(self, role: fn(&dyn Row) -> Role) -> Self {
        Self { role_by_row: Some(role), ..self }
    }

    /// Any row may get one later, so they are counted.
    pub const fn counted(self) -> Self {
        Self { role: Role::Counted, ..self }
    }

    /// For the reader alone.
    pub const fn free(self) -> Self {
        Self { role: Role::Free, ..self }
    }

    /// It says how far the work has come.
    pub const fn progress(self) -> Self {
        Self { is_progress: true, ..self }
    }

    /// Its drop-down offers these words; others may be typed.
    pub const fn offers(self, words: &'static [&'static str]) -> Self {
        Self { offers: Offers::Words(words), ..self }
    }

    /// Its drop-down offers the names of the rows of that sheet.
    pub const fn offers_names_of(self, sheet: &'static str) -> Self {
        Self { offers: Offers::NamesOf(sheet), ..self }
    }

    /// So many characters wide.
    pub const fn wide(self, characters: f64) -> Self {
        Self { width: characters, ..self }
    }

    /// It holds sentences, wrapped at so many characters.
    pub const fn prose(self, characters: f64) -> Self {
        Self { is_prose: true, width: characters, ..self }
    }

    /// Its heading, and other spellings that mean the same.
    pub fn spellings(&self) -> impl Iterator<Item = &'static str> + use<> {
        std::iter::once(self.name).chain(self.aliases.iter().copied())
    }

    /// Whether a bid records what a cell of it said when it was priced.
    pub fn is_recorded(&self) -> bool {
        use Role::{Decides, DecidesAmongAlike, DecidesOrLeaves, Present, PresentWith};
        matches!(self.role, Decides | DecidesOrLeaves | DecidesAmongAlike | Present | PresentWith(_))
    }

    /// What rests on the cell of this row.
    pub fn role_in(&self, row: &dyn Row) -> Role {
        self.role_by_row.map_or(self.role, |role| role(row))
    }

    /// How its numbers are written for people. The heading names the unit, so they have none.
    pub fn scale(&self) -> Scale<'static> {
        match self.kind {
            Kind::Share => Scale::Share,
            Kind::Date => Scale::Date,
            _ => Scale::In(""),
        }
    }
}

/// How a change speaks of a row: its noun comes first, a heading last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// Not at all.
    None,
    /// By its name: `run M1 Size`. Holds an example of a name and a heading.
    Name(&'static str),
    /// By words that no other row begins with. Holds the heading that is meant where none is said.
    Words(&'static str),
}

/// One sheet of a job workbook.
#[derive(Debug, Clone, Copy)]
pub struct Sheet {
    /// As its tab is named in a blank workbook.
    pub name: &'static str,
    /// Other names that it is known by.
    pub aliases: &'static [&'static str],
    /// There is no bid without it.
    pub required: bool,
    /// What the guide and the blank workbook say of it.
    pub help: &'static str,
    /// What one of its rows is called.
    pub noun: &'static str,
    /// How a change speaks of its rows.
    pub reference: Reference,
    /// Nothing on it decides a figure of the bid.
    pub is_idle: bool,
    /// Its rows are names for what the job may ask for: of one that it does not, only the name matters.
    pub is_by_use: bool,
    /// In the order of a blank workbook.
    pub columns: &'static [Column],
    /// Reads a row; of the settings, which are no rows, `None`.
    pub(crate) reads: Option<ReadRow>,
}

/// A sheet without columns, whose rows are each a `noun`.
pub(crate) const fn sheet(
    name: &'static str,
    aliases: &'static [&'static str],
    noun: &'static str,
    help: &'static str,
) -> Sheet {
    let reference = Reference::None;
    Sheet {
        name,
        aliases,
        required: false,
        help,
        noun,
        reference,
        is_idle: false,
        is_by_use: false,
        columns: &[],
        reads: None,
    }
}

impl Sheet {
    /// There is no bid without it.
    pub const fn needed(self) -> Self {
        Self { required: true, ..self }
    }

    /// A change speaks of its rows by name; `example` is a name and a heading.
    pub const fn by_name(self, example: &'static str) -> Self {
        Self { reference: Reference::Name(example), ..self }
    }

    /// A change speaks of its rows by their words; `heading` is meant where none is said.
    pub const fn by_words(self, heading: &'static str) -> Self {
        Self { reference: Reference::Words(heading), ..self }
    }

    /// Nothing on it decides a figure of the bid.
    pub const fn idle(self) -> Self {
        Self { is_idle: true, ..self }
    }

    /// Of a row that the job does not ask for, only the name matters: it could come to be one that it does.
    pub const fn by_use(self) -> Self {
        Self { is_by_use: true, ..self }
    }

    /// These are its columns.
    pub const fn with(self, columns: &'static [Column]) -> Self {
        Self { columns, ..self }
    }

    pub(crate) const fn read_by(self, row: ReadRow) -> Self {
        Self { reads: Some(row), ..self }
    }

    /// Whether this is its name or another spelling of it.
    pub fn is_called(&self, name: &str) -> bool {
        self.spellings().any(|spelling| same_folded(spelling, name))
    }

    /// Its name, and other spellings that mean the same.
    pub fn spellings(&self) -> impl Iterator<Item = &'static str> + use<> {
        std::iter::once(self.name).chain(self.aliases.iter().copied())
    }

    /// The column of this heading or of another spelling of it.
    pub fn find(&self, heading: &str) -> Option<&'static Column> {
        self.columns.iter().find(|column| column.spellings().any(|spelling| same_folded(spelling, heading)))
    }

    /// The column of this declared heading.
    pub fn column(&self, name: &str) -> Option<&'static Column> {
        self.columns.iter().find(|column| column.name == name)
    }

    /// The column that names a row.
    pub fn name_column(&self) -> Option<&'static Column> {
        self.columns.iter().find(|column| column.is_name)
    }
}

/// A typed row of any sheet.
pub trait Row: Any + Debug + Send + Sync {
    fn sheet(&self) -> &'static Sheet;

    /// Counted from 0.
    fn row(&self) -> u32;

    /// What it has of each column, in their order.
    fn cells(&self) -> Vec<&dyn InputCell>;

    /// What it has under a declared heading of its sheet.
    fn cell(&self, heading: &str) -> Option<&dyn InputCell> {
        let at = self.sheet().columns.iter().position(|column| column.name == heading)?;
        self.cells().get(at).copied()
    }

    /// What names it.
    fn name(&self) -> Option<&dyn InputCell> {
        self.cell(self.sheet().name_column()?.name)
    }

    /// Whether it holds this word under that heading.
    fn has_word(&self, heading: &str, word: &str) -> bool {
        self.cell(heading).is_some_and(|cell| fold(cell.text()) == fold(word))
    }
}

/// A cell of any type, for what treats all alike.
pub trait InputCell {
    /// `None` where the sheet has no such column.
    fn place(&self) -> Option<&Place>;

    /// Its words; none of a number.
    fn text(&self) -> &str;

    /// As a formula sees it; `None` where the sheet has no such column.
    fn as_typed(&self, book: &mut Book) -> Option<Term>;

    /// What it says, live: the same for all spellings that its type can tell to be.
    fn recorded(&self, book: &mut Book) -> Option<Term>;

    /// Its number, within what that can be meant, and how it is written for people; of a number that has a range.
    fn ranged(&self, column: &Column) -> Option<(Decimal, Range, Scale<'static>)>;
}

/// Reads a row of a sheet; without its name there is none.
pub(crate) type ReadRow = fn(&Cells, &mut Sink) -> Option<Arc<dyn Row>>;
