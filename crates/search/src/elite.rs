//! A bounded set of everything feasible and non-dominated that was ever seen.

use crate::boxes::Boxes;
use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::hypervolume::thin;
use crate::marks::Marks;
use crate::problem::Problem;
use crate::standing::{Frame, Goals, Member, covers, extent};
use crate::subset::REFERENCE;

/// Kept for two goals, where thinning is exact.
const CAPACITY_TWO: usize = 1_000;
/// Kept for three goals and more.
const CAPACITY: usize = 2_000;

/// Feasible members, none dominating or equalling another in goals. With two goals they are in
/// the order of the first goal, otherwise in no particular but reproducible order.
#[derive(Clone, Debug)]
pub(crate) struct Elite {
    goals: usize,
    members: Vec<Member>,
    /// The members' goals again, side by side for fast comparison.
    values: Vec<Goals>,
    /// With two goals of no use and empty.
    marks: Marks,
}

impl Elite {
    pub fn new(goals: usize) -> Self {
        Self {
            goals,
            members: Vec::new(),
            values: Vec::new(),
            marks: Marks::of(&[], goals),
        }
    }

    pub fn members(&self) -> &[Member] {
        &self.members
    }

    pub fn values(&self) -> &[Goals] {
        &self.values
    }

    fn capacity(&self) -> usize {
        if self.goals == 2 {
            CAPACITY_TWO
        } else {
            CAPACITY
        }
    }

    /// Adds a feasible member unless one as good in every goal is there already; members that it
    /// dominates leave. Says whether it came in.
    pub fn insert(&mut self, member: &Member) -> bool {
        if self.goals == 2 {
            self.insert_in_order(member)
        } else {
            self.insert_anywhere(member)
        }
    }

    fn insert_in_order(&mut self, member: &Member) -> bool {
        let [x, y, ..] = member.goals;
        // Everything before `at` is strictly better in the first goal.
        let at = self.values.partition_point(|v| v[0] < x);
        if at > 0 && self.values[at - 1][1] <= y {
            return false;
        }
        if self
            .values
            .get(at)
            .is_some_and(|v| covers(v, &member.goals))
        {
            return false;
        }
        let dominated = self.values[at..].iter().take_while(|v| v[1] >= y).count();
        if dominated == 0 {
            self.values.insert(at, member.goals);
            self.members.insert(at, member.clone());
        } else {
            self.values[at] = member.goals;
            self.members[at] = member.clone();
            self.values.drain(at + 1..at + dominated);
            self.members.drain(at + 1..at + dominated);
        }
        true
    }

    fn insert_anywhere(&mut self, member: &Member) -> bool {
        if self.marks.any_covers(&self.values, &member.goals) {
            return false;
        }
        // From the last down, so that what is swapped in was looked at already.
        let covered = self.marks.covered(&self.values, &member.goals);
        for i in covered.into_iter().rev() {
            self.values.swap_remove(i);
            self.members.swap_remove(i);
            self.marks.swap_remove(i);
        }
        self.values.push(member.goals);
        self.members.push(member.clone());
        self.marks.push(&self.values);
        true
    }

    /// Thins to the capacity once it is exceeded by a quarter.
    pub fn tidy(&mut self) {
        if self.values.len() * 4 > self.capacity() * 5 {
            self.shrink(self.capacity());
        }
    }

    /// Leaves at most `keep` members, spread over the front, the best of each goal among them.
    pub fn shrink(&mut self, keep: usize) {
        if self.values.len() <= keep {
            return;
        }
        let kept = if self.goals == 2 {
            self.thinned(keep)
        } else {
            self.boxed(keep)
        };
        self.values = kept.iter().map(|i| self.values[*i]).collect();
        self.members = kept.iter().map(|i| self.members[*i].clone()).collect();
        self.mark();
    }

    fn mark(&mut self) {
        if self.goals != 2 {
            self.marks = Marks::of(&self.values, self.goals);
        }
    }

    fn thinned(&self, keep: usize) -> Vec<usize> {
        let frame = Frame::of(self.values.iter());
        let normal: Vec<Goals> = self.values.iter().map(|v| frame.map(v)).collect();
        thin(
            &normal,
            self.goals,
            &REFERENCE,
            keep,
            &extremes(&self.values, self.goals),
        )
    }

    /// One member per box of the finest grid that leaves few enough: the nearest to the box's
    /// lower corner (after Laumanns, Thiele, Deb & Zitzler 2002, without dominance among boxes).
    fn boxed(&self, keep: usize) -> Vec<usize> {
        let frame = Frame::of(self.values.iter());
        let normal: Vec<Goals> = self.values.iter().map(|v| frame.map(v)).collect();
        Boxes::new(&normal, &extremes(&self.values, self.goals), self.goals).finest(keep)
    }

    pub fn write(&self, out: &mut Writer) {
        out.members(&self.members, self.goals);
    }

    pub fn read(from: &mut Reader, problem: &Problem) -> Result<Self, SnapshotFault> {
        let members = from.members(problem, 2 * CAPACITY, "archive")?;
        from.require(
            members.iter().all(|m| m.standing.is_feasible()),
            "archive standing",
        )?;
        let values: Vec<Goals> = members.iter().map(|m| m.goals).collect();
        let ordered = values
            .windows(2)
            .all(|w| w[0][0] < w[1][0] && w[0][1] > w[1][1]);
        from.require(problem.goals() != 2 || ordered, "archive order")?;
        let mut elite = Self {
            members,
            values,
            ..Self::new(problem.goals())
        };
        elite.mark();
        Ok(elite)
    }
}

/// Flags the first point with the least value of each goal.
pub(crate) fn extremes(values: &[Goals], goals: usize) -> Vec<bool> {
    let (ideal, _) = extent(values.iter());
    let mut flags = vec![false; values.len()];
    for goal in 0..goals {
        if let Some(first) = values.iter().position(|v| v[goal] == ideal[goal]) {
            flags[first] = true;
        }
    }
    flags
}
