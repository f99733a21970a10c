//! What a stick or coil is cut from, by name: an offer of Prices, something bought already, something on hand.

use super::Context;
use super::offer_name::{self, OfferName};
use super::pipe::{Pipe, Source, StockName};
use crate::model::fold;
use crate::rules::fits;
use crate::takeoff::Line;

/// What each source is called: the offer's name among those of the line, or which piece of what is on hand.
pub(super) fn origins(context: &Context, line: &Line, sources: &[Source]) -> Vec<StockName> {
    let offer_names = offer_name::of_line(context.job, context.rules, line);
    let offer = |index: usize| offer_names.iter().find(|(row, _)| *row == index).cloned();
    let on_hand: Vec<usize> = (0..context.job.on_hand.len())
        .filter(|index| fits(context.rules, &line.item, &context.job.on_hand[*index]))
        .collect();
    let from = |source: &Source| match *source {
        Source::Offer(index) | Source::ByFoot(index) => {
            let offer = offer(index);
            StockName { text: offer.as_ref().map(|(_, name)| name.text().to_owned()).unwrap_or_default(), offer }
        }
        Source::Bought(index) => {
            let offer = offer(index);
            StockName { text: offer.as_ref().map(|(_, name)| offer_name::bought(name)).unwrap_or_default(), offer }
        }
        Source::OnHand(index) => {
            let number = on_hand.iter().position(|row| *row == index).unwrap_or_default() + 1;
            StockName { text: format!("on hand, no. {number}"), offer: None }
        }
    };
    sources.iter().map(from).collect()
}

/// The stock that a choice means: by its name, else as the offers of the line are told apart now.
pub(super) fn source_of(context: &Context, pipe: &Pipe, written: &str) -> Option<usize> {
    let same = |at: &usize| fold(&pipe.from[*at].text) == fold(written);
    let all = || 0..pipe.sources.len().min(pipe.from.len());
    all().find(same).or_else(|| {
        let bought = written.strip_prefix("bought from ");
        let offer_names: Vec<(usize, OfferName)> = pipe.from.iter().filter_map(|from| from.offer.clone()).collect();
        let row = offer_name::meant(context.job, &offer_names, bought.unwrap_or(written))?;
        all().find(|at| match pipe.sources[*at] {
            Source::Bought(index) => bought.is_some() && index == row,
            Source::Offer(index) | Source::ByFoot(index) => bought.is_none() && index == row,
            Source::OnHand(_) => false,
        })
    })
}
