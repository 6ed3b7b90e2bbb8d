//! Whatever bytes a file holds: a correct result or mistakes with places inside the text, never a panic.

use proptest::prelude::*;
use tepid_scenarios::{FileKind, Report, Setting, library, load_bytes, scenario, template};

fn check(result: Result<tepid_scenarios::Loaded, Report>) -> Result<(), TestCaseError> {
    if let Err(report) = result {
        prop_assert!(!report.problems.is_empty());
        for problem in &report.problems {
            let text = &problem.place.source.text;
            prop_assert!(text.get(problem.place.range.clone()).is_some());
        }
        prop_assert!(!report.plain().is_empty());
        prop_assert!(!report.coloured().is_empty());
        prop_assert!(report.json().is_object());
    }
    Ok(())
}

fn valid_files() -> Vec<String> {
    library::names()
        .filter_map(library::text)
        .map(str::to_owned)
        .chain([FileKind::Scenario, FileKind::Strategy, FileKind::Study].map(template))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        check(load_bytes("any.toml", &bytes))?;
    }

    #[test]
    fn any_text_of_toml_like_pieces(
        pieces in proptest::collection::vec(
            prop_oneof![
                Just("["), Just("]"), Just("[["), Just("]]"), Just("="), Just("\n"), Just("\""), Just("'"), Just("{"),
                Just("}"), Just(","), Just("."), Just("#"), Just("\r\n"), Just("\t"), Just("tank"), Just("heater"),
                Just("name"), Just("chain"), Just("strategy"), Just("scenarios"), Just("base"), Just("set"),
                Just("\"on-off\""), Just("\"spare-room-winter\""), Just("\"12 °C\""), Just("1"), Just("水"), Just("nan"),
                Just("room"), Just("temperature"), Just("event"), Just("what"), Just(" "),
            ],
            0..60,
        ),
    ) {
        check(load_bytes("pieces.toml", pieces.concat().as_bytes()))?;
    }

    #[test]
    fn any_valid_file_with_bytes_changed(
        file in 0_usize..10,
        edits in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0_u8..3), 1..6),
    ) {
        let files = valid_files();
        let mut bytes = files[file % files.len()].clone().into_bytes();
        for (index, byte, what) in edits {
            let at = index.index(bytes.len());
            match what {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => { bytes.remove(at); }
            }
        }
        check(load_bytes("changed.toml", &bytes))?;
    }

    #[test]
    fn any_valid_file_with_lines_moved_or_lost(
        file in 0_usize..10,
        moves in proptest::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), any::<bool>()), 1..5),
    ) {
        let files = valid_files();
        let text = files[file % files.len()].clone();
        let mut lines: Vec<&str> = text.lines().collect();
        for (from, to, lost) in moves {
            let line = lines.remove(from.index(lines.len()));
            if !lost {
                lines.insert(to.index(lines.len()), line);
            }
        }
        check(load_bytes("moved.toml", lines.join("\n").as_bytes()))?;
    }

    #[test]
    fn any_setting(text in "(heater|tank|room|pump|contact|\\PC{0,3})?[.\"=a-z {}\\[\\]'0-9°CK水]{0,24}") {
        let result = scenario("spare-room-winter", &[Setting { text }]);
        if let Err(report) = result {
            prop_assert!(!report.plain().is_empty());
            prop_assert!(!report.coloured().is_empty());
        }
    }
}

#[test]
fn a_million_bytes_of_garbage_end_in_a_short_report() {
    for piece in ["[", "a=", "{a=", "\"", "x = 1\n", "[a.b]\n", "é\n"] {
        let text = piece.repeat(1_000_000 / piece.len());
        if let Err(report) = load_bytes("garbage.toml", text.as_bytes()) {
            assert!(report.plain().len() < 100_000, "{piece}");
            assert!(!report.coloured().is_empty());
        }
    }
}
