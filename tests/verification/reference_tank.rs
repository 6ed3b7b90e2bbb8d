//! The reference tank of the model page: figures of an independent implementation of the same equations, to which the product
//! must come within 5 % by the physics (no parameter here is fitted).
//!
//! Display 120 × 50 cm, water 45 cm, 12 mm glass; sump 60 × 40 cm, water 25 cm, 6 mm glass; all free and open; 35 g/kg, 25.5 °C; room 21 °C,
//! 50 %; return 1500 L/h by a 25 W pump in the sump, 15 W in the display; 300 W heater in the sump; top-off at tank temperature.
use crate::ledger::compare;
use crate::steps::{WaterByHour, lasting_outage};
use tepid_scenarios::Loaded;
use tepid_sim::ids::{ContactId, PumpId, TankId};
use tepid_sim::physics::heater_body::usual_body;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{
    Contact, ContactKind, Cover, DangerLine, Evaporation, Fitted, Flow, Heater, HeaterKind, Humidity,
    Livestock, Pane, PaneMaterial, Probe, ProbePurpose, Pump, Role, Room, RoomTemperature, Scenario, Tank,
    TopOff, TopOffTemperature, VerdictRoom, Water,
};
use tepid_sim::still::StillPlant;
use tepid_sim::time::{DAY, HOUR, hours};

/// What the page asks.
const TOLERANCE_FRAC: f64 = 0.05;

fn tank(name: &str, length_m: f64, width_m: f64, water_m: f64, glass_m: f64) -> Tank {
    Tank {
        name: name.to_owned(),
        length_m,
        width_m,
        height_m: water_m + 0.05,
        water_height_m: water_m,
        pane: Pane {
            material: PaneMaterial::Glass,
            thickness_m: glass_m,
            extra_sides_m2_k_per_w: 0.0,
            extra_bottom_m2_k_per_w: 0.0,
            free_sides_frac: 1.0,
            free_bottom_frac: 1.0,
        },
        cover: Cover::Open,
        rock_kg: 0.0,
        cabinet: None,
        livestock: name == "display",
        agitation: 1.0,
        surroundings_offset_k: 0.0,
        proportions_assumed: false,
    }
}

/// The reference tank in a constant room at 50 %.
pub fn reference_tank(room_c: f64) -> Scenario {
    let verdict = VerdictRoom {
        temp_c: room_c,
        relative_humidity_frac: 0.5,
        stated: false,
    };
    let pump = |name: &str, power_w: f64, tank: usize| Pump {
        name: name.to_owned(),
        power_w,
        tank: TankId(tank),
        share_to_water_frac: 1.0,
        hours: None,
        starves_below_m: 0.05,
    };
    Scenario {
        circuits: Vec::new(),
        backups: Vec::new(),
        name: "reference-tank".to_owned(),
        title: "Reference tank".to_owned(),
        teaches: String::new(),
        duration_ms: 7 * DAY,
        warm_up_ms: DAY,
        start_date: None,
        start_c: None,
        water: Water {
            salinity_g_per_kg: 35.0,
            target_c: 25.5,
            band_c: (25.0, 26.0),
            salinity_range_g_per_kg: None,
            pressure_pa: 101_325.0,
            evaporation: Evaporation::Shah,
        },
        livestock: Livestock {
            kind: "reef".to_owned(),
            source: "common practice, no source".to_owned(),
            used_to_c: 25.5,
            danger_hot: vec![DangerLine {
                temp_c: 30.0,
                allowed_ms: Some(12 * HOUR),
            }],
            danger_cold: vec![DangerLine {
                temp_c: 20.0,
                allowed_ms: Some(12 * HOUR),
            }],
            fastest_per_hour_k: None,
            fastest_per_day_k: None,
            oxygen: None,
        },
        tanks: vec![
            tank("display", 1.2, 0.5, 0.45, 0.012),
            tank("sump", 0.6, 0.4, 0.25, 0.006),
        ],
        flows: vec![Flow {
            from: TankId(0),
            to: TankId(1),
            rate_m3_per_s: 1.5 / 3600.0,
            pump: Some(PumpId(0)),
        }],
        room: Room {
            temperature: RoomTemperature::constant(room_c),
            humidity: Humidity::ConstantRatio { relative_frac: 0.5 },
            coldest: verdict,
            warmest: verdict,
            lumped: None,
            humidity_course: Vec::new(),
            sun_course: Vec::new(),
        },
        pumps: vec![pump("return", 25.0, 1), pump("stream", 15.0, 0)],
        heaters: vec![Heater {
            name: "main".to_owned(),
            power_w: 300.0,
            tank: TankId(1),
            chain: vec![ContactId(0)],
            body: usual_body(300.0),
            kind: HeaterKind::Immersed,
            exposed_below_m: 0.1,
        }],
        fans: Vec::new(),
        lights: Vec::new(),
        chillers: Vec::new(),
        air_pumps: Vec::new(),
        suns: Vec::new(),
        automatic_change: None,
        top_off: Some(TopOff {
            tank: TankId(1),
            temperature: TopOffTemperature::Tank,
            rate_kg_per_s: 30.0 / 3600.0,
            reservoir_kg: None,
        }),
        boxes: Vec::new(),
        contacts: vec![Contact {
            name: "relay".to_owned(),
            kind: ContactKind::Relay,
            in_box: None,
            role: Some(Role::Heat),
            life_closings: Some(100_000.0),
            own_sensing: None,
        }],
        probes: [("display", 0), ("sump", 1)]
            .map(|(name, tank)| Probe {
                name: name.to_owned(),
                tank: Some(TankId(tank)),
                purpose: ProbePurpose::Control,
                lag_ms: 30_000,
                noise_k: 0.0,
                resolution_k: 0.0,
                offset_k: 0.0,
                drift_k_per_day: 0.0,
            })
            .to_vec(),
        happenings: Vec::new(),
        fault_sets: Vec::new(),
        lives: Vec::new(),
        watches: Vec::new(),
        persons: Vec::new(),
        fitted: Fitted::default(),
        tariff: None,
        assumptions: Vec::new(),
    }
}

