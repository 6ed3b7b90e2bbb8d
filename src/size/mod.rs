//! Which heaters to buy: strong enough for the coldest room, weak enough that one stuck on in the warmest leaves time to act.
//!
//! What the coldest room needs is the heat budget's ([`crate::budget`]). What a failing heater does is run ([`crate::exposure`]): each power that is
//! looked at is a tank with those heaters, one of which fails at the worst instant and is followed for 72 h, beside the same time with nothing
//! broken.

mod bench;
mod changes;
mod cooling;
mod outage;
mod range;
mod rules;
mod savings;

use rayon::prelude::*;
use tepid_output::cautions::{self, Caution};
use tepid_output::records::{
    Budget, FORMAT_VERSION, LINES_SPEAK_FOR_K, RecordKind, RoomKind, Size, SizeChoice, SizeRoom, SizeRunning,
    SizeSplit, Tariff,
};
use tepid_scenarios::USUAL_WRAP_M2_K_PER_W;
use tepid_sim::network::NetworkError;
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::run::RunError;
use tepid_sim::scenario::{Scenario, VerdictRoom};
use tepid_sim::time::hours;
use tepid_strategies::parameter::ParamError;

use crate::budget::{budget, room_words, systems_alone};
use crate::compare::Progress;
use crate::exposure::HORIZON_MS;
use crate::rooms;
use bench::{Failing, HALF_DEADBAND_K, Heaters, equipped, fate, heated_tank, sensed_tank, unbroken};
pub use cooling::cooling;
pub use outage::{Outage, outage};
use range::{Demand, SEARCHED_TO_W, split};
pub use savings::savings;

/// Ratings sold, W. Common practice, no source.
pub const RATINGS_W: [f64; 10] = [25.0, 50.0, 75.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0];

/// Most heaters that are looked at. A choice: more seldom find room.
const MOST_HEATERS: u32 = 4;

/// Days for which costs are told.
const COST_DAYS: f64 = 30.0;

/// What to size, and for what.
#[derive(Debug, Clone, Copy)]
pub struct SizeRequest<'a> {
    /// The tank and its rooms.
    pub scenario: &'a Scenario,
    /// How long a failed heater goes on before somebody is there, h; at most the 72 h for which a failure is followed.
    pub response_h: f64,
    /// Power beyond what the coldest room needs, as a share of that need.
    pub reserve_frac: f64,
    /// The mains out; `None`: not asked.
    pub outage: Option<Outage>,
}

