//! Readings as a device sees them: in its own units, late, or several times the same.

use std::collections::VecDeque;

use serde::Serialize;
use tepid_sim::quantity::print_millis;
use tepid_sim::strategy::Readings;
use tepid_sim::time::Millis;

/// Resistance of the thermistor at 25 °C, ohm, its beta, K, and the resistor between it and the reference, ohm. Common
/// practice, no source: the usual cheap sensor and its divider.
const RESISTANCE_25C_OHM: f64 = 10_000.0;
const BETA_K: f64 = 3950.0;
const SERIES_OHM: f64 = 10_000.0;

/// Step and range of a bus sensor, °C, and what its driver gives where no sensor answers. Common practice, no source.
const BUS_STEP_C: f64 = 0.0625;
const BUS_RANGE_C: (f64, f64) = (-55.0, 125.0);
const BUS_FAILED_C: f64 = -127.0;

/// 0 °C, K.
const ZERO_C_K: f64 = 273.15;
/// 25 °C, K.
const REFERENCE_K: f64 = 298.15;

/// A converter from voltage to whole numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Converter {
    /// What it gives at its reference voltage.
    pub(super) full_scale: u16,
}

/// In which form readings come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Celsius,
    Counts(Converter),
    Bus,
}

/// How the form is told to the program.
#[derive(Debug, Serialize)]
#[serde(tag = "as", rename_all = "lowercase")]
pub(super) enum ToldForm {
    Celsius {
        unit: &'static str,
        missing: Option<f64>,
    },
    Counts {
        full_scale: u16,
        missing: u16,
        resistance_25c_ohm: f64,
        beta_k: f64,
        series_ohm: f64,
    },
    Bus {
        unit: &'static str,
        step: f64,
        missing: f64,
    },
}

/// One reading as it is sent.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub(super) enum Sent {
    Number(f64),
    Counts(u16),
    Missing,
}

impl Form {
    pub(super) fn told(self) -> ToldForm {
        match self {
            Self::Celsius => ToldForm::Celsius {
                unit: "°C",
                missing: None,
            },
            Self::Counts(converter) => ToldForm::Counts {
                full_scale: converter.full_scale,
                missing: converter.full_scale,
                resistance_25c_ohm: RESISTANCE_25C_OHM,
                beta_k: BETA_K,
                series_ohm: SERIES_OHM,
            },
            Self::Bus => ToldForm::Bus {
                unit: "°C",
                step: BUS_STEP_C,
                missing: BUS_FAILED_C,
            },
        }
    }

    pub(super) fn sent(self, reading_c: Option<f64>) -> Sent {
        let finite = reading_c.filter(|temp_c| temp_c.is_finite());
        match (self, finite) {
            (Self::Celsius, Some(temp_c)) => Sent::Number(temp_c),
            (Self::Celsius, None) => Sent::Missing,
            (Self::Counts(converter), Some(temp_c)) => Sent::Counts(converter.counts(temp_c)),
            // A broken wire: nothing pulls the input down.
            (Self::Counts(converter), None) => Sent::Counts(converter.full_scale),
            (Self::Bus, Some(temp_c)) => {
                let in_range_c = temp_c.clamp(BUS_RANGE_C.0, BUS_RANGE_C.1);
                Sent::Number(libm::round(in_range_c / BUS_STEP_C) * BUS_STEP_C)
            }
            (Self::Bus, None) => Sent::Number(BUS_FAILED_C),
        }
    }
}

impl Converter {
    /// The thermistor lies between the input and ground: the colder, the more counts.
    fn counts(self, temp_c: f64) -> u16 {
        let temp_k = (temp_c + ZERO_C_K).max(1.0);
        let resistance_ohm = RESISTANCE_25C_OHM * libm::exp(BETA_K * (1.0 / temp_k - 1.0 / REFERENCE_K));
        // Written so that an endless resistance gives the full scale.
        let share = 1.0 / (1.0 + SERIES_OHM / resistance_ohm);
        libm::round(share * f64::from(self.full_scale)) as u16
    }
}

/// What stands between the probes and the program.
#[derive(Debug, Clone)]
pub(super) struct Device {
    form: Form,
    late_ms: Millis,
    every_ms: Millis,
    /// Samples that are too young to be seen, and the one that is seen, oldest first.
    samples: VecDeque<(Millis, Vec<Option<f64>>)>,
}

