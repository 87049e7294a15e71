//! Machines of a comparison, found in the store and measured by one rule.
//!
//! A candidate has the figures that its own job asked for. A saved vehicle has none; it is measured by
//! what the first job named asks, as if that job had been submitted with it. Where no job is named, or
//! every quantity is wanted, all are assessed over one reach.

use design::{
    Assessment, Candidate, Compiled, Job, Reach, Vehicle, assessment, parse_job, parse_vehicle,
};
use drawing::{Gallery, comparison_report};
use store::Store;

use crate::comparison::Compared;
use crate::convert::{faulty, store_problem};
use crate::extract::{job_id, vehicle_id};
use crate::garage::MachineRef;
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::published;
use crate::state::App;

/// A machine as it was found.
#[derive(Debug)]
pub struct Found {
    name: MachineRef,
    label: String,
    machine: Machine,
}

#[derive(Debug)]
enum Machine {
    Candidate(Box<Candidate>),
    Saved(Box<Vehicle>),
}

/// All machines of a comparison, and the file of the first job among them.
#[derive(Debug)]
pub struct Machines {
    found: Vec<Found>,
    job: Option<String>,
}

impl Machines {
    /// Finds all of them.
    ///
    /// # Errors
    /// [`Kind::NotFound`] naming the first that is not there, [`Kind::NoFront`] for a job that is not
    /// done.
    pub async fn find(app: &App, names: Vec<MachineRef>) -> Result<Self, Problem> {
        let store = app.store();
        let mut found = Vec::with_capacity(names.len());
        let first = names.iter().find_map(|name| name.job.clone());
        let several = names
            .iter()
            .any(|name| name.job.is_some() && name.job != first);
        for name in names {
            found.push(match (&name.job, &name.vehicle) {
                (Some(job), _) => candidate(app, job.clone(), name, several).await?,
                (None, Some(vehicle)) => saved(store, vehicle.clone(), name).await?,
                (None, None) => return Err(Problem::not_found("machine", "")),
            });
        }
        let job = match first {
            Some(job) => {
                let bytes = store.input(&job_id(&job)?).await.map_err(store_problem)?;
                Some(String::from_utf8_lossy(&bytes).into_owned())
            }
            None => None,
        };
        Ok(Self { found, job })
    }

    /// Measures all of them, every quantity or what was asked for.
    ///
    /// # Errors
    /// [`Kind::BadInput`] when this build no longer accepts a file; [`Kind::PoseUnreachable`] naming
    /// the machine that cannot be assessed.
    pub fn measured(self, every: bool) -> Result<(Vec<Compared>, Reach), Problem> {
        let job = self
            .job
            .as_deref()
            .map(parse_job)
            .transpose()
            .map_err(faulty)?;
        let reach = job
            .as_ref()
            .map_or_else(Reach::default, |job| job.reach.clone());
        let one = |found: Found| found.measured(job.as_ref(), &reach, every);
        let all: Result<Vec<Compared>, Problem> = self.found.into_iter().map(one).collect();
        Ok((all?, reach))
    }
}

impl Found {
    fn measured(self, job: Option<&Job>, reach: &Reach, every: bool) -> Result<Compared, Problem> {
        let (figures, judged) = match (self.machine, job) {
            (Machine::Candidate(own), _) if !every => (*own, true),
            (Machine::Saved(vehicle), Some(job)) if !every => {
                (Compiled::measure(job, &vehicle).map_err(faulty)?, true)
            }
            (Machine::Candidate(own), _) => (assessed(&self.label, own.vehicle, reach)?, false),
            (Machine::Saved(vehicle), _) => (assessed(&self.label, *vehicle, reach)?, false),
        };
        Ok(Compared {
            name: self.name,
            label: self.label,
            figures,
            judged,
        })
    }
}

async fn candidate(
    app: &App,
    job: String,
    name: MachineRef,
    several: bool,
) -> Result<Found, Problem> {
    let number = name.number.unwrap_or_default();
    let found = published::candidate(app, &job, number).await?;
    let label = match several {
        true => {
            let of = app.store().job(&job_id(&job)?).await;
            let of = of.map_err(store_problem)?.name;
            format!(
                "{number} of {}",
                if of.trim().is_empty() { job } else { of }
            )
        }
        false => format!("candidate {number}"),
    };
    let label = match &found.layout {
        Some(layout) => format!("{label}, {}", layout.name),
        None => label,
    };
    Ok(Found {
        name,
        label,
        machine: Machine::Candidate(Box::new(found)),
    })
}

async fn saved(store: &Store, id: String, name: MachineRef) -> Result<Found, Problem> {
    let version = name.version.unwrap_or_default();
    let id = vehicle_id(&id)?;
    let vehicle = store.vehicle(&id).await.map_err(store_problem)?;
    let file = store.version(&id, version).await.map_err(store_problem)?;
    let file = parse_vehicle(&String::from_utf8_lossy(&file.body)).map_err(faulty)?;
    Ok(Found {
        name,
        label: format!("{}, version {version}", vehicle.name),
        machine: Machine::Saved(Box::new(file)),
    })
}

/// Every quantity of a vehicle, in the form of a candidate.
fn assessed(label: &str, vehicle: Vehicle, reach: &Reach) -> Result<Candidate, Problem> {
    let Assessment {
        quantities,
        rod_lengths,
        ..
    } = assessment(&vehicle, reach).map_err(|faults| {
        let why: Vec<String> = faults.into_iter().map(|fault| fault.message).collect();
        Problem::new(
            Kind::PoseUnreachable,
            format!("{label}: {}", why.join("; ")),
        )
    })?;
    Ok(Candidate {
        vector: Vec::new(),
        feasible: true,
        failure: None,
        goals: Vec::new(),
        requirements: quantities,
        holds: Vec::new(),
        hardpoints: Vec::new(),
        sizes: Vec::new(),
        joints: Vec::new(),
        directions: Vec::new(),
        rod_lengths,
        study: None,
        layout: None,
        vehicle,
    })
}

/// Curves and views of machines over one another.
///
/// # Errors
/// [`Kind::PoseUnreachable`] naming the first machine that cannot be shown.
pub fn over_one_another(machines: &[Compared], reach: &Reach) -> Result<Gallery, Problem> {
    let vehicles: Vec<(String, &Vehicle)> = machines
        .iter()
        .map(|machine| (machine.label.clone(), &machine.figures.vehicle))
        .collect();
    Gallery::side_by_side(&vehicles, reach).map_err(not_shown)
}

/// Machines side by side as a page.
///
/// # Errors
/// As [`over_one_another`].
pub fn page(machines: &[Compared], reach: &Reach) -> Result<String, Problem> {
    let named: Vec<(String, &Candidate)> = machines
        .iter()
        .map(|machine| (machine.label.clone(), &machine.figures))
        .collect();
    comparison_report("Machines side by side", &named, reach).map_err(not_shown)
}

fn not_shown(why: String) -> Problem {
    Problem::new(Kind::PoseUnreachable, why)
}
