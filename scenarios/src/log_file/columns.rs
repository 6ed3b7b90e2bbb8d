//! Which column holds what, in which unit.

use tepid_sim::quantity::{Kind, Unit};
use tepid_sim::time::Millis;

use super::{HeaterLog, LeftOut, LogColumn, LogOptions, LogRow, cell};
use crate::mistakes::shortened;
use crate::nearest::nearest;
use crate::problem::{Problem, Problems, Reported};
use crate::weather_file::row::Line;

/// A column and its unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measured {
    pub column: usize,
    /// `None`: cells state it.
    pub unit: Option<Unit>,
}

/// Where the columns are.
#[derive(Debug)]
pub(super) struct Columns {
    /// How many the first line names.
    count: usize,
    pub time: usize,
    pub date: Option<usize>,
    /// The stamps are times since the start, in this unit.
    pub since_start: Option<Unit>,
    water: Measured,
    room: Option<Measured>,
    humidity: Option<Measured>,
    heater: Option<Measured>,
    event: Option<usize>,
    /// What the heater's column holds.
    pub heater_log: Option<HeaterLog>,
    pub assumptions: Vec<String>,
}

/// Names by which a column is known, the plainest first.
fn names(of: LogColumn) -> &'static [&'static str] {
    match of {
        LogColumn::Time => &["time", "timestamp", "datetime", "date time", "date/time", "when"],
        LogColumn::Date => &["date", "day"],
        LogColumn::Water => &[
            "water",
            "water temperature",
            "water temp",
            "tank",
            "tank temperature",
            "tank temp",
            "temperature",
            "temp",
        ],
        LogColumn::Room => &[
            "room",
            "room temperature",
            "room temp",
            "air",
            "air temperature",
            "ambient",
            "ambient temperature",
        ],
        LogColumn::Heater => &[
            "heater",
            "heaters",
            "heating",
            "heater power",
            "heater state",
            "relay",
            "power",
        ],
        LogColumn::Humidity => &["humidity", "relative humidity", "room humidity", "rh"],
        LogColumn::Event => &["event", "events"],
    }
}

fn kind(of: LogColumn) -> Option<Kind> {
    match of {
        LogColumn::Water | LogColumn::Room => Some(Kind::Temperature),
        LogColumn::Heater => Some(Kind::Power),
        LogColumn::Humidity => Some(Kind::Share),
        LogColumn::Time => Some(Kind::Time),
        LogColumn::Date | LogColumn::Event => None,
    }
}

impl Columns {
    pub fn of(header: &Line<'_>, options: &LogOptions, problems: &Problems) -> Result<Self, Reported> {
        let found = |of| found(header, of, options, problems);
        let (time, date) = (found(LogColumn::Time)?, found(LogColumn::Date)?);
        let (water, room) = (found(LogColumn::Water)?, found(LogColumn::Room)?);
        let (heater, humidity) = (found(LogColumn::Heater)?, found(LogColumn::Humidity)?);
        let event = found(LogColumn::Event)?;
        // A date with its time of day in one cell is a stamp.
        let (time, date) = match (time, date) {
            (None, Some(date)) => (Some(date), None),
            both => both,
        };
        let (Some(time), Some(water)) = (time, water) else {
            let (what, fix) = if time.is_none() {
                ("the time", "time")
            } else {
                ("the temperature of the water", "water [°C]")
            };
            return Err(problems.add(
                Problem::new(
                    "log-column",
                    &header.place(),
                    format!("no column is known to hold {what}"),
                )
                .label("the names of the columns")
                .nearest((0..header.len()).find_map(|column| {
                    let of = if time.is_none() {
                        LogColumn::Time
                    } else {
                        LogColumn::Water
                    };
                    nearest(&name_and_unit(header.text(column)).0, names(of).iter().copied())
                }))
                .expected(format!(
                    "a column such as `{fix}`, or --column {}=NAME with its name here",
                    if fix == "time" { "time" } else { "water" }
                )),
            ));
        };
        let unit = |column: usize, of| unit(header, column, of, options, problems);
        let since_start = unit(time, LogColumn::Time)?;
        let measured = |column: Option<usize>, of| {
            column
                .map(|column| {
                    Ok(Measured {
                        column,
                        unit: unit(column, of)?,
                    })
                })
                .transpose()
        };
        let mut columns = Self {
            count: header.len(),
            time,
            date,
            since_start,
            water: Measured {
                column: water,
                unit: unit(water, LogColumn::Water)?,
            },
            room: measured(room, LogColumn::Room)?,
            humidity: measured(humidity, LogColumn::Humidity)?,
            heater: None,
            event,
            heater_log: None,
            assumptions: Vec::new(),
        };
        if let Some(column) = heater {
            // A heater's unit may be a share of its power as well.
            let written = stated(header, column, LogColumn::Heater, options);
            let share = written.as_deref().and_then(|unit| known_unit(Kind::Share, unit));
            columns.heater_log = share.map(|_| HeaterLog::Share);
            let unit = match share {
                Some(unit) => Some(unit),
                None => unit(column, LogColumn::Heater)?,
            };
            if share.is_none() && unit.is_some() {
                columns.heater_log = Some(HeaterLog::Watts);
            }
            columns.heater = Some(Measured { column, unit });
        }
        Ok(columns)
    }

