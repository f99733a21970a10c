//! What the bid warns of, and the figures that the warnings name.

use super::{Context, terms};
use crate::entries::Caution;
use crate::figure::{Book, Look, Term, Value};
use crate::sheets::Page;
use crate::table::columns;

/// Limits of the rule tables that the warnings name, as figures.
pub(crate) struct Limits(Vec<(&'static str, Term)>);

const AIR_TEST_PSI: &str = "air test pressure";
const AIR_TEST_MINUTES: &str = "air test minutes";

columns! {
    struct Columns on Checks("Figures that the cautions name") {
        what: "Limit", words 34;
        value: "Value", words;
        source: "Source", words;
    }
}

impl Limits {
    pub(crate) fn put(book: &mut Book, context: &Context) -> Self {
        let Columns { table, what, value, source } = Columns::on_page(book, context);
        let mut put = |name: &'static str| {
            let limit = context.rules.limit(name, context.code)?;
            let row = book.row(table);
            book.label(row, what, &format!("{}, {}", limit.limit, limit.unit));
            let from = limit.origin.words();
            let term = book.rule(row, value, Value::Exact(limit.value), &from);
            book.label(row, source, &from);
            Some((name, term))
        };
        Self([AIR_TEST_PSI, AIR_TEST_MINUTES].into_iter().filter_map(&mut put).collect())
    }

    fn get(&self, name: &str) -> Option<&Term> {
        self.0.iter().find(|(known, _)| *known == name).map(|(_, limit)| limit)
    }
}

/// The user's own cautions, and the standing ones that this job calls for.
pub(super) fn put(book: &mut Book, context: &Context, limits: &Limits) {
    let sheet = context.page(Page::Bid);
    book.words(sheet, Look::Heading, "Cautions");
    terms::lines(book, context, "caution");
    let mut said = Vec::new();
    let mut point = |book: &mut Book, words: &'static str| {
        if !said.contains(&words) {
            book.words(sheet, Look::Words, &format!("- {words}"));
            said.push(words);
        }
    };
    point(book, "Local code and the building official govern. Licensed work is done by or under a license holder.");
    point(
        book,
        "Pressure tests: stand clear of pipe under air, and never tighten a fitting under pressure; one that lets go flies. No test \
         goes above what local code, the pipe's maker and the weakest part in the line allow, and plastic pipe is \
         tested with air only where all of them do. Heater, softener, filters and expansion tank are shut off from it; pressure \
         is let off before anything is cut or loosened.",
    );
    if let (Some(psi), Some(minutes)) = (limits.get(AIR_TEST_PSI), limits.get(AIR_TEST_MINUTES)) {
        // Water first: of pipe that is not metal the model codes take air only where its maker does.
        let water =
            ["- Test by the code's table: water at not less than working pressure for ", " minutes."].map(Term::text);
        book.line(sheet, Look::Words, Term::join(&[&water[0], minutes, &water[1]]));
        let air =
            ["- Where local code and the pipe's maker allow air: air at ", " psi for ", " minutes."].map(Term::text);
        book.line(sheet, Look::Words, Term::join(&[&air[0], psi, &air[1], minutes, &air[2]]));
    }
    for caution in &context.entries.cautions {
        match caution {
            Caution::Words(words) => point(book, words),
            Caution::Live(words) => {
                book.line(sheet, Look::Words, Term::join(&[&Term::text("- "), words]));
            }
        }
    }
}
