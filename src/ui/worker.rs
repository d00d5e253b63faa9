//! What takes its time has a thread of its own, so that no frame waits for it: plans one, and reading the unit files another.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use super::derived::Outlook;
use super::look::{Look, Seen};
use super::sketch::Sketch;
use crate::garden::{Catalog, Promise, Unit};
use crate::plan::{Plan, Planner, SEED, Untold, told_then};

/// Something to work out.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its number: only the answer to the latest is taken.
    pub number: u64,
    /// The unit.
    pub unit: Unit,
    /// The present, Unix seconds.
    pub now_s: i64,
    /// The lists in hand.
    pub sketch: Sketch,
    /// The moment to look at, a place in [`crate::plan::LOOK_AHEAD_H`].
    pub look: usize,
    /// Belief and plan of this very unit, when only the sketch changed.
    pub known: Option<(Arc<Planner>, Arc<Plan>)>,
    /// Entries of the log of which is still to be told.
    pub untold: Vec<Untold>,
}

/// What came of it.
#[derive(Clone, Debug)]
pub struct Done {
    /// Number of the job.
    pub number: u64,
    /// The outlook, or why there is none.
    pub outcome: Result<Outlook, String>,
    /// What is to be told of entries of the log.
    pub told: Vec<(Untold, Option<Promise>)>,
}

/// Works out plans, and looks at the units.
pub enum Worker {
    /// On a thread.
    Threaded {
        /// Jobs go in here.
        jobs: Sender<Job>,
        /// Answers come out here.
        answers: Receiver<Done>,
        /// What to say when the thread is gone.
        failed: Option<Done>,
        /// Looks at the units go in here.
        looks: Sender<Look>,
        /// What they saw comes out here.
        seen: Receiver<Seen>,
        /// What was seen without that thread, which is gone.
        seen_here: Option<Seen>,
    },
    /// At once: for trials, and where no thread can be had.
    Inline {
        /// Crops, waters, products.
        catalog: Arc<Catalog>,
        /// The answer that waits to be fetched.
        answer: Option<Done>,
        /// What was seen and waits to be fetched.
        seen: Option<Seen>,
    },
}

impl Worker {
    /// A worker at once.
    pub fn inline(catalog: Arc<Catalog>) -> Self {
        Self::Inline { catalog, answer: None, seen: None }
    }

    /// A worker whose jobs and looks are done by whoever has the other ends.
    pub fn elsewhere(jobs: (Sender<Job>, Receiver<Done>), looks: (Sender<Look>, Receiver<Seen>)) -> Self {
        let ((jobs, answers), (looks, seen)) = (jobs, looks);
        Self::Threaded { jobs, answers, failed: None, looks, seen, seen_here: None }
    }

    /// A worker on threads; `wake` is called after each answer.
    pub fn threaded(catalog: Arc<Catalog>, wake: impl Fn() + Clone + Send + 'static) -> Self {
        let on_thread = Arc::clone(&catalog);
        let plans = newest("plan", move |job| work(&on_thread, job), wake.clone());
        let looks = newest("units", |look: Look| look.see(), wake);
        match (plans, looks) {
            (Some(plans), Some(looks)) => Self::elsewhere(plans, looks),
            _ => Self::inline(catalog),
        }
    }

    /// Hands over a job. Those that wait before it are forgotten.
    pub fn ask(&mut self, job: Job) {
        match self {
            Self::Threaded { jobs, failed, .. } => {
                // The thread is gone, which only a panic in the library could do: say so instead of waiting for ever.
                if let Err(unsent) = jobs.send(job) {
                    let outcome =
                        Err("the plan could not be worked out; close the window and open it again".to_owned());
                    *failed = Some(Done { number: unsent.0.number, outcome, told: Vec::new() });
                }
            }
            Self::Inline { catalog, answer, .. } => *answer = Some(work(catalog, job)),
        }
    }

    /// Hands over a look at the units. Those that wait before it are forgotten.
    pub fn look(&mut self, look: Look) {
        match self {
            Self::Threaded { looks, seen_here, .. } => {
                if let Err(unsent) = looks.send(look) {
                    *seen_here = Some(unsent.0.see());
                }
            }
            Self::Inline { seen, .. } => *seen = Some(look.see()),
        }
    }

    /// What a look saw, if there is something.
    pub fn seen(&mut self) -> Option<Seen> {
        match self {
            Self::Threaded { seen, seen_here, .. } => seen.try_iter().last().or_else(|| seen_here.take()),
            Self::Inline { seen, .. } => seen.take(),
        }
    }

    /// An answer, if there is one.
    pub fn poll(&mut self) -> Option<Done> {
        match self {
            Self::Threaded { answers, failed, .. } => answers.try_iter().last().or_else(|| failed.take()),
            Self::Inline { answer, .. } => answer.take(),
        }
    }
}

/// A thread that does what is asked of it, the newest only; `None` where no thread can be had.
fn newest<J: Send + 'static, D: Send + 'static>(
    name: &str,
    doing: impl Fn(J) -> D + Send + 'static,
    wake: impl Fn() + Send + 'static,
) -> Option<(Sender<J>, Receiver<D>)> {
    let (jobs, inbox) = channel::<J>();
    let (outbox, answers) = channel();
    let spawned = std::thread::Builder::new().name(name.to_owned()).spawn(move || {
        while let Ok(mut job) = inbox.recv() {
            // Only the newest matters.
            while let Ok(newer) = inbox.try_recv() {
                job = newer;
            }
            if outbox.send(doing(job)).is_err() {
                return;
            }
            wake();
        }
    });
    spawned.ok().map(|_| (jobs, answers))
}

fn work(catalog: &Catalog, job: Job) -> Done {
    let told = told_then(&job.unit, catalog, &job.untold, SEED);
    let told = job.untold.iter().copied().zip(told).collect();
    let outcome = match job.known {
        Some((planner, plan)) => Outlook::with_sketch(planner, plan, &job.sketch, job.look),
        None => Outlook::of(&job.unit, catalog, job.now_s, &job.sketch, job.look),
    };
    Done { number: job.number, outcome: outcome.map_err(|error| error.to_string()), told }
}
