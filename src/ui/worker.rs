//! The plan is worked out on a thread of its own, so that no frame waits for it.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use super::derived::Outlook;
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

/// Works out plans.
pub enum Worker {
    /// On a thread.
    Threaded {
        /// Jobs go in here.
        jobs: Sender<Job>,
        /// Answers come out here.
        answers: Receiver<Done>,
        /// What to say when the thread is gone.
        failed: Option<Done>,
    },
    /// At once: for trials, and where no thread can be had.
    Inline {
        /// Crops, waters, products.
        catalog: Arc<Catalog>,
        /// The answer that waits to be fetched.
        answer: Option<Done>,
    },
}

impl Worker {
    /// A worker at once.
    pub fn inline(catalog: Arc<Catalog>) -> Self {
        Self::Inline { catalog, answer: None }
    }

    /// A worker on a thread; `wake` is called after each answer.
    pub fn threaded(catalog: Arc<Catalog>, wake: impl Fn() + Send + 'static) -> Self {
        let (jobs, inbox) = channel::<Job>();
        let (outbox, answers) = channel();
        let on_thread = Arc::clone(&catalog);
        let spawned = std::thread::Builder::new().name("plan".to_owned()).spawn(move || {
            while let Ok(mut job) = inbox.recv() {
                // Only the newest matters.
                while let Ok(newer) = inbox.try_recv() {
                    job = newer;
                }
                if outbox.send(work(&on_thread, job)).is_err() {
                    return;
                }
                wake();
            }
        });
        match spawned {
            Ok(_) => Self::Threaded { jobs, answers, failed: None },
            Err(_) => Self::inline(catalog),
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
            Self::Inline { catalog, answer } => *answer = Some(work(catalog, job)),
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

fn work(catalog: &Catalog, job: Job) -> Done {
    let told = told_then(&job.unit, catalog, &job.untold, SEED);
    let told = job.untold.iter().copied().zip(told).collect();
    let outcome = match job.known {
        Some((planner, plan)) => Outlook::with_sketch(planner, plan, &job.sketch, job.look),
        None => Outlook::of(&job.unit, catalog, job.now_s, &job.sketch, job.look),
    };
    Done { number: job.number, outcome: outcome.map_err(|error| error.to_string()), told }
}
