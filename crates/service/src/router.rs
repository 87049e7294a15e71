//! All routes and what stands before them.

use axum::Router;
use axum::extract::Request;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::get;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

use crate::guard;
use crate::openapi;
use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::routes::{
    archive, assessments, comparisons, events, fits, found, front, jobs, life, list_events, page,
    poses, probes, problems, quantities, reports, schema, sensitivities, studies, transfer,
    vehicles, versions, workers,
};
use crate::state::App;

/// The routes together with their documentation.
pub fn documented() -> OpenApiRouter<App> {
    OpenApiRouter::with_openapi(openapi::info())
        .routes(routes!(jobs::submit, jobs::list))
        .routes(routes!(jobs::one, life::change, life::delete))
        .routes(routes!(jobs::input))
        .routes(routes!(jobs::cancel))
        .routes(routes!(life::pause))
        .routes(routes!(life::resume))
        .routes(routes!(life::extend))
        .routes(routes!(life::restart))
        .routes(routes!(transfer::export))
        .routes(routes!(transfer::import))
        .routes(routes!(events::follow))
        .routes(routes!(list_events::follow_all))
        .routes(routes!(found::found))
        .routes(routes!(found::submitted))
        .routes(routes!(front::front))
        .routes(routes!(archive::archive))
        .routes(routes!(front::candidate))
        .routes(routes!(sensitivities::submitted))
        .routes(routes!(sensitivities::candidate))
        .routes(routes!(studies::submitted))
        .routes(routes!(studies::candidate))
        .routes(routes!(front::hardpoints))
        .routes(routes!(front::candidate_hardpoints))
        .routes(routes!(reports::job))
        .routes(routes!(reports::candidate))
        .routes(routes!(comparisons::compare))
        .routes(routes!(assessments::assess))
        .routes(routes!(poses::solve))
        .routes(routes!(fits::fit))
        .routes(routes!(fits::of_job))
        .routes(routes!(vehicles::save, vehicles::list))
        .routes(routes!(vehicles::one, vehicles::change, vehicles::delete))
        .routes(routes!(versions::save_version))
        .routes(routes!(versions::version))
        .routes(routes!(workers::list))
        .routes(routes!(quantities::list))
        .routes(routes!(schema::job))
        .routes(routes!(schema::vehicle))
        .routes(routes!(schema::fit))
        .routes(routes!(schema::openapi))
        .routes(routes!(problems::list))
        .routes(routes!(problems::one))
        .routes(routes!(probes::healthz))
        .routes(routes!(probes::readyz))
        .routes(routes!(probes::metrics))
}

/// The service: routes behind the guards. The guard added last sees a request first.
pub fn router(app: App) -> Router {
    let (routes, _) = documented().split_for_parts();
    routes
        .route("/", get(page::shell))
        .route("/page/{*file}", get(page::file))
        .fallback(nothing_here)
        .method_not_allowed_fallback(wrong_method)
        .layer(from_fn(guard::catch_panics))
        .layer(from_fn_with_state(app.clone(), guard::bound_time))
        .layer(from_fn_with_state(app.clone(), guard::check_token))
        .layer(from_fn_with_state(
            app.clone(),
            guard::check_host_and_origin,
        ))
        .layer(from_fn_with_state(app.clone(), guard::count))
        .layer(from_fn(guard::protect))
        .with_state(app)
}

async fn nothing_here(request: Request) -> Problem {
    Problem::not_found("resource", request.uri().path())
}

async fn wrong_method(request: Request) -> Problem {
    Problem::new(
        Kind::MethodNotAllowed,
        format!(
            "{} is not possible on {}",
            request.method(),
            request.uri().path()
        ),
    )
}
