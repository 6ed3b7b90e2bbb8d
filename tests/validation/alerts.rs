//! How long until somebody must be there: three tanks, heater stuck on or dead.

use crate::case::{budget, net_w_per_k, ran, scenario, strategy};
use crate::row::{Asked, Row, Span, Told};
use tepid_scenarios::fault_set;

/// When the fault strikes, as the files say.
const STRIKES_H: f64 = 12.0;

struct Household {
    file: &'static str,
    case: &'static str,
    w_per_k: f64,
    hot_alert_h: f64,
    hot_30_h: f64,
    cold_alert_h: f64,
    cold_23_h: f64,
}

const HOUSEHOLDS: [Household; 3] = [
    Household {
        file: "alert-200-l.toml",
        case: "200 L, 300 W, 12 W/K, room 21 °C",
        w_per_k: 12.0,
        hot_alert_h: 0.9,
        hot_30_h: 3.9,
        cold_alert_h: 3.9,
        cold_23_h: 16.0,
    },
    Household {
        file: "alert-60-l.toml",
        case: "60 L, 100 W, 5 W/K, room 21 °C",
        w_per_k: 5.0,
        hot_alert_h: 0.9,
        hot_30_h: 3.9,
        cold_alert_h: 2.8,
        cold_23_h: 12.0,
    },
    Household {
        file: "alert-400-l.toml",
        case: "400 L, 300 W, 20 W/K, room 21 °C",
        w_per_k: 20.0,
        hot_alert_h: 2.2,
        hot_30_h: 10.7,
        cold_alert_h: 4.7,
        cold_23_h: 19.0,
    },
];

pub fn rows() -> Vec<Row> {
    HOUSEHOLDS.iter().flat_map(rows_of).collect()
}

fn rows_of(household: &Household) -> Vec<Row> {
    let scenario = scenario(household.file, &[]);
    let after = |set: &str| {
        let set = fault_set(&scenario, set).expect("in the file");
        let faults: Vec<_> = set.cases[0].happenings().cloned().collect();
        // So narrow that it does not matter where in its cycle the fault strikes: by hand the water starts at 26 °C.
        let narrow = strategy("on-off", &[("deadband", "0.05 K")]);
        ran(&scenario, narrow.as_ref(), &faults)
    };
    let (hot, cold) = (after("stuck"), after("dead"));
    let alert_h = |ran: &crate::case::Ran| {
        let at_ms = ran.scores.first_alert_ms.expect("an alert");
        tepid_sim::time::hours(at_ms) - STRIKES_H
    };
    let first = Row {
        case: household.case,
        quantity: "loss".into(),
        unit: "W/K",
        told: Told::ByHand,
        source: "lumped model",
        outside: Span::at(household.w_per_k),
        predicted: Span::at(net_w_per_k(&budget(household.file, &[]))),
        asked: Asked::Within(0.2),
        remark: "the tank is described so that it loses what the question says",
    };
    let hours = |quantity: &str, told_h: f64, found_h: f64| Row {
        quantity: quantity.into(),
        unit: "h",
        outside: Span::at(told_h),
        predicted: Span::at(found_h),
        // Time goes with heat capacity, where by hand panes and heater hold nothing (3 %), and with a loss that by hand is one figure
        // and here grows with the difference (some 5 % more at 9 K than at 5 K, less at 2 K).
        asked: Asked::Within(0.15 * told_h),
        remark: "asked: 15 %; panes hold 3 % of the heat, and the loss for each kelvin falls with the difference: by hand it is one figure",
        ..first.clone()
    };
    vec![
        hours("stuck on, alert at 27 °C", household.hot_alert_h, alert_h(&hot)),
        hours(
            "stuck on, 30 °C",
            household.hot_30_h,
            hot.course.hours_up_to(30.0, STRIKES_H).expect("30 °C"),
        ),
        hours("dead, alert at 25 °C", household.cold_alert_h, alert_h(&cold)),
        hours(
            "dead, 23 °C",
            household.cold_23_h,
            cold.course.hours_down_to(23.0, STRIKES_H),
        ),
        first,
    ]
}

#[test]
fn hot_is_more_urgent_than_cold_for_these_tanks_and_heaters() {
    for household in &HOUSEHOLDS {
        let rows = rows_of(household);
        let (hot, cold) = (&rows[0], &rows[2]);
        assert!(hot.predicted.to * 1.5 < cold.predicted.from, "{}", household.case);
    }
}
