//! The closed list of problem kinds: name, status, title and what a caller can do about each.

use axum::http::StatusCode;

/// What can go wrong on the wire. Closed, so that documents and command line can list it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The body is not JSON.
    BadJson,
    /// The body is JSON, but not a valid input.
    BadInput,
    /// A query parameter or header has a value outside its range.
    BadParameter,
    /// No such resource.
    NotFound,
    /// The resource exists, but not with this method.
    MethodNotAllowed,
    /// None of the offered media types is acceptable to the caller.
    NotAcceptable,
    /// The body did not arrive in time.
    BodyTooSlow,
    /// The idempotency key came before with another body.
    KeyReused,
    /// The job has no front yet, or never will.
    NoFront,
    /// The job is already over.
    AlreadyOver,
    /// What is stored does not allow the request.
    NotPossible,
    /// The file of a job is foreign, damaged or not whole.
    BadJobFile,
    /// The resource is no longer as the caller saw it.
    ChangedMeanwhile,
    /// The body exceeds the limit.
    TooLarge,
    /// The body is not declared as what the resource takes.
    WrongMediaType,
    /// The linkage cannot take the pose asked for.
    PoseUnreachable,
    /// A token is required and this one is missing or wrong.
    Unauthorised,
    /// The request comes from a page of another origin.
    ForeignOrigin,
    /// The Host header names another server.
    ForeignHost,
    /// Too much is in progress; the same request may succeed later.
    Busy,
    /// The queue of jobs is full.
    QueueFull,
    /// The store cannot be read or written at the moment.
    StoreUnavailable,
    /// The answer took longer than the server allows.
    TimedOut,
    /// A fault of this software.
    Internal,
    /// The command line is used wrongly, or a file it names cannot be read.
    Usage,
    /// The command line cannot reach its server.
    ServerUnreachable,
    /// The command line cannot write a file.
    NotWritten,
    /// The command line cannot open the address it was to listen on.
    CannotListen,
}

/// Every kind, in the order of the documents.
pub const KINDS: [Kind; 28] = [
    Kind::BadJson,
    Kind::BadInput,
    Kind::BadParameter,
    Kind::NotFound,
    Kind::MethodNotAllowed,
    Kind::NotAcceptable,
    Kind::BodyTooSlow,
    Kind::KeyReused,
    Kind::NoFront,
    Kind::AlreadyOver,
    Kind::NotPossible,
    Kind::BadJobFile,
    Kind::ChangedMeanwhile,
    Kind::TooLarge,
    Kind::WrongMediaType,
    Kind::PoseUnreachable,
    Kind::Unauthorised,
    Kind::ForeignOrigin,
    Kind::ForeignHost,
    Kind::Busy,
    Kind::QueueFull,
    Kind::StoreUnavailable,
    Kind::TimedOut,
    Kind::Internal,
    Kind::Usage,
    Kind::ServerUnreachable,
    Kind::NotWritten,
    Kind::CannotListen,
];

