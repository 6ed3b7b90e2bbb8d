//! The live page's words: where they stand, what they say, in which units.

use std::collections::BTreeSet;

use serde_json::json;

use crate::lesson::open_lesson;
use crate::live::{assert_clean, page, pause_ms};
use crate::page::Page;

/// Four strategies through an outage, with a weld: as full as the page gets.
fn full() -> Page {
    page(
        &json!({"scenario": "spare-room-winter", "strategies": ["on-off", "staggered-pair", "lead-lag", "timer"], "at": 10080,
        "acts": [{"what": "weld", "of": "relay left", "from_min": 1500}, {"what": "cut-power", "of": "", "from_min": 6000, "to_min": 6600},
            {"what": "stop-pump", "of": "return", "from_min": 8000}]}),
    )
}

/// Pairs of words of a drawing that touch, words that leave it, and words on curves.
const IN_EACH_OTHERS_WAY: &str = "(() => { const found = []; \
    for (const svg of document.querySelectorAll('#chart svg, #panels svg')) { \
        const edge = svg.getBoundingClientRect(); \
        const boxes = [...svg.querySelectorAll('text')].map(one => [one.textContent, one.getBoundingClientRect(), one]); \
        for (const [words, box] of boxes) if (box.left < edge.left - 1 || box.right > edge.right + 1 || box.bottom > edge.bottom + 1) found.push('leaves: ' + words); \
        boxes.forEach(([one, a], nth) => boxes.slice(nth + 1).forEach(([other, b]) => { \
            const apart = a.right <= b.left || b.right <= a.left || a.bottom - 3 <= b.top || b.bottom - 3 <= a.top; if (!apart) found.push(one + ' touches ' + other); })); \
    } \
    const chart = document.querySelector('#chart svg'); const past = Number(document.querySelector('#past-box').getAttribute('width')); \
    const scale = chart.getBoundingClientRect().width / chart.viewBox.baseVal.width; const at = chart.getBoundingClientRect(); \
    for (const curve of chart.querySelectorAll('g[clip-path] path')) for (const name of chart.querySelectorAll('#now text')) { \
        const box = name.getBoundingClientRect(); const length = curve.getTotalLength(); \
        for (let s = 0; s < length; s += 3) { const p = curve.getPointAtLength(s); const x = at.left + p.x * scale; const y = at.top + p.y * scale; \
            if (p.x <= past && x > box.left && x < box.right && y > box.top + 2 && y < box.bottom - 3) { found.push(name.textContent + ' lies on a curve'); break; } } } \
    return found; })()";

/// In the chart and the drawings no words lie on others, on a curve, or beyond the edge: whatever the time, wide or narrow, with two heaters, with
/// three wires, beside each other in a lesson.
pub fn no_words_lie_on_others_or_on_curves() {
    let three_wires = page(
        &json!({"scenario": "year-round", "strategies": ["on-off", "pi", "lead-lag", "heat-and-fan"], "at": 0}),
    );
    let mut lesson = full();
    open_lesson(&mut lesson, "fan-and-damp");
    for (mut page, what) in [
        (full(), "two heaters"),
        (three_wires, "three wires"),
        (lesson, "a lesson"),
    ] {
        for width in [1440, 1130, 360] {
            page.resize(width, 900);
            pause_ms(&mut page, 400);
            for share in [1.0, 0.62, 0.16] {
                page.value(&format!("(() => {{ const at = document.querySelector('#at'); at.value = Math.floor(at.max * {share}); at.dispatchEvent(new Event('input')); }})()"));
                let found = page.value(IN_EACH_OTHERS_WAY);
                assert_eq!(found, json!([]), "{what} at {share} of the run, {width} px");
            }
        }
        assert_clean(&mut page);
    }
}

/// What two heaters share is drawn once, next to the mains.
pub fn a_contact_that_all_share_is_drawn_once() {
    let mut page = full();
    let words = page.texts(".panel:first-child svg text");
    let times = |name: &str| words.iter().filter(|word| *word == name).count();
    assert_eq!(
        (
            times("residual-current"),
            times("relay left"),
            times("relay right")
        ),
        (1, 1, 1)
    );
    let place = |page: &mut Page, name: &str| {
        let y = page.value(&format!("[...document.querySelectorAll('.panel:first-child svg text')].find(one => one.textContent === '{name}').getBoundingClientRect().y"));
        y.as_f64().expect("a place")
    };
    let (dial, relay, shared) = (
        place(&mut page, "dial left"),
        place(&mut page, "relay left"),
        place(&mut page, "residual-current"),
    );
    assert!(dial < relay && relay < shared, "{dial}, {relay}, {shared}");
}

