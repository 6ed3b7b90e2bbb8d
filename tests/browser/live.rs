//! The live page: what somebody does with it, and what it shows.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::page::{Page, file_address};

/// The page as the program writes it.
pub(crate) fn written() -> PathBuf {
    static WRITTEN: std::sync::OnceLock<PathBuf> = std::sync::OnceLock::new();
    WRITTEN
        .get_or_init(|| {
            let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("live.html");
            std::fs::write(
                &path,
                tepid_output::live::page(None, tepid_output::wording::Units::Metric).expect("a page"),
            )
            .expect("written");
            path
        })
        .clone()
}

/// What stands behind "#" for a state.
pub(crate) fn fragment(state: &Value) -> String {
    state
        .to_string()
        .bytes()
        .map(|byte| format!("%{byte:02X}"))
        .collect()
}

/// The page with a state in its address, once the model has answered.
pub(crate) fn page(state: &Value) -> Page {
    let mut page = Page::open(&format!("{}#{}", file_address(&written()), fragment(state)));
    wait(&mut page);
    page
}

pub(crate) fn wait(page: &mut Page) {
    page.value(
        "new Promise((done, fail) => { const from = Date.now(); const look = () => document.body.dataset.ready ? done(true) \
         : Date.now() - from > 60000 ? fail('not ready') : setTimeout(look, 20); look(); })",
    );
}

pub(crate) fn pause_ms(page: &mut Page, ms: u32) {
    page.value(&format!(
        "new Promise(done => setTimeout(() => done(true), {ms}))"
    ));
}

/// Two strategies on the week with one big heater, at a minute.
fn one_big_heater(at: u32) -> Value {
    json!({"scenario": "spare-room-one-big-heater", "strategies": ["on-off", "pi"], "at": at})
}

/// What the chart says of a strategy, °C.
pub(crate) fn told_c(page: &mut Page, strategy: &str) -> f64 {
    let labels = page.texts("#now text.curve");
    let label = labels
        .iter()
        .find(|label| label.starts_with(&format!("{strategy} ")));
    let label = label.unwrap_or_else(|| panic!("no {strategy} in {labels:?}"));
    label
        .split(' ')
        .nth(1)
        .and_then(|number| number.parse().ok())
        .expect("a number")
}

pub(crate) fn assert_clean(page: &mut Page) {
    assert_eq!(page.complaints(), [""; 0]);
    let requests = page.requests();
    let own = |address: &String| address.starts_with("file:") && address.contains("live.html");
    assert!(!requests.is_empty() && requests.iter().all(own), "{requests:?}");
}

/// It opens from disk, complains of nothing and fetches nothing but itself.
pub fn it_opens_from_disk_and_fetches_nothing() {
    let mut page = Page::open_file(&written());
    wait(&mut page);
    assert_eq!(page.texts("#clock"), ["day 1 00:00"]);
    assert_eq!(page.texts(".panel h3").len(), 2);
    assert_eq!(page.texts("#scenario option").len(), 8);
    page.click("#end");
    assert_eq!(page.texts("#clock"), ["day 8 00:00"]);
    page.click("#rewind");
    page.click("#step");
    assert_eq!(page.texts("#clock"), ["day 1 00:10"]);
    page.click("#play");
    pause_ms(&mut page, 1500);
    page.click("#play");
    let played = page.texts("#clock");
    assert_ne!(played, ["day 1 00:10"]);
    pause_ms(&mut page, 500);
    assert_eq!(page.texts("#clock"), played, "a pause");
    assert_clean(&mut page);
}

