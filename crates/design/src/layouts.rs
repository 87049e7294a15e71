//! Wire types of jobs over several layouts.

use crate::answer::Candidate;
use crate::job::{Freedom, Hold, Job};
use crate::vehicle::Vehicle;
use serde::{Deserialize, Serialize};

/// A further layout of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LayoutInput {
    /// A name for people.
    #[serde(default)]
    pub name: String,
    /// The machine that its search starts from.
    pub vehicle: Vehicle,
    /// Coordinates that may move.
    pub freedoms: Vec<Freedom>,
    /// Equalities, each solved exactly by one coordinate.
    #[serde(default)]
    pub holds: Vec<Hold>,
}

impl Job {
    /// How many layouts it searches.
    pub fn layout_count(&self) -> usize {
        1 + self.layouts.len()
    }

    /// The job of one layout alone: 0 is that of `vehicle`; one beyond the last is that too.
    pub fn of_layout(&self, layout: usize) -> Job {
        let mut one = Job {
            layouts: Vec::new(),
            ..self.clone()
        };
        if let Some(given) = layout.checked_sub(1).and_then(|i| self.layouts.get(i)) {
            one.vehicle = given.vehicle.clone();
            one.freedoms = given.freedoms.clone();
            one.holds = given.holds.clone();
        }
        one
    }

    /// A layout's name: its own, else its vehicle's, else the word of its steering.
    pub fn layout_name(&self, layout: usize) -> String {
        let given = layout.checked_sub(1).and_then(|i| self.layouts.get(i));
        let vehicle = given.map_or(&self.vehicle, |given| &given.vehicle);
        let own = given.map_or("", |given| given.name.trim());
        let names = [own, vehicle.name.trim(), vehicle.steering.layout()];
        names
            .into_iter()
            .find(|name| !name.is_empty())
            .unwrap_or("")
            .to_owned()
    }
}

/// One of the layouts of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LayoutPlace {
    /// Its place, from 0: that of `vehicle`, then `layouts`.
    pub place: u32,
    /// Its name.
    pub name: String,
    /// The word of its steering, such as `cross_rod`.
    pub steering: String,
}

impl Candidate {
    /// Place of its layout in the job; 0 where there is one only.
    pub fn layout_place(&self) -> usize {
        self.layout
            .as_ref()
            .map_or(0, |layout| layout.place as usize)
    }
}
