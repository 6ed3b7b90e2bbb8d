//! Water that goes farther out than the danger lines speak of is never told as bearable without a word.

use crate::bad_input::tepid;

/// 96 L with a heater of 500 W and a single line on the hot side, which 72 h do not use up.
const ONE_LINE: &str = r#"
title = "one hot line"
duration = "2 d"
[water]
salinity = "0 g/kg"
target = "25 °C"
band = ["24.5 °C", "25.5 °C"]
[livestock]
kind = "fish"
source = "invented"
used_to = "25 °C"
danger_hot = [["30 °C", "4 d"]]
danger_cold = [["20 °C", "12 h"], ["17 °C", "2 h"]]
[[tank]]
name = "tank"
inside = ["80 cm", "35 cm", "40 cm"]
water_height = "34.3 cm"
cover = "lid"
livestock = true
[room]
temperature = "20 °C"
humidity = "50 %"
year = { coldest = "16 °C", warmest = "27 °C" }
[[heater]]
name = "heater"
power = "500 W"
chain = ["relay"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
[[probe]]
name = "main"
for = "control"
"#;

fn told(text: &str, arguments: &[&str]) -> String {
    let (_, out, error) = tepid(&[("tank.toml", text.as_bytes())], arguments);
    assert!(!out.is_empty(), "{arguments:?}: {error}");
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

const SAYS_NOTHING: &str = "above 30 °C the danger lines say nothing";

#[test]
fn whoever_calls_a_weld_bearable_says_where_the_danger_lines_end() {
    let two_lines = ONE_LINE.replace(
        "[[\"30 °C\", \"4 d\"]]",
        "[[\"30 °C\", \"4 d\"], [\"33 °C\", \"2 h\"]]",
    );
    let mut tune = vec![
        "tune",
        "tank.toml",
        "--strategy",
        "on-off",
        "--vary",
        "deadband=0.2 K..0.4 K",
    ];
    tune.extend([
        "--settings",
        "4",
        "--replicates",
        "1",
        "--held-out",
        "2",
        "--no-worse",
    ]);
    for arguments in [
        &["compare", "tank.toml", "--strategy", "on-off"][..],
        &["faults", "tank.toml", "--strategy", "on-off"],
        &["card", "tank.toml", "--strategy", "on-off"],
        &[
            "run",
            "tank.toml",
            "--strategy",
            "on-off",
            "--fault",
            "one contact welded",
        ],
        &["odds", "tank.toml", "--strategy", "on-off", "--years", "200"],
        &tune,
    ] {
        let one = told(ONE_LINE, arguments);
        assert!(one.contains(SAYS_NOTHING), "{arguments:?}:\n{one}");
        // With a line of its own out there the dose says it.
        let two = told(&two_lines, arguments);
        assert!(
            !two.contains("the danger lines say nothing"),
            "{arguments:?}:\n{two}"
        );
    }
}

#[test]
fn a_check_warns_once_of_a_side_with_a_single_line() {
    let warned = told(ONE_LINE, &["check", "tank.toml"]);
    assert_eq!(warned.matches("warning:").count(), 1, "{warned}");
    assert!(
        warned.contains("`danger_hot` has a single line, 30 °C") && warned.contains("State a hotter line"),
        "{warned}"
    );
    // Where nothing at all is borne at the line there is nothing worse beyond it.
    let at_once = ONE_LINE.replace("[[\"30 °C\", \"4 d\"]]", "[[\"30 °C\"]]");
    let (code, out, error) = tepid(&[("tank.toml", at_once.as_bytes())], &["check", "tank.toml"]);
    assert_eq!(code, 0, "{error}");
    assert!(!out.contains("warning:"), "{out}");
}