    /// Whether the unit of the water stands neither in its column's name nor in an option.
    pub fn water_has_no_unit(&self) -> bool {
        self.water.unit.is_none()
    }

    /// Every column of quantities needs a unit, told once; a heater's without one holds states. A column that was told is not read further.
    pub fn settle_units(&mut self, body: &[Line<'_>], problems: &Problems) -> Result<(), Reported> {
        let measured = [
            (Some(self.water), LogColumn::Water),
            (self.room, LogColumn::Room),
            (self.humidity, LogColumn::Humidity),
        ];
        let mut all_told = Ok(());
        for (measured, of) in measured {
            let Some(Measured { column, unit: None }) = measured else {
                continue;
            };
            let bare = body.iter().find(|line| cell::number(line.text(column)).is_some());
            if let Some(line) = bare {
                all_told = Err(cell::no_unit(line, column, of, problems));
                match of {
                    LogColumn::Room => self.room = None,
                    LogColumn::Humidity => self.humidity = None,
                    _ => {}
                }
            }
        }
        let heater = self.settle_heater(body, problems);
        if heater.is_err() {
            self.heater = None;
        }
        all_told.and(heater)
    }

    fn settle_heater(&mut self, body: &[Line<'_>], problems: &Problems) -> Result<(), Reported> {
        let (Some(heater), None) = (self.heater, self.heater_log) else {
            return Ok(());
        };
        let odd = body.iter().find(|line| {
            cell::state(line.text(heater.column)).is_none() && !cell::is_missing(line.text(heater.column))
        });
        if let Some(line) = odd {
            let found = line.text(heater.column);
            let message = format!(
                "`{}` is no state of a heater, and its column states no unit",
                shortened(found)
            );
            return Err(problems.add(
                Problem::new("log-unit", &line.place_of(heater.column), message)
                    .label("on or off, or which unit?")
                    .found(shortened(found))
                    .expected(
                        "on/off or 1/0 in all rows, or a unit: `heater [W]` or `heater [%]` as the column's name, or --unit heater=W",
                    ),
            ));
        }
        self.heater_log = Some(HeaterLog::States);
        Ok(())
    }

    /// One row.
    pub fn row(
        &self,
        line: &Line<'_>,
        number: usize,
        at_ms: Millis,
        left_out: &mut LeftOut,
        problems: &Problems,
    ) -> Result<LogRow, Reported> {
        if let Some(beyond) = (self.count..line.len()).find(|cell| !line.text(*cell).is_empty()) {
            return Err(problems.add(
                Problem::new(
                    "log-row",
                    &line.place_of(beyond),
                    format!("a cell too many: the first line names {} columns", self.count),
                )
                .label("belongs to no column")
                .expected(
                    "as many cells as names; with decimal commas, semicolons or tabs between the cells",
                ),
            ));
        }
        let failed = left_out.failed;
        if line.text(self.water.column).is_empty() {
            left_out.blank += 1;
            left_out.first_line.get_or_insert(number);
        }
        let water = cell::measured(line, self.water, LogColumn::Water, left_out, problems);
        if left_out.failed > failed {
            left_out.first_line.get_or_insert(number);
        }
        let mut other = |measured: Option<Measured>, of| {
            measured
                .map(|measured| cell::measured(line, measured, of, left_out, problems))
                .transpose()
                .map(Option::flatten)
        };
        let room = other(self.room, LogColumn::Room);
        let humidity = other(self.humidity, LogColumn::Humidity);
        let heater = match (self.heater, self.heater_log) {
            (Some(heater), Some(HeaterLog::States)) => {
                let text = line.text(heater.column);
                let state = cell::state(text).map(f64::from);
                left_out.failed += usize::from(state.is_none() && !text.is_empty());
                Ok(state)
            }
            (heater, _) => other(heater, LogColumn::Heater),
        };
        let event = self.event.map(|column| line.text(column).to_owned());
        Ok(LogRow {
            line: number,
            at_ms,
            water_c: water?,
            room_c: room?,
            humidity_frac: humidity?,
            heater: heater?,
            event: event.filter(|event| !cell::is_missing(event)),
        })
    }
}

/// The column that holds something, by the options or by its name.
fn found(
    header: &Line<'_>,
    of: LogColumn,
    options: &LogOptions,
    problems: &Problems,
) -> Result<Option<usize>, Reported> {
    let all = || (0..header.len()).map(|column| (column, header.text(column)));
    if let Some((_, wanted)) = options.columns.iter().find(|(known, _)| *known == of) {
        let named =
            all().find(|(_, name)| name == wanted || name_and_unit(name).0 == name_and_unit(wanted).0);
        return match named {
            Some((column, _)) => Ok(Some(column)),
            None => {
                let message = format!("no column is called `{}`", shortened(wanted));
                let names: Vec<&str> = all().map(|(_, name)| name).collect();
                Err(problems.add(
                    Problem::new("log-column", &header.place(), message)
                        .label("the names of the columns")
                        .nearest(nearest(wanted, names.iter().copied()))
                        .expected(format!("one of {}", names.join(", "))),
                ))
            }
        };
    }
    let taken = |name: &str| options.columns.iter().any(|(_, other)| other == name);
    for known in names(of) {
        let mut named = all().filter(|(_, name)| name_and_unit(name).0 == *known && !taken(name));
        match (named.next(), named.next()) {
            (Some((column, _)), None) => return Ok(Some(column)),
            (Some((_, first)), Some((second, _))) => {
                let message = format!("two columns may be the {}", of.word());
                return Err(problems.add(
                    Problem::new("log-column", &header.place_of(second), message)
                        .label("which one?")
                        .fix(format!("--column {}='{first}'", of.word())),
                ));
            }
            _ => {}
        }
    }
    Ok(None)
}

/// The unit of a column; `None` where its name states none (then every cell must).
fn unit(
    header: &Line<'_>,
    column: usize,
    of: LogColumn,
    options: &LogOptions,
    problems: &Problems,
) -> Result<Option<Unit>, Reported> {
    let (Some(kind), Some(written)) = (kind(of), stated(header, column, of, options)) else {
        return Ok(None);
    };
    if let Some(unit) = known_unit(kind, &written) {
        return Ok(Some(unit));
    }
    let units: Vec<&str> = kind.units().iter().map(|unit| unit.name).collect();
    let message = format!("`{}` is no unit of {}", shortened(&written), kind.words());
    Err(problems.add(
        Problem::new("log-unit", &header.place_of(column), message)
            .label("which unit?")
            .found(shortened(&written))
            .expected(format!(
                "one of {}, in the column's name or by --unit {}=UNIT",
                units.join(", "),
                of.word()
            )),
    ))
}

/// The unit that an option or the column's name states.
fn stated(header: &Line<'_>, column: usize, of: LogColumn, options: &LogOptions) -> Option<String> {
    let by_option = options.units.iter().find(|(known, _)| *known == of);
    by_option
        .map(|(_, unit)| unit.clone())
        .or_else(|| name_and_unit(header.text(column)).1)
}

fn known_unit(kind: Kind, written: &str) -> Option<Unit> {
    let written = written.trim().to_lowercase();
    let mut known = kind.units().iter().copied();
    known.find(|unit| {
        unit.spellings()
            .any(|spelling| spelling.to_lowercase() == written)
    })
}

/// "room temp" and "c" of "Room temp [C]", "water" and "c" of "water_c".
fn name_and_unit(header: &str) -> (String, Option<String>) {
    let lower = header.trim().to_lowercase();
    let (name, unit) = match lower.split_once(['[', '(']) {
        Some((name, unit)) => (
            name.to_owned(),
            Some(unit.trim_end_matches([']', ')']).trim().to_owned()),
        ),
        None => match lower
            .rsplit_once(['_', ' '])
            .filter(|(_, last)| is_some_unit(last))
        {
            Some((name, unit)) => (name.to_owned(), Some(unit.to_owned())),
            None => (lower.clone(), None),
        },
    };
    let plain: Vec<&str> = name
        .split(['_', '-', ' '])
        .filter(|part| !part.is_empty())
        .collect();
    (plain.join(" "), unit.filter(|unit| !unit.is_empty()))
}

fn is_some_unit(text: &str) -> bool {
    [Kind::Temperature, Kind::Power, Kind::Share, Kind::Time]
        .into_iter()
        .any(|kind| known_unit(kind, text).is_some())
}