/// Why heaters cannot be sized.
#[derive(Debug, thiserror::Error)]
pub enum SizeError {
    /// The livestock bears anything.
    #[error(
        "no danger lines are stated, so there is no dose to stay below: state `danger_hot` and `danger_cold` under [livestock]"
    )]
    NoDangerLines,
    /// A house that is to get colder than it is.
    #[error(
        "the house is to fall to {to_c} °C, but the coldest room is {from_c} °C: state a colder one, or a warmer `room.year.coldest`"
    )]
    HouseNoColder {
        /// To this, °C.
        to_c: f64,
        /// From this, °C.
        from_c: f64,
    },
    /// The scenario makes no network.
    #[error(transparent)]
    Network(#[from] NetworkError),
    /// A run that was needed failed.
    #[error(transparent)]
    Run(#[from] RunError),
    /// The heaters' thermostats cannot be set up.
    #[error(transparent)]
    Thermostat(#[from] ParamError),
    /// A run with a failing heater failed.
    #[error("{0}")]
    Failed(String),
}

/// The heaters of every water system of a scenario, in the order of their first tanks.
///
/// # Errors
/// [`SizeError`].
pub fn sizes(request: &SizeRequest<'_>, progress: &dyn Progress) -> Result<Vec<Size>, SizeError> {
    let alone = systems_alone(request.scenario)?;
    if alone.is_empty() {
        return Ok(vec![size(request, progress)?]);
    }
    let of_each = alone.iter().map(|system| {
        let request = SizeRequest {
            scenario: &system.scenario,
            ..*request
        };
        Ok(Size {
            system: Some(system.name.clone()),
            ..size(&request, progress)?
        })
    });
    of_each.collect()
}

/// The heaters of a scenario that is one water system; [`sizes`] has those of each of several.
///
/// # Errors
/// [`SizeError`].
pub fn size(request: &SizeRequest<'_>, progress: &dyn Progress) -> Result<Size, SizeError> {
    let SizeRequest {
        scenario,
        response_h,
        reserve_frac,
        outage: asked,
    } = *request;
    let livestock = &scenario.livestock;
    let hottest = livestock
        .danger_hot
        .last()
        .filter(|_| !livestock.danger_cold.is_empty());
    let hottest = hottest.ok_or(SizeError::NoDangerLines)?;
    let needed_w = needed_w(scenario)?;
    let demand = Demand {
        power_w: needed_w * (1.0 + reserve_frac),
        response_h,
    };
    let volume_l: f64 = 1000.0
        * scenario
            .tanks
            .iter()
            .map(|tank| tank.water_volume_m3())
            .sum::<f64>();
    let counts: Vec<u32> = if needed_w > 0.0 {
        (1..=MOST_HEATERS).collect()
    } else {
        Vec::new()
    };
    let circumstances = changes::circumstances(scenario, response_h);
    if needed_w > 0.0 {
        progress.expect(counts.len() as u64 + circumstances.len() as u64 + rules::COUNT);
    }
    let done = || progress.done();
    let splits = counts
        .par_iter()
        .map(|count| {
            let split = split(scenario, demand, *count);
            done();
            split
        })
        .collect::<Result<Vec<_>, _>>()?;
    let chosen = splits.iter().find(|split| !split.ratings_w.is_empty());
    let choice = chosen
        .map(|split| choice(scenario, needed_w, response_h, split))
        .transpose()?;
    let bought = choice.as_ref().map_or(Heaters::SOME, |choice| Heaters {
        count: choice.heaters,
        each_w: choice.each_w,
    });
    let changes = match chosen.or(splits.last()) {
        Some(beside) => changes::changes(&circumstances, reserve_frac, beside, &done)?,
        None => Vec::new(),
    };
    Ok(Size {
        format: RecordKind::Size,
        version: FORMAT_VERSION,
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        system: None,
        target_c: scenario.water.target_c,
        volume_l,
        response_h,
        followed_h: hours(HORIZON_MS),
        reserve_frac,
        hottest_line_c: hottest.temp_c,
        lines_speak_for_k: LINES_SPEAK_FOR_K,
        coldest: room(scenario.room.coldest),
        warmest: room(scenario.room.warmest),
        needed_w,
        searched_to_w: SEARCHED_TO_W,
        warmest_alone: unbroken(scenario, response_h)?,
        choice,
        splits,
        running: rooms::ROOMS
            .into_iter()
            .map(|kind| running(scenario, kind))
            .collect::<Result<_, _>>()?,
        tariff: scenario.tariff.as_ref().map(Tariff::from),
        savings: savings(scenario)?,
        rules: if needed_w > 0.0 {
            rules::rules(scenario, demand, needed_w, volume_l, &done)?
        } else {
            Vec::new()
        },
        changes,
        cooling: cooling(scenario)?,
        outage: asked.map(|asked| outage::outage(scenario, asked)).transpose()?,
        warnings: budget(&equipped(scenario, bought))?.warnings,
        assumptions: assumptions(request),
        cautions: size_cautions(scenario, asked.is_some()),
    })
}

/// The budget of heaters in the water that hold the target in one of the rooms.
fn held(scenario: &Scenario, kind: RoomKind) -> Result<Budget, NetworkError> {
    budget(&rooms::in_room(&equipped(scenario, Heaters::SOME), kind))
}

/// Electricity that heaters need in the mean to hold the target in the coldest room, W.
fn needed_w(scenario: &Scenario) -> Result<f64, NetworkError> {
    Ok(held(scenario, RoomKind::Coldest)?.heater_needed_w)
}

fn room(verdict: VerdictRoom) -> SizeRoom {
    SizeRoom {
        room_c: verdict.temp_c,
        relative_humidity_frac: verdict.relative_humidity_frac,
        stated: verdict.stated,
    }
}

/// The weakest rating that does, for then one stuck on does least.
fn choice(
    scenario: &Scenario,
    needed_w: f64,
    response_h: f64,
    split: &SizeSplit,
) -> Result<SizeChoice, SizeError> {
    let heaters = Heaters {
        count: split.heaters,
        each_w: split.ratings_w[0],
    };
    let told = |failing| fate(scenario, heaters, failing, response_h);
    Ok(SizeChoice {
        heaters: heaters.count,
        each_w: heaters.each_w,
        reserve_frac: f64::from(heaters.count) * heaters.each_w / needed_w - 1.0,
        coldest_room_held_c: rules::holds_down_to_c(scenario, heaters)?,
        stuck: told(Failing::StuckOn)?,
        dead: told(Failing::Dead)?,
    })
}

/// Electricity with which heaters hold the target, kWh a day.
fn kwh_per_day(found: &Budget) -> f64 {
    found.heater_needed_w * 24.0 / 1000.0
}

/// What holding the target takes in one of the rooms of a scenario that is one water system, by the budget.
///
/// # Errors
/// [`SizeError`].
pub fn running(scenario: &Scenario, kind: RoomKind) -> Result<SizeRunning, SizeError> {
    let found = held(scenario, kind)?;
    let kwh_per_day = kwh_per_day(&found);
    Ok(SizeRunning {
        room: room_words(scenario, kind).to_owned(),
        room_c: found.room_c,
        heaters_w: found.heater_needed_w,
        kwh_per_day,
        cost_per_30_days: savings::cost_per_30_days(scenario, kwh_per_day),
        make_up_l_per_day: found.evaporation_l_per_day,
    })
}

/// What the answer rests on, the scenario's own assumptions after it.
fn assumptions(request: &SizeRequest<'_>) -> Vec<String> {
    let scenario = request.scenario;
    let (hung, sensed) = (heated_tank(scenario), sensed_tank(scenario));
    let (coldest, warmest) = (
        room_words(scenario, RoomKind::Coldest),
        room_words(scenario, RoomKind::Warmest),
    );
    let listed: Vec<String> = RATINGS_W
        .iter()
        .map(|rating_w| format!("{rating_w:.0}"))
        .collect();
    let mut all = vec![
        format!(
            "a failed heater goes on for {} before somebody is there (--response), with no alert, cut-out or controller that stops it sooner",
            print(Kind::Time, request.response_h * 3600.0, System::Metric)
        ),
        format!(
            "all heaters together have {:.0} % more than the coldest room needs (--reserve; common practice, no source): low mains, old heaters, an \
             evaporation that is not known to a fifth",
            100.0 * request.reserve_frac
        ),
        format!("the coldest room: {coldest}; the warmest: {warmest}; each for good"),
        format!(
            "equal heaters under the water of {}, each with a thermostat of its own on the water of {}, {HALF_DEADBAND_K} K either side of the target; one of \
             them fails at the worst instant, the others work",
            scenario.tanks[hung.0].name, scenario.tanks[sensed.0].name
        ),
        format!(
            "bearable: before help is there the dose of the stated danger lines is not used up, and the water is no farther than {LINES_SPEAK_FOR_K:.0} K \
             beyond the severest of them (an assumption, no source): farther out they say nothing"
        ),
        format!(
            "ratings sold: {} W (common practice, no source)",
            listed.join(", ")
        ),
        "fans and chillers that a controller switches stand still; what the scenario lets happen is left out"
            .to_owned(),
    ];
    all.push(
        "the hottest day: every heater and chiller off, fans that never stop, for good; salinity is held by topping off with fresh water"
            .to_owned(),
    );
    if let Some(asked) = request.outage {
        all.push(match asked.house_falls_to_c {
            Some(to_c) => format!(
                "the house cools evenly to {} until the mains are back, and is then at once as warm as before",
                print(Kind::Temperature, to_c, System::Metric)
            ),
            None => "the house stays as warm as it is in an outage (--house-falls-to says otherwise)".to_owned(),
        });
        all.push(format!(
            "the heater that holds a line in an outage hangs in {}: one in a sump warms nothing while its pump stands",
            scenario.tanks[sensed.0].name
        ));
        all.push(format!(
            "an outage begins at the target with nothing else broken and everything without mains still, but for air pumps with a battery of their own; \
             the sides of every tank are wrapped with {} from the start or not at all (an assumption, no source: some 10 mm of loose wool)",
            print(Kind::ThermalResistance, USUAL_WRAP_M2_K_PER_W, System::Metric)
        ));
    }
    all.extend(scenario.assumptions.iter().cloned());
    all
}

fn size_cautions(scenario: &Scenario, outage: bool) -> Vec<cautions::Cautioned> {
    let with_one = equipped(scenario, Heaters::SOME);
    let failing = [Failing::StuckOn, Failing::Dead].map(|failing| failing.happening(&with_one));
    let mut all = cautions::for_happenings(&with_one, failing.iter());
    if outage {
        all.extend(cautions::for_happenings(scenario, [outage::mains_out()].iter()));
    }
    all.extend(cautions::for_equipment(&with_one));
    all.push(Caution::FanNearWater.because("a fan on the hottest day"));
    cautions::gathered(all)
}
