//! The hottest day: where the water ends in the warmest room with every heater off, without a fan and with one, and how humid that room may be.
//!
//! Where water ends is the plant of every run, held in a room that does not change until it settles ([`tepid_sim::still`]); nothing is solved another way.

use tepid_output::records::{CoolingEnd, CoolingFan, CoolingLine, RoomKind, SizeCooling};
use tepid_sim::ids::TankId;
use tepid_sim::network::NetworkError;
use tepid_sim::physics::moist_air::wet_bulb_c;
use tepid_sim::scenario::{Cover, Fan, Scenario};
use tepid_sim::still::StillPlant;
use tepid_sim::time::DAY;

use super::savings::cost_per_30_days;
use crate::budget::{room_words, warmest};
use crate::rooms;

/// A fan where none is stated: power, W, air speed, m/s, share of the surface it reaches. Common practice, no source.
const USUAL_FAN: (f64, f64, f64) = (10.0, 2.0, 0.5);

/// How near the limit of humidity is found, 0..=1.
const HUMIDITY_FOUND_TO: f64 = 0.005;

/// A day in seconds, s.
const DAY_S: f64 = (DAY / 1000) as f64;

/// The hottest day of a scenario that is one water system.
///
/// # Errors
/// [`NetworkError`] if the scenario makes no network.
pub fn cooling(scenario: &Scenario) -> Result<SizeCooling, NetworkError> {
    let room = scenario.room.warmest;
    let placed = rooms::in_room(scenario, RoomKind::Warmest);
    let (blown, opened) = blown(&placed);
    let without_fan = Bench::new(&placed)?;
    let with_fan = Bench::new(&blown)?;
    let at_c = |bench: &Bench<'_>, humidity_frac| bench.end(room.temp_c, humidity_frac);
    let without = at_c(&without_fan, room.relative_humidity_frac);
    let with = at_c(&with_fan, room.relative_humidity_frac);
    let band = ("upper end of the band".to_owned(), scenario.water.band_c.1);
    let hot = scenario.livestock.danger_hot.first();
    let lines = std::iter::once(band)
        .chain(hot.map(|line| ("mildest hot danger line".to_owned(), line.temp_c)))
        .map(|(line, temp_c)| {
            let below = |end: CoolingEnd| end.water_c.is_some_and(|water_c| water_c <= temp_c);
            CoolingLine {
                line,
                temp_c,
                without_fan: below(without),
                with_fan: below(with),
                humidity_limit_frac: humidity_limit_frac(|humidity_frac| {
                    below(at_c(&with_fan, humidity_frac))
                }),
            }
        })
        .collect();
    let kwh_per_day = blown.fans.iter().map(|fan| fan.power_w).sum::<f64>() * 24.0 / 1000.0;
    Ok(SizeCooling {
        room: room_words(scenario, RoomKind::Warmest).to_owned(),
        room_c: room.temp_c,
        relative_humidity_frac: room.relative_humidity_frac,
        wet_bulb_c: wet_bulb_c(without_fan.still.air(room.temp_c, room.relative_humidity_frac)),
        without,
        with,
        fans: blown.fans.iter().map(|fan| told(&blown, fan)).collect(),
        stated: !scenario.fans.is_empty(),
        opened,
        lines,
        kwh_per_day,
        cost_per_30_days: cost_per_30_days(scenario, kwh_per_day),
    })
}

/// A plant with every heater and chiller off.
struct Bench<'a> {
    scenario: &'a Scenario,
    still: StillPlant<'a>,
}

impl<'a> Bench<'a> {
    fn new(scenario: &'a Scenario) -> Result<Self, NetworkError> {
        Ok(Self {
            scenario,
            still: StillPlant::new(scenario)?,
        })
    }

    fn end(&self, room_c: f64, humidity_frac: f64) -> CoolingEnd {
        let air = self.still.air(room_c, humidity_frac);
        let off = vec![false; self.scenario.heaters.len()];
        let waters_c = self.still.plateau_c(air, &off);
        let water_c = waters_c.map(|waters_c| warmest(self.scenario, &waters_c));
        CoolingEnd {
            water_c,
            make_up_l_per_day: water_c
                .map(|water_c| self.still.losses(water_c, air).evaporation_kg_per_s * DAY_S),
        }
    }
}

/// The scenario with its fans never still, a usual one where it has none, and no lid under a fan; which lids came off.
fn blown(scenario: &Scenario) -> (Scenario, Vec<String>) {
    let mut blown = scenario.clone();
    if blown.fans.is_empty() {
        let surface = |tank: &usize| blown.tanks[*tank].surface_m2();
        let widest = (0..blown.tanks.len()).max_by(|a, b| surface(a).total_cmp(&surface(b)));
        let (power_w, speed_m_per_s, share_frac) = USUAL_FAN;
        let tank = TankId(widest.unwrap_or(0));
        let over = &blown.tanks[tank.0];
        let fan = Fan {
            name: format!("assumed over {}", over.name),
            tank,
            power_w,
            speed_m_per_s,
            length_m: over.length_m.min(over.width_m),
            share_frac,
            chain: Vec::new(),
        };
        blown.fans.push(fan);
    }
    let mut opened = Vec::new();
    for fan in &mut blown.fans {
        fan.chain.clear();
        let under = &mut blown.tanks[fan.tank.0];
        if under.cover != Cover::Open {
            under.cover = Cover::Open;
            opened.push(under.name.clone());
        }
    }
    (blown, opened)
}

fn told(scenario: &Scenario, fan: &Fan) -> CoolingFan {
    CoolingFan {
        fan: fan.name.clone(),
        tank: scenario.tanks[fan.tank.0].name.clone(),
        power_w: fan.power_w,
        speed_m_per_s: fan.speed_m_per_s,
        share_frac: fan.share_frac,
    }
}

/// The most humidity at which a line is held: a drier room evaporates more.
fn humidity_limit_frac(holds: impl Fn(f64) -> bool) -> Option<f64> {
    if holds(1.0) {
        return Some(1.0);
    }
    let (mut dry, mut humid) = (0.0, 1.0);
    if !holds(dry) {
        return None;
    }
    while humid - dry > HUMIDITY_FOUND_TO {
        let middle = 0.5 * (dry + humid);
        if holds(middle) {
            dry = middle;
        } else {
            humid = middle;
        }
    }
    Some(dry)
}
