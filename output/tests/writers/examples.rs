//! Records built by hand.

use tepid_output::cautions::Caution;
use tepid_output::records::{
    Budget, BudgetPath, Comparison, ContactWear, Coverage, CoveredSet, DangerLine, Explained,
    ExplainedParameter, Explanation, FORMAT_VERSION, FaultKind, FaultMatrix, FaultOutcome, FaultRow,
    HealthySummary, HoursToLine, Listed, Listing, Livestock, PagePart, PastCase, RecordKind, RoomBlock,
    RoomKind, ScenarioBlock, Spread, Standing, StrategyFaults, StrategyRow, StuckOn, WayStep,
};

pub fn even(value: f64) -> Option<Spread> {
    Some(Spread {
        mean: value,
        worst: value,
    })
}

fn line(temp_c: f64, allowed_h: f64) -> DangerLine {
    DangerLine {
        temp_c,
        allowed_h: Some(allowed_h),
    }
}

pub fn livestock() -> Livestock {
    Livestock {
        kind: "tropical reef".to_owned(),
        source: "common practice, no source".to_owned(),
        danger_hot: vec![line(28.5, 72.0), line(30.0, 12.0), line(32.0, 1.0)],
        danger_cold: vec![line(22.0, 48.0), line(20.0, 12.0), line(18.0, 2.0)],
        fastest_per_hour_k: Some(1.0),
        fastest_per_day_k: None,
    }
}

/// A healthy run: hours outside the band, overshoot K, closings a day.
pub fn healthy(outside_h: f64, overshoot_k: f64, closings_per_day: f64) -> HealthySummary {
    HealthySummary {
        tank: "display".to_owned(),
        mean_c: Some(25.48),
        highest_c: even(25.5 + overshoot_k),
        lowest_c: even(25.21),
        overshoot_k: even(overshoot_k),
        undershoot_k: even(0.29),
        above_band_h: even(outside_h),
        below_band_h: even(0.0),
        rms_deviation_k: even(0.14),
        fastest_per_hour_k: even(0.4),
        fastest_per_day_k: even(0.5),
        hot_dose: even(0.0),
        cold_dose: even(0.0),
        hot_used_up_h: None,
        cold_used_up_h: None,
        heaters_on_frac: even(0.6),
        contacts: vec![ContactWear {
            contact: "relay left".to_owned(),
            closings_per_day: Spread {
                mean: closings_per_day,
                worst: closings_per_day,
            },
            life_years: even(100_000.0 / (closings_per_day * 365.0)),
        }],
        heating_against_cooling_h_per_day: None,
        room_heating_kwh_per_day: None,
        room_cooling_kwh_per_day: None,
        energy_kwh: even(31.4),
        cost: None,
        evaporated_l_per_day: even(3.5),
        hottest_body_c: even(39.0),
        oxygen: None,
        past_dose: None,
    }
}

/// A weld that stays below the dose.
pub fn harmless_weld() -> FaultOutcome {
    FaultOutcome {
        set: "one contact welded".to_owned(),
        case: "relay left welded".to_owned(),
        component: Some("relay left".to_owned()),
        kind: FaultKind::HeaterWelded,
        room: RoomKind::Scenario,
        room_lowest_c: 18.4,
        room_highest_c: 21.0,
        began_h: Some(4.2),
        tries: 8,
        horizon_h: 72.0,
        tank: Some("display".to_owned()),
        peak_c: Some(27.9),
        lowest_c: Some(25.3),
        hot_dose: Some(0.0),
        cold_dose: Some(0.0),
        beyond_k_h: Some(0.0),
        hottest_body_c: Some(41.0),
        peak_without_fault_c: Some(25.8),
        lowest_without_fault_c: Some(25.3),
        hot_dose_without_fault: Some(0.0),
        cold_dose_without_fault: Some(0.0),
        hot_reached_without_fault_h: vec![None, None, None],
        cold_reached_without_fault_h: vec![None, None, None],
        hot_used_up_h: None,
        cold_used_up_h: None,
        hot_used_up_without_fault_h: None,
        cold_used_up_without_fault_h: None,
        hot_reached_h: vec![None, None, None],
        cold_reached_h: vec![None, None, None],
        first_alert_h: None,
        heard_h: None,
        heard_by: None,
        acted_h: None,
        warning_lead_h: None,
        oxygen: None,
        salinity: None,
        past_dose: None,
        stays_below_dose: Some(true),
        failure: None,
        cautions: vec![Caution::StuckHeater],
    }
}

/// A weld in the warmest room, where the water passes the dose after so many hours with nothing broken.
pub fn blameless_weld(used_up_h: f64) -> FaultOutcome {
    FaultOutcome {
        room: RoomKind::Warmest,
        room_lowest_c: 29.0,
        room_highest_c: 29.0,
        began_h: Some(0.0),
        peak_c: Some(29.6),
        hot_dose: Some(2.1),
        hot_used_up_h: Some(used_up_h),
        hot_used_up_without_fault_h: Some(used_up_h),
        peak_without_fault_c: Some(29.6),
        hot_dose_without_fault: Some(2.1),
        hot_reached_without_fault_h: vec![Some(0.0), None, None],
        hot_reached_h: vec![Some(0.0), None, None],
        stays_below_dose: Some(false),
        ..harmless_weld()
    }
}

