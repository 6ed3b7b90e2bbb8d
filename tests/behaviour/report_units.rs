//! The report in US units: the same quantities, read on another scale.

use tepid_output::report::{Report, html};
use tepid_output::wording::Units;

use super::bad_input::run_in;
use super::report::REPORT;

const LITRES_PER_GALLON: f64 = 3.785_411_784;

fn page(units: Units) -> String {
    html(&Report {
        units,
        ..REPORT.clone()
    })
}

/// Texts between tags without style, script and the files as they were read; the figures of axes apart, with their places.
fn texts(page: &str) -> (Vec<&str>, Vec<(&str, &str)>) {
    let shown = page.split("</style>").nth(1).expect("a body");
    let shown = shown.split("<h3>Inputs").next().expect("what stands before");
    let (mut texts, mut figures) = (Vec::new(), Vec::new());
    for piece in shown.split('<') {
        let (tag, text) = piece.split_once('>').unwrap_or(("", piece));
        match text.parse::<f64>() {
            Ok(_) if tag.starts_with("text ") => figures.push((tag, text)),
            _ if text.trim().is_empty() => {}
            _ => texts.push(text),
        }
    }
    (texts, figures)
}

/// A figure among brackets and commas, with its decimals.
fn figure(word: &str) -> Option<(f64, i32)> {
    let word = word.trim_matches(|letter: char| !letter.is_ascii_digit() && letter != '-');
    let decimals = word.split_once('.').map_or(0, |(_, behind)| behind.len());
    Some((word.parse().ok()?, i32::try_from(decimals).ok()?))
}

/// One quantity on both scales, as exactly as it is told.
fn same_quantity(metric: &str, us: &str) -> bool {
    let (Some((metric, metric_decimals)), Some((us, us_decimals))) = (figure(metric), figure(us)) else {
        return false;
    };
    // Zeros at the end are left out of some figures, so that a whole one stands for tenths.
    let half_step = |decimals: i32| 0.5 * 10_f64.powi(-decimals.max(1));
    let off = 1.8 * half_step(metric_decimals) + half_step(us_decimals) + 1e-9;
    // No difference in this report is as large as its smallest temperature.
    let of_degrees = if metric < 9.0 {
        metric * 1.8
    } else {
        metric * 1.8 + 32.0
    };
    [of_degrees, metric / LITRES_PER_GALLON]
        .iter()
        .any(|expected| (us - expected).abs() <= off)
}

/// A word as it reads in US units: itself, another unit, or the same quantity.
fn restated(metric: &str, us: &str) -> bool {
    let units = [("°C", "°F"), ("K", "°F"), ("L", "gal")];
    let mut other_unit = units.iter().filter(|(_, other)| us.contains(other));
    metric == us
        || other_unit.any(|(unit, other)| metric.replace(unit, other) == us)
        || same_quantity(metric, us)
}

#[test]
fn whatever_reads_otherwise_in_us_units_is_the_same_quantity() {
    let (metric, us) = (page(Units::Metric), page(Units::Us));
    let (metric, us) = (texts(&metric).0, texts(&us).0);
    assert_eq!(metric.len(), us.len());
    let words = |text: &str| -> Vec<String> { text.split_whitespace().map(str::to_owned).collect() };
    let mut other = 0;
    for (metric, us) in metric.iter().zip(&us).filter(|(metric, us)| metric != us) {
        other += 1;
        let (metric_words, us_words) = (words(metric), words(us));
        // Ends that read alike on one scale are one figure there, and two on the other.
        let agree = if metric_words.len() == us_words.len() {
            metric_words
                .iter()
                .zip(&us_words)
                .all(|(metric, us)| restated(metric, us))
        } else {
            let joins = |word: &String| word == "to" || word == "/";
            let known = |us: &String| metric_words.iter().any(|metric| restated(metric, us));
            us_words.iter().all(|us| joins(us) || known(us))
        };
        assert!(agree, "{metric} reads {us}");
    }
    assert!(other > 60, "{other} texts read otherwise");
}

#[test]
fn no_metric_unit_of_temperature_or_water_stands_in_a_us_report() {
    let page = page(Units::Us);
    // What a fault is called by is its name, as in `tepid faults --units us`.
    let mut names: Vec<&str> = REPORT.chapters[0]
        .faults
        .strategies
        .iter()
        .flat_map(|one| &one.faults)
        .map(|row| row.outcome.case.as_str())
        .collect();
    // A name may stand within a longer one.
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let mut text = texts(&page).0.join("\n");
    for name in names {
        text = text.replace(name, "");
    }
    for unit in [
        "°C", " K\n", " K ", " K.", " K,", "K·h", "W/K", " L\n", " L ", " L,", "litre", " cm",
    ] {
        let before = text.split(unit).next().expect("what stands before");
        let from = before.char_indices().rev().nth(60).map_or(0, |(at, _)| at);
        assert!(!text.contains(unit), "`{unit}` after: {}", &before[from..]);
    }
}

/// The value at a pixel by two figures of an axis.
fn along(axis: &[(f64, f64)], at: f64) -> f64 {
    let (first, last) = (axis[0], axis[axis.len() - 1]);
    first.1 + (at - first.0) / (last.0 - first.0) * (last.1 - first.1)
}

#[test]
fn the_figures_of_a_temperature_axis_stand_where_those_temperatures_are() {
    let axis = |page: &str| -> Vec<(f64, f64)> {
        let drawing = page.split("id=\"unbroken-1-0-t\"").nth(1).expect("a picture");
        let drawing = drawing.split("of-room").next().expect("the water's part");
        // Figures of the water's axis end left of the frame; those of the room stand below it.
        texts(&format!("</style>{drawing}"))
            .1
            .iter()
            .filter(|(tag, _)| tag.contains("text-anchor=\"end\""))
            .map(|(tag, figure)| {
                let y = tag.split(" y=\"").nth(1).expect("a place").split('"').next();
                (
                    y.expect("its end").parse().expect("pixels"),
                    figure.parse().expect("a figure"),
                )
            })
            .filter(|(y, _)| *y < 180.0)
            .collect()
    };
    let (metric, us) = (axis(&page(Units::Metric)), axis(&page(Units::Us)));
    assert!(metric.len() >= 2 && us.len() >= 2, "{metric:?} {us:?}");
    for (y, figure_f) in &us {
        let expected_f = along(&metric, *y) * 1.8 + 32.0;
        // A tenth of a pixel is about a hundredth of a degree here.
        assert!((figure_f - expected_f).abs() < 0.05, "{figure_f} at {expected_f}");
    }
}

#[test]
fn a_report_in_us_units_names_the_commands_that_tell_it_in_them() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(
        folder.path().join("study.toml"),
        "scenarios = [\"lidded-nano\"]\nstrategies = [\"on-off\"]\nduration = \"6 h\"\n[[gate]]\nscore = \"lowest temperature\"\nat_least = \"20 °C\"\n",
    )
    .expect("a study");
    let asked = ["report", "study.toml", "--units", "us", "-o", "out.html"];
    let (code, _, error) = run_in(folder.path(), &asked);
    assert_eq!(code, 0, "{error}");
    let page = std::fs::read_to_string(folder.path().join("out.html")).expect("a page");
    assert!(page.contains("tepid report study.toml --units us -o out.html"));
    let shown = texts(&page).0.join("\n");
    assert!(shown.contains("at least 68.0 °F"), "{shown}");
    assert!(!shown.contains("°C") && !shown.contains(", K"), "{shown}");
}
