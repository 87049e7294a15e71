//! The snapshots' byte format: little-endian integers, floats as their bits, counts before lists.
//!
//! Every snapshot begins with four magic bytes, a kind byte and a version byte. There is no check
//! sum; whoever stores the bytes guards them. Reading never panics and never allocates more than
//! the bytes at hand can fill.

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
