//! What was typed, understood.

use tepid_sim::quantity::{Kind, QuantityProblem, System, parse};

use super::{Animals, AnswerError, Nearby, Size, Switching};

/// Each word that is understood, and what it means; the first for a meaning is the one to show.
pub(super) type Words<T> = &'static [(&'static str, T)];

pub(super) const UNITS: Words<System> = &[
    ("°C", System::Metric),
    ("c", System::Metric),
    ("celsius", System::Metric),
    ("metric", System::Metric),
    ("°F", System::UsCustomary),
    ("f", System::UsCustomary),
    ("fahrenheit", System::UsCustomary),
    ("us", System::UsCustomary),
];

pub(super) const COVERS: Words<&str> = &[
    ("open", "open"),
    ("mesh", "mesh"),
    ("lid", "lid"),
    ("none", "open"),
    ("net", "mesh"),
    ("glass", "lid"),
];

pub(super) const SWITCHING: Words<Switching> = &[
    ("dial", Switching::Dial),
    ("dials", Switching::Dial),
    ("controller", Switching::Controller),
    ("both", Switching::Both),
];

pub(super) const ANIMALS: Words<Animals> = &[
    ("reef", Animals::Reef),
    ("tropical fish", Animals::TropicalFish),
    ("cool-water fish", Animals::CoolWaterFish),
];

pub(super) const NEARBY: Words<Nearby> = &[
    ("home", Nearby::Home),
    ("evenings", Nearby::Evenings),
    ("nobody", Nearby::Nobody),
];

/// The word to show for a meaning.
pub(super) fn word_of<T: PartialEq>(words: Words<T>, meaning: &T) -> String {
    words
        .iter()
        .find(|(_, meant)| meant == meaning)
        .map_or_else(String::new, |(word, _)| (*word).to_owned())
}

/// A word in full or by its beginning, in small or large letters.
pub(super) fn word<T: Copy + PartialEq>(words: Words<T>, typed: &str) -> Result<T, AnswerError> {
    let small = typed.to_lowercase();
    if let Some((_, meaning)) = words.iter().find(|(word, _)| word.to_lowercase() == small) {
        return Ok(*meaning);
    }
    let mut begun = words
        .iter()
        .filter(|(word, _)| word.to_lowercase().starts_with(&small))
        .map(|(_, meaning)| *meaning);
    match begun.next() {
        Some(meaning) if begun.all(|other| other == meaning) => Ok(meaning),
        _ => {
            let mut shown: Vec<&str> = Vec::new();
            for (position, (word, meaning)) in words.iter().enumerate() {
                if !words[..position].iter().any(|(_, earlier)| earlier == meaning) {
                    shown.push(word);
                }
            }
            Err(AnswerError::Word {
                found: typed.to_owned(),
                words: shown.join(", "),
            })
        }
    }
}

/// A volume, or three lengths.
pub(super) fn size(typed: &str, example: &'static str) -> Result<Size, AnswerError> {
    let parts = split(typed, &["x", "X", "×", "*", " by "]);
    let size = match parts.as_slice() {
        [volume] => Size::Volume(quantity(Kind::Volume, volume, example)?),
        [_, _, _] => {
            let sides_m = quantities(Kind::Length, &parts, "", example)?;
            Size::Inside([sides_m[0], sides_m[1], sides_m[2]])
        }
        _ => {
            return Err(AnswerError::Count {
                expected: "one volume or three lengths",
                example,
            });
        }
    };
    let sides_fit = match size {
        Size::Volume(_) => true,
        Size::Inside(sides_m) => sides_m.iter().all(|side_m| (0.05..=10.0).contains(side_m)),
    };
    if sides_fit && (1e-3..=10.0).contains(&size.volume_m3()) {
        Ok(size)
    } else {
        Err(AnswerError::Range {
            expected: "a tank holds between 1 L and 10000 L",
            example,
        })
    }
}

/// The room in winter and summer, °C; bare numbers are in the unit that was chosen.
pub(super) fn room(typed: &str, units: System, example: &'static str) -> Result<(f64, f64), AnswerError> {
    let parts = split(typed, &[" to ", " and ", ",", ";", "..", "–"]);
    let [_, _] = parts.as_slice() else {
        return Err(AnswerError::Count {
            expected: "two temperatures, winter and summer",
            example,
        });
    };
    let chosen = if units == System::UsCustomary {
        "°F"
    } else {
        "°C"
    };
    let temps_c = quantities(Kind::Temperature, &parts, chosen, example)?;
    if !temps_c.iter().all(|temp_c| (-20.0..=45.0).contains(temp_c)) {
        return Err(AnswerError::Range {
            expected: "a room is between -20 °C (-4 °F) and 45 °C (113 °F)",
            example,
        });
    }
    if temps_c[0] > temps_c[1] {
        return Err(AnswerError::Range {
            expected: "winter first, then summer, which is no colder",
            example,
        });
    }
    Ok((temps_c[0], temps_c[1]))
}

/// Most heaters that are asked for.
const MOST_HEATERS: usize = 4;

/// Rated powers, W.
pub(super) fn heaters(typed: &str, example: &'static str) -> Result<Vec<f64>, AnswerError> {
    let wrong_count = AnswerError::Count {
        expected: "one to four heaters, each with its power",
        example,
    };
    let mut powers_w = Vec::new();
    for part in split(typed, &[",", ";", "+", "&", " and "]) {
        let several = split(part, &["x", "X", "×", "*"]);
        let (count, power) = match several.as_slice() {
            [power] => (1, *power),
            [count, power] => match count.parse::<usize>() {
                Ok(count) if (1..=MOST_HEATERS).contains(&count) => (count, *power),
                _ => return Err(wrong_count),
            },
            _ => return Err(wrong_count),
        };
        let power_w = quantity(Kind::Power, power, example)?;
        if !(1.0..=5000.0).contains(&power_w) {
            return Err(AnswerError::Range {
                expected: "a heater has between 1 W and 5000 W",
                example,
            });
        }
        powers_w.extend(std::iter::repeat_n(power_w, count));
    }
    if (1..=MOST_HEATERS).contains(&powers_w.len()) {
        Ok(powers_w)
    } else {
        Err(wrong_count)
    }
}

/// The parts between separators, without blanks around them.
fn split<'a>(typed: &'a str, separators: &[&str]) -> Vec<&'a str> {
    let mut parts = vec![typed];
    for separator in separators {
        parts = parts.into_iter().flat_map(|part| part.split(separator)).collect();
    }
    parts.into_iter().map(str::trim).collect()
}

fn quantity(kind: Kind, text: &str, example: &'static str) -> Result<f64, AnswerError> {
    parse(kind, text).map_err(|error| AnswerError::Quantity { error, example })
}

/// Quantities of one kind; the last one's unit serves those that have none ("120 x 50 x 50 cm"), and if it has none itself the usual one.
fn quantities(
    kind: Kind,
    parts: &[&str],
    usual: &str,
    example: &'static str,
) -> Result<Vec<f64>, AnswerError> {
    let written = parts.last().map_or("", |last| {
        last.trim_start_matches(|c: char| c.is_ascii_digit() || "+-. ".contains(c))
    });
    let unit = if written.is_empty() { usual } else { written };
    parts
        .iter()
        .map(|part| match parse(kind, part) {
            Err(error) if matches!(error.problem, QuantityProblem::NoUnit { .. }) => {
                quantity(kind, format!("{part} {unit}").trim_end(), example)
            }
            other => other.map_err(|error| AnswerError::Quantity { error, example }),
        })
        .collect()
}
