//! States of loading by their names.

use crate::fault::Fault;
use crate::job::Reach;
use crate::nearest::suggestion;
use crate::vehicle::Vehicle;

/// The state of loading that `masses` describes.
pub const AS_DRAWN: &str = "as drawn";

impl Vehicle {
    /// Name of a state by its index: 0 is that of `masses`.
    pub(crate) fn state_name(&self, state: usize) -> &str {
        let other = state.checked_sub(1).and_then(|i| self.loadings.get(i));
        other.map_or(AS_DRAWN, |loading| &loading.name)
    }

    /// Index of a state by its name.
    ///
    /// # Errors
    /// At `/loading` a name that this vehicle has not.
    pub fn state(&self, name: Option<&str>) -> Result<usize, Vec<Fault>> {
        let Some(name) = name else { return Ok(0) };
        let count = self.loadings.len();
        let found = (0..=count).find(|state| self.state_name(*state) == name);
        found.ok_or_else(|| {
            let names: Vec<&str> = (0..=count).map(|state| self.state_name(state)).collect();
            let hint = suggestion(name, names.iter().copied());
            vec![Fault {
                pointer: "/loading".into(),
                message: format!("this vehicle has no such state of loading{hint}"),
                value: name.to_owned(),
                allowed: names.join(", "),
            }]
        })
    }

    /// The reach of a state: its own, or that of all.
    pub fn reach_in<'a>(&'a self, state: usize, reach: &'a Reach) -> &'a Reach {
        let loading = state.checked_sub(1).and_then(|i| self.loadings.get(i));
        loading.and_then(|l| l.reach.as_ref()).unwrap_or(reach)
    }
}
