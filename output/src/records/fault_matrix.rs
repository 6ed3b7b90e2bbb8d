//! The fault matrix: every fault, what stopped it, and what would remove it.

use serde::{Deserialize, Serialize};

use super::{FaultOutcome, Livestock, RecordKind, RoomBlock, RoomKind, Severity, Warning};
use crate::cautions::Cautioned;

/// Every fault of a scenario under some strategies. Hours of faults count from the start of the fault.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FaultMatrix {
    /// [`RecordKind::Faults`].
    pub format: RecordKind,
    /// [`super::FORMAT_VERSION`].
    pub version: u32,
    /// Seed of weather and noise, the same for every strategy.
    pub seed: u64,
    /// The scenario's name.
    pub scenario: String,
    /// The scenario's title.
    pub title: String,
    /// Temperature the keeper wants, °C.
    pub target_c: f64,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// The rooms in which every fault was tried.
    pub rooms: Vec<RoomBlock>,
    /// What lives there and what it bears.
    pub livestock: Livestock,
    /// In the scenario's own room a fault "at the worst instant" is tried at the first fitting instant after each of these, h after time zero.
    pub trial_instants_h: Vec<f64>,
    /// Somebody acts on an alert in this scenario.
    pub somebody_acts: bool,
    /// The changes that were tried on single points of failure, smallest first.
    pub changes_offered: Vec<Edit>,
    /// One per strategy, in the order asked for.
    pub strategies: Vec<StrategyFaults>,
    /// Where the scenario leaves what the model is good for.
    pub warnings: Vec<Warning>,
    /// What was assumed for want of a statement.
    pub assumptions: Vec<String>,
    /// Cautions that belong to the results above.
    pub cautions: Vec<Cautioned>,
}

/// Every fault under one strategy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StrategyFaults {
    /// Name.
    pub strategy: String,
    /// Settings in use, one line.
    pub settings: String,
    /// What the set-up holds as it stands, with nothing broken; `None`: runs failed.
    pub held: Option<Held>,
    /// One per fault case and room, worst first.
    pub faults: Vec<FaultRow>,
    /// Pairs of faults that each stay below the dose alone, one per pair and room, worst first; `None`: not asked for.
    pub pairs: Option<Vec<FaultRow>>,
    /// What a heater or cooler that sticks or dies does, in each room, with people acting and without.
    pub exposure: Vec<Exposure>,
    /// Faults that take the water past the dose alone, worst first.
    pub single_points: Vec<SinglePoint>,
    /// Why runs failed, each reason once.
    pub failures: Vec<String>,
}

/// One fault (or pair) in one room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FaultRow {
    /// What it does, from the worst instant tried.
    pub outcome: FaultOutcome,
    /// It is one failure, not one behind another that nobody noticed.
    pub is_single: bool,
    /// What finally stopped it; `None`: the runs failed.
    pub stopped_by: Option<StoppedBy>,
    /// Which line was passed when the dose was used up; `None`: the fault takes nothing past the dose.
    pub exceeds: Option<Exceeded>,
}

impl FaultRow {
    /// How bad it is.
    #[must_use]
    pub fn severity(&self) -> Severity {
        Severity::of(&self.outcome)
    }

    /// Whether it takes the water past a dose that would not be used up with nothing broken.
    #[must_use]
    pub fn takes_past(&self) -> bool {
        self.exceeds.is_some()
    }
}

/// A dose that a fault used up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Exceeded {
    /// Upwards (too warm) or downwards.
    pub is_hot: bool,
    /// The severest line passed by then, °C.
    pub line_c: f64,
    /// Hours to that line.
    pub line_after_h: f64,
    /// Hours until the dose was used up.
    pub used_up_h: f64,
}

