//! The bid's words: the user's own lines, and plain ones where the user says nothing on a subject.

use super::Context;
use crate::figure::{Book, Look, Term};
use crate::model::Setting;
use crate::sheets::Page;

/// A subject that a bid must not be silent about: words that show the user has spoken of it, and what stands otherwise.
struct Subject {
    told_by: &'static [&'static str],
    words: &'static str,
}

const FIXTURES: &str = "Fixtures and faucets themselves, beyond the parts that the prices list.";
/// The same of a job that says who furnishes them.
const BY_SCHEDULE: &str = "Fixtures and faucets that the fixture schedule does not show as furnished by us.";

const EXCLUDED: &[Subject] = &[
    Subject {
        // A floor drain or a vent hood left out by name is not the whole of it.
        told_by: &["dwv", "drain, waste", "drain waste", "waste and vent", "drains and vents", "drainage", "waste pip"],
        words: "Drain, waste and vent (DWV) pipe: this bid is for water pipe only.",
    },
    Subject { told_by: &["fixtures", "faucet"], words: FIXTURES },
    Subject {
        told_by: &["patch", "paint", "drywall", "plaster"],
        words: "Patching and painting of walls, floors and ceilings that had to be opened.",
    },
    Subject {
        told_by: &["dig", "trench", "excavat", "haul", "backfill"],
        words: "Digging, backfill and hauling beyond what the prices list.",
    },
    Subject {
        told_by: &["by others", "other trades", "electric", "gas pip", "gas line"],
        words: "Work of others: electric work, gas pipe, framing, and whatever this bid marks as by others.",
    },
    Subject {
        told_by: &["hidden", "concealed", "unseen", "not be seen", "rot", "mold", "asbestos"],
        words: "Hidden conditions: rot, mold, asbestos, bad or undersized pipe in walls, floors or the ground.",
    },
];

const HIDDEN: &str = "What could not be seen before the work began is not in the price. Where it is found, work there \
    stops until both sides have seen it and signed a change order.";

/// What is included, excluded and assumed.
pub(super) fn put(book: &mut Book, context: &Context) {
    let sheet = context.page(Page::Bid);
    book.words(sheet, Look::Heading, "Not included");
    lines(book, context, "excluded");
    let scheduled = context.job.fixtures.iter().any(|fixture| fixture.furnisher().is_some());
    for subject in EXCLUDED.iter().filter(|subject| !is_in_terms(context, subject.told_by)) {
        let by_schedule = scheduled && subject.words == FIXTURES;
        point(book, context, if by_schedule { BY_SCHEDULE } else { subject.words });
    }
    book.words(sheet, Look::Heading, "Assumptions");
    lines(book, context, "assumption");
    if !is_in_terms(context, &["pressure"]) {
        let pressure = context.settings.get(Setting::SupplyPressure);
        let words = ["- Supply pressure is at least ", " psi at peak draw."].map(Term::text);
        book.line(sheet, Look::Words, Term::join(&[&words[0], &pressure, &words[1]]));
    }
    point(book, context, "Clear access to where the pipe runs, during the hours we work.");
    book.words(sheet, Look::Heading, "Concealed conditions");
    book.words(sheet, Look::Words, HIDDEN);
}

/// The lines of one kind from the Terms sheet, each pointing at its cell; then those of the subjects.
pub(super) fn lines(book: &mut Book, context: &Context, kind: &str) {
    for term in context.job.terms.iter().filter(|term| &*term.kind.value == kind && !term.text.value.is_empty()) {
        let words = term.text.figure(book);
        book.line(context.page(Page::Bid), Look::Words, Term::join(&[&Term::text("- "), &words]));
    }
    for line in context.entries.terms.iter().filter(|line| line.kind.word() == kind) {
        book.line(context.page(Page::Bid), Look::Words, Term::join(&[&Term::text("- "), &line.words]));
    }
}

fn point(book: &mut Book, context: &Context, words: &str) {
    book.words(context.page(Page::Bid), Look::Words, &format!("- {words}"));
}

/// Whether the user's own lines speak of a subject, one way or the other.
fn is_in_terms(context: &Context, told_by: &[&str]) -> bool {
    let spoken = context.job.terms.iter().filter(|t| matches!(&*t.kind.value, "included" | "excluded" | "assumption"));
    let of_subjects = context.entries.terms.iter();
    let texts = spoken.map(|term| term.text.value.to_lowercase());
    let mut texts = texts.chain(of_subjects.map(|line| line.words.value().to_string().to_lowercase()));
    texts.any(|text| told_by.iter().any(|word| has_word(&text, word)))
}

/// Whether a word of the text begins so: "rot" is in "rotten", not in "protect".
fn has_word(text: &str, beginning: &str) -> bool {
    text.match_indices(beginning).any(|(at, _)| !text[..at].ends_with(char::is_alphanumeric))
}

#[cfg(test)]
mod tests {
    use super::has_word;

    #[test]
    fn a_subject_is_told_by_the_beginning_of_a_word() {
        assert!(has_word("rotten joists", "rot") && has_word("no painting", "paint"));
        assert!(!has_word("protect the floor", "rot"));
    }
}
