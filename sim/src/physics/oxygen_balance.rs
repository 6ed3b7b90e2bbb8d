//! The oxygen of tanks that flows may join, over a stretch in which nothing switches.
//!
//! # Equation
//! ```text
//! Vᵢ dCᵢ/dt = Gᵢ (C_sat,ᵢ − Cᵢ) + Σⱼ Qᵢⱼ (Cⱼ − Cᵢ) − dᵢ      G = k A + what an air pump adds
//! ```
//! Without flows each tank has its own exact solution, `C = C_∞ + (C₀ − C_∞) e^{−G t/V}`. With flows one step of length h solves
//! `(1 − hM + h²M²/2) C(h) = C(0) + h (1 − hM/2) s` for `dC/dt = M C + s`: of second order, and any h is stable, however fast a flow mixes.
//! Oxygen does not go below none.
//!
//! # Units
//! C mg/L; V m³; G, Q m³/s; d mg/s; t s.
//!
//! # Source
//! Mass balance; the step is the Padé approximant (0, 2) of the exponential.
//!
//! # Valid for
//! Steps of a minute or less where flows join tanks (see [`LONGEST_STEP_S`]); any step without flows.
//!
//! # Left out
//! Oxygen in the water of pipes; air drawn in where water falls into a sump; layers.
//!
//! # Checked by
//! `tests/verification/oxygen_balance.rs`: closed forms, steady state, two tanks against a converged reference.

/// Litres in a cubic metre, L/m³. Exact.
const L_PER_M3: f64 = 1000.0;

/// Longest step where flows join tanks, s. A choice, held against a converged reference: see the page.
pub const LONGEST_STEP_S: f64 = 60.0;

/// One tank over the stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankOxygen {
    /// Water, m³, > 0.
    pub volume_m3: f64,
    /// Water brought to saturation per time, G, m³/s, > 0.
    pub transfer_m3_per_s: f64,
    /// What the water would hold, mg/L.
    pub saturation_mg_per_l: f64,
    /// What animals use, mg/s.
    pub demand_mg_per_s: f64,
}

/// Water exchanged between two tanks, by position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exchange {
    /// One tank.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// Each way, m³/s.
    pub rate_m3_per_s: f64,
}

impl TankOxygen {
    /// Where a tank by itself tends to, mg/L; below 0: the demand cannot be met.
    #[must_use]
    pub fn tends_to_mg_per_l(&self) -> f64 {
        self.saturation_mg_per_l - self.demand_mg_per_s / (self.transfer_m3_per_s * L_PER_M3)
    }
}

/// Moves the oxygen of all tanks, mg/L, on by `length_s`, at most [`LONGEST_STEP_S`] where there are exchanges.
pub fn advance(tanks: &[TankOxygen], exchanges: &[Exchange], length_s: f64, oxygen_mg_per_l: &mut [f64]) {
    if exchanges.is_empty() {
        for (tank, oxygen) in tanks.iter().zip(oxygen_mg_per_l) {
            let end = tank.tends_to_mg_per_l();
            let left = libm::exp(-tank.transfer_m3_per_s / tank.volume_m3 * length_s);
            *oxygen = (end + (*oxygen - end) * left).max(0.0);
        }
        return;
    }
    let size = tanks.len();
    let (m, s) = linear(tanks, exchanges);
    let h = length_s;
    let mut left = vec![0.0; size * size];
    let mut right = oxygen_mg_per_l.to_vec();
    for i in 0..size {
        for j in 0..size {
            let squared: f64 = (0..size).map(|k| m[i * size + k] * m[k * size + j]).sum();
            let one = if i == j { 1.0 } else { 0.0 };
            left[i * size + j] = one - h * m[i * size + j] + 0.5 * h * h * squared;
        }
        let moved: f64 = (0..size).map(|k| m[i * size + k] * s[k]).sum();
        right[i] += h * (s[i] - 0.5 * h * moved);
    }
    solve(&mut left, &mut right);
    for (oxygen, solved) in oxygen_mg_per_l.iter_mut().zip(right) {
        *oxygen = solved.max(0.0);
    }
}

/// Where all tanks tend to if nothing changes, mg/L, not below 0.
#[must_use]
pub fn steady_mg_per_l(tanks: &[TankOxygen], exchanges: &[Exchange]) -> Vec<f64> {
    let (m, s) = linear(tanks, exchanges);
    let mut left: Vec<f64> = m.iter().map(|entry| -entry).collect();
    let mut steady = s;
    solve(&mut left, &mut steady);
    for oxygen in &mut steady {
        *oxygen = oxygen.max(0.0);
    }
    steady
}

/// M by rows, 1/s, and s, mg/(L s).
fn linear(tanks: &[TankOxygen], exchanges: &[Exchange]) -> (Vec<f64>, Vec<f64>) {
    let size = tanks.len();
    let mut m = vec![0.0; size * size];
    let mut s = vec![0.0; size];
    for (i, tank) in tanks.iter().enumerate() {
        let rate = tank.transfer_m3_per_s / tank.volume_m3;
        m[i * size + i] -= rate;
        s[i] = rate * tank.saturation_mg_per_l - tank.demand_mg_per_s / (tank.volume_m3 * L_PER_M3);
    }
    for exchange in exchanges {
        for (here, there) in [(exchange.a, exchange.b), (exchange.b, exchange.a)] {
            let rate = exchange.rate_m3_per_s / tanks[here].volume_m3;
            m[here * size + here] -= rate;
            m[here * size + there] += rate;
        }
    }
    (m, s)
}

/// Solves `left x = right` in place by elimination. Both matrices here dominate by their diagonal or nearly so: no rows need be exchanged.
fn solve(left: &mut [f64], right: &mut [f64]) {
    let size = right.len();
    for pivot in 0..size {
        for row in pivot + 1..size {
            let factor = left[row * size + pivot] / left[pivot * size + pivot];
            for column in pivot..size {
                left[row * size + column] -= factor * left[pivot * size + column];
            }
            right[row] -= factor * right[pivot];
        }
    }
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size)
            .map(|column| left[row * size + column] * right[column])
            .sum();
        right[row] = (right[row] - known) / left[row * size + row];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const TANK: TankOxygen = TankOxygen {
        volume_m3: 0.2,
        transfer_m3_per_s: 2e-6,
        saturation_mg_per_l: 8.0,
        demand_mg_per_s: 0.005,
    };

    #[test]
    fn what_no_demand_takes_stays_at_saturation() {
        let tanks = [TankOxygen {
            demand_mg_per_s: 0.0,
            ..TANK
        }; 2];
        let exchange = Exchange {
            a: 0,
            b: 1,
            rate_m3_per_s: 1e-4,
        };
        let mut oxygen = [8.0, 8.0];
        for _ in 0..1000 {
            advance(&tanks, &[exchange], 60.0, &mut oxygen);
        }
        assert_relative_eq!(oxygen[0], 8.0, max_relative = 1e-12);
        assert_relative_eq!(oxygen[1], 8.0, max_relative = 1e-12);
    }

    #[test]
    fn a_demand_that_cannot_be_met_leaves_none() {
        let tank = TankOxygen {
            demand_mg_per_s: 1.0,
            ..TANK
        };
        assert!(tank.tends_to_mg_per_l() < 0.0);
        let mut oxygen = [8.0];
        advance(&[tank], &[], 1e6, &mut oxygen);
        assert_eq!(oxygen, [0.0]);
        assert_eq!(steady_mg_per_l(&[tank], &[]), [0.0]);
    }
}
