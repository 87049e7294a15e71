//! An island as bytes.

use super::credit::Credit;
use super::crowd::Crowd;
use super::{Island, MOST_STARTS};
use crate::blocks::Tally;
use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::elite::Elite;
use crate::evolution::Evolution;
use crate::problem::Problem;
use crate::progress::Scales;

const KIND: u8 = b'i';
const VERSION: u8 = 4;

impl Island {
    /// The whole state as bytes. A batch that was asked for and not told is left out: after
    /// [`Island::resume`], asking gives it again.
    pub fn snapshot(&self) -> Vec<u8> {
        let mut out = Writer::new(KIND, VERSION);
        out.shape(&self.problem);
        out.u64(self.seed);
        out.u32(self.number);
        out.u32(self.generation);
        // Start points are spent in the first batch.
        let starts: &[Vec<f64>] = if self.generation == 0 {
            &self.starts
        } else {
            &[]
        };
        out.count(starts.len());
        starts.iter().for_each(|start| out.floats(start));
        self.main.write(&mut out, self.problem.goals());
        self.scouts.write(&mut out, self.problem.goals());
        out.u64(self.took);
        out.u8(u8::from(self.evolution.is_some()));
        if let Some(evolution) = &self.evolution {
            evolution.write(&mut out);
        }
        out.u32(self.joined);
        self.credit.write(&mut out);
        self.tally.write(&mut out);
        self.elite.write(&mut out);
        Scales::write(self.scales.as_ref(), &mut out);
        out.finish()
    }

    /// The island that wrote `bytes`.
    ///
    /// # Errors
    /// When the bytes are damaged, of another version, or belong to another problem.
    pub fn resume(problem: &Problem, bytes: &[u8]) -> Result<Self, SnapshotFault> {
        let mut from = Reader::new(bytes, KIND, "an island", VERSION)?;
        from.shape(problem)?;
        let seed = from.u64("seed")?;
        let number = from.u32("island number")?;
        let generation = from.u32("generation")?;
        let count = from.count(MOST_STARTS, 8 * problem.free(), "start points")?;
        let starts = (0..count)
            .map(|_| from.floats(problem.free(), "start points", 0.0, 1.0))
            .collect::<Result<_, _>>()?;
        let main = Crowd::read(&mut from, problem)?;
        let scouts = Crowd::read(&mut from, problem)?;
        let took = from.u64("evaluations until fine")?;
        let evolution = if from.flag("evolution flag")? {
            Some(Evolution::read(&mut from, problem)?)
        } else {
            None
        };
        from.require(
            evolution.is_none() || problem.goals() == 1,
            "evolution flag",
        )?;
        let joined = from.u32("joined scouts")?;
        from.require(generation == 0 || !main.members.is_empty(), "population")?;
        let untouched = scouts.spent == 0 && !scouts.is_fine();
        let hatched = untouched || !scouts.members.is_empty();
        from.require(hatched, "scouts")?;
        let credit = Credit::read(&mut from)?;
        let tally = Tally::read(&mut from, problem)?;
        let elite = Elite::read(&mut from, problem)?;
        let scales = Scales::read(&mut from, problem.goals())?;
        from.finish()?;
        Ok(Self {
            problem: problem.clone(),
            seed,
            number,
            starts,
            generation,
            main,
            scouts,
            evolution,
            took,
            joined,
            credit,
            elite,
            tally,
            scales,
            waiting: None,
        })
    }
}
