//! A heat network: lumps joined by constant couplings, with losses to the air around them.
//!
//! # Equation
//! ```text
//! Cᵢ dTᵢ/dt = Σⱼ Kᵢⱼ (Tⱼ − Tᵢ) + Σ P + Σ losses(Tᵢ, air)        lumps (water, heater body, rock)
//! τ  dTₚ/dt = Σⱼ wⱼ Tⱼ − Tₚ                                     lags (probes, bulbs), Σ w = 1
//! ```
//! Losses are split into their linear part at the reference temperature and air, which joins the matrix A (water) and the
//! sources (air), and a remainder that [`Stepper`] refreshes as it goes. Which couplings hold (pumps running, probes in the water) is
//! the *mode*, a set of bits; A is one matrix per mode.
//!
//! # Units
//! T in °C, kept as K above the reference; C in J/K; K in W/K; P and losses in W, positive into the node; τ in s.
//!
//! # Source
//! Energy balance of well-mixed volumes; `docs/model.md`.
//!
//! # Valid for
//! At most [`MAX_NODES`] nodes and 32 mode bits.
//!
//! # Left out
//! Stratification within a tank.
//!
//! # Checked by
//! `tests/verification/lumped_step.rs`, `tests/verification/two_node.rs`, `tests/verification/solver_reference.rs`.

mod cache;
mod ledger;
mod leg;
mod matrix;
mod propagator;
mod stepper;
mod stretch;
mod stride;

pub use matrix::{MAX_NODES, Matrix, Vector};
pub use propagator::Propagator;
pub use stepper::{AirCourse, Observer, Stepper, StepperSettings};
pub use stride::Passage;

use crate::physics::moist_air::Air;
use crate::time::Millis;
use crate::time::seconds;

/// A node, by its position in the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct NodeId(pub usize);

/// A source of power, by its position in the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SourceId(pub usize);

/// The losses of one node, by their position in the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LossesId(pub usize);

/// When a coupling holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gate {
    /// Always.
    Always,
    /// While this bit of the mode is set.
    While(u8),
    /// While this bit of the mode is not set.
    Unless(u8),
}

impl Gate {
    fn holds(self, mode: u32) -> bool {
        match self {
            Self::Always => true,
            Self::While(bit) => mode >> bit & 1 == 1,
            Self::Unless(bit) => mode >> bit & 1 == 0,
        }
    }
}

/// Heat that one node exchanges with the air, as a function of the two.
pub trait Losses: std::fmt::Debug + Send + Sync {
    /// Names of the paths, for the heat balance.
    fn paths(&self) -> Vec<String>;

    /// Fills `heat_w` with the heat of each path into the node, W (so a loss is negative), and returns the water it
    /// evaporates, kg/s (condensation negative). The losses are linearised at the default [`Setting`].
    fn evaluate(&self, node_c: f64, air: Air, setting: Setting, heat_w: &mut [f64]) -> f64;
}

/// What may change about the losses of a node.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Setting {
    /// Which of several (covers, fans, in air or in water), in the meaning of whoever built the network; 0 = as built.
    pub choice: u32,
    /// Height of the water where it is not as built, m.
    pub water_height_m: Option<f64>,
    /// Thermal resistance round the sides beyond what was built, m² K/W.
    pub wrap_m2_k_per_w: f64,
}

/// What holds at present: couplings, heat capacities, settings of losses, top-off.
#[derive(Debug, Clone)]
struct Present {
    mode: u32,
    /// J/K by node; `None` for a lag.
    heat_capacity_j_per_k: Vec<Option<f64>>,
    losses: Vec<Setting>,
    topped_off: bool,
}

#[derive(Debug)]
struct Node {
    name: String,
    /// J/K; `None` for a lag.
    heat_capacity_j_per_k: Option<f64>,
}

#[derive(Debug)]
struct Coupling {
    between: (NodeId, NodeId),
    conductance_w_per_k: f64,
    gate: Gate,
}

