//! A page in a browser, as somebody in front of it has it: keys, mouse, width, what it looks like, what it complains of, what it fetches.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::chromium::Chromium;

/// One page in a browser of its own.
pub struct Page {
    browser: Chromium,
    session: String,
}

impl Page {
    /// Opens an address, 1440 by 900 pixels, and waits until it is loaded.
    pub fn open(address: &str) -> Self {
        let mut browser = Chromium::start();
        let target = browser.ask(None, "Target.createTarget", json!({"url": "about:blank"}));
        let attached = browser.ask(
            None,
            "Target.attachToTarget",
            json!({"targetId": target["targetId"], "flatten": true}),
        );
        let session = attached["sessionId"].as_str().expect("a session").to_owned();
        let mut page = Self { browser, session };
        for domain in ["Page", "Runtime", "Log", "Network"] {
            page.ask(&format!("{domain}.enable"), json!({}));
        }
        page.resize(1440, 900);
        page.go_to(address);
        page
    }

    /// Opens a file.
    pub fn open_file(path: &Path) -> Self {
        Self::open(&file_address(path))
    }

    /// Goes to another address in the same page and waits until it is loaded.
    pub fn go_to(&mut self, address: &str) {
        let gone = self.ask("Page.navigate", json!({"url": address}));
        assert!(gone["errorText"].is_null(), "{address}: {}", gone["errorText"]);
        self.browser.wait_for(&self.session, "Page.loadEventFired");
    }

    /// The value of an expression; a promise is waited for.
    pub fn value(&mut self, expression: &str) -> Value {
        let answer = self.ask(
            "Runtime.evaluate",
            json!({"expression": expression, "returnByValue": true, "awaitPromise": true, "userGesture": true}),
        );
        assert!(
            answer["exceptionDetails"].is_null(),
            "{expression}: {}",
            answer["exceptionDetails"]
        );
        answer["result"]["value"].clone()
    }

    /// The text of every element that a selector finds.
    pub fn texts(&mut self, selector: &str) -> Vec<String> {
        let found = self.value(&format!(
            "[...document.querySelectorAll({})].map(element => element.textContent.trim())",
            json!(selector)
        ));
        serde_json::from_value(found).expect("a list of texts")
    }

    /// Clicks the middle of the first element that a selector finds, with a mouse.
    pub fn click(&mut self, selector: &str) {
        let middle = self.value(&format!(
            "(() => {{ const element = document.querySelector({}); element.scrollIntoView({{block: 'center'}}); \
             const box = element.getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; }})()",
            json!(selector)
        ));
        for kind in ["mousePressed", "mouseReleased"] {
            self.ask(
                "Input.dispatchMouseEvent",
                json!({"type": kind, "x": middle[0], "y": middle[1], "button": "left", "clickCount": 1}),
            );
        }
    }

    /// Presses a key: "Tab", "Enter", " ", "ArrowRight", "a".
    pub fn press(&mut self, key: &str) {
        self.press_held(key, 0);
    }

    /// Goes back by one tab.
    pub fn tab_back(&mut self) {
        const SHIFT: u8 = 8;
        self.press_held("Tab", SHIFT);
    }

    /// Presses a key while others are held.
    fn press_held(&mut self, key: &str, held: u8) {
        let code = match key {
            "Tab" => 9,
            "Enter" => 13,
            "Escape" => 27,
            " " => 32,
            "ArrowLeft" => 37,
            "ArrowUp" => 38,
            "ArrowRight" => 39,
            "ArrowDown" => 40,
            _ => key.to_ascii_uppercase().bytes().next().map_or(0, u32::from),
        };
        let text = match key {
            "Enter" => "\r",
            one if one.chars().count() == 1 => one,
            _ => "",
        };
        let named = if key == " " { "Space" } else { key };
        let pressed = json!({"type": "keyDown", "key": key, "code": named, "windowsVirtualKeyCode": code, "text": text, "modifiers": held});
        self.ask("Input.dispatchKeyEvent", pressed);
        let released = json!({"type": "keyUp", "key": key, "code": named, "windowsVirtualKeyCode": code, "modifiers": held});
        self.ask("Input.dispatchKeyEvent", released);
    }

    /// Presses Tab until what a selector finds has the focus; fails where no number of tabs reaches it.
    pub fn tab_to(&mut self, selector: &str) {
        for _ in 0..400 {
            self.press("Tab");
            let reached = format!(
                "document.activeElement !== null && document.activeElement.matches({})",
                json!(selector)
            );
            if self.value(&reached) == true {
                return;
            }
        }
        panic!("no number of tabs reaches {selector}");
    }

    /// Picks files in the file picker that a selector finds.
    pub fn pick(&mut self, selector: &str, files: &[&Path]) {
        let document = self.ask("DOM.getDocument", json!({}));
        let found = self.ask(
            "DOM.querySelector",
            json!({"nodeId": document["root"]["nodeId"], "selector": selector}),
        );
        self.ask(
            "DOM.setFileInputFiles",
            json!({"nodeId": found["nodeId"], "files": files}),
        );
    }

