//! `/v1/assessments`: one vehicle, answered at once.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use design::{
    Assessment, Compiled, InLoading, QuantityValue, Reach, Vehicle, assessment, assessment_in,
    in_each_loading,
};
use drawing::{Gallery, Subject, vehicle_report};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use utoipa::ToSchema;

use crate::against::{Against, parsed};
use crate::body::JsonBody;
use crate::convert::faulty;
use crate::extract::{Query, job_id};
use crate::forms::{DrawnPicture, HTML, JSON, PictureQuery, SVG, drawn, form_of, typed};
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::refusals::{NoSuchForm, NoSuchJob, TooManyWaiting};
use crate::routes::reports;
use crate::state::App;

/// What an assessment is asked by.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct AssessmentRequest {
    vehicle: Box<RawValue>,
    #[serde(default)]
    reach: Option<Reach>,
    #[serde(default)]
    job: Option<String>,
    #[serde(default)]
    against: Option<Box<RawValue>>,
    #[serde(default)]
    pictures: Vec<String>,
    #[serde(default)]
    labels: Option<[String; 2]>,
    #[serde(default)]
    loading: Option<String>,
    #[serde(default)]
    loadings: bool,
}

/// An assessment, with the pictures that were asked for.
#[derive(Debug, Serialize, ToSchema)]
pub struct AssessmentAnswer {
    #[serde(flatten)]
    assessment: Assessment,
    /// What the job named asks, where one is named.
    #[serde(skip_serializing_if = "Option::is_none")]
    asked: Option<AskedFigures>,
    /// Curves and stops in every state of loading, where they are asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    loadings: Vec<InLoading>,
    /// The pictures of the names in `pictures`, in their order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pictures: Vec<DrawnPicture>,
}

/// A vehicle by the goals and requirements of a job.
#[derive(Debug, Serialize, ToSchema)]
pub struct AskedFigures {
    /// It assembles and meets every requirement.
    feasible: bool,
    /// What each goal comes to, in the job's order.
    goals: Vec<QuantityValue>,
    /// What each requirement comes to, in the job's order.
    requirements: Vec<QuantityValue>,
}

/// A request, parsed.
struct Asked {
    vehicle: Vehicle,
    against: Option<Against>,
    reach: Reach,
    job: Option<Arc<Compiled>>,
    labels: Option<[String; 2]>,
    loading: Option<String>,
    loadings: bool,
}

impl Asked {
    fn assessed(&self) -> Result<Assessment, Problem> {
        assessment_in(&self.vehicle, &self.reach, self.loading.as_deref()).map_err(faulty)
    }

    /// A report shows every state of loading by itself.
    fn only_as_drawn(&self, body: &JsonBody) -> Result<(), Problem> {
        let given = [
            ("/loading", self.loading.is_some()),
            ("/loadings", self.loadings),
        ];
        match given.into_iter().find(|(_, given)| *given) {
            None => Ok(()),
            Some((field, _)) => {
                let message = "a report shows every state of loading by itself".to_owned();
                Err(body.fault(
                    field.into(),
                    message,
                    "no such field with Accept: text/html",
                ))
            }
        }
    }
}

/// Assess one vehicle: every quantity with its worst pose, curves, what stops it.
///
/// The body is `{"vehicle": VEHICLE, "reach": REACH, "job": ID, "against": VEHICLE, "pictures":
/// [NAME], "loading": NAME, "loadings": true}`; the schema of a vehicle is at /v1/schema/vehicle. With `job`, the vehicle is also measured
/// by what that job asks, as if the job had been submitted with it: that stands under `asked`. `reach`
/// may be left out and is then that of the job, without one the default of a job. `pictures` names pictures that come with the answer, at most 64; in them the vehicle lies over
/// the one that it is measured `against`, if that is given; `labels` are what keys call the two. With `Accept: text/html` a report of the
/// vehicle comes as one page; with `Accept: image/svg+xml` one picture of it. A picture's name is as
/// for a candidate's pictures. Another name is refused with the list of all.
///
/// Quantities are the worst over all states of loading, each naming its state. Curves, stops, load cases
/// and pictures are those of `masses`, or of the state that `loading` names (`as drawn` is that of
/// `masses`). With `loadings`, curves and stops of every state stand under `loadings`, and pictures show
/// all states over one another: `front_view`, `top_view`, `corner_view` and the curves; that goes without
/// `loading` and `against`.
#[utoipa::path(post, operation_id = "assess_vehicle", path = "/v1/assessments", tag = "at once",
    params(("picture" = Option<String>, Query,
        description = "With `Accept: image/svg+xml`: which picture; the first by default")),
    request_body(content = serde_json::Value, content_type = "application/json",
        description = "A vehicle, and the reach to take it over"),
    responses(
        (status = 200, description = "The assessment",
            content((AssessmentAnswer = "application/json"), (String = "text/html"),
                (String = "image/svg+xml"))),
        (status = 400, description = "Not JSON, or no such picture", body = Problem,
            content_type = "application/problem+json"),
        NoSuchJob,
        NoSuchForm,
        (status = 422, description = "A vehicle holds faults or cannot be assembled, or there is no \
            picture of a name", body = Problem, content_type = "application/problem+json"),
        TooManyWaiting,
    ))]
