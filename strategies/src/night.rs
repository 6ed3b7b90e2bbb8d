//! The hours of the night: a stretch of every day between two times of day.

use tepid_sim::quantity::print_time_of_day;
use tepid_sim::time::{DAY, HOUR, Millis, time_of_day};

use crate::parameter::{Param, ParamDefault, ParamError, ParamKind};
use crate::values::Values;

/// When the night begins.
pub(crate) const NIGHT_FROM: Param = Param {
    name: "night_from",
    kind: ParamKind::TimeOfDay,
    default: ParamDefault::Time(22 * HOUR),
    range: None,
    doc: "when the night begins",
    trade: None,
};

/// When it ends.
pub(crate) const NIGHT_TO: Param = Param {
    name: "night_to",
    kind: ParamKind::TimeOfDay,
    default: ParamDefault::Time(8 * HOUR),
    range: None,
    doc: "when the night ends",
    trade: None,
};

/// A night; never the whole day.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Night {
    from_ms: Millis,
    /// How long it lasts, 0 < length < a day.
    pub(crate) length_ms: Millis,
}

impl Night {
    /// From [`NIGHT_FROM`] and [`NIGHT_TO`].
    pub(crate) fn from_values(values: &Values) -> Result<Self, ParamError> {
        let (from_ms, to_ms) = (
            values.get_time_ms(NIGHT_FROM.name)?,
            values.get_time_ms(NIGHT_TO.name)?,
        );
        if from_ms == to_ms {
            return Err(ParamError::DoesNotFit {
                param: NIGHT_TO.name,
                wrong: format!(
                    "is {}, as `night_from`: a night and a day need two times",
                    print_time_of_day(to_ms)
                ),
            });
        }
        Ok(Self {
            from_ms,
            length_ms: time_of_day(to_ms - from_ms),
        })
    }

    /// How long the last night before `now_ms`, or the one under way, has been begun, ms, 0 ≤ time < a day.
    pub(crate) fn since_it_began_ms(self, now_ms: Millis) -> Millis {
        (now_ms - self.from_ms).rem_euclid(DAY)
    }

    /// Whether it is night.
    pub(crate) fn is_under_way(self, now_ms: Millis) -> bool {
        self.since_it_began_ms(now_ms) < self.length_ms
    }

    /// "22:00 to 08:00".
    pub(crate) fn text(self) -> String {
        format!(
            "{} to {}",
            print_time_of_day(self.from_ms),
            print_time_of_day(time_of_day(self.from_ms + self.length_ms))
        )
    }
}
