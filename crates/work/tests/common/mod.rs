//! Small problems that cost nothing, and a store to work on.

use std::sync::Arc;
use std::time::Duration;

use design::{Budget, EarlyStop, Finding, GoalInfo, Role};
use leanwright_work::{Described, Evaluator, Model, WorkerOptions};
use search::{Evaluation, Problem, Variable};
use serde::{Deserialize, Serialize};
use store::{Job, JobId, JobInput, JobKind, NewJob, Options, Priority, Store};
use tempfile::TempDir;

/// A job of these tests, as its input file.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Toy {
    pub islands: u32,
    pub epochs: u32,
    pub epoch_evaluations: u32,
    pub polish_points: usize,
    pub study_points: usize,
    /// Epochs of all islands in one slice.
    pub together: u32,
    /// Evaluations are worth threads of their own.
    pub costly: bool,
    /// Added to the first violation: above 200 nothing is feasible.
    pub harder_by: f64,
    /// Each evaluation waits this long.
    pub pause_us: u64,
    pub early_stop: Option<EarlyStop>,
    /// What both goals aspire to.
    pub aspirations: Option<[f64; 2]>,
    /// Evaluations panic from this value of the first variable on.
    pub panics_from: Option<f64>,
}

impl Default for Toy {
    fn default() -> Toy {
        Toy {
            islands: 3,
            epochs: 4,
            epoch_evaluations: 200,
            polish_points: 2,
            study_points: 0,
            together: 1,
            costly: false,
            harder_by: 0.0,
            pause_us: 0,
            early_stop: None,
            aspirations: None,
            panics_from: None,
        }
    }
}

impl Toy {
    pub fn new_job(&self) -> NewJob {
        let budget = self.budget();
        NewJob {
            caller: "local".into(),
            kind: JobKind::Search,
            name: "toy".into(),
            labels: vec![],
            priority: Priority::Normal,
            input: serde_json::to_vec(self).unwrap(),
            starts: None,
            idempotency_key: None,
            islands: budget.lanes(),
            epochs: budget.rounds(),
            planned: budget.evaluations + budget.polish_evaluations,
            parent: None,
            keep_days: None,
        }
    }

    pub fn budget(&self) -> Budget {
        let evaluations =
            u64::from(self.islands) * u64::from(self.epochs) * u64::from(self.epoch_evaluations);
        Budget {
            asked: evaluations,
            evaluations,
            islands: self.islands,
            epochs: self.epochs,
            epoch_evaluations: self.epoch_evaluations,
            epochs_together: self.together,
            polish_evaluations: self.polish_points as u64 * 60,
            studies: self.study_points as u32,
            study_machines: 1,
        }
    }
}

/// The problem of Binh and Korn (1997; from memory), two variables, two goals, two constraints.
struct BinhKorn {
    toy: Toy,
    problem: Problem,
    starts: Vec<Vec<f64>>,
}

impl BinhKorn {
    fn evaluate(&self, x: &[f64]) -> Evaluation {
        std::thread::sleep(Duration::from_micros(self.toy.pause_us));
        if self.toy.panics_from.is_some_and(|from| x[0] >= from) {
            panic!("this point is poison");
        }
        let goals = vec![
            4.0 * x[0] * x[0] + 4.0 * x[1] * x[1],
            (x[0] - 5.0) * (x[0] - 5.0) + (x[1] - 5.0) * (x[1] - 5.0),
        ];
        let violations = vec![
            (x[0] - 5.0) * (x[0] - 5.0) + x[1] * x[1] - 25.0 + self.toy.harder_by,
            7.7 - (x[0] - 8.0) * (x[0] - 8.0) - (x[1] + 3.0) * (x[1] + 3.0),
        ];
        Evaluation::assembled(goals, violations)
    }
}

impl Model for BinhKorn {
    fn problem(&self) -> &Problem {
        &self.problem
    }

    fn budget(&self) -> Budget {
        self.toy.budget()
    }

    fn seed(&self) -> u64 {
        11
    }

    fn starts(&self) -> &[Vec<f64>] {
        &self.starts
    }

    fn early_stop(&self) -> Option<EarlyStop> {
        self.toy.early_stop
    }

    fn polish_points(&self) -> usize {
        self.toy.polish_points
    }

    fn polish_evaluations(&self) -> u32 {
        60
    }

    fn study_points(&self) -> usize {
        self.toy.study_points
    }

    fn front_size(&self) -> usize {
        20
    }

    fn is_costly(&self) -> bool {
        self.toy.costly
    }

