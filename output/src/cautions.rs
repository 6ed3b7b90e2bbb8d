//! Cautions: what must be said beside a result that could lead somebody to act on mains, hot glass or stopped water.
//!
//! One table: [`Caution::text`]. What triggers a caution is decided in [`for_effect`] and [`for_equipment`]; every record
//! carries them as values, so they reach every format. What is common practice without a source says so:
//! by a mark for people ([`WHAT_THE_MARK_MEANS`]), by a field in JSON.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use tepid_sim::scenario::{Effect, Happening, Heater, HeaterKind, Scenario};

/// Body temperature above which a heater counts as run dry, °C: water boils off it long before.
pub const DRY_BODY_C: f64 = 150.0;

/// What stands at the end of a caution that is common practice without a source.
const MARK: &str = "†";

/// What that mark means, said once beside cautions that carry it.
pub const WHAT_THE_MARK_MEANS: &str = "† common practice, no source";

/// What is said of a heater whose body got hotter than [`DRY_BODY_C`].
pub const RUN_DRY: &str = "run dry: glass may crack; remove power before touching the water";

/// Something that must be said beside a result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Caution {
    /// A heater that ran dry in this result.
    RanDry,
    /// A contact or heater that does not switch off.
    StuckHeater,
    /// A heater's own dial that is off.
    DialUnchecked,
    /// A heater in air, or one that may come to be.
    DryHeater,
    /// Water stands still.
    StoppedFlow,
    /// Water stands still in a scenario that states its stock.
    OxygenReckoned,
    /// No electricity for a while.
    Outage,
    /// Everything may switch on at any moment.
    PowerReturns,
    /// Mains appliances in or over water.
    MainsNearWater,
    /// A fan over open water.
    FanNearWater,
    /// A probe that is not where it should be.
    ProbeNotInWater,
    /// A reading or a controller that cannot be believed.
    ScreenSaysSafe,
    /// A contact that parts and closes again and again.
    ChatteringContact,
    /// A residual-current device or breaker that tripped.
    TrippedDevice,
    /// A solid-state switch.
    SolidStateLive,
    /// Power strips, timers and circuits.
    LoadRatings,
    /// A plug that somebody pulls.
    DryHands,
    /// Ice in the water.
    SealedIce,
    /// Something wrapped round a tank.
    WrappedSides,
    /// Candles and stoves where it is cold and dark.
    NoFlames,
    /// Electricity from a generator.
    Generator,
    /// Alerts that somebody leans on.
    AlertsMayFail,
    /// A lid or blanket over the water.
    CoveredWater,
    /// Work on mains wiring.
    LocalRules,
    /// A test on a tank with livestock.
    TestOnLivestock,
    /// What odds cannot promise.
    OddsCompare,
    /// What a model cannot promise.
    NoCertificate,
}

impl Caution {
    /// All of them, most urgent first.
    pub const ALL: [Self; 27] = [
        Self::RanDry,
        Self::StuckHeater,
        Self::DialUnchecked,
        Self::DryHeater,
        Self::StoppedFlow,
        Self::OxygenReckoned,
        Self::Outage,
        Self::PowerReturns,
        Self::MainsNearWater,
        Self::FanNearWater,
        Self::ProbeNotInWater,
        Self::ScreenSaysSafe,
        Self::ChatteringContact,
        Self::TrippedDevice,
        Self::SolidStateLive,
        Self::LoadRatings,
        Self::DryHands,
        Self::SealedIce,
        Self::WrappedSides,
        Self::NoFlames,
        Self::Generator,
        Self::AlertsMayFail,
        Self::CoveredWater,
        Self::LocalRules,
        Self::TestOnLivestock,
        Self::OddsCompare,
        Self::NoCertificate,
    ];

