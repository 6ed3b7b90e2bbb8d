//! No number of `sim` stands without its unit and where it comes from.

use std::path::Path;

/// What tells where a number comes from; a year of publication does so too.
const PROVENANCE: [&str; 11] = [
    "memory",
    "practice",
    "assumption",
    "convention",
    "choice",
    "source",
    "exact",
    "definition",
    "fit",
    "see the page",
    "by `",
];

/// Units as a documentation writes them, between blanks and punctuation.
const UNITS: [&str; 32] = [
    "unitless", "K", "°C", "Pa", "W", "J", "m", "kg", "g", "s", "h", "d", "L", "m²", "m³", "W/(m²", "W/(m",
    "W/K", "J/(kg", "J/(K", "J/kWh", "kg/m³", "g/mol", "kg/(m²", "g/kg", "m/s", "m/h", "m/s²", "L/m³",
    "s/min", "s/h", "s/d",
];

/// Fewest constants that the search must find, so that it cannot pass by finding nothing.
const FEWEST: usize = 60;

/// A constant that is a number or an array of numbers, with the documentation in front of it.
struct Constant {
    name: String,
    documentation: String,
}

/// Every floating-point constant of a file, tests left out.
fn constants(text: &str) -> Vec<Constant> {
    let mut found = Vec::new();
    let mut documentation = String::new();
    for line in text.lines() {
        let line = line.trim_start();
        if line.starts_with("mod tests") {
            break;
        }
        if let Some(words) = line.strip_prefix("///") {
            documentation.push_str(words);
            documentation.push(' ');
            continue;
        }
        let declared = line.strip_prefix("pub(crate) ").unwrap_or(line);
        let declared = declared.strip_prefix("pub(super) ").unwrap_or(declared);
        let declared = declared.strip_prefix("pub ").unwrap_or(declared);
        if let Some((name, kind)) = declared
            .strip_prefix("const ")
            .and_then(|rest| rest.split_once(": "))
            && (kind.starts_with("f64 ") || kind.starts_with("[f64;") || kind.starts_with("&[f64]"))
        {
            found.push(Constant {
                name: name.to_owned(),
                documentation: std::mem::take(&mut documentation),
            });
        }
        if !line.starts_with("#[") {
            documentation.clear();
        }
    }
    found
}

fn has_unit(documentation: &str) -> bool {
    documentation.split([' ', ',', '.', ';', ':']).any(|word| {
        UNITS.contains(&word.trim_end_matches(')')) || word.starts_with("K^") || word.starts_with("(L/h)")
    })
}

fn has_provenance(documentation: &str) -> bool {
    let year = |word: &str| word.len() == 4 && (word.starts_with("19") || word.starts_with("20"));
    let lower = documentation.to_lowercase();
    PROVENANCE
        .iter()
        .any(|known| lower.contains(&known.to_lowercase()))
        || documentation.split(|c: char| !c.is_ascii_digit()).any(year)
}

#[test]
fn every_constant_of_sim_states_its_unit_and_where_it_comes_from() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut seen = 0;
    let mut bare = Vec::new();
    for path in super::files::rust_files() {
        let name = path
            .strip_prefix(root)
            .expect("inside")
            .to_string_lossy()
            .replace('\\', "/");
        if !name.starts_with("sim/src/") || name.ends_with("tests.rs") {
            continue;
        }
        for constant in constants(&std::fs::read_to_string(&path).expect("text")) {
            seen += 1;
            if !has_unit(&constant.documentation) {
                bare.push(format!("{name}: {} lacks a unit, or \"unitless\"", constant.name));
            }
            if !has_provenance(&constant.documentation) {
                bare.push(format!(
                    "{name}: {} does not say where it comes from",
                    constant.name
                ));
            }
        }
    }
    assert!(seen >= FEWEST, "only {seen} constants found");
    assert!(bare.is_empty(), "{}", bare.join("\n"));
}

#[test]
fn a_constant_without_unit_or_source_is_noticed() {
    let of = |text: &str| constants(text).remove(0).documentation;
    assert!(!has_unit(&of("/// How warm. From memory.\nconst A: f64 = 1.0;")));
    assert!(!has_provenance(&of("/// How warm, °C.\npub const A: f64 = 1.0;")));
    assert!(!has_unit(&of(
        "/// Someone else's, K. From memory.\nfn f() {}\nconst A: [f64; 2] = [1.0, 2.0];"
    )));
    let good = of("/// How warm, °C.\n/// Valid indoors; from memory.\npub(crate) const A: f64 = 1.0;");
    assert!(has_unit(&good) && has_provenance(&good));
}
