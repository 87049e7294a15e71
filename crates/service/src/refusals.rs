//! Refusals that several routes document alike.

use std::collections::BTreeMap;

use utoipa::IntoResponses;
use utoipa::openapi::{ContentBuilder, Ref, RefOr, Response, ResponseBuilder};

macro_rules! refusals {
    ($($name:ident = $status:literal, $description:literal;)+) => {$(
        #[doc = $description]
        #[derive(Debug)]
        pub struct $name;

        impl IntoResponses for $name {
            fn responses() -> BTreeMap<String, RefOr<Response>> {
                refusal($status, $description)
            }
        }
    )+};
}

refusals! {
    OutOfRange = "400", "A parameter is out of range";
    NoSuchPicture = "400", "No such picture";
    NotJson = "400", "Not JSON";
    NoSuchJob = "404", "No such job";
    NoSuchCandidate = "404", "No such job or candidate";
    NoSuchVehicle = "404", "No such vehicle";
    NoSuchForm = "406", "None of the forms is acceptable";
    NotDone = "409", "The job is not done";
    ChangedSince = "412", "Somebody changed it since";
    FigureOutOfRange = "422", "A figure is out of range";
    FaultyBody = "422", "The body holds a fault";
    FaultyVehicle = "422", "The vehicle or what is said of it holds faults";
    JobFileTooOld = "422", "This build no longer takes the job file";
    QueueFull = "503", "The queue is full";
    StoreSilent = "503", "The store does not answer";
    TooManyWaiting = "503", "Too many are waiting; see Retry-After";
    TooManyFiles = "503", "Too many files are coming or going; see Retry-After";
    TooManyStreams = "503", "Too many streams are open";
}

fn refusal(status: &str, description: &str) -> BTreeMap<String, RefOr<Response>> {
    let problem = Ref::from_schema_name("Problem");
    let content = ContentBuilder::new().schema(Some(problem)).build();
    let response = ResponseBuilder::new()
        .description(description)
        .content("application/problem+json", content)
        .build();
    BTreeMap::from([(status.to_owned(), response.into())])
}
