//! Which phase a pack is ordered for: the first that needs any of it.

use crate::model::Phase;
use rust_decimal::Decimal;

/// Units of each phase.
pub(crate) type ByPhase = [Decimal; 4];

/// So many packs, each of `pack` pieces or feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Packs {
    pub pack: Decimal,
    /// Whole.
    pub count: Decimal,
}

/// Hands packs to phases. `needs` are the pieces or feet of each phase; the first `there` of them are there already. The
/// packs are used up one after another, in the order given; a pack goes to the phase in which its first piece is used, and
/// spare packs to the last phase that needs any. For each of `packs` its Units by phase, which add up to its count.
pub(crate) fn first_needed(needs: &ByPhase, there: Decimal, packs: &[Packs]) -> Vec<ByPhase> {
    let last = (0..4).rev().find(|phase| needs[*phase] > Decimal::ZERO).unwrap_or(Phase::RoughIn as usize);
    let mut begin = there.max(Decimal::ZERO);
    packs
        .iter()
        .map(|packs| {
            let mut by_phase = ByPhase::default();
            let (mut until, mut given) = (Decimal::ZERO, Decimal::ZERO);
            for phase in 0..4 {
                until += needs[phase];
                // So many packs begin before the need of the phases so far ends.
                let open = (until - begin).max(Decimal::ZERO);
                let wanted = open.checked_div(packs.pack).map_or(Decimal::ZERO, |packs| packs.round_dp(6).ceil());
                let so_far = wanted.min(packs.count).max(given);
                by_phase[phase] = so_far - given;
                given = so_far;
            }
            by_phase[last] += packs.count - given;
            begin += packs.pack.checked_mul(packs.count).unwrap_or(Decimal::MAX / Decimal::from(4));
            by_phase
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers<const N: usize>(numbers: [i64; N]) -> [Decimal; N] {
        numbers.map(Decimal::from)
    }

    fn packs(pack: i64, count: i64) -> Packs {
        Packs { pack: pack.into(), count: count.into() }
    }

    #[test]
    fn a_bag_opened_underground_is_ordered_for_it_once() {
        // 4 rings underground, 60 at rough-in, bags of 50: the first bag serves both.
        let given = first_needed(&numbers([4, 60, 0, 0]), Decimal::ZERO, &[packs(50, 2)]);
        assert_eq!(given, [numbers([1, 1, 0, 0])]);
    }

    #[test]
    fn what_is_there_serves_the_first_phases() {
        let given = first_needed(&numbers([4, 6, 3, 0]), 5.into(), &[packs(1, 8)]);
        assert_eq!(given, [numbers([0, 5, 3, 0])]);
    }

    #[test]
    fn spare_packs_come_with_the_last_that_are_needed() {
        let given = first_needed(&numbers([0, 10, 2, 0]), Decimal::ZERO, &[packs(10, 1), packs(1, 5)]);
        assert_eq!(given, [numbers([0, 1, 0, 0]), numbers([0, 0, 5, 0])]);
        let given = first_needed(&numbers([0, 0, 0, 0]), 7.into(), &[packs(3, 2)]);
        assert_eq!(given, [numbers([0, 2, 0, 0])]);
    }
}
