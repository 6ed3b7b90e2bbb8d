//! A scenario's water system as a heat network.
//!
//! # Equation
//! The balances of `docs/model.md`: water of each tank (with the panes that follow it), rock, heater bodies, probes and bulbs; joined by flows,
//! heater films and rock films; losing heat through walls and surface.
//!
//! # Units
//! SI; temperatures °C.
//!
//! # Source
//! Each term's own file under `physics/`.
//!
//! # Valid for
//! Up to sixteen lumps.
//!
//! # Left out
//! Stratification; heat of water that stands in a pipe.
//!
//! # Checked by
//! `tests/verification/reference_tank.rs`.

mod body_losses;
mod size;
mod tank_losses;

use crate::ids::{ContactId, FanId, HeaterId, ProbeId, PumpId, TankId};
use crate::network::{
    Gate, LossesId, MakeUp, Network, NetworkBuilder, NetworkError, NodeId, Setting, SourceId,
};
use crate::physics::heater_body::conductance_in_water_w_per_k;
use crate::physics::moist_air::Air;
use crate::physics::wall::pane_heat_capacity_j_per_k;
use crate::physics::water;
use crate::scenario::{
    Cover, Effect, Happening, Heater, HeaterKind, ROCK_FILM_W_PER_K_KG, ROCK_SPECIFIC_HEAT_J_PER_KG_K,
    Scenario, SensedAt, Tank,
};
use body_losses::BodyLosses;
pub(crate) use body_losses::{IN_AIR, IN_WATER};
pub use size::{MAX_FANS_OF_TANK, MAX_MODE_BITS, MAX_PLANT_NODES, PlantPart, PlantSize, parts};
pub(crate) use tank_losses::EVAPORATION_PATH;
use tank_losses::TankLosses;

/// Where something that senses hangs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Sensor {
    /// Its own lagging node.
    Lagging(NodeId),
    /// Without lag: a weighted mean of two nodes, `(1 − share) a + share b`.
    Direct { a: NodeId, b: NodeId, share: f64 },
}

impl Sensor {
    /// Without lag in one node.
    pub(crate) fn at(node: NodeId) -> Self {
        Self::Direct {
            a: node,
            b: node,
            share: 0.0,
        }
    }
}

/// Where a probe hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ProbePlace {
    /// In its own tank.
    Own,
    /// In the room's air.
    Air,
    /// In another tank.
    Tank(TankId),
}

/// What sealed ice takes its heat from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ice {
    pub(crate) source: SourceId,
    /// Heat capacity of the tank as it was built, J/K.
    pub(crate) heat_capacity_j_per_k: f64,
}

/// A compiled scenario: the network and where everything is in it.
#[derive(Debug)]
pub struct Plant {
    pub(crate) network: Network,
    pub(crate) water: Vec<NodeId>,
    pub(crate) bodies: Vec<NodeId>,
    /// Per heater: what its body loses in air.
    pub(crate) body_losses: Vec<LossesId>,
    pub(crate) heater_sources: Vec<SourceId>,
    pub(crate) pump_sources: Vec<SourceId>,
    pub(crate) light_sources: Vec<SourceId>,
    pub(crate) chiller_sources: Vec<SourceId>,
    pub(crate) sun_sources: Vec<SourceId>,
    /// Per tank: the heat of new water.
    pub(crate) new_water_sources: Vec<SourceId>,
    /// Per tank: heat capacity of the panes that follow the water, J/K.
    pub(crate) pane_capacities_j_per_k: Vec<f64>,
    pub(crate) losses: Vec<LossesId>,
    /// Per tank: sealed ice, where somebody may hang it in.
    pub(crate) ice: Vec<Option<Ice>>,
    pub(crate) probes: Vec<Sensor>,
    /// Probes that may come to hang in another tank, one mode bit each after all others.
    misplaced: Vec<(ProbeId, TankId)>,
    /// Per contact: what it senses for itself.
    pub(crate) own_sensors: Vec<Option<Sensor>>,
    covers: Vec<Vec<Cover>>,
    fans_of: Vec<Vec<FanId>>,
}

