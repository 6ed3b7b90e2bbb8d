//! From the tree of a scenario file to a checked scenario: one file per section.

mod act;
mod assumed;
mod building;
mod calendar;
mod chiller;
mod contact;
mod cost;
mod equipment;
mod fitted;
mod happening;
mod heater;
pub(crate) mod life;
mod livestock;
mod make_up;
mod oxygen;
mod person;
mod probe;
mod room;
mod size;
mod sun;
mod supply;
mod tank;
mod unused;
mod verdict_room;
mod watch;
mod water;
mod weather;

pub use act::USUAL_WRAP_M2_K_PER_W;
pub(crate) use act::kind as act_kind;
pub(crate) use happening::ONE_SAMPLE_MS;
pub use happening::described;
pub use heater::usual_body;
pub use tank::USUAL_LID;
use tepid_sim::scenario::{CalendarDate, FaultCase, FaultSet, Scenario};

use crate::copies::Copies;
use crate::fields::Of;
use crate::fields::scenario::SCENARIO;
use crate::names::{Names, report_twice};
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// The names that fields may refer to.
pub(crate) struct Index {
    pub tanks: Names,
    pub pumps: Names,
    pub heaters: Names,
    pub fans: Names,
    pub chillers: Names,
    pub lights: Names,
    pub contacts: Names,
    pub boxes: Names,
    pub probes: Names,
    pub circuits: Names,
    pub backups: Names,
    pub persons: Names,
}

/// What was assumed for want of a statement.
pub(crate) type Assumptions = Vec<String>;

/// The tables that the equipment was read from.
struct EquipmentTables<'a> {
    tanks: &'a [&'a Table],
    pumps: &'a [&'a Table],
    heaters: &'a [&'a Table],
    fans: &'a [&'a Table],
    lights: &'a [&'a Table],
    contacts: &'a [&'a Table],
    probes: &'a [&'a Table],
}

/// What a tree says about itself, beside its fields.
#[derive(Debug, Clone)]
pub(crate) struct Titles {
    pub name: String,
    pub teaches: String,
}

/// Builds a scenario from a tree; every mistake is in `problems`.
pub(crate) fn scenario(root: &Table, titles: &Titles, problems: &Problems) -> Result<Scenario, Reported> {
    let copies = Copies::of(root);
    let read = written_out(&copies.written_out(), titles, problems);
    copies.tell_once(problems);
    read
}

