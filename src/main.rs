//! Start-up only: what was asked for on the command line, the clock, the exit code.

use std::io::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context as _, bail};
use pourcast::card::paper::Format;
use pourcast::card::{self, Card};
use pourcast::garden::{Catalog, Severity};
use pourcast::plan::{self, Planner};
use pourcast::store::{self, Folders};
use pourcast::ui::app::{self, StartUp};
use pourcast::ui::clock::Clock;

const HELP: &str = "\
Pourcast: how much do I add? A mixing planner for small hydroponic units.

  pourcast [UNIT.ron]            open the window (on a unit, if one is named)
  pourcast card UNIT.ron         print the steps for a unit, without a display
  pourcast card UNIT.ron --json  the same for scripts
  pourcast card UNIT.ron --pdf OUT.pdf [--paper a4|letter]
                                 the same on a page to print
  pourcast example UNIT.ron      write the example unit to a new file
  pourcast --version | --help

Units are kept in your own data folder; POURCAST_HOME names another.
";

/// What was asked for.
enum Asked {
    Window { unit: Option<PathBuf> },
    Card { unit: PathBuf, json: bool },
    Page { unit: PathBuf, out: PathBuf, format: Format },
    Example { unit: PathBuf },
    Help,
    Version,
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            // The whole chain, once: `{:#}` joins the causes.
            writeln!(std::io::stderr(), "pourcast: {error:#}").ok();
            ExitCode::FAILURE
        }
    }
}

fn run() -> anyhow::Result<()> {
    match asked(lexopt::Parser::from_env())? {
        Asked::Help => say(HELP),
        Asked::Version => say(concat!("pourcast ", env!("CARGO_PKG_VERSION"), "\n")),
        Asked::Card { unit, json } => {
            let card = card_of(&unit)?;
            if json { say(&(card::json(&card)? + "\n")) } else { say(&card::text(&card)) }
        }
        Asked::Page { unit, out, format } => write_page(&unit, &out, format),
        Asked::Example { unit } => write_example(&unit),
        Asked::Window { unit } => {
            if cfg!(target_os = "linux") && !has_display() {
                bail!(
                    "no display was found, so no window can open; `pourcast card UNIT.ron` prints the steps without one"
                );
            }
            let catalog = Catalog::shipped().context("the shipped profiles could not be read")?;
            let start_up = StartUp { catalog, folders: Folders::find().ok(), clock: Box::new(LocalClock), open: unit };
            Ok(app::run(start_up)?)
        }
    }
}

fn asked(mut parser: lexopt::Parser) -> anyhow::Result<Asked> {
    use lexopt::prelude::{Long, Short, Value, ValueExt as _};
    let (mut words, mut json, mut out, mut paper) = (Vec::new(), false, None, None);
    while let Some(argument) = parser.next()? {
        match argument {
            Short('h') | Long("help") => return Ok(Asked::Help),
            Short('V') | Long("version") => return Ok(Asked::Version),
            Long("json") => json = true,
            Long("pdf") => out = Some(PathBuf::from(parser.value()?)),
            Long("paper") => paper = Some(format_of(&parser.value()?.string()?)?),
            Value(word) => words.push(word),
            other => return Err(other.unexpected().into()),
        }
    }
    let first = words.first().and_then(|word| word.to_str());
    let path = |place: usize| words.get(place).map(PathBuf::from);
    let asked = match (first, path(1), words.len()) {
        (Some("card"), Some(unit), 2) => {
            return match (out, json, paper) {
                (Some(_), true, _) => bail!("--json and --pdf are two things: ask for one at a time"),
                (Some(out), false, paper) => Ok(Asked::Page { unit, out, format: paper.unwrap_or_default() }),
                (None, _, Some(_)) => bail!("--paper goes with --pdf"),
                (None, json, None) => Ok(Asked::Card { unit, json }),
            };
        }
        (Some("card"), ..) => bail!("`card` takes one unit file: pourcast card UNIT.ron [--json | --pdf OUT.pdf]"),
        (Some("example"), Some(unit), 2) => Asked::Example { unit },
        (Some("example"), ..) => bail!("`example` takes one new file: pourcast example UNIT.ron"),
        (_, _, 0 | 1) => Asked::Window { unit: path(0) },
        _ => bail!("one unit file at a time; `pourcast --help` lists what can be asked"),
    };
    if json || out.is_some() || paper.is_some() {
        bail!("--json, --pdf and --paper go with `card`");
    }
    Ok(asked)
}

