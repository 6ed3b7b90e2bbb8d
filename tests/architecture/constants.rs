//! No number of `sim` stands without its unit, where it comes from, and how far it holds.

use std::path::Path;

/// Words that tell where a number comes from, unless "no", "not" or "without" stands before them.
const PROVENANCE: [&str; 9] = [
    "from memory",
    "common practice",
    "assumption",
    "convention",
    "choice",
    "source",
    "exact",
    "definition",
    "fit",
];

/// Words after which a number holds everywhere.
const HOLDS_EVERYWHERE: [&str; 3] = ["exact", "definition", "convention"];

/// Units that a documentation may state where the constant's name has none.
const UNITS: [&str; 8] = [
    "unitless",
    "ms",
    "kg/(m² h)",
    "K^-1.5",
    "s/min",
    "s/h",
    "s/d",
    "(L/h)/(m³/s)",
];

/// Units as names write them, and as a documentation does.
const IN_NAMES: [(&str, &str); 21] = [
    ("C", "°C"),
    ("D", "d"),
    ("FRAC", "unitless"),
    ("G", "g"),
    ("H", "h"),
    ("J", "J"),
    ("K", "K"),
    ("K4", "K⁴"),
    ("KG", "kg"),
    ("KWH", "kWh"),
    ("L", "L"),
    ("M", "m"),
    ("M2", "m²"),
    ("M3", "m³"),
    ("MOL", "mol"),
    ("MS", "ms"),
    ("PA", "Pa"),
    ("S", "s"),
    ("S2", "s²"),
    ("W", "W"),
    ("PER", "/"),
];

/// Fewest constants that the search must find, so that it cannot pass by finding nothing.
const FEWEST: usize = 110;

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    /// A quantity: a number with a unit, a whole number of milliseconds, or an array of numbers.
    Quantity,
    /// A count, a code or a pattern of bits.
    Whole,
}

/// A constant that is a number or an array of numbers, with the documentation in front of it.
struct Constant {
    name: String,
    kind: Kind,
    documentation: String,
}

impl Kind {
    fn of(declared: &str) -> Option<Self> {
        let of_one = declared
            .trim_start_matches(['[', '&'])
            .split([';', ' ', ']'])
            .next()?;
        match of_one {
            "f64" | "f32" | "Millis" => Some(Self::Quantity),
            "u8" | "u16" | "u32" | "u64" | "u128" | "usize" | "i8" | "i16" | "i32" | "i64" | "i128"
            | "isize" => Some(Self::Whole),
            _ => None,
        }
    }
}

/// Every constant of a file that is a number, tests left out.
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
        let declared = ["pub(crate) ", "pub(super) ", "pub "]
            .iter()
            .find_map(|visible| line.strip_prefix(visible))
            .unwrap_or(line);
        if let Some((name, declared)) = declared
            .strip_prefix("const ")
            .and_then(|rest| rest.split_once(": "))
            && let Some(kind) = Kind::of(declared)
        {
            found.push(Constant {
                name: name.to_owned(),
                kind,
                documentation: std::mem::take(&mut documentation),
            });
        }
        if !line.starts_with("#[") {
            documentation.clear();
        }
    }
    found
}

/// The unit that a name ends with; `None` where it ends with none.
fn unit_of_name(name: &str) -> Option<String> {
    let of_word = |word: &str| {
        IN_NAMES
            .iter()
            .find(|(known, _)| *known == word)
            .map(|(_, unit)| *unit)
    };
    // A lone letter is a name, not a unit.
    let words: Vec<&str> = name.split('_').collect();
    if words.len() == 1 {
        return None;
    }
    let mut tail: Vec<&str> = words.iter().rev().map_while(|word| of_word(word)).collect();
    tail.reverse();
    // "AT_0_C_PA_S": the temperature at which, then the unit.
    if let [.., _] = tail[..]
        && let Some(at) = tail[..tail.len() - 1].iter().rposition(|unit| *unit == "°C")
    {
        tail.drain(..=at);
    }
    let mut halves = tail.split(|unit| *unit == "/");
    let above = halves.next()?.join(" ");
    match halves.next() {
        None if above.is_empty() => None,
        None => Some(above),
        // A growth per kelvin is a number without a unit.
        Some(_) if above.is_empty() => Some("unitless".to_owned()),
        Some([one]) => Some(format!("{above}/{one}")),
        Some(below) => Some(format!("{above}/({})", below.join(" "))),
    }
}

/// Whether a unit stands in a text on its own: not inside a word or a longer unit.
fn states(text: &str, unit: &str) -> bool {
    let opens = |c: Option<char>| c.is_none_or(|c| c == ' ' || c == '(');
    let closes = |c: Option<char>| c.is_none_or(|c| " ,.;:)".contains(c));
    text.match_indices(unit).any(|(at, _)| {
        opens(text[..at].chars().next_back()) && closes(text[at + unit.len()..].chars().next())
    })
}

fn has_unit(constant: &Constant) -> bool {
    let text = &constant.documentation;
    match (constant.kind, unit_of_name(&constant.name)) {
        (Kind::Whole, _) => true,
        (Kind::Quantity, Some(unit)) => states(text, &unit),
        (Kind::Quantity, None) => UNITS.iter().any(|unit| states(text, unit)),
    }
}

