//! What of a scenario belongs to one of its water systems, and what a happening is to that system.

use super::acts_on;
use crate::ids::{AirPumpId, ChillerId, ContactId, FanId, HeaterId, LightId, ProbeId, PumpId, TankId};
use crate::scenario::{Counted, Effect, Happening, Hazard, Load, Scenario, Watch, WatchAct, WatchRule, When};

/// A happening that belongs to two water systems at once, which cannot be followed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{name}` belongs to two water systems at once: {why}")]
pub struct BetweenSystems {
    /// Its name.
    pub name: String,
    /// What joins them, in words.
    pub why: &'static str,
}

/// Why a probe cannot hang in the water of another system.
const PROBE_ELSEWHERE: &str = "a probe can hang in another tank only where flows join the two";
/// Why a happening cannot wait for a contact of another system.
const WAITS_ELSEWHERE: &str = "it waits for a contact of one and befalls another; give it a time";

/// Why a watch cannot read two systems.
const READS_BOTH: &str = "it compares what probes of both read";
/// Why a watch cannot act on another system.
const ACTS_ELSEWHERE: &str = "it watches one and acts on another";

/// What of a scenario one of its water systems holds: ids of the whole, in the order of the system's own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Members {
    /// Tanks.
    pub tanks: Vec<TankId>,
    /// Pumps.
    pub pumps: Vec<PumpId>,
    /// Heaters.
    pub heaters: Vec<HeaterId>,
    /// Fans.
    pub fans: Vec<FanId>,
    /// Lights.
    pub lights: Vec<LightId>,
    /// Chillers.
    pub chillers: Vec<ChillerId>,
    /// Air pumps.
    pub air_pumps: Vec<AirPumpId>,
    /// Contacts; one that neither decides nor obeys may belong to several systems.
    pub contacts: Vec<ContactId>,
    /// Probes; one in the room's air belongs to every system.
    pub probes: Vec<ProbeId>,
    /// It is the system whose top-off the file states.
    has_stated_top_off: bool,
}

macro_rules! own_ids {
    ($($name:ident, $list:ident, $id:ident;)*) => {
        $(
            /// The system's own id of something of the whole, if it holds it.
            #[must_use]
            pub fn $name(&self, whole: $id) -> Option<$id> {
                self.$list.iter().position(|held| *held == whole).map($id)
            }
        )*
    };
}

impl Members {
    own_ids! {
        tank, tanks, TankId;
        pump, pumps, PumpId;
        heater, heaters, HeaterId;
        fan, fans, FanId;
        light, lights, LightId;
        chiller, chillers, ChillerId;
        air_pump, air_pumps, AirPumpId;
        contact, contacts, ContactId;
        probe, probes, ProbeId;
    }

    /// What belongs to these tanks.
    pub(super) fn of(scenario: &Scenario, tanks: Vec<TankId>) -> Self {
        let first = tanks.contains(&TankId(0));
        let here = |tank: TankId| tanks.contains(&tank);
        let of_tank = |tank_of: &dyn Fn(usize) -> TankId, count: usize| -> Vec<usize> {
            (0..count).filter(|at| here(tank_of(*at))).collect()
        };
        let ids = |list: Vec<usize>| list.into_iter();
        let contacts = (0..scenario.contacts.len()).map(ContactId).filter(|contact| {
            let on = acts_on(scenario, *contact);
            on.iter().any(|tank| here(*tank)) || first && on.is_empty()
        });
        let stated = scenario.top_off.map_or(TankId(0), |top_off| top_off.tank);
        Self {
            pumps: ids(of_tank(&|at| scenario.pumps[at].tank, scenario.pumps.len()))
                .map(PumpId)
                .collect(),
            heaters: ids(of_tank(&|at| scenario.heaters[at].tank, scenario.heaters.len()))
                .map(HeaterId)
                .collect(),
            fans: ids(of_tank(&|at| scenario.fans[at].tank, scenario.fans.len()))
                .map(FanId)
                .collect(),
            lights: ids(of_tank(&|at| scenario.lights[at].tank, scenario.lights.len()))
                .map(LightId)
                .collect(),
            chillers: ids(of_tank(&|at| scenario.chillers[at].tank, scenario.chillers.len()))
                .map(ChillerId)
                .collect(),
            air_pumps: ids(of_tank(
                &|at| scenario.air_pumps[at].tank,
                scenario.air_pumps.len(),
            ))
            .map(AirPumpId)
            .collect(),
            probes: (0..scenario.probes.len())
                .map(ProbeId)
                .filter(|probe| scenario.probes[probe.0].tank.is_none_or(here))
                .collect(),
            contacts: contacts.collect(),
            has_stated_top_off: here(stated),
            tanks,
        }
    }

    /// The system's own id of a load of the whole, if it holds it; top-off, controller and router are everybody's.
    #[must_use]
    pub fn load(&self, whole: Load) -> Option<Load> {
        match whole {
            Load::Heater(heater) => self.heater(heater).map(Load::Heater),
            Load::Pump(pump) => self.pump(pump).map(Load::Pump),
            Load::Fan(fan) => self.fan(fan).map(Load::Fan),
            Load::Chiller(chiller) => self.chiller(chiller).map(Load::Chiller),
            Load::Light(light) => self.light(light).map(Load::Light),
            Load::AirPump(pump) => self.air_pump(pump).map(Load::AirPump),
            Load::TopOff | Load::Controller | Load::Router => Some(whole),
        }
    }