#[derive(Debug)]
struct Lag {
    node: NodeId,
    of: Vec<(NodeId, f64)>,
    lag_s: f64,
    /// While this bit of the mode is set the lag hangs in the room's air instead.
    in_air_bit: Option<u8>,
    /// While one of these bits is set it follows that node instead.
    elsewhere: Vec<(u8, NodeId)>,
}

#[derive(Debug)]
struct NodeLosses {
    node: NodeId,
    losses: Box<dyn Losses>,
    linear: Vec<LinearPath>,
    /// All of `linear` as one.
    linear_sum: LinearPath,
}

/// One path's linear part: heat = at_reference + per_node θ + per_air (T_a − T_a,ref) + per_vapour (p_v − p_v,ref).
#[derive(Debug, Clone, Copy, Default)]
struct LinearPath {
    at_reference_w: f64,
    per_node_w_per_k: f64,
    per_air_w_per_k: f64,
    per_vapour_w_per_pa: f64,
}

#[derive(Debug)]
struct Source {
    name: String,
    node: NodeId,
}

/// Water that replaces what evaporates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MakeUp {
    /// The node it enters.
    pub node: NodeId,
    /// Its specific heat, J/(kg K).
    pub specific_heat_j_per_kg_k: f64,
    /// Its temperature.
    pub temperature: crate::scenario::TopOffTemperature,
}

/// A network could not be built.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NetworkError {
    /// Too many nodes.
    #[error(
        "the water system needs {needed} lumps (tanks, rock, heater bodies, probes, bulbs), more than the {MAX_NODES} this model holds"
    )]
    TooManyNodes {
        /// Nodes asked for.
        needed: usize,
    },
    /// Too many things that switch couplings.
    #[error("the water system has {needed} pumps and probes that change its couplings, more than 32")]
    TooManyGates {
        /// Bits asked for.
        needed: usize,
    },
    /// Too many fans over one tank.
    #[error("one tank has {needed} fans, more than {}", crate::plant::MAX_FANS_OF_TANK)]
    TooManyFans {
        /// Fans asked for.
        needed: usize,
    },
    /// A heat capacity, conductance or lag that is not a positive finite number.
    #[error("{what} of `{name}` is {value}, not a positive number")]
    NotPositive {
        /// Which quantity.
        what: &'static str,
        /// Of which node.
        name: String,
        /// Its value.
        value: f64,
    },
}

/// Puts a network together.
#[derive(Debug)]
pub struct NetworkBuilder {
    reference_c: f64,
    reference_air: Air,
    nodes: Vec<Node>,
    couplings: Vec<Coupling>,
    lags: Vec<Lag>,
    losses: Vec<NodeLosses>,
    sources: Vec<Source>,
    make_up: Option<MakeUp>,
}

impl NetworkBuilder {
    /// A network whose losses are linearised at this node temperature, °C, and air.
    #[must_use]
    pub fn new(reference_c: f64, reference_air: Air) -> Self {
        Self {
            reference_c,
            reference_air,
            nodes: Vec::new(),
            couplings: Vec::new(),
            lags: Vec::new(),
            losses: Vec::new(),
            sources: Vec::new(),
            make_up: None,
        }
    }

    /// Adds a lump, J/K.
    pub fn lump(&mut self, name: &str, heat_capacity_j_per_k: f64) -> NodeId {
        self.nodes.push(Node {
            name: name.to_owned(),
            heat_capacity_j_per_k: Some(heat_capacity_j_per_k),
        });
        NodeId(self.nodes.len() - 1)
    }

    /// Joins two lumps with a conductance, W/K.
    pub fn couple(&mut self, a: NodeId, b: NodeId, conductance_w_per_k: f64, gate: Gate) {
        self.couplings.push(Coupling {
            between: (a, b),
            conductance_w_per_k,
            gate,
        });
    }