/// Where the outside figures come from.
const SOURCE: &str = "an independent implementation of the same tank";

#[track_caller]
fn lands(what: &str, ours: f64, theirs: f64) {
    compare(
        what,
        SOURCE,
        "reference tank",
        (ours, theirs),
        TOLERANCE_FRAC * theirs,
    );
}

/// An end temperature printed to 0.1 K: half its last digit and 5 % of the way from `from_c`.
#[track_caller]
fn ends_at(what: &str, ours_c: f64, theirs_c: f64, from_c: f64) {
    let tolerance_k = 0.05 + TOLERANCE_FRAC * (theirs_c - from_c).abs();
    compare(what, SOURCE, "reference tank", (ours_c, theirs_c), tolerance_k);
}

pub fn the_reference_tank_loses_what_an_independent_implementation_says() {
    let scenario = reference_tank(21.0);
    let still = StillPlant::new(&scenario).expect("plant");
    let air = still.air(21.0, 0.5);
    let losses = still.losses(25.5, air);
    let of = |paths: &[&str]| -> f64 {
        losses
            .paths
            .iter()
            .filter(|path| paths.contains(&path.path.as_str()))
            .map(|path| path.loss_w)
            .sum()
    };
    lands("loss, W", losses.total_w(), 224.0);
    lands("evaporation, W", of(&["evaporation"]), 99.0);
    lands("walls and bottoms, W", of(&["sides", "bottom"]), 90.0);
    lands("radiation, W", of(&["radiation"]), 21.0);
    lands("convection, W", of(&["convection"]), 14.0);
    let sump: f64 = losses
        .paths
        .iter()
        .filter(|path| path.tank == TankId(1))
        .map(|path| path.loss_w)
        .sum();
    lands("of all this the sump, W", sump, 63.0);
    lands("heater, W", losses.total_w() - 40.0, 184.0);
    let slope = still.losses(26.0, air).total_w() - still.losses(25.0, air).total_w();
    lands("slope, W/K", slope, 44.0);
    lands(
        "loss at equal temperatures, W",
        still.losses(25.5, still.air(25.5, 0.5)).total_w(),
        61.0,
    );
    lands(
        "loss in a room at 25 °C, W",
        still.losses(25.5, still.air(25.0, 0.5)).total_w(),
        78.0,
    );
    lands("heat capacity, MJ/K", still.heat_capacity_j_per_k() / 1e6, 1.41);
    lands(
        "time constant, h",
        still.heat_capacity_j_per_k() / slope / 3600.0,
        8.8,
    );
    lands("evaporation, L/day", losses.evaporation_kg_per_s * 86_400.0, 3.5);
}

