//! The live page: one file that computes in the browser and fetches nothing.
//!
//! Its parts are in `page/web/`, the model is the module in `page/module/`, its cautions are the program's own.

use serde::Serialize;
use tepid_sim::ids::{ContactId, HeaterId, ProbeId, PumpId};
use tepid_sim::scenario::Effect;

use crate::cautions::{Caution, Cautioned, DRY_BODY_C, for_effect, mark_of};
use crate::wording::Units;

const FRAME: &str = include_str!("../../page/web/page.html");
const STYLE: &str = include_str!("../../page/web/style.css");
const LESSON_STYLE: &str = include_str!("../../page/web/lesson.css");
const SCRIPTS: [&str; 16] = [
    include_str!("../../page/web/words.js"),
    include_str!("../../page/web/units.js"),
    include_str!("../../page/web/model.js"),
    include_str!("../../page/web/state.js"),
    include_str!("../../page/web/placing.js"),
    include_str!("../../page/web/chart.js"),
    include_str!("../../page/web/wires.js"),
    include_str!("../../page/web/drawing.js"),
    include_str!("../../page/web/panels.js"),
    include_str!("../../page/web/controls.js"),
    include_str!("../../page/web/acts.js"),
    include_str!("../../page/web/scores.js"),
    include_str!("../../page/web/keep.js"),
    include_str!("../../page/web/lesson.js"),
    include_str!("../../page/web/transport.js"),
    include_str!("../../page/web/main.js"),
];
/// The model, as browsers unpack it.
const MODULE: &[u8] = include_bytes!("../../page/module/tepid.wasm.gz");

/// What the page shows when it is opened without a link.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LiveStart {
    /// A scenario of the library, or one of the files.
    pub scenario: String,
    /// Strategies of the program, or of the files.
    pub strategies: Vec<String>,
    /// Files that are not of the program.
    pub files: Vec<LiveFile>,
    /// Seed of all random numbers.
    pub seed: u64,
}

/// A file that goes with the page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LiveFile {
    /// What it is called by.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// What must be said on the page, by what is done.
#[derive(Debug, Serialize)]
struct OnThePage {
    /// Before the act of that key is undone.
    acts: serde_json::Map<String, serde_json::Value>,
    /// Where a heater ran dry.
    ran_dry: RanDry,
    /// At any time.
    always: Vec<String>,
    /// What the mark means.
    mark: &'static str,
}

/// When a heater counts as run dry, and what must be said then.
#[derive(Debug, Serialize)]
struct RanDry {
    above_c: f64,
    text: String,
}

/// What each act of the page does, by its key there. Which of them it is done to does not matter to what must be said.
const ACTS: [(&str, Effect); 6] = [
    ("weld", Effect::ContactWelded(ContactId(0))),
    ("kill-heater", Effect::HeaterDead(HeaterId(0))),
    ("stop-pump", Effect::PumpStopped(PumpId(0))),
    ("pull-probe", Effect::ProbeOutOfWater(ProbeId(0))),
    ("cut-power", Effect::PowerOut),
    ("open-window", Effect::RoomShift { by_k: -1.0 }),
];

/// What is said at any time: everything that an act could call for, and of hot glass, fans, plugs and alerts.
fn always() -> Vec<Cautioned> {
    let called_for = ACTS.iter().flat_map(|(_, effect)| for_effect(effect).cautions());
    let mut all: Vec<Caution> = called_for.copied().collect();
    all.extend([
        Caution::DryHeater,
        Caution::FanNearWater,
        Caution::DryHands,
        Caution::AlertsMayFail,
        Caution::NoCertificate,
    ]);
    all.sort_unstable();
    all.dedup();
    all.into_iter()
        .map(|caution| caution.because("the live page"))
        .collect()
}

fn cautions() -> OnThePage {
    let always = always();
    let acts = ACTS.iter().map(|(key, effect)| {
        let said = for_effect(effect).cautions().iter();
        let said = said
            .map(|caution| caution.because(*key).marked())
            .collect::<Vec<_>>();
        ((*key).to_owned(), said.into())
    });
    OnThePage {
        acts: acts.collect(),
        ran_dry: RanDry {
            above_c: DRY_BODY_C,
            text: Caution::RanDry.because("the live page").marked(),
        },
        mark: mark_of(&always).unwrap_or_default(),
        always: always.iter().map(Cautioned::marked).collect(),
    }
}

/// The whole page, for any server of files, a stick, or a mail. Without a start it begins with the first scenario of the library; the reader
/// may choose other units there.
///
/// # Errors
/// What stands in it makes no JSON, which would be a mistake of ours.
pub fn page(start: Option<&LiveStart>, units: Units) -> Result<String, serde_json::Error> {
    let cautions = in_a_script(&cautions())?;
    let script = SCRIPTS.join("\n");
    Ok(FRAME
        .replace("{{STYLE}}", &[STYLE, LESSON_STYLE].concat())
        .replace("{{SCRIPT}}", script.trim_end())
        .replace("{{CAUTIONS}}", &cautions)
        .replace("{{MODULE}}", &base64(MODULE))
        .replace(
            "{{UNITS}}",
            match units {
                Units::Metric => "\"metric\"",
                Units::Us => "\"us\"",
            },
        )
        .replace("{{START}}", &in_a_script(&start)?))
}

/// As JSON that may stand in a script: "</" could end it.
pub(crate) fn in_a_script(value: &impl Serialize) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string(value)?.replace('<', "\\u003c"))
}

/// Bytes as base 64 (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let at = |place: usize| u32::from(three.get(place).copied().unwrap_or(0));
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for digit in 0..4 {
            if digit <= three.len() {
                text.push(char::from(DIGITS[(bits >> (18 - 6 * digit) & 63) as usize]));
            } else {
                text.push('=');
            }
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base_64_is_that_of_the_standard() {
        // RFC 4648, section 10.
        for (bytes, text) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
    }

    #[test]
    fn the_page_is_whole_and_names_no_other_place() {
        let page = page(None, Units::Metric).expect("a page");
        assert!(!page.contains("{{"));
        assert_eq!(page.matches("</script>").count(), 1);
        assert!(!page.contains("http://") && !page.contains("https://"));
    }

    #[test]
    fn every_act_but_an_open_window_says_what_belongs_to_the_real_one() {
        for (key, effect) in ACTS {
            assert_eq!(
                for_effect(&effect).cautions().is_empty(),
                key == "open-window",
                "{key}"
            );
        }
        assert_eq!(
            cautions().acts["weld"][0],
            Caution::StuckHeater.because("").marked()
        );
    }
}
