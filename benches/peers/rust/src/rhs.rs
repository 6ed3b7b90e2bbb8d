//! The right-hand side of `tank.toml` as `rhs.py` has it, equation by equation, with its numbers.

use serde::Deserialize;

/// Positions in the state: water, rock, heater body, probe, °C.
pub const WATER: usize = 0;
const ROCK: usize = 1;
const BODY: usize = 2;
pub const PROBE: usize = 3;
pub const STATES: usize = 4;

/// The numbers of the equations, by their names in `rhs.py`; SI.
#[derive(Debug, Clone, Deserialize)]
pub struct Parameters {
    pub target_c: f64,
    pub closes_c: f64,
    pub opens_c: f64,
    pub heater_w: f64,
    pub day_s: f64,
    pub interval_s: f64,
    zero_celsius_k: f64,
    gravity: f64,
    pressure_pa: f64,
    dry_air_gas_constant: f64,
    vapour_to_air: f64,
    lewis_to_two_thirds: f64,
    stefan_boltzmann: f64,
    water_emissivity: f64,
    pane_emissivity: f64,
    nominal_outer_film: f64,
    inside_resistance: f64,
    side_at_rest: f64,
    side_per_sixth_root: f64,
    sides_m2: f64,
    water_height_m: f64,
    surface_m2: f64,
    bottom_length_m: f64,
    water_activity: f64,
    fresh_specific_heat: f64,
    room_mean_c: f64,
    room_swing_k: f64,
    warmest_s: f64,
    room_vapour_pa: f64,
    pump_w: f64,
    probe_lag_s: f64,
    water_j_per_k: f64,
    rock_j_per_k: f64,
    body_j_per_k: f64,
    rock_w_per_k: f64,
    body_w_per_k: f64,
}

#[derive(Clone, Copy)]
enum Face {
    Sideways,
    Down,
}

impl Parameters {
    /// dy/dt, K/s, with the heater drawing `heater_w`.
    pub fn rate(&self, t_s: f64, y: &[f64], heater_w: f64, dydt: &mut [f64]) {
        let from_rock_w = self.rock_w_per_k * (y[ROCK] - y[WATER]);
        let from_body_w = self.body_w_per_k * (y[BODY] - y[WATER]);
        let loss_w = self.loss_w(t_s, y[WATER]);
        dydt[WATER] = (self.pump_w + from_rock_w + from_body_w - loss_w) / self.water_j_per_k;
        dydt[ROCK] = -from_rock_w / self.rock_j_per_k;
        dydt[BODY] = (heater_w - from_body_w) / self.body_j_per_k;
        dydt[PROBE] = (y[WATER] - y[PROBE]) / self.probe_lag_s;
    }

    /// The Jacobian of `rate` times a vector.
    pub fn jacobian_times(&self, t_s: f64, y: &[f64], v: &[f64], jv: &mut [f64]) {
        /// Half the step of the one slope that is taken by differences, K. A choice: rounding and curvature both below 1e-6.
        const HALF_STEP_K: f64 = 1e-3;
        let (warmer, cooler) = (y[WATER] + HALF_STEP_K, y[WATER] - HALF_STEP_K);
        let slope = (self.loss_w(t_s, warmer) - self.loss_w(t_s, cooler)) / (2.0 * HALF_STEP_K);
        let from_rock = self.rock_w_per_k * (v[ROCK] - v[WATER]);
        let from_body = self.body_w_per_k * (v[BODY] - v[WATER]);
        jv[WATER] = (from_rock + from_body - slope * v[WATER]) / self.water_j_per_k;
        jv[ROCK] = -from_rock / self.rock_j_per_k;
        jv[BODY] = -from_body / self.body_j_per_k;
        jv[PROBE] = (v[WATER] - v[PROBE]) / self.probe_lag_s;
    }

    fn loss_w(&self, t_s: f64, water_c: f64) -> f64 {
        let turn = 2.0 * std::f64::consts::PI * (t_s - self.warmest_s) / self.day_s;
        let air_c = self.room_mean_c + 0.5 * self.room_swing_k * turn.cos();
        self.wall_loss_w(self.sides_m2, self.water_height_m, Face::Sideways, water_c, air_c)
            + self.wall_loss_w(self.surface_m2, self.bottom_length_m, Face::Down, water_c, air_c)
            + self.surface_loss_w(water_c, air_c)
    }