/// Whether a phrase stands in a text in whole words and is not denied.
fn says(text: &str, phrase: &str) -> bool {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let phrase: Vec<&str> = phrase.split(' ').collect();
    words.windows(phrase.len()).enumerate().any(|(at, window)| {
        window == phrase
            && !at
                .checked_sub(1)
                .is_some_and(|before| ["no", "not", "without", "never"].contains(&words[before]))
    })
}

/// The text under a heading of the page that a file opens with.
fn section(text: &str, heading: &str) -> String {
    let page = text.lines().take_while(|line| line.starts_with("//!"));
    let lines = page.map(|line| line.trim_start_matches("//!").trim());
    lines
        .skip_while(|line| *line != heading)
        .skip(1)
        .take_while(|line| !line.starts_with('#'))
        .collect::<Vec<_>>()
        .join(" ")
}

/// By its own words; where these are "see the page", the page has a section that says so.
fn has_provenance(constant: &Constant, file: &str) -> bool {
    let text = &constant.documentation;
    PROVENANCE.iter().any(|known| says(text, known))
        && (!says(text, "see the page") || !section(file, "# Source").trim().is_empty())
}

/// By its own words, or by those of the page that its file opens with.
fn has_validity(constant: &Constant, file: &str) -> bool {
    let text = &constant.documentation;
    constant.kind == Kind::Whole
        || says(text, "valid")
        || HOLDS_EVERYWHERE.iter().any(|known| says(text, known))
        || !section(file, "# Valid for").trim().is_empty()
}

/// What a constant lacks.
fn lacks(constant: &Constant, file: &str) -> Vec<&'static str> {
    let mut lacking = Vec::new();
    if !has_unit(constant) {
        lacking.push("does not state the unit of its name, or \"unitless\"");
    }
    if !has_provenance(constant, file) {
        lacking.push("does not say where it comes from");
    }
    if !has_validity(constant, file) {
        lacking.push("does not say how far it is valid, and no page does");
    }
    lacking
}

#[test]
fn every_constant_of_sim_states_its_unit_where_it_comes_from_and_how_far_it_holds() {
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
        let file = std::fs::read_to_string(&path).expect("text");
        for constant in constants(&file) {
            seen += 1;
            for lacking in lacks(&constant, &file) {
                bare.push(format!("{name}: {} {lacking}", constant.name));
            }
        }
    }
    assert!(seen >= FEWEST, "only {seen} constants found");
    assert!(bare.is_empty(), "{}", bare.join("\n"));
}

/// How many things the only constant of a file lacks.
fn lacking(file: &str) -> usize {
    lacks(&constants(file)[0], file).len()
}

#[test]
fn a_constant_without_unit_source_or_validity_is_noticed() {
    let whole = "/// How warm, °C. From memory. Valid indoors.\npub(crate) const LEAST_C: f64 = 1.0;";
    assert_eq!(lacking(whole), 0);
    assert_eq!(lacking(&whole.replace(", °C", "")), 1);
    assert_eq!(lacking(&whole.replace("From memory", "")), 1);
    assert_eq!(lacking(&whole.replace("Valid indoors", "")), 1);
    assert_eq!(lacking("const LEAST_C: [f64; 2] = [1.0, 2.0];"), 3);
    let of_something_else = "/// Else, K. From memory. Valid.\nfn f() {}\nconst LEAST_K: f64 = 1.0;";
    assert_eq!(lacking(of_something_else), 3);
}

#[test]
fn the_unit_is_that_of_the_name() {
    let film = "/// Film, W/(m² K). A choice. Valid indoors.\nconst FILM_W_PER_M2_K: f64 = 1.0;";
    assert_eq!(lacking(film), 0);
    assert_eq!(lacking(&film.replace("W/(m² K)", "W/K")), 1);
    assert_eq!(lacking(&film.replace("W/(m² K)", "unitless")), 1);
}

#[test]
fn words_count_whole_and_not_when_denied() {
    assert!(says("Fit to a table", "fit") && !says("for the benefit of", "fit"));
    assert!(says("as it has it (source).", "source") && !says("There is no source.", "source"));
    assert!(!says("resources", "source") && !says("invalid", "valid") && !says("not valid", "valid"));
}

#[test]
fn a_page_may_say_how_far_its_numbers_hold_and_where_they_come_from() {
    let bare = "/// How warm, °C. Source: see the page.\nconst LEAST_C: f64 = 1.0;";
    assert_eq!(lacking(bare), 2);
    assert_eq!(
        lacking(&format!(
            "//! # Source\n//! A book.\n//! # Valid for\n//! Rooms.\n{bare}"
        )),
        0
    );
    assert_eq!(
        lacking(&format!("//! # Source\n//! A book.\n//! # Valid for\n{bare}")),
        1
    );
}

#[test]
fn times_in_whole_milliseconds_are_quantities_and_counts_need_a_reason_alone() {
    assert_eq!(lacking("/// How long.\nconst LOOK_MS: Millis = 3;"), 3);
    assert_eq!(lacking("/// Rounds. A choice.\nconst ROUNDS: u32 = 3;"), 0);
    assert_eq!(lacking("/// Rounds.\nconst ROUNDS: u32 = 3;"), 1);
}
