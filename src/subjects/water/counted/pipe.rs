//! Pipe and what goes along it, run by run: supports, nail plates, sleeves, insulation.

use super::Context;
use crate::figure::{Book, RowId, Term};
use crate::model::{Run, Size};
use crate::parts::{Count, LENGTH, TAIL};
use crate::rules::{IN_WALL, INSULATION, Item, SUPPORT};
use crate::subjects::water::size::accessory_counts::{Framing, Goes, Lying, Spacing, Step, Takes};
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

pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>) {
    let new: Vec<usize> = (0..context.network.len()).filter(|p| context.is_new(*p)).collect();
    if new.is_empty() {
        return;
    }
    let columns = Columns::on_page(book, context);
    let framing = Framing::of(context, &context.sizes.lay, Term::clone);
    for position in new {
        let run = context.run_at(position);
        let Some(size) = context.sizes.sizes[position] else { continue };
        let row = book.row(columns.table);
        let name = run.name.figure(book);
        book.put(row, columns.run, name);
        let lying = Lying {
            length_ft: context.sizes.length_ft[position].clone(),
            rise_ft: run.rise_ft.figure(book),
            place: context.place_of_run(position),
            starts: context.network.parent[position].is_none(),
            accessories: &context.sizes.structure.accessories[position],
            framing: &framing,
            spacing: Spacing::of(&context.sizes.lay, &context.sizes.pipe_rows[position], Term::clone),
        };
        lying.takes(&mut Counting { book, context, columns: &columns, row, run, position, size, counts });
    }
}

/// Counts what goes along one run.
struct Counting<'a, 'b> {
    book: &'a mut Book,
    context: &'a Context<'b>,
    columns: &'a Columns,
    row: RowId,
    run: &'a Run,
    position: usize,
    size: Size,
    counts: &'a mut Vec<Count>,
}

impl Counting<'_, '_> {
    /// Insulation of the run's size, and of the wall that Insulation in says, where it says any.
    fn insulation(&mut self) -> (Item, Term) {
        let key = Term::join(&[&Term::text(format!("{INSULATION} ")), &self.context.sizes.size_keys[self.position]]);
        let item = Item::insulation(self.size, self.run.insulation_in.value);
        if self.run.insulation_in.value.is_none() {
            return (item, key);
        }
        let wall = self.run.insulation_in.figure(self.book);
        let with_wall = Term::join(&[&key, &Term::text(" "), &wall, &Term::text(IN_WALL)]);
        (item, wall.above(&Term::number(0)).pick(&with_wall, &key))
    }
}

impl Takes<Term> for Counting<'_, '_> {
    fn step(&mut self, step: Step, value: Term) -> Term {
        let column = match step {
            Step::Length => self.columns.length,
            Step::Upright => self.columns.upright,
            Step::Level => self.columns.level,
            Step::Studs => self.columns.studs,
            Step::PlatesCrossed => self.columns.crossed,
            Step::LeftOfStud => self.columns.left,
        };
        self.book.put_or_state(self.row, column, value, "its Level is not that of the run that feeds it")
    }

    fn take(&mut self, what: Goes, quantity: Term) {
        let Self { context, position, size, .. } = *self;
        let (sizes, size_key) = (context.sizes, &context.sizes.size_keys[position]);
        let keyed = |kind: &str, key: &Term| Term::join(&[&Term::text(format!("{kind} ")), key]);
        let pipe =
            || (Item::new("pipe", &sizes.materials[position], &[size]), keyed("pipe", &sizes.pipe_keys[position]));
        let (purpose, (item, key)) = match what {
            Goes::Pipe => (LENGTH, pipe()),
            Goes::Tails => ("a tail at each end", pipe()),
            Goes::Supports => {
                let item = Item::new(SUPPORT, &sizes.materials[position], &[size]);
                ("spacing along it", (item, keyed(SUPPORT, &sizes.pipe_keys[position])))
            }
            Goes::NailPlates => {
                ("studs and plates it passes", (Item::new("nail plate", "", &[]), Term::text("nail plate")))
            }
            Goes::Sleeves(kind) => {
                let Some(sleeve) = sizes.lay.sleeve(size_key) else { return };
                let item = Item::new(kind, "", context.rules.sleeve(size).as_slice());
                ("it passes into the building", (item, keyed(kind, &sleeve)))
            }
            Goes::Insulation => ("insulated length", self.insulation()),
        };
        let form = match (what, sizes.forms[position]) {
            (Goes::Pipe, form @ ("stick" | "coil")) => form,
            (Goes::Tails, _) => TAIL,
            _ => "",
        };
        self.counts.push(Count { form, quantity, ..context.count_of_run(position, purpose, item, key) });
    }

    /// Where Insulation in says so; where it is blank, where Insulate in Job does.
    fn insulated_ft(&mut self, length: &Term) -> Option<Term> {
        let zero = Term::number(0);
        let by_rule = self.context.sizes.structure.accessories[self.position].insulate;
        match self.run.insulation_in.as_typed(self.book) {
            Some(cell) => {
                let thickness = self.run.insulation_in.figure(self.book);
                let listed = thickness.above(&zero).pick(length, &zero);
                Some(if by_rule { cell.is_blank().pick(length, &listed) } else { listed })
            }
            None => by_rule.then(|| length.clone()),
        }
    }
}
