//! Old work: what comes out and is hauled off, joints to old pipe that breaks further back, a street shutoff that does not
//! hold, openings cut and patched.

mod findings;
mod hauling;
mod rules;
mod settings;
mod tie_ins;

use crate::entries::{Caution, Entries, Line, TermLine, TermsKind};
use crate::figure::{Book, Look, Term};
use crate::finding::{Declaration, Finding};
use crate::model::{Phase, Setting};
use crate::parts::{Cost, Costs, From, Parts, When, Work};
use crate::rules::{MoreRows, Spec};
use crate::sheets::{Page, pages};
use crate::subjects::{NoDocument, Results, Subject};
use crate::table::List;
use crate::unit::Unit;
use crate::view::View;

/// The subject.
#[derive(Debug)]
pub(crate) struct OldWork;

pages! {
    Results {
        OldWork "Old work" portrait Nothing "what comes out and its loads, joints to old pipe and the money kept for them";
    }
}

/// What it makes of a job.
#[derive(Debug, Default)]
pub struct OldWorkFigures {
    /// Loads to haul off; `None` where nothing comes out.
    loads: Option<Term>,
    tie_ins: Option<tie_ins::TieIns>,
    /// Openings to cut; `None` where the job has neither old work nor openings.
    openings: Option<Term>,
}

impl Subject for OldWork {
    type Out = OldWorkFigures;
    type Document = NoDocument;

    const SETTINGS: &'static [Setting] = settings::SETTINGS;
    const TABLES: &'static [&'static Spec] = rules::TABLES;
    const MORE_ROWS: &'static [MoreRows] =
        &[MoreRows { table: "labor", file: "old_work/labor.csv", text: include_str!("labor.csv") }];
    const PAGES: &'static [Page] = PAGES;
    const FINDINGS: &'static [&'static [Declaration]] = &[findings::LIST];

    fn compute(book: &mut Book, view: &View<Results>, findings: &mut Vec<Finding>) -> OldWorkFigures {
        let (out, ties) = (hauling::what_comes_out(view), tie_ins::ties(view));
        let opened = !view.settings.is_blank(Setting::WallOpenings);
        if out.is_empty() && ties.is_empty() && !opened {
            return OldWorkFigures::default();
        }
        book.words(view.page(Page::OldWork), Look::Title, Page::OldWork.name());
        let loads = hauling::put(book, view, &out);
        let tie_ins = tie_ins::put(book, view, &ties, findings);
        let openings = view.settings.get(Setting::WallOpenings);
        let list = List::put(book, view.page(Page::OldWork), "", [34.0, 10.0], Unit::Each);
        let openings = list.line(book, "Openings to cut in walls and ceilings", or_nothing(&openings, &openings));
        OldWorkFigures { loads, tie_ins, openings: Some(openings) }
    }

    fn parts(_: &mut Book, _: &View<&OldWorkFigures>, _: &mut Parts, _: &mut Vec<Finding>) {}

    fn tasks(_: &mut Book, view: &View<&OldWorkFigures>, _: &Parts, work: &mut Vec<Work>) {
        let figures = view.results;
        let mut push = |task, quantity: Term, from: &str| {
            work.push(Work::of(task, quantity, When::Task, From::Words(from.to_owned())));
        };
        if let Some(openings) = &figures.openings {
            push("cut opening", openings.clone(), "Wall openings in Job");
        }
        if let Some(loads) = &figures.loads {
            push("haul off", or_nothing(&view.settings.get(Setting::HaulOff), loads), Page::OldWork.name());
        }
        if figures.tie_ins.as_ref().is_some_and(|ties| ties.street_leaks) {
            push("hold street water", Term::number(1), "Street shutoff in Job");
        }
    }

    fn costs(_: &mut Book, view: &View<&OldWorkFigures>, costs: &mut Costs) {
        let figures = view.results;
        let mut push = |what: &str, phase, quantity: &Term, price: &Term| {
            let (what, quantity) = (Term::text(what), quantity.clone());
            costs.other.push(Cost { what, phase, quantity, price: or_nothing(price, price), tax_rate: None });
        };
        if let Some(loads) = &figures.loads {
            push("Haul-off, loads", Some(Phase::RoughIn), loads, &view.settings.get(Setting::HaulOff));
        }
        if let Some(openings) = &figures.openings {
            push("Patching of wall openings", None, openings, &view.settings.get(Setting::Patching));
        }
        if let Some(ties) = &figures.tie_ins {
            push("Kept for old pipe that breaks further back", Some(Phase::RoughIn), &Term::number(1), &ties.kept);
        }
    }

    fn pages(_: &mut Book, view: &View<&OldWorkFigures>, _: &Parts, entries: &mut Entries) {
        let figures = view.results;
        let Some(openings) = &figures.openings else { return };
        let mut say = |kind, words| entries.terms.push(TermLine { kind, words });
        if !view.settings.is_blank(Setting::WallOpenings) {
            let (kind, words) = match view.settings.is_blank(Setting::Patching) {
                true => (TermsKind::Excluded, ["Patching and painting of the ", "; cut square, left broom clean."]),
                false => (TermsKind::Included, ["Patching of the ", "; painting is by others."]),
            };
            let [what, end] = words.map(Term::text);
            let openings = Term::join(&[&openings.show(0), &Term::text(" openings cut in walls and ceilings")]);
            say(kind, Term::join(&[&what, &openings, &end]));
        }
        if figures.loads.is_some() && !view.settings.is_blank(Setting::HaulOff) {
            say(TermsKind::Included, Term::text("Haul-off of what comes out."));
        }
        if let Some(ties) = &figures.tie_ins {
            if view.job.text(Setting::Supply).as_ref() != "well" && !ties.street_leaks {
                say(TermsKind::Assumption, Term::text("The curb stop works and shuts off tight."));
            }
            let asked = [Setting::OldPipeAge, Setting::OldPipeContingency];
            if asked.iter().any(|setting| !view.settings.is_blank(*setting)) {
                let kept = Line::Figure {
                    label: "Kept for old pipe that breaks".to_owned(),
                    value: ties.kept.clone(),
                    unit: Unit::Money,
                    remark: None,
                };
                entries.lists.push((Page::OldWork.name(), vec![kept]));
            }
        }
        entries.cautions.push(Caution::Words(
            "Old work: test old pipe covering for asbestos before anybody touches it. No torch on galvanized or lead. \
             Report a lead service to the water utility; its rules say who takes it out.",
        ));
    }
}

/// `figure` where a setting is filled in, else nothing.
fn or_nothing(setting: &Term, figure: &Term) -> Term {
    setting.is_blank().pick(&Term::number(0), figure)
}
