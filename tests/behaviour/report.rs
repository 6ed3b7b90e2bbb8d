//! The report: its figures are those of the records, and what stands in a file stays text. That it is the same page on any number of threads `.ci/run` tries.

use std::sync::LazyLock;

use tepid::compare::{CompareRequest, Silent, compare};
use tepid::report::{FAULTS, ReportRequest, report};
use tepid_output::records::{HealthySummary, ScenarioBlock};
use tepid_output::report::{Input, Report, html};
use tepid_output::wording::Units;
use tepid_scenarios::named_fault_set;
use tepid_sim::scenario::Scenario;
use tepid_sim::strategy::StrategyRecipe;

use super::bad_input::run_in;
use super::support::{scenario_of, strategy};

const TITLE: &str = "Two <b>&\"tanks\"</b> <script>alert(1)</script>";

/// Two small tanks without a controller's extras, for a day: little breaks here, so that it is soon done.
const TANKS: &str = r#"
title = "Two <b>&\"tanks\"</b> <script>alert(1)</script>"
duration = "1 d"

[water]
target = "25 °C"
band = ["24.5 °C", "25.5 °C"]

[livestock]
kind = "invented fish"
source = "invented for this test"
danger_hot = [["29 °C", "3 d"], ["31 °C", "12 h"], ["33 °C", "1 h"]]
danger_cold = [["16 °C", "2 d"], ["14 °C", "12 h"]]

[[tank]]
name = "large"
livestock = true
inside = ["60 cm", "40 cm", "40 cm"]
water_height = "36 cm"

[[tank]]
name = "small"
livestock = true
inside = ["40 cm", "30 cm", "30 cm"]
water_height = "26 cm"

[[pump]]
name = "link"
power = "8 W"
tank = "large"

[[flow]]
from = "large"
to = "small"
rate = "400 L/h"
pump = "link"

[room]
temperature = "22 °C"
humidity = "50 %"
year = { coldest = "21 °C", warmest = "22.5 °C" }

[[heater]]
name = "heater"
power = "150 W"
tank = "large"
chain = ["relay"]

[[contact]]
name = "relay"
kind = "relay"
rating = { life = "100000 closings" }

[[probe]]
name = "main"
tank = "large"
for = "control"
"#;

struct Asked {
    scenarios: Vec<(String, Scenario)>,
    strategies: Vec<(String, Box<dyn StrategyRecipe>)>,
    names: Vec<String>,
}

fn asked() -> Asked {
    let names = ["on-off"].map(str::to_owned).to_vec();
    Asked {
        scenarios: vec![("my tanks.toml".to_owned(), scenario_of(TANKS))],
        strategies: names.iter().map(|name| (name.clone(), strategy(name))).collect(),
        names,
    }
}

fn reported() -> Report {
    let asked = asked();
    let request = ReportRequest {
        scenarios: &asked.scenarios,
        strategies: &asked.strategies,
        strategies_asked: &asked.names,
        changes: &[],
        seed: 7,
        runs: 4,
        units: Units::Metric,
        file: "out.html",
        inputs: vec![Input {
            name: "my tanks.toml".to_owned(),
            text: TANKS.to_owned(),
        }],
        live: None,
    };
    report(&request, &Silent).expect("a report")
}

pub(super) static REPORT: LazyLock<Report> = LazyLock::new(reported);

fn block() -> ScenarioBlock {
    let asked = asked();
    let scenario = asked.scenarios[0].1.clone();
    let sets = FAULTS.map(|name| named_fault_set(&scenario, name).expect("a fault set"));
    let request = CompareRequest {
        scenarios: &[(scenario, sets.to_vec())],
        strategies: &asked.strategies,
        seed: 7,
        replicates: 1,
    };
    let mut compared = compare(&request, &Silent).expect("a comparison");
    compared.scenarios.remove(0)
}

/// Values and texts of the cells of the comparison's body, row by row, by their attributes.
fn table(page: &str) -> Vec<Vec<(String, String)>> {
    let body = page
        .split("<table data-sorts")
        .nth(1)
        .expect("the table")
        .split("</table>")
        .next()
        .expect("its end");
    let rows = body.split("<tr>").skip(2);
    rows.map(|row| {
        let cells = row.split("data-value=\"").skip(1);
        cells
            .map(|cell| {
                let (value, rest) = cell.split_once("\">").expect("a value");
                (
                    value.to_owned(),
                    rest.split('<').next().expect("a text").to_owned(),
                )
            })
            .collect()
    })
    .collect()
}

#[test]
fn every_figure_of_the_table_is_that_of_the_comparison() {
    let block = block();
    let rows = table(&html(&REPORT));
    assert_eq!(rows.len(), block.rows.len());
    for (shown, row) in rows.iter().zip(&block.rows) {
        let healthy = row.healthy.as_ref().expect("runs");
        let worn = healthy.most_worn_contact().expect("a contact");
        let expected = [
            healthy.inside_band_frac(block.duration_h),
            healthy.overshoot_k.map(|spread| spread.worst),
            healthy.undershoot_k.map(|spread| spread.worst),
            Some(worn.closings_per_day.worst),
            worn.life_years.map(|life| life.worst),
            healthy.energy_kwh.map(|spread| spread.mean),
        ];
        assert_eq!(shown[0].0, row.strategy);
        for (shown, expected) in shown[1..7].iter().zip(expected) {
            let shown: Option<f64> = shown.0.parse().ok();
            assert_eq!(
                shown.map(f64::to_bits),
                expected.map(f64::to_bits),
                "{}",
                row.strategy
            );
        }
        let closings = format!("{:.1}", worn.closings_per_day.worst);
        assert_eq!(shown[4].1.trim_end_matches(" *"), closings);
    }
    assert_eq!(REPORT.chapters[0].block.as_ref(), Some(&block));
}