    fn wall_loss_w(&self, area_m2: f64, length_m: f64, face: Face, water_c: f64, air_c: f64) -> f64 {
        let inside = self.inside_resistance;
        let first_c = air_c + (water_c - air_c) / (1.0 + self.nominal_outer_film * inside);
        let (convective, radiative) = self.outer_film(first_c, air_c, length_m, face);
        let first = (convective + radiative) * (first_c - air_c);
        let surplus = first - (water_c - first_c) / inside;
        let step_k = -surplus / (1.0 / inside + 1.25 * convective + radiative);
        let second_c = first_c + step_k;
        let (convective, radiative) = self.outer_film(second_c, air_c, length_m, face);
        let second = (convective + radiative) * (second_c - air_c);
        // A step of zero gives no slope (0/0), and none is needed then.
        let slope = ((second - first) / step_k).max(0.0);
        let surplus = second - (water_c - second_c) / inside;
        area_m2 * (second - surplus * slope / (slope + 1.0 / inside))
    }

    /// Convective and radiative film outside a face, W/(m² K).
    fn outer_film(&self, face_c: f64, air_c: f64, length_m: f64, face: Face) -> (f64, f64) {
        let warmer_k = face_c - air_c;
        let film_c = 0.5 * (face_c + air_c);
        let film_k = film_c + self.zero_celsius_k;
        let density = self.pressure_pa / (self.dry_air_gas_constant * film_k);
        let conductivity = self.sutherland(film_k, 2.423_449_16e-2, 181.931_212);
        let viscosity = self.sutherland(film_k, 1.717_838_34e-5, 125.767_381);
        let per_k_m3 = self.gravity * density * density * air_specific_heat(film_c)
            / (film_k * viscosity * conductivity);
        let rayleigh = per_k_m3 * warmer_k.abs() * length_m * length_m * length_m;
        let nusselt = match (face, warmer_k > 0.0) {
            (Face::Sideways, _) => {
                let root = self.side_at_rest + self.side_per_sixth_root * rayleigh.sqrt().cbrt();
                root * root
            }
            (Face::Down, true) => 0.52 * (0.2 * rayleigh.ln()).exp(),
            (Face::Down, false) if rayleigh <= 1e7 => 0.54 * rayleigh.sqrt().sqrt(),
            (Face::Down, false) => 0.15 * rayleigh.cbrt(),
        };
        let (a, b) = (face_c + self.zero_celsius_k, air_c + self.zero_celsius_k);
        let radiative = self.pane_emissivity * self.stefan_boltzmann * (a * a + b * b) * (a + b);
        (nusselt * conductivity / length_m, radiative)
    }

    fn surface_loss_w(&self, water_c: f64, air_c: f64) -> f64 {
        let (p, vapour_pa) = (self.pressure_pa, self.room_vapour_pa);
        let water_pa = self.water_activity * self.saturation_pressure_pa(water_c);
        let at_water = self.dry_air_density(water_c, water_pa);
        let lighter = self.dry_air_density(air_c, vapour_pa) - at_water;
        let per_hour: f64 = if lighter > 0.0 && water_pa >= vapour_pa {
            let ratio_per_pa = self.vapour_to_air * p / ((p - water_pa) * (p - vapour_pa));
            (35.0 * at_water * lighter.cbrt() * ratio_per_pa).max(5e-5)
        } else {
            5e-5
        };
        let per_pa = self.surface_m2 * per_hour / 3600.0;
        let latent = 2.501e6 - 2361.0 * water_c;
        let evaporated = per_pa * (water_pa - vapour_pa);
        let psychrometric =
            air_specific_heat(air_c) * p * self.lewis_to_two_thirds / (self.vapour_to_air * latent);
        let (a, b) = (water_c + self.zero_celsius_k, air_c + self.zero_celsius_k);
        let grey = self.water_emissivity * self.stefan_boltzmann;
        let radiation = self.surface_m2 * grey * (a * a + b * b) * (a + b) * (a - b);
        let make_up = evaporated.max(0.0) * self.fresh_specific_heat * (water_c - air_c);
        evaporated * latent + per_pa * latent * psychrometric * (water_c - air_c) + radiation + make_up
    }

    fn saturation_pressure_pa(&self, temp_c: f64) -> f64 {
        let t = temp_c + self.zero_celsius_k;
        let polynomial = 1.391_499_3 + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8));
        (-5.800_220_6e3 / t + polynomial + 6.545_967_3 * t.ln()).exp()
    }

    fn dry_air_density(&self, temp_c: f64, vapour_pa: f64) -> f64 {
        (self.pressure_pa - vapour_pa) / (self.dry_air_gas_constant * (temp_c + self.zero_celsius_k))
    }

    fn sutherland(&self, temp_k: f64, at_0_c: f64, constant_k: f64) -> f64 {
        let ratio = temp_k / self.zero_celsius_k;
        at_0_c * ratio * ratio.sqrt() * (self.zero_celsius_k + constant_k) / (temp_k + constant_k)
    }
}

fn air_specific_heat(temp_c: f64) -> f64 {
    1_005.718_58 + temp_c * (5.240_376_42e-3 + temp_c * (5.348_602_5e-4 - temp_c * 3.859_654_09e-7))
}
