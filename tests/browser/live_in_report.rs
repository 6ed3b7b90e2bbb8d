//! The live tank inside a report, as somebody has it who got the report by mail.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::{Value, json};

use crate::live::pause_ms;
use crate::page::{Page, file_address};

/// A short report that carries the live tank, under this name, with these arguments.
fn report(name: &str, arguments: &[&str]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("live-in-report");
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join(name);
    std::fs::write(
        folder.join("narrow.toml"),
        "strategy = \"on-off\"\ndeadband = \"0.2 K\"\n",
    )
    .expect("written");
    let written = Command::new(env!("CARGO_BIN_EXE_tepid"))
        .current_dir(&folder)
        .args([
            "report",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--live",
            "--runs",
            "1",
        ])
        .args(["--set", "duration=2 d", "--set", "room.year.coldest=22 °C"])
        .args(arguments)
        .arg("-o")
        .arg(&path)
        .output()
        .expect("tepid runs");
    assert!(
        written.status.success(),
        "{}",
        String::from_utf8_lossy(&written.stderr)
    );
    path
}

/// Evaluates within the frame.
fn inside(page: &mut Page, expression: &str) -> Value {
    page.value(&format!(
        "((document) => {expression})(document.querySelector('iframe').contentDocument)"
    ))
}

fn started(path: &Path) -> Page {
    let mut page = Page::open_file(path);
    assert_eq!(page.texts("iframe").len(), 0, "it starts when somebody wants it");
    page.click("[data-start]");
    for _ in 0..200 {
        pause_ms(&mut page, 50);
        if page.value("document.querySelector('iframe')?.contentDocument?.body?.dataset.ready ?? ''") == "yes"
        {
            return page;
        }
    }
    panic!("the tank inside does not get ready: {:?}", page.complaints());
}

fn water_c(page: &mut Page) -> f64 {
    let told = inside(page, "document.querySelector('#now text.curve').textContent");
    let told = told.as_str().expect("a label").to_owned();
    told.split(' ')
        .nth(1)
        .and_then(|figure| figure.parse().ok())
        .expect("a temperature")
}

/// Opened, started, welded: the chart shows the rise; no complaint, no request but the report itself; it fits a telephone and prints.
pub fn the_tank_inside_runs_from_disk_and_shows_a_weld() {
    let path = report("report.html", &[]);
    let mut page = started(&path);
    inside(
        &mut page,
        "document.querySelector('#acts [data-what=weld]').click()",
    );
    let before = water_c(&mut page);
    inside(&mut page, "document.querySelector('#end').click()");
    let after = water_c(&mut page);
    assert!(after > before + 3.0, "from {before} to {after} °C");
    page.value("document.querySelector('iframe').scrollIntoView()");
    page.screenshot("report-with-live");
    page.resize(360, 800);
    pause_ms(&mut page, 400);
    assert_eq!(page.sticks_out_px(), 0);
    assert_eq!(
        inside(
            &mut page,
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        ),
        0
    );
    page.screenshot("report-with-live-360");
    // Neither a link within nor the skip link leads the frame away.
    inside(&mut page, "document.querySelector('.skip').click()");
    pause_ms(&mut page, 200);
    assert_eq!(inside(&mut page, "document.body.dataset.ready"), "yes");
    assert_eq!(inside(&mut page, "document.querySelector('#link').hidden"), true);
    assert!(page.printed("report-with-live").starts_with(b"%PDF-"));
    assert_eq!(page.complaints(), [""; 0]);
    let fetched: Vec<String> = page
        .requests()
        .into_iter()
        .filter(|address| !address.starts_with("about:"))
        .collect();
    assert_eq!(fetched, [file_address(&path)]);
}

/// With the changes, the strategies in files and the seed of the report.
pub fn it_begins_as_the_report_has_it() {
    let path = report("changed.html", &["--strategy", "narrow.toml", "--seed", "11"]);
    let mut page = started(&path);
    let names = inside(
        &mut page,
        "[...document.querySelectorAll('.panel h3')].map(one => one.textContent.split(',')[0])",
    );
    assert_eq!(names, json!(["on-off", "narrow"]));
    assert_eq!(inside(&mut page, "document.querySelector('#at').max"), "2880");
    assert_eq!(
        page.value("JSON.parse(document.querySelector('[data-start]').dataset.start).seed"),
        11
    );
    assert_eq!(page.complaints(), [""; 0]);
}
