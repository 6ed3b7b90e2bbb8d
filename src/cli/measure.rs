//! `tepid measure`.

use super::Done;
use super::exit::{Failure, print};
use super::shared::{Shown, json, quantity};
use tepid::measure::{
    Capacity, Cooling, Duty, Heating, HeatingFor, Known, Lift, Looked, MeasureError, Reading, cooling, duty,
    guide, heating, lift,
};
use tepid_output::records::Measurement;
use tepid_output::wording::wrapped;
use tepid_output::{csv_text, table};
use tepid_sim::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};
use tepid_sim::quantity::{Kind, parse_millis};
use tepid_sim::time::hours;

use super::shared::Format;

/// Litres in a cubic metre, L/m³. Exact.
const L_PER_M3: f64 = 1000.0;

/// Arguments of `measure`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    test: Option<Test>,
}

#[derive(Debug, clap::Subcommand)]
enum Test {
    /// W/K from water that cools with the heaters off.
    Cooling(CoolingArguments),
    /// The heater's real power, or the heat capacity, from water that warms with the heater on without a break.
    Heating(HeatingArguments),
    /// W/K from the share of the time that the heater is on, or the share from W/K; and how long to watch.
    Duty(DutyArguments),
    /// W/K from how far pumps alone keep the water above the room.
    Lift(LiftArguments),
}

/// Readings and what stands around them.
#[derive(Debug, clap::Args)]
struct Readings {
    /// Readings of the water in order of time, such as '0 h = 27.0 °C' '2 h 30 min = 26.1 °C'.
    #[arg(value_name = "TIME = TEMPERATURE", required = true)]
    readings: Vec<String>,
    /// The room's temperature during the test.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    room: String,
    /// Heat of pumps and lamps that run on.
    #[arg(long, value_name = "POWER", allow_hyphen_values = true, default_value = "0 W")]
    running: String,
    /// Step of the thermometer's display.
    #[arg(
        long,
        value_name = "DIFFERENCE",
        allow_hyphen_values = true,
        default_value = "0.1 K"
    )]
    step: String,
}

#[derive(Debug, clap::Args)]
struct Water {
    /// Volume of the water itself, without rock and the space above it.
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    volume: Option<String>,
    /// Salinity of the water.
    #[arg(
        long,
        value_name = "SALINITY",
        allow_hyphen_values = true,
        default_value = "0 g/kg"
    )]
    salinity: String,
    /// Heat capacity of water, panes and rock in place of --volume, such as '800 kJ/K'; `tepid budget` has it.
    #[arg(
        long,
        value_name = "CAPACITY",
        allow_hyphen_values = true,
        conflicts_with = "volume"
    )]
    heat_capacity: Option<String>,
}

#[derive(Debug, clap::Args)]
struct CoolingArguments {
    #[command(flatten)]
    readings: Readings,
    #[command(flatten)]
    water: Water,
    #[command(flatten)]
    shown: Shown,
}

#[derive(Debug, clap::Args)]
struct HeatingArguments {
    #[command(flatten)]
    readings: Readings,
    #[command(flatten)]
    water: Water,
    /// What the heaters give, where the heat capacity is asked for.
    #[arg(long, value_name = "POWER", allow_hyphen_values = true, conflicts_with_all = ["volume", "heat_capacity"])]
    power: Option<String>,
    /// Heat lost for each degree above the room, from another test.
    #[arg(long, value_name = "CONDUCTANCE", allow_hyphen_values = true)]
    loss: String,
    #[command(flatten)]
    shown: Shown,
}

#[derive(Debug, clap::Args)]
struct DutyArguments {
    /// Power of the heater.
    #[arg(long, value_name = "POWER", allow_hyphen_values = true)]
    power: String,
    /// Water above the room in the mean.
    #[arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true)]
    lift: String,
    /// Share of the time that it was on.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true, conflicts_with_all = ["loss", "looks"])]
    share: Option<String>,
    /// How long it was watched without a break.
    #[arg(long, value_name = "TIME", allow_hyphen_values = true, requires = "share")]
    watched: Option<String>,
    /// Looks at random times.
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true, requires = "on", conflicts_with = "loss", value_parser = clap::value_parser!(u64).range(1..))]
    looks: Option<u64>,
    /// At how many of them it was on.
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true, requires = "looks")]
    on: Option<u64>,
    /// Heat lost for each degree above the room: the share is told.
    #[arg(long, value_name = "CONDUCTANCE", allow_hyphen_values = true)]
    loss: Option<String>,
    /// From one switching on to the next.
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    cycle: Option<String>,
    /// Heat of pumps and lamps; without it W/K is net of it.
    #[arg(long, value_name = "POWER", allow_hyphen_values = true, default_value = "0 W")]
    running: String,
    /// How sure the share shall be, either way.
    #[arg(
        long,
        value_name = "POINTS",
        allow_hyphen_values = true,
        default_value = "2 points"
    )]
    within: String,
    #[command(flatten)]
    shown: Shown,
}

