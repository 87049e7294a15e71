//! A job over several layouts: each made ready as a job of its own.

use super::Compiled;
use crate::fault::Fault;
use crate::job::Job;
use crate::layouts::LayoutPlace;
use crate::rules::layouts;

impl Compiled {
    /// Prepares a job that [`crate::parse_job`] has let pass, and looks at a fixed sample of its
    /// candidates (some hundred evaluations).
    ///
    /// # Errors
    /// Faults that need the machine's poses to be seen: holds without a solution, goals that no
    /// freedom changes, a reach without a pose.
    pub fn new(job: &Job) -> Result<Compiled, Vec<Fault>> {
        if job.layouts.is_empty() {
            return Compiled::one(job);
        }
        let each = |layout: usize| -> Result<Compiled, Vec<Fault>> {
            let at = format!("/layouts/{}", layout.saturating_sub(1));
            let moved = |pointer: &str| match layout {
                0 => pointer.to_owned(),
                _ => layouts::place(pointer, &at),
            };
            let mut one = Compiled::one(&job.of_layout(layout)).map_err(|faults| {
                let place = |fault: Fault| Fault {
                    pointer: moved(&fault.pointer),
                    message: format!("{}: {}", job.layout_name(layout), fault.message),
                    ..fault
                };
                faults.into_iter().map(place).collect::<Vec<_>>()
            })?;
            one.place = Some(LayoutPlace {
                place: layout as u32,
                name: job.layout_name(layout),
                steering: one.job.vehicle.steering.layout().to_owned(),
            });
            for finding in &mut one.findings {
                finding.pointer = moved(&finding.pointer);
                finding.message = format!("{}: {}", job.layout_name(layout), finding.message);
            }
            Ok(one)
        };
        let mut first = each(0)?;
        for layout in 1..job.layout_count() {
            let other = each(layout)?;
            first.findings.extend(other.findings.iter().cloned());
            first.others.push(other);
        }
        first.job = job.clone();
        Ok(first)
    }

    /// How many layouts the job searches.
    pub fn layouts(&self) -> usize {
        1 + self.others.len()
    }

    /// One of them: 0 is the first, as is any beyond the last.
    pub fn layout(&self, layout: usize) -> &Compiled {
        let other = layout.checked_sub(1).and_then(|i| self.others.get(i));
        other.unwrap_or(self)
    }

    /// The layout's place and name, where the job has several.
    pub fn place(&self) -> Option<&LayoutPlace> {
        self.place.as_ref()
    }
}