    /// The whole's id of a load of the system.
    #[must_use]
    pub fn load_of_whole(&self, own: Load) -> Load {
        match own {
            Load::Heater(heater) => Load::Heater(self.heaters[heater.0]),
            Load::Pump(pump) => Load::Pump(self.pumps[pump.0]),
            Load::Fan(fan) => Load::Fan(self.fans[fan.0]),
            Load::Chiller(chiller) => Load::Chiller(self.chillers[chiller.0]),
            Load::Light(light) => Load::Light(self.lights[light.0]),
            Load::AirPump(pump) => Load::AirPump(self.air_pumps[pump.0]),
            Load::TopOff | Load::Controller | Load::Router => own,
        }
    }

    /// What a happening of the whole is to the system; `None`: nothing.
    ///
    /// # Errors
    /// It belongs to two systems at once.
    pub fn happening(&self, whole: &Happening) -> Result<Option<Happening>, BetweenSystems> {
        let between = |why| BetweenSystems {
            name: whole.name.clone(),
            why,
        };
        let Some(effect) = self
            .effect(whole.effect)
            .map_err(|Elsewhere| between(PROBE_ELSEWHERE))?
        else {
            return Ok(None);
        };
        let when = match whole.when {
            When::At(_) | When::Daily(_) | When::WorstPhase | When::Acted => Some(whole.when),
            When::Closing {
                contact,
                nth,
                from_ms,
            } => self.contact(contact).map(|contact| When::Closing {
                contact,
                nth,
                from_ms,
            }),
            When::Opening {
                contact,
                nth,
                from_ms,
            } => self.contact(contact).map(|contact| When::Opening {
                contact,
                nth,
                from_ms,
            }),
            When::Hazard(hazard) => match hazard.counted {
                Counted::Years => Some(whole.when),
                Counted::Closings(contact) => self.contact(contact).map(|contact| {
                    When::Hazard(Hazard {
                        counted: Counted::Closings(contact),
                        ..hazard
                    })
                }),
            },
        };
        Ok(Some(Happening {
            when: when.ok_or_else(|| between(WAITS_ELSEWHERE))?,
            effect,
            ..whole.clone()
        }))
    }

    /// What a watch of the whole is to the system; `None`: it watches another. One that watches the house belongs to the first.
    ///
    /// # Errors
    /// It belongs to two systems at once.
    pub fn watch(&self, whole: &Watch) -> Result<Option<Watch>, BetweenSystems> {
        let between = |why| BetweenSystems {
            name: whole.name.clone(),
            why,
        };
        let probe = |probe| self.probe(probe);
        let heater = |heater| self.heater(heater);
        let rule = match whole.rule {
            WatchRule::Above { probe: id, line_c } => {
                probe(id).map(|probe| WatchRule::Above { probe, line_c })
            }
            WatchRule::Below { probe: id, line_c } => {
                probe(id).map(|probe| WatchRule::Below { probe, line_c })
            }
            WatchRule::Faster {
                probe: id,
                k_per_h,
                over_ms,
            } => probe(id).map(|probe| WatchRule::Faster {
                probe,
                k_per_h,
                over_ms,
            }),
            WatchRule::Disagree {
                probe: id,
                other: of,
                by_k,
            } => match (probe(id), probe(of)) {
                (Some(probe), Some(other)) => Some(WatchRule::Disagree { probe, other, by_k }),
                (None, None) => None,
                _ => return Err(between(READS_BOTH)),
            },
            WatchRule::NoReading { probe: id } => probe(id).map(|probe| WatchRule::NoReading { probe }),
            WatchRule::DrawsAbove { heater: id, line_w } => {
                heater(id).map(|heater| WatchRule::DrawsAbove { heater, line_w })
            }
            WatchRule::DrawsBelow { heater: id, line_w } => {
                heater(id).map(|heater| WatchRule::DrawsBelow { heater, line_w })
            }
            WatchRule::DrawnNotCommanded { heater: id } => {
                heater(id).map(|heater| WatchRule::DrawnNotCommanded { heater })
            }
            WatchRule::CommandedNotDrawn { heater: id } => {
                heater(id).map(|heater| WatchRule::CommandedNotDrawn { heater })
            }
            WatchRule::NoSignOfLife => self.tanks.contains(&TankId(0)).then_some(WatchRule::NoSignOfLife),
        };
        let Some(rule) = rule else { return Ok(None) };
        let acts = whole.acts.iter().map(|act| {
            let happening = self.happening(&act.happening)?;
            Ok(WatchAct {
                happening: happening.ok_or_else(|| between(ACTS_ELSEWHERE))?,
                ..act.clone()
            })
        });
        Ok(Some(Watch {
            rule,
            acts: acts.collect::<Result<_, BetweenSystems>>()?,
            ..whole.clone()
        }))
    }