impl Plant {
    /// Compiles a scenario; `happenings` are all that may befall it, so that their covers are ready.
    ///
    /// # Errors
    /// [`NetworkError`] if it has too many lumps or a quantity that is not positive.
    pub fn compile(scenario: &Scenario, happenings: &[Happening]) -> Result<Self, NetworkError> {
        let needed = PlantSize::of(scenario).mode_bits + misplaced_probes(scenario, happenings).len();
        if needed > MAX_MODE_BITS {
            return Err(NetworkError::TooManyGates { needed });
        }
        if let Some(needed) = size::most_fans(scenario).filter(|fans| *fans > MAX_FANS_OF_TANK) {
            return Err(NetworkError::TooManyFans { needed });
        }
        let target_c = scenario.water.target_c;
        let room_c = scenario.room.temperature.mean_of_course_c(scenario.duration_ms);
        let reference_air = Air::from_relative_humidity(
            room_c,
            scenario.room.humidity.relative_frac(),
            scenario.water.pressure_pa,
        );
        let mut builder = NetworkBuilder::new(target_c, reference_air);
        let (water, covers, fans_of, losses) = add_tanks(&mut builder, scenario, happenings);
        add_flows(&mut builder, scenario, &water);
        let (bodies, body_losses, heater_sources) = add_heaters(&mut builder, scenario, &water);
        let pump_sources = scenario
            .pumps
            .iter()
            .map(|pump| builder.source(&format!("pump {}", pump.name), water[pump.tank.0]))
            .collect();
        let light_sources = scenario
            .lights
            .iter()
            .map(|light| builder.source(&format!("light {}", light.name), water[light.tank.0]))
            .collect();
        let probes: Vec<Sensor> = scenario
            .probes
            .iter()
            .enumerate()
            .map(|(index, probe)| {
                // One in the room's air hangs in none: what its lag follows is always the air.
                let of = water[probe.tank.map_or(0, |tank| tank.0)];
                if probe.lag_ms > 0 {
                    let bit = probe_bit(scenario, index);
                    Sensor::Lagging(builder.lag(
                        &format!("probe {}", probe.name),
                        &[(of, 1.0)],
                        probe.lag_ms,
                        bit,
                    ))
                } else {
                    Sensor::at(of)
                }
            })
            .collect();
        let misplaced = misplaced_probes(scenario, happenings);
        let first_bit = needed - misplaced.len();
        for (index, (probe, tank)) in misplaced.iter().enumerate() {
            if let Sensor::Lagging(lag) = probes[probe.0] {
                builder.lag_elsewhere(lag, (first_bit + index) as u8, water[tank.0]);
            }
        }
        let own_sensors = add_own_sensors(&mut builder, scenario, &water, &bodies);
        if let Some(top_off) = scenario.top_off {
            builder.make_up(MakeUp {
                node: water[top_off.tank.0],
                specific_heat_j_per_kg_k: water::specific_heat_j_per_kg_k(0.0, target_c),
                temperature: top_off.temperature,
            });
        }
        let chiller_sources = scenario
            .chillers
            .iter()
            .map(|chiller| builder.source(&format!("chiller {}", chiller.name), water[chiller.tank.0]))
            .collect();
        let sun_sources = scenario
            .suns
            .iter()
            .map(|sun| builder.source(&format!("sun {}", sun.name), water[sun.tank.0]))
            .collect();
        let new_water_sources = scenario
            .tanks
            .iter()
            .zip(&water)
            .map(|(tank, node)| builder.source(&format!("new water {}", tank.name), *node))
            .collect();
        let ice = scenario
            .tanks
            .iter()
            .enumerate()
            .map(|(index, tank)| {
                let hung_in =
                    |one: &Happening| matches!(one.effect, Effect::SealedIce { tank, .. } if tank.0 == index);
                all_that_may_befall(scenario, happenings)
                    .any(hung_in)
                    .then(|| Ice {
                        source: builder.source(&format!("ice {}", tank.name), water[index]),
                        heat_capacity_j_per_k: water_capacity_j_per_k(scenario, tank),
                    })
            })
            .collect();
        Ok(Self {
            network: builder.build()?,
            water,
            bodies,
            body_losses,
            heater_sources,
            pump_sources,
            light_sources,
            chiller_sources,
            sun_sources,
            new_water_sources,
            pane_capacities_j_per_k: scenario.tanks.iter().map(pane_heat_capacity_j_per_k).collect(),
            losses,
            ice,
            probes,
            misplaced,
            own_sensors,
            covers,
            fans_of,
        })
    }

    /// The network.
    #[must_use]
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// The node of a tank's water.
    #[must_use]
    pub fn water_node(&self, tank: TankId) -> NodeId {
        self.water[tank.0]
    }

    /// The source that heats a heater's body.
    #[must_use]
    pub fn heater_source(&self, heater: HeaterId) -> SourceId {
        self.heater_sources[heater.0]
    }

