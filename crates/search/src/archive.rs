//! What all islands found together.

use crate::blocks::{Blocks, Tally};
use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::elite::Elite;
use crate::evaluation::{Evaluation, TellFault, check_all};
use crate::island::Island;
use crate::polish::Polish;
use crate::problem::Problem;
use crate::progress::{Progress, Scales, least};
use crate::standing::{Goals, Member, Standing, padded};
use crate::subset;

const KIND: u8 = b'a';
const VERSION: u8 = 1;

/// A feasible, non-dominated candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// One value per variable.
    pub vector: Vec<f64>,
    /// One value per goal, as told.
    pub goals: Vec<f64>,
}

/// Everything feasible and non-dominated that was found, up to about 1,000 points for two goals
/// and 2,000 beyond, with the counts of all evaluations behind it.
#[derive(Clone, Debug)]
pub struct Archive {
    problem: Problem,
    elite: Elite,
    tally: Tally,
    scales: Option<Scales>,
}

impl Archive {
    /// Joins the islands' snapshots in the order given, which must be the islands' order for the
    /// result to be the same on every machine. A pure function of its inputs. The scales of the
    /// hypervolume are those of the first island that has frozen its own.
    ///
    /// # Errors
    /// When there is none, or one is damaged or belongs to another problem.
    pub fn merge<B: AsRef<[u8]>>(
        problem: &Problem,
        snapshots: &[B],
    ) -> Result<Self, SnapshotFault> {
        if snapshots.is_empty() {
            return Err(SnapshotFault::Nothing);
        }
        let mut archive = Self {
            problem: problem.clone(),
            elite: Elite::new(problem.goals()),
            tally: Tally::new(problem),
            scales: None,
        };
        for bytes in snapshots {
            let island = Island::resume(problem, bytes.as_ref())?;
            archive.absorb(island.elite(), island.tally());
            archive.scales = archive.scales.or_else(|| island.scales().cloned());
        }
        Ok(archive)
    }

    fn absorb(&mut self, elite: &Elite, tally: &Tally) {
        for member in elite.members() {
            self.elite.insert(member);
        }
        self.elite.tidy();
        self.tally.merge(tally);
    }

    /// Takes in what a polish found, and its evaluations.
    ///
    /// # Errors
    /// When the polish belongs to a problem of another shape.
    pub fn take_polish(&mut self, polish: &Polish) -> Result<(), SnapshotFault> {
        let theirs = polish.problem();
        let (expected, found) = (self.problem.goals() as u64, theirs.goals() as u64);
        if expected != found {
            return Err(SnapshotFault::OtherProblem {
                what: "goals",
                expected,
                found,
            });
        }
        let (expected, found) = (self.problem.free() as u64, theirs.free() as u64);
        if expected != found {
            return Err(SnapshotFault::OtherProblem {
                what: "free variables",
                expected,
                found,
            });
        }
        self.absorb(polish.elite(), polish.tally());
        Ok(())
    }

    /// Counts one more evaluation, of a vector of the caller's own, and keeps it when it is
    /// feasible and nothing dominates it. The vector is moved onto the nearest values that the
    /// variables have.
    ///
    /// # Errors
    /// As of [`Island::tell`], with index 0; a vector of the wrong length or with values that are
    /// not finite is a fault of "vector".
    pub fn add(&mut self, vector: &[f64], told: &Evaluation) -> Result<bool, TellFault> {
        let expected = self.problem.variables().len();
        if vector.len() != expected {
            let found = vector.len();
            return Err(TellFault::Width {
                index: 0,
                what: "vector",
                expected,
                found,
            });
        }
        if let Some(position) = vector.iter().position(|v| !v.is_finite()) {
            let (value, low, high) = (vector[position], f64::MIN, f64::MAX);
            return Err(TellFault::Value {
                index: 0,
                what: "vector",
                position,
                value,
                low,
                high,
            });
        }
        check_all(&self.problem, 1, std::slice::from_ref(told))?;
        let (unit, standing) = (self.problem.unit(vector), Standing::of(told));
        self.tally.count(&unit, told, standing);
        let member = Member {
            unit,
            goals: padded(&told.goals),
            standing,
        };
        let entered = standing.is_feasible() && self.elite.insert(&member);
        self.elite.tidy();
        Ok(entered)
    }

