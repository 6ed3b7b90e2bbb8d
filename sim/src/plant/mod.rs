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
//! Stratification; evaporated water lowers no level (it is topped off).
//!
//! # Checked by
//! `tests/verification/reference_tank.rs`.

mod tank_losses;

use crate::ids::{ContactId, FanId, HeaterId, TankId};
use crate::network::{Gate, LossesId, MakeUp, Network, NetworkBuilder, NetworkError, NodeId, SourceId};
use crate::physics::heater_body::conductance_in_water_w_per_k;
use crate::physics::moist_air::Air;
use crate::physics::wall::pane_heat_capacity_j_per_k;
use crate::physics::water;
use crate::scenario::{Cover, Effect, Happening, Scenario, SensedAt};
use tank_losses::TankLosses;

/// Specific heat of carbonate rock, J/(kg K). From memory.
const ROCK_SPECIFIC_HEAT_J_PER_KG_K: f64 = 840.0;

/// Film between rock and water, W/K, per kg of rock: 50 W/K at 30 kg. An assumption; it hardly matters.
const ROCK_FILM_W_PER_K_KG: f64 = 50.0 / 30.0;

/// Where something that senses hangs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Sensor {
    /// Its own lagging node.
    Lagging(NodeId),
    /// Without lag: a weighted mean of two nodes, `(1 − share) a + share b`.
    Direct {
        a: NodeId,
        b: NodeId,
        share: f64,
    },
}

/// A compiled scenario: the network and where everything is in it.
#[derive(Debug)]
pub struct Plant {
    pub(crate) network: Network,
    pub(crate) water: Vec<NodeId>,
    pub(crate) bodies: Vec<NodeId>,
    pub(crate) heater_sources: Vec<SourceId>,
    pub(crate) pump_sources: Vec<SourceId>,
    pub(crate) light_sources: Vec<SourceId>,
    pub(crate) losses: Vec<LossesId>,
    pub(crate) probes: Vec<Sensor>,
    /// Per contact: what it senses for itself.
    pub(crate) own_sensors: Vec<Option<Sensor>>,
    covers: Vec<Vec<Cover>>,
    fans_of: Vec<Vec<FanId>>,
    pump_count: usize,
}

