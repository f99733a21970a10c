//! A well's pressure tank and pump: what the tank gives between cut-out and cut-in, and how long the pump runs to put it
//! back. By Boyle's law in absolute pressures: the air of a tank charged to P0 fills V (P0 + a) / (P + a) at a pressure P.

use super::Context;
use super::rule_tables::{LEAST_RUN, RuleTables, UNDER_CUT_IN};
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::model::Setting;
use crate::sheets::Page;
use crate::subjects::water::findings::loads::{PrechargeAssumed, PrechargeOverCutIn, PumpRunShort, TankNotJudged};
use crate::table::List;
use crate::unit::Unit;
use rust_decimal::{Decimal, dec};

/// Air at sea level, psi, and how it falls with feet of altitude: a (1 - b h) ^ c. U.S. Standard Atmosphere, 1976.
const AIR_PSI: Decimal = dec!(14.696);
const AIR_FALLS: Decimal = dec!(0.00000687559);
const AIR_POWER: Decimal = dec!(5.25588);

/// What the figures say where a setting is blank.
const UNKNOWN: &str = "not known";
pub(in crate::subjects::water) const SHORT: &str = "short run";

/// Puts the figures of a job on a well, and what is wrong with them. Gives `OK`, `short run` or `not known`, live.
pub(super) fn put(
    book: &mut Book,
    context: &Context,
    tables: &RuleTables,
    findings: &mut Vec<Finding>,
) -> Option<Term> {
    if &*context.job.text(Setting::Supply) != "well" {
        return None;
    }
    let figures = Well::put(book, context, tables);
    figures.find(context, findings);
    Some(figures.check)
}

struct Well {
    cut_in: Term,
    cut_out: Term,
    usual_precharge: Term,
    precharge: Term,
    tank: Term,
    draw_down: Term,
    pump: Term,
    run: Term,
    least: Term,
    smallest: Term,
    check: Term,
}

fn line(book: &mut Book, list: List, words: &str, term: Term, unit: Unit) -> Term {
    let row = list.label(book, words);
    let term = book.put_or_state(row, list.value, term, "not given");
    book.unit(&term, unit);
    term
}

impl Well {
    fn put(book: &mut Book, context: &Context, tables: &RuleTables) -> Self {
        let title = "The well's pressure tank and pump";
        let list = List::put(book, context.page(Page::Sizing), title, [0.0; 2], Unit::Psi);
        let setting = |setting| context.settings.get(setting);
        let limit = |name: &str, otherwise: Decimal| tables.limit(name).unwrap_or_else(|| Term::number(otherwise));
        let unknown = Term::text(UNKNOWN);
        let cut_in = line(book, list, "Cut-in: Supply pressure", setting(Setting::SupplyPressure), Unit::Psi);
        let cut_out = line(book, list, "Cut-out: Highest pressure", setting(Setting::HighestPressure), Unit::Psi);
        let typed = setting(Setting::Precharge);
        let usual = &cut_in - limit(UNDER_CUT_IN, Decimal::TWO);
        let precharge = typed.is_blank().pick(&usual, &typed);
        let precharge = line(book, list, "Precharge", precharge, Unit::Psi);
        let altitude = setting(Setting::Altitude);
        let altitude = altitude.is_blank().pick(&Term::number(0), &altitude);
        let thinner = Term::number(1) - altitude * Term::number(AIR_FALLS);
        let air = Term::number(AIR_PSI) * thinner.pow(&Term::number(AIR_POWER));
        let air = line(book, list, "Air at the job's Altitude, absolute", air, Unit::Psi);
        let tank = line(book, list, "Tank gallons", setting(Setting::TankGallons), Unit::Gallons);
        // A tank charged over the cut-in is empty before the pump starts.
        let low = cut_in.max(&precharge);
        let charged = &precharge + &air;
        let part = &charged / (low + &air) - &charged / (&cut_out + &air);
        let part = cut_out.is_blank().pick(&unknown, &part.max(&Term::number(0)));
        let part = line(book, list, "Share of the tank that is drawn down", part, Unit::Percent);
        let draw_down = (&tank * &part).or_if_fault(&unknown);
        let draw_down = tank.is_blank().pick(&unknown, &draw_down);
        let draw_down = line(book, list, "Draw-down, cut-out to cut-in", draw_down, Unit::Gallons);
        let pump = line(book, list, "Pump gpm", setting(Setting::PumpGpm), Unit::Gpm);
        let run = (&draw_down / &pump).or_if_fault(&unknown);
        let run = pump.is_blank().pick(&unknown, &run);
        let run = line(book, list, "Pump runs at each start, at least, minutes", run, Unit::Quantity);
        let least = line(book, list, "It should run, minutes", limit(LEAST_RUN, Decimal::ONE), Unit::Quantity);
        let smallest = (&least * &pump / &part).or_if_fault(&unknown);
        let smallest = line(book, list, "Tank gallons for that", smallest, Unit::Gallons);
        let short = least.round(6).above(&run.round(6)).flag(SHORT);
        let check = run.is_number().pick(&short.or_if_fault(&unknown), &unknown);
        let check = line(book, list, "Does the pump run long enough?", check, Unit::None);
        Self { cut_in, cut_out, usual_precharge: usual, precharge, tank, draw_down, pump, run, least, smallest, check }
    }

