//! Stick or coil as figures: each run whose form is chosen with what it costs both ways, and the check of the choice. What
//! `forms` reckons in plain numbers to choose is worked out here once more, live.

use super::Context;
use super::accessory_counts::tails_ft;
use super::forms::{FormStep, InForm, Reason, couplings, longest, offers};
use super::friction_table::PipeOfRun;
use super::given::Given;
use super::unit_costs::{UnitCosts, mills};
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, Column, ColumnId, ColumnLook, Look, RowId, TableId, Term, Value};
use crate::model::{Price, Run, Setting, Size};
use crate::parts::{COIL, STICK, ring_kind};
use crate::rules::{HoursOf, Item, hours_of, offers_of};
use crate::sheets::Page;
use crate::table::{Headed, columns};
use rust_decimal::{Decimal, dec};

/// The table of runs, its rows put and their costs still to come.
pub(super) struct FormTable {
    given_forms: Vec<&'static str>,
    choices: Vec<Option<Term>>,
    /// By open run: its position and row.
    rows: Vec<(usize, RowId)>,
    columns: Option<Columns>,
}

columns! {
    struct Columns(weighed: bool) on Sizing("Form that bends and hours are figured for, where Form is auto") {
        run: "Run", words;
        pipe: "Pipe", words;
        costs as Option<CostColumns>: weighed.then_some(Costs), words;
        chosen: Choice::Form.heading(), words;
        reason: "Why", words 26;
        check: "Check", check 16;
    }
}

columns! {
    /// Of both forms, sticks first.
    struct CostColumns {
        row: "Row in costs", Each;
        cut: "Length with tails", Feet;
        factor as [ColumnId; 2]: ["Factor, sticks", "Factor, coils"], Ratio;
        at_bends: "Factor at bends", Ratio;
        longest as [ColumnId; 2]: ["Longest stick", "Longest coil"], Feet;
        couplings as [ColumnId; 2]: ["Couplings, sticks", "Couplings, coils"], Each;
        pipe as [ColumnId; 2]: ["Pipe and work, sticks", "Pipe and work, coils"], Money;
        bends as [ColumnId; 2]: ["Bends, sticks", "Bends, coils"], Money;
        cost as [ColumnId; 2]: ["In sticks", "In coils"], Money;
        more: "Over the other form", Money;
    }
}

struct Costs;

impl Headed for Costs {
    type Columns = CostColumns;

    fn columns(self, book: &mut Book, table: TableId, _: ColumnLook) -> CostColumns {
        CostColumns::in_table(book, table)
    }
}

const FORMS: [&str; 2] = [STICK, COIL];

impl FormTable {
    /// Puts the choices, for the formulas that go by them.
    pub(crate) fn put(book: &mut Book, context: &Context, given: &Given) -> Self {
        let count = given.materials.len();
        let given_forms = (0..count).map(|position| given.forms.of(position, given.picked[position].size)).collect();
        let open: Vec<usize> = (0..count).filter(|position| given.forms.is_open(*position)).collect();
        let mut table = Self { given_forms, choices: vec![None; count], rows: Vec::new(), columns: None };
        if open.is_empty() {
            return table;
        }
        let weighed = open.iter().any(|position| table.weighed(given, *position));
        book.words(context.page(Page::Sizing), Look::Small, STRAIGHT);
        let columns = Columns::on_page(book, context, weighed);
        for position in open {
            let row = book.row(columns.run.table());
            let run = context.run_at(position);
            let name = run.name.figure(book);
            book.put(row, columns.run, name);
            let reason = given.forms.reason(position, given.picked[position].size).map_or("", Reason::words);
            book.label(row, columns.reason, reason);
            let choice = book.choose_now(row, columns.chosen, Value::text(table.given_forms[position]));
            table.choices[position] = Some(choice);
            table.rows.push((position, row));
        }
        table.columns = Some(columns);
        table
    }

    fn weighed(&self, given: &Given, position: usize) -> bool {
        given.forms.reason(position, given.picked[position].size) == Some(Reason::Costs)
    }

    /// The form of a run: the cell of the choice, or the word that is typed.
    pub(crate) fn of(&self, position: usize) -> Term {
        self.choices[position].clone().unwrap_or_else(|| Term::text(self.given_forms[position]))
    }

