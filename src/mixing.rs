//! Where one temperature for a body is good enough, and warnings where it is not: `docs/well-mixed.md`.
//!
//! Water counts as mixed where something turns it over much faster than it cools; rock and heater bodies by their Biot number and by
//! what they hold.

use tepid_output::records::{RoomKind, Warning};
use tepid_sim::ids::{PumpId, TankId};
use tepid_sim::physics::heater_body::{conductance_in_water_w_per_k, surface_m2};
use tepid_sim::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};
use tepid_sim::scenario::{
    Effect, FaultSet, Happening, Heater, HeaterKind, Lasts, ROCK_DENSITY_KG_PER_M3, ROCK_FILM_W_PER_K_KG,
    ROCK_SPECIFIC_HEAT_J_PER_KG_K, Scenario, Tank, When,
};
use tepid_sim::scores::Scores;
use tepid_sim::still::StillPlant;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis, hours, time_of_day};

use crate::exposure::HORIZON_MS;
use crate::rooms;

/// Biot number below which a body counts as being of one temperature. Textbook rule, from memory; for a ball the lumped rate is then
/// within 7 % of the exact one (a test solves it).
pub const LUMPED_BELOW_BIOT: f64 = 0.1;

/// Water that nothing turns for longer than this may lie in layers. An assumption.
pub const STILL_AFTER_MS: Millis = 2 * HOUR;

/// Turnover times above this share of the time constant are too slow to call the water mixed. An assumption.
const SLOW_TURNOVER_FRAC: f64 = 0.1;

/// Rock below this share of a tank's heat capacity cannot matter. An assumption.
const ROCK_MATTERS_FRAC: f64 = 0.1;

/// Heat in heater bodies that could warm their tank by less than this cannot matter, K. An assumption.
const AFTERHEAT_MATTERS_K: f64 = 0.1;

/// Film over rock in moving water, W/(m² K). From memory: 100 to 500.
const ROCK_FILM_W_PER_M2_K: f64 = 200.0;

/// Conductivity of reef rock with its water, W/(m K): four times that of water (Guarino 2011, Physics Research International, 679175, abstract).
const ROCK_CONDUCTIVITY_W_PER_M_K: f64 = 2.4;

/// A usual piece of rock, kg. An assumption.
const ROCK_PIECE_KG: f64 = 1.0;

/// Conductivity of the sand that fills a heater's tube, W/(m K). From memory: dry quartz sand.
const FILLING_CONDUCTIVITY_W_PER_M_K: f64 = 0.35;

/// Biot number `h L/k`, L volume over surface, m: resistance inside over resistance of the film.
#[must_use]
pub fn biot(film_w_per_m2_k: f64, volume_over_surface_m: f64, conductivity_w_per_m_k: f64) -> f64 {
    film_w_per_m2_k * volume_over_surface_m / conductivity_w_per_m_k
}

/// Radius of a piece of rock as a ball, m.
fn rock_radius_m() -> f64 {
    (3.0 * ROCK_PIECE_KG / ROCK_DENSITY_KG_PER_M3 / (4.0 * std::f64::consts::PI)).cbrt()
}

/// Biot number of a usual piece of rock in moving water.
#[must_use]
pub fn rock_biot() -> f64 {
    biot(
        ROCK_FILM_W_PER_M2_K,
        rock_radius_m() / 3.0,
        ROCK_CONDUCTIVITY_W_PER_M_K,
    )
}

/// How long a usual piece of rock takes to follow the water, s: film and inside, `ρ c r/3h + r²/(π² α)`.
#[must_use]
pub fn rock_follows_in_s() -> f64 {
    let volumetric = ROCK_DENSITY_KG_PER_M3 * ROCK_SPECIFIC_HEAT_J_PER_KG_K;
    let radius_m = rock_radius_m();
    let film_s = volumetric * radius_m / (3.0 * ROCK_FILM_W_PER_M2_K);
    let inside_s = radius_m * radius_m * volumetric
        / (std::f64::consts::PI * std::f64::consts::PI * ROCK_CONDUCTIVITY_W_PER_M_K);
    film_s + inside_s
}