/// Builds a scenario from a tree with all copies written out.
fn written_out(root: &Table, titles: &Titles, problems: &Problems) -> Result<Scenario, Reported> {
    let reader = Reader::open(root, &SCENARIO, problems);
    let (tank_tables, tanks_whole) = reader.tables("tank");
    let (flow_tables, flows_whole) = reader.tables("flow");
    let (pump_tables, pumps_whole) = reader.tables("pump");
    let (heater_tables, heaters_whole) = reader.tables("heater");
    let (fan_tables, fans_whole) = reader.tables("fan");
    let (chiller_tables, chillers_whole) = reader.tables("chiller");
    let (light_tables, lights_whole) = reader.tables("light");
    let (air_pump_tables, air_pumps_whole) = reader.tables("air_pump");
    let (sun_tables, suns_whole) = reader.tables("sun");
    let (contact_tables, contacts_whole) = reader.tables("contact");
    let (circuit_tables, circuits_whole) = reader.tables("circuit");
    let (backup_tables, backups_whole) = reader.tables("backup");
    let (probe_tables, probes_whole) = reader.tables("probe");
    let (event_tables, events_whole) = reader.tables("event");
    let (fault_tables, faults_whole) = reader.tables("fault");
    let (watch_tables, watches_whole) = reader.tables("watch");
    let (person_tables, persons_whole) = reader.tables("person");
    let (life_tables, lives_whole) = reader.tables("life");
    let index = Index {
        tanks: Names::gather(Of::Tank, &tank_tables, problems),
        pumps: Names::gather(Of::Pump, &pump_tables, problems),
        heaters: Names::gather(Of::Heater, &heater_tables, problems),
        fans: Names::gather(Of::Fan, &fan_tables, problems),
        chillers: Names::gather(Of::Chiller, &chiller_tables, problems),
        lights: Names::gather(Of::Light, &light_tables, problems),
        contacts: Names::gather(Of::Contact, &contact_tables, problems),
        boxes: Names::of_boxes(&contact_tables),
        probes: Names::gather(Of::Probe, &probe_tables, problems),
        circuits: Names::gather(Of::Circuit, &circuit_tables, problems),
        backups: Names::gather(Of::Backup, &backup_tables, problems),
        persons: Names::gather(Of::Person, &person_tables, problems),
    };
    report_twice("air pump", &air_pump_tables, problems);
    report_twice("sun", &sun_tables, problems);
    report_twice("flow", &flow_tables, problems);
    report_twice("event", &event_tables, problems);
    report_twice("watch", &watch_tables, problems);

    let mut assumptions = Assumptions::new();
    let title = reader.text("title");
    let duration = reader.millis("duration");
    let warm_up = reader.millis("warm_up");
    let start_date = start_date(&reader);
    let name = reader.optional_text("name");
    let teaches = reader.optional_text("teaches");
    let water = water::read(&reader, problems, &mut assumptions);
    let tariff = cost::read(&reader, problems);
    let fitted = fitted::read(&reader, problems, &mut assumptions);
    let tanks = tank::read_all(&tank_tables, problems, &mut assumptions);
    if tank_tables.is_empty() && tanks_whole.is_ok() {
        reader.missing("tank");
    }
    let flows = equipment::flows(&flow_tables, &index, problems);
    let pumps = equipment::pumps(
        &pump_tables,
        &flow_tables,
        &index,
        tanks.as_deref().ok(),
        problems,
    );
    let pumped = equipment::Pumped {
        index: &index,
        flows: flows.as_deref().ok(),
        pumps: pumps.as_deref().ok(),
    };
    let heaters = heater::read_all(&heater_tables, &pumped, tanks.as_deref().ok(), problems);
    let chillers = chiller::read_all(&chiller_tables, &pumped, problems);
    let fans = equipment::fans(&fan_tables, &tank_tables, &index, tanks.as_deref().ok(), problems);
    let lights = equipment::lights(&light_tables, &index, problems);
    let air_pumps = oxygen::air_pumps(&air_pump_tables, &index, problems, &mut assumptions);
    let suns = sun::read_all(&sun_tables, &index, problems);
    let cooler_tables = [&fan_tables[..], &chiller_tables[..]].concat();
    let chains = contact::Chains {
        heaters: &heater_tables,
        coolers: &cooler_tables,
        building: root.table("room").and_then(|room| room.table("building")),
    };
    let contacts = contact::contacts(&contact_tables, &chains, &index, problems);
    let loads = supply::Loads::gather(&[
        ("heater", &heater_tables),
        ("pump", &pump_tables),
        ("fan", &fan_tables),
        ("chiller", &chiller_tables),
        ("light", &light_tables),
        ("air pump", &air_pump_tables),
    ]);
    let circuits = supply::circuits(&circuit_tables, &loads, problems);
    let backups = supply::backups(&backup_tables, &loads, problems);
    let probes = probe::read_all(&probe_tables, &index, problems);
    let run = room::Run {
        duration_ms: *duration.as_ref().unwrap_or(&0),
        warm_up_ms: *warm_up.as_ref().unwrap_or(&0),
        start_date: start_date.unwrap_or(None),
    };
    let room = room::read(&reader, &run, &index, problems, &mut assumptions);
    weather::check_suns(&sun_tables, suns.as_deref().ok(), room.as_ref().ok(), problems);
    let livestock = livestock::read(&reader, water.as_ref().ok(), problems, &mut assumptions);
    let top_off = make_up::top_off(
        &reader,
        flows.as_deref().ok(),
        tanks.as_deref().ok(),
        water.as_ref().ok(),
        &index,
        problems,
        &mut assumptions,
    );
    let automatic_change = make_up::automatic_change(&reader, water.as_ref().ok(), &index, problems);
    let persons = person::read_all(
        &person_tables,
        &watch_tables,
        start_date,
        problems,
        &mut assumptions,
    );
    let watches = match &persons {
        Ok(persons) => watch::read_all(
            &watch_tables,
            &watch::Watched {
                index: &index,
                persons,
                heaters: heaters.as_deref().ok(),
                contacts: contacts.as_deref().ok(),
                tanks: tanks.as_deref().ok(),
                backups: backups.as_deref().ok(),
                room_answers: room.as_ref().is_ok_and(|room| room.lumped.is_some()),
                problems,
            },
        ),
        Err(reported) => Err(*reported),
    };
    let lives = life::rows(&life_tables, problems);
    let around = happening::Around {
        index: &index,
        tanks: tanks.as_deref().ok(),
        water: water.as_ref().ok(),
        room: room.as_ref().ok(),
        start_date,
        topped_off: !matches!(top_off, Ok(None)),
        flow_tables: &flow_tables,
        contact_tables: &contact_tables,
        problems,
    };
    let events = happening::events(&event_tables, &around);
    let faults = happening::faults(&fault_tables, &around);
    water::check_agitation(&tank_tables, water.as_ref().ok(), problems);
    tank::check_livestock(&tank_tables, tanks.as_deref().ok(), problems);
    if let Ok(room) = &room
        && room.temperature.season_swing_k > 0.0
        && !reader.given("start_date")
    {
        let problem = Problem::new(
            "no-start-date",
            reader.place_of("room"),
            "`season_swing` needs `start_date`",
        )
        .label("a season, but no calendar")
        .fix("start_date = \"2025-01-06\"");
        problems.add(problem);
    }
    for whole in [
        tanks_whole,
        flows_whole,
        pumps_whole,
        heaters_whole,
        fans_whole,
        chillers_whole,
        lights_whole,
        air_pumps_whole,
        suns_whole,
        contacts_whole,
        circuits_whole,
        backups_whole,
        probes_whole,
        events_whole,
        faults_whole,
        watches_whole,
        persons_whole,
        lives_whole,
    ] {
        whole?;
    }
    if !problems.is_empty() {
        return Err(Reported);
    }
    let (mut happenings, mut fault_sets) = (events?, Vec::<FaultSet>::new());
    for fault in faults? {
        match fault.set {
            None => happenings.extend(fault.cases),
            Some(set) => match fault_sets.iter_mut().find(|known| known.name == set) {
                Some(known) => known.cases.extend(fault.cases.into_iter().map(FaultCase::from)),
                None => fault_sets.push(FaultSet {
                    name: set,
                    cases: fault.cases.into_iter().map(FaultCase::from).collect(),
                }),
            },
        }
    }
    let fitted = fitted?;
    let mut scenario = Scenario {
        name: name?.unwrap_or_else(|| titles.name.clone()),
        title: title?,
        teaches: teaches?.unwrap_or_else(|| titles.teaches.clone()),
        duration_ms: duration?,
        warm_up_ms: warm_up?,
        start_date: start_date?,
        start_c: None,
        water: water?,
        livestock: livestock?,
        tanks: tanks?,
        flows: flows?,
        room: fitted::moved(room?, &fitted),
        pumps: pumps?,
        heaters: heaters?,
        fans: fans?,
        lights: lights?,
        chillers: chillers?,
        air_pumps: air_pumps?,
        suns: suns?,
        automatic_change: automatic_change?,
        top_off: top_off?,
        contacts: contacts?,
        boxes: index.boxes.known().map(str::to_owned).collect(),
        probes: probes?,
        circuits: circuits?,
        backups: backups?,
        happenings,
        fault_sets,
        watches: watches?,
        persons: persons?.list,
        lives: Vec::new(),
        fitted,
        tariff: tariff?,
        assumptions,
    };
    let tables = EquipmentTables {
        tanks: &tank_tables,
        pumps: &pump_tables,
        heaters: &heater_tables,
        fans: &fan_tables,
        lights: &light_tables,
        contacts: &contact_tables,
        probes: &probe_tables,
    };
    scenario.lives = crate::lives::of_file(&lives?, &scenario, problems)?;
    size::check(root, &scenario, &tables, problems)?;
    let mut assumptions = std::mem::take(&mut scenario.assumptions);
    assumed::tell(root, &tables, &scenario, &mut assumptions);
    unused::tell(root, &tables, &scenario, &mut assumptions);
    scenario.assumptions = assumptions;
    Ok(scenario)
}

fn start_date(reader: &Reader<'_>) -> Result<Option<CalendarDate>, Reported> {
    let Some(node) = reader.node("start_date") else {
        return Ok(None);
    };
    let (Value::Date(text) | Value::Text { text, .. }) = &node.value else {
        return Err(reader.wrong("start_date", node));
    };
    match calendar::date(text) {
        Some(date) => Ok(Some(date)),
        None => {
            let problem = Problem::new(
                "not-a-date",
                &node.place,
                format!("`{text}` is not a day of the calendar"),
            )
            .found(text.clone())
            .expected("a date such as \"2025-01-06\" (year-month-day)")
            .fix("start_date = \"2025-01-06\"");
            Err(reader.report(problem))
        }
    }
}

/// The position of the only thing in a list; otherwise the field must say which.
pub(crate) fn the_only(names: &Names) -> Option<usize> {
    (names.len() == 1).then_some(0)
}

/// The items of a list node.
pub(crate) fn items(node: &Node) -> Option<&[Node]> {
    match &node.value {
        Value::List(items) => Some(items),
        _ => None,
    }
}