    fn find(&self, context: &Context, findings: &mut Vec<Finding>) {
        let place = |setting: Setting| context.job.settings.get(&setting).and_then(|field| field.cell.clone());
        let at_supply = place(Setting::Supply);
        let near = |setting: Setting| place(setting).or(at_supply.clone());
        let wanted = [
            (Setting::HighestPressure, "Highest pressure"),
            (Setting::TankGallons, "Tank gallons"),
            (Setting::PumpGpm, "Pump gpm"),
        ];
        let mut missing: Vec<String> = wanted
            .iter()
            .filter(|(setting, _)| context.settings.is_blank(*setting))
            .map(|(_, name)| (*name).to_owned())
            .collect();
        let (cut_in, cut_out) = (self.cut_in.value().as_f64(), self.cut_out.value().as_f64());
        if missing.is_empty() && cut_out <= cut_in {
            missing.push("a Highest pressure over the Supply pressure".to_owned());
        }
        let shown = |term: &Term, digits: u32| {
            let number = term.value().as_f64();
            let rounded = Decimal::from_f64_retain(number).unwrap_or_default().round_dp(digits);
            rounded.normalize().to_string()
        };
        let known = missing.is_empty();
        if !known {
            findings.push(Finding::near(near(Setting::Supply).as_ref(), TankNotJudged { missing }));
        } else if *self.check.value() == crate::figure::Value::text(SHORT) {
            let short = PumpRunShort {
                run: shown(&self.run, 2),
                least: shown(&self.least, 2),
                draw_down: shown(&self.draw_down, 1),
                tank: shown(&self.tank, 1),
                pump: shown(&self.pump, 1),
                range: format!("{}/{}", shown(&self.cut_in, 0), shown(&self.cut_out, 0)),
                smallest: self.smallest.value().as_f64().ceil().to_string(),
                charge_to: (cut_in - self.precharge.value().as_f64() > LOW_CHARGE_PSI)
                    .then(|| shown(&self.usual_precharge, 0)),
            };
            findings.push(Finding::near(near(Setting::TankGallons).as_ref(), short));
        }
        let precharge = shown(&self.precharge, 1);
        if context.settings.is_blank(Setting::Precharge) {
            if known {
                findings.push(Finding::near(near(Setting::Precharge).as_ref(), PrechargeAssumed { precharge }));
            }
        } else if self.precharge.value().as_f64() > cut_in {
            let cut_in = shown(&self.cut_in, 1);
            findings.push(Finding::near(near(Setting::Precharge).as_ref(), PrechargeOverCutIn { precharge, cut_in }));
        }
    }
}

/// A tank charged so far under the cut-in, psi, wants air before it wants to be larger: common practice is 2 psi under.
const LOW_CHARGE_PSI: f64 = 5.0;
