//! Proportional and integral action, with the integral kept in check while the heaters are at their limit.

use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::time::{DAY, MINUTE, Millis, seconds};

use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;
use crate::wording::difference_text;

pub(crate) const BAND: Param = Param {
    name: "band",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.5),
    range: Some(ParamRange { from: 0.01, to: 10.0 }),
    doc: "error that alone asks for full power; the gain is one over it",
    trade: Some("narrower: answers harder and rings; wider: calm and slow"),
};

pub(crate) const INTEGRAL_TIME: Param = Param {
    name: "integral_time",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(120 * MINUTE),
    range: Some(ParamRange {
        from: MINUTE as f64,
        to: DAY as f64,
    }),
    doc: "time in which a steady error doubles the answer; at least the interval",
    trade: Some("shorter: on the setpoint sooner and overshoots more; longer: slow to correct a new room"),
};

pub(crate) const ANTI_WINDUP: Param = Param {
    name: "anti_windup",
    kind: ParamKind::Choice(&["none", "clamp", "freeze", "back-calculation"]),
    default: ParamDefault::Word("back-calculation"),
    range: None,
    doc: "how the integral is kept in check while the heaters are at their limit",
    trade: Some("`none` overshoots after every long cold spell; the others differ by little"),
};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum AntiWindup {
    None,
    Clamp,
    Freeze,
    BackCalculation,
}

/// Gain and integral time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PiTuning {
    band_k: f64,
    integral_time_ms: Millis,
    anti_windup: AntiWindup,
}

impl PiTuning {
    /// From [`BAND`], [`INTEGRAL_TIME`] and [`ANTI_WINDUP`].
    pub(crate) fn from_values(values: &Values, interval_ms: Millis) -> Result<Self, ParamError> {
        let integral_time_ms = values.get_time_ms(INTEGRAL_TIME.name)?;
        if integral_time_ms < interval_ms {
            return Err(ParamError::DoesNotFit {
                param: INTEGRAL_TIME.name,
                wrong: format!(
                    "is {}, shorter than the `interval` of {}",
                    print_millis(integral_time_ms),
                    print_millis(interval_ms)
                ),
            });
        }
        Ok(Self {
            band_k: values.get_number(BAND.name)?,
            integral_time_ms,
            anti_windup: match values.get_word(ANTI_WINDUP.name)? {
                "none" => AntiWindup::None,
                "clamp" => AntiWindup::Clamp,
                "freeze" => AntiWindup::Freeze,
                _ => AntiWindup::BackCalculation,
            },
        })
    }

    /// "0.5 K".
    pub(crate) fn band_text(self) -> String {
        difference_text(self.band_k)
    }

    /// "2 h integral time".
    pub(crate) fn integral_text(self) -> String {
        format!("{} integral time", print_millis(self.integral_time_ms))
    }

    /// What differs from the default, to be appended: ", clamped integral".
    pub(crate) fn windup_text(self) -> &'static str {
        match self.anti_windup {
            AntiWindup::None => ", no anti-windup",
            AntiWindup::Clamp => ", clamped integral",
            AntiWindup::Freeze => ", integral frozen at the limits",
            AntiWindup::BackCalculation => "",
        }
    }
}

/// The memory of one loop.
#[derive(Debug, Clone)]
pub(crate) struct PiAction {
    gain_per_k: f64,
    integral_time_s: f64,
    anti_windup: AntiWindup,
    integral_frac: f64,
}

impl PiAction {
    pub(crate) fn new(tuning: PiTuning) -> Self {
        Self {
            gain_per_k: 1.0 / tuning.band_k,
            integral_time_s: seconds(tuning.integral_time_ms),
            anti_windup: tuning.anti_windup,
            integral_frac: 0.0,
        }
    }

    /// Duty per kelvin, 1/K.
    pub(crate) fn gain_per_k(&self) -> f64 {
        self.gain_per_k
    }

    /// Sets the integral so that with this error and what is added to it the duty goes on from `duty_frac`, as far as an
    /// integral between 0 and 1 can.
    pub(crate) fn go_on_from(&mut self, duty_frac: f64, error_k: f64, added_frac: f64) {
        self.integral_frac = (duty_frac - self.gain_per_k * error_k - added_frac).clamp(0.0, 1.0);
    }

    /// The duty for this error, between 0 and `most_frac`, after the integral has grown over `elapsed_s`; `added_frac` is
    /// what other actions of the same output ask for.
    pub(crate) fn duty_frac(&mut self, error_k: f64, added_frac: f64, elapsed_s: f64, most_frac: f64) -> f64 {
        let proportional_frac = self.gain_per_k * error_k + added_frac;
        let wanted_frac = proportional_frac + self.integral_frac;
        let growth_frac = self.gain_per_k * error_k * elapsed_s / self.integral_time_s;
        match self.anti_windup {
            AntiWindup::None => self.integral_frac += growth_frac,
            AntiWindup::Clamp => self.integral_frac = (self.integral_frac + growth_frac).clamp(0.0, 1.0),
            AntiWindup::Freeze => {
                let driven_beyond =
                    (wanted_frac > most_frac && error_k > 0.0) || (wanted_frac < 0.0 && error_k < 0.0);
                if !driven_beyond {
                    self.integral_frac += growth_frac;
                }
            }
            AntiWindup::BackCalculation => {
                let not_given_frac = wanted_frac - wanted_frac.clamp(0.0, most_frac);
                self.integral_frac += growth_frac - not_given_frac * elapsed_s / self.integral_time_s;
            }
        }
        (proportional_frac + self.integral_frac).clamp(0.0, most_frac)
    }
}