/// What finally stopped the water on the side to which a fault drove it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "kebab-case")]
pub enum StoppedBy {
    /// Somebody did something.
    Person {
        /// "heaters unplugged by keeper".
        what: String,
    },
    /// Contacts that decide for themselves opened.
    Contacts {
        /// Their names.
        names: Vec<String>,
    },
    /// The fault itself ended: the power came back.
    FaultEnded,
    /// Fans or chillers ran.
    Cooling {
        /// Their names.
        names: Vec<String>,
    },
    /// Heaters that still work.
    Heating {
        /// Their names.
        names: Vec<String>,
    },
    /// Nothing switched: the water levelled off where the room takes as much heat as it gets.
    LevelledOff,
    /// Nothing: it was still going on when the look ended.
    Nothing,
}

/// A heater or cooler that sticks or dies, in one room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Exposure {
    /// "heater left".
    pub devices: Vec<String>,
    /// Stuck on, or dead.
    pub how: ExposureHow,
    /// People act on alerts as the scenario says; else nobody does.
    pub people_act: bool,
    /// What it does.
    pub row: FaultRow,
}

/// How a device fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ExposureHow {
    /// What switches it cannot open; the rest of its chain works.
    Stuck,
    /// It does not run.
    Dead,
}

/// A fault that takes the water past the dose alone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SinglePoint {
    /// The fault set.
    pub set: String,
    /// The fault.
    pub case: String,
    /// The room in which it is worst.
    pub room: RoomKind,
    /// What it exceeds there.
    pub exceeds: Exceeded,
    /// Every change tried alone, in the order of `changes_offered`; then, where none of them does, the first pair that does.
    pub tried: Vec<Change>,
    /// How many pairs of changes were tried.
    pub pairs_tried: u32,
    /// Position in `tried` of the smallest that removes it; `None`: none of them does.
    pub smallest: Option<usize>,
}

/// A change, or two, tried on a single point of failure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// What is changed.
    pub edits: Vec<EditKind>,
    /// With it the fault takes the water past the dose in no room, nor does the same failure of a part it adds, and the unbroken tank is kept as well
    /// as before.
    pub removes: bool,
    /// Why it is no good with nothing broken, if so; the fault was not tried then.
    pub breaks_healthy: Option<String>,
    /// The worst outcome with it (the first found that is past the dose).
    pub outcome: Option<FaultOutcome>,
    /// What the set-up holds with it; `None` where it does not remove the fault.
    pub held: Option<Held>,
}

/// A change of the set-up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Edit {
    /// Which.
    pub kind: EditKind,
    /// What it is: "a cut-out in its own box".
    pub name: String,
    /// What exactly was simulated.
    pub detail: String,
}

/// Kinds of change, smallest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum EditKind {
    /// A cut-out in a box of its own in every heater's chain.
    CutOut,
    /// A second probe with an alert on which somebody unplugs the heaters.
    SecondProbe,
    /// A contact of its own for every heater.
    OwnContact,
    /// Heaters of three quarters of the power.
    ThreeQuartersPower,
    /// Heaters of half the power.
    HalfPower,
    /// Every heater split into two of half the power, each with contacts of its own.
    SplitHeaters,
    /// Half of the heaters that share a circuit on another one of the same rating.
    AnotherCircuit,
}

/// What a set-up holds with nothing broken, for the price of a change.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Held {
    /// Share of the time inside the band in the scenario's own room, 0..=1.
    pub inside_band_frac: f64,
    /// Closings a day of the busiest commanded contact there.
    pub closings_per_day: Option<f64>,
    /// The coldest room in which all heaters together still hold the target, °C; `None`: not within the range searched.
    pub coldest_room_held_c: Option<f64>,
    /// Hours from the end of a cold water change (25 % of the tank's water, 10 K below the target, within 1 h) in the room constant at the year's coldest
    /// until the water was back inside the band; `None`: not within `recovery_followed_h`.
    pub recovery_h: Option<f64>,
    /// How long that was followed, h.
    pub recovery_followed_h: f64,
}
