//! Violations that count as none while a population approaches the feasible points.
//!
//! T. Takahama, S. Sakai, "Constrained optimization by the ε constrained differential evolution with
//! gradient-based mutation and feasible elites", CEC 2006, has the idea. There the slack follows a
//! share of the budget; here it follows the population, because an island knows no budget. A
//! population that sees violations only gathers around the first feasible point and has to creep
//! along linked requirements from there; with slack it comes down over its whole width.

use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::evaluation::LARGEST;
use crate::standing::{Member, Standing};

/// No slack where at least this share of the first members is feasible.
const OPEN: f64 = 0.2;
/// The first slack is the violation that this share of the first members with numbers don't exceed.
const SHARE: f64 = 0.3;
/// Once this share of the members keep within the slack, it shrinks to `SHRINK` of itself.
const WITHIN: f64 = 0.85;
const SHRINK: f64 = 0.9;
/// Below this share of the first slack there is none.
const END: f64 = 0.01;
/// After so many batches in which it could not shrink there is none.
const PATIENCE: u32 = 20;

/// The sum of violations that counts as none. It never grows, and once it is 0 it stays.
#[derive(Clone, Debug, Default)]
pub(super) struct Slack {
    /// Whether a first slack was found; until some members have numbers there is none to be had.
    begun: bool,
    now: f64,
    first: f64,
    waited: u32,
}

impl Slack {
    pub fn now(&self) -> f64 {
        self.now
    }

    /// Follows a population after a batch; says whether it changed.
    pub fn follow(&mut self, members: &[Member]) -> bool {
        let before = self.now;
        if !self.begun {
            self.begin(members);
        } else if self.now > 0.0 {
            self.shrink(members);
        }
        self.now != before
    }

    fn begin(&mut self, members: &[Member]) {
        let excess = |member: &Member| match member.standing {
            Standing::Feasible => Some(0.0),
            Standing::Violated(excess) => Some(excess),
            Standing::Apart(_) => None,
        };
        let mut all: Vec<f64> = members.iter().filter_map(excess).collect();
        if all.is_empty() {
            return;
        }
        all.sort_by(f64::total_cmp);
        let open = all.iter().filter(|excess| **excess == 0.0).count() as f64;
        if open < OPEN * members.len() as f64 {
            // Sums of violations can exceed what a single one may be.
            self.first = all[((all.len() - 1) as f64 * SHARE) as usize].min(LARGEST);
            self.now = self.first;
        }
        self.begun = true;
    }

    fn shrink(&mut self, members: &[Member]) {
        let within = |member: &&Member| member.standing.eased(self.now).is_feasible();
        let count = members.iter().filter(within).count() as f64;
        if count >= WITHIN * members.len() as f64 {
            self.waited = 0;
            self.now *= SHRINK;
        } else {
            self.waited += 1;
        }
        if self.now < END * self.first || self.waited > PATIENCE {
            self.now = 0.0;
        }
    }

    pub fn write(&self, out: &mut Writer) {
        out.u8(u8::from(self.begun));
        out.f64(self.now);
        out.f64(self.first);
        out.u32(self.waited);
    }

    pub fn read(from: &mut Reader) -> Result<Self, SnapshotFault> {
        Ok(Self {
            begun: from.flag("slack flag")?,
            now: from.f64("slack", 0.0, LARGEST)?,
            first: from.f64("slack", 0.0, LARGEST)?,
            waited: from.u32("batches of one slack")?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standing::padded;

    fn members(standings: impl IntoIterator<Item = Standing>) -> Vec<Member> {
        let member = |standing| Member {
            unit: Vec::new(),
            goals: padded(&[0.0, 0.0]),
            standing,
        };
        standings.into_iter().map(member).collect()
    }

    fn violated(count: u32) -> Vec<Member> {
        members((1..=count).map(|i| Standing::Violated(f64::from(i))))
    }

    #[test]
    fn the_first_slack_lets_a_share_pass() {
        let mut slack = Slack::default();
        assert!(slack.follow(&violated(101)));
        assert_eq!(slack.now(), 31.0);
    }

    #[test]
    fn where_much_is_feasible_or_nothing_has_numbers_there_is_none() {
        let mut slack = Slack::default();
        assert!(!slack.follow(&members([Standing::Apart(1.0), Standing::Apart(2.0)])));
        assert!(!slack.follow(&members([Standing::Feasible, Standing::Violated(3.0)])));
        // It stays at none, though the next members are all infeasible.
        assert!(!slack.follow(&violated(100)) && slack.now() == 0.0);
    }

    #[test]
    fn it_shrinks_while_the_members_keep_up_and_ends() {
        let mut slack = Slack::default();
        slack.follow(&violated(101));
        let mut last = slack.now();
        let mut batches = 0;
        while last > 0.0 {
            assert!(slack.follow(&members([Standing::Violated(0.99 * last)])));
            assert!(slack.now() < last);
            (last, batches) = (slack.now(), batches + 1);
        }
        // 0.9 to the power of 44 is the first below a hundredth.
        assert_eq!(batches, 44);
    }

    #[test]
    fn it_ends_where_the_members_stay_behind() {
        let mut slack = Slack::default();
        slack.follow(&violated(101));
        let batches = (1..100).find(|_| slack.follow(&members([Standing::Violated(99.0)])));
        assert_eq!((batches, slack.now()), (Some(PATIENCE + 1), 0.0));
    }
}
