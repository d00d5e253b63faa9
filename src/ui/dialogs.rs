//! The system's dialogs for opening and saving, each in a thread of its own, behind a trait.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// What is asked of the person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// Which unit file to open.
    Open,
    /// Where to keep a copy; the name that is suggested.
    SaveCopy(String),
}

/// Dialogs about files.
pub trait Dialogs {
    /// Puts a question, unless one stands already.
    fn ask(&mut self, question: Question, ctx: &egui::Context);
    /// Whether a question stands.
    fn is_open(&self) -> bool;
    /// The answer, once there is one; a cancelled question has none.
    fn answer(&mut self) -> Option<(Question, PathBuf)>;
}

/// The system's own dialogs.
#[derive(Default)]
pub struct SystemDialogs {
    pending: Option<(Question, Receiver<Option<PathBuf>>)>,
}

impl Dialogs for SystemDialogs {
    fn ask(&mut self, question: Question, ctx: &egui::Context) {
        if self.pending.is_some() {
            return;
        }
        let (sender, receiver) = channel();
        let ctx = ctx.clone();
        let asked = question.clone();
        let dialog = rfd::FileDialog::new().add_filter("Pourcast unit", &["ron"]);
        let spawned = std::thread::Builder::new().name("file dialog".to_owned()).spawn(move || {
            let path = match asked {
                Question::Open => dialog.set_title("Open a unit").pick_file(),
                Question::SaveCopy(name) => dialog.set_title("Save a copy").set_file_name(name).save_file(),
            };
            // Nobody listens any more when the window has closed.
            sender.send(path).ok();
            ctx.request_repaint();
        });
        if spawned.is_ok() {
            self.pending = Some((question, receiver));
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
        path.map(|path| (question, path))
    }
}
