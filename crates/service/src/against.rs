//! Vehicles within a request, and the one that another is measured against.

use std::sync::Arc;

use design::{Assessment, Fault, Reach, Vehicle, assessment_in, parse_vehicle};
use serde_json::value::RawValue;

use crate::convert::faulty;
use crate::problem::Problem;
use crate::state::App;

/// The vehicle that another one is measured against. While a point is moved by hand it stays the same,
/// so its assessment is kept.
pub(crate) struct Against {
    app: App,
    key: String,
    pub vehicle: Vehicle,
    loading: Option<String>,
}

impl Against {
    pub fn read(
        app: &App,
        text: &RawValue,
        reach: &Reach,
        loading: Option<String>,
    ) -> Result<Self, Problem> {
        let reach = serde_json::to_string(reach).unwrap_or_default();
        Ok(Self {
            app: app.clone(),
            key: format!("{reach}\n{loading:?}\n{text}"),
            vehicle: parsed(text, "/against")?,
            loading,
        })
    }

    pub fn assessed(&self, reach: &Reach) -> Result<Arc<Assessment>, Problem> {
        self.app.assessed().get_or(&self.key, || {
            let found = assessment_in(&self.vehicle, reach, self.loading.as_deref());
            found.map_err(|faults| below(faults, "/against"))
        })
    }
}

pub(crate) fn parsed(text: &RawValue, place: &str) -> Result<Vehicle, Problem> {
    parse_vehicle(text.get()).map_err(|faults| below(faults, place))
}

pub(crate) fn below(mut faults: Vec<Fault>, place: &str) -> Problem {
    for fault in &mut faults {
        fault.pointer.insert_str(0, place);
    }
    faulty(faults)
}