/// A weld that uses up the dose after so many hours.
pub fn harmful_weld(used_up_h: f64) -> FaultOutcome {
    FaultOutcome {
        peak_c: Some(33.14),
        hot_dose: Some(14.0),
        hot_used_up_h: Some(used_up_h),
        hot_reached_h: vec![
            Some(used_up_h / 3.0),
            Some(used_up_h / 2.0),
            Some(used_up_h * 1.5),
        ],
        stays_below_dose: Some(false),
        ..harmless_weld()
    }
}

pub fn row(strategy: &str, healthy: HealthySummary, faults: Vec<FaultOutcome>) -> StrategyRow {
    StrategyRow {
        strategy: strategy.to_owned(),
        settings: "0.4 K deadband, centred".to_owned(),
        does_not_apply: None,
        healthy: Some(healthy),
        closings_by_body: None,
        faults,
        standing: Standing::NotJudged,
        best_in: Vec::new(),
        failures: Vec::new(),
    }
}

pub fn fanless_row(strategy: &str) -> StrategyRow {
    StrategyRow {
        does_not_apply: Some("no fan".to_owned()),
        healthy: None,
        ..row(strategy, healthy(0.0, 0.0, 1.0), Vec::new())
    }
}

pub fn block(rows: Vec<StrategyRow>) -> ScenarioBlock {
    let room = |room, lowest_c, highest_c| RoomBlock {
        room,
        lowest_c,
        highest_c,
        outdoors_c: None,
        relative_humidity_frac: 0.45,
        stated: true,
    };
    let mut block = ScenarioBlock {
        name: "spare-room-winter".to_owned(),
        title: "Spare-room reef, winter week".to_owned(),
        target_c: 25.5,
        band_c: [25.0, 26.0],
        duration_h: 168.0,
        rooms: vec![
            room(RoomKind::Scenario, 18.4, 21.0),
            room(RoomKind::Coldest, 16.0, 16.0),
            room(RoomKind::Warmest, 29.0, 29.0),
        ],
        livestock: livestock(),
        has_alerts: false,
        somebody_acts: false,
        warnings: Vec::new(),
        trial_instants_h: (0..8).map(|phase| f64::from(phase) * 3.0).collect(),
        assumptions: vec!["sump: usual proportions assumed for 60 L".to_owned()],
        rows,
        verdict: Vec::new(),
        cautions: vec![
            Caution::StuckHeater.because("relay left welded"),
            Caution::MainsNearWater.because("heaters in the water"),
            Caution::NoCertificate.because("any result"),
        ],
    };
    block.judge();
    block
}

/// A comparison of this block alone.
pub fn of_block(block: ScenarioBlock) -> Comparison {
    Comparison {
        scenarios: vec![block],
        ..comparison()
    }
}

/// Five strategies: two fit to use, two one fault away, one that does not apply.
pub fn comparison() -> Comparison {
    let in_warmest = |outcome: FaultOutcome| FaultOutcome {
        room: RoomKind::Warmest,
        room_lowest_c: 29.0,
        room_highest_c: 29.0,
        ..outcome
    };
    Comparison {
        format: RecordKind::Comparison,
        version: tepid_output::records::FORMAT_VERSION,
        seed: 7,
        replicates: 1,
        scenarios: vec![block(vec![
            row("on-off", healthy(0.1, 0.21, 11.2), vec![harmful_weld(9.0)]),
            row(
                "proportional",
                healthy(0.0, 0.08, 144.0),
                vec![harmful_weld(11.0)],
            ),
            row(
                "staggered-pair",
                healthy(0.4, 0.31, 6.0),
                vec![harmless_weld(), in_warmest(harmless_weld())],
            ),
            row("dual-heaters", healthy(0.4, 0.28, 8.5), vec![harmless_weld()]),
            fanless_row("fan-cooling"),
        ])],
    }
}

pub fn fault_matrix(rows: Vec<FaultRow>) -> FaultMatrix {
    let block = block(Vec::new());
    FaultMatrix {
        format: RecordKind::Faults,
        version: 1,
        seed: 7,
        scenario: block.name,
        title: block.title,
        target_c: block.target_c,
        band_c: block.band_c,
        rooms: block.rooms,
        livestock: block.livestock,
        trial_instants_h: block.trial_instants_h,
        somebody_acts: false,
        changes_offered: Vec::new(),
        strategies: vec![StrategyFaults {
            strategy: "on-off".to_owned(),
            settings: "0.4 K deadband, centred on the target".to_owned(),
            held: None,
            faults: rows,
            pairs: None,
            exposure: Vec::new(),
            single_points: Vec::new(),
            failures: Vec::new(),
        }],
        warnings: Vec::new(),
        assumptions: Vec::new(),
        cautions: Vec::new(),
    }
}