    /// What to say.
    #[must_use]
    pub fn text(self) -> &'static str {
        match self {
            Self::RanDry => {
                "A heater ran dry here, so its glass may crack: remove power before touching the water, and let it cool \
                 in place, for cold water on hot glass shatters it. One that cracked is never used again."
            }
            Self::StuckHeater => {
                "A welded contact ignores \"off\": pull the plug with dry hands or switch off its circuit; \
                 do not trust a controller that says it is off."
            }
            Self::DialUnchecked => {
                "A heater's own dial is no independent protection: it sits in the same body, may be off by kelvins and \
                 is hardly ever tested. Check it against a thermometer you trust before leaning on it."
            }
            Self::DryHeater => {
                "Never power a heater out of water: run dry its glass gets hot enough to burn and may crack. Remove \
                 power before touching it or the water, and let it cool in place: cold water on hot glass shatters \
                 it. One that cracked is never used again."
            }
            Self::StoppedFlow => {
                "The model leaves out oxygen: with the flow stopped a stocked tank can run out of oxygen in a few \
                 hours, sooner than it cools. Keep water or air moving first."
            }
            Self::OxygenReckoned => {
                "Oxygen is reckoned from the stock, the surface and the air pumps as stated. How fast still water takes it \
                 up may be off by a factor of two, and fed or frightened animals need more: a stocked tank can run \
                 out of it sooner than told. Keep water or air moving first."
            }
            Self::Outage => {
                "In an outage run no generator, grill or camping stove indoors: carbon monoxide kills. \
                 Air pumps on batteries keep oxygen in the water; blankets round the panes keep heat in it."
            }
            Self::PowerReturns => {
                "Power comes back without warning and everything switches on at once: unplug heaters before hands \
                 go into the water, and check the water level before they get power again."
            }
            Self::MainsNearWater => {
                "Mains in and over salt water: residual-current protection (RCD/GFCI) on every circuit of the \
                 tank, a drip loop in every cable, and heaters unplugged before hands go in or water goes out."
            }
            Self::FanNearWater => {
                "Fix a fan so that it cannot fall into the water, with a drip loop in its cable, and prefer \
                 extra-low voltage with its supply out of reach of splashes."
            }
            Self::ProbeNotInWater => {
                "A probe that hangs in air reads the room and heats without end: check where it hangs before \
                 believing it, and do not take it out while heaters have power."
            }
            Self::ScreenSaysSafe => {
                "No hand goes in because a screen says \"safe\": a reading may be stuck and a controller may hang. Look with a \
                 second thermometer, and pull the heater's plug with dry hands first."
            }
            Self::ChatteringContact => {
                "A chattering contact burns: it heats its box and its plug and is about to weld. Switch off its circuit and \
                 replace it; do not knock it back to work."
            }
            Self::TrippedDevice => {
                "A residual-current device that trips has found current where it kills: unplug everything on it and find the \
                 appliance that leaks. It is not reset again and again and never bypassed; a breaker that trips is overloaded."
            }
            Self::SolidStateLive => {
                "A solid-state switch that is off isolates nothing: a few milliamperes pass it, and what hangs on it is live. \
                 When it fails it shorts, and \"off\" heats. Pull the plug before touching anything behind it, and keep its heat sink \
                 clear."
            }
            Self::LoadRatings => {
                "Power strips, timers and sockets carry what they are rated for and no more, off the floor and out of reach of \
                 splashes; after an outage everything on them draws at once."
            }
            Self::DryHands => {
                "Pull a plug with dry hands on a dry floor, or switch off its circuit; never reach over or into the water \
                 for it, and look whether the water goes on moving afterwards."
            }
            Self::SealedIce => {
                "Ice goes in sealed, a bottle at a time, at a limited rate: no faster than the livestock bears, with a thermometer \
                 beside it. Take water out first so that nothing overflows, and pull the heaters' plugs before hands go in."
            }
            Self::WrappedSides => {
                "Blankets on the sides only: the top stays open for oxygen, cloth does not hang into the water, and nothing covers \
                 plugs, lamps or pumps."
            }
            Self::NoFlames => {
                "No candles, stoves or other flames near a tank: blankets and cables burn, and their gases kill in \
                 closed rooms."
            }
            Self::Generator => {
                "Generators run outdoors only, away from doors, windows and other openings, and are never back-fed into the \
                 house's wiring: plug devices into the generator itself."
            }
            Self::AlertsMayFail => {
                "An alert is worth what its way and the people at its end are worth: test it like a protection, and do not let it take \
                 the place of a cut-out. Nobody hurries into danger because of one."
            }
            Self::CoveredWater => {
                "A tight cover also keeps oxygen out and moisture in: leave a gap, and keep it clear of lamps and \
                 plugs."
            }
            Self::LocalRules => {
                "Local electrical codes and a licensed electrician decide what may be wired and how; nothing here \
                 replaces them."
            }
            Self::TestOnLivestock => {
                "A test ends where the livestock's own band ends: stay near, look at the thermometer, keep pumps and air running. Write down \
                 what was unplugged or turned up, and put it back before anything else."
            }
            Self::OddsCompare => {
                "Odds compare set-ups and promise nothing: most lives behind them are assumptions, and a tank is not a \
                 thousand tanks. Take the difference between two set-ups, and test what protects."
            }
            Self::NoCertificate => {
                "This is a model of temperatures, not a safety certificate: real parts differ, and it does not \
                 know whether animals live through what it computes."
            }
        }
    }

    /// Whether it states a fact that is common practice without a source, and not what this program does or leaves out.
    #[must_use]
    pub fn is_common_practice(self) -> bool {
        !matches!(
            self,
            Self::OxygenReckoned | Self::OddsCompare | Self::LocalRules | Self::NoCertificate
        )
    }

    /// Its key in JSON and CSV.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::RanDry => "ran-dry",
            Self::StuckHeater => "stuck-heater",
            Self::DialUnchecked => "dial-unchecked",
            Self::DryHeater => "dry-heater",
            Self::StoppedFlow => "stopped-flow",
            Self::OxygenReckoned => "oxygen-reckoned",
            Self::Outage => "outage",
            Self::PowerReturns => "power-returns",
            Self::MainsNearWater => "mains-near-water",
            Self::FanNearWater => "fan-near-water",
            Self::ProbeNotInWater => "probe-not-in-water",
            Self::ScreenSaysSafe => "screen-says-safe",
            Self::ChatteringContact => "chattering-contact",
            Self::TrippedDevice => "tripped-device",
            Self::SolidStateLive => "solid-state-live",
            Self::LoadRatings => "load-ratings",
            Self::DryHands => "dry-hands",
            Self::SealedIce => "sealed-ice",
            Self::WrappedSides => "wrapped-sides",
            Self::NoFlames => "no-flames",
            Self::Generator => "generator",
            Self::AlertsMayFail => "alerts-may-fail",
            Self::CoveredWater => "covered-water",
            Self::LocalRules => "local-rules",
            Self::TestOnLivestock => "test-on-livestock",
            Self::OddsCompare => "odds-compare",
            Self::NoCertificate => "no-certificate",
        }
    }

    /// The caution as a record carries it.
    #[must_use]
    pub fn because(self, reason: impl Into<String>) -> Cautioned {
        Cautioned {
            caution: self,
            text: self.text().to_owned(),
            common_practice: self.is_common_practice(),
            because: vec![reason.into()],
        }
    }
}