/// Somebody welds the relay; the chart shows the rise, the drawing says who decides; undoing it says first what belongs to the real act.
pub fn a_weld_is_seen_to_heat_and_is_undone_behind_its_caution() {
    let mut page = page(&one_big_heater(60));
    let before = told_c(&mut page, "on-off");
    page.click("#acts [data-what=weld][data-of=relay]");
    assert_eq!(page.texts("#done li").len(), 1);
    page.click("#end");
    page.value("document.querySelector('#at').value = 60 + 20 * 60; document.querySelector('#at').dispatchEvent(new Event('input'))");
    let after = told_c(&mut page, "on-off");
    assert!(after > before + 3.0, "from {before} to {after} °C");
    assert!(page.texts("#panels svg text").contains(&"welded".to_owned()));
    assert!(
        page.texts(".panel p:not(.does)")[0].contains("dial decides"),
        "{:?}",
        page.texts(".panel p")
    );
    page.screenshot("live-weld");
    page.click("[data-undo]");
    page.screenshot_of_the_screen("live-caution");
    let said = page.texts("#caution-list li").join(" ");
    assert!(said.contains("pull the plug with dry hands"), "{said}");
    page.press("Escape");
    assert_eq!(page.texts("[data-undo]").len(), 1, "leaving it undoes nothing");
    page.click("[data-undo]");
    page.click("#caution-yes");
    page.click("#end");
    let end = told_c(&mut page, "on-off");
    assert!(end < 26.1, "{end}");
    assert_clean(&mut page);
}

/// A link carries everything; one that is broken is told and leaves a page that works.
pub fn a_link_restores_everything_and_a_broken_one_is_told() {
    let mut state = one_big_heater(1260);
    state["strategies"] = json!(["pi"]);
    state["sliders"] = json!({"setpoint": 24.5, "room": 2});
    state["acts"] = json!([{"what": "weld", "of": "relay", "from_min": 60}]);
    let mut page = page(&state);
    assert_eq!(page.texts("#clock"), ["day 1 21:00"]);
    let shown = (
        page.texts("#now text"),
        page.texts("#scores td"),
        page.texts("#done li"),
    );
    let link = page.value("document.getElementById('link').href");
    page.go_to("about:blank");
    page.go_to(link.as_str().expect("a link"));
    wait(&mut page);
    assert_eq!(
        (
            page.texts("#now text"),
            page.texts("#scores td"),
            page.texts("#done li")
        ),
        shown
    );
    for broken in ["%7B%22scenario%22%3A3", "%7B%22scenario%22%3A%22moon%22%7D"] {
        page.go_to("about:blank");
        page.go_to(&format!("{}#{broken}", file_address(&written())));
        wait(&mut page);
        assert_eq!(page.value("document.getElementById('message').hidden"), false);
        assert_eq!(page.texts(".panel h3").len(), 2);
    }
}

/// Sliders and acts are reached by keys alone.
pub fn keys_alone_are_enough() {
    let mut page = page(&one_big_heater(60));
    page.tab_to("#scenario");
    page.tab_to("#play");
    page.press("Enter");
    pause_ms(&mut page, 600);
    page.press(" ");
    let clock = page.texts("#clock");
    assert_ne!(clock, ["day 1 01:00"]);
    page.tab_to("#at");
    page.press("ArrowRight");
    assert_ne!(page.texts("#clock"), clock);
    page.tab_to("#acts [data-what=cut-power]");
    page.press("Enter");
    assert!(
        page.texts("#panels svg text")
            .contains(&"mains: no electricity".to_owned())
    );
    page.tab_to("#sliders input[data-key=room]");
    page.press("ArrowRight");
    assert_eq!(
        page.texts("#sliders input[data-key=room] ~ .value, .slider:has([data-key=room]) .value"),
        ["+0.5 K"]
    );
    page.tab_to("[data-undo]");
    page.press("Enter");
    page.tab_to("#caution-yes");
    page.press("Enter");
    assert!(page.texts("#done li")[0].contains("undone"));
    assert_clean(&mut page);
}

