//! What a device in the line loses at a flow, from what it loses at its rated flow.

use crate::figure::Number;
use rust_decimal::{Decimal, dec};

/// Rounding slack, psi: half of the sixth decimal that the bid's checks round to.
pub(crate) const SLACK_PSI: f64 = 5e-7;

/// Loss in psi: rated loss x (flat + (1 - flat) x (gpm/rated)²). `flat` is the share that does not depend on flow: 0
/// for meters, softeners, filters and heaters (loss goes with the square of the flow), near 1 for backflow preventers,
/// whose springs cost much the same at any flow. 0 at no flow. `rated_gpm` > 0.
pub(crate) fn loss<N: Number>(gpm: &N, rated_gpm: &N, rated_loss_psi: &N, flat: &N) -> N {
    let square = (gpm.clone() / rated_gpm.clone()).pow(Decimal::TWO);
    let share = flat.clone() + (N::of(Decimal::ONE) - flat.clone()) * square;
    let flowing = rated_loss_psi.clone() * share;
    // A drop of less than a millionth of a gpm is no flow.
    N::pick(gpm.at_least(&N::of(dec!(0.000001))), &flowing, &N::of(Decimal::ZERO))
}

/// Pressure behind a regulator: the inlet less its own loss, but never more than the share of its setting that the
/// code lets sizing count on, nor than the setting less its fall-off, which grows with the flow.
pub(crate) fn regulated<N: Number>(inlet_psi: &N, loss_psi: &N, set_psi: &N, share: &N, falloff_psi: &N) -> N {
    let counted = (set_psi.clone() * share.clone()).smaller(&(set_psi.clone() - falloff_psi.clone()));
    counted.smaller(&(inlet_psi.clone() - loss_psi.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_softener_loses_with_the_square_of_the_flow() {
        // Public water-treatment education page: 6.0 psi at 4 gpm; half the flow loses a quarter.
        assert_eq!(loss(&2.0, &4.0, &6.0, &0.0), 1.5);
        assert_eq!(loss(&0.0, &4.0, &6.0, &0.9), 0.0);
    }

    #[test]
    fn a_regulator_counts_the_least_of_its_three_limits() {
        assert_eq!(regulated(&100.0, &5.0, &60.0, &0.8, &10.0), 48.0);
        assert_eq!(regulated(&100.0, &5.0, &60.0, &0.8, &20.0), 40.0);
        assert_eq!(regulated(&45.0, &5.0, &60.0, &0.8, &0.0), 40.0);
    }
}
