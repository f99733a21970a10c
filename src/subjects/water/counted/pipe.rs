//! Pipe and what goes along it, run by run: supports, nail plates, sleeves, insulation.

use super::Context;
use crate::figure::{Book, RowId, Term, Value};
use crate::model::{Run, Setting, Size, Whereabouts};
use crate::parts::{Count, LENGTH};
use crate::rules::Item;
use crate::table::columns;

columns! {
    /// How each run lies, in cells of its own.
    struct Columns on Counts("How each run lies") {
        run: "Run", quiet words 12;
        length: "Length", Feet;
        upright: "Of it upright", Feet;
        level: "Of it level", Feet;
        studs: "Studs it passes", Each;
        crossed: "Sole plates it passes", Each;
        left: "Left to the face of a stud", Inches;
    }
}

struct Along<'a> {
    run: &'a Run,
    position: usize,
    size: Size,
    size_key: &'a Term,
    length: Term,
    upright: Term,
    level: Term,
}

pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>) {
    let new: Vec<usize> = (0..context.network.len()).filter(|p| context.is_new(*p)).collect();
    if new.is_empty() {
        return;
    }
    let columns = Columns::on_page(book, context);
    for position in new {
        let run = &context.job.runs[context.network.order[position]];
        let Some(size) = context.sizes.sizes[position] else { continue };
        let row = book.row(columns.table);
        let name = run.name.figure(book);
        book.put(row, columns.run, name);
        let length = book.put(row, columns.length, context.sizes.length_ft[position].clone());
        let rise = run.rise_ft.figure(book);
        let zero = Term::number(0);
        let upright = book.put(row, columns.upright, rise.max(&(&zero - &rise)).min(&length));
        let level = book.put(row, columns.level, &length - &upright);
        let along = Along { run, position, size, size_key: &context.sizes.size_keys[position], length, upright, level };
        along.pipe(context, counts);
        along.supports(context, counts);
        along.plates(book, context, row, &columns, counts);
        along.sleeves(context, counts);
        along.insulation(book, context, counts);
    }
}