    /// Adds a first-order lag, ms (> 0), on a weighted mean of nodes; while `in_air_bit` of the mode is set it follows the room's air.
    pub fn lag(
        &mut self,
        name: &str,
        of: &[(NodeId, f64)],
        lag_ms: Millis,
        in_air_bit: Option<u8>,
    ) -> NodeId {
        self.nodes.push(Node {
            name: name.to_owned(),
            heat_capacity_j_per_k: None,
        });
        let node = NodeId(self.nodes.len() - 1);
        self.lags.push(Lag {
            node,
            of: of.to_vec(),
            lag_s: seconds(lag_ms),
            in_air_bit,
            elsewhere: Vec::new(),
        });
        node
    }

    /// While this bit of the mode is set the lag at `lag` follows `node` instead of what it was built to follow.
    pub fn lag_elsewhere(&mut self, lag: NodeId, bit: u8, node: NodeId) {
        if let Some(entry) = self.lags.iter_mut().find(|entry| entry.node == lag) {
            entry.elsewhere.push((bit, node));
        }
    }

    /// Adds losses to a lump.
    pub fn losses(&mut self, node: NodeId, losses: Box<dyn Losses>) -> LossesId {
        self.losses.push(NodeLosses {
            node,
            losses,
            linear: Vec::new(),
            linear_sum: LinearPath::default(),
        });
        LossesId(self.losses.len() - 1)
    }

    /// Adds a source of power into a lump, off at first.
    pub fn source(&mut self, name: &str, node: NodeId) -> SourceId {
        self.sources.push(Source {
            name: name.to_owned(),
            node,
        });
        SourceId(self.sources.len() - 1)
    }

    /// Replaces what evaporates.
    pub fn make_up(&mut self, make_up: MakeUp) {
        self.make_up = Some(make_up);
    }

    /// The finished network.
    ///
    /// # Errors
    /// Too many nodes or mode bits; a capacity, conductance or lag that is not positive and finite.
    pub fn build(mut self) -> Result<Network, NetworkError> {
        if self.nodes.len() > MAX_NODES {
            return Err(NetworkError::TooManyNodes {
                needed: self.nodes.len(),
            });
        }
        let positive = |what: &'static str, name: &str, value: f64| {
            if value.is_finite() && value > 0.0 {
                Ok(())
            } else {
                Err(NetworkError::NotPositive {
                    what,
                    name: name.to_owned(),
                    value,
                })
            }
        };
        for node in &self.nodes {
            if let Some(capacity) = node.heat_capacity_j_per_k {
                positive("heat capacity", &node.name, capacity)?;
            }
        }
        for coupling in &self.couplings {
            positive(
                "conductance",
                &self.nodes[coupling.between.0.0].name,
                coupling.conductance_w_per_k,
            )?;
        }
        for lag in &self.lags {
            positive("lag", &self.nodes[lag.node.0].name, lag.lag_s)?;
        }
        for entry in &mut self.losses {
            entry.linear = linearise(entry.losses.as_ref(), self.reference_c, self.reference_air);
            entry.linear_sum = LinearPath::sum(&entry.linear);
        }
        Ok(Network { parts: self })
    }
}

/// Half the step of temperature that a slope is taken over, K: the whole step is one kelvin. A choice.
const HALF_KELVIN_K: f64 = 0.5;
/// Half the step of vapour pressure that a slope is taken over, Pa. A choice.
const HALF_STEP_PA: f64 = 50.0;

