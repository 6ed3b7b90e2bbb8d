//! The heat of every path, integrated on the stepper's own interpolant.
//!
//! It closes to rounding if each path is booked exactly once, and says nothing about the accuracy of the step.

use super::leg::Leg;
use super::{Network, Vector};
use crate::scores::{HeatBalance, HeatPath};

/// Integrals so far.
#[derive(Debug, Clone)]
pub(super) struct Ledger {
    /// J per loss path.
    pub(super) path_j: Vec<f64>,
    /// J per source.
    pub(super) source_j: Vec<f64>,
    /// J by make-up water.
    pub(super) make_up_j: f64,
    /// J carried by water that came or went at its lump's temperature.
    pub(super) carried_j: f64,
    /// kg per losses entry.
    pub(super) evaporated_kg: Vec<f64>,
}

impl Ledger {
    pub(super) fn new(network: &Network) -> Self {
        Self {
            path_j: vec![0.0; network.path_count()],
            source_j: vec![0.0; network.parts.sources.len()],
            make_up_j: 0.0,
            carried_j: 0.0,
            evaporated_kg: vec![0.0; network.parts.losses.len()],
        }
    }

    /// Books what passed in a leg, once a leg rather than once a minute, since every term is linear in it.
    pub(super) fn book(&mut self, network: &Network, leg: &Leg) {
        let passed = &leg.passed;
        // A straight line from start to end of the leg, integrated over what passed.
        let line = |start: f64, end: f64| start * passed.elapsed_s + (end - start) * passed.position_s;
        let (start, end) = (&leg.at_start, &leg.at_end);
        let mut path = 0;
        for (index, entry) in network.parts.losses.iter().enumerate() {
            for linear in &entry.linear {
                self.path_j[path] += linear.at_reference_w * passed.elapsed_s
                    + line(start.path_w[path], end.path_w[path])
                    + linear.per_node_w_per_k * passed.node_k_s[entry.node.0]
                    + linear.per_air_w_per_k * passed.air_k_s
                    + linear.per_vapour_w_per_pa * passed.vapour_pa_s;
                path += 1;
            }
            self.evaporated_kg[index] +=
                line(start.evaporation_kg_per_s[index], end.evaporation_kg_per_s[index]);
        }
        self.make_up_j += line(start.make_up_w, end.make_up_w);
    }

    /// The balance between two states.
    pub(super) fn balance(
        &self,
        network: &Network,
        start: &Vector,
        now: &Vector,
        capacities_now: &[Option<f64>],
    ) -> HeatBalance {
        let mut paths: Vec<HeatPath> = network
            .parts
            .sources
            .iter()
            .zip(&self.source_j)
            .map(|(source, heat_j)| HeatPath {
                name: source.name.clone(),
                heat_j: *heat_j,
            })
            .collect();
        let names = network.parts.losses.iter().flat_map(|entry| {
            let node = network.node_name(entry.node);
            entry
                .losses
                .paths()
                .into_iter()
                .map(move |path| format!("{path} {node}"))
        });
        paths.extend(names.zip(&self.path_j).map(|(name, heat_j)| HeatPath {
            name,
            heat_j: *heat_j,
        }));
        if network.parts.make_up.is_some() {
            paths.push(HeatPath {
                name: "make-up water".to_owned(),
                heat_j: self.make_up_j,
            });
        }
        if self.carried_j != 0.0 {
            paths.push(HeatPath {
                name: "water in and out".to_owned(),
                heat_j: self.carried_j,
            });
        }
        let nodes = network.parts.nodes.iter().zip(capacities_now).enumerate();
        let stored_j: f64 = nodes
            .filter_map(|(i, (node, capacity_now))| {
                Some((*capacity_now)? * now[i] - node.heat_capacity_j_per_k? * start[i])
            })
            .sum();
        let turned_over_j: f64 = paths.iter().map(|path| path.heat_j.abs()).sum();
        let sum_j: f64 = paths.iter().map(|path| path.heat_j).sum();
        // Where nearly nothing flowed, rounding of temperatures is all there is: judge it against a joule.
        let error_frac = (sum_j - stored_j).abs() / turned_over_j.max(1.0);
        HeatBalance {
            paths,
            stored_j,
            turned_over_j,
            error_frac,
        }
    }
}