    /// At most `count` points that together dominate the most, in the order of their goals: exact
    /// for two goals, greedy beyond. Show [`Archive::points`] besides.
    pub fn choose(&self, count: usize) -> Vec<Point> {
        let chosen = subset::best(self.elite.values(), self.problem.goals(), count);
        chosen.into_iter().map(|i| self.point(i)).collect()
    }

    /// Every point, in the order of their goals.
    pub fn points(&self) -> Vec<Point> {
        self.choose(usize::MAX)
    }

    pub(crate) fn point(&self, position: usize) -> Point {
        let member = &self.elite.members()[position];
        Point {
            vector: self.problem.vector(&member.unit),
            goals: member.goals[..self.problem.goals()].to_vec(),
        }
    }

    pub(crate) fn values(&self) -> &[Goals] {
        self.elite.values()
    }

    pub(crate) fn goals(&self) -> usize {
        self.problem.goals()
    }

    /// The number of points.
    pub fn len(&self) -> usize {
        self.elite.values().len()
    }

    /// Whether nothing feasible was found.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The candidates evaluated by all islands and polishes together.
    pub fn evaluations(&self) -> u64 {
        self.tally.evaluations
    }

    /// How many of them met every requirement.
    pub fn feasible(&self) -> u64 {
        self.tally.feasible
    }

    /// The figures of progress of all islands together.
    pub fn progress(&self) -> Progress {
        progress(
            &self.problem,
            &self.elite,
            &self.tally,
            self.scales.as_ref(),
        )
    }

    /// The frozen scales of the hypervolume.
    pub fn scales(&self) -> Option<&Scales> {
        self.scales.as_ref()
    }

    /// The present extent of the front per goal.
    pub fn extent(&self) -> Scales {
        Scales::of(self.elite.values(), self.problem.goals())
    }

    pub(crate) fn problem(&self) -> &Problem {
        &self.problem
    }

    /// What stands between the search and a feasible candidate.
    pub fn blocks(&self) -> Blocks {
        self.tally.blocks(&self.problem)
    }

    /// The whole state as bytes.
    pub fn snapshot(&self) -> Vec<u8> {
        let mut out = Writer::new(KIND, VERSION);
        out.shape(&self.problem);
        self.tally.write(&mut out);
        self.elite.write(&mut out);
        Scales::write(self.scales.as_ref(), &mut out);
        out.finish()
    }

    /// The archive that wrote `bytes`.
    ///
    /// # Errors
    /// When the bytes are damaged or belong to another problem.
    pub fn resume(problem: &Problem, bytes: &[u8]) -> Result<Self, SnapshotFault> {
        let mut from = Reader::new(bytes, KIND, "an archive", VERSION)?;
        from.shape(problem)?;
        let tally = Tally::read(&mut from, problem)?;
        let elite = Elite::read(&mut from, problem)?;
        let scales = Scales::read(&mut from, problem.goals())?;
        from.finish()?;
        Ok(Self {
            problem: problem.clone(),
            elite,
            tally,
            scales,
        })
    }
}

pub(crate) fn progress(
    problem: &Problem,
    elite: &Elite,
    tally: &Tally,
    scales: Option<&Scales>,
) -> Progress {
    let values: &[Goals] = elite.values();
    let measured = scales.map(|scales| scales.measure(values));
    Progress {
        evaluations: tally.evaluations,
        feasible: tally.feasible,
        front: values.len(),
        best: least(elite, problem.goals()),
        hypervolume: measured.map(|(value, _)| value),
        hypervolume_is_estimate: measured.is_some_and(|(_, estimate)| estimate),
    }
}