/// A lesson about switching is looked at closely: hours fill the chart, and it goes along with the time.
pub fn some_hours_can_be_looked_at_closely() {
    let mut page = full();
    let swing_px = "(() => { const box = document.querySelector('#chart g[clip-path] path').getBBox(); return [box.x, box.height]; })()";
    open_lesson(&mut page, "deadband");
    assert_eq!(page.value("document.querySelector('#span').value"), "480");
    assert_eq!(page.texts("#clock"), ["day 3 00:00"]);
    let close = page.value(swing_px);
    assert!(close[1].as_f64().expect("pixels") > 50.0, "{close}");
    let ticks = page.texts("#chart svg > text.soft");
    assert_eq!((ticks[0].as_str(), ticks[1].as_str()), ("day 3", "01:00"));
    page.value("document.querySelector('#at').value = 2 * 1440 + 17 * 60; document.querySelector('#at').dispatchEvent(new Event('input'))");
    assert_eq!(page.texts("#chart svg > text.soft")[0], "16:00");
    assert_eq!(page.value(IN_EACH_OTHERS_WAY), json!([]));
    page.click("#end");
    assert_eq!(
        page.texts("#chart svg > text.soft")[0],
        "16:00",
        "of the last day"
    );
    page.value("document.querySelector('#span').value = '0'; document.querySelector('#span').dispatchEvent(new Event('change'))");
    let whole = page.value(swing_px);
    assert!(whole[1].as_f64() < close[1].as_f64(), "{whole} and {close}");
    assert_clean(&mut page);
}

/// On a telephone every column shows, and what can be done stands right below the chart.
pub fn a_telephone_shows_every_column_and_the_acts_beside_the_chart() {
    let mut page = full();
    page.resize(390, 844);
    pause_ms(&mut page, 400);
    let hidden = page.value(
        "[...document.querySelectorAll('#scores th, #scores td')].filter(one => one.getBoundingClientRect().right > innerWidth \
         || one.scrollWidth > one.clientWidth + 1).map(one => one.textContent)",
    );
    assert_eq!(hidden, json!([]));
    let apart = page.value(
        "document.querySelector('#acts').getBoundingClientRect().top - document.querySelector('#chart').getBoundingClientRect().bottom",
    );
    assert!(apart.as_f64().expect("pixels") < 400.0, "{apart} px");
    page.screenshot("live-390");
    page.prefer("dark");
    page.screenshot("live-390-dark");
    assert_clean(&mut page);
}

/// Going back by tabs, nothing that has the focus lies under the bar that stays on top.
pub fn the_focus_is_never_under_the_bar() {
    let mut page = full();
    page.value("scrollTo(0, document.body.scrollHeight); document.querySelector('#copy').focus()");
    let mut met = BTreeSet::new();
    for _ in 0..40 {
        page.tab_back();
        let told = page.value(
            "(() => { const one = document.activeElement; if (one.closest('.time, .choose, .skip') || one === document.body) return null; \
             return [one.textContent.slice(0, 30) + one.id, one.getBoundingClientRect().top - document.querySelector('.time').getBoundingClientRect().bottom]; })()",
        );
        if let Some(told) = told.as_array() {
            let above = told[1].as_f64().expect("pixels");
            assert!(above >= 0.0, "{} lies {above} px under the bar", told[0]);
            met.insert(told[0].to_string());
        }
    }
    assert!(met.len() > 10, "{met:?}");
}

/// What lies ahead is not done; at the end nothing can be done any more, and the page says so.
pub fn what_lies_ahead_is_not_done_and_the_end_is_told() {
    let mut page = full();
    assert_eq!(page.texts("#done li").len(), 3);
    assert_eq!(page.texts("#ahead li").len(), 0);
    assert!(page.texts("#acts-note")[0].starts_with("The run ends at the time shown"));
    assert_eq!(
        page.value("document.querySelectorAll('#acts button:not(:disabled)').length"),
        0
    );
    page.value("document.querySelector('#at').value = 10080 - 90; document.querySelector('#at').dispatchEvent(new Event('input'))");
    assert!(page.texts("#acts-note")[0].contains("Only 1 h 30 min are left"));
    page.value("document.querySelector('#at').value = 5000; document.querySelector('#at').dispatchEvent(new Event('input'))");
    assert_eq!(page.texts("#done li").len(), 1);
    let ahead = page.texts("#ahead li");
    assert!(
        ahead.len() == 2 && ahead[0].starts_with("day 5 04:00: cut the power"),
        "{ahead:?}"
    );
    assert!(
        page.value("document.querySelectorAll('#acts button:not(:disabled)').length")
            .as_u64()
            > Some(5)
    );
    assert_clean(&mut page);
}