/// The linear part of each path by central differences over these steps: any slope near the true one serves, since
/// the remainder takes the rest.
fn linearise(losses: &dyn Losses, reference_c: f64, air: Air) -> Vec<LinearPath> {
    let count = losses.paths().len();
    let at = |node_c: f64, air: Air| {
        let mut heat_w = vec![0.0; count];
        losses.evaluate(node_c, air, Setting::default(), &mut heat_w);
        heat_w
    };
    let warmer = |by: f64| Air {
        temp_c: air.temp_c + by,
        ..air
    };
    let moister = |by: f64| Air {
        vapour_pressure_pa: air.vapour_pressure_pa + by,
        ..air
    };
    let middle = at(reference_c, air);
    let (node_up, node_down) = (
        at(reference_c + HALF_KELVIN_K, air),
        at(reference_c - HALF_KELVIN_K, air),
    );
    let (air_up, air_down) = (
        at(reference_c, warmer(HALF_KELVIN_K)),
        at(reference_c, warmer(-HALF_KELVIN_K)),
    );
    let (vapour_up, vapour_down) = (
        at(reference_c, moister(HALF_STEP_PA)),
        at(reference_c, moister(-HALF_STEP_PA)),
    );
    (0..count)
        .map(|path| LinearPath {
            at_reference_w: middle[path],
            per_node_w_per_k: node_up[path] - node_down[path],
            per_air_w_per_k: air_up[path] - air_down[path],
            per_vapour_w_per_pa: (vapour_up[path] - vapour_down[path]) / (2.0 * HALF_STEP_PA),
        })
        .collect()
}

/// A finished network. It holds no state: a [`Stepper`] does.
#[derive(Debug)]
pub struct Network {
    parts: NetworkBuilder,
}

impl Network {
    /// Number of nodes.
    #[must_use]
    pub fn size(&self) -> usize {
        self.parts.nodes.len()
    }

    /// The temperature the state is counted from, °C.
    #[must_use]
    pub fn reference_c(&self) -> f64 {
        self.parts.reference_c
    }

    /// Name of a node.
    #[must_use]
    pub fn node_name(&self, node: NodeId) -> &str {
        &self.parts.nodes[node.0].name
    }

    /// Heat capacity of all lumps together, J/K.
    #[must_use]
    pub fn heat_capacity_j_per_k(&self) -> f64 {
        self.parts
            .nodes
            .iter()
            .filter_map(|node| node.heat_capacity_j_per_k)
            .sum()
    }

    /// What holds before anybody changes anything.
    fn as_built(&self) -> Present {
        Present {
            mode: 0,
            heat_capacity_j_per_k: self
                .parts
                .nodes
                .iter()
                .map(|node| node.heat_capacity_j_per_k)
                .collect(),
            losses: vec![Setting::default(); self.parts.losses.len()],
            topped_off: true,
        }
    }

    /// A as things are, 1/s.
    fn matrix(&self, present: &Present) -> Matrix {
        let mode = present.mode;
        let capacity_of = |node: NodeId| present.heat_capacity_j_per_k[node.0];
        let mut a = Matrix::zero(self.size());
        for coupling in self
            .parts
            .couplings
            .iter()
            .filter(|coupling| coupling.gate.holds(mode))
        {
            let (i, j) = coupling.between;
            for (here, there) in [(i, j), (j, i)] {
                if let Some(capacity) = capacity_of(here) {
                    let rate = coupling.conductance_w_per_k / capacity;
                    *a.at_mut(here.0, here.0) -= rate;
                    *a.at_mut(here.0, there.0) += rate;
                }
            }
        }
        for entry in &self.parts.losses {
            if let Some(capacity) = capacity_of(entry.node) {
                *a.at_mut(entry.node.0, entry.node.0) += entry.linear_sum.per_node_w_per_k / capacity;
            }
        }
        for lag in &self.parts.lags {
            *a.at_mut(lag.node.0, lag.node.0) -= 1.0 / lag.lag_s;
            if lag.hangs_in_air(mode) {
                continue;
            }
            match lag.elsewhere(mode) {
                Some(node) => *a.at_mut(lag.node.0, node.0) += 1.0 / lag.lag_s,
                None => {
                    for (node, weight) in &lag.of {
                        *a.at_mut(lag.node.0, node.0) += weight / lag.lag_s;
                    }
                }
            }
        }
        a
    }
}

impl Lag {
    fn elsewhere(&self, mode: u32) -> Option<NodeId> {
        let set = self.elsewhere.iter().find(|(bit, _)| mode >> bit & 1 == 1);
        set.map(|(_, node)| *node)
    }

    fn hangs_in_air(&self, mode: u32) -> bool {
        self.in_air_bit.is_some_and(|bit| mode >> bit & 1 == 1)
    }
}
