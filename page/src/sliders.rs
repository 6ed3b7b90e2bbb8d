//! What can be turned before and during a run: every slider is a path of the scenario's file, or a parameter of its strategies.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use tepid_sim::scenario::{Cover, Scenario};
use tepid_strategies::parameter::{Param, ParamDefault};

use crate::setup::quoted;

/// How far the room's slider goes either way, K. A choice.
const ROOM_K: f64 = 12.0;
/// How far the setpoint's slider goes either way, K. A choice.
const SETPOINT_K: f64 = 4.0;
/// Widest deadband of its slider, K. A choice: files may have wider ones.
const DEADBAND_K: f64 = 3.0;
/// Fastest air of the fan's slider, m/s. A choice: a strong desk fan.
const FAN_M_PER_S: f64 = 5.0;

/// Where the sliders stand; what is absent is as the scenario and the strategies have it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Turned {
    /// By key of the slider.
    pub values: BTreeMap<String, Value>,
}

/// What a slider stands at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Value {
    /// In the slider's unit.
    Number(f64),
    /// One of its words.
    Word(String),
}

/// One slider.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Slider {
    /// Its key in a setup.
    pub key: String,
    /// For people.
    pub label: String,
    /// What it does, one line.
    pub doc: String,
    /// Where the scenario has it.
    pub usual: Value,
    /// What it can stand at.
    #[serde(flatten)]
    pub reach: Reach,
    #[serde(skip)]
    changes: Changes,
}

/// What a slider can stand at.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Reach {
    /// Numbers.
    Numbers {
        /// Smallest.
        from: f64,
        /// Largest.
        to: f64,
        /// From one to the next.
        step: f64,
        /// Their unit.
        unit: &'static str,
    },
    /// Words.
    Words {
        /// All of them.
        words: Vec<&'static str>,
    },
}

/// What a slider changes.
#[derive(Debug, Clone, PartialEq)]
enum Changes {
    /// A parameter of every strategy that has it.
    Parameter(&'static str),
    /// Paths of the scenario that take the value as it is.
    Paths(Vec<String>),
    /// The room, all the time.
    Room,
    /// The power of all heaters together: name and share of each.
    Power(Vec<(String, f64)>),
    /// The share of the first heater; the others keep their shares of the rest.
    Split(Vec<(String, f64)>),
}

fn numbers(from: f64, to: f64, step: f64, unit: &'static str) -> Reach {
    Reach::Numbers { from, to, step, unit }
}

/// A parameter of that name, of the first strategy that has it.
fn param(name: &str) -> Option<&'static Param> {
    tepid_strategies::registry()
        .iter()
        .find_map(|entry| entry.param(name))
}

/// All sliders that mean something in a scenario.
#[must_use]
pub fn sliders(scenario: &Scenario) -> Vec<Slider> {
    let target_c = scenario.water.target_c;
    let mut list = vec![Slider {
        key: "setpoint".to_owned(),
        label: "Setpoint".to_owned(),
        doc: param("setpoint").map_or_else(String::new, |param| param.doc.to_owned()),
        usual: Value::Number(target_c),
        reach: numbers(target_c - SETPOINT_K, target_c + SETPOINT_K, 0.1, "°C"),
        changes: Changes::Parameter("setpoint"),
    }];
    if let Some(deadband) = param("deadband") {
        list.push(Slider {
            key: "deadband".to_owned(),
            label: "Deadband".to_owned(),
            doc: deadband.doc.to_owned(),
            usual: Value::Number(match deadband.default {
                ParamDefault::Number(usual_k) => usual_k,
                _ => DEADBAND_K,
            }),
            reach: numbers(0.1, DEADBAND_K, 0.1, "K"),
            changes: Changes::Parameter("deadband"),
        });
    }
    let total_w: f64 = scenario.heaters.iter().map(|heater| heater.power_w).sum();
    if total_w > 0.0 {
        let shares: Vec<(String, f64)> = scenario
            .heaters
            .iter()
            .map(|heater| (heater.name.clone(), heater.power_w / total_w))
            .collect();
        let largest_w = (3.0 * total_w / 50.0).ceil() * 50.0;
        list.push(Slider {
            key: "heater-power".to_owned(),
            label: "Heaters in all".to_owned(),
            doc: "rated power of all heaters together".to_owned(),
            usual: Value::Number(total_w),
            reach: numbers(10.0, largest_w, 10.0, "W"),
            changes: Changes::Power(shares.clone()),
        });
        if shares.len() > 1 {
            list.push(Slider {
                key: "heater-split".to_owned(),
                label: format!("Heater split: {}", shares[0].0),
                doc: "share of the first heater in the power of all".to_owned(),
                usual: Value::Number((shares[0].1 * 100.0).round()),
                reach: numbers(5.0, 95.0, 5.0, "%"),
                changes: Changes::Split(shares),
            });
        }
    }
    list.push(Slider {
        key: "room".to_owned(),
        label: "Room".to_owned(),
        doc: "warmer (colder if negative) than the scenario's room, from time zero on".to_owned(),
        usual: Value::Number(0.0),
        reach: numbers(-ROOM_K, ROOM_K, 0.5, "K"),
        changes: Changes::Room,
    });
    for tank in scenario.tanks.iter().filter(|tank| tank.livestock) {
        let word = match tank.cover {
            Cover::Open => "open",
            Cover::Mesh => "mesh",
            Cover::Lid { .. } => "lid",
        };
        list.push(Slider {
            key: format!("cover.{}", tank.name),
            label: format!("Cover of {}", tank.name),
            doc: "what covers the water".to_owned(),
            usual: Value::Word(word.to_owned()),
            reach: Reach::Words {
                words: vec!["open", "mesh", "lid"],
            },
            changes: Changes::Paths(vec![path(&["tank", &tank.name, "cover"])]),
        });
    }
    for fan in &scenario.fans {
        list.push(Slider {
            key: format!("fan.{}", fan.name),
            label: format!("Air of {}", fan.name),
            doc: "air speed over the water while it turns".to_owned(),
            usual: Value::Number(fan.speed_m_per_s),
            reach: numbers(0.5, FAN_M_PER_S.max(fan.speed_m_per_s), 0.5, "m/s"),
            changes: Changes::Paths(vec![path(&["fan", &fan.name, "speed"])]),
        });
    }
    list
}

