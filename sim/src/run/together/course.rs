//! The course of several water systems as one: a row at every instant at which they meet, with what all of them show.

use std::cell::RefCell;

use crate::scenario::{Scenario, WaterSystem};
use crate::strategy::ContactState;
use crate::time::Millis;
use crate::trace::{Mark, MarkKind, TraceRow, TraceSink};

/// Gathers what the systems show.
pub(super) struct Course<'a> {
    scenario: &'a Scenario,
    systems: &'a [WaterSystem],
    seen: Vec<RefCell<Seen>>,
}

/// What a system showed since it was last asked.
#[derive(Default)]
struct Seen {
    row: Row,
    marks: Vec<(Millis, MarkKind, String)>,
}

/// The last row, kept.
#[derive(Clone, Default)]
struct Row {
    at_ms: Millis,
    water_c: Vec<f64>,
    heater_c: Vec<f64>,
    room_c: f64,
    humidity_frac: f64,
    readings_c: Vec<Option<f64>>,
    heater_w: Vec<f64>,
    fan_w: Vec<f64>,
    pump_w: Vec<f64>,
    light_w: Vec<f64>,
    chiller_w: Vec<f64>,
    level_m: Vec<f64>,
    oxygen_mg_per_l: Vec<f64>,
    contacts: Vec<ContactState>,
}

/// Takes the course of one system.
pub(super) struct Relay<'c>(&'c RefCell<Seen>);

impl TraceSink for Relay<'_> {
    fn row(&mut self, row: &TraceRow<'_>) {
        self.0.borrow_mut().row = Row {
            at_ms: row.at_ms,
            water_c: row.water_c.to_vec(),
            heater_c: row.heater_c.to_vec(),
            room_c: row.room_c,
            humidity_frac: row.humidity_frac,
            readings_c: row.readings_c.to_vec(),
            heater_w: row.heater_w.to_vec(),
            fan_w: row.fan_w.to_vec(),
            pump_w: row.pump_w.to_vec(),
            light_w: row.light_w.to_vec(),
            chiller_w: row.chiller_w.to_vec(),
            level_m: row.level_m.to_vec(),
            oxygen_mg_per_l: row.oxygen_mg_per_l.to_vec(),
            contacts: row.contacts.to_vec(),
        };
    }

    fn mark(&mut self, mark: &Mark<'_>) {
        let mut seen = self.0.borrow_mut();
        seen.marks.push((mark.at_ms, mark.what, mark.name.to_owned()));
    }
}

impl<'a> Course<'a> {
    pub(super) fn new(scenario: &'a Scenario, systems: &'a [WaterSystem]) -> Self {
        Self {
            scenario,
            systems,
            seen: systems.iter().map(|_| RefCell::default()).collect(),
        }
    }

    /// One per system.
    pub(super) fn relays(&self) -> impl Iterator<Item = Relay<'_>> {
        self.seen.iter().map(Relay)
    }

    /// Shows the marks since the last call, what befalls several systems once, and the present row.
    pub(super) fn show(&self, trace: &mut dyn TraceSink) {
        let mut marks: Vec<(Millis, MarkKind, String)> = Vec::new();
        for seen in &self.seen {
            for mark in std::mem::take(&mut seen.borrow_mut().marks) {
                if !marks.contains(&mark) {
                    marks.push(mark);
                }
            }
        }
        marks.sort_by_key(|(at_ms, _, _)| *at_ms);
        for (at_ms, what, name) in marks {
            trace.mark(&Mark {
                at_ms,
                what,
                name: &name,
            });
        }
        let row = self.row();
        trace.row(&TraceRow {
            at_ms: row.at_ms,
            water_c: &row.water_c,
            heater_c: &row.heater_c,
            room_c: row.room_c,
            humidity_frac: row.humidity_frac,
            readings_c: &row.readings_c,
            heater_w: &row.heater_w,
            fan_w: &row.fan_w,
            pump_w: &row.pump_w,
            light_w: &row.light_w,
            chiller_w: &row.chiller_w,
            level_m: &row.level_m,
            oxygen_mg_per_l: &row.oxygen_mg_per_l,
            contacts: &row.contacts,
        });
    }

    fn row(&self) -> Row {
        let scenario = self.scenario;
        let oxygen = scenario.livestock.oxygen.map_or(0, |_| scenario.tanks.len());
        let mut whole = Row {
            water_c: vec![0.0; scenario.tanks.len()],
            heater_c: vec![0.0; scenario.heaters.len()],
            readings_c: vec![None; scenario.probes.len()],
            heater_w: vec![0.0; scenario.heaters.len()],
            fan_w: vec![0.0; scenario.fans.len()],
            pump_w: vec![0.0; scenario.pumps.len()],
            light_w: vec![0.0; scenario.lights.len()],
            chiller_w: vec![0.0; scenario.chillers.len()],
            level_m: vec![0.0; scenario.tanks.len()],
            oxygen_mg_per_l: vec![0.0; oxygen],
            contacts: vec![ContactState::Open; scenario.contacts.len()],
            ..Row::default()
        };
        for (system, seen) in self.systems.iter().zip(&self.seen) {
            let (own, of) = (&seen.borrow().row, &system.members);
            whole.at_ms = own.at_ms;
            // The air is the same for all.
            (whole.room_c, whole.humidity_frac) = (own.room_c, own.humidity_frac);
            put(&mut whole.water_c, &own.water_c, of.tanks.iter().map(|id| id.0));
            put(
                &mut whole.heater_c,
                &own.heater_c,
                of.heaters.iter().map(|id| id.0),
            );
            put(
                &mut whole.readings_c,
                &own.readings_c,
                of.probes.iter().map(|id| id.0),
            );
            put(
                &mut whole.heater_w,
                &own.heater_w,
                of.heaters.iter().map(|id| id.0),
            );
            put(&mut whole.pump_w, &own.pump_w, of.pumps.iter().map(|id| id.0));
            put(&mut whole.light_w, &own.light_w, of.lights.iter().map(|id| id.0));
            put(&mut whole.fan_w, &own.fan_w, of.fans.iter().map(|id| id.0));
            put(
                &mut whole.chiller_w,
                &own.chiller_w,
                of.chillers.iter().map(|id| id.0),
            );
            put(&mut whole.level_m, &own.level_m, of.tanks.iter().map(|id| id.0));
            put(
                &mut whole.oxygen_mg_per_l,
                &own.oxygen_mg_per_l,
                of.tanks.iter().map(|id| id.0),
            );
            put(
                &mut whole.contacts,
                &own.contacts,
                of.contacts.iter().map(|id| id.0),
            );
        }
        whole
    }
}

/// Puts a system's values where they belong among those of the whole.
fn put<T: Copy>(whole: &mut [T], own: &[T], at: impl Iterator<Item = usize>) {
    for (value, at) in own.iter().zip(at) {
        whole[at] = *value;
    }
}
