//! Schema, templates and explanations: all derive from the field tables.

use std::path::Path;

use tepid_scenarios::{
    FileKind, Loaded, explain, kind_of_text, library, load_str, outline, schema, strategy_template, template,
};

const KINDS: [(FileKind, &str); 3] = [
    (FileKind::Scenario, "scenario"),
    (FileKind::Strategy, "strategy"),
    (FileKind::Study, "study"),
];

/// Run with `UPDATE_SCHEMA=1` to write the schemas anew.
#[test]
fn the_committed_schemas_are_current() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/schema");
    for (kind, name) in KINDS {
        let text = format!("{:#}\n", schema(kind));
        let path = folder.join(format!("{name}.schema.json"));
        if std::env::var_os("UPDATE_SCHEMA").is_some() {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, &text).unwrap();
        }
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(committed == text, "docs/schema/{name}.schema.json is not current");
    }
}

#[test]
fn every_template_loads_cleanly() {
    for (kind, name) in KINDS {
        let text = template(kind);
        assert_eq!(kind_of_text(&text), kind);
        let loaded = load_str(name, &text).unwrap_or_else(|report| panic!("{}\n{text}", report.plain()));
        assert!(matches!(
            (kind, loaded),
            (FileKind::Scenario, Loaded::Scenario(_))
                | (FileKind::Strategy, Loaded::Strategy(_))
                | (FileKind::Study, Loaded::Study(_))
        ));
    }
    for entry in tepid_strategies::registry() {
        let text = strategy_template(entry);
        load_str(entry.name, &text).unwrap_or_else(|report| panic!("{}\n{text}", report.plain()));
    }
}

/// A strategy's commented parameters are its defaults or sensible values: made live, they load too.
#[test]
fn a_strategy_template_with_its_comments_taken_away_loads() {
    for entry in tepid_strategies::registry() {
        let text = strategy_template(entry);
        let (head, body) = text.split_once('\n').unwrap();
        let live = format!("{head}\n{}", body.replace("\n# ", "\n"));
        load_str(entry.name, &live).unwrap_or_else(|report| panic!("{}\n{live}", report.plain()));
    }
}

/// Every optional line of the template is a field with a value that its own reader accepts: only names that are not
/// there, and fields that exclude each other, may be reported.
#[test]
fn a_scenario_template_with_its_comments_taken_away_has_no_unknown_field_or_bad_quantity() {
    let text = template(FileKind::Scenario);
    let (head, body) = text.split_once("\ntitle").unwrap();
    let live = format!("{head}\ntitle{}", body.replace("\n# ", "\n"));
    let report = load_str("live", &live).unwrap_err();
    for problem in &report.problems {
        let about_names = [
            "unknown-name",
            "volume-and-dimensions",
            "watch-rule",
            "daily-and-at",
            "field-not-used",
            "peak-and-area",
            "weather-and-stated",
            "activity-without-pool",
            "role-not-commanded",
            "senses-nothing",
            "battery-or-generator",
            "named-twice",
            "life-in-one-way",
            "when-and-life",
        ];
        assert!(about_names.contains(&problem.code), "{}", report.plain());
    }
}

/// What the loader knows it says in its schema: every field and every word of it stands in the template, so that nobody has to guess.
#[test]
fn every_field_and_word_of_a_scenario_stands_in_its_template() {
    fn walk(schema: &serde_json::Value, seen: &mut dyn FnMut(&str, bool)) {
        match schema {
            serde_json::Value::Object(map) => {
                for (key, value) in map {
                    match (key.as_str(), value) {
                        ("properties", serde_json::Value::Object(fields)) => {
                            fields.keys().for_each(|name| seen(name, true));
                        }
                        ("enum", serde_json::Value::Array(words)) => {
                            words
                                .iter()
                                .filter_map(|word| word.as_str())
                                .for_each(|word| seen(word, false));
                        }
                        _ => {}
                    }
                    walk(value, seen);
                }
            }
            serde_json::Value::Array(items) => items.iter().for_each(|item| walk(item, seen)),
            _ => {}
        }
    }
    let text = template(FileKind::Scenario);
    let says = |what: &str| text.contains(what);
    let (mut fields, mut words, mut missing) = (0, 0, Vec::new());
    walk(&schema(FileKind::Scenario), &mut |name, is_field| {
        let there = if is_field {
            fields += 1;
            [format!(" {name} = "), format!("\n{name} = "), format!("[{name}]")]
                .iter()
                .any(|form| says(form))
        } else {
            words += 1;
            says(&format!("\"{name}\""))
        };
        if !there {
            missing.push(name.to_owned());
        }
    });
    assert!(missing.is_empty(), "{missing:?}");
    assert!(fields > 250 && words > 100, "{fields} fields, {words} words");
}

#[test]
fn paths_are_explained() {
    let power = explain("heater.left.power").unwrap();
    assert_eq!(power.doc, explain("heater.power").unwrap().doc);
    assert!(power.left_out.is_none());
    assert!(
        explain("room.temperature.swing")
            .unwrap()
            .expected
            .contains("a temperature difference")
    );
    assert!(explain("strategy.deadband").is_some());
    assert_eq!(explain("heater.left.powr"), None);
}

#[test]
fn a_scenario_is_outlined_in_plain_lines() {
    let scenario = library::load("spare-room-one-big-heater").unwrap().unwrap();
    insta::assert_snapshot!(outline(&scenario).join("\n"));
}
