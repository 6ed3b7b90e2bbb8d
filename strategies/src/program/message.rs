//! What is said to a program, and what it answers: one line of JSON each.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::Value;
use tepid_sim::scenario::{ProbePurpose, Restart, Role};
use tepid_sim::strategy::{ContactState, Readings, Wiring};
use tepid_sim::time::{Millis, SECOND};

use super::device::{Sent, ToldForm};
use crate::outputs::{Drive, Outputs};

/// Version of the protocol.
pub const PROTOCOL: u32 = 1;

/// The first thing said: names, roles, units.
#[derive(Debug, Serialize)]
pub(super) struct Hello<'a> {
    pub(super) message: &'static str,
    pub(super) protocol: u32,
    pub(super) interval_s: f64,
    pub(super) setpoint_c: f64,
    pub(super) readings: ToldForm,
    pub(super) probes: Vec<ToldProbe<'a>>,
    pub(super) contacts: Vec<ToldContact<'a>>,
    pub(super) heaters: Vec<ToldHeater<'a>>,
}

#[derive(Debug, Serialize)]
pub(super) struct ToldProbe<'a> {
    name: &'a str,
    /// `None`: it hangs in the room.
    tank: Option<&'a str>,
    purpose: &'static str,
}

#[derive(Debug, Serialize)]
pub(super) struct ToldContact<'a> {
    name: &'a str,
    role: &'static str,
    power_w: f64,
}

#[derive(Debug, Serialize)]
pub(super) struct ToldHeater<'a> {
    name: &'a str,
    tank: &'a str,
    power_w: f64,
}

impl<'a> Hello<'a> {
    pub(super) fn new(
        wiring: &'a Wiring,
        outputs: &'a Outputs,
        interval_ms: Millis,
        setpoint_c: f64,
        readings: ToldForm,
    ) -> Self {
        Self {
            message: "hello",
            protocol: PROTOCOL,
            interval_s: seconds(interval_ms),
            setpoint_c,
            readings,
            probes: wiring
                .probes
                .iter()
                .map(|probe| ToldProbe {
                    name: &probe.name,
                    tank: probe.tank.as_deref(),
                    purpose: match probe.purpose {
                        ProbePurpose::Control => "control",
                        ProbePurpose::Monitor => "monitor",
                    },
                })
                .collect(),
            contacts: outputs
                .list
                .iter()
                .map(|output| ToldContact {
                    name: &output.name,
                    role: match output.role {
                        Role::Heat => "heat",
                        Role::Cool => "cool",
                        Role::HeatRoom => "heat room",
                        Role::CoolRoom => "cool room",
                    },
                    power_w: output.power_w,
                })
                .collect(),
            heaters: wiring
                .heaters
                .iter()
                .map(|heater| ToldHeater {
                    name: &heater.name,
                    tank: &heater.tank,
                    power_w: heater.power_w,
                })
                .collect(),
        }
    }
}

/// What is said at every decision.
#[derive(Debug, Serialize)]
pub(super) struct Decide<'a> {
    message: &'static str,
    now_s: f64,
    restart: Option<&'static str>,
    probes: BTreeMap<&'a str, Sent>,
    drawn_w: BTreeMap<&'a str, f64>,
    announced: Vec<ToldEvent<'a>>,
}

#[derive(Debug, Serialize)]
struct ToldEvent<'a> {
    name: &'a str,
    kind: &'static str,
    starts_s: f64,
    ends_s: Option<f64>,
    new_water: Option<ToldNewWater>,
}

#[derive(Debug, Serialize)]
struct ToldNewWater {
    share: f64,
    temp_c: f64,
}

impl<'a> Decide<'a> {
    pub(super) fn new(
        seen: &'a Readings,
        sent: Vec<Sent>,
        wiring: &'a Wiring,
        restart: Option<Restart>,
    ) -> Self {
        Self {
            message: "decide",
            now_s: seconds(seen.now_ms),
            restart: restart.map(Restart::word),
            probes: wiring
                .probes
                .iter()
                .map(|probe| probe.name.as_str())
                .zip(sent)
                .collect(),
            drawn_w: wiring
                .heaters
                .iter()
                .map(|heater| heater.name.as_str())
                .zip(seen.drawn_w.iter().copied())
                .collect(),
            announced: seen
                .announced
                .iter()
                .map(|event| ToldEvent {
                    name: &event.name,
                    kind: event.kind.word(),
                    starts_s: seconds(event.start_ms),
                    ends_s: event.end_ms.map(seconds),
                    new_water: event.new_water.map(|water| ToldNewWater {
                        share: water.share_frac,
                        temp_c: water.temp_c,
                    }),
                })
                .collect(),
        }
    }
}

fn seconds(time_ms: Millis) -> f64 {
    time_ms as f64 / SECOND as f64
}

/// What a program answers to a hello.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Introduced {
    protocol: u32,
}

/// What a program answers to a decision.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Answer {
    pub(super) contacts: BTreeMap<String, Value>,
    #[serde(default)]
    pub(super) alerts: Vec<String>,
}

/// Checks the answer to a hello.
pub(super) fn introduced(line: &str) -> Result<(), String> {
    let answer: Introduced = serde_json::from_str(line).map_err(|error| {
        format!(
            "it answered the hello with {}: {error}; expected {{\"protocol\":{PROTOCOL}}}",
            shown(line)
        )
    })?;
    if answer.protocol == PROTOCOL {
        return Ok(());
    }
    Err(format!(
        "it speaks protocol {}; this program speaks {PROTOCOL}",
        answer.protocol
    ))
}

/// Reads the answer to a decision.
pub(super) fn answer(line: &str) -> Result<Answer, String> {
    serde_json::from_str(line).map_err(|error| {
        format!(
            "it answered {}: {error}; expected a line such as {{\"contacts\":{{\"relay\":true}}}}. Standard output is for answers alone; what it \
             wants to tell belongs on standard error",
            shown(line)
        )
    })
}

/// What an answer wants of one contact.
pub(super) fn drive(value: &Value) -> Result<Drive, String> {
    match value {
        Value::Bool(closed) => Ok(Drive::State(ContactState::closed_if(*closed))),
        Value::Number(number) => Drive::duty(number.as_f64().unwrap_or(f64::NAN)),
        other => Err(format!(
            "{other}; expected true or false (closed or open at once), or a duty between 0 and 1"
        )),
    }
}

/// The start of a line, in quotes.
pub(super) fn shown(line: &str) -> String {
    const SHOWN: usize = 80;
    let start: String = line.chars().take(SHOWN).collect();
    let more = if line.chars().nth(SHOWN).is_some() {
        "…"
    } else {
        ""
    };
    format!("`{}{more}`", start.escape_debug())
}
