//! A row of the trace: the course as it is now.

use super::Loop;
use crate::network::AirCourse;
use crate::run::devices::Meter;
use crate::time::Millis;
use crate::trace::{TraceRow, TraceSink};

/// Lists that a row lends out, kept for the next.
#[derive(Default)]
pub(super) struct TraceBuffers {
    water_c: Vec<f64>,
    heater_c: Vec<f64>,
    heater_w: Vec<f64>,
    fan_w: Vec<f64>,
    pump_w: Vec<f64>,
    light_w: Vec<f64>,
    chiller_w: Vec<f64>,
    oxygen_mg_per_l: Vec<f64>,
    level_m: Vec<f64>,
}

impl Loop<'_, '_> {
    pub(in crate::run) fn show_row(&mut self, now_ms: Millis) {
        let Some(trace) = self.trace.as_deref_mut() else {
            return;
        };
        let air = self.surroundings.air_at(now_ms);
        let buffers = &mut self.trace_buffers;
        let stepper = &self.stepper;
        buffers.water_c.clear();
        buffers
            .water_c
            .extend(self.plant.water.iter().map(|node| stepper.temp_c(*node)));
        buffers.heater_c.clear();
        buffers
            .heater_c
            .extend(self.plant.bodies.iter().map(|node| stepper.temp_c(*node)));
        buffers.heater_w.clear();
        buffers
            .heater_w
            .extend(self.devices.heaters.iter().map(Meter::power_w));
        buffers.fan_w.clear();
        buffers.fan_w.extend(self.devices.fans.iter().map(Meter::power_w));
        buffers.pump_w.clear();
        buffers
            .pump_w
            .extend(self.devices.pumps.iter().map(Meter::power_w));
        buffers.light_w.clear();
        buffers
            .light_w
            .extend(self.devices.lights.iter().map(Meter::power_w));
        buffers.chiller_w.clear();
        let chillers = self.devices.chillers.iter();
        buffers
            .chiller_w
            .extend(chillers.map(|chiller| chiller.meter.power_w()));
        buffers.level_m.clear();
        let tanks = 0..self.scenario.tanks.len();
        buffers
            .level_m
            .extend(tanks.map(|tank| self.levels.height_m(tank)));
        buffers.oxygen_mg_per_l.clear();
        if let Some(oxygen) = &mut self.oxygen {
            buffers.oxygen_mg_per_l.extend(oxygen.seen_at(now_ms));
        }
        trace.row(&TraceRow {
            at_ms: now_ms,
            water_c: &buffers.water_c,
            heater_c: &buffers.heater_c,
            room_c: air.temp_c,
            humidity_frac: air.relative_humidity_frac(),
            readings_c: &self.readings.probes_c,
            heater_w: &buffers.heater_w,
            fan_w: &buffers.fan_w,
            pump_w: &buffers.pump_w,
            light_w: &buffers.light_w,
            chiller_w: &buffers.chiller_w,
            oxygen_mg_per_l: &buffers.oxygen_mg_per_l,
            level_m: &buffers.level_m,
            contacts: self.chains.states(),
        });
    }

    /// Shows the scores so far where they are asked for at this instant.
    pub(in crate::run) fn show_scores(&mut self, now_ms: Millis) {
        let every_ms = self.trace.as_deref().and_then(TraceSink::scores_every_ms);
        if !every_ms.is_some_and(|every_ms| now_ms > 0 && now_ms.rem_euclid(every_ms.max(1)) == 0) {
            return;
        }
        // What goes wrong is told at the end of the run itself.
        let so_far = self.twin().map(|twin| twin.finish(now_ms));
        if let (Some(Ok(scores)), Some(trace)) = (so_far, self.trace.as_deref_mut()) {
            trace.scores(now_ms, &scores);
        }
    }
}