/// A path of a file, as a key of `set`.
fn path(parts: &[&str]) -> String {
    let quoted = parts.iter().map(|part| {
        if part.contains(['.', '\'']) {
            format!("'{part}'")
        } else {
            (*part).to_owned()
        }
    });
    quoted.collect::<Vec<_>>().join(".")
}

/// What turned sliders come to.
#[derive(Debug, Default)]
pub(crate) struct Effects {
    /// Paths of the scenario and their values.
    pub(crate) set: Vec<(String, String)>,
    /// Entries of the scenario's lists.
    pub(crate) entries: Vec<String>,
    /// Parameters of strategies and their values.
    pub(crate) parameters: Vec<(&'static str, String)>,
}

/// What the sliders of a scenario change where they stand.
pub(crate) fn effects(sliders: &[Slider], turned: &Turned) -> Result<Effects, crate::Mistake> {
    let mut effects = Effects::default();
    if let Some(unknown) = turned
        .values
        .keys()
        .find(|key| sliders.iter().all(|slider| slider.key != **key))
    {
        return Err(crate::Mistake(format!(
            "there is no slider `{unknown}` in this scenario"
        )));
    }
    let number = |key: &str| match turned.values.get(key) {
        Some(Value::Number(number)) if number.is_finite() => Some(*number),
        _ => None,
    };
    let mut power: Option<(f64, &[(String, f64)])> = None;
    let mut split: Option<f64> = None;
    for slider in sliders {
        let Some(value) = turned.values.get(&slider.key) else {
            continue;
        };
        let text = slider.text(value)?;
        match (&slider.changes, value) {
            (Changes::Parameter(name), _) => effects.parameters.push((name, text)),
            (Changes::Paths(paths), _) => {
                effects
                    .set
                    .extend(paths.iter().map(|path| (path.clone(), text.clone())));
            }
            (Changes::Room, _) if number(&slider.key) != Some(0.0) => effects.entries.push(format!(
                "[[event]]\nwhat = \"room shift\"\nname = \"another room\"\nat = \"0 h\"\nby = {}\n",
                quoted(&text)
            )),
            (Changes::Power(shares), Value::Number(total_w)) => power = Some((*total_w, shares)),
            (Changes::Split(_), Value::Number(percent)) => split = Some(*percent / 100.0),
            _ => {}
        }
    }
    let all = sliders
        .iter()
        .find_map(|slider| match (&slider.changes, &slider.usual) {
            (Changes::Power(shares), Value::Number(total_w)) => Some((*total_w, shares.as_slice())),
            _ => None,
        });
    if let (true, Some((total_w, shares))) = (power.is_some() || split.is_some(), power.or(all)) {
        let first = split.unwrap_or(shares[0].1);
        let rest: f64 = 1.0 - shares[0].1;
        for (at, (name, share)) in shares.iter().enumerate() {
            let share = if at == 0 {
                first
            } else {
                (1.0 - first) * share / rest.max(f64::MIN_POSITIVE)
            };
            let power_w = (total_w * share * 10.0).round() / 10.0;
            effects
                .set
                .push((path(&["heater", name, "power"]), format!("{power_w} W")));
        }
    }
    Ok(effects)
}

impl Slider {
    /// A value of it as a file writes it.
    fn text(&self, value: &Value) -> Result<String, crate::Mistake> {
        let out_of_reach = || crate::Mistake(format!("the slider `{}` cannot stand there", self.key));
        match (&self.reach, value) {
            (Reach::Numbers { from, to, unit, .. }, Value::Number(number))
                if (*from..=*to).contains(number) =>
            {
                Ok(format!("{} {unit}", (number * 1000.0).round() / 1000.0))
            }
            (Reach::Words { words }, Value::Word(word)) if words.contains(&word.as_str()) => Ok(word.clone()),
            _ => Err(out_of_reach()),
        }
    }
}