impl Along<'_> {
    fn add(
        &self,
        context: &Context,
        counts: &mut Vec<Count>,
        why: &'static str,
        item: Item,
        key: Term,
        quantity: Term,
    ) {
        let form = match (item.kind.as_str(), context.sizes.forms[self.position]) {
            ("pipe", form @ ("stick" | "coil")) => form,
            _ => "",
        };
        counts.push(Count {
            origin: self.run.name.clone(),
            why,
            phase: context.phase_of_run(self.position),
            place: self.place(),
            form,
            item,
            key,
            quantity,
            ends: Vec::new(),
            at_fork: false,
            form_cell: None,
            in_already: false,
        });
    }

    fn place(&self) -> Whereabouts {
        self.run.place.get().unwrap_or_default()
    }

    /// Its length, and what is left at both ends to work with: bought and cut, and not run.
    fn pipe(&self, context: &Context, counts: &mut Vec<Count>) {
        let key = Term::join(&[&Term::text("pipe "), &context.sizes.pipe_keys[self.position]]);
        let item = Item::new("pipe", &context.sizes.materials[self.position], &[self.size]);
        self.add(context, counts, LENGTH, item.clone(), key.clone(), self.length.clone());
        let zero = Term::number(0);
        let tails = context.settings.get(Setting::TailAllowance) * Term::number(2) / Term::number(12);
        let tails = self.length.above(&zero).pick(&tails, &zero);
        let length = counts.len();
        self.add(context, counts, "a tail at each end", item, key, tails);
        counts[length..].iter_mut().for_each(|tails| tails.form = crate::parts::TAIL);
    }

    /// By the code's spacing: one for each space of level pipe begun, and one for each of upright pipe filled, for a
    /// short rise hangs between level pipe. The start is held by what feeds it; at the supply it has a support of its
    /// own. Holes in framing that stand no farther apart hold level pipe by themselves.
    fn supports(&self, context: &Context, counts: &mut Vec<Count>) {
        if matches!(self.place(), Whereabouts::Buried | Whereabouts::InSlab) {
            return;
        }
        let pipe_row = &context.sizes.pipe_rows[self.position];
        let (lay, zero) = (&context.sizes.lay, Term::number(0));
        let along = (&self.level / &Term::at(&lay.level_ft, pipe_row)).whole_up();
        let along = match context.sizes.structure.along[self.position].in_studs {
            true => {
                let studs_ft = context.settings.get(Setting::StudSpacing) / Term::number(12);
                let near = Term::at(&lay.level_ft, pipe_row).at_least(&studs_ft);
                lay.framing_holds.above(&zero).and(&near).pick(&zero, &along)
            }
            false => along,
        };
        let mut supports = along + (&self.upright / &Term::at(&lay.upright_ft, pipe_row)).whole_down();
        if context.network.parent[self.position].is_none() {
            supports = supports + Term::number(1);
        }
        let key = Term::join(&[&Term::text("support "), self.size_key]);
        self.add(context, counts, "spacing along it", Item::new("support", "", &[self.size]), key, supports);
    }

    /// Plates at the studs that the run passes, where a hole in the middle of a stud leaves less than the code's
    /// distance to its faces.
    fn plates(&self, book: &mut Book, context: &Context, row: RowId, columns: &Columns, counts: &mut Vec<Count>) {
        if !context.sizes.structure.along[self.position].can_be_nailed {
            return;
        }
        let lay = &context.sizes.lay;
        let inches = Term::number(12);
        let apart = context.settings.get(Setting::StudSpacing);
        let studs = book.put(row, columns.studs, (&self.level * inches / apart).whole_up());
        let crossed = context.sizes.structure.along[self.position].plates_crossed;
        let told = "its Level is not that of the run that feeds it";
        let crossed = book.state(row, columns.crossed, Value::Exact(crossed.into()), told);
        let hole = Term::at(&lay.hole_in, &context.sizes.pipe_rows[self.position]);
        let left = (context.settings.get(Setting::StudDepth) - hole) / Term::number(2);
        let left = book.put(row, columns.left, left);
        let plates = lay.edge_in.above(&left).pick(&((studs + crossed) * &lay.plates_per_hole), &Term::number(0));
        let item = Item::new("nail plate", "", &[]);
        self.add(context, counts, "studs and plates it passes", item, Term::text("nail plate"), plates);
    }

    fn sleeves(&self, context: &Context, counts: &mut Vec<Count>) {
        let Some((kind, pieces)) = context.sizes.structure.along[self.position].sleeves else { return };
        let Some(sleeve) = context.sizes.lay.sleeve(self.size_key) else { return };
        let key = Term::join(&[&Term::text(format!("{kind} ")), &sleeve]);
        let item = Item::new(kind, "", context.rules.sleeve(self.size).as_slice());
        self.add(context, counts, "it passes into the building", item, key, Term::number(pieces));
    }

    /// Where Insulation in says so; where it is blank, where Insulate in Job does.
    fn insulation(&self, book: &mut Book, context: &Context, counts: &mut Vec<Count>) {
        let zero = Term::number(0);
        let by_rule =
            if context.sizes.structure.along[self.position].insulate { self.length.clone() } else { zero.clone() };
        let quantity = match self.run.insulation_in.as_typed(book) {
            Some(cell) => {
                let thickness = self.run.insulation_in.figure(book);
                let listed = thickness.above(&zero).pick(&self.length, &zero);
                if context.sizes.structure.along[self.position].insulate {
                    cell.is_blank().pick(&by_rule, &listed)
                } else {
                    listed
                }
            }
            None if context.sizes.structure.along[self.position].insulate => by_rule,
            None => return,
        };
        let key = Term::join(&[&Term::text("pipe insulation "), self.size_key]);
        let item = Item::new("pipe insulation", "", &[self.size]);
        self.add(context, counts, "insulated length", item, key, quantity);
    }
}
