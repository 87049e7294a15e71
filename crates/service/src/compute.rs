//! Bounded threads for answers computed at once: assessments and poses, and apart from them reports.
//!
//! Its queue is short on purpose. A full queue is an answer (503), never a growing delay, and
//! a long assessment never holds up the threads that serve requests.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, SyncSender, TrySendError, sync_channel};

use tokio::sync::oneshot;

use crate::problem::Problem;
use crate::problem_kind::Kind;

type Task = Box<dyn FnOnce() + Send>;

/// A handle to the compute thread; clones share the thread.
#[derive(Clone, Debug)]
pub struct Compute {
    tasks: SyncSender<Task>,
}

impl Compute {
    /// Starts a thread of this name, with room for `waiting` tasks besides the one in progress. It runs
    /// at the process's own priority; workers have lowered theirs, so it goes before them.
    ///
    /// # Errors
    /// When the operating system gives no thread.
    pub fn start(name: &str, waiting: usize) -> std::io::Result<Self> {
        let (tasks, queue) = sync_channel::<Task>(waiting);
        std::thread::Builder::new()
            .name(name.into())
            .spawn(move || work_off(&queue))?;
        Ok(Self { tasks })
    }

    /// Runs `task` on the thread and waits for its answer.
    ///
    /// # Errors
    /// [`Kind::Busy`] when the queue is full, [`Kind::Internal`] when the task panics.
    pub async fn run<T: Send + 'static>(
        &self,
        task: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Problem> {
        let (answer, wait) = oneshot::channel();
        let boxed: Task = Box::new(move || {
            // A caller who has gone away costs nothing more than the place in the queue.
            if !answer.is_closed() {
                let _ = answer.send(task());
            }
        });
        match self.tasks.try_send(boxed) {
            Ok(()) => wait
                .await
                .map_err(|_| Problem::new(Kind::Internal, "the computation stopped unexpectedly")),
            Err(TrySendError::Full(_)) => Err(Problem::new(
                Kind::Busy,
                "other assessments are waiting already",
            )),
            Err(TrySendError::Disconnected(_)) => {
                Err(Problem::new(Kind::Internal, "the compute thread has ended"))
            }
        }
    }
}

fn work_off(queue: &Receiver<Task>) {
    for task in queue {
        if catch_unwind(AssertUnwindSafe(task)).is_err() {
            tracing::error!("an assessment panicked; the compute thread goes on");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::channel;

    #[tokio::test]
    async fn a_full_queue_is_an_answer_and_passes() {
        let compute = Compute::start("test", 1).unwrap();
        let (started, starts) = channel();
        let (go_on, hold) = channel::<()>();
        let first = tokio::spawn({
            let compute = compute.clone();
            async move {
                let task = move || {
                    started.send(()).unwrap();
                    hold.recv().unwrap();
                    1
                };
                compute.run(task).await
            }
        });
        tokio::task::spawn_blocking(move || starts.recv().unwrap())
            .await
            .unwrap();
        let mut second = Box::pin(compute.run(|| 2));
        assert!(futures_poll_once(&mut second).await.is_none());
        let refused = compute.run(|| 3).await.unwrap_err();
        assert!(refused.is(Kind::Busy));
        assert_eq!(refused.retry_after_s, Some(1));
        go_on.send(()).unwrap();
        assert_eq!(first.await.unwrap().unwrap(), 1);
        assert_eq!(second.await.unwrap(), 2);
        assert_eq!(compute.run(|| 4).await.unwrap(), 4);
    }

    #[tokio::test]
    async fn a_panic_is_a_problem_and_the_thread_goes_on() {
        let compute = Compute::start("test", 1).unwrap();
        let refused = compute
            .run::<()>(|| panic!("on purpose"))
            .await
            .unwrap_err();
        assert!(refused.is(Kind::Internal));
        assert_eq!(compute.run(|| 5).await.unwrap(), 5);
    }

    async fn futures_poll_once<F: Future + Unpin>(future: &mut F) -> Option<F::Output> {
        tokio::select! {
            biased;
            output = future => Some(output),
            () = std::future::ready(()) => None,
        }
    }
}