    /// The mode of the network: which pumps run, which probes hang in air or in another tank, what meets each heater's body.
    pub(crate) fn mode(&self, pumps_running: &[bool], probes: &[ProbePlace], bodies: &[BodyIn]) -> u32 {
        let pumps = pumps_running.iter().copied();
        let in_air = probes.iter().map(|place| *place == ProbePlace::Air);
        let films = bodies
            .iter()
            .flat_map(|body| [*body == BodyIn::MovedWater, *body == BodyIn::StillWater]);
        let misplaced = self
            .misplaced
            .iter()
            .map(|(probe, tank)| probes[probe.0] == ProbePlace::Tank(*tank));
        let bits = pumps.chain(in_air).chain(films).chain(misplaced).enumerate();
        bits.fold(0, |mode, (bit, set)| mode | u32::from(set) << bit)
    }

    /// The setting of a tank's losses under a cover with these fans running (by position among all fans) and its water at a height, m, if that is
    /// not the one it was built with, and a wrap round its sides, m² K/W.
    pub(crate) fn loss_setting(
        &self,
        tank: TankId,
        cover: Cover,
        fans_running: &[bool],
        water_height_m: Option<f64>,
        wrap_m2_k_per_w: f64,
    ) -> Setting {
        let covers = &self.covers[tank.0];
        let fans = &self.fans_of[tank.0];
        let cover_index = covers.iter().position(|known| *known == cover).unwrap_or(0);
        let blowing = fans.iter().enumerate().fold(0, |bits, (bit, fan)| {
            bits | usize::from(fans_running[fan.0]) << bit
        });
        Setting {
            choice: (cover_index << fans.len() | blowing) as u32,
            water_height_m,
            wrap_m2_k_per_w,
        }
    }
}

/// What meets a heater's body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BodyIn {
    /// Water at the stated speed.
    MovedWater,
    /// Water that stands.
    StillWater,
    /// Air; also a pipe without flow, whose water is left out.
    Air,
}

impl BodyIn {
    /// What meets a heater's body in water of a height, m, with these pumps running.
    pub(crate) fn of(heater: &Heater, water_height_m: f64, pumps_running: &[bool]) -> Self {
        let runs = |pump: PumpId| pumps_running[pump.0];
        if water_height_m < heater.exposed_below_m {
            return Self::Air;
        }
        match (heater.kind, heater.body.speed_pump) {
            (HeaterKind::FlowThrough { pump }, _) => {
                if runs(pump) {
                    Self::MovedWater
                } else {
                    Self::Air
                }
            }
            (_, Some(pump)) => {
                if runs(pump) {
                    Self::MovedWater
                } else {
                    Self::StillWater
                }
            }
            (_, None) => Self::MovedWater,
        }
    }
}

/// The mode bit of a probe: set while it hangs in air.
fn probe_bit(scenario: &Scenario, probe: usize) -> Option<u8> {
    u8::try_from(scenario.pumps.len() + probe)
        .ok()
        .filter(|bit| *bit < 32)
}

/// Probes that may come to hang in another tank, each pair once.
fn misplaced_probes(scenario: &Scenario, happenings: &[Happening]) -> Vec<(ProbeId, TankId)> {
    let mut found = Vec::new();
    for happening in all_that_may_befall(scenario, happenings) {
        if let Effect::ProbeInTank { probe, tank } = happening.effect
            && !found.contains(&(probe, tank))
        {
            found.push((probe, tank));
        }
    }
    found
}

/// The scenario's own happenings, these, and what people may do.
fn all_that_may_befall<'a>(
    scenario: &'a Scenario,
    happenings: &'a [Happening],
) -> impl Iterator<Item = &'a Happening> {
    scenario
        .happenings
        .iter()
        .chain(happenings)
        .chain(scenario.acts())
}

/// Heat capacity of a tank's water and the panes that follow it, as it was built, J/K.
fn water_capacity_j_per_k(scenario: &Scenario, tank: &Tank) -> f64 {
    let salinity = scenario.water.salinity_g_per_kg;
    let target_c = scenario.water.target_c;
    let volumetric =
        water::density_kg_per_m3(salinity, target_c) * water::specific_heat_j_per_kg_k(salinity, target_c);
    (volumetric * tank.water_volume_m3() + pane_heat_capacity_j_per_k(tank)) * scenario.fitted.capacity_frac
}

type Tanks = (Vec<NodeId>, Vec<Vec<Cover>>, Vec<Vec<FanId>>, Vec<LossesId>);

