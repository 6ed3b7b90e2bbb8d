//! The commented file that the answers make. Where a comment does not say why a value was chosen, it is the field's own doc line.

use std::fmt::Write;

use tepid_sim::quantity::{Kind, System, print};

use super::livestock::{Wanted, wanted};
use super::{Answers, Nearby, Size, Switching};
use crate::explain::explain;

/// Column where comments start.
const COMMENT_COLUMN: usize = 58;

/// Where a dial stands that was turned up to its stop, °C. Common practice, no source.
const STOP_C: f64 = 34.0;

/// How far above the target a dial stands behind a relay, K: it feels its own heater too, so less would let it switch before
/// the strategy does. Common practice, no source.
const DIAL_ABOVE_K: f64 = 2.0;

/// Coldest to warmest within a day of the room, K. An assumption, no source.
const ROOM_SWING_K: f64 = 2.0;

pub(super) fn scenario(answers: &Answers) -> String {
    let page = Page {
        text: String::new(),
        units: answers.units,
    };
    let wanted = wanted(answers.animals);
    let page = head(page, answers, &wanted);
    let page = water(page, &wanted);
    let page = tank(page, answers, &wanted);
    let page = room(page, answers);
    let page = equipment(page, answers, &wanted);
    let page = circuit(page, answers, &wanted);
    watches(page, answers, &wanted).text
}

/// The file as far as it is written.
struct Page {
    text: String,
    units: System,
}

impl Page {
    fn header(mut self, header: &str) -> Self {
        self.text.push_str(&format!("\n{header}\n"));
        self
    }

    /// A line of its own comment.
    fn remark(mut self, remark: &str) -> Self {
        self.text.push_str(&format!("# {remark}\n"));
        self
    }

    /// A field with what its table says about it.
    fn field(self, path: &str, value: &str) -> Self {
        let doc = explain(path).map_or_else(String::new, |explanation| explanation.doc);
        self.field_because(path, value, &doc)
    }

    /// A field and why it has that value.
    fn field_because(mut self, path: &str, value: &str, why: &str) -> Self {
        let key = path.rsplit('.').next().unwrap_or(path);
        let written = format!("{key} = {value}");
        // Writing to a string cannot fail.
        let _ = writeln!(self.text, "{written:<width$} # {why}", width = COMMENT_COLUMN - 1);
        self
    }

    fn temp(&self, temp_c: f64) -> String {
        format!("\"{}\"", print(Kind::Temperature, temp_c, self.units))
    }

    fn difference(&self, difference_k: f64) -> String {
        format!(
            "\"{}\"",
            print(Kind::TemperatureDifference, difference_k, self.units)
        )
    }

    fn danger(&self, lines: &[(f64, &str)]) -> String {
        let rows: Vec<String> = lines
            .iter()
            .map(|(temp_c, time)| format!("[{}, \"{time}\"]", self.temp(*temp_c)))
            .collect();
        format!("[{}]", rows.join(", "))
    }
}

fn head(mut page: Page, answers: &Answers, wanted: &Wanted) -> Page {
    let volume = print(Kind::Volume, answers.size.volume_m3(), answers.units);
    let count = match answers.heaters_w.len() {
        1 => "one heater".to_owned(),
        several => format!("{several} heaters"),
    };
    let total = print(Kind::Power, answers.heaters_w.iter().sum(), answers.units);
    let _ = write!(
        page.text,
        "# A tank of {volume} with {}, and {count} of {total} in all: a week in winter.\n\
         # See what each way of switching the heaters costs and risks, with nothing broken and with one thing broken.\n\n\
         # Every quantity carries its unit. What you were not asked is assumed: look it through and put your own in.\n",
        wanted.kind
    );
    if answers.units == System::UsCustomary {
        page.text
            .push_str("# Results are shown in °C and litres unless the command has `--units us`.\n");
    }
    page.field("title", "\"My tank, a week in winter\"")
        .field("duration", "\"7 d\"")
        .field("warm_up", "\"1 d\"")
}