fn format_of(word: &str) -> anyhow::Result<Format> {
    match word.to_lowercase().as_str() {
        "a4" => Ok(Format::A4),
        "letter" => Ok(Format::Letter),
        _ => bail!("--paper is a4 or letter, not {word}"),
    }
}

fn write_page(path: &std::path::Path, out: &std::path::Path, format: Format) -> anyhow::Result<()> {
    let page = card::pdf(&card_of(path)?, format)?;
    let at = store::write_pdf(out, &page).context("the tub card could not be written")?;
    say(&format!("The tub card is at {}\n", at.display()))
}

fn card_of(path: &std::path::Path) -> anyhow::Result<Card> {
    let unit = store::read_unit(path).context("the unit could not be opened")?.unit;
    let catalog = Catalog::shipped().context("the shipped profiles could not be read")?;
    if let Some(problem) = unit.check(&catalog).into_iter().find(|problem| problem.severity == Severity::Refused) {
        bail!("{}", problem.message);
    }
    let now_s = now_s();
    let plan = Planner::new(&unit, &catalog, now_s, plan::SEED).and_then(|planner| {
        let mut plan = planner.plan()?;
        planner.advise(&mut plan);
        Ok(plan)
    });
    let plan = plan.context("no plan could be made")?;
    Ok(Card::of(&unit, &catalog, &plan, now_s, &|at_s| LocalClock.date(at_s)))
}

fn write_example(path: &std::path::Path) -> anyhow::Result<()> {
    let catalog = Catalog::shipped().context("the shipped profiles could not be read")?;
    let example = catalog.examples.first().context("no example is shipped")?;
    store::UnitFile::create(path, &example.unit_at(now_s())).context("the example could not be written")?;
    say(&format!("{} written to {}\n", example.unit.name, path.display()))
}

/// Prints, and takes a closed pipe (`| head`) for an end, not an error.
fn say(text: &str) -> anyhow::Result<()> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(error).context("printing"),
        _ => Ok(()),
    }
}

fn has_display() -> bool {
    ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"]
        .into_iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()))
}

/// The clock: Unix seconds.
fn now_s() -> i64 {
    jiff::Timestamp::now().as_second()
}

/// The system's clock, in the person's own time of day.
struct LocalClock;

impl Clock for LocalClock {
    fn now_s(&self) -> i64 {
        now_s()
    }

    fn words(&self, at_s: i64) -> String {
        let zone = jiff::tz::TimeZone::system();
        let Ok(at) = jiff::Timestamp::from_second(at_s) else { return "an unknown time".to_owned() };
        let (at, now) = (at.to_zoned_datetime(zone.clone()), jiff::Timestamp::now().to_zoned_datetime(zone));
        let days = now.date().since(at.date()).map_or(i32::MAX, |span| span.get_days());
        let format = match days {
            0 => "%H:%M",
            1..=6 => "%a %H:%M",
            _ => "%-d %b %H:%M",
        };
        at.strftime(format).to_string()
    }

    fn second_of_day(&self, at_s: i64) -> i64 {
        let Ok(at) = jiff::Timestamp::from_second(at_s) else { return 0 };
        let time = at.to_zoned_datetime(jiff::tz::TimeZone::system()).time();
        i64::from(time.hour()) * 3600 + i64::from(time.minute()) * 60 + i64::from(time.second())
    }

    fn date_words(&self, at_s: i64) -> String {
        pourcast::ui::clock::date_words(at_s, &jiff::tz::TimeZone::system())
    }
}