/// Nothing sticks out of a telephone or a wide screen, in light and dark, in any scenario.
pub fn it_fits_narrow_and_wide_screens() {
    let mut page = page(
        &json!({"scenario": "spare-room-winter", "strategies": ["on-off", "pi", "lead-lag", "timer"], "at": 4000,
        "acts": [{"what": "weld", "of": "relay left", "from_min": 1500}]}),
    );
    page.screenshot("live-1440");
    page.prefer("dark");
    page.screenshot("live-1440-dark");
    page.prefer("light");
    for (width, name) in [(1440, "wide"), (360, "narrow")] {
        page.resize(width, 800);
        for scenario in page
            .value("[...document.querySelectorAll('#scenario option')].map(one => one.value)")
            .as_array()
            .expect("names")
        {
            page.value(&format!("document.querySelector('#scenario').value = {scenario}; document.querySelector('#scenario').dispatchEvent(new Event('change'))"));
            pause_ms(&mut page, 300);
            assert_eq!(page.sticks_out_px(), 0, "{scenario} at {width}");
            page.click("#end");
            if *scenario != "year-round" {
                page.screenshot(&format!("live-{name}-{}", scenario.as_str().expect("a name")));
            }
        }
    }
    assert_clean(&mut page);
}

/// Words stand out from their ground at least as WCAG 2.2 asks for (AA, 4.5 to 1), in both schemes.
pub fn words_stand_out_from_their_ground() {
    let mut page = page(&one_big_heater(600));
    for scheme in ["light", "dark"] {
        page.prefer(scheme);
        let ratios = page.value(
            "(() => { const light = (colour) => { const [r, g, b] = colour.match(/\\d+/g).map(Number).map(v => v / 255) \
             .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; }; \
             const probe = document.createElement('i'); document.body.append(probe); \
             const of = (name) => { probe.style.color = `var(--${name})`; return light(getComputedStyle(probe).color); }; \
             const pairs = [['ink', 'paper'], ['soft', 'paper'], ['ink', 'shade'], ['soft', 'shade'], ['ink', 'water'], \
             ['s0', 'paper'], ['s1', 'paper'], ['s2', 'paper'], ['s3', 'paper']]; \
             const ratio = ([a, b]) => { const [x, y] = [of(a), of(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); }; \
             const told = pairs.map(pair => [pair.join(' on '), ratio(pair)]); probe.remove(); return told; })()",
        );
        for pair in ratios.as_array().expect("pairs") {
            assert!(pair[1].as_f64().expect("a ratio") >= 4.5, "{scheme}: {pair}");
        }
    }
}

/// The picture in the README shows what the page shows now: its words and numbers are kept beside it. Drawn anew with `UPDATE_SCREENSHOT=1`.
pub fn the_picture_of_the_readme_shows_the_page_as_it_is() {
    let mut state = one_big_heater(60 + 20 * 60);
    state["strategies"] = json!(["on-off", "heater-dial", "timer"]);
    state["acts"] = json!([{"what": "weld", "of": "relay", "from_min": 60}]);
    let mut page = page(&state);
    page.resize(1280, 1700);
    pause_ms(&mut page, 400);
    let shown = page.value(
        "[...document.querySelectorAll('#clock, #chart text, #panels text, #panels p, #scores th, #scores td, #acts button, #done li')] \
         .map(one => one.textContent.trim()).join('\\n') + '\\n'",
    );
    let shown = shown.as_str().expect("words");
    let picture = page.screenshot_of_the_screen("live-readme");
    let images = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/images");
    if std::env::var_os("UPDATE_SCREENSHOT").is_some() {
        std::fs::copy(picture, images.join("live.png")).expect("copied");
        std::fs::write(images.join("live.txt"), shown).expect("written");
    }
    let kept = std::fs::read_to_string(images.join("live.txt")).expect("the words of the picture");
    assert!(
        kept == shown,
        "the page shows other words than its picture; draw it anew: UPDATE_SCREENSHOT=1 cargo test --test browser picture_of_the_readme"
    );
}