fn add_tanks(builder: &mut NetworkBuilder, scenario: &Scenario, happenings: &[Happening]) -> Tanks {
    let mut nodes = Vec::new();
    let mut all_covers = Vec::new();
    let mut all_fans = Vec::new();
    let mut losses = Vec::new();
    for (index, tank) in scenario.tanks.iter().enumerate() {
        let node = builder.lump(&tank.name, water_capacity_j_per_k(scenario, tank));
        if tank.rock_kg > 0.0 {
            let rock = builder.lump(
                &format!("rock {}", tank.name),
                tank.rock_kg * ROCK_SPECIFIC_HEAT_J_PER_KG_K,
            );
            builder.couple(node, rock, tank.rock_kg * ROCK_FILM_W_PER_K_KG, Gate::Always);
        }
        let mut covers = vec![tank.cover];
        for happening in all_that_may_befall(scenario, happenings) {
            if let Effect::Covered { tank: covered, cover } = happening.effect
                && covered == TankId(index)
                && !covers.contains(&cover)
            {
                covers.push(cover);
            }
        }
        let fans: Vec<FanId> = (0..scenario.fans.len())
            .map(FanId)
            .filter(|fan| scenario.fans[fan.0].tank == TankId(index))
            .collect();
        losses.push(builder.losses(node, Box::new(TankLosses::new(scenario, tank, &covers, &fans))));
        nodes.push(node);
        all_covers.push(covers);
        all_fans.push(fans);
    }
    (nodes, all_covers, all_fans, losses)
}

fn add_flows(builder: &mut NetworkBuilder, scenario: &Scenario, water_nodes: &[NodeId]) {
    let salinity = scenario.water.salinity_g_per_kg;
    let target_c = scenario.water.target_c;
    let volumetric =
        water::density_kg_per_m3(salinity, target_c) * water::specific_heat_j_per_kg_k(salinity, target_c);
    for flow in &scenario.flows {
        let gate = flow.pump.map_or(Gate::Always, |pump| Gate::While(pump.0 as u8));
        let (from, to) = (water_nodes[flow.from.0], water_nodes[flow.to.0]);
        builder.couple(from, to, volumetric * flow.rate_m3_per_s, gate);
    }
}

fn add_heaters(
    builder: &mut NetworkBuilder,
    scenario: &Scenario,
    water_nodes: &[NodeId],
) -> (Vec<NodeId>, Vec<LossesId>, Vec<SourceId>) {
    let target_c = scenario.water.target_c;
    let first_bit = scenario.pumps.len() + scenario.probes.len();
    let mut bodies = Vec::new();
    let mut losses = Vec::new();
    let mut sources = Vec::new();
    for (index, heater) in scenario.heaters.iter().enumerate() {
        let body = builder.lump(
            &format!("heater body {}", heater.name),
            heater.body.heat_capacity_j_per_k,
        );
        let node = water_nodes[heater.tank.0];
        let film = |speed: f64| conductance_in_water_w_per_k(&heater.body, heater.power_w, target_c, speed);
        let moved_bit = (first_bit + 2 * index) as u8;
        builder.couple(
            node,
            body,
            film(heater.body.water_speed_m_per_s),
            Gate::While(moved_bit),
        );
        builder.couple(node, body, film(0.0), Gate::While(moved_bit + 1));
        losses.push(builder.losses(body, Box::new(BodyLosses(heater.body))));
        sources.push(builder.source(&format!("heater {}", heater.name), body));
        bodies.push(body);
    }
    (bodies, losses, sources)
}

fn add_own_sensors(
    builder: &mut NetworkBuilder,
    scenario: &Scenario,
    water_nodes: &[NodeId],
    bodies: &[NodeId],
) -> Vec<Option<Sensor>> {
    let mut sensors = Vec::new();
    for (index, contact) in scenario.contacts.iter().enumerate() {
        sensors.push(contact.own_sensing.and_then(|own| {
            match own.sensed_at {
                SensedAt::HeaterBody { body_share_frac } => scenario
                    .heaters
                    .iter()
                    .position(|heater| heater.chain.contains(&ContactId(index)))
                    .map(|heater| Sensor::Direct {
                        a: water_nodes[scenario.heaters[heater].tank.0],
                        b: bodies[heater],
                        share: body_share_frac,
                    }),
                SensedAt::Bulb { tank, lag_ms } if lag_ms > 0 => Some(Sensor::Lagging(builder.lag(
                    &format!("bulb {}", contact.name),
                    &[(water_nodes[tank.0], 1.0)],
                    lag_ms,
                    None,
                ))),
                SensedAt::Bulb { tank, .. } => Some(Sensor::at(water_nodes[tank.0])),
            }
        }));
    }
    sensors
}
