//! The equations, one file each, as pure functions of their arguments.
//!
//! - Water and air: [`water`], [`vapour`], [`moist_air`], [`dry_air`].
//! - Films: [`natural_convection`], [`forced_convection`], [`radiation`].
//! - Paths of heat: [`wall`], [`lid`], [`evaporation`], [`fan`], [`surface`], [`heater_body`].
//! - What the outside of a tank sees: [`cabinet`].
//! - Oxygen: [`oxygen`], [`oxygen_balance`].
//!
//! A heat flow named a loss is positive out of the water. Natural convection and all of these relations are
//! smooth enough to be evaluated once per step; none keeps state.

pub mod cabinet;
pub mod dry_air;
pub mod evaporation;
pub mod fan;
pub mod forced_convection;
pub mod heater_body;
pub mod lid;
pub mod moist_air;
pub mod natural_convection;
pub mod oxygen;
pub mod oxygen_balance;
pub mod radiation;
pub mod surface;
pub mod vapour;
pub mod wall;
pub mod water;

/// 0 °C in K. Exact by definition of the Celsius scale.
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Standard acceleration of gravity, m/s². Exact by convention.
pub const GRAVITY_M_PER_S2: f64 = 9.80665;

/// Standard atmosphere, Pa. Exact by convention.
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// Gas constant of dry air, J/(kg K). Source: ASHRAE Handbook Fundamentals 2017, chapter 1, as `psychrolib` 2.5.0
/// has it; it reproduces the volumes of `tests/verification/data/air.csv`. Valid for an ideal gas: 0.1 % of the
/// density of room air.
pub const DRY_AIR_GAS_CONSTANT_J_PER_KG_K: f64 = 287.042;

/// Molar mass of water vapour over that of dry air, unitless. Source: ASHRAE Handbook Fundamentals 2017, chapter 1,
/// as `psychrolib` 2.5.0 has it; it reproduces the humidity ratios of `tests/verification/data/air.csv`. Valid for
/// ideal gases: 0.5 % of the humidity ratio.
pub const VAPOUR_TO_AIR_MASS_RATIO: f64 = 0.621_945;
