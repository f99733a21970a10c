//! The Job sheet: Item and Value -> settings.

use super::carried_sheets::KeptSheet;
use crate::finding::{Sink, excerpt, nearest};
use crate::input::cell::{Blank, Cell, shown};
use crate::input::findings::{DuplicateName, MarginOnCost, StaticPressureAlone, UnknownSetting, WrongKind};
use crate::input::{Cells, JOB, MoreSettings, rows};
use crate::model::{CODES, Field, Job, Raw, Setting, SettingKind, SettingValue, code_basis, fold, parse_percent};
use crate::place::Place;
use crate::subjects;
use crate::unit::Unit;
use std::collections::BTreeMap;

/// Reads the settings of a Job sheet whose headings are known.
pub(super) fn read(sheet: &KeptSheet, job: &mut Job, sink: &mut Sink) {
    job.more_settings = MoreSettings::below(sheet);
    let mut first: BTreeMap<Setting, Place> = BTreeMap::new();
    // Whether a margin is the profit is known once Markup has been read, wherever that stands.
    let (mut margins, rest): (Vec<Cells>, Vec<Cells>) = rows(sheet, &JOB).partition(|row| {
        matches!(row.under("Item").raw(), Raw::Text(text) if Setting::is_margin(text)) && !row.under("Value").is_blank()
    });
    let mut by_static: Option<Place> = None;
    let mut read: Vec<Cells> = rest;
    read.append(&mut margins);
    for row in read {
        let item = Cell { blank: Blank::Fine, ..row.under("Item") };
        let value = row.under("Value");
        let Some(name) = item.text(sink).value else {
            // A note or a unit alone is nobody's setting; a value alone is somebody's.
            if !value.is_blank() {
                Cell { blank: Blank::Stop, ..item }.text(sink);
            }
            continue;
        };
        let on_price = job.setting(Setting::Markup) == Some(SettingValue::Text("on price".into()));
        let margin = Setting::is_margin(&name);
        if margin && !on_price && !value.is_blank() {
            item.find(sink, MarginOnCost { found: excerpt(&name), value: shown(value.raw()) });
            continue;
        }
        let found = Setting::find(&name).or(margin.then_some(Setting::Profit));
        let Some(setting) = found else {
            // An item without a value that we do not know is a title between the items.
            if !value.is_blank() {
                let names = subjects::settings().flat_map(|setting| setting.names());
                let look = item.place.as_ref().is_none_or(|place| sink.has_room(place));
                let near = || nearest(&name, names).and_then(Setting::find).filter(|_| look);
                let near = Setting::perhaps(&name).or_else(near).map(Setting::name);
                item.find(sink, UnknownSetting { found: excerpt(&name), nearest: near });
            }
            continue;
        };
        match (&item.place, first.get(&setting)) {
            (Some(_), Some(before)) => {
                let name = setting.name().to_owned();
                item.find(sink, DuplicateName { what: "item", name, first: before.to_string() });
                continue;
            }
            (Some(place), None) => {
                if Setting::is_static_reading(&name) && !value.is_blank() {
                    by_static = Some(place.clone());
                }
                first.insert(setting, place.clone());
            }
            (None, _) => (),
        }
        let field = value_of(setting, &row, value, sink);
        job.settings.insert(setting, field);
    }
    // Without a flow reading the pipe would be sized on the default, and nobody would know.
    let flowing = job.settings.get(&Setting::SupplyPressure).is_some_and(|field| !field.is_blank());
    if let (Some(place), false) = (by_static, flowing) {
        let used = Setting::SupplyPressure.spec().default;
        sink.at(&place, StaticPressureAlone { used });
    }
}

fn value_of(setting: Setting, row: &Cells, value: Cell, sink: &mut Sink) -> Field<SettingValue> {
    let spec = setting.spec();
    let unit = row.under("Unit").text(&mut Sink::default());
    let cell = Cell { column: spec.name, blank: Blank::Fine, needed: true, ..value };
    let field = match spec.kind {
        _ if setting == Setting::FittingsLoss => return fittings_loss(&cell, sink),
        SettingKind::Text => cell.text(sink).map(SettingValue::Text),
        SettingKind::Number(of) => {
            // Temperatures and heights go below zero; nothing else does.
            let negative = matches!(of, Unit::Fahrenheit | Unit::Feet);
            Cell { unit: of.symbol(), ..cell }.number(sink, negative).map(SettingValue::Number)
        }
        SettingKind::Percent => cell.percent(sink, false).map(SettingValue::Number),
        SettingKind::Size => cell.size(sink).map(SettingValue::Size),
        SettingKind::Date => cell.date(sink).map(SettingValue::Date),
        SettingKind::Choice(CODES) => {
            let expected = format!("one of: {}; an edition may follow, as in IRC 2021", CODES.join(", "));
            cell.expecting(sink, &expected, |raw, _| match raw {
                Raw::Text(text) => code_basis(text).map(|code| SettingValue::Text(code.into())),
                _ => None,
            })
        }
        SettingKind::Choice(list) => cell.word(list, sink).map(SettingValue::Text),
    };
    if let (SettingKind::Number(of), Some(typed)) = (spec.kind, unit.value)
        && foreign(of, &typed)
        && let Some(place) = unit.cell
    {
        let expected = of.symbol().to_owned();
        let facts =
            WrongKind { column: format!("Unit of {}", spec.name), found: excerpt(&typed), expected, needed: true };
        sink.at(&place, facts);
    }
    field
}

/// `by fitting`, `none`, or a share of the length.
fn fittings_loss(cell: &Cell, sink: &mut Sink) -> Field<SettingValue> {
    const WORDS: &[&str] = &["by fitting", "none"];
    match cell.raw() {
        Raw::Text(text) if parse_percent(text).is_none() => {
            cell.expecting(sink, "by fitting, none, or a percent of the length such as 50%", |_, _| {
                let wanted = fold(text);
                WORDS.iter().find(|w| fold(w) == wanted).map(|w| SettingValue::Text((*w).into()))
            })
        }
        _ => cell.percent(sink, false).map(SettingValue::Number),
    }
}

/// True when the Unit column names a unit that is known not to be the setting's: a value in bar is not in psi.
fn foreign(of: Unit, typed: &str) -> bool {
    const KNOWN: &[(Unit, &[&str])] = &[
        (Unit::Psi, &["psi", "psig", "lb/in2"]),
        (Unit::Fahrenheit, &["f", "degf", "fahrenheit"]),
        (Unit::Inches, &["in", "inch", "inches"]),
        (Unit::Feet, &["ft", "feet", "foot"]),
        (Unit::FeetPerSecond, &["ft/s", "fps"]),
        (Unit::Gpm, &["gpm", "gal/min"]),
        (Unit::Gallons, &["gal", "gallon", "gallons"]),
        (
            Unit::None,
            &["bar", "kpa", "c", "degc", "celsius", "m", "mm", "cm", "m/s", "l/min", "lpm", "l", "liter", "liters"],
        ),
    ];
    let typed = fold(typed);
    let known = KNOWN.iter().find(|(_, spellings)| spellings.contains(&typed.as_str()));
    known.is_some_and(|(unit, _)| *unit != of) && KNOWN.iter().any(|(unit, _)| *unit == of)
}
