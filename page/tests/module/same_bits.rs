//! Clause of the determinism contract: native and browser give the same bits. Watched: the platform's own functions, the order of sums, sizes of
//! words.

use serde_json::Value;

use crate::host::Host;

/// Every kind of act and slider, a fan, an outage, and laws with and without memory.
const QUESTIONS: [&str; 3] = [
    r#"{"play": {"scenario": "lidded-nano", "strategies": ["on-off", "pid"]}}"#,
    r#"{"play": {"scenario": "warm-room-fan", "strategies": ["heat-and-fan"], "sliders": {"room": -6, "deadband": 0.8, "fan.clip fan": 3},
        "acts": [{"what": "weld", "of": "relay heater", "from_min": 3000, "to_min": 4000}, {"what": "open-window", "from_min": 5000}]}}"#,
    r#"{"play": {"scenario": "garage-outage", "strategies": ["predictive"],
        "acts": [{"what": "cut-power", "from_min": 600, "to_min": 900}]}}"#,
];

fn digests(answer: &str) -> Vec<String> {
    let answer: Value = serde_json::from_str(answer).expect("JSON");
    let runs = answer["runs"].as_array().unwrap_or_else(|| panic!("{answer}"));
    runs.iter()
        .map(|run| {
            assert_eq!(run["failed"], Value::Null);
            run["digest"].as_str().expect("a digest").to_owned()
        })
        .collect()
}

#[test]
fn a_whole_run_is_the_same_bits_in_the_module_and_here() {
    let mut host = Host::new();
    for question in QUESTIONS {
        let there = host.ask(question);
        let here = tepid_page::answer(question.as_bytes());
        assert_eq!(digests(&there), digests(&here.text), "{question}");
        assert_eq!(there, here.text);
        let course = &here.runs[0].course.values;
        assert!(course.len() > 10_000);
        let theirs = host.course(0, course.len());
        assert!(
            theirs
                .iter()
                .zip(course)
                .all(|(a, b)| a.to_bits() == b.to_bits() || a.is_nan() && b.is_nan())
        );
    }
}

#[test]
fn a_lesson_tells_the_same_in_the_module_and_here() {
    let question = r#"{"lesson": {"name": "big-heater"}}"#;
    let here = tepid_page::answer(question.as_bytes()).text;
    assert!(here.contains("\"right\":1"), "{here}");
    assert_eq!(Host::new().ask(question), here);
}

#[test]
fn a_question_that_is_none_is_answered_with_what_is_wrong_and_the_module_goes_on() {
    let mut host = Host::new();
    for nonsense in [
        "",
        "{",
        "[]",
        "{\"play\": 1}",
        r#"{"play": {"scenario": "moon", "strategies": ["on-off"]}}"#,
    ] {
        assert!(host.ask(nonsense).starts_with("{\"mistake\":"), "{nonsense}");
    }
    for (name, text) in [
        ("mine.toml", r#"strategy = \"script\"\nfile = \"mine.rhai\""#),
        ("mine.rhai", "fn duty(r) { 0.5 }"),
    ] {
        let told = host.ask(&format!(
            r#"{{"opened": {{"name": "{name}", "text": "{text}"}}}}"#
        ));
        assert!(told.contains("a script cannot be run here"), "{told}");
    }
    assert!(host.ask(r#"{"choices": {}}"#).contains("spare-room-winter"));
}