impl Kind {
    /// The last segment of the `type` reference.
    pub fn name(self) -> &'static str {
        self.row().0
    }

    /// The HTTP status of this kind.
    pub fn status(self) -> StatusCode {
        self.row().1
    }

    /// The kind in a few words.
    pub fn title(self) -> &'static str {
        self.row().2
    }

    /// What a caller can do about it.
    pub fn advice(self) -> &'static str {
        self.row().3
    }

    /// The `type` member of a problem document.
    pub fn reference(self) -> String {
        format!("/problems/{}", self.name())
    }

    /// Seconds to wait before another try, for kinds that pass by themselves.
    pub fn retry_after_s(self) -> Option<u32> {
        match self {
            Self::Busy => Some(1),
            Self::StoreUnavailable | Self::TimedOut => Some(5),
            Self::QueueFull => Some(30),
            _ => None,
        }
    }

    fn row(self) -> (&'static str, StatusCode, &'static str, &'static str) {
        use StatusCode as S;
        match self {
            Self::BadJson => (
                "bad-json",
                S::BAD_REQUEST,
                "The body is not JSON",
                "Correct the JSON at the line and column given.",
            ),
            Self::BadInput => (
                "bad-input",
                S::UNPROCESSABLE_ENTITY,
                "The input holds faults",
                "Correct every entry of faults; each has a pointer, the value and what is allowed.",
            ),
            Self::BadParameter => (
                "bad-parameter",
                S::BAD_REQUEST,
                "A parameter is out of range",
                "Correct the query parameter or header named in faults.",
            ),
            Self::NotFound => (
                "not-found",
                S::NOT_FOUND,
                "Not found",
                "Check the address; /v1/openapi.json lists every resource.",
            ),
            Self::MethodNotAllowed => (
                "method-not-allowed",
                S::METHOD_NOT_ALLOWED,
                "Method not allowed",
                "Use one of the methods in the Allow header.",
            ),
            Self::NotAcceptable => (
                "not-acceptable",
                S::NOT_ACCEPTABLE,
                "No acceptable form",
                "Ask for one of the media types named in detail.",
            ),
            Self::BodyTooSlow => (
                "body-too-slow",
                S::REQUEST_TIMEOUT,
                "The body came too slowly",
                "Send the whole body within the time given in detail.",
            ),
            Self::KeyReused => (
                "key-reused",
                S::CONFLICT,
                "The idempotency key was used before",
                "Send the same body with this key, or another key with this body.",
            ),
            Self::NoFront => (
                "no-front",
                S::CONFLICT,
                "The job has no front",
                "Wait until the job's state is done; a failed or cancelled job has no front.",
            ),
            Self::AlreadyOver => (
                "already-over",
                S::CONFLICT,
                "The job is already over",
                "Nothing is left to do: a finished job stays as it is.",
            ),
            Self::NotPossible => (
                "not-possible",
                S::CONFLICT,
                "What is stored does not allow this",
                "The detail says why, and what to do instead.",
            ),
            Self::BadJobFile => (
                "bad-job-file",
                S::UNPROCESSABLE_ENTITY,
                "The file is not the whole of an exported job",
                "Export the job again, and send the file as it is; nothing of this one was kept.",
            ),
            Self::ChangedMeanwhile => (
                "changed-meanwhile",
                S::PRECONDITION_FAILED,
                "It was changed meanwhile",
                "Fetch it again, look at what changed, and send If-Match with its new ETag.",
            ),
            Self::TooLarge => (
                "too-large",
                S::PAYLOAD_TOO_LARGE,
                "The body is too large",
                "Send a body within the limit given in detail.",
            ),
            Self::WrongMediaType => (
                "wrong-media-type",
                S::UNSUPPORTED_MEDIA_TYPE,
                "The body is declared as something else",
                "Send the body with the header Content-Type that detail names.",
            ),
            Self::PoseUnreachable => (
                "pose-unreachable",
                S::UNPROCESSABLE_ENTITY,
                "The pose cannot be reached",
                "Ask for a smaller lean, steer or travel, or change what detail names.",
            ),
            Self::Unauthorised => (
                "unauthorised",
                S::UNAUTHORIZED,
                "A token is required",
                "Send the header Authorization: Bearer TOKEN with the server's token.",
            ),
            Self::ForeignOrigin => (
                "foreign-origin",
                S::FORBIDDEN,
                "Requests from other origins are refused",
                "Call from the server's own pages or from outside a browser.",
            ),
            Self::ForeignHost => (
                "foreign-host",
                S::MISDIRECTED_REQUEST,
                "The Host header names another server",
                "Use the address the server listens on, or start it with that host name allowed.",
            ),
            Self::Busy => (
                "busy",
                S::SERVICE_UNAVAILABLE,
                "Too much is in progress",
                "Try again after the seconds in the Retry-After header.",
            ),
            Self::QueueFull => (
                "queue-full",
                S::SERVICE_UNAVAILABLE,
                "The queue of jobs is full",
                "Wait for queued jobs to finish, or cancel some.",
            ),
            Self::StoreUnavailable => (
                "store-unavailable",
                S::SERVICE_UNAVAILABLE,
                "The store is unavailable",
                "Try again; the server's log and its disk tell more.",
            ),
            Self::TimedOut => (
                "timed-out",
                S::SERVICE_UNAVAILABLE,
                "The answer took too long",
                "Try again when the machine is less busy.",
            ),
            Self::Internal => (
                "internal",
                S::INTERNAL_SERVER_ERROR,
                "A fault of this software",
                "The server keeps serving. Its log holds the cause; please report it.",
            ),
            Self::Usage => (
                "usage",
                S::BAD_REQUEST,
                "The command cannot be carried out as given",
                "Only the command line says this; --help explains each command.",
            ),
            Self::ServerUnreachable => (
                "server-unreachable",
                S::SERVICE_UNAVAILABLE,
                "The server cannot be reached",
                "Only the command line says this; check the address and that the server runs.",
            ),
            Self::NotWritten => (
                "not-written",
                S::INTERNAL_SERVER_ERROR,
                "A file cannot be written",
                "Only the command line says this; check the folder, its rights and the disk.",
            ),
            Self::CannotListen => (
                "cannot-listen",
                S::SERVICE_UNAVAILABLE,
                "The address cannot be opened",
                "Only the command line says this; another program may listen there already.",
            ),
        }
    }
}
