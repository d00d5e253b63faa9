//! The system's dialogs for opening and saving, each in a thread of its own, behind a trait.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::Duration;

/// What is asked of the person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// Which unit file to open.
    Open,
    /// Which file from elsewhere to take in.
    Import,
    /// Where to hand a file on to.
    Export {
        /// The name that is suggested.
        name: String,
        /// The file.
        from: PathBuf,
    },
    /// Where to keep a copy; the name that is suggested.
    SaveCopy(String),
    /// Where to keep the tub card; the name that is suggested.
    SavePdf(String),
}

/// Dialogs about files.
pub trait Dialogs {
    /// Puts a question, unless one stands already.
    fn ask(&mut self, question: Question, ctx: &egui::Context);
    /// Whether a question stands.
    fn is_open(&self) -> bool;
    /// The answer, once there is one; a cancelled question has none.
    fn answer(&mut self) -> Option<(Question, PathBuf)>;
    /// Whether the question that was last put never reached the person; says so once. `now` is the window's time.
    fn could_not_open(&mut self, now: Duration) -> bool {
        let _ = now;
        false
    }
}

/// A dialog that is gone sooner than this never stood on the screen: nobody cancels that fast. Ours.
const NEVER_SEEN: Duration = Duration::from_millis(400);

/// The system's own dialogs.
#[derive(Default)]
pub struct SystemDialogs {
    pending: Option<(Question, Receiver<Option<PathBuf>>)>,
    /// When the last question was put, the window's time.
    asked_at: Duration,
    /// Whether it came back without an answer.
    came_back_empty: bool,
}

impl Dialogs for SystemDialogs {
    fn ask(&mut self, question: Question, ctx: &egui::Context) {
        if self.pending.is_some() {
            return;
        }
        self.asked_at = Duration::from_secs_f64(ctx.input(|i| i.time).max(0.0));
        self.came_back_empty = false;
        let (sender, receiver) = channel();
        let ctx = ctx.clone();
        let asked = question.clone();
        let dialog = rfd::FileDialog::new();
        let spawned = std::thread::Builder::new().name("file dialog".to_owned()).spawn(move || {
            let of_units = |dialog: rfd::FileDialog| dialog.add_filter("Pourcast unit", &["ron"]);
            let path = match asked {
                Question::Import => of_units(dialog).set_title("Take a unit or a profile in").pick_file(),
                Question::Export { name, .. } => {
                    of_units(dialog).set_title("Hand a copy on").set_file_name(name).save_file()
                }
                Question::Open => of_units(dialog).set_title("Open a unit").pick_file(),
                Question::SaveCopy(name) => of_units(dialog).set_title("Save a copy").set_file_name(name).save_file(),
                Question::SavePdf(name) => {
                    dialog.add_filter("PDF", &["pdf"]).set_title("Save the tub card").set_file_name(name).save_file()
                }
            };
            // Nobody listens any more when the window has closed.
            sender.send(path).ok();
            ctx.request_repaint();
        });
        match spawned {
            Ok(_) => self.pending = Some((question, receiver)),
            Err(_) => self.came_back_empty = true,
        }
    }

    fn is_open(&self) -> bool {
        self.pending.is_some()
    }

    fn answer(&mut self) -> Option<(Question, PathBuf)> {
        let (_, receiver) = self.pending.as_ref()?;
        let path = match receiver.try_recv() {
            Ok(path) => path,
            Err(TryRecvError::Empty) => return None,
            Err(TryRecvError::Disconnected) => None,
        };
        let (question, _) = self.pending.take()?;
        self.came_back_empty = path.is_none();
        path.map(|path| (question, path))
    }

    fn could_not_open(&mut self, now: Duration) -> bool {
        std::mem::take(&mut self.came_back_empty) && now.saturating_sub(self.asked_at) < NEVER_SEEN
    }
}