/// A caution in a record, with what triggered it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Cautioned {
    /// Which.
    pub caution: Caution,
    /// What to say.
    pub text: String,
    /// It is common practice, and no source stands behind it.
    #[serde(default)]
    pub common_practice: bool,
    /// What triggered it: "relay left welded".
    pub because: Vec<String>,
}

impl Cautioned {
    /// What to say, marked if no source stands behind it.
    #[must_use]
    pub fn marked(&self) -> String {
        if self.common_practice {
            format!("{} {MARK}", self.text)
        } else {
            self.text.clone()
        }
    }
}

/// What the mark means, where one of these cautions carries it.
#[must_use]
pub fn mark_of(cautions: &[Cautioned]) -> Option<&'static str> {
    let any = cautions.iter().any(|one| one.common_practice);
    any.then_some(WHAT_THE_MARK_MEANS)
}

/// Every caution once, most urgent first, with all its reasons.
#[must_use]
pub fn gathered(cautions: impl IntoIterator<Item = Cautioned>) -> Vec<Cautioned> {
    let mut gathered: Vec<Cautioned> = Vec::new();
    for one in cautions {
        match gathered.iter_mut().find(|known| known.caution == one.caution) {
            Some(known) => {
                for reason in one.because {
                    if !known.because.contains(&reason) {
                        known.because.push(reason);
                    }
                }
            }
            None => gathered.push(one),
        }
    }
    gathered.sort_by_key(|one| one.caution);
    gathered
}

