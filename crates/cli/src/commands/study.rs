//! `study`: what a workshop's errors make of a machine, computed here.

use design::{
    Cause, Compiled, Jig, Job, QuantityStudy, Study, Tolerance, check_tolerance, parse_job,
};
use service::{Kind, Problem};

use crate::args::StudyOf;
use crate::exit::Outcome;
use crate::table::{Table, number};
use crate::{files, output};

/// Prints the tolerance study of a job's submitted vehicle or of one vector of its freedoms.
pub fn study(args: &StudyOf, json: bool) -> Result<Outcome, Problem> {
    let job = parse_job(&files::read_json(&args.job)?).map_err(service::faulty)?;
    let own = &job.tolerance;
    let tolerance = Tolerance {
        sigma_mm: args.sigma_mm.unwrap_or(own.sigma_mm),
        rod_mm: args.rod_mm.unwrap_or(own.rod_mm),
        stud_deg: args.stud_deg.unwrap_or(own.stud_deg),
        samples: args.samples.unwrap_or(own.samples),
        seed: args.seed.unwrap_or(own.seed),
        ..own.clone()
    };
    check_tolerance(&tolerance).map_err(service::faulty)?;
    let layout = layout(&job, args)?;
    let count = job.of_layout(layout).freedoms.len();
    let vector = match args.offsets_mm.len() {
        0 => vec![0.0; count],
        given if given == count => args.offsets_mm.clone(),
        given => {
            let what = if job.layouts.is_empty() {
                "job"
            } else {
                "layout"
            };
            let detail =
                format!("--offsets-mm holds {given} numbers; the {what} has {count} freedoms");
            return Err(Problem::new(Kind::Usage, detail));
        }
    };
    let compiled = Compiled::new(&job).map_err(service::faulty)?;
    let study = compiled.layout(layout).study_within(&vector, &tolerance);
    if let Some(why) = &study.failure {
        return Err(Problem::new(Kind::PoseUnreachable, why.clone()));
    }
    if json {
        output::json(&study)?;
    } else {
        output::line(&text(&study))?;
    }
    Ok(Outcome::Done)
}

/// The place of the layout that is studied.
fn layout(job: &Job, args: &StudyOf) -> Result<usize, Problem> {
    let count = job.layout_count();
    let named = |i: usize| format!("{i} ({})", job.layout_name(i));
    let all = || (0..count).map(named).collect::<Vec<_>>().join(", ");
    let Some(asked) = &args.layout else {
        if count > 1 && !args.offsets_mm.is_empty() {
            let detail = format!("--offsets-mm needs --layout, one of: {}", all());
            return Err(Problem::new(Kind::Usage, detail));
        }
        return Ok(0);
    };
    let is = |i: &usize| i.to_string() == *asked || job.layout_name(*i) == *asked;
    (0..count).find(is).ok_or_else(|| {
        let detail = format!("--layout is {asked:?}; the job has: {}", all());
        Problem::new(Kind::Usage, detail)
    })
}

fn text(study: &Study) -> String {
    let heads = [
        "quantity",
        "drawn",
        "p50",
        "p95",
        "worst",
        "deviation",
        "matters most",
    ];
    let mut table = Table::new(heads.map(str::to_owned));
    for row in &study.quantities {
        table.row([
            row.quantity.clone(),
            number(row.nominal),
            number(row.p50),
            number(row.p95),
            number(row.worst),
            number(row.deviation),
            row.causes.first().map(cause).unwrap_or_default(),
        ]);
    }
    let mut parts = vec![
        format!(
            "{} machines built at {} mm; {} do not assemble",
            study.samples, study.sigma_mm, study.unassembled
        ),
        table.text(),
    ];
    let jigs = study.quantities.iter();
    let lines = jigs.filter_map(|row| row.jig.as_ref().map(|j| jig(row, j)));
    parts.push(lines.collect::<Vec<_>>().join("\n"));
    parts.extend([study.notes.join("\n"), study.cautions.join("\n")]);
    parts.retain(|part| !part.is_empty());
    parts.join("\n\n")
}

fn cause(cause: &Cause) -> String {
    let axis = match cause.axis {
        Some(design::Axis::X) => " x",
        Some(design::Axis::Y) => " y",
        Some(design::Axis::Z) => " z",
        None => "",
    };
    format!("{}{axis} ({:.0} %)", cause.of, 100.0 * cause.share)
}

fn jig(row: &QuantityStudy, jig: &Jig) -> String {
    let figure = match jig.sigma_mm {
        Some(sigma) => format!("an error of {sigma:.2} mm keeps the requirement in 95 %"),
        None => "no error keeps the requirement in 95 %".to_owned(),
    };
    let note = jig.note.as_ref().map(|n| format!(" ({n})"));
    format!("{}: {figure}{}", row.quantity, note.unwrap_or_default())
}
