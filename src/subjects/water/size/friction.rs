//! Friction in pipes: two published methods, each written once over [`Number`] and run in f64 by the size search and
//! in figures by the bid.
//!
//! Units throughout: gpm, inside diameter in inches, ft/s, kinematic viscosity in ft²/s, psi.

use crate::figure::Number;
use rust_decimal::Decimal;
use rust_decimal::dec;

/// Velocity in ft/s of `gpm` in a bore of `id_in` inches: 0.4084977 gpm / d², from 231 in³ a gallon, 720 = 12 x 60 and the
/// circle's pi/4.
///
/// ```
/// use tallybore::water::size::friction::velocity;
/// // 4 gpm in 1/2 in PEX, 0.475 in average bore: 7.24 ft/s.
/// assert!((velocity(&4.0, &0.475) - 7.24_f64).abs() < 0.01);
/// ```
pub fn velocity<N: Number>(gpm: &N, id_in: &N) -> N {
    gpm.clone() * N::of(dec!(0.4084977)) / (id_in.clone() * id_in.clone())
}

/// Reynolds number: velocity (ft/s) times bore over kinematic viscosity (ft²/s); 12 turns the bore to feet.
pub fn reynolds<N: Number>(velocity_ft_s: &N, id_in: &N, viscosity_ft2_s: &N) -> N {
    velocity_ft_s.clone() * id_in.clone() / N::of(dec!(12)) / viscosity_ft2_s.clone()
}

/// Darcy friction factor of turbulent flow, Swamee and Jain 1976: 0.25 / log10(e/3.7d + 5.74/Re^0.9)². Within 2 % of
/// Colebrook for Re over 4000 and e/d of 1e-6 to 1e-2. `reynolds` > 0.
pub fn turbulent_factor<N: Number>(reynolds: &N, roughness_in: &N, id_in: &N) -> N {
    let rough = roughness_in.clone() / id_in.clone() / N::of(dec!(3.7));
    let log = (rough + N::of(dec!(5.74)) / reynolds.pow(dec!(0.9))).log10();
    N::of(dec!(0.25)) / log.pow(Decimal::TWO)
}

/// Darcy friction factor over all flow: 64/Re below Re 2000, the turbulent one above 4000, and between the two the
/// larger, since nobody can say which will establish itself. `reynolds` > 0.
pub fn factor<N: Number>(reynolds: &N, turbulent: &N) -> N {
    let laminar = N::of(dec!(64)) / reynolds.clone();
    N::pick(reynolds.at_least(&N::of(dec!(2000))), &laminar.larger(turbulent), &laminar)
}

/// Darcy-Weisbach loss in psi per 100 ft: 100 x (12 f / d) V²/2g x psi per foot of water; g = 32.174 ft/s².
pub fn darcy_weisbach_psi_per_100_ft<N: Number>(factor: &N, velocity_ft_s: &N, id_in: &N, psi_per_ft: &N) -> N {
    let head_per_100_ft =
        factor.clone() * N::of(dec!(1200)) / id_in.clone() * velocity_ft_s.pow(Decimal::TWO) / N::of(dec!(64.348));
    head_per_100_ft * psi_per_ft.clone()
}

/// Hazen-Williams loss in psi per 100 ft: head ft/ft = 4.727 C^-1.852 (d/12)^-4.871 (gpm/448.831)^1.852, times psi per
/// foot of water. For water near 60 F and turbulent flow; it reads low for cold water in plastic pipe.
///
/// ```
/// use tallybore::water::size::friction::hazen_williams_psi_per_100_ft;
/// // 1/2 in PEX, 0.475 in bore, C 150, 4 gpm: a contractor trade article of 2002 gives 0.208 psi a foot.
/// assert!((hazen_williams_psi_per_100_ft(&4.0, &150.0, &0.475, &0.4335) - 20.8_f64).abs() < 0.1);
/// ```
pub fn hazen_williams_psi_per_100_ft<N: Number>(gpm: &N, c: &N, id_in: &N, psi_per_ft: &N) -> N {
    let flow = (gpm.clone() / N::of(dec!(448.831)) / c.clone()).pow(dec!(1.852));
    let bore = (id_in.clone() / N::of(dec!(12))).pow(dec!(4.871));
    N::of(dec!(472.7)) * flow / bore * psi_per_ft.clone()
}

/// Darcy-Weisbach from flow to loss in one call, for the size search. 0 at no flow.
pub fn darcy_weisbach(gpm: f64, id_in: f64, roughness_in: f64, viscosity_ft2_s: f64, psi_per_ft: f64) -> f64 {
    if gpm <= 0.0 {
        return 0.0;
    }
    let v = velocity(&gpm, &id_in);
    let re = reynolds(&v, &id_in, &viscosity_ft2_s);
    let f = factor(&re, &turbulent_factor(&re, &roughness_in, &id_in));
    darcy_weisbach_psi_per_100_ft(&f, &v, &id_in, &psi_per_ft)
}
