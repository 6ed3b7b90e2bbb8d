//! What the README shows is what the program says.

use std::path::Path;

use crate::bad_input::run_in;

const README: &str = include_str!("../../README.md");
/// Stands for lines left out.
const LEFT_OUT: &str = "[…]";

/// The bodies of all fenced blocks of that language.
fn blocks(language: &str) -> Vec<&'static str> {
    let opening = format!("```{language}\n");
    README
        .split(&opening)
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .collect()
}

/// The arguments of a command line; those with spaces are quoted, as in a shell.
fn arguments(line: &str) -> Vec<&str> {
    let mut arguments = Vec::new();
    for (index, part) in line.split('\'').enumerate() {
        if index % 2 == 1 {
            arguments.push(part);
        } else {
            arguments.extend(part.split_whitespace());
        }
    }
    arguments
}

#[test]
fn every_line_quoted_in_the_readme_is_printed_by_the_command_above_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let is_strategy = |text: &&str| text.starts_with("strategy");
    for text in blocks("toml").into_iter().filter(|text| !is_strategy(text)) {
        std::fs::write(folder.path().join("my-tank.toml"), text).expect("a file");
    }
    let logs = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/logs");
    std::fs::create_dir_all(folder.path().join("examples/logs")).expect("a folder");
    for file in std::fs::read_dir(&logs).expect("the example logs").flatten() {
        let to = folder.path().join("examples/logs").join(file.file_name());
        std::fs::copy(file.path(), to).expect("copied");
    }
    let mut quoted = 0;
    for block in blocks("text") {
        let (command, shown) = block.split_once('\n').expect("a command and its output");
        let arguments = arguments(command.strip_prefix("$ tepid").expect("a command"));
        let (_, out, error) = run_in(folder.path(), &arguments);
        let printed: Vec<&str> = out.lines().chain(error.lines()).map(str::trim_end).collect();
        for line in shown.lines().map(str::trim_end).filter(|line| *line != LEFT_OUT) {
            assert!(printed.contains(&line), "`{command}` no longer prints: {line}");
            quoted += 1;
        }
    }
    assert!(quoted > 40, "only {quoted} lines found");
}

#[test]
fn every_strategy_shown_in_the_readme_loads() {
    let shown: Vec<&str> = blocks("toml")
        .into_iter()
        .filter(|text| text.starts_with("strategy"))
        .collect();
    assert!(!shown.is_empty());
    for text in shown {
        tepid_scenarios::load_str("shown.toml", text).unwrap_or_else(|report| panic!("{}", report.plain()));
    }
}

#[test]
fn the_picture_of_the_readme_is_what_its_command_draws() {
    let command = README
        .lines()
        .find_map(|line| line.strip_prefix("cargo run --release -- run "))
        .expect("its command");
    let picture = command.rsplit(' ').next().expect("its file");
    let mut arguments = [vec!["run"], arguments(command)].concat();
    arguments.pop();
    arguments.push("picture.svg");
    let folder = tempfile::tempdir().expect("a folder");
    let (code, _, error) = run_in(folder.path(), &arguments);
    assert_eq!(code, 0, "{error}");
    let drawn = std::fs::read(folder.path().join("picture.svg")).expect("a picture");
    let committed =
        std::fs::read(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(picture)).expect("a picture");
    assert!(
        drawn == committed,
        "{picture} is not current; draw it anew with: cargo run --release -- run {command}"
    );
}

#[test]
fn every_file_the_readme_links_to_is_there() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let links: Vec<&str> = README
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split(')').next())
        .collect();
    assert!(links.len() > 5);
    for link in links {
        assert!(root.join(link).is_file(), "{link} is not there");
    }
}
