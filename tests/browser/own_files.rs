//! Files of one's own on the live page.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::live::{assert_clean, fragment, pause_ms, told_c, wait, written};
use crate::page::{Page, file_address};

const NARROW: &str = "strategy = \"on-off\"\ndeadband = \"0.2 K\"\n";

/// A file in the folder of these checks.
fn file(name: &str, text: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("own-files");
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join(name);
    std::fs::write(&path, text).expect("written");
    path
}

/// The reef of the spare room with one big heater, as somebody wrote it down.
fn my_tank() -> String {
    let text = tepid_scenarios::written_out("spare-room-one-big-heater", &[]).expect("written out");
    text.replace("one big heater", "of mine")
}

fn opened(files: &[&Path]) -> Page {
    let mut page = Page::open_file(&written());
    wait(&mut page);
    page.pick("#open", files);
    pause_ms(&mut page, 1500);
    page
}

/// Picked, dropped, turned and welded; the link brings all of it back, and the saved file is the tank that ran.
pub fn a_picked_tank_is_shown_linked_and_saved() {
    let tank = file("my-tank.toml", &my_tank());
    let mut page = opened(&[&tank]);
    assert_eq!(
        page.value("document.querySelector('#scenario').value"),
        "my-tank.toml",
        "{:?}",
        page.texts("#message")
    );
    assert!(page.texts("#teaches")[0].contains("of mine"));
    page.drop_file(&file("narrow.toml", NARROW));
    pause_ms(&mut page, 1500);
    assert!(
        page.texts(".panel h3")
            .iter()
            .any(|name| name.starts_with("narrow,"))
    );
    page.click("#acts [data-what=weld][data-of=relay]");
    page.value("document.querySelector('#at').value = 20 * 60; document.querySelector('#at').dispatchEvent(new Event('input'))");
    let shown_c = told_c(&mut page, "narrow");
    assert!(shown_c > 28.0, "{shown_c} °C");
    page.screenshot("own-tank");

    let saved = "(() => { const click = HTMLAnchorElement.prototype.click; let name; HTMLAnchorElement.prototype.click = function () { name = this.download; }; \
        let blob; const make = URL.createObjectURL; URL.createObjectURL = (of) => { blob = of; return make.call(URL, of); }; \
        document.querySelector('#files [data-save]').click(); HTMLAnchorElement.prototype.click = click; URL.createObjectURL = make; \
        return blob.text().then(text => [name, text]); })()";
    let saved: [String; 2] = serde_json::from_value(page.value(saved)).expect("a file");
    assert_eq!(saved[0], "my-tank-live.toml");
    let scenario = tepid_scenarios::scenario_text(&saved[0], &saved[1]).expect("loads");
    assert!(scenario.title.ends_with("of mine, tried live"));
    assert_eq!(
        scenario.happenings.len(),
        1 + tepid_scenarios::scenario_text("x", &my_tank())
            .expect("loads")
            .happenings
            .len()
    );

    pause_ms(&mut page, 600);
    let link = page.value("location.href");
    let link = link.as_str().expect("an address");
    assert!(link.contains("&files="), "{link}");
    let mut other = Page::open(link);
    wait(&mut other);
    assert_eq!(told_c(&mut other, "narrow"), shown_c);
    assert_eq!(other.texts("#done li"), page.texts("#done li"));
    assert_clean(&mut page);
    assert_clean(&mut other);
}

/// Line, column, what was expected, the nearest name; and what was shown before is shown still.
pub fn a_mistake_is_told_at_its_place_and_the_page_stays_as_it_was() {
    let text = my_tank().replacen("power = \"400 W\"", "pwoer = \"400 W\"", 1);
    let line = text
        .lines()
        .position(|line| line.contains("pwoer"))
        .expect("a line")
        + 1;
    let mut page = opened(&[&file("wrong.toml", &text)]);
    let told = page.texts("#message")[0].clone();
    for part in [
        format!("wrong.toml:{line}:1"),
        "did you mean `power`?".to_owned(),
        "expected one of".to_owned(),
    ] {
        assert!(told.contains(&part), "{part} in {told}");
    }
    assert_eq!(page.value("document.querySelector('#message').hidden"), false);
    assert_eq!(
        page.value("document.querySelector('#scenario').value"),
        "spare-room-winter"
    );
    page.screenshot_of_the_screen("own-mistake");
    page.resize(360, 800);
    assert_eq!(page.sticks_out_px(), 0);
    // Whoever picks it on a telephone has the words before them, not below the screen.
    page.pick("#open", &[&file("wrong.toml", &text)]);
    pause_ms(&mut page, 500);
    let seen = "(() => { const box = document.querySelector('#message').getBoundingClientRect(); return [box.top, box.bottom, innerHeight]; })()";
    let seen: [f64; 3] = serde_json::from_value(page.value(seen)).expect("places");
    // Browsers scroll by whole pixels.
    assert!(seen[0] >= 0.0 && seen[1] <= seen[2] + 1.0, "{seen:?}");
    page.screenshot("own-mistake-360");
    // Mended under the same name it opens.
    page.pick("#open", &[&file("wrong.toml", &my_tank())]);
    pause_ms(&mut page, 1500);
    assert_eq!(page.value("document.querySelector('#message').hidden"), true);
    assert_eq!(
        page.value("document.querySelector('#scenario').value"),
        "wrong.toml"
    );
    let study = file(
        "study.toml",
        "scenarios = [\"lidded-nano\"]\nstrategies = [\"on-off\"]\n",
    );
    page.pick("#open", &[&study]);
    pause_ms(&mut page, 500);
    assert!(page.texts("#message")[0].contains("this is a study"));
    page.pick(
        "#open",
        &[&Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/images/live.png")],
    );
    pause_ms(&mut page, 500);
    assert!(
        page.texts("#message")[0].contains("this is no text"),
        "{:?}",
        page.texts("#message")
    );
    assert_clean(&mut page);
}

/// Words that nothing can shorten make an address that no mail takes.
pub fn what_is_too_long_for_a_link_says_so() {
    let mut seed = 1_u64;
    let noise: String = (0..40_000)
        .map(|_| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            char::from(b'!' + u8::try_from((seed >> 33) % 90).expect("a letter"))
        })
        .collect();
    let long = format!("# {noise}\n{}", my_tank());
    let mut page = opened(&[&file("long.toml", &long)]);
    assert_eq!(
        page.value("document.querySelector('#scenario').value"),
        "long.toml"
    );
    assert_eq!(page.value("document.querySelector('#link').hidden"), true);
    assert!(page.texts("#no-link")[0].starts_with("This is too long for a link"));
    assert_clean(&mut page);
}

