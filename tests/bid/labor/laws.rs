//! Laws of hours, over jobs that a program thinks up.

use super::rows::tasks;
use crate::support::plan::plan;
use proptest::prelude::*;
use rust_decimal::Decimal;
use tallybore::model::{Phase, Status};

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Every foot of new pipe is run at one place, every end that is joined is joined at one, and no hour is lost between
    /// the phases and those who do them.
    #[test]
    fn places_share_out_the_feet_and_the_ends(plan in plan()) {
        let made = plan.made();
        let priced = made.price();
        let rows = tasks(&priced.book);
        let sum = |verb: &str| -> Decimal {
            rows.iter().filter(|row| row.task.starts_with(verb)).map(|row| row.quantity).sum()
        };
        let new = made.job.runs.iter().filter(|run| run.status.get().unwrap_or_default() == Status::New);
        let feet: Decimal = new.map(|run| run.length_ft.value.unwrap_or_default()).sum();
        prop_assert_eq!(sum("run "), feet);
        let ends: Decimal = priced.take_off.parts.counts.iter().map(|count| {
            let joined = count.ends.iter().filter(|end| !end.value().to_string().is_empty()).count();
            count.quantity.value().as_decimal().unwrap() * Decimal::from(joined)
        }).sum();
        prop_assert_eq!(sum("joint "), ends);
        let hours: Decimal = rows.iter().map(|row| row.hours).sum();
        prop_assert_eq!(Some(hours), priced.labor.total.value().as_decimal());
        let by_phase: Decimal = Phase::ALL.iter().map(|phase| priced.labor.in_phase(*phase).value().as_decimal().unwrap()).sum();
        prop_assert_eq!(by_phase, hours);
        for row in &rows {
            prop_assert_eq!(row.hours, (row.quantity * row.each * row.factor).round_dp_with_strategy(4, rust_decimal::RoundingStrategy::MidpointAwayFromZero));
        }
    }
}
