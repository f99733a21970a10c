//! How pipe is held, housed and turned: supports, holes in framing, sleeves and bends by the size of the pipe, standing on
//! the Rules sheet for the take-off's formulas.

use super::Context;
use super::rule_tables::RuleTables;
use super::typed_form::{form, is_open};
use crate::figure::{Book, Column, Term};
use crate::model::{Run, Whereabouts};
use crate::parts::{COIL, STICK};
use crate::rules::{Listing, Pipe};
use crate::subjects::water::rules::{Bend, BendCells, SleeveCells, Support, SupportCells};
use rust_decimal::{Decimal, dec};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Where a table has no row for some pipe: spaces that suit any, on the safe side.
const LEVEL_FT: Decimal = dec!(4);
const UPRIGHT_FT: Decimal = dec!(4);
/// A limit by its name, and what it is where the table has no such row.
pub(crate) const NIPPLE: &str = "nipple between fittings";
pub(crate) const NIPPLE_FT: Decimal = dec!(0.33);
/// Two walls of pipe whose outside diameter nobody gave, in.
const TWO_WALLS_IN: Decimal = dec!(0.25);

/// Columns and figures for the take-off. Columns go by the row of the pipe table.
#[derive(Debug, Clone)]
pub struct Lay {
    /// Greatest distance between supports of level pipe, ft.
    pub level_ft: Column,
    /// The same of upright pipe, guides counted, ft.
    pub upright_ft: Column,
    /// Hole that the pipe needs in framing, in.
    pub hole_in: Column,
    /// Above 0: holes in framing that stand no farther apart than supports would hold the pipe.
    pub framing_holds: Term,
    /// Pipe between a fitting and a reducer or adapter next to it, ft.
    pub nipple_ft: Term,
    /// Nail plates where a hole leaves less than this to the face of the stud, in.
    pub edge_in: Term,
    pub plates_per_hole: Term,
    sleeves: Option<[Column; 2]>,
    bends: Option<[Column; 2]>,
}

/// Puts the tables that the job needs.
pub(crate) fn put(book: &mut Book, context: &Context, tables: &RuleTables, materials: &[Arc<str>]) -> Lay {
    let limit = |name: &str, otherwise: Decimal| tables.limit(name).unwrap_or_else(|| Term::number(otherwise));
    let clearance = limit("hole over pipe", dec!(0.25));
    let mut listing = Listing::<Support>::new(context, "How pipe is held").open(book);
    let columns = listing.columns(book);
    let pipes = context.rules.pipes().iter().filter(|pipe| materials.contains(&pipe.material));
    for (index, pipe) in (1u32..).zip(pipes) {
        let (row, SupportCells { upright, guides, .. }) = listing.line(book, &support(context, pipe));
        book.put(row, columns.guided, upright / &(guides + Term::number(1)));
        let pipe_row = Term::number(index);
        let outside = Term::at(&tables.pipe.od_in, &pipe_row);
        let outside = match pipe.od_in {
            Some(_) => outside,
            None => Term::at(&tables.pipe.id_in, &pipe_row) + Term::number(TWO_WALLS_IN),
        };
        let eighths = ((outside + &clearance) * Term::number(8)).whole_up();
        book.put(row, columns.hole, eighths / Term::number(8));
    }
    let SupportCells { level, guided, hole, .. } = listing.whole(book);
    Lay {
        level_ft: level,
        upright_ft: guided,
        hole_in: hole,
        framing_holds: limit("framing holds pipe", Decimal::ONE),
        nipple_ft: limit(NIPPLE, NIPPLE_FT),
        edge_in: limit("nail plate edge distance", dec!(1.25)),
        plates_per_hole: limit("nail plates per hole", Decimal::TWO),
        sleeves: put_sleeves(book, context),
        bends: put_bends(book, context, materials),
    }
}

/// How pipe of one size is held.
fn support(context: &Context, pipe: &Pipe) -> Support {
    let row = context.rules.support(&pipe.material, pipe.size).cloned();
    let row = row.unwrap_or_else(|| Support {
        material: pipe.material.clone(),
        up_to: None,
        horizontal_ft: LEVEL_FT,
        vertical_ft: UPRIGHT_FT,
        guides: Decimal::ZERO,
        note: "".into(),
        origin: pipe.origin.clone(),
    });
    Support { up_to: Some(pipe.size), ..row }
}

fn put_sleeves(book: &mut Book, context: &Context) -> Option<[Column; 2]> {
    let under = |run: &Run| matches!(run.place.get(), Some(Whereabouts::Buried | Whereabouts::InSlab));
    if !context.job.runs.iter().any(|run| is_new(run) && under(run)) {
        return None;
    }
    if context.rules.sleeves().is_empty() {
        return None;
    }
    let mut listing = Listing::new(context, "Sleeves");
    for row in context.rules.sleeves() {
        listing.row(book, row);
    }
    let SleeveCells { pipe, sleeve } = listing.whole(book);
    Some([pipe, sleeve])
}

fn put_bends(book: &mut Book, context: &Context, materials: &[Arc<str>]) -> Option<[Column; 2]> {
    let forms: BTreeSet<(&str, &str)> = (0..context.network.len())
        .flat_map(|position| {
            let material = &*materials[position];
            let either: &[&str] =
                if is_open(context, position, material) { &[STICK, COIL] } else { &[form(context, position)] };
            either.iter().map(|form| (material, *form)).collect::<Vec<_>>()
        })
        .filter(|(material, form)| context.rules.bends().iter().any(|b| *b.material == **material && *b.form == **form))
        .collect();
    if forms.is_empty() {
        return None;
    }
    let mut listing = Listing::new(context, "What bends take");
    for (material, form) in forms {
        for pipe in context.rules.pipes_of(material) {
            if let Some(bend) = context.rules.bend(material, form, pipe.size) {
                listing.row(book, &Bend { up_to: Some(pipe.size), ..bend.clone() });
            }
        }
    }
    let BendCells { pipe, part } = listing.whole(book);
    Some([pipe, part])
}

fn is_new(run: &Run) -> bool {
    run.status.get().unwrap_or_default().is_of_this_job()
}

impl Lay {
    /// What a bend of pipe of this size takes in a form, live; `None` where it is an elbow in every size.
    pub fn bend_part(&self, context: &Context, material: &str, form: &Term, size_key: &Term) -> Option<Term> {
        let [keys, parts] = self.bends.as_ref()?;
        let fits = |wanted: &str| form.fig().is_some() || form.value().to_string() == wanted;
        context.rules.bends().iter().find(|b| *b.material == *material && fits(&b.form))?;
        let key = match form.fig() {
            None => Term::join(&[&Term::text(format!("{material} {} ", form.value())), size_key]),
            Some(_) => Term::join(&[&Term::text(format!("{material} ")), form, &Term::text(" "), size_key]),
        };
        let part = Term::at(parts, &Term::row_of(&key, keys));
        Some(part.or_if_fault(&Term::text(crate::rules::ELBOW)))
    }

    /// Size key of the sleeve for pipe of this size, live; empty where the table has none.
    pub fn sleeve(&self, size_key: &Term) -> Option<Term> {
        let [pipes, sleeves] = self.sleeves.as_ref()?;
        Some(Term::at(sleeves, &Term::row_of(size_key, pipes)).or_if_fault(&Term::text("")))
    }
}
