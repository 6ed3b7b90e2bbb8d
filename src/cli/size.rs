//! `tepid size`.

use std::ops::RangeInclusive;

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Changes, Format, Shown, Threads, json, quantity, with_threads};
use tepid::exposure::HORIZON_MS;
use tepid::size::{Outage, SizeRequest, sizes};
use tepid_output::records::{FORMAT_VERSION, RecordKind, Sizes};
use tepid_output::{csv_text, table};
use tepid_sim::quantity::{Kind, parse_millis};
use tepid_sim::time::{MINUTE, Millis, hours};

/// Shortest and longest response time and outage: a failure is followed no longer.
const LENGTHS_MS: RangeInclusive<Millis> = MINUTE..=HORIZON_MS;

/// Least and most reserve, 0..=1 being 0 to 100 %.
const RESERVES_FRAC: RangeInclusive<f64> = 0.0..=1.0;

/// Coldest and warmest house, °C: those of a room in a scenario's file.
const HOUSES_C: RangeInclusive<f64> = -30.0..=50.0;

/// Arguments of `size`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A scenario of the library, or a file.
    scenario: String,
    /// How long a failed heater goes on before somebody is there: a night, a working day; at most 72 h.
    #[arg(long, value_name = "TIME", allow_hyphen_values = true, default_value = "8 h")]
    response: String,
    /// Power beyond what the coldest room needs.
    #[arg(
        long,
        value_name = "SHARE",
        allow_hyphen_values = true,
        default_value = "25 %"
    )]
    reserve: String,
    /// The mains out for this long as well: hours of oxygen, then of heat, bare and wrapped; at most 72 h.
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    outage: Option<String>,
    /// With --outage: the house cools evenly from the coldest room to this until the mains are back; otherwise it stays as it is.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        allow_hyphen_values = true,
        requires = "outage"
    )]
    house_falls_to: Option<String>,
    #[command(flatten)]
    threads: Threads,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    shown: Shown,
}

/// Sizes and shows.
pub fn run(arguments: &Arguments) -> Done {
    let (response_h, reserve_frac) = (
        hours(length_ms("--response", &arguments.response)?),
        reserve_frac(&arguments.reserve)?,
    );
    let house_falls_to_c = arguments.house_falls_to.as_deref().map(house_c).transpose()?;
    let outage = arguments.outage.as_deref().map(|text| {
        Ok::<_, Failure>(Outage {
            lasts_ms: length_ms("--outage", text)?,
            house_falls_to_c,
        })
    });
    let outage = outage.transpose()?;
    let scenario = tepid_scenarios::scenario(&arguments.scenario, &arguments.changes.settings()?)?;
    let request = SizeRequest {
        scenario: &scenario,
        response_h,
        reserve_frac,
        outage,
    };
    let all = with_threads(&arguments.threads, |bar| sizes(&request, bar))?
        .map_err(|error| Failure::BadInput(format!("{}: {error}", scenario.name)))?;
    let units = arguments.shown.units.into();
    let leaves = |error: &dyn std::fmt::Display| Failure::Unfinished(error.to_string());
    print(&match (all.as_slice(), arguments.shown.format) {
        ([one], Format::Table) => table::size(one, units),
        ([one], Format::Json) => json(one)?,
        ([one], Format::Csv) => csv_text::leaves(one).map_err(|error| leaves(&error))?,
        (_, format) => {
            let all = Sizes {
                format: RecordKind::Sizes,
                version: FORMAT_VERSION,
                systems: all,
            };
            match format {
                Format::Table => table::sizes(&all, units),
                Format::Json => json(&all)?,
                Format::Csv => csv_text::leaves(&all).map_err(|error| leaves(&error))?,
            }
        }
    })
}

fn length_ms(option: &str, text: &str) -> Result<Millis, Failure> {
    match parse_millis(text) {
        Ok(length_ms) if LENGTHS_MS.contains(&length_ms) => Ok(length_ms),
        Ok(_) => Err(Failure::BadInput(format!(
            "{option} {text}: expected 1 min to {:.0} h, for which a failure is followed",
            hours(HORIZON_MS)
        ))),
        Err(error) => Err(Failure::BadInput(format!(
            "{option} {text}: {error}; expected a length of time such as \"8 h\" or \"2 d\""
        ))),
    }
}

fn house_c(text: &str) -> Result<f64, Failure> {
    let house_c = quantity("--house-falls-to", Kind::Temperature, text)?;
    if HOUSES_C.contains(&house_c) {
        Ok(house_c)
    } else {
        Err(Failure::BadInput(format!(
            "--house-falls-to {text}: expected {:.0} to {:.0} °C",
            HOUSES_C.start(),
            HOUSES_C.end()
        )))
    }
}

fn reserve_frac(text: &str) -> Result<f64, Failure> {
    let frac = quantity("--reserve", Kind::Share, text)?;
    if RESERVES_FRAC.contains(&frac) {
        Ok(frac)
    } else {
        Err(Failure::BadInput(format!(
            "--reserve {text}: expected 0 % to 100 %"
        )))
    }
}