/// Alerts say which they are; a line that the water is beyond from the start says that; the dose is explained.
pub fn scores_say_what_they_count() {
    let mut page = page(
        &json!({"scenario": "spare-room-one-big-heater", "strategies": ["on-off"], "at": 4000, "acts": [{"what": "weld", "of": "relay", "from_min": 60}]}),
    );
    let rows = page.texts("#scores tbody tr");
    let row = |rows: &[String], name: &str| {
        let found = rows.iter().find(|row| row.starts_with(name)).cloned();
        found.unwrap_or_else(|| panic!("no {name} in {rows:?}"))
    };
    assert!(row(&rows, "Alerts").contains("too warm: "), "{rows:?}");
    assert!(
        row(&rows, "Danger lines reached").contains("after “weld relay shut”"),
        "{rows:?}"
    );
    let used_up = row(&rows, "Dose used up");
    assert!(
        used_up.contains("day 1 22:") && used_up.contains("after “weld relay shut”"),
        "{rows:?}"
    );
    assert!(page.texts("#dose-words")[0].contains("12 h at 30 °C use up all of it"));
    let parts = page.texts("#parts dt");
    assert!(
        parts.contains(&"dial".to_owned()) && parts.contains(&"relay".to_owned()),
        "{parts:?}"
    );

    let warm = "base = \"warm-room-fan\"\ntitle = \"Warm\"\n[set]\n\"livestock.danger_hot\" = [[\"26.5 °C\", \"3 d\"], [\"31 °C\", \"1 h\"]]\n";
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    let path = folder.join("warm-from-the-start.toml");
    std::fs::write(&path, warm).expect("written");
    page.pick("#open", &[&path]);
    pause_ms(&mut page, 1500);
    let rows = page.texts("#scores tbody tr");
    assert!(
        row(&rows, "Danger lines reached").contains("26.5 °C: already there at the start"),
        "{rows:?}"
    );
    assert_clean(&mut page);
}

/// Heat that comes in says so, and its arrow points in.
pub fn heat_that_comes_in_is_not_called_evaporation() {
    let mut page = full();
    let drawn = |page: &mut Page, joules: i32| {
        page.value(&format!(
            "(() => {{ const parts = []; const columns = ['evaporation', 'convection', 'sides'].map(path => `heat ${{path}} tank`); \
             const run = {{ tallies: {{ every_ms: 1000, columns, rows: 2, values: [0, 0, 0, {joules}, {joules}, {joules}] }} }}; \
             drawHeat(parts, run, {{ name: 'tank' }}, 1, {{ x: 30, y: 100, wide: 150, tall: 80 }}, false, 0); \
             const svg = document.createElement('div'); svg.innerHTML = `<svg>${{parts.join('')}}</svg>`; \
             return [[...svg.querySelectorAll('text')].map(one => one.textContent), svg.querySelector('.heat').getAttribute('d')]; }})()"
        ))
    };
    let leaves = drawn(&mut page, -20);
    assert_eq!(
        leaves,
        json!([
            ["evaporation", "20 W", "to the air", "20 W", "panes", "20 W"],
            "M48 104L48 78"
        ])
    );
    let comes = drawn(&mut page, 20);
    assert_eq!(
        comes,
        json!([
            [
                "condensation",
                "20 W",
                "from the air",
                "20 W",
                "panes, in",
                "20 W"
            ],
            "M48 78L48 104"
        ])
    );
}

/// In US units no figure stays metric but where a file or a command has it; the page restates as the program does.
pub fn the_page_speaks_us_units_as_the_program_does() {
    let mut page = full();
    page.value("document.querySelector('#units').value = 'us'; document.querySelector('#units').dispatchEvent(new Event('change'))");
    let told = page.value(
        "[...document.querySelectorAll('#chart text, #panels text, #panels p, #scores td, #dose-words, #teaches, .slider .value, #parts dd')].map(one => one.textContent)",
    );
    let told: Vec<String> = serde_json::from_value(told).expect("words");
    assert!(told.iter().any(|words| words.contains("°F")) && told.iter().any(|words| words.contains("gal")));
    let metric: Vec<&String> = told
        .iter()
        .filter(|words| words.contains("°C") || words.contains(" K") || words.contains(" L"))
        .collect();
    assert!(metric.is_empty(), "{metric:?}");
    page.screenshot("live-us");
    for lesson in tepid_lessons::lessons() {
        let told = tepid_page::lesson::told(lesson.name).expect("told");
        let mut texts = vec![told.story, told.answer, "0.02 K, or (-2 K); W/K 5 L".to_owned()];
        texts.extend(told.explanation.into_iter().chain(told.for_the_teacher));
        texts.extend(told.set_ups.into_iter().flat_map(|one| one.words));
        for text in texts {
            let here = page.value(&format!("restated({})", json!(text)));
            let there = tepid_output::wording::restated(&text, tepid_output::wording::Units::Us);
            assert_eq!(here, there, "{text}");
        }
    }
    // A link keeps them.
    let link = page.value("document.getElementById('link').href");
    page.go_to("about:blank");
    page.go_to(link.as_str().expect("a link"));
    crate::live::wait(&mut page);
    assert_eq!(page.value("document.querySelector('#units').value"), "us");
    assert_clean(&mut page);
}

/// Indices stand low and powers high.
pub fn an_equation_is_set_as_it_is_written_by_hand() {
    let mut page = full();
    let html = page.value("lowered('T(t) = T_room + (T_0 − T_room) · e^(−t/τ)')");
    assert_eq!(
        html,
        "T(t) = T<sub>room</sub> + (T<sub>0</sub> − T<sub>room</sub>) · e<sup>−t/τ</sup>"
    );
}