pub async fn assess(
    State(app): State<App>,
    Query(query): Query<PictureQuery>,
    headers: HeaderMap,
    body: JsonBody,
) -> Result<Response, Problem> {
    let form = form_of(&headers, "an assessment", &[JSON, HTML, SVG])?;
    query.only_for_svg(form)?;
    let asked: AssessmentRequest = body.read(
        "{\"vehicle\": VEHICLE, \"reach\": REACH, \"job\": ID, \"against\": VEHICLE, \
         \"pictures\": [NAME], \"labels\": [NAME, NAME], \"loading\": NAME, \"loadings\": true}",
    )?;
    if let Some(field) = asked.beside_loadings() {
        let message = "the states of loading over one another leave no room for this".to_owned();
        return Err(body.fault(field, message, "loadings without loading and against"));
    }
    let job = match &asked.job {
        Some(id) => Some(app.made_ready(&job_id(id)?).await?),
        None => None,
    };
    let of_job = job.as_ref().map(|made| made.job().reach.clone());
    let reach = asked.reach.or(of_job).unwrap_or_default();
    let against = asked.against.as_deref();
    let state = asked.loading.clone();
    let against = against.map(|text| Against::read(&app, text, &reach, state));
    let parsed = Asked {
        vehicle: vehicle(&asked.vehicle)?,
        against: against.transpose()?,
        reach,
        job,
        labels: asked.labels,
        loading: asked.loading,
        loadings: asked.loadings,
    };
    let compute = app.compute();
    if form == SVG {
        let task = move || picture(&parsed, &query);
        return Ok(typed(SVG, compute.run(task).await??));
    }
    if form == HTML {
        parsed.only_as_drawn(&body)?;
        let html = app.reports().run(move || report(&parsed)).await??;
        return Ok(reports::page(html));
    }
    let task = move || answer(&parsed, &asked.pictures, &body);
    Ok(Json(compute.run(task).await??).into_response())
}

fn answer(asked: &Asked, names: &[String], body: &JsonBody) -> Result<AssessmentAnswer, Problem> {
    let found = asked.assessed()?;
    let pictures = match names.is_empty() {
        true => Vec::new(),
        false => drawn(&gallery(asked, found.clone())?, names, body)?,
    };
    Ok(AssessmentAnswer {
        assessment: found,
        asked: asked
            .job
            .as_ref()
            .map(|job| measured(job, asked))
            .transpose()?,
        loadings: match asked.loadings {
            true => in_each_loading(&asked.vehicle, &asked.reach).map_err(faulty)?,
            false => Vec::new(),
        },
        pictures,
    })
}

fn measured(job: &Compiled, asked: &Asked) -> Result<AskedFigures, Problem> {
    let found = Compiled::measure(job.job(), &asked.vehicle).map_err(faulty)?;
    Ok(AskedFigures {
        feasible: found.feasible,
        goals: found.goals,
        requirements: found.requirements,
    })
}

fn picture(asked: &Asked, query: &PictureQuery) -> Result<String, Problem> {
    query.pick(&gallery(asked, asked.assessed()?)?)
}

fn report(asked: &Asked) -> Result<String, Problem> {
    assessment(&asked.vehicle, &asked.reach).map_err(faulty)?;
    vehicle_report(&asked.vehicle, &asked.reach).map_err(not_shown)
}

/// The vehicle over the one that it is measured against.
fn gallery(asked: &Asked, found: Assessment) -> Result<Gallery, Problem> {
    if asked.loadings {
        return Gallery::over_loadings(&asked.vehicle, &asked.reach).map_err(not_shown);
    }
    let usual = match asked.against {
        Some(_) => ("changed", "before"),
        None => ("", ""),
    };
    let given = asked.labels.as_ref();
    let (now, before) = given.map_or(usual, |[now, before]| (now, before));
    let now = Subject {
        label: now,
        vehicle: &asked.vehicle,
        assessment: found,
    };
    let against = asked.against.as_ref().map(|other| {
        Ok(Subject {
            label: before,
            vehicle: &other.vehicle,
            assessment: (*other.assessed(&asked.reach)?).clone(),
        })
    });
    Gallery::of_vehicle(now, against.transpose()?).map_err(not_shown)
}

impl AssessmentRequest {
    /// The field that cannot stand beside `loadings`.
    fn beside_loadings(&self) -> Option<String> {
        let given = [
            ("/loading", self.loading.is_some()),
            ("/against", self.against.is_some()),
        ];
        let first = given.into_iter().find(|(_, given)| *given && self.loadings);
        first.map(|(field, _)| field.to_owned())
    }
}

fn not_shown(why: String) -> Problem {
    Problem::new(Kind::PoseUnreachable, why)
}

/// The vehicle's own text is kept, so that its faults are found as in a file of its own.
pub(crate) fn vehicle(text: &RawValue) -> Result<Vehicle, Problem> {
    parsed(text, "/vehicle")
}