fn water(page: Page, wanted: &Wanted) -> Page {
    let no_source = "common practice, no source: put in what you know better";
    let target = page.temp(wanted.target_c);
    let band = format!(
        "[{}, {}]",
        page.temp(wanted.target_c - wanted.band_k),
        page.temp(wanted.target_c + wanted.band_k)
    );
    let (hot, cold) = (page.danger(&wanted.danger_hot), page.danger(&wanted.danger_cold));
    let fastest = format!(
        "{{ per_hour = {}, per_day = {} }}",
        page.difference(wanted.fastest_k.0),
        page.difference(wanted.fastest_k.1)
    );
    page.header("[water]")
        .field("water.salinity", &format!("\"{}\"", wanted.salinity))
        .field("water.target", &target)
        .field("water.band", &band)
        .header("[livestock]")
        .field("livestock.kind", &format!("\"{}\"", wanted.kind))
        .field("livestock.source", "\"common practice, no source\"")
        .field("livestock.used_to", &target)
        .remark(&format!(
            "The longest time at each temperature, mildest first ({no_source}):"
        ))
        .field("livestock.danger_hot", &hot)
        .field("livestock.danger_cold", &cold)
        .field("livestock.fastest", &fastest)
}

fn tank(page: Page, answers: &Answers, wanted: &Wanted) -> Page {
    let page = page.header("[[tank]]").field("tank.name", "\"tank\"");
    let page = match answers.size {
        Size::Volume(volume_m3) => {
            let volume = format!("\"{}\"", print(Kind::Volume, volume_m3, answers.units));
            page.field_because(
                "tank.volume",
                &volume,
                "usual proportions are assumed; `inside` in its place is surer",
            )
        }
        Size::Inside(sides_m) => {
            let sides = sides_m.map(|side_m| format!("\"{}\"", print(Kind::Length, side_m, answers.units)));
            page.field("tank.inside", &format!("[{}]", sides.join(", ")))
        }
    };
    let rock_kg = wanted.rock_kg_per_m3 * answers.size.volume_m3();
    let rock = format!("\"{}\"", print(Kind::Mass, rock_kg, answers.units));
    page.field("tank.cover", &format!("\"{}\"", answers.cover))
        .field_because("tank.rock", &rock, "rock and sand: assumed")
}

fn room(page: Page, answers: &Answers) -> Page {
    let (coldest, warmest) = (page.temp(answers.room_c.0), page.temp(answers.room_c.1));
    // A day and night of the coldest room: its nights are the year's coldest.
    let swing_k = ROOM_SWING_K.min(answers.room_c.1 - answers.room_c.0);
    let mean = page.temp(answers.room_c.0 + 0.5 * swing_k);
    let temperature = format!(
        "{{ mean = {mean}, swing = {}, warmest = \"16:00\" }}",
        page.difference(swing_k)
    );
    page.header("[room]")
        .field_because(
            "room.temperature",
            &temperature,
            "winter, a little warmer by day than by night (assumed)",
        )
        .field_because(
            "room.humidity",
            "\"45 %\"",
            "assumed; damp air keeps water from cooling itself",
        )
        .field(
            "room.year",
            &format!("{{ coldest = {coldest}, warmest = {warmest} }}"),
        )
}

fn equipment(page: Page, answers: &Answers, wanted: &Wanted) -> Page {
    let volume_m3 = answers.size.volume_m3();
    let lamp = print(
        Kind::Power,
        (wanted.lamp_w_per_m3 * volume_m3).clamp(2.0, 2000.0).round(),
        answers.units,
    );
    let pump = print(
        Kind::Power,
        (50.0 * volume_m3).clamp(2.0, 500.0).round(),
        answers.units,
    );
    let page = page
        .header("[[pump]]")
        .field("pump.name", "\"filter\"")
        .field_because(
            "pump.power",
            &format!("\"{pump}\""),
            "assumed; what pumps draw warms the water",
        )
        .header("[[light]]")
        .field("light.name", "\"lamp\"")
        .field_because("light.power", &format!("\"{lamp}\""), "assumed")
        .field("light.on", "\"10:00\"")
        .field("light.off", "\"20:00\"");
    answers
        .heaters_w
        .iter()
        .enumerate()
        .fold(page, |page, (position, power_w)| {
            let number = numbered(answers, position);
            let power = print(Kind::Power, *power_w, answers.units);
            page.header("[[heater]]")
                .field("heater.name", &format!("\"heater{number}\""))
                .field("heater.power", &format!("\"{power}\""))
                .field("heater.chain", &format!("[\"relay{number}\", \"dial{number}\"]"))
        })
}