    fn effect(&self, whole: Effect) -> Result<Option<Effect>, Elsewhere> {
        let contact = |contact| self.contact(contact);
        let probe = |probe| self.probe(probe);
        let tank = |tank| self.tank(tank);
        let own = match whole {
            Effect::ContactWelded(id) => contact(id).map(Effect::ContactWelded),
            Effect::ContactStuckOpen(id) => contact(id).map(Effect::ContactStuckOpen),
            Effect::ContactChatters {
                contact: id,
                period_ms,
            } => contact(id).map(|contact| Effect::ContactChatters { contact, period_ms }),
            Effect::DialOff { contact: id, by_k } => {
                contact(id).map(|contact| Effect::DialOff { contact, by_k })
            }
            Effect::DialDrifts {
                contact: id,
                k_per_day,
            } => contact(id).map(|contact| Effect::DialDrifts { contact, k_per_day }),
            Effect::DialSet {
                contact: id,
                opens_above_c,
            } => contact(id).map(|contact| Effect::DialSet {
                contact,
                opens_above_c,
            }),
            Effect::HeaterDead(heater) => self.heater(heater).map(Effect::HeaterDead),
            Effect::HeaterUnplugged(heater) => self.heater(heater).map(Effect::HeaterUnplugged),
            Effect::PumpStopped(pump) => self.pump(pump).map(Effect::PumpStopped),
            Effect::FanStopped(fan) => self.fan(fan).map(Effect::FanStopped),
            Effect::LightOut(light) => self.light(light).map(Effect::LightOut),
            Effect::LightLeftOn(light) => self.light(light).map(Effect::LightLeftOn),
            Effect::ChillerDead(chiller) => self.chiller(chiller).map(Effect::ChillerDead),
            Effect::ChillerBlocked { chiller, left_frac } => self
                .chiller(chiller)
                .map(|chiller| Effect::ChillerBlocked { chiller, left_frac }),
            Effect::ProbeOutOfWater(id) => probe(id).map(Effect::ProbeOutOfWater),
            Effect::ProbeSilent(id) => probe(id).map(Effect::ProbeSilent),
            Effect::ProbeStuck(id) => probe(id).map(Effect::ProbeStuck),
            Effect::ProbeOffset { probe: id, by_k } => {
                probe(id).map(|probe| Effect::ProbeOffset { probe, by_k })
            }
            Effect::ProbeDrifts { probe: id, k_per_day } => {
                probe(id).map(|probe| Effect::ProbeDrifts { probe, k_per_day })
            }
            Effect::ProbeReads { probe: id, reading_c } => {
                probe(id).map(|probe| Effect::ProbeReads { probe, reading_c })
            }
            Effect::ProbeNoisy { probe: id, noise_k } => {
                probe(id).map(|probe| Effect::ProbeNoisy { probe, noise_k })
            }
            Effect::ProbeInTank { probe: id, tank: of } => match (probe(id), tank(of)) {
                (None, _) => None,
                (Some(_), None) => return Err(Elsewhere),
                (Some(probe), Some(tank)) => Some(Effect::ProbeInTank { probe, tank }),
            },
            Effect::Covered { tank: id, cover } => tank(id).map(|tank| Effect::Covered { tank, cover }),
            Effect::Leak {
                tank: id,
                rate_kg_per_s,
                height_m,
            } => tank(id).map(|tank| Effect::Leak {
                tank,
                rate_kg_per_s,
                height_m,
            }),
            Effect::WaterChange {
                tank: id,
                share_frac,
                temp_c,
                salinity_g_per_kg,
            } => tank(id).map(|tank| Effect::WaterChange {
                tank,
                share_frac,
                temp_c,
                salinity_g_per_kg,
            }),
            Effect::SealedIce { tank: id, k_per_h } => {
                tank(id).map(|tank| Effect::SealedIce { tank, k_per_h })
            }
            Effect::SidesWrapped {
                tank: id,
                extra_m2_k_per_w,
            } => tank(id).map(|tank| Effect::SidesWrapped {
                tank,
                extra_m2_k_per_w,
            }),
            Effect::TopOffStuckOn { .. } => self.has_stated_top_off.then_some(whole),
            // A box keeps its place in the list of all boxes, also where it holds contacts of several systems.
            Effect::BoxWelded(_)
            | Effect::BoxStuckOpen(_)
            | Effect::ControllerHung { .. }
            | Effect::PowerOut
            | Effect::MainsVoltage { .. }
            | Effect::CircuitTripped(_)
            | Effect::BackupDead(_)
            | Effect::HeatersUnplugged
            | Effect::HeatersHeldOff
            | Effect::TopOffStopped
            | Effect::RoomDeviceOff(_)
            | Effect::RoomDeviceStuckOn(_)
            | Effect::RoomShift { .. }
            | Effect::RoomCooled { .. }
            | Effect::BackupStarted(_)
            | Effect::NetworkDown
            | Effect::AlertsMuted => Some(whole),
        };
        Ok(own)
    }
}

/// A probe would hang in another system's water.
struct Elsewhere;
