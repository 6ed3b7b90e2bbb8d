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
    let page = tepid_output::live::page(None).expect("a page");
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

/// The warmest water of the first strategy that the chart names, °C.
fn told_c(page: &mut Page) -> f64 {
    let label = page
        .texts("#now text[font-weight]")
        .first()
        .cloned()
        .expect("a label");
    let number = label
        .split(' ')
        .rev()
        .nth(1)
        .and_then(|number| number.parse().ok());
    number.unwrap_or_else(|| panic!("no figure in {label}"))
}

/// By keys alone: choose a lesson, guess, put its third tank on the page, go to the end, see the rise, and have the answer shown.
pub fn a_lesson_is_chosen_guessed_played_and_answered_by_keys() {
    let mut page = live();
    page.tab_to("#lesson");
    // The first lesson is the one below "none".
    page.press("ArrowDown");
    wait_for(&mut page, "!document.getElementById('lesson-page').hidden");
    assert_eq!(page.texts("#lesson-page h3")[0], "Why a big heater is a risk");
    assert!(
        page.texts("#done li")[0].contains("weld relay"),
        "{:?}",
        page.texts("#done li")
    );
    assert_eq!(page.value("document.getElementById('reveal').disabled"), true);
    assert_eq!(
        page.value("document.getElementById('lesson-answer').hidden"),
        true
    );
    page.tab_to("[name=guess]");
    page.press(" ");
    assert_eq!(page.value("document.getElementById('reveal').disabled"), false);
    assert!(page.texts("#reveal-note")[0].contains("A"));
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
    let before = told_c(&mut page);
    page.tab_to("#end");
    page.press("Enter");
    let after = told_c(&mut page);
    assert!(after > before + 5.0, "from {before} to {after} °C");
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

/// A link to a lesson's tank brings the question back, not its answer; leaving the lesson leaves the page as it was.
pub fn a_link_leads_into_a_lesson_and_out_again() {
    let mut page = live();
    page.value("document.querySelector('#lesson').value = 'cut-out'; document.querySelector('#lesson').dispatchEvent(new Event('change'))");
    page.click("[data-stage='1']");
    let strategies = page.texts(".panel h3");
    assert!(
        strategies[0].starts_with("on-off with a limit.toml"),
        "{strategies:?}"
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
        "cut-out, a limit in the program.toml"
    );
    page.value("document.querySelector('#lesson').value = ''; document.querySelector('#lesson').dispatchEvent(new Event('change'))");
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
            page.value(&format!(
                "document.querySelector('#lesson').value = '{}'; document.querySelector('#lesson').dispatchEvent(new Event('change'))",
                lesson.name
            ));
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
