//! The same drags twice: headless, and by a real pointer in the real window under a virtual display. What each comes to is
//! read from the unit's file on disk.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant, SystemTime};

use egui::{Pos2, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;
use pourcast::garden::{Catalog, LogEntry, Unit};
use pourcast::plan::mark_at;
use pourcast::store::{UnitFile, read_unit};

use super::flows::{MORNING_S, Trial};

/// A drag by a handle's accessible name, as steps from where it is, in points.
struct Drag {
    handle: &'static str,
    by: Vec2,
}

const DRAGS: [Drag; 2] = [
    Drag { handle: "Handle of pour 3", by: Vec2::new(34.0, 3.0) },
    Drag { handle: "Handle of the landing", by: Vec2::new(-28.0, -2.0) },
];
/// Steps of a drag: a hand does not jump.
const STEPS: u8 = 8;

fn example(now_s: i64) -> Unit {
    Catalog::shipped().expect("the shipped profiles").examples[0].unit_at(now_s)
}

fn home_with(unit: &Unit) -> tempfile::TempDir {
    let home = tempfile::tempdir().expect("a folder");
    let folder = home.path().join("units");
    std::fs::create_dir_all(&folder).expect("a folder for units");
    UnitFile::create(&folder.join("unit.ron"), unit).expect("a unit on disk");
    home
}

fn poured(home: &Path) -> Option<(String, f64)> {
    match read_unit(&home.join("units/unit.ron")).ok()?.unit.log.last()? {
        LogEntry::Pour(pour) => Some((pour.product_id.clone(), pour.amount)),
        _ => None,
    }
}

/// Where the pointer goes, and what the headless window comes to.
struct Headless {
    from: Pos2,
    button: Pos2,
    poured: (String, f64),
    mark: f64,
}

fn headless(drag: &Drag, size: Vec2) -> Headless {
    let home = home_with(&example(MORNING_S));
    let path = home.path().join("units/unit.ron");
    let mut trial = Trial::open(home, Some(path), Theme::Light, size, 1.0);
    let planned = trial.harness.state().outlook().expect("a plan").plan.pours();
    let from = trial.harness.get_by_label(drag.handle).rect().center();
    trial.harness.hover_at(from);
    trial.settle();
    trial.harness.drag_at(from);
    trial.harness.step();
    for step in 1..=STEPS {
        trial.harness.hover_at(from + drag.by * (f32::from(step) / f32::from(STEPS)));
        trial.harness.step();
    }
    trial.harness.drop_at(from + drag.by);
    trial.settle();
    let button = trial.harness.get_by_label_contains("I did pour").rect().center();
    trial.harness.get_by_label_contains("I did pour").click();
    trial.settle();
    trial.harness.run_steps(40);
    let poured = poured(trial.home.path()).expect("a pour on disk");
    assert!(!planned.contains(&poured), "{}: the drag changed nothing", drag.handle);
    let planner = &trial.harness.state().outlook().expect("a plan").planner;
    let mark = mark_at(planner, &poured.0, poured.1);
    Headless { from, button, poured, mark }
}

/// A running window; it ends with the test.
struct Window {
    child: Child,
    id: String,
}

impl Drop for Window {
    fn drop(&mut self) {
        // It may have ended by itself, which the test has told by then.
        let _ended = self.child.kill();
        let _status = self.child.wait();
    }
}

fn xdotool(arguments: &[&str]) -> String {
    let output = Command::new("xdotool").args(arguments).output().expect("xdotool");
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}

fn wait_for<T>(what: &str, mut found: impl FnMut() -> Option<T>) -> T {
    let started = Instant::now();
    loop {
        if let Some(found) = found() {
            return found;
        }
        assert!(started.elapsed() < Duration::from_secs(20), "{what} did not come within 20 s");
        std::thread::sleep(Duration::from_millis(50));
    }
}

impl Window {
    fn open(home: &Path) -> Self {
        let child = Command::new(env!("CARGO_BIN_EXE_pourcast"))
            .arg(home.join("units/unit.ron"))
            .env("POURCAST_HOME", home)
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .env_remove("WAYLAND_DISPLAY")
            .env_remove("WAYLAND_SOCKET")
            .stdout(Stdio::null())
            .spawn()
            .expect("the window's program");
        let id = wait_for("the window", || {
            let ids = xdotool(&["search", "--onlyvisible", "--name", "Pourcast"]);
            ids.lines().next().map(str::to_owned).filter(|id| !id.is_empty())
        });
        xdotool(&["windowactivate", "--sync", &id]);
        Self { child, id }
    }

    fn size(&self) -> Vec2 {
        let words = xdotool(&["getwindowgeometry", "--shell", &self.id]);
        let number = |name: &str| {
            let line = words.lines().find_map(|line| line.strip_prefix(name));
            line.and_then(|value| value.parse::<f32>().ok()).expect("the window's size")
        };
        Vec2::new(number("WIDTH="), number("HEIGHT="))
    }

    fn point_at(&self, at: Pos2) {
        let (x, y) = (format!("{:.0}", at.x), format!("{:.0}", at.y));
        xdotool(&["mousemove", "--window", &self.id, &x, &y]);
        std::thread::sleep(Duration::from_millis(60));
    }
}

#[test]
#[ignore = "needs a display and xdotool: .ci/window runs it"]
fn a_drag_by_a_real_pointer_comes_to_what_it_comes_to_headless() {
    for drag in &DRAGS {
        let now = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).expect("a clock");
        let home = home_with(&example(i64::try_from(now.as_secs()).expect("a time")));
        let window = Window::open(home.path());
        // The first frames and the plan.
        std::thread::sleep(Duration::from_secs(3));
        let expected = headless(drag, window.size());
        window.point_at(expected.from);
        xdotool(&["mousedown", "1"]);
        std::thread::sleep(Duration::from_millis(100));
        for step in 1..=STEPS {
            window.point_at(expected.from + drag.by * (f32::from(step) / f32::from(STEPS)));
        }
        xdotool(&["mouseup", "1"]);
        std::thread::sleep(Duration::from_secs(1));
        window.point_at(expected.button);
        xdotool(&["click", "1"]);
        let (id, amount) = wait_for("the pour on disk", || poured(home.path()));
        println!(
            "{}: {amount} by the real pointer, {} headless, mark {}",
            drag.handle, expected.poured.1, expected.mark
        );
        assert_eq!(id, expected.poured.0);
        assert!((amount - expected.poured.1).abs() <= expected.mark + 1e-9, "{amount} for {}", expected.poured.1);
    }
}
