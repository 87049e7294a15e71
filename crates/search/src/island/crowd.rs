//! A population with its fronts and its phase.

use super::slack::Slack;
use super::survival::{Cut, survive};
use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::evaluation::LARGEST;
use crate::problem::{MOST_GOALS, Problem};
use crate::standing::{Goals, Member, extent, fronts};

/// Members while the front is still being approached, and of these the places for infeasible ones.
const WIDE: usize = 100;
const WIDE_RESERVE: usize = 10;
/// Members while it is being refined: fewer, because the archive holds the spread by then.
const FINE: usize = 50;
const FINE_RESERVE: usize = 5;
/// The fine phase begins after this many batches in a row whose survivors were all feasible, the
/// reserve aside, and none dominated another.
const CALM: u32 = 5;
/// … while no goal's extent over the front shrank below this share: a front that still comes down
/// from a far scale shrinks.
const SHRUNK: f64 = 0.9;

/// Members, best fronts first known, and how long they have been calm.
#[derive(Clone, Debug, Default)]
pub(super) struct Crowd {
    pub members: Vec<Member>,
    /// Fronts of constrained dominance, derived from the members.
    pub fronts: Vec<Vec<usize>>,
    calm: u32,
    /// The front's extent per goal when the calm began.
    width: Goals,
    slack: Slack,
    /// Evaluations given to this crowd.
    pub spent: u64,
}

impl Crowd {
    /// Whether the front is being refined; this phase, once begun, stays.
    pub fn is_fine(&self) -> bool {
        self.calm >= CALM
    }

    /// The sum of violations that still counts as none.
    pub fn slack(&self) -> f64 {
        self.slack.now()
    }

    /// Ranks all members anew, for example after some were added.
    pub fn rank(&mut self) {
        self.fronts = fronts(&self.members, self.slack());
    }

    /// Leaves as many members as the phase allows; they must have been ranked.
    pub fn select(&mut self, goals: usize) {
        let cut = match (self.is_fine(), goals) {
            (true, 2..=4) => Cut::Hypervolume,
            (_, 5..) => Cut::Epsilon,
            _ => Cut::Crowding,
        };
        let (keep, reserve) = if self.is_fine() {
            (FINE, FINE_RESERVE)
        } else {
            (WIDE, WIDE_RESERVE)
        };
        let members = std::mem::take(&mut self.members);
        let fronts = std::mem::take(&mut self.fronts);
        (self.members, self.fronts) =
            survive(members, fronts, goals, keep, reserve, cut, self.slack());
    }

    /// Lets the slack follow the members, and counts calm batches behind it.
    pub fn settle(&mut self) {
        if self.slack.follow(&self.members) {
            self.rank();
        }
        if self.is_fine() {
            return;
        }
        let width = self.extent();
        let shrunk = width
            .iter()
            .zip(&self.width)
            .any(|(now, then)| *now < SHRUNK * then);
        if self.is_calm() && self.slack() == 0.0 && !shrunk {
            self.calm += 1;
        } else {
            (self.calm, self.width) = (0, width);
        }
    }

    fn extent(&self) -> Goals {
        let first = self.fronts.first().map_or(&[][..], Vec::as_slice);
        let (low, high) = extent(first.iter().map(|i| &self.members[*i].goals));
        std::array::from_fn(|i| high[i] - low[i])
    }

    fn is_calm(&self) -> bool {
        let feasible = |front: &Vec<usize>| self.members[front[0]].standing.is_feasible();
        let mut fronts = self.fronts.iter();
        let full = |front: &Vec<usize>| feasible(front) && front.len() + WIDE_RESERVE >= WIDE;
        fronts.next().is_some_and(full) && !fronts.next().is_some_and(feasible)
    }

    pub fn write(&self, out: &mut Writer, goals: usize) {
        out.u32(self.calm);
        out.floats(&self.width);
        self.slack.write(out);
        out.u64(self.spent);
        out.members(&self.members, goals);
    }

    pub fn read(from: &mut Reader, problem: &Problem) -> Result<Self, SnapshotFault> {
        let calm = from.u32("calm batches")?;
        let width = from.floats(MOST_GOALS, "extent of a population", 0.0, 2.0 * LARGEST)?;
        let width = std::array::from_fn(|i| width[i]);
        let slack = Slack::read(from)?;
        let spent = from.u64("evaluations of a population")?;
        let members = from.members(problem, 2 * WIDE, "population")?;
        let fronts = fronts(&members, slack.now());
        Ok(Self {
            members,
            fronts,
            calm,
            width,
            slack,
            spent,
        })
    }
}
