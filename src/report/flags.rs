//! What must not be signed over: lines under the price that show themselves only while something is wrong with it.

use super::Context;
use super::input_snapshot::Checks;
use super::money::Payments;
use crate::figure::{Book, LineRoom, Look, Term};
use crate::sheets::Page;

/// Lines of flags that are about no subject, and the least there is room for.
const OWN_LINES: usize = 6;
const LINES: usize = 8;

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

    /// Words, or none.
    fn put_words(&mut self, book: &mut Book, words: Term) {
        if let Some(room) = self.rooms.next() {
            book.line_at(room, Look::Flag, words);
        }
    }
}

/// `off`: how many sums do not add up.
pub(super) fn put(
    book: &mut Book,
    context: &Context,
    mut flags: Flags,
    checks: &Checks,
    payments: &Payments,
    off: &Term,
) {
    let zero = Term::number(0);
    let text = Term::text;
    let numbers = context.bid.build_up.total.is_number().and(&context.labor.total.is_number());
    let words = "The total or the hours are no number: a cell that they need holds what cannot be read. See Checks.";
    flags.put_words(book, numbers.pick(&text(""), &text(words)));
    if let Some(cell) = &checks.unread {
        let words = [&text("Look first at "), cell, &text(": words stand there where a number belongs.")];
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
    let again = text("The job has changed since this bid was priced: price it again before it is signed.");
    flags.put(book, &checks.price_again.above(&zero), &again);
    let words = text("Sums of this bid do not add up; see Checks, and price it again before it is signed.");
    flags.put(book, &off.above(&zero), &words);
}