#[derive(Debug, clap::Args)]
struct LiftArguments {
    /// Heat that pumps give the water.
    #[arg(long, value_name = "POWER", allow_hyphen_values = true)]
    running: String,
    /// Water above the room once it settled.
    #[arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true)]
    lift: String,
    /// Step of the thermometers' displays.
    #[arg(
        long,
        value_name = "DIFFERENCE",
        allow_hyphen_values = true,
        default_value = "0.1 K"
    )]
    step: String,
    #[command(flatten)]
    shown: Shown,
}

/// Evaluates and shows.
pub fn run(arguments: &Arguments) -> Done {
    match &arguments.test {
        None => {
            let (text, cautions) = guide();
            let mut told = format!("{text}\nCautions\n");
            for one in cautions {
                told += &wrapped("- ", &one.marked(), table::WIDTH);
            }
            print(&(told + tepid_output::cautions::WHAT_THE_MARK_MEANS + "\n"))
        }
        Some(Test::Cooling(arguments)) => {
            let around = &arguments.readings;
            let readings = readings(&around.readings)?;
            let capacity = capacity(&arguments.water, &readings)?.ok_or_else(|| {
                Failure::BadInput(
                    "the heat that the water holds is needed: --volume '180 L' or --heat-capacity '800 kJ/K'"
                        .to_owned(),
                )
            })?;
            let test = Cooling {
                readings,
                room_c: quantity("--room", Kind::Temperature, &around.room)?,
                capacity,
                running_w: not_negative("--running", Kind::Power, &around.running)?,
                step_k: positive("--step", Kind::TemperatureDifference, &around.step)?,
            };
            show(cooling(&test), &arguments.shown)
        }
        Some(Test::Heating(arguments)) => {
            let around = &arguments.readings;
            let readings = readings(&around.readings)?;
            let wanted = match (&arguments.power, capacity(&arguments.water, &readings)?) {
                (Some(power), _) => HeatingFor::Capacity(positive("--power", Kind::Power, power)?),
                (None, Some(capacity)) => HeatingFor::Power(capacity),
                (None, None) => {
                    return Err(Failure::BadInput(
                        "either the heat capacity is needed (--volume '180 L') or the heater's power (--power '200 W')"
                            .to_owned(),
                    ));
                }
            };
            let test = Heating {
                readings,
                room_c: quantity("--room", Kind::Temperature, &around.room)?,
                loss_w_per_k: not_negative("--loss", Kind::Conductance, &arguments.loss)?,
                running_w: not_negative("--running", Kind::Power, &around.running)?,
                step_k: positive("--step", Kind::TemperatureDifference, &around.step)?,
                wanted,
            };
            show(heating(&test), &arguments.shown)
        }
        Some(Test::Duty(arguments)) => show(duty(&watched(arguments)?), &arguments.shown),
        Some(Test::Lift(arguments)) => {
            let test = Lift {
                running_w: positive("--running", Kind::Power, &arguments.running)?,
                lift_k: positive("--lift", Kind::TemperatureDifference, &arguments.lift)?,
                step_k: positive("--step", Kind::TemperatureDifference, &arguments.step)?,
            };
            show(lift(&test), &arguments.shown)
        }
    }
}