/// A row of a fault matrix of which nothing but the outcome is known.
pub fn fault_row(outcome: FaultOutcome) -> FaultRow {
    FaultRow {
        outcome,
        is_single: true,
        stopped_by: None,
        exceeds: None,
    }
}

pub fn budget() -> Budget {
    let path = |name: &str, tank: &str, power_w: f64| BudgetPath {
        name: name.to_owned(),
        tank: tank.to_owned(),
        power_w,
        percent: power_w / 224.0 * 100.0,
    };
    Budget {
        format: RecordKind::Budget,
        version: tepid_output::records::FORMAT_VERSION,
        scenario: "spare-room-winter".to_owned(),
        title: "Spare-room reef, winter week".to_owned(),
        system: None,
        target_c: 25.5,
        room_c: 21.0,
        building: None,
        relative_humidity_frac: 0.5,
        losses: vec![
            path("evaporation", "display", 99.0),
            path("walls", "display", 90.0),
            path("radiation", "display", 21.0),
            path("convection", "display", 14.0),
        ],
        gains: vec![
            path("pump return", "sump", 25.0),
            path("pump stream", "display", 15.0),
        ],
        total_loss_w: 224.0,
        slope_w_per_k: 44.0,
        loss_at_equal_temperatures_w: 61.0,
        heat_capacity_j_per_k: 1.41e6,
        time_constant_h: 8.8,
        heat_needed_w: 184.0,
        heater_needed_w: 184.0,
        heaters_rated_w: 400.0,
        heaters_to_water_w: 400.0,
        coldest_room_held_c: None,
        evaporation_l_per_day: 3.5,
        unheated_c: Some(20.9),
        stuck_on_followed_h: 72.0,
        stuck_on: vec![StuckOn {
            room: "constant at the year's warmest".to_owned(),
            room_c: 29.0,
            relative_humidity_frac: 0.5,
            end_c: Some(34.3),
            hours_to_lines: vec![
                HoursToLine {
                    temp_c: 30.0,
                    after_h: Some(5.9),
                },
                HoursToLine {
                    temp_c: 36.0,
                    after_h: None,
                },
            ],
        }],
        by_correlation: Vec::new(),
        uncertainty: None,
        warnings: Vec::new(),
        assumptions: Vec::new(),
        cautions: vec![Caution::StuckHeater.because("every heater on for good")],
    }
}

pub fn listing() -> Listing {
    let listed = |name: &str, summary: &str| Listed {
        name: name.to_owned(),
        summary: summary.to_owned(),
    };
    Listing {
        scenarios: vec![listed(
            "spare-room-winter",
            "A reef tank through a bad winter week",
        )],
        strategies: vec![listed("on-off", "One threshold each way")],
        guards: vec![listed("software-limit", "Opens everything above a line")],
        faults: vec![listed("one contact welded", "Each contact in turn cannot open")],
    }
}

pub fn explanation() -> Explanation {
    let past = |case: &str, used_up_h| {
        Some(PastCase {
            case: case.to_owned(),
            room: RoomKind::Warmest,
            used_up_h,
        })
    };
    let set = |set: &str, past, past_without_guard| CoveredSet {
        set: set.to_owned(),
        cases: 2,
        past,
        past_without_guard,
    };
    let step = |kind: &str, what: &str| WayStep {
        kind: kind.to_owned(),
        what: what.to_owned(),
    };
    Explanation {
        format: RecordKind::Explanation,
        version: FORMAT_VERSION,
        name: "software-limit".to_owned(),
        is: Explained::Guard,
        summary: "opens everything above a line".to_owned(),
        settings: "opens above 27 °C".to_owned(),
        page: vec![PagePart {
            heading: "Law".to_owned(),
            text: "Above a line it opens,\nbelow another it lets go.\n- A second paragraph, which is long enough to be broken at the hundredth column of the page."
                .to_owned(),
        }],
        parameters: vec![ExplainedParameter {
            name: "opens_above".to_owned(),
            takes: "a temperature, such as 25.5 °C".to_owned(),
            default: "1 K above the scenario's band".to_owned(),
            range: Some("0 °C to 45 °C".to_owned()),
            doc: "opens when warmer".to_owned(),
            trade: Some("wider: fewer closings and a wider swing".to_owned()),
        }],
        way: vec![step("probe", "`main` in sump"), step("contact", "`relay` -> heater `heater`")],
        scenario: "spare-room-winter".to_owned(),
        added: Some("two more probes beside `main`".to_owned()),
        does_not_apply: None,
        coverage: Some(Coverage {
            followed_h: 72.0,
            compared_with: Some("on-off".to_owned()),
            tried: "on-off with software-limit".to_owned(),
            sets: vec![
                set("helped", None, past("probe main silent", 13.8)),
                set("harmed", past("heater dead", 9.0), None),
                set("neither", past("relay welded", 7.4), past("relay welded", 7.2)),
                set("harmless", None, None),
            ],
        }),
        cautions: vec![Caution::StuckHeater.because("software opens no welded contact")],
    }
}
