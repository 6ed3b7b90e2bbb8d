//! How much an output may give, and how fast it may change.

use tepid_sim::quantity::{Kind, System, print, print_millis};
use tepid_sim::time::{HOUR, Millis, seconds};

use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::values::Values;

pub(crate) const MOST: Param = Param {
    name: "most",
    kind: ParamKind::Quantity(Kind::Share),
    default: ParamDefault::Number(1.0),
    range: Some(ParamRange { from: 0.01, to: 1.0 }),
    doc: "highest duty",
    trade: Some("lower: less overshoot and less harm by a mistaken program, slower back from cold"),
};

pub(crate) const FULL_TRAVEL: Param = Param {
    name: "full_travel",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(0),
    range: Some(ParamRange {
        from: 0.0,
        to: HOUR as f64,
    }),
    doc: "shortest time from no power to full or back; 0 s: no limit",
    trade: Some("longer: gentle on supply and heaters, later to answer"),
};

/// Limits of a duty and of its rate of change.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OutputLimits {
    most_frac: f64,
    full_travel_ms: Millis,
}

impl OutputLimits {
    /// From [`MOST`] and [`FULL_TRAVEL`].
    pub(crate) fn from_values(values: &Values) -> Result<Self, ParamError> {
        Ok(Self {
            most_frac: values.get_number(MOST.name)?,
            full_travel_ms: values.get_time_ms(FULL_TRAVEL.name)?,
        })
    }

    /// What differs from the default, to be appended: ", at most 60 %, full travel in 5 min".
    pub(crate) fn settings_text(self) -> String {
        let mut text = String::new();
        if self.most_frac < 1.0 {
            text += &format!(", at most {}", print(Kind::Share, self.most_frac, System::Metric));
        }
        if self.full_travel_ms > 0 {
            text += &format!(", full travel in {}", print_millis(self.full_travel_ms));
        }
        text
    }

    /// The highest duty.
    pub(crate) fn most_frac(self) -> f64 {
        self.most_frac
    }

    /// The duty nearest to the wanted one that can be reached from the last one in this time.
    pub(crate) fn reached_frac(self, wanted_frac: f64, last_frac: f64, elapsed_s: f64) -> f64 {
        if self.full_travel_ms == 0 {
            return wanted_frac;
        }
        let reach_frac = elapsed_s / seconds(self.full_travel_ms);
        wanted_frac.clamp(last_frac - reach_frac, last_frac + reach_frac)
    }
}
