//! Prints what things cost on this machine. It measures and never fails: tests judge correctness.
#![expect(clippy::print_stdout, clippy::unwrap_used, reason = "a benchmark prints, and may stop at a broken set-up")]

use std::hint::black_box;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Instant;

use pourcast::chem::{Carbon, Component, Medium, Mobilities, Totals};
use pourcast::dose::{Cloud, Point, Pour, Tank, land};
use pourcast::garden::Catalog;
use pourcast::plan::{FIRST_KEY, Idea, Live, Planner, Snap};
use pourcast::store::{Folders, UnitFile};
use pourcast::ui::clock::StandingClock;
use pourcast::ui::command::Handle;
use pourcast::ui::derived::Outlook;
use pourcast::ui::dialogs::{Dialogs, Question};
use pourcast::ui::shell::{Outfit, Shell};
use pourcast::ui::theme;
use pourcast::ui::worker::Worker;

/// Median time of one call in microseconds, over batches.
fn median_us(mut call: impl FnMut()) -> f64 {
    const BATCH: u32 = 200;
    let mut times: Vec<f64> = (0..41)
        .map(|_| {
            let started = Instant::now();
            for _ in 0..BATCH {
                call();
            }
            started.elapsed().as_secs_f64() * 1e6 / f64::from(BATCH)
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// A full nutrient solution in tap water, mol/kg.
fn nutrient_solution() -> Totals {
    use Component::{B, C, Ca, Cl, K, Mg, Na, Nh4, No3, P, Si, So4};
    Totals::from_pairs(&[
        (Ca, 4.0e-3),
        (Mg, 1.6e-3),
        (Na, 0.9e-3),
        (K, 6.5e-3),
        (Nh4, 0.7e-3),
        (No3, 12.0e-3),
        (Cl, 0.9e-3),
        (So4, 1.9e-3),
        (P, 1.5e-3),
        (C, 0.9e-3),
        (Si, 0.15e-3),
        (B, 0.03e-3),
    ])
}

fn main() {
    let medium = Medium::at(21.0).unwrap();
    let totals = nutrient_solution();
    let solved = medium.solve(&totals, Carbon::Kept).unwrap();
    println!("pH {:.3}, {} iterations", solved.ph(), solved.iterations());
    println!(
        "solve, cold       {:6.2} µs (aim 15)",
        median_us(|| {
            black_box(medium.solve(black_box(&totals), Carbon::Kept)).ok();
        })
    );
    let beside = totals.with(Component::P, 1.51e-3);
    println!("warm: {} iterations", medium.solve_from(&solved, &beside, Carbon::Kept).unwrap().iterations());
    println!(
        "solve, warm       {:6.2} µs (aim 5)",
        median_us(|| {
            black_box(medium.solve_from(&solved, black_box(&beside), Carbon::Kept)).ok();
        })
    );
    println!(
        "solve, open, cold {:6.2} µs",
        median_us(|| {
            black_box(medium.solve(black_box(&totals), Carbon::Balance { log10_pco2_atm: -3.3 })).ok();
        })
    );
    println!(
        "conductivity      {:6.2} µs",
        median_us(|| {
            black_box(solved.conductivity_us_cm(black_box(&medium), Mobilities::Full));
        })
    );
    println!(
        "constants at a temperature {:6.2} µs",
        median_us(|| {
            black_box(Medium::at(black_box(21.0))).ok();
        })
    );
    dose_and_plan();
    frame();
}

/// A frame of the window on the example at 1280x800: laying out and tessellating, without the GPU's share.
fn frame() {
    let catalog = Arc::new(Catalog::shipped().unwrap());
    let now_s = catalog.examples[0].unit.last_reading().unwrap().at_s + 60;
    let unit = catalog.examples[0].unit_at(now_s);
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("unit.ron");
    UnitFile::create(&path, &unit).unwrap();
    let outfit = Outfit {
        catalog: Arc::clone(&catalog),
        folders: Some(Folders::below(home.path())),
        clock: Box::new(StandingClock(now_s)),
        dialogs: Box::new(NoDialogs),
        open: Some(path),
    };
    let mut shell = Shell::new(outfit, Worker::inline(Arc::clone(&catalog)));
    let ctx = egui::Context::default();
    theme::install(&ctx);
    let screen = egui::Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(1280.0, 800.0));
    let (mut time, mut swing) = (0.0, 0.0_f32);
    let mut show = |shell: &mut Shell, events: Vec<egui::Event>| {
        time += 1.0 / 60.0;
        let input = egui::RawInput { screen_rect: Some(screen), time: Some(time), events, ..egui::RawInput::default() };
        let output = ctx.run_ui(input, |ui| shell.frame(ui));
        ctx.tessellate(output.shapes, output.pixels_per_point)
    };
    // The pointer moves over the map, so that hover and its answers are part of the frame.
    let mut once = |shell: &mut Shell| {
        swing += 0.17;
        show(shell, vec![egui::Event::PointerMoved(egui::pos2(600.0 + 40.0 * swing.sin(), 350.0))])
    };
    let started = Instant::now();
    let first = once(&mut shell);
    println!(
        "first frame (plan at once, fonts) {:6.1} ms, {} meshes",
        started.elapsed().as_secs_f64() * 1e3,
        first.len()
    );
    for _ in 0..10 {
        black_box(once(&mut shell));
    }
    let spread_of = |what: &str, mut frame: Box<dyn FnMut() + '_>| {
        let mut times: Vec<f64> = (0..201)
            .map(|_| {
                let started = Instant::now();
                frame();
                started.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!("{what} {:6.2} ms median, {:.2} worst of 200", times[100], times[200]);
        times[100]
    };
    spread_of("frame, CPU (aim 4)      ", Box::new(|| drop(black_box(once(&mut shell)))));
    // Frames of a drag: the amount, the landing, the cloud of all stories and the picture of it.
    let at = shell.view().map.handle_at(Handle::Pour(FIRST_KEY)).unwrap();
    let button = |pos, pressed| egui::Event::PointerButton {
        pos,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: egui::Modifiers::NONE,
    };
    show(&mut shell, vec![egui::Event::PointerMoved(at)]);
    show(&mut shell, vec![button(at, true)]);
    let mut swing = 0.0_f32;
    let drag = spread_of(
        "frame of a drag, CPU    ",
        Box::new(|| {
            swing += 0.17;
            let to = at + egui::vec2(-60.0 + 50.0 * swing.sin(), 0.0);
            drop(black_box(show(&mut shell, vec![egui::Event::PointerMoved(to)])));
        }),
    );
    assert!(shell.sketch().idea().is_some(), "nothing was dragged");
    // The same numbers with more stories: what a frame costs more then.
    let unit = catalog.examples[0].unit_at(now_s);
    let numbers = |members: usize| {
        let planner = Arc::new(Planner::of_size(&unit, &catalog, now_s, 1, members).unwrap());
        let plan = Arc::new(planner.plan().unwrap());
        let outlook = Outlook::with_sketch(planner, plan, shell.sketch(), 0).unwrap();
        let mut live = Live::new();
        median_us(|| drop(black_box(outlook.at_once(shell.sketch(), &mut live)))) / 1e3
    };
    let (usual, many) = (numbers(256), numbers(500));
    println!(
        "numbers of a drag frame {usual:6.2} ms of 256 stories, {many:.2} of 500: a frame with 500 {:.2} ms (aim 8)",
        drag + many - usual
    );
}

/// No file dialogs here.
struct NoDialogs;

impl Dialogs for NoDialogs {
    fn ask(&mut self, _: Question, _: &egui::Context) {}

    fn is_open(&self) -> bool {
        false
    }

    fn answer(&mut self) -> Option<(Question, PathBuf)> {
        None
    }
}

/// A landing of four pours with their paths, and a whole plan from a reading.
fn dose_and_plan() {
    let catalog = Catalog::shipped().unwrap();
    let example = &catalog.examples[0].unit;
    let now_s = example.last_reading().unwrap().at_s + 60;
    let planner = Planner::new(example, &catalog, now_s, 1).unwrap();
    let pour = |id: &str, amount: f64| {
        let product = catalog.product(id).unwrap();
        let dissolved = product.dissolved().unwrap();
        Pour {
            id: id.to_owned(),
            name: product.name.clone(),
            moles: dissolved.moles,
            water_g: dissolved.water_g,
            volume_ml: dissolved.volume_ml,
            amount,
            unit: product.form.unit(),
        }
    };
    let pours =
        [pour("cal-mag", 20.0), pour("two-part-a", 30.0), pour("two-part-b", 30.0), pour("phosphoric-down", 4.0)];
    let tank: Tank = planner.belief().state.default;
    let showing = &planner.knowledge().showing;
    let landing = median_us(|| {
        black_box(land(&tank, black_box(&pours), showing, 34.0)).ok();
    });
    println!("landing, 4 pours  {landing:6.2} µs (aim 1000)");
    let once = |what: &str, call: &dyn Fn()| {
        let mut times: Vec<f64> = (0..7)
            .map(|_| {
                let started = Instant::now();
                call();
                started.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!("{what} {:6.1} ms", times[3]);
    };
    once("belief from a reading", &|| {
        black_box(Planner::new(example, &catalog, now_s, 1)).ok();
    });
    once("plan from a belief   ", &|| {
        black_box(planner.plan()).ok();
    });
    let amounts = vec![("phosphoric-down".to_owned(), 4.0)];
    once("cloud of a what-if   ", &|| {
        black_box(planner.spread(black_box(&amounts)));
    });
    let crowd = Planner::of_size(example, &catalog, now_s, 1, 500).unwrap();
    let mut live = Live::new();
    for (what, hours) in [("just mixed", 0.0), ("after 4 h", 4.0)] {
        let mut amount = 4.0;
        let cost = median_us(|| {
            amount += 0.2;
            if amount > 8.0 {
                amount = 1.0;
            }
            black_box(live.spread(&crowd, &[("phosphoric-down".to_owned(), amount)], hours));
        });
        println!("live cloud of 500, {what}: {:.2} ms", cost / 1e3);
    }
    let mut idea = Idea::default();
    for id in ["two-part-a", "phosphoric-down"] {
        idea.add(&crowd, id);
    }
    let scale = (3.0 / 530.0, 1.6 / 440.0);
    let start = crowd.landing(&idea.amounts()).unwrap().just_mixed;
    let to = Point { ph: start.ph - 0.5, ec_ms_cm: start.ec_ms_cm + 0.3 };
    let key = idea.pours[2].key;
    let dragged = median_us(|| {
        black_box(crowd.dragged(&idea, key, black_box(to), scale, Snap::Nearest)).ok();
    });
    let steered = median_us(|| {
        black_box(crowd.steered(&idea, black_box(to), scale, Snap::Nearest)).ok();
    });
    let rail = median_us(|| {
        black_box(crowd.rail(&idea, key)).ok();
    });
    let landing = crowd.landing(&idea.amounts()).unwrap();
    let limits = median_us(|| {
        black_box(crowd.limits(black_box(&landing))).ok();
    });
    println!(
        "a pour dragged {dragged:.0} µs, the landing steered {steered:.0} µs, a rail {rail:.0} µs, limits {limits:.0} µs"
    );
    let points: Vec<_> = crowd.belief().members.iter().filter_map(|m| showing.of(&m.tank.totals).ok()).collect();
    let outline = median_us(|| {
        black_box(Cloud::about(black_box(&points)));
    });
    println!("outlines about 500: {outline:.0} µs");
}