    fn evaluator(&self) -> Evaluator<'_> {
        Box::new(|vector| self.evaluate(vector))
    }

    fn round(&self, vector: &[f64]) -> Vec<f64> {
        vector.to_vec()
    }

    fn describe(&self, vector: &[f64], study: Option<&[u8]>) -> Result<Described, String> {
        let told = self.evaluate(vector);
        let study = study.map(|bytes| String::from_utf8(bytes.to_vec()).unwrap());
        Ok(Described {
            json: match study {
                Some(study) => serde_json::to_vec(&(vector, study)).unwrap(),
                None => serde_json::to_vec(vector).unwrap(),
            },
            feasible: told.violations.iter().all(|violation| *violation <= 0.0),
            goals: told.goals.into_iter().map(Some).collect(),
        })
    }

    fn study(&self, vector: &[f64]) -> Vec<u8> {
        std::thread::sleep(Duration::from_micros(self.toy.pause_us * 100));
        format!("study of {vector:?}").into_bytes()
    }

    fn name(&self) -> String {
        "toy".into()
    }

    fn goals(&self) -> Vec<GoalInfo> {
        [("near", 0), ("far", 1)]
            .map(|(quantity, at)| GoalInfo {
                aspiration: self.toy.aspirations.map(|values| values[at]),
                quantity: quantity.into(),
                unit: "mm".into(),
                role: Role::Minimise,
                over: None,
                at: None,
            })
            .into()
    }

    fn requirements(&self) -> Vec<String> {
        vec!["inside the circle".into(), "outside the circle".into()]
    }

    fn findings(&self) -> Vec<Finding> {
        vec![]
    }
}

pub fn model(toy: &Toy) -> Arc<dyn Model> {
    let variables = vec![
        Variable::Real {
            low: 0.0,
            high: 5.0,
        },
        Variable::Real {
            low: 0.0,
            high: 3.0,
        },
    ];
    let problem = Problem::new(variables, 2, 2).unwrap();
    Arc::new(BinhKorn {
        toy: toy.clone(),
        problem,
        starts: vec![vec![0.0, 0.0]],
    })
}

pub fn compile_toy(input: &JobInput) -> Result<Arc<dyn Model>, String> {
    let toy: Toy = serde_json::from_slice(&input.input).map_err(|fault| fault.to_string())?;
    Ok(model(&toy))
}

pub fn worker_options(threads: u32) -> WorkerOptions {
    WorkerOptions {
        compile: compile_toy,
        build: Some("test".into()),
        poll: Duration::from_millis(20),
        ..WorkerOptions::new(threads)
    }
}

/// A store in a folder of its own.
pub struct Place {
    pub folder: TempDir,
}

impl Place {
    pub fn new() -> Place {
        Place {
            folder: TempDir::new().unwrap(),
        }
    }

    pub fn options(&self) -> Options {
        options_at(&self.folder.path().join("jobs.db"))
    }

    pub async fn open(&self) -> Store {
        Store::open(&self.options()).await.unwrap()
    }
}

/// Short leases: a lost slice comes back within a second.
pub fn options_at(path: &std::path::Path) -> Options {
    Options {
        lease: Duration::from_secs(1),
        ..Options::new(path.display().to_string())
    }
}

/// The job once it is finished.
pub async fn finished(store: &Store, id: &JobId) -> Job {
    until(store, id, |job| job.state.is_final()).await
}

/// The job once this holds; fails after a minute.
pub async fn until(store: &Store, id: &JobId, holds: impl Fn(&Job) -> bool) -> Job {
    for _ in 0..6_000 {
        let job = store.job(id).await.unwrap();
        if holds(&job) {
            return job;
        }
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
    panic!("waited a minute: {:?}", store.job(id).await.unwrap());
}

/// The front and all candidates of a finished job.
pub async fn result(store: &Store, id: &JobId) -> (String, Vec<Vec<u8>>) {
    let front = String::from_utf8(store.front(id).await.unwrap().body).unwrap();
    let mut candidates = vec![];
    while let Ok(body) = store.candidate(id, candidates.len() as u32).await {
        candidates.push(body);
    }
    (front, candidates)
}

/// The result of a job that nothing disturbs, on one thread.
pub async fn undisturbed(toy: &Toy) -> (String, Vec<Vec<u8>>) {
    let place = Place::new();
    let store = place.open().await;
    let id = store.submit(&toy.new_job()).await.unwrap().id;
    let worker = leanwright_work::Worker::start(&store, &worker_options(1)).unwrap();
    finished(&store, &id).await;
    worker.stop().await;
    result(&store, &id).await
}
