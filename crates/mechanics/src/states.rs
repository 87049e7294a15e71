//! States of loading: masses, mean travel and reach of their own.
//!
//! States of one mean travel and one reach share their poses and make a group; every other group
//! has sweeps of its own, and a quantity is the worst over all.

use crate::loads::Stance;
use crate::{Masses, Reach, Settings};
use kinematics::{Linkage, Side};

/// A state of loading beside the masses of the fittings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loading {
    /// Machine and what it carries.
    pub masses: Masses,
    /// Its mean travel.
    pub sag: Sag,
    /// The poses that its rider meets, if not those of the settings.
    pub reach: Option<Reach>,
}

/// Mean travel of the wheels in a state of loading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sag {
    /// So many mm, positive when the wheels rise.
    Given(f64),
    /// Where the springs carry the static load of the front wheels.
    Springs,
}

/// One spring at each front wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Springs {
    /// Rate of one spring, N/mm.
    pub rate: f64,
    /// Travel of the spring per travel of the wheel.
    pub motion_ratio: f64,
    /// Force of each spring in the design pose, N; `None`: that which carries the masses of the
    /// fittings there.
    pub preload: Option<f64>,
    /// Mean travel at the droop and the bump stop, mm.
    pub stops: [f64; 2],
}

impl Springs {
    /// Mean travel at which the springs carry a load of each front wheel, N. Virtual work at the
    /// wheel: load = r (P + k r h). The wheels' own weight is left out.
    pub fn travel(&self, load: f64, design_load: f64) -> f64 {
        let ratio = self.motion_ratio;
        let preload = self.preload.unwrap_or(design_load / ratio);
        let travel = (load / ratio - preload) / (self.rate * ratio);
        travel.clamp(self.stops[0], self.stops[1])
    }
}

/// States of loading that share their poses.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Group {
    /// Index and masses of each; 0 is that of the fittings.
    pub states: Vec<(usize, Masses)>,
    sag: Sag,
    pub reach: Option<Reach>,
    /// Masses that the springs carry in the design pose.
    design: Option<Masses>,
}

impl Group {
    fn new(settings: &Settings, (index, masses, sag, reach): State) -> Group {
        Group {
            states: masses.map(|m| (index, m)).into_iter().collect(),
            sag,
            reach,
            design: settings.fittings.masses,
        }
    }

    /// The states that share the poses of the fittings' own.
    pub fn first(settings: &Settings) -> Group {
        Group::all(settings).swap_remove(0)
    }

    /// All groups, that of the fittings' own masses first.
    pub fn all(settings: &Settings) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        for state in states(settings) {
            let fresh = Group::new(settings, state);
            let same = |g: &&mut Group| g.sag == fresh.sag && g.reach == fresh.reach;
            match groups.iter_mut().find(same) {
                // Springs answer to each weight on its own.
                Some(group) if fresh.sag != Sag::Springs => group.states.extend(fresh.states),
                _ => groups.push(fresh),
            }
        }
        groups
    }

    /// One state of loading without those that share its poses; 0 is that of the fittings.
    pub fn alone(settings: &Settings, index: usize) -> Option<Group> {
        let state = states(settings).into_iter().nth(index)?;
        Some(Group::new(settings, state))
    }

    /// One group per state beyond the first of its group, for what is taken with one state's
    /// masses alone.
    pub fn singles(settings: &Settings) -> Vec<Group> {
        let spare = |group: Group| {
            let rest = group.states.iter().skip(1).copied().collect::<Vec<_>>();
            rest.into_iter().map(move |state| Group {
                states: vec![state],
                ..group.clone()
            })
        };
        Group::all(settings).into_iter().flat_map(spare).collect()
    }

    /// Mean travel of a machine in this group, mm; `None` where its own coupling holds it.
    pub fn travel(&self, linkage: &Linkage, springs: Option<&Springs>) -> Option<f64> {
        let travel = match (self.sag, springs, self.states.first()) {
            (Sag::Given(mm), ..) => mm,
            (Sag::Springs, Some(springs), Some((_, masses))) => {
                let load = front_load(linkage, masses);
                let design = self.design.map_or(load, |m| front_load(linkage, &m));
                springs.travel(load, design)
            }
            _ => 0.0,
        };
        (travel != 0.0).then_some(travel)
    }
}

type State = (usize, Option<Masses>, Sag, Option<Reach>);

fn states(settings: &Settings) -> Vec<State> {
    let preloaded = settings.parts.springs.and_then(|s| s.preload).is_some();
    let sag = match settings.sag {
        // Without a preload the springs are set so that these masses sit in the design pose.
        Sag::Springs if !preloaded => Sag::Given(0.0),
        other => other,
    };
    let own = (0, settings.fittings.masses, sag, None);
    let weighed = settings.fittings.masses.is_some();
    let others = settings.parts.states.iter().enumerate();
    let others = others.filter(|_| weighed).map(|(i, state)| {
        let reach = state.reach.filter(|reach| *reach != settings.reach);
        (i + 1, Some(state.masses), state.sag, reach)
    });
    core::iter::once(own).chain(others).collect()
}

/// Static load of a front wheel in the design pose, mean of both, N.
fn front_load(linkage: &Linkage, masses: &Masses) -> f64 {
    let stance = Stance::of(linkage.design_pose(), masses);
    let shares = stance.shares([0.0; 2]);
    0.5 * stance.weight * (shares[Side::Left as usize] + shares[Side::Right as usize])
}