    pub(crate) fn choices(&self) -> Vec<Option<Term>> {
        self.choices.clone()
    }

    /// Puts what each run costs both ways, and the checks. Gives how many of the choices are no form; `None` without any.
    pub(crate) fn finish(
        &self,
        book: &mut Book,
        context: &Context,
        given: &Given,
        pipe_of: &[&PipeOfRun],
    ) -> Option<Term> {
        let columns = self.columns.as_ref()?;
        let pipes = columns.costs.as_ref().map(|costs| (costs, PipeCosts::put(book, context, given)));
        for (position, row) in &self.rows {
            let Some(choice) = &self.choices[*position] else { continue };
            let pipe = book.put(*row, columns.pipe, pipe_of[*position].key.clone());
            let known = choice.same(&Term::text(STICK)).or(&choice.same(&Term::text(COIL)));
            let check = match &pipes {
                Some((costs, pipes)) if self.weighed(given, *position) => {
                    let run = context.run_at(*position);
                    let row = CostRow { context, pipes, row: *row, run, material: &given.materials[*position] };
                    let [stick, coil] = row.fill(book, costs, &pipe, &pipe_of[*position].length);
                    let more = choice.same(&Term::text(STICK)).pick(&(&stick - &coil), &(&coil - &stick));
                    let more = book.put(row.row, costs.more, more);
                    // The choice is made in thousandths of a dollar for each part of it.
                    let dearer = more.above(&Term::number(dec!(0.05)));
                    known.pick(&dearer.flag(PRICE_AGAIN), &Term::text(PRICE_AGAIN)).or_price_again()
                }
                _ => known.ok_or(PRICE_AGAIN),
            };
            let check = book.put(*row, columns.check, check);
            book.check_choice(choice, &check);
        }
        let chosen = book.whole(columns.chosen);
        let known = FORMS.map(|form| Term::count_where(&[(&chosen, &Term::text(form))]));
        Some(Term::number(chosen.values().len() as u64) - Term::total(&[&known[0], &known[1]]))
    }
}

/// What is figured and what is bought may differ where a run has no bends.
const STRAIGHT: &str = "Buying cuts a run without bends from sticks or coils, whichever whole packs cost less. Set Form in \
                        Runs to buy just that form.";

/// A run, as what it costs both ways is worked out.
struct CostRow<'a> {
    context: &'a Context<'a>,
    pipes: &'a PipeCosts,
    row: RowId,
    run: &'a Run,
    material: &'a str,
}

impl CostRow<'_> {
    /// What it costs in sticks and in coils, live.
    fn fill(&self, book: &mut Book, columns: &CostColumns, pipe: &Term, length: &Term) -> [Term; 2] {
        let Self { context, pipes, row, run, material } = *self;
        let place = run.place.get().unwrap_or_default().word();
        let factor = |book: &mut Book, column, form| {
            let factor = context.rules.labor_factor(place, form, material);
            book.state(row, column, Value::Exact(factor), "labor_conditions, by place, form and material")
        };
        let at_bends = factor(book, columns.at_bends, "");
        let line = book.put(row, columns.row, Term::row_of(pipe, &pipes.keys));
        let bends = run.bends.figure(book);
        let waste = Term::number(1) + context.settings.get(Setting::Waste);
        let cut = length + &tails_ft(length, &context.settings.get(Setting::TailAllowance));
        let cut_ft = book.put(row, columns.cut, cut);
        std::array::from_fn(|form| {
            let at = |column: &Column| Term::at(column, &line);
            let of = &pipes.forms[form];
            let factor = factor(book, columns.factor[form], FORMS[form]);
            let longest = book.put(row, columns.longest[form], at(&of.longest));
            let couplings = longest.is_number().pick(&couplings(&cut_ft, &longest), &Term::number(0));
            let costs = InForm {
                couplings: book.put(row, columns.couplings[form], couplings),
                cut_ft: cut_ft.clone(),
                length_ft: length.clone(),
                bends: bends.clone(),
                waste: waste.clone(),
                foot: at(&of.foot),
                foot_work: at(&pipes.foot_work),
                factor,
                bend: at(&of.bend) + at(&of.bend_work) * &at_bends,
                coupling: at(&pipes.joint),
            };
            let cost = costs.cost(|step, money| match step {
                FormStep::Pipe => book.put(row, columns.pipe[form], money),
                FormStep::Bends => book.put(row, columns.bends[form], money),
            });
            book.put(row, columns.cost[form], cost.cents())
        })
    }
}

