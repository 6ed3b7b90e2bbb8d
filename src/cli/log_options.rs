//! How a log is to be read.

use clap::ValueEnum;
use tepid_scenarios::log_file::{DateOrder, LogColumn, LogOptions};
use tepid_scenarios::nearest;

use super::exit::Failure;

/// Options of subcommands that read a log.
#[derive(Debug, Default, clap::Args)]
pub struct LogArguments {
    /// Which column of the log is what, where its name does not say it: `--column water='Probe 1'`. What: time, date, water, room, heater, humidity, event.
    #[arg(long, value_name = "WHAT=NAME")]
    column: Vec<String>,
    /// Unit of a column that states none: `--unit water='°C'`, `--unit heater=W`, `--unit time=min` for time since the start.
    #[arg(long, value_name = "WHAT=UNIT")]
    unit: Vec<String>,
    /// Time zone of the log's clock, such as Europe/Berlin: needed where summer time began or ended on the way.
    #[arg(long, value_name = "ZONE")]
    time_zone: Option<String>,
    /// Which comes first in dates such as 03/04/2026.
    #[arg(long, value_enum)]
    date_order: Option<Order>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Order {
    /// 31/12/2026.
    DayFirst,
    /// 12/31/2026.
    MonthFirst,
}

impl LogArguments {
    /// Refuses them where no log is read.
    pub fn none_without(&self, log: &str) -> Result<(), Failure> {
        let given = [
            ("--column", !self.column.is_empty()),
            ("--unit", !self.unit.is_empty()),
            ("--time-zone", self.time_zone.is_some()),
            ("--date-order", self.date_order.is_some()),
        ];
        match given.into_iter().find(|(_, given)| *given) {
            Some((option, _)) => Err(Failure::BadInput(format!(
                "{option} says how a log is read, and there is none: it goes with {log}"
            ))),
            None => Ok(()),
        }
    }

    /// Checked.
    pub fn options(&self) -> Result<LogOptions, Failure> {
        Ok(LogOptions {
            columns: pairs("--column", &self.column)?,
            units: pairs("--unit", &self.unit)?,
            time_zone: self.time_zone.clone(),
            date_order: self.date_order.map(|order| match order {
                Order::DayFirst => DateOrder::DayFirst,
                Order::MonthFirst => DateOrder::MonthFirst,
            }),
        })
    }
}

fn pairs(option: &str, texts: &[String]) -> Result<Vec<(LogColumn, String)>, Failure> {
    let pair = |text: &String| {
        let (what, value) = text.split_once('=').ok_or_else(|| {
            Failure::BadInput(format!(
                "`{option} {text}` has no `=`; expected for example {option} water=…"
            ))
        })?;
        let words = || LogColumn::ALL.into_iter().map(LogColumn::word);
        let known = LogColumn::ALL
            .into_iter()
            .find(|column| column.word() == what.trim());
        let column = known.ok_or_else(|| {
            let near = nearest(what.trim(), words())
                .map_or_else(String::new, |near| format!(", did you mean `{near}`?"));
            Failure::BadInput(format!(
                "`{option} {text}`: a log has no `{what}`{near}; expected one of {}",
                words().collect::<Vec<_>>().join(", ")
            ))
        })?;
        Ok((column, value.trim().to_owned()))
    };
    texts.iter().map(pair).collect()
}