/// What an effect calls for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CalledFor {
    /// These cautions.
    Cautions(&'static [Caution]),
    /// None, for this reason.
    NoneBecause(&'static str),
}

impl CalledFor {
    /// The cautions, none if none are called for.
    #[must_use]
    pub fn cautions(self) -> &'static [Caution] {
        match self {
            Self::Cautions(cautions) => cautions,
            Self::NoneBecause(_) => &[],
        }
    }
}

/// What must be said beside a result in which `effect` happens.
#[must_use]
pub fn for_effect(effect: &Effect) -> CalledFor {
    use CalledFor::{Cautions, NoneBecause};
    match effect {
        Effect::ContactWelded(_) | Effect::BoxWelded(_) => Cautions(&[
            Caution::StuckHeater,
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::ContactChatters { .. } => Cautions(&[
            Caution::ChatteringContact,
            Caution::StuckHeater,
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::ControllerHung { .. } => Cautions(&[
            Caution::ScreenSaysSafe,
            Caution::StuckHeater,
            Caution::MainsNearWater,
            Caution::NoCertificate,
        ]),
        Effect::DialOff { .. } | Effect::DialDrifts { .. } | Effect::DialSet { .. } => Cautions(&[
            Caution::DialUnchecked,
            Caution::MainsNearWater,
            Caution::NoCertificate,
        ]),
        Effect::ContactStuckOpen(_)
        | Effect::BoxStuckOpen(_)
        | Effect::HeaterDead(_)
        | Effect::FanStopped(_)
        | Effect::ChillerDead(_)
        | Effect::ChillerBlocked { .. } => Cautions(&[
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::PowerOut => Cautions(&[
            Caution::StoppedFlow,
            Caution::Outage,
            Caution::PowerReturns,
            Caution::NoFlames,
            Caution::Generator,
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::CircuitTripped(_) => Cautions(&[
            Caution::TrippedDevice,
            Caution::StoppedFlow,
            Caution::PowerReturns,
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::BackupDead(_) => Cautions(&[
            Caution::StoppedFlow,
            Caution::Outage,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::MainsVoltage { .. } => NoneBecause("the street's voltage asks nobody to touch anything"),
        Effect::PumpStopped(_) => {
            Cautions(&[Caution::StoppedFlow, Caution::DryHeater, Caution::NoCertificate])
        }
        Effect::ProbeOutOfWater(_) | Effect::ProbeInTank { .. } => Cautions(&[
            Caution::ProbeNotInWater,
            Caution::MainsNearWater,
            Caution::NoCertificate,
        ]),
        Effect::ProbeSilent(_)
        | Effect::ProbeStuck(_)
        | Effect::ProbeOffset { .. }
        | Effect::ProbeDrifts { .. }
        | Effect::ProbeReads { .. }
        | Effect::ProbeNoisy { .. } => Cautions(&[
            Caution::ScreenSaysSafe,
            Caution::MainsNearWater,
            Caution::NoCertificate,
        ]),
        Effect::Covered { .. } => Cautions(&[Caution::CoveredWater]),
        Effect::LightOut(_) | Effect::LightLeftOn(_) => {
            Cautions(&[Caution::MainsNearWater, Caution::NoCertificate])
        }
        Effect::HeatersUnplugged | Effect::HeaterUnplugged(_) => {
            Cautions(&[Caution::DryHands, Caution::MainsNearWater, Caution::NoCertificate])
        }
        Effect::SealedIce { .. } => Cautions(&[
            Caution::SealedIce,
            Caution::MainsNearWater,
            Caution::NoCertificate,
        ]),
        Effect::SidesWrapped { .. } => {
            Cautions(&[Caution::WrappedSides, Caution::NoFlames, Caution::NoCertificate])
        }
        Effect::BackupStarted(_) => Cautions(&[
            Caution::Generator,
            Caution::PowerReturns,
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::NetworkDown | Effect::AlertsMuted => {
            Cautions(&[Caution::AlertsMayFail, Caution::NoCertificate])
        }
        Effect::Leak { .. } | Effect::TopOffStopped | Effect::TopOffStuckOn { .. } => Cautions(&[
            Caution::DryHeater,
            Caution::MainsNearWater,
            Caution::LocalRules,
            Caution::NoCertificate,
        ]),
        Effect::WaterChange { .. } => Cautions(&[
            Caution::DryHeater,
            Caution::MainsNearWater,
            Caution::NoCertificate,
        ]),
        Effect::HeatersHeldOff => {
            NoneBecause("the controller holds them off by itself; the pause it belongs to has its own")
        }
        Effect::RoomDeviceOff(_) | Effect::RoomDeviceStuckOn(_) => {
            NoneBecause("a room's own heating or cooling asks nobody to touch the tank")
        }
        Effect::RoomCooled { .. } => {
            NoneBecause("cooling the room's air by its own device asks nobody to touch the tank")
        }
        Effect::RoomShift { .. } => NoneBecause("a warmer or colder room asks nobody to touch anything"),
    }
}

/// What must be said beside a result of a scenario in which these happen, each caution once, with the happenings' names as reasons.
#[must_use]
pub fn for_happenings<'a>(
    scenario: &Scenario,
    happenings: impl IntoIterator<Item = &'a Happening>,
) -> Vec<Cautioned> {
    gathered(happenings.into_iter().flat_map(|happening| {
        let cautions = for_effect(&happening.effect).cautions();
        cautions
            .iter()
            .map(|caution| caution.where_stocked(scenario).because(happening.name.clone()))
    }))
}

impl Caution {
    /// What stands in this one's place in a scenario: where it states its stock, oxygen was not left out.
    #[must_use]
    pub fn where_stocked(self, scenario: &Scenario) -> Self {
        match self {
            Self::StoppedFlow if scenario.livestock.oxygen.is_some() => Self::OxygenReckoned,
            other => other,
        }
    }
}

/// What must be said beside any result of a scenario, for what stands in it.
#[must_use]
pub fn for_equipment(scenario: &Scenario) -> Vec<Cautioned> {
    let mut cautions = Vec::new();
    if !scenario.heaters.is_empty() {
        for caution in [Caution::DryHeater, Caution::MainsNearWater] {
            cautions.push(caution.because("heaters in the water"));
        }
    }
    let in_pipe = |heater: &&Heater| matches!(heater.kind, HeaterKind::FlowThrough { .. });
    for heater in scenario.heaters.iter().filter(in_pipe) {
        cautions.push(Caution::DryHeater.because(format!(
            "{} in a pipe, computed as if dry as soon as its flow stops",
            heater.name
        )));
    }
    for contact in scenario.contacts.iter().filter(|contact| !contact.kind.parts()) {
        cautions.push(Caution::SolidStateLive.because(format!("{}, a solid-state switch", contact.name)));
    }
    if !scenario.circuits.is_empty() {
        cautions.push(Caution::LoadRatings.because("circuits"));
    }
    if !scenario.fans.is_empty() {
        cautions.push(Caution::FanNearWater.because("a fan over the water"));
    }
    if !scenario.watches.is_empty() {
        cautions.push(Caution::AlertsMayFail.because("alerts"));
    }
    cautions.extend(for_happenings(scenario, scenario.acts()));
    cautions.push(Caution::NoCertificate.because("any result"));
    gathered(cautions)
}

/// What must be said where a heater was out of the water for this long, h, though it stayed cooler than one that ran dry.
#[must_use]
pub fn for_exposure(heater: &str, in_air_h: f64) -> Option<Cautioned> {
    (in_air_h > 0.0).then(|| Caution::DryHeater.because(format!("{heater}, out of the water")))
}

/// What must be said where a heater's body got this hot, °C.
#[must_use]
pub fn for_body(heater: &str, hottest_body_c: f64) -> Option<Cautioned> {
    (hottest_body_c > DRY_BODY_C)
        .then(|| Caution::RanDry.because(format!("{heater}, body {hottest_body_c:.0} °C")))
}