/// What one foot, one bend and one coupling of each pipe cost, live, tax counted.
struct PipeCosts {
    keys: Column,
    forms: [OfForm; 2],
    joint: Column,
    foot_work: Column,
}

struct OfForm {
    foot: Column,
    longest: Column,
    bend: Column,
    bend_work: Column,
}

columns! {
    struct PipeColumns on Sizing("What pipe costs in sticks and in coils, sales tax included") {
        pipe: "Pipe", words;
        foot as [ColumnId; 2]: ["A foot in sticks", "A foot in coils"], UnitPrice;
        longest as [ColumnId; 2]: ["Longest stick", "Longest coil"], Feet;
        coupling: "A coupling", UnitPrice;
        ring: "A ring", UnitPrice;
        rings: "Rings an end, with spares", Ratio;
        joint: "A coupling with its rings", UnitPrice;
        part as [ColumnId; 2]: ["Part at a bend, stick", "Part at a bend, coil"], UnitPrice;
        bend as [ColumnId; 2]: ["A bend in a stick", "A bend in a coil"], UnitPrice;
        foot_hours: "Hours a foot", SmallRatio;
        foot_work: "Work on a foot", UnitPrice;
        end_hours: "Hours an end", SmallRatio;
        end_work: "Work on an end", UnitPrice;
        bend_work as [ColumnId; 2]: ["Work on a bend, stick", "Work on a bend, coil"], UnitPrice;
    }
}

impl PipeCosts {
    /// A row for every pipe of the open runs' materials that is offered in both forms.
    fn put(book: &mut Book, context: &Context, given: &Given) -> Self {
        let columns = PipeColumns::on_page(book, context);
        let costs = UnitCosts::new(context);
        let mut materials: Vec<&str> = Vec::new();
        for position in (0..given.materials.len()).filter(|position| given.forms.is_open(*position)) {
            if !materials.contains(&&*given.materials[position]) {
                materials.push(&given.materials[position]);
            }
        }
        for material in materials {
            for pipe in context.rules.pipes_of(material) {
                let row = Row { context, costs: &costs, columns: &columns, material, size: pipe.size };
                row.put(book);
            }
        }
        let mut whole = |column| book.whole(column);
        Self {
            keys: whole(columns.pipe),
            forms: std::array::from_fn(|form| OfForm {
                foot: whole(columns.foot[form]),
                longest: whole(columns.longest[form]),
                bend: whole(columns.bend[form]),
                bend_work: whole(columns.bend_work[form]),
            }),
            joint: whole(columns.joint),
            foot_work: whole(columns.foot_work),
        }
    }
}

/// One pipe, as its row is filled.
struct Row<'a> {
    context: &'a Context<'a>,
    costs: &'a UnitCosts<'a>,
    columns: &'a PipeColumns,
    material: &'a str,
    size: Size,
}

