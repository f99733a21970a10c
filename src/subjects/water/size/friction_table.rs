//! Friction in each run, as figures: its pipe, its length with fittings, and what 100 ft of it lose by both methods.

use super::fitting_loss::{self, Allowance, Entry};
use super::given::Given;
use super::rule_tables::RuleTables;
use super::{Context, friction};
use crate::figure::{Book, RowId, Term};
use crate::model::{Run, Setting};
use crate::rules::ELBOW;
use crate::table::columns;

columns! {
    pub(super) struct FrictionColumns on Friction("Friction in each run") {
        run: "Run", words;
        pipe: "Pipe", words;
        pipe_row: "Row in pipe table", Each;
        pub length: "Length", Feet;
        bend: "A bend takes", words;
        fitting_row: "Row in fitting table", Each;
        fitting_ft: "Fittings as pipe", Feet;
        pub limit: "Velocity limit", FeetPerSecond;
        reynolds: "Reynolds number", Ratio;
        turbulent: "Turbulent factor", SmallRatio;
        factor: "Friction factor", SmallRatio;
        darcy: "Darcy-Weisbach", PsiPer100Ft;
        hazen: "Hazen-Williams", PsiPer100Ft;
        /// What the run's end lacks of the pressure needed there and `Pressure to spare`.
        pub short: "Short of pressure", Psi;
    }
}

/// The table, and what its rows are figured from.
pub(super) struct FrictionTable<'a> {
    context: &'a Context<'a>,
    rules: &'a RuleTables,
    given: &'a Given,
    pub columns: FrictionColumns,
}

/// The pipe of a run: what is known before the velocity is.
pub(super) struct PipeOfRun {
    /// Material and size.
    pub key: Term,
    /// Its row in the pipe table.
    pub row: Term,
    pub bore: Term,
    pub length: Term,
    /// What a bend takes, where that is not an elbow in every size.
    pub bend: Option<Term>,
    pub fitting_ft: Term,
    /// The velocity limit.
    pub limit: Term,
}

/// Water in a pipe.
pub(super) struct Flow {
    pub demand: Term,
    pub bore: Term,
    pub velocity: Term,
}

impl<'a> FrictionTable<'a> {
    pub(super) fn put(book: &mut Book, context: &'a Context<'a>, rules: &'a RuleTables, given: &'a Given) -> Self {
        Self { context, rules, given, columns: FrictionColumns::on_page(book, context) }
    }

    /// The row of the next run.
    pub(super) fn row(&self, book: &mut Book, position: usize, name: Term) -> FrictionRow<'_> {
        let at = book.row(self.columns.table);
        book.put(at, self.columns.run, name);
        FrictionRow { table: self, position, run: self.context.run_at(position), at }
    }
}

/// The row of a run.
pub(super) struct FrictionRow<'a> {
    table: &'a FrictionTable<'a>,
    position: usize,
    run: &'a Run,
    pub at: RowId,
}

impl FrictionRow<'_> {
    /// The pipe of a size in a form (stick or coil), both live.
    pub(super) fn put_pipe(&self, book: &mut Book, size: &Term, form: &Term) -> PipeOfRun {
        let FrictionTable { context, rules, given, columns } = self.table;
        let material = &given.materials[self.position];
        let key = Term::join(&[&Term::text(format!("{material} ")), size]);
        let key = book.put(self.at, columns.pipe, key);
        let row = book.put(self.at, columns.pipe_row, Term::row_of(&key, &rules.pipe.key));
        let bore = Term::at(&rules.pipe.id_in, &row);
        let length = self.run.length_ft.figure(book);
        let length = book.put(self.at, columns.length, length);
        let bend = match given.lay.bend_part(context, material, form, size) {
            Some(part) => Some(book.put(self.at, columns.bend, part)),
            None => {
                book.label(self.at, columns.bend, ELBOW);
                None
            }
        };
        let fitting = match fitting_loss::allowance(context) {
            Allowance::None => Term::number(0),
            Allowance::Percent => &length * fitting_loss::percent_figure(context),
            Allowance::ByFitting => self.by_fitting(book, size, bend.as_ref()),
        };
        let fitting_ft = book.put(self.at, columns.fitting_ft, fitting);
        let limit = book.put(self.at, columns.limit, given.velocity_limit[self.position].clone());
        PipeOfRun { key, row, bore, length, bend, fitting_ft, limit }
    }

    /// Its fittings by the table of their lengths, ft. A sweep is pipe like any other.
    fn by_fitting(&self, book: &mut Book, size: &Term, bend: Option<&Term>) -> Term {
        let FrictionTable { context, rules, given, columns } = self.table;
        let system = fitting_loss::system(context, &given.materials[self.position]);
        let key = Term::join(&[&Term::text(format!("{system} ")), size]);
        let row = book.put(self.at, columns.fitting_row, Term::row_of(&key, &rules.fittings.key));
        let bends = self.run.bends.figure(book);
        let elbow = Term::at(&rules.fittings.elbow, &row);
        let elbows = match bend {
            Some(part) => part.same(&Term::text(ELBOW)).pick(&(bends * elbow), &Term::number(0)),
            None => bends * elbow,
        };
        match given.entries[self.position] {
            Entry::Supply => elbows,
            Entry::Coupling => Term::at(&rules.fittings.coupling, &row) + elbows,
            Entry::TeeRun => Term::at(&rules.fittings.tee_run, &row) + elbows,
            Entry::TeeBranch => Term::at(&rules.fittings.tee_branch, &row) + elbows,
        }
    }

    /// Both methods, in cells of their own; the one in use comes back, psi per 100 ft.
    pub(super) fn put_methods(&self, book: &mut Book, pipe: &PipeOfRun, flow: &Flow) -> Term {
        let FrictionTable { context, rules, given, columns } = self.table;
        let Flow { demand, bore, velocity } = flow;
        let roughness = Term::at(&rules.pipe.roughness_millionths, &pipe.row) / Term::number(1_000_000);
        // Never under 1: still water has no factor, and loses nothing at velocity 0 whatever its factor.
        let reynolds = friction::reynolds(velocity, bore, &given.water.viscosity_ft2_s).max(&Term::number(1));
        let reynolds = book.put(self.at, columns.reynolds, reynolds);
        let turbulent = book.put(self.at, columns.turbulent, friction::turbulent_factor(&reynolds, &roughness, bore));
        let factor = book.put(self.at, columns.factor, friction::factor(&reynolds, &turbulent));
        let darcy = friction::darcy_weisbach_psi_per_100_ft(&factor, velocity, bore, &rules.psi_per_ft);
        let darcy = book.put(self.at, columns.darcy, darcy);
        let c = Term::at(&rules.pipe.c, &pipe.row);
        let hazen = friction::hazen_williams_psi_per_100_ft(demand, &c, bore, &rules.psi_per_ft);
        let hazen = book.put(self.at, columns.hazen, hazen);
        if &*context.job.text(Setting::LossMethod) == "Darcy-Weisbach" { darcy } else { hazen }
    }
}
