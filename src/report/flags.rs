//! What must not be signed over: lines under the price that show themselves only while something is wrong with it.

use super::{Context, Reported};
use crate::figure::{Book, LineRoom, Look, Term};
use crate::sheets::Page;

/// Lines of flags that are about no subject, and the least there is room for.
const OWN_LINES: usize = 7;
const LINES: usize = 9;

pub(super) struct Flags {
    rooms: std::vec::IntoIter<LineRoom>,
}

impl Flags {
    /// The lines speak of cells that are put after the price, so their room comes first.
    pub(super) fn room(book: &mut Book, context: &Context) -> Self {
        let lines = LINES.max(OWN_LINES + context.entries.flags.len());
        let rooms: Vec<_> = (0..lines).map(|_| book.room_for_line(context.page(Page::Bid))).collect();
        Self { rooms: rooms.into_iter() }
    }

    /// `words` while it is `wrong`.
    fn put(&mut self, book: &mut Book, wrong: &Term, words: &Term) {
        self.put_words(book, wrong.pick(words, &Term::text("")));
    }

    /// Words, or none; none either while nobody can tell, which has a line of its own.
    fn put_words(&mut self, book: &mut Book, words: Term) {
        let words = words.or_if_fault(&Term::text(""));
        if let Some(room) = self.rooms.next() {
            book.line_at(room, Look::Flag, words);
        }
    }
}

/// What the Checks sheet came to.
pub(super) struct Verdicts {
    /// How many sums do not add up.
    pub off: Term,
    /// Where the first figure is that is typed over.
    pub typed_over: Term,
}

pub(super) fn put(book: &mut Book, context: &Context, mut flags: Flags, reported: &Reported, verdicts: &Verdicts) {
    let Reported { checks, payments, .. } = reported;
    let Verdicts { off, typed_over } = verdicts;
    let zero = Term::number(0);
    let text = Term::text;
    let one = Term::number(1);
    let warnings: Vec<Term> = (1..)
        .zip(&context.entries.flags)
        .map(|(number, flag)| {
            checks.line(book, &format!("Warning {number}: 1 where it is raised"), flag.wrong.pick(&one, &zero))
        })
        .collect();
    let needed = [context.bid.build_up.total.clone(), context.labor.total.clone()].into_iter().chain(warnings);
    let numbers: Vec<Term> = needed.map(|term| term.is_number()).collect();
    let numbers = Term::all(&numbers.iter().collect::<Vec<_>>()).pick(&text("numbers"), &text("errors"));
    let numbers = checks.line(book, "The total, the hours and the warnings", numbers).same(&text("numbers"));
    let words =
        "The total or the hours are no number, or a warning cannot be worked out: a cell cannot be read. See Checks.";
    flags.put_words(book, numbers.pick(&text(""), &text(words)));
    if let Some(cell) = &checks.unread {
        let words = [
            &text("Look first at "),
            cell,
            &text(": words stand there where a number belongs. Type the number alone."),
        ];
        let fine = numbers.or(&cell.is_blank());
        flags.put_words(book, fine.pick(&text(""), &Term::join(&words)));
    }
    let unpriced = &context.bid.build_up.unpriced;
    let words =
        [&text("Items without a price yet: "), unpriced, &text(". The total is not complete; see Cost build-up.")];
    flags.put(book, &unpriced.above(&zero), &Term::join(&words));
    for flag in &context.entries.flags {
        flags.put(book, &flag.wrong, &flag.on_bid);
    }
    if let Some(whole) = &payments.whole {
        let one = Term::number(1);
        let words = text("The shares of the payments do not add up to 100 %; see Amount in Terms.");
        flags.put(book, &whole.above(&one).or(&one.above(whole)), &words);
    }
    let again =
        text("The job has changed since this bid was priced: price it again before it is signed. First change: ");
    let first = checks.line(book, "The first input that says price again", checks.first.clone());
    let words = Term::join(&[&again, &first, &text(".")]);
    flags.put(book, &checks.price_again.above(&zero), &words);
    let words = [
        &text("Typed over a figure of the program's: "),
        typed_over,
        &text(". Change the input behind it, or price it again."),
    ];
    flags.put_words(book, typed_over.is_blank().pick(&text(""), &Term::join(&words)));
    let words = text("Sums of this bid do not add up; see Checks, and price it again before it is signed.");
    flags.put(book, &off.above(&zero), &words);
}