/// `tepid live my-tank.toml --strategy narrow.toml --set …`: the page begins there.
pub fn the_program_opens_the_page_at_ones_own_files() {
    let (tank, narrow) = (file("at.toml", &my_tank()), file("narrow.toml", NARROW));
    let out = tank.with_file_name("live.html");
    let tepid = Command::new(env!("CARGO_BIN_EXE_tepid"))
        .arg("live")
        .arg(&tank)
        .arg("--strategy")
        .arg(&narrow)
        .args(["--strategy", "pi", "--set", "heater.heater.power=150 W", "-o"])
        .arg(&out)
        .output()
        .expect("tepid runs");
    assert!(
        tepid.status.success(),
        "{}",
        String::from_utf8_lossy(&tepid.stderr)
    );
    let mut page = Page::open(&file_address(&out));
    wait(&mut page);
    assert_eq!(
        page.value("document.querySelector('#scenario').value"),
        "at, changed.toml"
    );
    let names = page.texts(".panel h3");
    assert!(
        names[0].starts_with("narrow,") && names[1].starts_with("pi"),
        "{names:?}"
    );
    let power = page.texts(".slider:has([data-key=heater-power]) .value");
    assert_eq!(power, ["150 W"]);
    assert_clean(&mut page);
}

const HOSTILE: &str = "<img src=x onerror=\"throw Error('run')\">";

/// Names in files and links are words, whatever signs they hold: nothing of them becomes a part of the page, or runs.
pub fn names_in_files_and_links_stay_words() {
    let hostile = toml_text(HOSTILE);
    let text = my_tank()
        .replace("\"heater\"", &hostile)
        .replace("\"relay\"\nkind", &format!("{hostile}\nkind"))
        .replace("\"relay\", ", &format!("{hostile}, "))
        .replace("\"display\"", &toml_text(&format!("{HOSTILE}2")))
        .replace("of mine", HOSTILE.replace('"', "'").as_str());
    let mut page = opened(&[&file("hostile.toml", &text)]);
    assert_eq!(
        page.value("document.querySelector('#scenario').value"),
        "hostile.toml",
        "{:?}",
        page.texts("#message")
    );
    assert!(
        page.texts("#acts button")
            .iter()
            .any(|words| words.contains("<img"))
    );
    page.click("#acts [data-what=weld]");
    page.click("#acts [data-what=kill-heater]");
    page.click("#end");
    page.click("[data-undo]");
    pause_ms(&mut page, 300);
    assert_eq!(page.value("document.images.length"), 0);
    assert_clean(&mut page);

    let state = serde_json::json!({
        "scenario": "spare-room-winter", "strategies": ["on-off", HOSTILE], "at": HOSTILE,
        "sliders": {"room": format!("\">{HOSTILE}")}, "acts": [{"what": HOSTILE, "of": HOSTILE, "from_min": 1}],
    });
    for part in ["sliders", "acts", "strategies", "scenario"] {
        let mut state = state.clone();
        for other in ["sliders", "acts"] {
            if part != other {
                state[other] = serde_json::Value::Null;
            }
        }
        if part == "scenario" {
            state["scenario"] = HOSTILE.into();
        }
        let mut page = Page::open(&format!("{}#{}", file_address(&written()), fragment(&state)));
        wait(&mut page);
        pause_ms(&mut page, 300);
        assert_eq!(page.value("document.images.length"), 0, "{part}");
        assert_clean(&mut page);
    }
}

/// A link that cannot be shown, followed from a page at work, leaves it at work.
pub fn a_link_that_cannot_be_shown_leaves_the_page_as_it_was() {
    let mut page = opened(&[&file("my-tank.toml", &my_tank())]);
    let bad =
        serde_json::json!({"scenario": "lidded-nano", "strategies": ["on-off"], "sliders": {"colour": 3}});
    page.value(&format!("location.hash = '{}'", fragment(&bad)));
    pause_ms(&mut page, 1500);
    assert!(page.texts("#message")[0].contains("no slider `colour`"));
    assert_eq!(
        page.value("document.querySelector('#scenario').value"),
        "my-tank.toml"
    );
    page.click("#step");
    assert_eq!(page.texts("#clock"), ["day 1 00:10"]);
    page.click("#acts [data-what=weld]");
    assert_eq!(page.value("document.querySelector('#message').hidden"), true);
    assert_clean(&mut page);
}

fn toml_text(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
