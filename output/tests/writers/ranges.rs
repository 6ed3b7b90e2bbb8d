//! How far a budget may be off, in every format.

use crate::examples;
use tepid_output::records::{
    Budget, ByCorrelation, Interval, UncertainHoursToLine, UncertainParameter, UncertainStuckOn, Uncertainty,
    Warning,
};
use tepid_output::wording::Units;
use tepid_output::{csv_text, json, table};

fn interval(p05: f64, p50: f64, p95: Option<f64>) -> Interval {
    Interval {
        p05: Some(p05),
        p50: Some(p50),
        p95,
    }
}

fn parameter(words: &str, loss: f64, end: Option<f64>) -> UncertainParameter {
    UncertainParameter {
        parameter: words.to_owned(),
        words: words.to_owned(),
        distribution: "uniform 0.8 to 1.2 (factor)".to_owned(),
        source: "an assumption".to_owned(),
        rank_correlation_loss: loss,
        rank_correlation_warmest_end: end,
    }
}

fn uncertain_budget() -> Budget {
    let line = |temp_c, reached_frac, after_h| UncertainHoursToLine {
        temp_c,
        reached_frac,
        after_h,
    };
    Budget {
        by_correlation: [
            ("Shah 2014", true, Some(34.3)),
            ("VDI 2089, pool not in use", false, None),
        ]
        .map(|(correlation, own, warmest_end_c)| ByCorrelation {
            correlation: correlation.to_owned(),
            own,
            total_loss_w: 224.0,
            slope_w_per_k: 44.0,
            evaporation_l_per_day: 3.5,
            warmest_end_c,
        })
        .to_vec(),
        uncertainty: Some(Uncertainty {
            samples: 500,
            seed: 7,
            parameters: vec![
                parameter("how stirred the surface is", 0.71, None),
                parameter("how warm the room is", -0.5, Some(0.6)),
            ],
            total_loss_w: interval(190.0, 230.0, Some(301.0)),
            slope_w_per_k: interval(38.0, 44.0, Some(52.0)),
            stuck_on: vec![UncertainStuckOn {
                room: "constant at the year's warmest".to_owned(),
                room_c: 29.0,
                end_c: interval(33.0, 34.3, None),
                hours_to_lines: vec![
                    line(30.0, 1.0, interval(4.8, 5.9, Some(7.2))),
                    line(
                        34.0,
                        0.42,
                        Interval {
                            p05: Some(20.0),
                            p50: None,
                            p95: None,
                        },
                    ),
                    line(
                        36.0,
                        0.0,
                        Interval {
                            p05: None,
                            p50: None,
                            p95: None,
                        },
                    ),
                ],
            }],
        }),
        warnings: vec![Warning {
            what: "The water of display stands still for 12 h".to_owned(),
            why: "It may lie in layers.".to_owned(),
            advice: "Mind where the probe hangs.".to_owned(),
        }],
        ..examples::budget()
    }
}

#[test]
fn a_range_is_told_in_words_before_the_tables() {
    let text = table::budget(&uncertain_budget(), Units::Metric);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "This tank's loss is 224 W: 190 W to 301 W in nine of ten cases.",
        "how stirred the surface is; then how warm the room is",
        "33.0 °C to no end",
        "30 °C after 4.8 h to 7.2 h, 34 °C in 42 %",
        "36 °C not within 72 h",
        "Shah 2014, as the scenario says",
        "The water of display stands still for 12 h. It may lie in layers. Mind where the probe hangs.",
    ] {
        assert!(flat.contains(part), "`{part}` is not in:\n{text}");
    }
    assert!(text.find("nine of ten cases") < text.find("Heat goes out by"));
    for units in [Units::Metric, Units::Us] {
        let text = table::budget(&uncertain_budget(), units);
        assert!(
            text.lines().all(|line| line.chars().count() <= table::WIDTH),
            "{text}"
        );
    }
}

#[test]
fn without_ranges_a_budget_says_nothing_of_them() {
    let text = table::budget(&examples::budget(), Units::Metric);
    for part in ["nine of ten", "other published", "Outside what the model"] {
        assert!(!text.contains(part), "{text}");
    }
}

#[test]
fn an_end_that_is_not_known_stays_missing_in_csv_and_json() {
    let record = uncertain_budget();
    let csv = csv_text::leaves(&record).expect("csv");
    assert!(csv.contains("uncertainty.stuck_on[0].end_c.p95,\n"), "{csv}");
    assert!(csv.contains("by_correlation[1].warmest_end_c,\n"), "{csv}");
    let text = json::json(&record).expect("json");
    assert_eq!(serde_json::from_str::<Budget>(&text).expect("read"), record);
}