impl Plant {
    /// Compiles a scenario; `happenings` are all that may befall it, so that their covers are ready.
    ///
    /// # Errors
    /// [`NetworkError`] if it has too many lumps or a quantity that is not positive.
    pub fn compile(scenario: &Scenario, happenings: &[Happening]) -> Result<Self, NetworkError> {
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
        let (bodies, heater_sources) = add_heaters(&mut builder, scenario, &water);
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
        let probes = scenario
            .probes
            .iter()
            .enumerate()
            .map(|(index, probe)| {
                let of = water[probe.tank.0];
                if probe.lag_ms > 0 {
                    let bit = probe_bit(scenario, index);
                    Sensor::Lagging(builder.lag(&format!("probe {}", probe.name), &[(of, 1.0)], probe.lag_ms, bit))
                } else {
                    Sensor::Direct { a: of, b: of, share: 0.0 }
                }
            })
            .collect();
        let own_sensors = add_own_sensors(&mut builder, scenario, &water, &bodies);
        if let Some(top_off) = scenario.top_off {
            builder.make_up(MakeUp {
                node: water[top_off.tank.0],
                specific_heat_j_per_kg_k: water::specific_heat_j_per_kg_k(0.0, target_c),
                temperature: top_off.temperature,
            });
        }
        let bits = scenario.pumps.len() + scenario.probes.len();
        if bits > 32 {
            return Err(NetworkError::TooManyGates { needed: bits });
        }
        Ok(Self {
            network: builder.build()?,
            water,
            bodies,
            heater_sources,
            pump_sources,
            light_sources,
            losses,
            probes,
            own_sensors,
            covers,
            fans_of,
            pump_count: scenario.pumps.len(),
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

    /// The mode of the network: which pumps run, which probes hang in air.
    pub(crate) fn mode(&self, pumps_running: &[bool], probes_in_air: &[bool]) -> u32 {
        let bit = |index: usize, set: bool| u32::from(set) << index;
        let pumps = pumps_running.iter().enumerate().map(|(i, running)| bit(i, *running));
        let probes = probes_in_air.iter().enumerate().map(|(i, out)| bit(self.pump_count + i, *out));
        pumps.chain(probes).fold(0, |mode, bit| mode | bit)
    }

    /// The setting of a tank's losses under a cover with these fans running (by position among all fans); of several fans over one
    /// tank the first running one counts.
    pub(crate) fn loss_setting(&self, tank: TankId, cover: Cover, fans_running: &[bool]) -> u32 {
        let covers = &self.covers[tank.0];
        let fans = &self.fans_of[tank.0];
        let cover_index = covers.iter().position(|known| *known == cover).unwrap_or(0);
        let fan_index = fans.iter().position(|fan| fans_running[fan.0]).map_or(0, |at| at + 1);
        (cover_index * (fans.len() + 1) + fan_index) as u32
    }
}

/// The mode bit of a probe: set while it hangs in air.
fn probe_bit(scenario: &Scenario, probe: usize) -> Option<u8> {
    u8::try_from(scenario.pumps.len() + probe).ok().filter(|bit| *bit < 32)
}

type Tanks = (Vec<NodeId>, Vec<Vec<Cover>>, Vec<Vec<FanId>>, Vec<LossesId>);

fn add_tanks(builder: &mut NetworkBuilder, scenario: &Scenario, happenings: &[Happening]) -> Tanks {
    let salinity = scenario.water.salinity_g_per_kg;
    let target_c = scenario.water.target_c;
    let volumetric = water::density_kg_per_m3(salinity, target_c) * water::specific_heat_j_per_kg_k(salinity, target_c);
    let mut nodes = Vec::new();
    let mut all_covers = Vec::new();
    let mut all_fans = Vec::new();
    let mut losses = Vec::new();
    for (index, tank) in scenario.tanks.iter().enumerate() {
        let capacity = volumetric * tank.water_volume_m3() + pane_heat_capacity_j_per_k(tank);
        let node = builder.lump(&tank.name, capacity);
        if tank.rock_kg > 0.0 {
            let rock =
                builder.lump(&format!("rock {}", tank.name), tank.rock_kg * ROCK_SPECIFIC_HEAT_J_PER_KG_K);
            builder.couple(node, rock, tank.rock_kg * ROCK_FILM_W_PER_K_KG, Gate::Always);
        }
        let mut covers = vec![tank.cover];
        for happening in scenario.happenings.iter().chain(happenings) {
            if let Effect::Covered { tank: covered, cover } = happening.effect
                && covered == TankId(index)
                && !covers.contains(&cover)
            {
                covers.push(cover);
            }
        }
        let fans: Vec<FanId> =
            (0..scenario.fans.len()).map(FanId).filter(|fan| scenario.fans[fan.0].tank == TankId(index)).collect();
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
    let volumetric = water::density_kg_per_m3(salinity, target_c) * water::specific_heat_j_per_kg_k(salinity, target_c);
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
) -> (Vec<NodeId>, Vec<SourceId>) {
    let target_c = scenario.water.target_c;
    let mut bodies = Vec::new();
    let mut sources = Vec::new();
    for heater in &scenario.heaters {
        let body = builder.lump(&format!("heater body {}", heater.name), heater.body.heat_capacity_j_per_k);
        let node = water_nodes[heater.tank.0];
        let film = |speed: f64| conductance_in_water_w_per_k(&heater.body, heater.power_w, target_c, speed);
        let moved = film(heater.body.water_speed_m_per_s);
        match heater.body.speed_pump {
            Some(pump) => {
                builder.couple(node, body, moved, Gate::While(pump.0 as u8));
                builder.couple(node, body, film(0.0), Gate::Unless(pump.0 as u8));
            }
            None => builder.couple(node, body, moved, Gate::Always),
        }
        sources.push(builder.source(&format!("heater {}", heater.name), body));
        bodies.push(body);
    }
    (bodies, sources)
}

fn add_own_sensors(
    builder: &mut NetworkBuilder,
    scenario: &Scenario,
    water_nodes: &[NodeId],
    bodies: &[NodeId],
) -> Vec<Option<Sensor>> {
    let mut sensors = Vec::new();
    for (index, contact) in scenario.contacts.iter().enumerate() {
        sensors.push(contact.own_sensing.and_then(|own| match own.sensed_at {
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
            SensedAt::Bulb { tank, .. } => {
                let node = water_nodes[tank.0];
                Some(Sensor::Direct { a: node, b: node, share: 0.0 })
            }
        }));
    }
    sensors
}
