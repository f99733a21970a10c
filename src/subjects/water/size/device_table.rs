//! Devices in the line, as figures: the pressure before and behind each at the flow of its run.

use super::devices::InLine;
use super::rule_tables::RuleTables;
use super::{Context, device_loss};
use crate::figure::{Book, ColumnId, RowId, Term};
use crate::table::columns;

columns! {
    struct DeviceColumns on Sizing("Devices in the line") {
        device: "Device", words;
        run: "On run", words;
        kind: "Kind", words;
        demand: "Demand", Gpm;
        rated: "Rated at", Gpm;
        loss_rated: "Loss when rated", Psi;
        flat: "Share that stays", Percent;
        set: "Set to", Psi;
        falloff: "Fall-off", Psi;
        inlet: "Psi in", Psi;
        outlet: "Psi out", Psi;
        loss: "Loss", Psi;
    }
}

/// The table, and what its rows are figured from.
pub(super) struct DeviceTable<'a> {
    context: &'a Context<'a>,
    rules: &'a RuleTables,
    columns: DeviceColumns,
    rows: Vec<(RowId, &'a InLine)>,
}

impl<'a> DeviceTable<'a> {
    pub(super) fn put(book: &mut Book, context: &'a Context<'a>, rules: &'a RuleTables, devices: &'a [InLine]) -> Self {
        let columns = DeviceColumns::on_page(book, context);
        let rows = devices.iter().map(|device| (book.row(columns.table), device)).collect();
        Self { context, rules, columns, rows }
    }

    /// The devices of a run that begins with the pressure `start`, each with its loss, psi.
    pub(super) fn put_run(
        &self,
        book: &mut Book,
        position: usize,
        start: &Term,
        demand: &Term,
    ) -> Vec<(usize, usize, Term)> {
        let mut losses = Vec::new();
        let mut inlet = start.clone();
        for (row, device) in self.rows.iter().filter(|(_, device)| device.position == position) {
            let (outlet, loss) = self.put_device(book, (*row, device), &inlet, demand);
            losses.push((device.device, position, loss));
            inlet = outlet;
        }
        losses
    }

    /// Pressure behind a device and what it took, psi.
    fn put_device(
        &self,
        book: &mut Book,
        (row, device): (RowId, &InLine),
        inlet: &Term,
        demand: &Term,
    ) -> (Term, Term) {
        let columns = &self.columns;
        let input = &self.context.job.devices[device.device];
        let kind = input.kind.as_written(book);
        for (column, words) in
            [(columns.device, input.name.figure(book)), (columns.run, input.on_run.figure(book)), (columns.kind, kind)]
        {
            book.put(row, column, words);
        }
        let demand = book.put(row, columns.demand, demand.clone());
        let rated = put_figure(book, row, columns.rated, &device.rated_gpm);
        let loss_rated = put_figure(book, row, columns.loss_rated, &device.loss_psi);
        let flat = put_figure(book, row, columns.flat, &device.flat);
        let inlet = book.put(row, columns.inlet, inlet.clone());
        let loss = device_loss::loss(&demand, &rated, &loss_rated, &flat);
        match &device.regulator {
            None => {
                let loss = book.put(row, columns.loss, loss);
                (book.put(row, columns.outlet, &inlet - &loss), loss)
            }
            Some(regulator) => {
                let set = book.put(row, columns.set, regulator.set_psi.clone());
                let falloff = &regulator.falloff_psi * &demand / &regulator.falloff_gpm;
                let falloff = book.put(row, columns.falloff, falloff);
                let out = device_loss::regulated(&inlet, &loss, &set, &self.rules.regulator_share, &falloff);
                let out = book.put(row, columns.outlet, out);
                (out.clone(), book.put(row, columns.loss, &inlet - &out))
            }
        }
    }
}

/// Points at the figure, or writes a constant as a plain number.
fn put_figure(book: &mut Book, row: RowId, column: ColumnId, term: &Term) -> Term {
    book.put_or_state(row, column, term.clone(), "counted as without loss")
}
