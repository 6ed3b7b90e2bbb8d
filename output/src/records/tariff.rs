//! What electricity costs.

use serde::{Deserialize, Serialize};
use tepid_sim::scenario::Tariff as Stated;
use tepid_sim::time::hours;

/// Prices of electricity by the hours of the day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Tariff {
    /// Price at all other hours, currency per kWh.
    pub per_kwh: f64,
    /// Hours at another price; where two overlap, the first holds.
    pub hours: Vec<PricedHours>,
    /// Price of a power drawn evenly all day, currency per kWh.
    pub mean_per_kwh: f64,
    /// The currency as it stands behind amounts; `None`: none stated.
    pub currency: Option<String>,
}

/// Hours of every day at a price of their own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PricedHours {
    /// From this hour of the day, h after midnight.
    pub from_h: f64,
    /// To this hour of the day, h after midnight.
    pub to_h: f64,
    /// Price, currency per kWh.
    pub per_kwh: f64,
}

impl From<&Stated> for Tariff {
    fn from(stated: &Stated) -> Self {
        let hours = stated.hours.iter().map(|priced| PricedHours {
            from_h: hours(priced.hours.on_ms),
            to_h: hours(priced.hours.off_ms),
            per_kwh: priced.per_kwh,
        });
        Self {
            per_kwh: stated.per_kwh,
            hours: hours.collect(),
            mean_per_kwh: stated.mean_per_kwh(),
            currency: stated.currency.clone(),
        }
    }
}