/// How long the model's rock takes to follow the water, s: one temperature behind one film.
#[must_use]
pub fn model_rock_follows_in_s() -> f64 {
    ROCK_SPECIFIC_HEAT_J_PER_KG_K / ROCK_FILM_W_PER_K_KG
}

/// Biot number of a heater's body at a water temperature, °C.
#[must_use]
pub fn heater_biot(heater: &Heater, water_c: f64) -> f64 {
    let film = film_w_per_k(heater, water_c) / surface_m2(&heater.body);
    biot(film, heater.body.diameter_m / 4.0, FILLING_CONDUCTIVITY_W_PER_M_K)
}

fn film_w_per_k(heater: &Heater, water_c: f64) -> f64 {
    conductance_in_water_w_per_k(
        &heater.body,
        heater.power_w,
        water_c,
        heater.body.water_speed_m_per_s,
    )
}

/// Heat that a heater's body still gives off after it is switched off, J, an estimate: over the film `C P/G`, and inside, where it is not
/// of one temperature, `C P/(8π k length)` more (a winding at 0.7 of the radius, or heat evenly over the section, textbook).
#[must_use]
pub fn afterheat_j(heater: &Heater, water_c: f64) -> f64 {
    let over_film_k = heater.power_w / film_w_per_k(heater, water_c);
    let inside_k =
        heater.power_w / (8.0 * std::f64::consts::PI * FILLING_CONDUCTIVITY_W_PER_M_K * heater.body.length_m);
    heater.body.heat_capacity_j_per_k * (over_film_k + inside_k)
}

/// How often a tank's water is replaced by what flows through it, h per turnover; `None`: nothing flows through it.
#[must_use]
pub fn turnover_h(scenario: &Scenario, tank: TankId) -> Option<f64> {
    let through = scenario
        .flows
        .iter()
        .filter(|flow| flow.from == tank || flow.to == tank);
    let rate_m3_per_s: f64 = through.map(|flow| flow.rate_m3_per_s).sum();
    let volume_m3 = scenario.tanks[tank.0].water_volume_m3();
    (rate_m3_per_s > 0.0).then(|| volume_m3 / rate_m3_per_s * 1000.0 / HOUR as f64)
}

/// The longest time that nothing turns a tank's water, ms; `None`: always something does; the run's whole length where nothing ever does.
#[must_use]
pub fn longest_still_ms(scenario: &Scenario, tank: TankId) -> Option<(Millis, String)> {
    let flows = scenario
        .flows
        .iter()
        .filter(|flow| flow.from == tank || flow.to == tank);
    let mut movers: Vec<PumpId> = Vec::new();
    for flow in flows {
        movers.push(flow.pump?);
    }
    movers.extend(
        (0..scenario.pumps.len())
            .map(PumpId)
            .filter(|pump| scenario.pumps[pump.0].tank == tank),
    );
    movers.sort_unstable();
    movers.dedup();
    if movers.is_empty() {
        return Some((scenario.duration_ms, "it has no pump and no flow".to_owned()));
    }
    let nightly_ms = longest_off_ms(scenario, &movers);
    let by_happening = scenario
        .happenings
        .iter()
        .filter(|happening| stops_all(happening, &movers))
        .map(|happening| {
            let length_ms = match happening.lasts {
                Lasts::For(length_ms) => length_ms,
                Lasts::ToTheEnd => match happening.when {
                    When::At(began_ms) => scenario.duration_ms - began_ms,
                    When::WorstPhase => HORIZON_MS,
                    _ => scenario.duration_ms,
                },
            };
            (length_ms, format!("\"{}\" stops what turns it", happening.name))
        });
    let off_by_clock = (nightly_ms > 0).then(|| (nightly_ms, "its pumps are off by the clock".to_owned()));
    by_happening
        .chain(off_by_clock)
        .max_by_key(|(length_ms, _)| *length_ms)
}

fn stops_all(happening: &Happening, movers: &[PumpId]) -> bool {
    match happening.effect {
        Effect::PowerOut => true,
        Effect::PumpStopped(pump) => movers == [pump],
        _ => false,
    }
}