    /// Drops a file on the page.
    pub fn drop_file(&mut self, file: &Path) {
        for kind in ["dragEnter", "dragOver", "drop"] {
            self.ask(
                "Input.dispatchDragEvent",
                json!({"type": kind, "x": 300, "y": 300, "data": {"items": [], "files": [file], "dragOperationsMask": 1}}),
            );
        }
    }

    /// Gives the page another size, in CSS pixels.
    pub fn resize(&mut self, width: u32, height: u32) {
        self.ask(
            "Emulation.setDeviceMetricsOverride",
            json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": false}),
        );
    }

    /// Shows it as somebody who prefers `scheme`, "light" or "dark", has it.
    pub fn prefer(&mut self, scheme: &str) {
        self.ask(
            "Emulation.setEmulatedMedia",
            json!({"features": [{"name": "prefers-color-scheme", "value": scheme}]}),
        );
    }

    /// Lays it out as on a sheet of A4 with the margins that its style asks for, 688 CSS pixels of text across.
    pub fn on_paper(&mut self) {
        self.resize(688, 1000);
        self.ask("Emulation.setEmulatedMedia", json!({"media": "print"}));
    }

    /// How much wider the document is than what shows of it, pixels; more than 0: it scrolls sideways.
    pub fn sticks_out_px(&mut self) -> i64 {
        self.value("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            .as_i64()
            .expect("a number of pixels")
    }

    /// Every error or warning that the page caused, in the console or thrown.
    pub fn complaints(&mut self) -> Vec<String> {
        // Whatever is under way has come to the console before the answer to this.
        self.value("new Promise(done => requestAnimationFrame(() => setTimeout(() => done(true), 0)))");
        let told = self.browser.told(
            &self.session,
            &[
                "Runtime.consoleAPICalled",
                "Runtime.exceptionThrown",
                "Log.entryAdded",
            ],
        );
        told.iter()
            .filter(|event| {
                let kind = &event["params"]["type"];
                kind.is_null() || *kind == "error" || *kind == "warning" || *kind == "assert"
            })
            .map(|event| event["params"].to_string())
            .collect()
    }

    /// Addresses of everything that the page fetched or tried to, itself included.
    pub fn requests(&mut self) -> Vec<String> {
        self.browser
            .told(&self.session, &["Network.requestWillBeSent"])
            .iter()
            .filter_map(|event| event["params"]["request"]["url"].as_str().map(str::to_owned))
            .collect()
    }

    /// A picture of the whole page, kept as an artefact under `screenshots/` beside the test's other files; gives its place.
    pub fn screenshot(&mut self, name: &str) -> PathBuf {
        let size = self.ask("Page.getLayoutMetrics", json!({}));
        let whole = self.ask(
            "Page.captureScreenshot",
            json!({"format": "png", "captureBeyondViewport": true, "clip": {
                "x": 0, "y": 0, "scale": 1,
                "width": size["cssContentSize"]["width"], "height": size["cssContentSize"]["height"]}}),
        );
        kept(&format!("{name}.png"), &decoded(&whole["data"]))
    }

    /// A picture of what shows of the page, without scrolling, kept as an artefact like [`Self::screenshot`].
    pub fn screenshot_of_the_screen(&mut self, name: &str) -> PathBuf {
        self.value("scrollTo(0, 0)");
        let screen = self.ask("Page.captureScreenshot", json!({"format": "png"}));
        kept(&format!("{name}.png"), &decoded(&screen["data"]))
    }

    /// What the page prints as, kept as an artefact; gives its bytes.
    pub fn printed(&mut self, name: &str) -> Vec<u8> {
        let printed = self.ask(
            "Page.printToPDF",
            json!({"printBackground": false, "preferCSSPageSize": true}),
        );
        let bytes = decoded(&printed["data"]);
        kept(&format!("{name}.pdf"), &bytes);
        bytes
    }

    fn ask(&mut self, method: &str, parameters: Value) -> Value {
        self.browser.ask(Some(&self.session), method, parameters)
    }
}

/// The address of a file on this machine.
pub fn file_address(path: &Path) -> String {
    let whole = path.canonicalize().expect("the file is there");
    format!("file://{}", whole.display())
}

fn kept(name: &str, bytes: &[u8]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("screenshots");
    std::fs::create_dir_all(&folder).expect("a folder for pictures");
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("the picture is written");
    path
}

/// Bytes from base 64 (RFC 4648, section 4).
fn decoded(text: &Value) -> Vec<u8> {
    let digit = |byte: u8| match byte {
        b'A'..=b'Z' => Some(byte - b'A'),
        b'a'..=b'z' => Some(byte - b'a' + 26),
        b'0'..=b'9' => Some(byte - b'0' + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    };
    let digits: Vec<u8> = text
        .as_str()
        .expect("base 64")
        .bytes()
        .filter_map(digit)
        .collect();
    let mut bytes = Vec::with_capacity(digits.len() * 3 / 4);
    for four in digits.chunks(4) {
        let bits = four.iter().enumerate().fold(0_u32, |bits, (place, digit)| {
            bits | u32::from(*digit) << (18 - 6 * place)
        });
        bytes.extend_from_slice(&bits.to_be_bytes()[1..four.len()]);
    }
    bytes
}
