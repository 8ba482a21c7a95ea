//! A headless Chromium, driven over its DevTools protocol.
//!
//! The protocol (Chrome DevTools Protocol, stable parts) is JSON over a web socket; the few calls a
//! test of a page needs are here.

use std::io::{BufRead as _, BufReader, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tungstenite::stream::MaybeTlsStream;
use tungstenite::{Message, WebSocket};

/// The browser's names, the first found being used.
const NAMES: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];
/// A busy machine may take its time; longer than this is a fault.
const PATIENCE: Duration = Duration::from_secs(120);

/// A browser with one page open.
pub struct Browser {
    process: Child,
    socket: WebSocket<MaybeTlsStream<TcpStream>>,
    session: String,
    sent: u64,
    /// What the page reported of itself, unasked.
    events: Vec<Value>,
    _profile: tempfile::TempDir,
}

/// The browser's file, put in place by scripts/setup-browser if need be; none where that fails.
///
/// With CI=true its absence is a failure.
pub fn browser_or_skip(test: &str) -> Option<&'static str> {
    static FOUND: OnceLock<Option<&'static str>> = OnceLock::new();
    let found = *FOUND.get_or_init(|| {
        installed().or_else(|| {
            let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("scripts/setup-browser");
            let _ = Command::new(script).status();
            installed()
        })
    });
    if found.is_none() {
        let must = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(
            !must,
            "CI must look at the report, but there is no Chromium"
        );
        // Past the test harness, which keeps what a passing test prints to itself.
        let _ = writeln!(
            std::io::stderr(),
            "\n*** SKIPPED {test}: no Chromium, and scripts/setup-browser could not install it ***\n"
        );
    }
    found
}

fn installed() -> Option<&'static str> {
    NAMES.into_iter().find(|name| {
        let version = Command::new(name).arg("--version").output();
        version.is_ok_and(|output| output.status.success())
    })
}

impl Browser {
    /// Starts a browser with an empty page.
    pub fn start(program: &str) -> Self {
        let profile = tempfile::tempdir().unwrap();
        let mut process = Command::new(program)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--disable-dev-shm-usage",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
                "--no-first-run",
                "--hide-scrollbars",
                "--remote-debugging-port=0",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg("about:blank")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // It says where it listens, and must go on being read, or it stops at a full pipe.
        let mut lines = BufReader::new(process.stderr.take().unwrap()).lines();
        let address = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| Some(line.strip_prefix("DevTools listening on ")?.to_owned()))
            .expect("the browser says where it listens");
        std::thread::spawn(move || lines.for_each(drop));
        let (socket, _) = tungstenite::connect(address).unwrap();
        if let MaybeTlsStream::Plain(stream) = socket.get_ref() {
            stream.set_read_timeout(Some(PATIENCE)).unwrap();
        }
        let mut browser = Self {
            process,
            socket,
            session: String::new(),
            sent: 0,
            events: Vec::new(),
            _profile: profile,
        };
        let target = browser.call("Target.createTarget", json!({ "url": "about:blank" }));
        let attach = json!({ "targetId": target["targetId"], "flatten": true });
        let attached = browser.call("Target.attachToTarget", attach);
        browser.session = attached["sessionId"].as_str().unwrap().to_owned();
        for domain in ["Page", "Runtime", "Log", "Network"] {
            browser.call(&format!("{domain}.enable"), json!({}));
        }
        browser
    }

    /// Calls a method and waits for its result; events met meanwhile are kept.
    pub fn call(&mut self, method: &str, parameters: Value) -> Value {
        self.sent += 1;
        let mut message = json!({ "id": self.sent, "method": method, "params": parameters });
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        self.socket
            .send(Message::text(message.to_string()))
            .unwrap();
        loop {
            let answer = self.next();
            if answer["id"] == json!(self.sent) {
                assert!(answer["error"].is_null(), "{method}: {}", answer["error"]);
                return answer["result"].clone();
            }
            self.events.push(answer);
        }
    }

    fn next(&mut self) -> Value {
        loop {
            if let Message::Text(text) = self.socket.read().expect("the browser answers") {
                return serde_json::from_str(text.as_str()).unwrap();
            }
        }
    }

    /// Sets the width and height of the page in CSS pixels, as on a device of that size.
    pub fn resize(&mut self, width: u32, height: u32) {
        let metrics = json!({
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600,
        });
        self.call("Emulation.setDeviceMetricsOverride", metrics);
    }

    /// Shows the page as on a medium (`screen` or `print`), light or dark.
    pub fn show_as(&mut self, medium: &str, scheme: &str) {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        let media = json!({ "media": medium, "features": features });
        self.call("Emulation.setEmulatedMedia", media);
    }

    /// Opens a file and waits until it is loaded.
    pub fn open(&mut self, file: &Path) {
        self.events.clear();
        let url = format!("file://{}", file.canonicalize().unwrap().display());
        self.call("Page.navigate", json!({ "url": url }));
        let begun = Instant::now();
        while self.evaluate("document.readyState") != json!("complete") {
            assert!(begun.elapsed() < PATIENCE, "the page does not load");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// The value of an expression in the page.
    pub fn evaluate(&mut self, expression: &str) -> Value {
        let call = json!({ "expression": expression, "returnByValue": true });
        let answer = self.call("Runtime.evaluate", call);
        assert!(
            answer["exceptionDetails"].is_null(),
            "{expression}: {}",
            answer["exceptionDetails"]
        );
        answer["result"]["value"].clone()
    }

    /// Presses a key such as `Tab`.
    pub fn press(&mut self, key: &str, code: u32) {
        for kind in ["keyDown", "keyUp"] {
            let event = json!({
                "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code,
            });
            self.call("Input.dispatchKeyEvent", event);
        }
    }

    /// What went wrong in the page: exceptions, console messages and entries of the log.
    pub fn complaints(&self) -> Vec<&Value> {
        self.told(&[
            "Runtime.exceptionThrown",
            "Runtime.consoleAPICalled",
            "Log.entryAdded",
        ])
    }

    /// The addresses the page asked for.
    pub fn requests(&self) -> Vec<String> {
        let told = self.told(&["Network.requestWillBeSent"]);
        let address = |event: &Value| {
            event["params"]["request"]["url"]
                .as_str()
                .map(str::to_owned)
        };
        told.into_iter().filter_map(address).collect()
    }

    fn told(&self, methods: &[&str]) -> Vec<&Value> {
        let is_one = |event: &&Value| methods.iter().any(|method| event["method"] == *method);
        self.events.iter().filter(is_one).collect()
    }

    /// The whole page as a picture, PNG in base64.
    pub fn screenshot(&mut self) -> String {
        let how = json!({ "captureBeyondViewport": true });
        let answer = self.call("Page.captureScreenshot", how);
        answer["data"].as_str().unwrap().to_owned()
    }

    /// The page on paper, PDF in base64.
    pub fn print(&mut self) -> String {
        let how = json!({ "preferCSSPageSize": true, "printBackground": true });
        let answer = self.call("Page.printToPDF", how);
        answer["data"].as_str().unwrap().to_owned()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
