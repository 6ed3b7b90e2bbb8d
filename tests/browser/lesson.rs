//! Lessons: on the live page, and on paper.

use std::path::{Path, PathBuf};

use crate::page::Page;

/// A page that the test wrote.
fn written(name: &str, page: String) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, page).expect("written");
    path
}

fn live() -> Page {
    let page = tepid_output::live::page(None, tepid_output::wording::Units::Metric).expect("a page");
    // One file for each test: they run side by side.
    static COUNT: std::sync::atomic::AtomicUsize = std::sync::atomic::AtomicUsize::new(0);
    let nth = COUNT.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
    let mut page = Page::open_file(&written(&format!("lessons-{nth}.html"), page));
    wait_for(&mut page, "document.body.dataset.ready");
    page
}

fn wait_for(page: &mut Page, what: &str) {
    page.value(&format!(
        "new Promise((done, fail) => {{ const from = Date.now(); const look = () => {what} ? done(true) \
         : Date.now() - from > 60000 ? fail('waited in vain') : setTimeout(look, 20); look(); }})"
    ));
}

/// The water of a curve that the chart names, °C.
fn told_c(page: &mut Page, curve: &str) -> f64 {
    let label = page
        .texts("#now text.curve")
        .into_iter()
        .find(|label| label.starts_with(curve))
        .expect("a label");
    let number = label
        .split(' ')
        .rev()
        .nth(1)
        .and_then(|number| number.parse().ok());
    number.unwrap_or_else(|| panic!("no figure in {label}"))
}

/// By keys alone: go through the lessons, open one, guess, play all its tanks in one chart, put one on the page alone, and have the answer shown.
pub fn a_lesson_is_chosen_guessed_played_and_answered_by_keys() {
    let mut page = live();
    page.tab_to("#lesson");
    // The first lesson is the one below "none". Going through the list changes nothing yet.
    page.press("ArrowDown");
    assert_eq!(page.value("document.getElementById('lesson-page').hidden"), true);
    assert_eq!(page.texts(".panel h3").len(), 2);
    page.press("Enter");
    wait_for(&mut page, "!document.getElementById('lesson-page').hidden");
    assert_eq!(page.texts("#lesson-page h3")[0], "Why a big heater is a risk");
    assert_eq!(page.texts(".panel h3").len(), 3, "all tanks of the lesson");
    assert!(page.texts("#ahead li")[0].contains("weld relay"), "it lies ahead");
    assert_eq!(page.texts("#done li"), ["nothing yet"]);
    assert_eq!(page.value("document.getElementById('reveal').disabled"), true);
    assert_eq!(
        page.value("document.getElementById('lesson-answer').hidden"),
        true
    );
    page.tab_to("[name=guess]");
    page.press(" ");
    assert_eq!(page.value("document.getElementById('reveal').disabled"), false);
    assert!(page.texts("#reveal-note")[0].contains("A"));
    let before = told_c(&mut page, "a heater of 400 W");
    page.tab_to("#play");
    page.press("Enter");
    let chart = page.value("(() => { const box = document.querySelector('#chart').getBoundingClientRect(); const bar = document.querySelector('.time').getBoundingClientRect(); return [bar.bottom, box.top, box.bottom, innerHeight]; })()");
    let chart: [f64; 4] = serde_json::from_value(chart).expect("places");
    assert!(chart.is_sorted(), "the chart shows below the bar: {chart:?}");
    page.tab_to("#end");
    page.press("Enter");
    let small = told_c(&mut page, "a heater of 100 W");
    let big = told_c(&mut page, "a heater of 400 W");
    assert!(
        big > before + 5.0 && big > small + 3.0,
        "{before}, then {small} and {big} °C"
    );
    assert!(page.texts("#done li")[0].contains("weld relay"));
    page.value("document.getElementById('lesson').focus()");
    page.tab_to("[data-stage='2']");
    page.press("Enter");
    wait_for(
        &mut page,
        "document.querySelector('[data-stage=\"2\"]').getAttribute('aria-pressed') === 'true'",
    );
    assert_eq!(
        page.texts("#lesson-page [aria-pressed=true]"),
        ["a heater of 400 W"]
    );
    assert_eq!(page.texts(".panel h3").len(), 1);
    // What is said of it is true of it, not of the scenario it was made from.
    let told = page.texts("#teaches")[0].clone();
    assert!(
        told.contains("heater 400 W") && told.contains("room 22 °C; 3 d"),
        "{told}"
    );
    // The guess is still there after another tank was put on the page.
    assert_eq!(page.value("document.querySelector('[name=guess]').checked"), true);
    page.value("document.getElementById('lesson').focus()");
    page.tab_to("#reveal");
    page.press("Enter");
    wait_for(&mut page, "!document.getElementById('lesson-answer').hidden");
    let answer = page.texts("#lesson-answer").join(" ");
    let told = tepid_page::lesson::told("big-heater").expect("told");
    assert!(
        answer.contains("You guessed A; it came out as B.") && answer.contains(&told.answer),
        "{answer}"
    );
    assert_eq!(page.texts("#lesson-answer tbody tr").len(), 3);
    page.screenshot("lesson-answered");
    assert_eq!(page.complaints(), [""; 0]);
    assert!(
        page.requests().iter().all(|address| address.starts_with("file:")),
        "{:?}",
        page.requests()
    );
}

pub(crate) fn open_lesson(page: &mut Page, name: &str) {
    page.value(&format!(
        "document.querySelector('#lesson').value = '{name}'; document.querySelector('#lesson').dispatchEvent(new Event('change'))"
    ));
}

