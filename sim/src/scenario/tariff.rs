//! What electricity costs by the hours of the day.

use super::DailyHours;
use crate::time::{DAY, Millis};

/// Prices of electricity. Whatever the currency: a run only multiplies.
#[derive(Debug, Clone, PartialEq)]
pub struct Tariff {
    /// Price at all hours that none of `hours` is about, currency per kWh.
    pub per_kwh: f64,
    /// Hours of another price; where two overlap, the first holds.
    pub hours: Vec<PricedHours>,
    /// The currency as it stands behind amounts, if one is stated.
    pub currency: Option<String>,
}

/// Hours of every day at a price of their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PricedHours {
    /// The hours.
    pub hours: DailyHours,
    /// Price, currency per kWh.
    pub per_kwh: f64,
}

impl Tariff {
    /// The price, currency per kWh, where it is the same at all hours.
    #[must_use]
    pub fn one_price_per_kwh(&self) -> Option<f64> {
        self.hours.is_empty().then_some(self.per_kwh)
    }

    /// Price at an instant, currency per kWh.
    #[must_use]
    pub fn per_kwh_at(&self, at_ms: Millis) -> f64 {
        self.hours
            .iter()
            .find(|priced| priced.hours.holds(at_ms))
            .map_or(self.per_kwh, |priced| priced.per_kwh)
    }

    /// The next instant after `after_ms` at which the price may change; `None`: it is the same at all hours.
    #[must_use]
    pub fn next_change_ms(&self, after_ms: Millis) -> Option<Millis> {
        let changes = self
            .hours
            .iter()
            .map(|priced| priced.hours.next_change_ms(after_ms));
        changes.min()
    }

    /// Price of a power drawn evenly all day, currency per kWh.
    #[must_use]
    pub fn mean_per_kwh(&self) -> f64 {
        let mut from_ms = 0;
        let mut sum = 0.0;
        while from_ms < DAY {
            let to_ms = self.next_change_ms(from_ms).map_or(DAY, |to_ms| to_ms.min(DAY));
            sum += self.per_kwh_at(from_ms) * (to_ms - from_ms) as f64;
            from_ms = to_ms;
        }
        sum / DAY as f64
    }

    /// Lowest and highest price of the day, currency per kWh.
    #[must_use]
    pub fn range_per_kwh(&self) -> (f64, f64) {
        let starts_ms = self
            .hours
            .iter()
            .flat_map(|priced| [priced.hours.on_ms, priced.hours.off_ms]);
        let prices = std::iter::once(0)
            .chain(starts_ms)
            .map(|at_ms| self.per_kwh_at(at_ms));
        prices.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), price| {
            (low.min(price), high.max(price))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::HOUR;

    fn cheap_nights() -> Tariff {
        Tariff {
            per_kwh: 0.32,
            hours: vec![PricedHours {
                hours: DailyHours {
                    on_ms: 22 * HOUR,
                    off_ms: 6 * HOUR,
                },
                per_kwh: 0.20,
            }],
            currency: None,
        }
    }

    #[test]
    fn a_price_of_the_night_holds_over_midnight() {
        let tariff = cheap_nights();
        let at_h = |hour: Millis| tariff.per_kwh_at(hour * HOUR);
        assert_eq!(
            [at_h(21), at_h(22), at_h(24), at_h(29), at_h(30)],
            [0.32, 0.20, 0.20, 0.20, 0.32]
        );
        assert_eq!(tariff.next_change_ms(23 * HOUR), Some(30 * HOUR));
    }

    #[test]
    fn a_power_drawn_evenly_pays_each_price_for_its_share_of_the_day() {
        let mean = cheap_nights().mean_per_kwh();
        assert!((mean - (16.0 * 0.32 + 8.0 * 0.20) / 24.0).abs() < 1e-12, "{mean}");
        assert_eq!(cheap_nights().range_per_kwh(), (0.20, 0.32));
    }

    #[test]
    fn one_price_is_the_mean_of_itself_and_never_changes() {
        let flat = Tariff {
            hours: Vec::new(),
            ..cheap_nights()
        };
        assert_eq!(flat.mean_per_kwh(), 0.32);
        assert_eq!(flat.next_change_ms(0), None);
        assert_eq!(flat.range_per_kwh(), (0.32, 0.32));
    }
}
