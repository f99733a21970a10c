//! What things are called at a counter, and what an order asks for besides: parts for drinking water, one joining system,
//! no substitutes without a call.

use super::{Context, Order, OrderLine};
use crate::model::{Fixture, Job, Setting, vocabulary};
use crate::parts::is_ring;
use crate::rules::{BY_SIZE_GROUP, Item, SUPPORTS_GROUP};
use rust_decimal::Decimal;

/// The words of a line: `PEX metal insert tee`, and what follows them.
#[derive(Debug, Clone)]
pub(crate) struct Words {
    pub item: String,
    quote: bool,
}

/// `description` is what Prices says of it.
pub(crate) fn item(context: &Context, item: &Item, water: &str, description: &str, quote: bool) -> Words {
    let row = context.rules.picking(&item.kind).map(|(_, row)| row);
    let kind = row.map_or(item.kind.as_str(), |row| &row.words);
    let is_fitting = row.is_some_and(|row| &*row.group == BY_SIZE_GROUP);
    let holds_pipe = row.is_some_and(|row| &*row.group == SUPPORTS_GROUP) && !item.material.is_empty();
    // Fittings are the same for all walls of copper tube.
    let material = match item.material.split_once(' ') {
        Some(("copper", _)) if is_fitting || holds_pipe => "copper",
        _ => item.material.as_str(),
    };
    let fittings = context.job.text(Setting::Fittings);
    let system = if is_fitting && item.material == "PEX" && !is_ring(item) { &*fittings } else { "" };
    let (material, kind) = match material {
        // Galvanized steel on copper eats both.
        "copper" if holds_pipe => ("", format!("{kind} for copper, copper-plated or plastic-coated")),
        material if holds_pipe => ("", format!("{kind} for {material}")),
        _ => (material, kind.to_owned()),
    };
    let mut words = [material, system, &kind].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    match water {
        "cold" => words.push_str(", for cold (blue)"),
        "hot" => words.push_str(", for hot (red)"),
        _ => {}
    }
    if !description.is_empty() {
        words = format!("{words}, {description}");
    }
    Words { item: plain(&words), quote }
}

/// Its size, and the ends that it is bought with: a device's own where Prices does not say others.
pub(crate) fn size(context: &Context, item: &Item) -> String {
    let own = vocabulary::device_kind(&item.kind).and_then(|kind| context.rules.device_ends_said(kind));
    match own.filter(|_| item.ends.is_empty()) {
        Some(ends) => item.clone().with_ends(&ends).sizes_and_ends(),
        None => item.sizes_and_ends(),
    }
}

impl Words {
    /// With the lengths it is wanted in: `PE pipe, in 2 pieces of 62 ft, 1 of 14 ft`.
    pub(crate) fn with_pieces(&self, mut pieces: Vec<Decimal>) -> String {
        if pieces.is_empty() {
            return self.item.clone();
        }
        pieces.sort_unstable_by(|a, b| b.cmp(a));
        let mut counted: Vec<(Decimal, usize)> = Vec::new();
        for feet in pieces {
            match counted.last_mut() {
                Some((last, count)) if *last == feet => *count += 1,
                _ => counted.push((feet, 1)),
            }
        }
        let word = |count: usize| if count == 1 { "piece" } else { "pieces" };
        let listed = counted.iter().enumerate().map(|(at, (feet, count))| match at {
            0 => format!("{count} {} of {} ft", word(*count), feet.normalize()),
            _ => format!("{count} of {} ft", feet.normalize()),
        });
        let listed = listed.collect::<Vec<_>>().join(", ");
        let joined = if self.quote { ", unjoined" } else { "" };
        format!("{}, in {listed}{joined}", self.item)
    }
}

/// `Brookfern Tarn 128, white`
pub(crate) fn described(fixture: &Fixture) -> String {
    let [maker, model, finish] = [&fixture.maker, &fixture.model, &fixture.finish].map(|field| plain(field.text()));
    let name = [maker, model].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    [name, finish].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ")
}

/// The conditions of an order, a sentence or two each.
pub(crate) fn conditions(job: &Job, order: &Order) -> Vec<String> {
    let any = |is: &dyn Fn(&OrderLine) -> bool| order.lines.iter().any(is);
    let is = |setting: Setting, word: &str| &*job.text(setting) == word;
    let mut all = Vec::new();
    if is(Setting::LeadFree, "yes") {
        all.push(
            "Whatever touches drinking water: certified to NSF/ANSI/CAN 61, and as lead free to NSF/ANSI/CAN 372; marked so on \
             the part or its pack."
                .to_owned(),
        );
    }
    if any(&|line| line.key.material == "PEX") {
        all.push(format!(
            "PEX fittings and rings: {} fittings joined with {}; pipe, fittings and rings certified to be used together. Do \
             not mix them with parts of another system.",
            job.text(Setting::Fittings),
            rings(&job.text(Setting::Joining)),
        ));
    }
    if any(&|line| line.key.kind.ends_with(" trim")) {
        all.push("Valve bodies and their trim: of one maker and series.".to_owned());
    }
    if any(&|line| !line.key.water.is_empty()) {
        all.push("Colored pipe: ship the color shown, even if the part no. is for another color.".to_owned());
    }
    all.push(
        match &*job.text(Setting::Substitutes) {
            "none" => "No substitutions. Mark unavailable items.",
            "as good" => "Substitutes of the same size, system and certification may be sent; write their part no. beside the line.",
            _ => "No substitutions without approval. Note it on the line and call before shipping.",
        }
        .to_owned(),
    );
    if any(&|line| line.key.unit == "coil") {
        let words = match is(Setting::CoilsMayBeCut, "yes") {
            true => {
                "Coils may be cut from longer ones to the length written, in one piece; never pieced from shorter ones."
            }
            false => "Ship full coils of the length shown, uncut.",
        };
        all.push(words.to_owned());
    }
    let returns = plain(&job.text(Setting::Returns));
    if !returns.is_empty() {
        all.push(format!("Returns: {}.", returns.trim_end_matches('.')));
    }
    let note = plain(&job.text(Setting::OrderNote));
    if !note.is_empty() {
        all.push(note);
    }
    all
}

fn rings(joining: &str) -> &'static str {
    match joining {
        "clamp" => "clamp rings",
        "expansion" => "expansion rings",
        _ => "crimp rings",
    }
}

/// Two spellings of one name are one supplier: case and spaces do not matter. Empty where nobody is named.
pub(crate) fn supplier_key(name: &str) -> String {
    plain(name).to_lowercase()
}

/// Words fit for one line of paper: control characters are spaces, and signs that turn the reading direction around are
/// left out, since with them a part number can be made to read as another one.
pub(crate) fn plain(text: &str) -> String {
    let turns =
        |c: char| matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let plain: String = text
        .chars()
        .filter(|c| !turns(*c))
        .map(|c| if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') { ' ' } else { c })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}