impl Row<'_> {
    fn put(&self, book: &mut Book) {
        let pipe = Item::new("pipe", self.material, &[self.size]);
        let offers = FORMS.map(|form| offers(self.context, &pipe, form));
        if offers.iter().any(Vec::is_empty) {
            return;
        }
        let columns = self.columns;
        let row = book.row(columns.table);
        book.label(row, columns.pipe, &format!("{} {}", self.material, self.size.key()));
        for (form, offers) in offers.iter().enumerate() {
            if let Some(foot) = self.least(book, offers) {
                book.put(row, columns.foot[form], foot);
            }
            match longest(offers) {
                Some(feet) => book.state(row, columns.longest[form], Value::Exact(feet), "Pack in Prices"),
                None => book.label(row, columns.longest[form], "any length"),
            };
        }
        let rings = self.rings(book, row);
        let coupling = self.priced(book, row, columns.coupling, "coupling");
        book.put(row, columns.joint, coupling + &rings * Term::number(2));
        self.work(book, row, "run", [columns.foot_hours, columns.foot_work]);
        let end_work = self.work(book, row, "joint", [columns.end_hours, columns.end_work]);
        for (form, word) in FORMS.iter().enumerate() {
            let (part, ends) = match self.context.rules.at_bend(self.material, word, self.size) {
                Some((part, ends)) => (self.priced(book, row, columns.part[form], part), ends),
                None => (book.state(row, columns.part[form], Value::Exact(Decimal::ZERO), "swept in the trench"), 0),
            };
            let ends = Term::number(ends);
            book.put(row, columns.bend[form], part + &rings * &ends);
            book.put(row, columns.bend_work[form], &end_work * ends);
        }
    }

    /// The rings of one pipe end; nothing where the material takes none.
    fn rings(&self, book: &mut Book, row: RowId) -> Term {
        let Some(kind) = ring_kind(self.context.job, self.material) else {
            let nothing = "joined without rings";
            return book.state(row, self.columns.rings, Value::Exact(Decimal::ZERO), nothing);
        };
        let ring = self.priced(book, row, self.columns.ring, kind);
        let spare = self.context.rules.spare(kind).map_or(Decimal::ZERO, |spare| spare.share);
        let each = Value::Exact(Decimal::ONE.saturating_add(spare));
        ring * book.state(row, self.columns.rings, each, "one, and the share of spares")
    }

    /// The least price of one over offers, taxed.
    fn least(&self, book: &mut Book, offers: &[&Price]) -> Option<Term> {
        let by_job = self.context.settings.get(Setting::TaxRate);
        let one = Term::number(1);
        if offers.iter().all(|offer| offer.tax.value.is_none()) {
            let prices = offers.iter().filter_map(|offer| offer.unit_price(book));
            return Some(prices.reduce(|least, price| least.min(&price))? * (one + by_job));
        }
        // Of offers that are taxed otherwise the one that costs less before its tax, as a line of the bid takes it.
        let taxed = offers.iter().filter_map(|offer| {
            let price = offer.unit_price(book)?;
            Some((price.clone(), price * (&one + offer.tax.rate(book, &by_job))))
        });
        let least = taxed.reduce(|a, b| (a.0.min(&b.0), a.0.above(&b.0).pick(&b.1, &a.1)))?;
        Some(least.1)
    }

    /// The cheapest offer of a part in this pipe's size, taxed; what nobody offers counts as dear as the dearest of its kind.
    fn priced(&self, book: &mut Book, row: RowId, column: ColumnId, kind: &str) -> Term {
        let sizes = [self.size];
        let offers: Vec<&Price> =
            offers_of(self.context.job, self.context.rules, &Item::new(kind, self.material, &sizes)).collect();
        match self.least(book, &offers) {
            Some(least) => book.put(row, column, least),
            None => {
                let dearest = Decimal::new(mills(self.costs.price(kind, self.material, &sizes)), 3);
                book.state(row, column, Value::Exact(dearest), "no offer in Prices: the dearest of its kind")
            }
        }
    }

    /// Hours of one unit of a task on this pipe, and what they cost at the job's rate.
    fn work(&self, book: &mut Book, row: RowId, verb: &str, [hours_in, work_in]: [ColumnId; 2]) -> Term {
        let task = format!("{verb} {} {}", self.material, self.size);
        let hours = match hours_of(self.context.job, self.context.rules, &task) {
            Some(HoursOf::Own(own)) => {
                let hours = own.hours.figure(book);
                book.put(row, hours_in, hours)
            }
            Some(HoursOf::Table(rule)) => book.rule(row, hours_in, Value::Exact(rule.hours), &rule.origin.words()),
            None => book.state(row, hours_in, Value::Exact(Decimal::ZERO), "no hours known"),
        };
        let setting = |setting| self.context.settings.get(setting);
        let burdened = setting(Setting::LaborRate) * (Term::number(1) + setting(Setting::LaborBurden));
        book.put(row, work_in, hours * burdened * setting(Setting::LaborFactor))
    }
}
