//! That the harness sees what a page does wrong: a test of pages is worth nothing with a blind one.

use std::path::Path;

use crate::page::Page;

/// A page that complains, fetches, sticks out, answers a click and a key.
const PAGE: &str = r#"<!doctype html><title>harness</title>
<button id="press" onclick="this.textContent = 'pressed ' + ++times">not pressed</button>
<div style="width: 2000px">wide</div>
<script>let times = 0; console.error("a complaint"); setTimeout(() => { throw new Error("thrown") }, 0);</script>
<img src="missing.png" alt="">"#;

fn page(name: &str) -> Page {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("harness-{name}.html"));
    std::fs::write(&path, PAGE).expect("the page is written");
    Page::open_file(&path)
}

/// Clicks and keys arrive as those of a person do.
pub fn a_click_and_a_key_press_a_button() {
    let mut page = page("good");
    assert_eq!(page.texts("#press"), ["not pressed"]);
    page.click("#press");
    assert_eq!(page.texts("#press"), ["pressed 1"]);
    page.press("Enter");
    assert_eq!(page.texts("#press"), ["pressed 2"]);
    page.press(" ");
    assert_eq!(page.texts("#press"), ["pressed 3"]);
}

/// Complaints, requests and width are seen.
pub fn a_bad_page_is_seen_to_be_bad() {
    let mut page = page("bad");
    page.resize(360, 800);
    assert!(page.sticks_out_px() > 1000);
    let complaints = page.complaints().join("\n");
    for expected in ["a complaint", "thrown", "missing.png"] {
        assert!(complaints.contains(expected), "{expected} in {complaints}");
    }
    assert!(
        page.requests()
            .iter()
            .any(|address| address.ends_with("missing.png"))
    );
}

/// Pictures are of the whole page, in the colours asked for; paper is paper; tabs walk.
pub fn a_page_is_pictured_printed_and_walked_by_tabs() {
    let mut page = page("shown");
    page.prefer("dark");
    assert_eq!(
        page.value("matchMedia('(prefers-color-scheme: dark)').matches"),
        true
    );
    let picture = std::fs::read(page.screenshot("harness")).expect("the picture");
    assert_eq!(picture[1..4], *b"PNG");
    let width = u32::from_be_bytes([picture[16], picture[17], picture[18], picture[19]]);
    assert!(width >= 2000, "the picture is {width} pixels wide");
    assert!(page.printed("harness").starts_with(b"%PDF-"));
    page.tab_to("#press");
    page.go_to("about:blank");
    assert_eq!(page.texts("#press"), [""; 0]);
}
