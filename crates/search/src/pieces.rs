//! Pieces that several snapshots share.

use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::evaluation::LARGEST;
use crate::problem::Problem;
use crate::standing::{Member, Standing, padded};

impl Writer {
    pub fn option(&mut self, value: Option<f64>) {
        self.u8(u8::from(value.is_some()));
        if let Some(value) = value {
            self.f64(value);
        }
    }

    pub fn standing(&mut self, standing: Standing) {
        match standing {
            Standing::Feasible => self.u8(0),
            Standing::Violated(excess) => {
                self.u8(1);
                self.f64(excess);
            }
            Standing::Apart(distance) => {
                self.u8(2);
                self.f64(distance);
            }
        }
    }

    /// The problem's shape, so that a snapshot is not resumed with another problem.
    pub fn shape(&mut self, problem: &Problem) {
        let counts = [
            problem.variables().len(),
            problem.free(),
            problem.goals(),
            problem.violations(),
        ];
        counts.iter().for_each(|count| self.count(*count));
    }

    pub fn member(&mut self, member: &Member, goals: usize) {
        self.floats(&member.unit);
        self.standing(member.standing);
        if !matches!(member.standing, Standing::Apart(_)) {
            self.floats(&member.goals[..goals]);
        }
    }

    pub fn members(&mut self, members: &[Member], goals: usize) {
        self.count(members.len());
        members.iter().for_each(|member| self.member(member, goals));
    }
}

impl Reader<'_> {
    pub fn flag(&mut self, what: &'static str) -> Result<bool, SnapshotFault> {
        let byte = self.u8(what)?;
        self.require(byte < 2, what)?;
        Ok(byte == 1)
    }

    pub fn option(
        &mut self,
        what: &'static str,
        low: f64,
        high: f64,
    ) -> Result<Option<f64>, SnapshotFault> {
        if self.flag(what)? {
            self.f64(what, low, high).map(Some)
        } else {
            Ok(None)
        }
    }

    pub fn standing(&mut self) -> Result<Standing, SnapshotFault> {
        match self.u8("standing")? {
            0 => Ok(Standing::Feasible),
            1 => {
                let excess = self.f64("excess", 0.0, f64::MAX)?;
                self.require(excess > 0.0, "excess")?;
                Ok(Standing::Violated(excess))
            }
            2 => Ok(Standing::Apart(self.f64(
                "distance from assembling",
                0.0,
                LARGEST,
            )?)),
            _ => Err(self.damaged("standing")),
        }
    }

    pub fn shape(&mut self, problem: &Problem) -> Result<(), SnapshotFault> {
        let counts = [
            ("variables", problem.variables().len()),
            ("free variables", problem.free()),
            ("goals", problem.goals()),
            ("violations", problem.violations()),
        ];
        for (what, expected) in counts {
            let (expected, found) = (expected as u64, u64::from(self.u32(what)?));
            if expected != found {
                return Err(SnapshotFault::OtherProblem {
                    what,
                    expected,
                    found,
                });
            }
        }
        Ok(())
    }

    pub fn member(&mut self, problem: &Problem) -> Result<Member, SnapshotFault> {
        let unit = self.floats(problem.free(), "coordinates", 0.0, 1.0)?;
        let standing = self.standing()?;
        let goals = match standing {
            Standing::Apart(_) => Vec::new(),
            _ => self.floats(problem.goals(), "goals", -LARGEST, LARGEST)?,
        };
        Ok(Member {
            unit,
            goals: padded(&goals),
            standing,
        })
    }

    pub fn members(
        &mut self,
        problem: &Problem,
        most: usize,
        what: &'static str,
    ) -> Result<Vec<Member>, SnapshotFault> {
        let count = self.count(most, 8 * problem.free() + 1, what)?;
        (0..count).map(|_| self.member(problem)).collect()
    }
}