impl Device {
    pub(super) fn new(form: Form, late_ms: Millis, every_ms: Millis) -> Self {
        Self {
            form,
            late_ms,
            every_ms,
            samples: VecDeque::new(),
        }
    }

    pub(super) fn form(&self) -> Form {
        self.form
    }

    /// What differs from plain readings, to be appended to a recipe's settings.
    pub(super) fn settings_text(&self) -> String {
        let mut text = match self.form {
            Form::Celsius => String::new(),
            Form::Counts(converter) => format!(", reads counts up to {}", converter.full_scale),
            Form::Bus => ", reads a bus sensor".to_owned(),
        };
        if self.late_ms > 0 {
            text.push_str(&format!(", {} late", print_millis(self.late_ms)));
        }
        if self.every_ms > 0 {
            text.push_str(&format!(", sampled every {}", print_millis(self.every_ms)));
        }
        text
    }

    /// One reading for each probe, as the program sees them now.
    pub(super) fn see(&mut self, seen: &Readings) -> Vec<Sent> {
        let now_ms = seen.now_ms;
        if self.samples.back().is_some_and(|(at_ms, _)| *at_ms > now_ms) {
            // The clock was set back: samples of the future are none.
            self.samples.clear();
        }
        if self
            .samples
            .back()
            .is_none_or(|(at_ms, _)| now_ms - at_ms >= self.every_ms)
        {
            self.samples.push_back((now_ms, seen.probes_c.clone()));
        }
        let old_enough = |at_ms: Millis| now_ms - at_ms >= self.late_ms;
        while self.samples.get(1).is_some_and(|(at_ms, _)| old_enough(*at_ms)) {
            self.samples.pop_front();
        }
        let visible = self.samples.front().filter(|(at_ms, _)| old_enough(*at_ms));
        (0..seen.probes_c.len())
            .map(|probe| {
                let reading_c = visible.and_then(|(_, probes_c)| probes_c.get(probe).copied().flatten());
                self.form.sent(reading_c)
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(now_ms: Millis, reading_c: Option<f64>) -> Readings {
        Readings {
            now_ms,
            probes_c: vec![reading_c],
            drawn_w: Vec::new(),
            announced: Vec::new(),
        }
    }

    #[test]
    fn a_thermistor_at_25_degrees_halves_the_converter_and_reads_higher_when_colder() {
        let form = Form::Counts(Converter { full_scale: 1023 });
        assert_eq!(form.sent(Some(25.0)), Sent::Counts(512));
        let Sent::Counts(cold) = form.sent(Some(20.0)) else {
            panic!("counts")
        };
        assert!(cold > 512, "{cold}");
        assert_eq!(form.sent(None), Sent::Counts(1023));
        for odd in [-1e300, 1e300, -273.15] {
            assert!(matches!(form.sent(Some(odd)), Sent::Counts(0..=1023)));
        }
    }

    #[test]
    fn a_bus_sensor_reads_in_sixteenths_and_gives_its_sentinel_when_it_fails() {
        assert_eq!(Form::Bus.sent(Some(25.52)), Sent::Number(25.5));
        assert_eq!(Form::Bus.sent(None), Sent::Number(-127.0));
        assert_eq!(Form::Bus.sent(Some(f64::NAN)), Sent::Number(-127.0));
    }

    #[test]
    fn a_late_reading_is_missing_first_and_then_that_old() {
        let mut device = Device::new(Form::Celsius, 20_000, 0);
        let course: Vec<Sent> = (0..5)
            .map(|step| device.see(&seen(step * 10_000, Some(step as f64)))[0])
            .collect();
        assert_eq!(
            course,
            [
                Sent::Missing,
                Sent::Missing,
                Sent::Number(0.0),
                Sent::Number(1.0),
                Sent::Number(2.0)
            ]
        );
    }

    #[test]
    fn between_two_samples_the_last_one_is_repeated() {
        let mut device = Device::new(Form::Celsius, 0, 30_000);
        let course: Vec<Sent> = (0..5)
            .map(|step| device.see(&seen(step * 10_000, Some(step as f64)))[0])
            .collect();
        let shown = [0.0, 0.0, 0.0, 3.0, 3.0].map(Sent::Number);
        assert_eq!(course, shown);
    }
}
