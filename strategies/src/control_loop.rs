//! What every strategy with one controlled temperature has: setpoint, probe, interval, and what it does without
//! a reading; and the choice of contacts by role.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Readings, Wiring};
use tepid_sim::time::{HOUR, Millis, SECOND};

use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;
use crate::wording::temperature_text;

pub(crate) const SETPOINT: Param = Param {
    name: "setpoint",
    kind: ParamKind::Quantity(Kind::Temperature),
    default: ParamDefault::OfScenario("the scenario's target"),
    range: Some(ParamRange { from: 0.0, to: 45.0 }),
    doc: "the temperature to hold",
    trade: Some(
        "higher: more heat lost to the room all day, less time in hand when a heater sticks, more when one dies",
    ),
};

pub(crate) const PROBE: Param = Param {
    name: "probe",
    kind: ParamKind::ProbeName,
    default: ParamDefault::OfScenario("the scenario's first control probe"),
    range: None,
    doc: "the probe it reads",
    trade: None,
};

pub(crate) const INTERVAL: Param = Param {
    name: "interval",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(10 * SECOND),
    range: Some(ParamRange {
        from: SECOND as f64,
        to: HOUR as f64,
    }),
    doc: "time between two decisions",
    trade: Some("longer: reacts later and swings wider, but is not fooled by a moment's noise"),
};

pub(crate) const WITHOUT_READING: Param = Param {
    name: "without_reading",
    kind: ParamKind::Choice(&["off", "hold", "last duty"]),
    default: ParamDefault::Word("off"),
    range: None,
    doc: "while the probe is silent: open everything; leave every contact as it is; or go on as just before",
    trade: Some("`off` is safe from overheating and cools; `hold` and `last duty` keep warm and may cook"),
};

/// The `contacts` of a strategy that heats.
pub(crate) const HEATING_CONTACTS: Param =
    contacts_param("contacts", "all contacts that heat", "what it switches");

/// The `contacts` of a strategy that cools.
pub(crate) const COOLING_CONTACTS: Param =
    contacts_param("contacts", "all contacts that cool", "what it switches");

pub(crate) const fn contacts_param(name: &'static str, default: &'static str, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::ContactNames,
        default: ParamDefault::OfScenario(default),
        range: None,
        doc,
        trade: None,
    }
}

/// What to do without a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WithoutReading {
    /// Open everything.
    Off,
    /// Leave every contact as it is.
    Hold,
    /// Go on as just before the probe fell silent.
    LastDuty,
}

#[derive(Debug, Clone)]
pub(crate) struct ControlLoop {
    setpoint_c: Option<f64>,
    probe: Option<String>,
    pub(crate) interval_ms: Millis,
    pub(crate) without_reading: WithoutReading,
}

impl ControlLoop {
    pub(crate) fn from_values(values: &Values) -> Result<Self, ParamError> {
        Ok(Self {
            setpoint_c: values.given_number(SETPOINT.name),
            probe: values.given_name(PROBE.name).map(str::to_owned),
            interval_ms: values.get_time_ms(INTERVAL.name)?,
            without_reading: match values.get_word(WITHOUT_READING.name)? {
                "hold" => WithoutReading::Hold,
                "last duty" => WithoutReading::LastDuty,
                _ => WithoutReading::Off,
            },
        })
    }

    /// The temperature to hold, °C.
    pub(crate) fn setpoint_c(&self, wiring: &Wiring) -> f64 {
        self.setpoint_c.unwrap_or(wiring.target_c)
    }

    /// The probe to read.
    pub(crate) fn probe(&self, wiring: &Wiring) -> Result<ProbeId, BindError> {
        probe(wiring, self.probe.as_deref())
    }

    /// Whether it names the probe to read.
    pub(crate) fn names_probe(&self) -> bool {
        self.probe.is_some()
    }

    /// The setpoint in words: "25.5 °C", "the target".
    pub(crate) fn setpoint_text(&self) -> String {
        self.setpoint_c
            .map_or_else(|| "the target".to_owned(), temperature_text)
    }

    /// What differs from the defaults, to be appended to a recipe's settings: ", every 60 s".
    pub(crate) fn settings_text(&self) -> String {
        let mut text = String::new();
        if INTERVAL.default != ParamDefault::Time(self.interval_ms) {
            text += &format!(", decides every {}", print_millis(self.interval_ms));
        }
        if let Some(probe) = &self.probe {
            text += &format!(", by `{probe}`");
        }
        text += match self.without_reading {
            WithoutReading::Off => "",
            WithoutReading::Hold => ", holds without a reading",
            WithoutReading::LastDuty => ", last duty without a reading",
        };
        text
    }
}

/// The probe of this name, or else the first that controls.
pub(crate) fn probe(wiring: &Wiring, name: Option<&str>) -> Result<ProbeId, BindError> {
    name.map_or_else(|| wiring.control_probe(), |name| wiring.probe(name))
}

/// The reading of a probe, °C. A value that is not a finite number is no reading.
pub(crate) fn reading_c(seen: &Readings, probe: ProbeId) -> Option<f64> {
    seen.probe_c(probe).filter(|temp_c| temp_c.is_finite())
}

/// The contacts of these names, in that order, or else all with the role.
///
/// # Errors
/// [`BindError::Unknown`] if a named contact is not there or has another role; [`BindError::DoesNotApply`] if
/// none is named and none has the role.
pub(crate) fn contacts(
    wiring: &Wiring,
    role: Role,
    names: Option<&[String]>,
) -> Result<Vec<ContactId>, BindError> {
    let Some(names) = names else {
        return wiring.contacts_with(role);
    };
    names
        .iter()
        .map(|name| {
            wiring
                .contact(name)
                .ok()
                .filter(|contact| wiring.contacts[contact.0].role == Some(role))
                .ok_or_else(|| BindError::Unknown {
                    what: match role {
                        Role::Heat => "contact that heats",
                        Role::Cool => "contact that cools",
                        Role::HeatRoom => "contact of the room's heating",
                        Role::CoolRoom => "contact of the room's cooling",
                    },
                    name: name.clone(),
                    known: wiring
                        .contacts
                        .iter()
                        .filter(|contact| contact.role == Some(role))
                        .map(|contact| contact.name.clone())
                        .collect(),
                })
        })
        .collect()
}