/// The longest stretch of a day, from one look a minute, in which none of the pumps runs by its hours, ms.
fn longest_off_ms(scenario: &Scenario, pumps: &[PumpId]) -> Millis {
    let runs = |pump: PumpId, at_ms: Millis| match scenario.pumps[pump.0].hours {
        None => true,
        Some(when) if when.on_ms == when.off_ms => true,
        Some(when) => time_of_day(at_ms - when.on_ms) < time_of_day(when.off_ms - when.on_ms),
    };
    let (mut longest, mut off) = (0, 0);
    // Two days, for a stretch over midnight.
    for minute in 0..2 * DAY / MINUTE {
        let still = pumps.iter().all(|pump| !runs(*pump, minute * MINUTE));
        off = if still { off + 1 } else { 0 };
        longest = longest.max(off);
    }
    (longest * MINUTE).min(DAY)
}

/// Where the scenario leaves what one temperature for each body is good for; `time_constant_h` of the whole system.
#[must_use]
pub fn warnings(scenario: &Scenario, time_constant_h: f64) -> Vec<Warning> {
    let mut all = Vec::new();
    for (index, tank) in scenario.tanks.iter().enumerate() {
        all.extend(still_water(scenario, TankId(index), tank));
        all.extend(slow_turnover(scenario, TankId(index), tank, time_constant_h));
        all.extend(much_rock(scenario, tank));
        all.extend(large_heaters(scenario, TankId(index), tank));
    }
    all
}

/// Those of a run with faults added, by the time constant of the scenario's own mean room.
#[must_use]
pub fn warnings_of_run(scenario: &Scenario, faults: &[Happening]) -> Vec<Warning> {
    let mut befallen = scenario.clone();
    befallen.happenings.extend_from_slice(faults);
    // A plant that cannot be compiled has failed as a run and cools at no rate.
    let time_constant_h = StillPlant::new(scenario).map_or(f64::INFINITY, |still| {
        let (room_c, humidity_frac) = rooms::still_room(scenario, &still, RoomKind::Scenario);
        let air = still.air(room_c, humidity_frac);
        let slope_w_per_k = still.slope_w_per_k(scenario.water.target_c, air);
        still.heat_capacity_j_per_k() / slope_w_per_k * 1000.0 / HOUR as f64
    });
    warnings(&befallen, time_constant_h)
}

/// Where the water stood still for longer than what is planned or broken says by itself: pumps stood dry, or their circuit tripped.
#[must_use]
pub fn still_in_run(scenario: &Scenario, faults: &[Happening], scores: &Scores) -> Vec<Warning> {
    let mut befallen = scenario.clone();
    befallen.happenings.extend_from_slice(faults);
    let told = |tank: TankId| longest_still_ms(&befallen, tank).is_some_and(|(ms, _)| ms > STILL_AFTER_MS);
    let tanks = scenario.tanks.iter().zip(&scores.levels).enumerate();
    tanks
        .filter(|(at, (_, level))| level.longest_still_ms > STILL_AFTER_MS && !told(TankId(*at)))
        .map(|(_, (tank, level))| {
            let because = "what turns it stood dry or had no electricity";
            stands_still(tank, level.longest_still_ms, because)
        })
        .collect()
}

/// Those of a scenario by itself and with each case of some fault sets; each once.
#[must_use]
pub fn warnings_of_sets(scenario: &Scenario, sets: &[FaultSet]) -> Vec<Warning> {
    let mut all = warnings_of_run(scenario, &[]);
    for case in sets.iter().flat_map(|set| &set.cases) {
        let happenings: Vec<Happening> = case.happenings().cloned().collect();
        for warning in warnings_of_run(scenario, &happenings) {
            if !all.contains(&warning) {
                all.push(warning);
            }
        }
    }
    all
}

fn still_water(scenario: &Scenario, id: TankId, tank: &Tank) -> Option<Warning> {
    let (still_ms, because) = longest_still_ms(scenario, id)?;
    (still_ms > STILL_AFTER_MS).then(|| stands_still(tank, still_ms, &because))
}

