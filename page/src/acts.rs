//! What somebody can do to a tank from the page: every act is a happening of the scenario.

use serde::{Deserialize, Serialize};
use tepid_sim::scenario::{ContactKind, ProbePurpose, Scenario};

use crate::setup::quoted;

/// How much colder an open window makes the room (or the air outdoors, where the room answers to it), K. An assumption, no source: a winter's
/// night let in.
pub const WINDOW_K: f64 = -6.0;

/// A kind of act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ActKind {
    /// A contact that cannot open any more.
    Weld,
    /// A heater's element burns out.
    KillHeater,
    /// A pump stands still.
    StopPump,
    /// A probe hangs in the room's air.
    PullProbe,
    /// No electricity.
    CutPower,
    /// Cold air comes in.
    OpenWindow,
}

impl ActKind {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Weld,
        Self::KillHeater,
        Self::StopPump,
        Self::PullProbe,
        Self::CutPower,
        Self::OpenWindow,
    ];

    /// What to call it, without what it is done to: "weld shut".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Weld => "weld shut",
            Self::KillHeater => "burn out",
            Self::StopPump => "stop",
            Self::PullProbe => "pull out of the water",
            Self::CutPower => "cut the power",
            Self::OpenWindow => "open the window",
        }
    }

    /// What taking it back is called.
    #[must_use]
    pub fn undo_words(self) -> &'static str {
        match self {
            Self::Weld => "replace the contact",
            Self::KillHeater => "replace the heater",
            Self::StopPump => "start the pump",
            Self::PullProbe => "put the probe back",
            Self::CutPower => "power returns",
            Self::OpenWindow => "close the window",
        }
    }

    /// Its key, as in a setup.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Weld => "weld",
            Self::KillHeater => "kill-heater",
            Self::StopPump => "stop-pump",
            Self::PullProbe => "pull-probe",
            Self::CutPower => "cut-power",
            Self::OpenWindow => "open-window",
        }
    }

    /// What it can be done to in a scenario; for what is done to all at once one empty name.
    #[must_use]
    pub fn targets(self, scenario: &Scenario) -> Vec<String> {
        match self {
            Self::Weld => {
                let welds = |kind| !matches!(kind, ContactKind::ResidualCurrent | ContactKind::Breaker);
                let contacts = scenario.contacts.iter().filter(|contact| welds(contact.kind));
                contacts.map(|contact| contact.name.clone()).collect()
            }
            Self::KillHeater => scenario
                .heaters
                .iter()
                .map(|heater| heater.name.clone())
                .collect(),
            Self::StopPump => scenario.pumps.iter().map(|pump| pump.name.clone()).collect(),
            Self::PullProbe => {
                let probes = scenario.probes.iter();
                let controls =
                    probes.filter(|probe| probe.purpose == ProbePurpose::Control && probe.tank.is_some());
                controls.map(|probe| probe.name.clone()).collect()
            }
            Self::CutPower | Self::OpenWindow => vec![String::new()],
        }
    }
}

/// Something somebody did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Act {
    /// What.
    pub what: ActKind,
    /// To what; empty for what is done to all at once.
    #[serde(default)]
    pub of: String,
    /// When, minutes since scoring began.
    pub from_min: u32,
    /// When it was taken back; absent: never.
    #[serde(default)]
    pub to_min: Option<u32>,
}

impl Act {
    /// As an entry of a scenario file.
    pub(crate) fn toml(&self) -> String {
        let (what, key) = match self.what {
            ActKind::Weld => ("contact welded", Some("contact")),
            ActKind::KillHeater => ("heater dead", Some("heater")),
            ActKind::StopPump => ("pump stopped", Some("pump")),
            ActKind::PullProbe => ("probe out of the water", Some("probe")),
            ActKind::CutPower => ("outage", None),
            ActKind::OpenWindow => ("room shift", None),
        };
        let mut text = format!("[[fault]]\nwhat = {}\n", quoted(what));
        if let Some(key) = key {
            text += &format!("{key} = {}\n", quoted(&self.of));
        }
        if self.what == ActKind::OpenWindow {
            text += &format!("by = \"{WINDOW_K} K\"\nname = \"window open\"\n");
        }
        text += &format!("when = \"{} min\"\n", self.from_min);
        if let Some(to_min) = self.to_min {
            text += &format!(
                "lasts = \"{} min\"\n",
                to_min.saturating_sub(self.from_min).max(1)
            );
        }
        text
    }
}