pub fn the_reference_tank_ends_where_an_independent_implementation_says() {
    for (room_c, end_c) in [(21.0, 28.0), (25.0, 31.2), (29.0, 34.3)] {
        let scenario = reference_tank(room_c);
        let still = StillPlant::new(&scenario).expect("plant");
        let plateau = still.plateau_c(still.air(room_c, 0.5), &[true]).expect("settles");
        ends_at(
            &format!("end with 300 W stuck on in a room of {room_c} °C, °C"),
            plateau[0],
            end_c,
            room_c,
        );
    }
    let scenario = reference_tank(21.0);
    let still = StillPlant::new(&scenario).expect("plant");
    let unheated = still.plateau_c(still.air(21.0, 0.5), &[false]).expect("settles");
    ends_at("end unheated in a room of 21 °C, °C", unheated[0], 20.9, 21.0);
}

pub fn a_stuck_heater_passes_30_degrees_when_an_independent_implementation_says() {
    for (room_c, expected_h) in [(21.0, None), (25.0, Some(12.8)), (29.0, Some(5.9))] {
        let scenario = reference_tank(room_c);
        let still = StillPlant::new(&scenario).expect("plant");
        let mut passed_ms = None;
        still.follow(still.air(room_c, 0.5), &[true], 72 * HOUR, |at_ms, waters_c| {
            if waters_c[0] >= 30.0 {
                passed_ms.get_or_insert(at_ms);
            }
        });
        match (passed_ms, expected_h) {
            (None, None) => {}
            (Some(passed_ms), Some(expected_h)) => {
                lands(
                    &format!("hours to 30 °C at a room of {room_c} °C"),
                    hours(passed_ms),
                    expected_h,
                );
            }
            other => panic!("at a room of {room_c} °C: {other:?}"),
        }
    }
}

pub fn without_power_the_reference_tank_cools_as_an_independent_implementation_says() {
    let scenario = Scenario {
        warm_up_ms: 0,
        duration_ms: DAY,
        ..reference_tank(21.0)
    };
    let recipe = tepid_scenarios::strategy("on-off").expect("built in").recipe;
    let faults = [lasting_outage()];
    let mut course = WaterByHour::default();
    let request = RunRequest {
        faults: &faults,
        ..RunRequest::new(&scenario, recipe.as_ref(), 7)
    };
    run(&request, Some(&mut course)).expect("runs");
    for (after_h, theirs_c) in [(2, 24.6), (6, 23.2), (12, 21.9)] {
        let ours_c = course.0[after_h];
        ends_at(
            &format!("without power after {after_h} h, °C"),
            ours_c,
            theirs_c,
            25.5,
        );
    }
}

pub fn on_off_closes_as_often_as_an_independent_implementation_says() {
    // "About 8" and "11" are whole numbers: half a closing of print rounding, and half a closing that may fall across midnight.
    const TOLERANCE_PER_DAY: f64 = 1.0;
    let scenario = reference_tank(21.0);
    for (probe, theirs_per_day) in [("display", 8.0), ("sump", 11.0)] {
        let text = format!("strategy = \"on-off\"\ndeadband = \"0.5 K\"\nprobe = \"{probe}\"");
        let Ok(Loaded::Strategy(strategy)) = tepid_scenarios::load_str("strategy.toml", &text) else {
            panic!("{text} is a strategy");
        };
        let scores = run(&RunRequest::new(&scenario, strategy.recipe.as_ref(), 7), None).expect("runs");
        let ours_per_day = scores.contacts[0].closings_per_day;
        compare(
            &format!("closings a day from the {probe} probe"),
            SOURCE,
            "reference tank",
            (ours_per_day, theirs_per_day),
            TOLERANCE_PER_DAY,
        );
    }
}