/// " 1" where there are several heaters.
fn numbered(answers: &Answers, position: usize) -> String {
    if answers.heaters_w.len() == 1 {
        String::new()
    } else {
        format!(" {}", position + 1)
    }
}

fn circuit(page: Page, answers: &Answers, wanted: &Wanted) -> Page {
    let target_c = wanted.target_c;
    let (relay, dial, opens_c, closes_c) = match answers.switching {
        Switching::Dial => (
            "you have none yet: strategies would switch it. Welded, it leaves the dial alone, as today",
            "your dial, turned up a little so that a strategy decides below it",
            target_c + DIAL_ABOVE_K,
            target_c + DIAL_ABOVE_K - 1.0,
        ),
        Switching::Controller => (
            "what the controller switches",
            "turned up to its stop: it does not help when the relay welds",
            STOP_C,
            STOP_C - 1.0,
        ),
        Switching::Both => (
            "what the controller switches",
            "a little above the target: it opens when the relay welds, if it works",
            target_c + DIAL_ABOVE_K,
            target_c + DIAL_ABOVE_K - 1.0,
        ),
    };
    let page = (0..answers.heaters_w.len()).fold(page, |page, position| {
        let number = numbered(answers, position);
        let (opens, closes) = (page.temp(opens_c), page.temp(closes_c));
        page.header("[[contact]]")
            .field_because("contact.name", &format!("\"relay{number}\""), relay)
            .field("contact.kind", "\"relay\"")
            .field("contact.box", "\"controller\"")
            .field_because(
                "contact.rating",
                "{ life = \"100000 closings\" }",
                "assumed: see its data sheet",
            )
            .header("[[contact]]")
            .field_because("contact.name", &format!("\"dial{number}\""), dial)
            .field("contact.kind", "\"thermostat\"")
            .field("contact.opens_above", &opens)
            .field("contact.closes_below", &closes)
    });
    page.header("[[probe]]")
        .field_because("probe.name", "\"main\"", "the probe that strategies read")
        .field("probe.for", "\"control\"")
        .field_because("probe.lag", "\"30 s\"", "assumed")
        .field("probe.noise", "\"0.02 K\"")
        .field("probe.step", "\"0.1 K\"")
}

fn watches(page: Page, answers: &Answers, wanted: &Wanted) -> Page {
    let too_warm = page.temp(wanted.target_c + DIAL_ABOVE_K + 0.5);
    let too_cold = page.temp(wanted.target_c - 2.0);
    let page = page
        .header("[[watch]]")
        .field("watch.name", "\"too warm\"")
        .field("watch.probe", "\"main\"")
        .field("watch.above", &too_warm)
        .field("watch.lasting", "\"5 min\"")
        .field_because(
            "watch.needs",
            "[\"power\"]",
            "without electricity the alert does not get out",
        );
    let page = match answers.nearby {
        Nearby::Home => {
            let acts = "{ after = \"1 h\", does = \"unplug heaters\" }";
            page.field_because(
                "watch.acts",
                acts,
                "somebody is at home (assumed: within an hour)",
            )
        }
        Nearby::Evenings => {
            let acts = "{ after = \"10 h\", does = \"unplug heaters\" }";
            page.field_because(
                "watch.acts",
                acts,
                "somebody comes home (assumed: ten hours later)",
            )
        }
        Nearby::Nobody => page.remark("Nobody is near: the alert is heard, and nobody acts on it."),
    };
    page.header("[[watch]]")
        .field("watch.name", "\"too cold\"")
        .field("watch.probe", "\"main\"")
        .field("watch.below", &too_cold)
        .field("watch.lasting", "\"15 min\"")
        .field("watch.needs", "[\"power\"]")
        .header("[cost]")
        .field_because(
            "cost.electricity",
            "\"0.32 per kWh\"",
            "an example: put in your price, in any currency",
        )
}
