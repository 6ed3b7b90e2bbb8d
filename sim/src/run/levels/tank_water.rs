//! The water of one tank and its salt: how much there is, how high it stands, what it can still give and take.
//!
//! Rock is spread evenly over the height of the water as built, so that an emptied tank has no water between it.
//!
//! # Valid for
//! Tanks with upright sides and a flat bottom.

use super::G_PER_KG;
use crate::scenario::Tank;

/// Height of the film of water that stays in an emptied tank, m. An assumption, no source: an uneven bottom and corners hold it, and no
/// pump draws it.
const FILM_M: f64 = 0.005;
/// The film of a tank that was built shallower than four of them, as a share of its water, unitless. An assumption, no source.
const FILM_FRAC: f64 = 0.25;
/// A pump draws air below this many heights of the film, unitless. An assumption, no source.
const DRAWN_FILMS: f64 = 2.0;

/// Salt that water holds at most, g/kg; the rest lies on the bottom and dissolves again. From memory: saturated brine of sodium chloride.
/// Of no account below it.
const SATURATED_G_PER_KG: f64 = 264.0;

/// Nearer than this share of its water to the level as built, a tank is there: rounding of a sum of flows. A choice, unitless.
const ROUNDING_FRAC: f64 = 1e-9;

/// Water of one tank.
#[derive(Debug, Clone)]
pub(super) struct TankWater {
    water_kg: f64,
    salt_kg: f64,
    /// Water at the start, kg.
    full_kg: f64,
    /// Water that stays, kg, > 0.
    film_kg: f64,
    /// Water that fits, kg.
    brim_kg: f64,
    /// Height of the water at the start, m.
    full_m: f64,
    /// Water per height above that, kg/m.
    above_kg_per_m: f64,
    /// What ran over its brim so far, kg.
    run_over_kg: f64,
}

impl TankWater {
    pub(super) fn new(tank: &Tank, density_kg_per_m3: f64, salinity_g_per_kg: f64) -> Self {
        let full_kg = density_kg_per_m3 * tank.water_volume_m3();
        let above_kg_per_m = density_kg_per_m3 * tank.surface_m2();
        Self {
            water_kg: full_kg,
            salt_kg: full_kg * salinity_g_per_kg / G_PER_KG,
            full_kg,
            film_kg: full_kg * (FILM_M / tank.water_height_m).min(FILM_FRAC),
            brim_kg: full_kg + above_kg_per_m * (tank.height_m - tank.water_height_m).max(0.0),
            full_m: tank.water_height_m,
            above_kg_per_m,
            run_over_kg: 0.0,
        }
    }

    /// The water, kg, > 0.
    pub(super) fn water_kg(&self) -> f64 {
        self.water_kg
    }

    /// Water at the start, kg: where a float switch holds it, and what a share of a water change is a share of.
    pub(super) fn full_kg(&self) -> f64 {
        self.full_kg
    }

    /// What is missing to the level as built, kg; negative: what is too much.
    pub(super) fn missing_kg(&self) -> f64 {
        let missing_kg = self.full_kg - self.water_kg;
        if self.is_little(missing_kg) {
            0.0
        } else {
            missing_kg
        }
    }

    /// No more than rounding.
    pub(super) fn is_little(&self, by_kg: f64) -> bool {
        by_kg.abs() <= ROUNDING_FRAC * self.full_kg
    }

    /// What ran over its brim so far, kg.
    pub(super) fn run_over_kg(&self) -> f64 {
        self.run_over_kg
    }

    /// What a pump can draw, kg.
    pub(super) fn drawable_kg(&self) -> f64 {
        (self.water_kg - DRAWN_FILMS * self.film_kg).max(0.0)
    }

    /// Height below which a pump draws air, m.
    pub(super) fn drawn_from_m(&self) -> f64 {
        DRAWN_FILMS * self.full_m * self.film_kg / self.full_kg
    }

    /// Height of the water, m, > 0.
    pub(super) fn height_m(&self) -> f64 {
        if self.water_kg >= self.full_kg {
            self.full_m + (self.water_kg - self.full_kg) / self.above_kg_per_m
        } else {
            self.full_m * (self.water_kg / self.full_kg)
        }
    }

    /// Salinity, g/kg.
    pub(super) fn salinity_g_per_kg(&self) -> f64 {
        (G_PER_KG * self.salt_kg / self.water_kg).min(SATURATED_G_PER_KG)
    }

    /// Lets pure water go, but for the film, or takes it up from the air.
    pub(super) fn evaporate(&mut self, by_kg: f64) {
        let salt_kg = self.salt_kg;
        if by_kg < 0.0 {
            self.pour(-by_kg, 0.0);
        } else {
            self.drain(by_kg, 0.0);
            self.salt_kg = salt_kg;
        }
    }

    /// Takes water and its salt out, but not from below a height (at most that at the start) and never the film; returns what left, kg.
    pub(super) fn drain(&mut self, by_kg: f64, down_to_m: f64) -> f64 {
        let stays_kg = self.film_kg.max(self.full_kg * (down_to_m / self.full_m));
        let left_kg = by_kg.min(self.water_kg - stays_kg).max(0.0);
        self.salt_kg -= left_kg * self.salinity_g_per_kg() / G_PER_KG;
        self.water_kg -= left_kg;
        left_kg
    }

    /// Puts water of a salinity in: it mixes, and what does not fit runs over. Returns the share of the mixture that stays.
    pub(super) fn pour(&mut self, by_kg: f64, salinity_g_per_kg: f64) -> f64 {
        let wanted_kg = self.water_kg + by_kg;
        self.salt_kg += by_kg * salinity_g_per_kg / G_PER_KG;
        let over_kg = (wanted_kg - self.brim_kg).max(0.0);
        self.water_kg = wanted_kg;
        self.run_over_kg += self.drain(over_kg, 0.0);
        if self.is_little(self.full_kg - self.water_kg) {
            self.water_kg = self.full_kg;
        }
        self.water_kg / wanted_kg
    }

    /// Passes salt to another tank, kg.
    pub(super) fn pass_salt(&mut self, other: &mut Self, salt_kg: f64) {
        self.salt_kg -= salt_kg;
        other.salt_kg += salt_kg;
    }

    /// Replaces some of the water by as much of another salinity.
    pub(super) fn exchange(&mut self, by_kg: f64, salinity_g_per_kg: f64) {
        let mixed_frac = self.water_kg / (self.water_kg + by_kg);
        let by_g_per_kg = salinity_g_per_kg - self.salinity_g_per_kg();
        self.salt_kg += mixed_frac * by_kg * by_g_per_kg / G_PER_KG;
    }
}
