//! What warms the water in its daily mean, and what heaters give it while they stay on.

use super::StillPlant;
use crate::ids::TankId;
use crate::physics::heater_body::conductance_in_water_w_per_k;
use crate::scenario::{DailyHours, Heater, HeaterKind, Scenario, SunShine};
use crate::time::{DAY, HOUR};
use crate::weather::Weather;

/// Something that warms a tank whatever its heaters do.
#[derive(Debug, Clone, PartialEq)]
pub struct Gain {
    /// Kind and name: "pump return", "sun window".
    pub name: String,
    /// The tank.
    pub tank: TankId,
    /// Heat into its water in the daily mean, W.
    pub power_w: f64,
}

/// A heater that stays on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StillHeater {
    /// Electricity it draws, W.
    pub drawn_w: f64,
    /// Heat it gives the water, W.
    pub to_water_w: f64,
}

/// Share of the day that something runs.
pub(super) fn of_day_frac(hours: Option<DailyHours>) -> f64 {
    hours.map_or(1.0, |hours| hours.length_ms() as f64 / DAY as f64)
}

/// Heat of the sun in the mean, W: of a day, or of the scored time where it comes from a weather file.
pub(super) fn mean_sun_w(scenario: &Scenario, shine: SunShine) -> f64 {
    match shine {
        // A half sine has 2/π of its height in the mean.
        SunShine::Daily { peak_w, hours } => peak_w * 2.0 / std::f64::consts::PI * of_day_frac(Some(hours)),
        SunShine::Weather { .. } => {
            let weather = Weather::new(scenario, 0, 0);
            let looks = (scenario.duration_ms / HOUR).max(1);
            let sum_w: f64 = (0..looks).map(|hour| weather.sun_w(shine, hour * HOUR)).sum();
            sum_w / looks as f64
        }
    }
}

/// Pumps, lights and sun.
pub(super) fn gains(scenario: &Scenario) -> Vec<Gain> {
    let pumps = scenario.pumps.iter().map(|pump| Gain {
        name: format!("pump {}", pump.name),
        tank: pump.tank,
        power_w: pump.power_w * pump.share_to_water_frac * of_day_frac(pump.hours),
    });
    let lights = scenario.lights.iter().map(|light| Gain {
        name: format!("light {}", light.name),
        tank: light.tank,
        power_w: light.power_w * light.share_to_water_frac * of_day_frac(Some(light.hours())),
    });
    let suns = scenario.suns.iter().map(|sun| Gain {
        name: format!("sun {}", sun.name),
        tank: sun.tank,
        power_w: mean_sun_w(scenario, sun.shine),
    });
    pumps.chain(lights).chain(suns).collect()
}

impl StillPlant<'_> {
    /// Pumps, lights and sun in their daily mean.
    #[must_use]
    pub fn gains(&self) -> &[Gain] {
        &self.gains
    }

    /// All heaters on for good in water of a temperature, °C.
    #[must_use]
    pub fn heaters_on(&self, water_c: f64) -> StillHeater {
        let heaters = self.scenario.heaters.iter();
        heaters.map(|heater| self.heater_on(heater, water_c)).fold(
            StillHeater {
                drawn_w: 0.0,
                to_water_w: 0.0,
            },
            |sum, one| StillHeater {
                drawn_w: sum.drawn_w + one.drawn_w,
                to_water_w: sum.to_water_w + one.to_water_w,
            },
        )
    }

    pub(super) fn heater_on(&self, heater: &Heater, water_c: f64) -> StillHeater {
        let drawn_w = match heater.kind {
            HeaterKind::SelfLimiting {
                full_to_c,
                none_from_c,
            } => self.limited_w(heater, water_c, (full_to_c, none_from_c)),
            _ => heater.power_w,
        };
        let share_frac = match heater.kind {
            HeaterKind::Mat { share_to_water_frac } => share_to_water_frac,
            // Without flow it heats the room alone.
            HeaterKind::FlowThrough { pump } => of_day_frac(self.scenario.pumps[pump.0].hours),
            _ => 1.0,
        };
        StillHeater {
            drawn_w,
            to_water_w: drawn_w * share_frac,
        }
    }

    /// What a self-limiting heater draws whose body has settled in the water: `p = P (none − T_body)/(none − full)` with
    /// `T_body = T_w + p/K`, so `p = P (none − T_w)/(none − full + P/K)`.
    fn limited_w(&self, heater: &Heater, water_c: f64, (full_to_c, none_from_c): (f64, f64)) -> f64 {
        let film_w_per_k = conductance_in_water_w_per_k(
            &heater.body,
            heater.power_w,
            self.scenario.water.target_c,
            heater.body.water_speed_m_per_s,
        );
        let span_k = none_from_c - full_to_c + heater.power_w / film_w_per_k;
        heater.power_w * ((none_from_c - water_c) / span_k).clamp(0.0, 1.0)
    }
}