fn watched(arguments: &DutyArguments) -> Result<Duty, Failure> {
    let time_h =
        |option: &str, text: &String| positive(option, Kind::Time, text).map(|time_s| time_s / 3600.0);
    let share = |text: &String| {
        let share = quantity("--share", Kind::Share, text)?;
        if (0.0..=1.0).contains(&share) {
            Ok(share)
        } else {
            Err(Failure::BadInput(format!(
                "--share {text}: expected 0 % to 100 %"
            )))
        }
    };
    let known = match (
        &arguments.share,
        arguments.looks.zip(arguments.on),
        &arguments.loss,
    ) {
        (Some(text), _, _) => Known::Share(Looked::Throughout {
            share_frac: share(text)?,
            watched_h: arguments
                .watched
                .as_ref()
                .map(|text| time_h("--watched", text))
                .transpose()?,
        }),
        (None, Some((looks, on)), _) if on <= looks => Known::Share(Looked::AtRandom { on, looks }),
        (None, Some((looks, on)), _) => {
            return Err(Failure::BadInput(format!(
                "--on {on}: more than the {looks} looks"
            )));
        }
        (None, None, Some(loss)) => Known::Loss(positive("--loss", Kind::Conductance, loss)?),
        (None, None, None) => {
            return Err(Failure::BadInput(
                "expected --share '31 %', or --on 31 --looks 100, or --loss '20 W/K' to know the share"
                    .to_owned(),
            ));
        }
    };
    Ok(Duty {
        power_w: positive("--power", Kind::Power, &arguments.power)?,
        lift_k: positive("--lift", Kind::TemperatureDifference, &arguments.lift)?,
        running_w: not_negative("--running", Kind::Power, &arguments.running)?,
        known,
        cycle_h: arguments
            .cycle
            .as_ref()
            .map(|text| time_h("--cycle", text))
            .transpose()?,
        within_frac: positive("--within", Kind::SharePoints, &arguments.within)?,
    })
}

fn show(measured: Result<Measurement, MeasureError>, shown: &Shown) -> Done {
    let record = measured.map_err(|error| Failure::BadInput(error.to_string()))?;
    print(&match shown.format {
        Format::Table => table::measurement(&record, shown.units.into()),
        Format::Json => json(&record)?,
        Format::Csv => csv_text::leaves(&record).map_err(|error| Failure::Unfinished(error.to_string()))?,
    })
}

/// "2 h 30 min = 26.1 °C".
fn readings(texts: &[String]) -> Result<Vec<Reading>, Failure> {
    let reading = |text: &String| {
        let (at, water) = text.split_once('=').ok_or_else(|| {
            Failure::BadInput(format!(
                "`{text}` is no reading; expected a time, `=` and a temperature, such as '2 h 30 min = 26.1 °C'"
            ))
        })?;
        let at_ms = parse_millis(at.trim()).map_err(|error| {
            Failure::BadInput(format!(
                "`{text}`: {error}; expected a time such as \"2 h 30 min\""
            ))
        })?;
        Ok(Reading {
            at_h: hours(at_ms),
            water_c: quantity(&format!("`{text}`:"), Kind::Temperature, water.trim())?,
        })
    };
    texts.iter().map(reading).collect()
}

/// What holds the heat, if it was stated; water at the temperature of the first reading.
fn capacity(water: &Water, readings: &[Reading]) -> Result<Option<Capacity>, Failure> {
    if let Some(text) = &water.heat_capacity {
        return Ok(Some(Capacity {
            j_per_k: positive("--heat-capacity", Kind::HeatCapacity, text)?,
            from: "as stated".to_owned(),
        }));
    }
    let Some(text) = &water.volume else {
        return Ok(None);
    };
    let volume_m3 = positive("--volume", Kind::Volume, text)?;
    let salinity = not_negative("--salinity", Kind::Salinity, &water.salinity)?;
    let at_c = readings.first().map_or(25.0, |reading| reading.water_c);
    let j_per_k = volume_m3 * density_kg_per_m3(salinity, at_c) * specific_heat_j_per_kg_k(salinity, at_c);
    Ok(Some(Capacity {
        j_per_k,
        from: format!(
            "{:.0} L of water of {salinity:.0} g/kg; panes and rock, some per cent more, are left out",
            volume_m3 * L_PER_M3
        ),
    }))
}

fn positive(option: &str, kind: Kind, text: &str) -> Result<f64, Failure> {
    let value = quantity(option, kind, text)?;
    if value > 0.0 {
        Ok(value)
    } else {
        Err(Failure::BadInput(format!(
            "{option} {text}: expected more than zero"
        )))
    }
}

fn not_negative(option: &str, kind: Kind, text: &str) -> Result<f64, Failure> {
    let value = quantity(option, kind, text)?;
    if value >= 0.0 {
        Ok(value)
    } else {
        Err(Failure::BadInput(format!(
            "{option} {text}: expected zero or more"
        )))
    }
}
