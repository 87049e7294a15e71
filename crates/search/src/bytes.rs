//! The snapshots' byte format: little-endian integers, floats as their bits, counts before lists.
//!
//! Every snapshot begins with four magic bytes, a kind byte and a version byte. There is no check
//! sum; whoever stores the bytes guards them. Reading never panics and never allocates more than
//! the bytes at hand can fill.

use crate::evaluation::LARGEST;
use crate::problem::Problem;
use crate::standing::{Member, Standing, padded};
use thiserror::Error;

const MAGIC: [u8; 4] = *b"lwse";

/// Why bytes are no usable snapshot.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SnapshotFault {
    /// Not a snapshot of this kind at all.
    #[error("not a snapshot of {expected}: it begins with {found:?}")]
    Kind {
        /// What was to be resumed.
        expected: &'static str,
        /// The first five bytes, or fewer.
        found: Vec<u8>,
    },
    /// Written by another version of this format.
    #[error("snapshot version {found}, this build reads {supported}")]
    Version {
        /// As written.
        found: u8,
        /// The only version read.
        supported: u8,
    },
    /// The bytes end too early.
    #[error("snapshot ends at byte {at} within {what}")]
    Truncated {
        /// The offset at which more was needed.
        at: usize,
        /// What was being read.
        what: &'static str,
    },
    /// Bytes are left over.
    #[error("snapshot has {count} bytes after its end")]
    Trailing {
        /// How many.
        count: usize,
    },
    /// The snapshot belongs to another problem.
    #[error("snapshot of another problem: {what} {found}, the problem has {expected}")]
    OtherProblem {
        /// "variables", "free variables", "goals" or "violations".
        what: &'static str,
        /// As the problem states.
        expected: u64,
        /// As written.
        found: u64,
    },
    /// A value that no snapshot can hold.
    #[error("damaged snapshot: {what} before byte {at} is out of range")]
    Damaged {
        /// What was read.
        what: &'static str,
        /// The offset behind it.
        at: usize,
    },
    /// No snapshot was given where at least one is needed.
    #[error("no snapshot was given, at least one is needed")]
    Nothing,
}

/// Appends values to a snapshot.
pub(crate) struct Writer(Vec<u8>);

impl Writer {
    pub fn new(kind: u8, version: u8) -> Self {
        let mut bytes = Vec::with_capacity(1 << 12);
        bytes.extend_from_slice(&MAGIC);
        bytes.extend_from_slice(&[kind, version]);
        Self(bytes)
    }

    pub fn finish(self) -> Vec<u8> {
        self.0
    }

    pub fn u8(&mut self, value: u8) {
        self.0.push(value);
    }

    pub fn u32(&mut self, value: u32) {
        self.0.extend_from_slice(&value.to_le_bytes());
    }

    pub fn u64(&mut self, value: u64) {
        self.0.extend_from_slice(&value.to_le_bytes());
    }

    pub fn f64(&mut self, value: f64) {
        self.u64(value.to_bits());
    }

    pub fn floats(&mut self, values: &[f64]) {
        values.iter().for_each(|value| self.f64(*value));
    }

    /// The number of items of the list that follows.
    pub fn count(&mut self, count: usize) {
        self.u32(u32::try_from(count).expect("lists in a snapshot are far shorter than 2^32"));
    }
}

/// Takes values from a snapshot.
pub(crate) struct Reader<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Reader<'a> {
    pub fn new(
        bytes: &'a [u8],
        kind: u8,
        name: &'static str,
        supported: u8,
    ) -> Result<Self, SnapshotFault> {
        let head = &bytes[..bytes.len().min(5)];
        if head.len() < 5 || head[..4] != MAGIC || head[4] != kind {
            return Err(SnapshotFault::Kind {
                expected: name,
                found: head.to_vec(),
            });
        }
        let mut reader = Self { bytes, at: 5 };
        let found = reader.u8("version")?;
        if found == supported {
            Ok(reader)
        } else {
            Err(SnapshotFault::Version { found, supported })
        }
    }

    pub fn finish(self) -> Result<(), SnapshotFault> {
        match self.bytes.len() - self.at {
            0 => Ok(()),
            count => Err(SnapshotFault::Trailing { count }),
        }
    }

    fn take<const N: usize>(&mut self, what: &'static str) -> Result<[u8; N], SnapshotFault> {
        match self.bytes[self.at..].first_chunk::<N>() {
            Some(chunk) => {
                self.at += N;
                Ok(*chunk)
            }
            None => Err(SnapshotFault::Truncated {
                at: self.bytes.len(),
                what,
            }),
        }
    }

    pub fn damaged(&self, what: &'static str) -> SnapshotFault {
        SnapshotFault::Damaged { what, at: self.at }
    }

    pub fn require(&self, holds: bool, what: &'static str) -> Result<(), SnapshotFault> {
        if holds {
            Ok(())
        } else {
            Err(self.damaged(what))
        }
    }

    pub fn u8(&mut self, what: &'static str) -> Result<u8, SnapshotFault> {
        Ok(self.take::<1>(what)?[0])
    }

    pub fn u32(&mut self, what: &'static str) -> Result<u32, SnapshotFault> {
        Ok(u32::from_le_bytes(self.take(what)?))
    }

    pub fn u64(&mut self, what: &'static str) -> Result<u64, SnapshotFault> {
        Ok(u64::from_le_bytes(self.take(what)?))
    }

    /// A float within `low` to `high`; never not-a-number.
    pub fn f64(&mut self, what: &'static str, low: f64, high: f64) -> Result<f64, SnapshotFault> {
        let value = f64::from_bits(self.u64(what)?);
        self.require((low..=high).contains(&value), what)?;
        Ok(value)
    }

    pub fn floats(
        &mut self,
        count: usize,
        what: &'static str,
        low: f64,
        high: f64,
    ) -> Result<Vec<f64>, SnapshotFault> {
        self.fits(count, 8, what)?;
        (0..count).map(|_| self.f64(what, low, high)).collect()
    }

    /// A list's count, at most `most`, refused when the bytes left can't hold that many items.
    pub fn count(
        &mut self,
        most: usize,
        item_bytes: usize,
        what: &'static str,
    ) -> Result<usize, SnapshotFault> {
        let count = self.u32(what)? as usize;
        self.require(count <= most, what)?;
        self.fits(count, item_bytes, what)?;
        Ok(count)
    }

    fn fits(
        &self,
        count: usize,
        item_bytes: usize,
        what: &'static str,
    ) -> Result<(), SnapshotFault> {
        let left = self.bytes.len() - self.at;
        if count
            .checked_mul(item_bytes)
            .is_some_and(|needed| needed <= left)
        {
            Ok(())
        } else {
            Err(SnapshotFault::Truncated {
                at: self.bytes.len(),
                what,
            })
        }
    }
}

/// Pieces that several snapshots share.
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
