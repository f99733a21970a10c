//! What every run may choose from, before pressure is looked at: its velocity limit, and the size of what feeds it.

use super::search::Search;

/// What the runs may choose from, by position.
#[derive(Debug, Clone)]
pub(crate) struct Choices {
    /// Options that are not too fast, in rising order of size; the largest alone where all that fit are. A size that
    /// somebody gave stands as it is. Empty where a run comes in no size at all.
    pub usable: Vec<Vec<usize>>,
    /// The run may be no larger than the run that feeds it: both are new and the engine chooses both sizes.
    pub bound: Vec<bool>,
}

impl Choices {
    /// Larger than the largest that its feeder may have, no bound run can be: such options are left out here, so that
    /// whatever the pressures, some sizes fit together. Pipe that comes in no size so small is not bound.
    pub(crate) fn of(search: &Search) -> Self {
        let count = search.runs.len();
        let mut choices = Self { usable: Vec::with_capacity(count), bound: Vec::with_capacity(count) };
        for run in &search.runs {
            let chosen_anew = |position: usize| search.runs[position].new && search.runs[position].fixed.is_none();
            let feeder = run.parent.filter(|feeder| run.new && run.fixed.is_none() && chosen_anew(*feeder));
            let largest = feeder.and_then(|feeder| {
                choices.usable[feeder].last().map(|option| search.runs[feeder].options[*option].size)
            });
            let fits = |option: &usize| largest.is_none_or(|largest| run.options[*option].size <= largest);
            let all: Vec<usize> = (0..run.options.len()).collect();
            let fitting: Vec<usize> = all.iter().copied().filter(fits).collect();
            let bound = largest.is_some() && !fitting.is_empty();
            let open = if bound { fitting } else { all };
            let slow: Vec<usize> = open.iter().copied().filter(|option| !run.options[*option].fast).collect();
            choices.usable.push(match run.fixed {
                Some(fixed) => vec![fixed],
                None if slow.is_empty() => open.last().copied().into_iter().collect(),
                None => slow,
            });
            choices.bound.push(bound);
        }
        choices
    }

    /// Whether a run in this option may stand behind its feeder in that one.
    pub(crate) fn fits(
        &self,
        search: &Search,
        (run, option): (usize, usize),
        (feeder, of_feeder): (usize, usize),
    ) -> bool {
        !self.bound[run] || search.runs[run].options[option].size <= search.runs[feeder].options[of_feeder].size
    }
}