/// What is done to the tanks of a lesson is done to all that have it; a link brings all of them back with it.
pub fn what_is_done_beside_each_other_is_done_to_all_and_linked() {
    let mut page = live();
    open_lesson(&mut page, "cut-out");
    assert_eq!(page.texts(".panel h3").len(), 4);
    let scores = page.texts("#scores td");
    page.click("#end");
    assert!(
        page.texts("#scores td").iter().all(|score| score != "–"),
        "every tank is scored, the guarded one too: {:?}",
        page.texts("#scores td")
    );
    page.click("#rewind");
    page.click("#acts [data-what=cut-power]");
    page.click("#acts [data-what=weld][data-of=cut-out]");
    let done = page.texts("#done li");
    assert!(
        done[0].starts_with("day 1 00:00: cut the power") && !done[0].contains('('),
        "{done:?}"
    );
    assert!(
        done[1].contains("weld cut-out shut (a cut-out in the same box; a cut-out in its own box)"),
        "{done:?}"
    );
    page.click("#end");
    let shown = (
        page.texts("#now text"),
        page.texts("#scores td"),
        page.texts("#done li"),
    );
    assert_ne!(shown.1, scores);
    let link = page.value("document.getElementById('link').href");
    page.go_to("about:blank");
    page.go_to(link.as_str().expect("a link"));
    wait_for(&mut page, "document.body.dataset.ready");
    assert_eq!(
        (
            page.texts("#now text"),
            page.texts("#scores td"),
            page.texts("#done li")
        ),
        shown
    );
    page.click("#done [data-forget]");
    assert_eq!(page.texts("#done li").len(), shown.2.len() - 1);
    assert_eq!(page.complaints(), [""; 0]);
}

/// A link to a lesson's tank brings the question back, not its answer; leaving the lesson leaves the page as it was.
pub fn a_link_leads_into_a_lesson_and_out_again() {
    let mut page = live();
    open_lesson(&mut page, "cut-out");
    page.click("[data-stage='1']");
    let strategies = page.texts(".panel h3");
    assert!(
        strategies[0].starts_with("on-off with a limit,"),
        "{strategies:?}"
    );
    let does = page.texts(".panel .does");
    assert!(
        does[0].contains("on-off: heats below") && does[0].contains("software-limit: opens everything"),
        "{does:?}"
    );
    assert_eq!(
        page.texts("#commands li"),
        ["tepid run cut-out-a-limit-in-the-program-live.toml --strategy on-off-with-a-limit.toml"]
    );
    assert_eq!(
        page.texts("#files li"),
        [
            "Save cut-out-a-limit-in-the-program-live.toml",
            "Save on-off-with-a-limit.toml"
        ]
    );
    page.click("[name=guess]");
    page.click("#reveal");
    let link = page.value("document.getElementById('link').href");
    page.go_to("about:blank");
    page.go_to(link.as_str().expect("a link"));
    wait_for(&mut page, "document.body.dataset.ready");
    assert_eq!(
        page.texts("#lesson-page [aria-pressed=true]"),
        ["a limit in the program"]
    );
    assert_eq!(
        page.value("document.getElementById('lesson-answer').hidden"),
        true
    );
    assert_eq!(
        page.value("document.getElementById('scenario').selectedOptions[0].textContent"),
        "cut-out, a limit in the program"
    );
    open_lesson(&mut page, "");
    assert_eq!(page.value("document.getElementById('lesson-page').hidden"), true);
    assert_eq!(page.texts("#scenario option").len(), 8);
    assert_eq!(page.texts(".panel h3").len(), 2);
    assert_eq!(page.complaints(), [""; 0]);
}

/// Every lesson with all its tanks, and its answer, on a telephone and on a wide screen.
pub fn every_lesson_fits_narrow_and_wide_screens() {
    let mut page = live();
    for (width, name) in [(1440, "wide"), (360, "narrow")] {
        page.resize(width, 800);
        for lesson in tepid_lessons::lessons() {
            open_lesson(&mut page, lesson.name);
            let tanks = (lesson.set_ups)().len();
            assert_eq!(page.texts(".panel h3").len(), tanks, "{}", lesson.name);
            page.click("#end");
            page.click("[name=guess]");
            page.click("#reveal");
            assert_eq!(
                page.value("document.getElementById('message').hidden"),
                true,
                "{}",
                lesson.name
            );
            assert_eq!(page.sticks_out_px(), 0, "{} at {width}", lesson.name);
        }
        page.screenshot(&format!("lesson-{name}"));
    }
    assert_eq!(page.complaints(), [""; 0]);
}

/// A handout opens from disk, fetches nothing, fits a telephone, and prints on at most four sheets with the guess on the first.
pub fn a_handout_opens_and_prints() {
    for name in ["outage", "cut-out", "deadband"] {
        let lesson = tepid_lessons::lesson(name).expect("there");
        let given = tepid::lesson::given(lesson).expect("given");
        let picture = given.figure.bare_svg().expect("a picture");
        let text = tepid_output::handout::handout(
            &given.record,
            &picture,
            true,
            tepid_output::wording::Units::Metric,
        );
        let mut page = Page::open_file(&written(&format!("handout-{name}.html"), text));
        for width in [794, 360] {
            page.resize(width, 1123);
            assert_eq!(page.sticks_out_px(), 0, "{name} at {width}");
        }
        page.resize(794, 1123);
        page.screenshot(&format!("handout-{name}"));
        let printed = page.printed(&format!("handout-{name}"));
        let text = String::from_utf8_lossy(&printed);
        let sheets = text.matches("/Type /Page\n").count();
        assert!((3..=4).contains(&sheets), "{name}: {sheets} sheets");
        assert_eq!(page.complaints(), [""; 0]);
        assert!(page.requests().iter().all(|address| address.starts_with("file:")));
    }
}