fn stands_still(tank: &Tank, still_ms: Millis, because: &str) -> Warning {
    Warning {
        what: format!("The water of {} stands still for {:.0} h: {because}", tank.name, hours(still_ms)),
        why: "Still water can lie in layers, warm above cold; the model gives it one temperature, so what a probe reads and what lives \
              at the bottom may be degrees apart."
            .to_owned(),
        advice: "Take its temperatures as a mean over the tank, and mind where probe and heater hang.".to_owned(),
    }
}

fn slow_turnover(scenario: &Scenario, id: TankId, tank: &Tank, time_constant_h: f64) -> Option<Warning> {
    let stirred_from_within = scenario.pumps.iter().any(|pump| pump.tank == id);
    let turnover_h = turnover_h(scenario, id)?;
    (!stirred_from_within && turnover_h > SLOW_TURNOVER_FRAC * time_constant_h).then(|| Warning {
        what: format!(
            "The flow through {} replaces its water once in {turnover_h:.1} h, and the system cools with a time constant of {time_constant_h:.1} h",
            tank.name
        ),
        why: "Water far from the inlet lags behind what the model says.".to_owned(),
        advice: "State the pump that stirs the tank, or take its temperatures as a mean.".to_owned(),
    })
}

fn water_capacity_j_per_k(scenario: &Scenario, tank: &Tank) -> f64 {
    let (salinity, target_c) = (scenario.water.salinity_g_per_kg, scenario.water.target_c);
    tank.water_volume_m3()
        * density_kg_per_m3(salinity, target_c)
        * specific_heat_j_per_kg_k(salinity, target_c)
}

/// Of a tank and of those a flow joins to it: what one heats the others share within minutes.
fn joined_capacity_j_per_k(scenario: &Scenario, id: TankId) -> f64 {
    let joined = |other: TankId| {
        other == id
            || scenario
                .flows
                .iter()
                .any(|flow| [(flow.from, flow.to), (flow.to, flow.from)].contains(&(id, other)))
    };
    let tanks = scenario
        .tanks
        .iter()
        .enumerate()
        .filter(|(at, _)| joined(TankId(*at)));
    tanks
        .map(|(_, tank)| water_capacity_j_per_k(scenario, tank))
        .sum()
}

fn much_rock(scenario: &Scenario, tank: &Tank) -> Option<Warning> {
    let rock_j_per_k = tank.rock_kg * ROCK_SPECIFIC_HEAT_J_PER_KG_K;
    let share_frac = rock_j_per_k / (rock_j_per_k + water_capacity_j_per_k(scenario, tank));
    let biot = rock_biot();
    (biot > LUMPED_BELOW_BIOT && share_frac > ROCK_MATTERS_FRAC).then(|| Warning {
        what: format!("Rock holds {:.0} % of the heat of {}, at a Biot number near {biot:.1}", 100.0 * share_frac, tank.name),
        why: format!(
            "It is not of one temperature inside and follows the water in about {:.0} min, in the model in {:.0} min; changes within \
             minutes meet another heat capacity than the model says.",
            rock_follows_in_s() / 60.0,
            model_rock_follows_in_s() / 60.0
        ),
        advice: "Trust hours, not single minutes, of this tank's course.".to_owned(),
    })
}

fn large_heaters(scenario: &Scenario, id: TankId, tank: &Tank) -> Option<Warning> {
    let target_c = scenario.water.target_c;
    // A mat lies under the pane and is no tube.
    let tube = |heater: &&Heater| heater.tank == id && !matches!(heater.kind, HeaterKind::Mat { .. });
    let heaters = scenario.heaters.iter().filter(tube);
    let held_j: f64 = heaters.map(|heater| afterheat_j(heater, target_c)).sum();
    let rise_k = held_j / joined_capacity_j_per_k(scenario, id);
    (rise_k > AFTERHEAT_MATTERS_K).then(|| Warning {
        what: format!("The heaters in {} hold heat for {rise_k:.2} K of the water after they are switched off", tank.name),
        why: "Inside they are not of one temperature, so the overshoot may be larger than the model says by about this.".to_owned(),
        advice: "Add this to the overshoot, or choose smaller heaters.".to_owned(),
    })
}

#[cfg(test)]
mod tests;