#[test]
fn what_stands_in_a_file_stays_text() {
    let page = html(&REPORT);
    assert!(!page.contains("<script>alert"), "nobody's file runs a script");
    assert!(!page.contains("<b>"));
    assert!(page.contains("Two &lt;b&gt;&amp;&quot;tanks&quot;&lt;/b&gt; &lt;script&gt;"));
    assert_eq!(REPORT.chapters[0].faults.title, TITLE);
}

#[test]
fn the_page_names_nothing_outside_itself() {
    let page = html(&REPORT);
    for fetching in [
        "http://", "https://", "src=", "url(h", "@import", "<iframe", "<object", "<form",
    ] {
        assert!(!page.contains(fetching), "{fetching}");
    }
    assert!(page.contains("default-src 'none'"));
}

#[test]
fn the_first_tank_of_the_list_is_the_first_to_use_up_its_dose() {
    let ranked = &REPORT.ranked;
    let names: Vec<&str> = ranked.iter().map(|one| one.tank.as_str()).collect();
    assert_eq!(names.len(), 2);
    let used_up = |place: usize| {
        let worst = ranked[place].worst.as_ref().expect("a worst fault");
        (worst.used_up_h.unwrap_or(f64::INFINITY), -worst.dose_used)
    };
    assert!(used_up(0) <= used_up(1), "{names:?}");
    let page = html(&REPORT);
    let list = page.split("id=\"ranking\"").nth(1).expect("the list");
    assert!(list.find(names[0]) < list.find(names[1]));
}

#[test]
fn a_course_starts_before_its_fault_and_reaches_the_peak_of_the_record() {
    for strategy in &REPORT.chapters[0].courses {
        let worst = strategy.worst.as_ref().expect("a worst fault");
        let outcome = &worst.row.outcome;
        let tank = REPORT.chapters[0]
            .tanks
            .iter()
            .position(|tank| Some(&tank.name) == outcome.tank.as_ref())
            .expect("its tank");
        let highest_c = worst.course.water_c[tank]
            .iter()
            .flatten()
            .map(|column| column.highest.1)
            .reduce(f64::max);
        let peak_c = outcome.peak_c.expect("a peak");
        assert!(highest_c >= Some(peak_c), "{highest_c:?} and {peak_c}");
        assert!(worst.row.is_single);
    }
}

#[test]
fn every_caution_of_the_records_stands_on_the_page() {
    let page = html(&REPORT);
    let chapter = &REPORT.chapters[0];
    assert!(!chapter.faults.cautions.is_empty());
    for one in &chapter.faults.cautions {
        let text = one.text.replace('&', "&amp;").replace('"', "&quot;");
        assert!(page.contains(&text), "{text}");
    }
}

#[test]
fn the_healthy_runs_of_the_distribution_begin_with_that_of_the_comparison() {
    let block = block();
    for (runs, row) in REPORT.chapters[0].runs.iter().zip(&block.rows) {
        assert_eq!(runs.runs.len(), 4);
        let healthy: &HealthySummary = row.healthy.as_ref().expect("runs");
        let first = runs.runs[0];
        assert!(Some(first.highest_c) >= healthy.highest_c.map(|spread| spread.worst));
        assert!(Some(first.lowest_c) <= healthy.lowest_c.map(|spread| spread.worst));
    }
}

#[test]
fn a_report_that_cannot_be_meant_is_refused_before_anything_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let study = folder.path().join("study.toml");
    std::fs::write(
        &study,
        "scenarios = [\"lidded-nano\"]\nstrategies = [\"on-off\"]\nduration = \"6 h\"\n",
    )
    .expect("a study");
    for (arguments, said) in [
        ("report lidded-nano -o out.html", "--strategy at least once"),
        (
            "report lidded-nano lidded-nano --strategy on-off -o out.html",
            "asked for twice",
        ),
        (
            "report lidded-nano --strategy on-off --results there -o out.html",
            "belong to a study",
        ),
        (
            "report study.toml --strategy on-off -o out.html",
            "in the file: strategies",
        ),
        ("report study.toml --seed 3 -o out.html", "in the file: seed"),
        (
            "report lidded-nano --strategy fan-cooling -o out.html",
            "does not apply",
        ),
    ] {
        let arguments: Vec<&str> = arguments.split(' ').collect();
        let (code, _, error) = run_in(folder.path(), &arguments);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(said), "{error}");
        assert!(!folder.path().join("out.html").exists());
    }
    let (code, _, error) = run_in(folder.path(), &["report", "study.toml", "-o", "out.html"]);
    assert_eq!(code, 0, "{error}");
    let page = std::fs::read_to_string(folder.path().join("out.html")).expect("a page");
    assert!(page.contains("tepid report study.toml -o out.html"));
}
