-- Jobs, slices, checkpoints, events and results.
--
-- Times are integer milliseconds since 1970 by the clock of the database, never by that of a worker.
-- Every statement of the store is written so that the PostgreSQL twin of this file serves it as well:
-- the names, the columns and the uniqueness rules are the contract, the types are each engine's own.

CREATE TABLE migrations (
    version    INTEGER PRIMARY KEY,
    sha256     TEXT    NOT NULL,
    applied_at INTEGER NOT NULL
);

CREATE TABLE jobs (
    -- The sequence number orders lists and joins; callers only ever see `id`.
    seq             INTEGER PRIMARY KEY AUTOINCREMENT,
    id              TEXT    NOT NULL UNIQUE,
    caller          TEXT    NOT NULL,
    name            TEXT    NOT NULL,
    -- Lower runs first: 0 urgent, 1 normal, 2 background.
    priority        INTEGER NOT NULL DEFAULT 1 CHECK (priority BETWEEN 0 AND 2),
    state           TEXT    NOT NULL DEFAULT 'queued'
                    CHECK (state IN ('queued', 'running', 'done', 'failed', 'cancelled')),
    -- Pausing only blocks claims, so it is a flag beside the state and not a state.
    paused          INTEGER NOT NULL DEFAULT 0 CHECK (paused IN (0, 1)),
    -- Why a job failed, in words for the caller.
    reason          TEXT,
    -- The bytes that the caller sent, kept as they came; their digest decides on a repeated key.
    input           BLOB    NOT NULL,
    input_sha256    TEXT    NOT NULL,
    idempotency_key TEXT,
    islands         INTEGER NOT NULL CHECK (islands > 0),
    -- Epochs of search; the slices after the search use the epochs from this number on.
    epochs          INTEGER NOT NULL CHECK (epochs > 0),
    -- Evaluations that the whole job will spend, for progress.
    planned         INTEGER NOT NULL,
    -- Set at the first claim: equal bits are promised for one build only.
    build           TEXT,
    -- The job that this one was made from, if any. No reference: the parent may be deleted first.
    parent          TEXT,
    -- The newest progress record, opaque here, and when it was written: at most one a second.
    progress        BLOB,
    progress_at     INTEGER NOT NULL DEFAULT 0,
    -- Numbers of events come from here, under the row's lock: commit order is number order.
    last_event      INTEGER NOT NULL DEFAULT 0,
    -- Days to keep the job after it ended; NULL keeps it until it is deleted by hand.
    keep_days       INTEGER CHECK (keep_days > 0),
    created_at      INTEGER NOT NULL,
    started_at      INTEGER,
    finished_at     INTEGER,
    CHECK ((state IN ('done', 'failed', 'cancelled')) = (finished_at IS NOT NULL))
);

CREATE UNIQUE INDEX jobs_key ON jobs (caller, idempotency_key) WHERE idempotency_key IS NOT NULL;
CREATE INDEX jobs_open ON jobs (state) WHERE state IN ('queued', 'running');

-- A finished job is final; a second look at it is a new job with this one as its parent.
CREATE TRIGGER jobs_finished_is_final BEFORE UPDATE OF state ON jobs
WHEN OLD.state IN ('done', 'failed', 'cancelled') AND NEW.state <> OLD.state
BEGIN
    SELECT RAISE(ABORT, 'a finished job is final');
END;

CREATE TABLE labels (
    job   INTEGER NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    label TEXT    NOT NULL,
    PRIMARY KEY (job, label)
) WITHOUT ROWID;
CREATE INDEX labels_by_label ON labels (label, job);

CREATE TABLE slices (
    seq         INTEGER PRIMARY KEY AUTOINCREMENT,
    job         INTEGER NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    -- Copied from the job, so that the count of running slices of a caller needs no join.
    caller      TEXT    NOT NULL,
    kind        TEXT    NOT NULL CHECK (kind IN ('search', 'merge', 'polish', 'study', 'publish')),
    island      INTEGER NOT NULL,
    epoch       INTEGER NOT NULL,
    -- A row is made by the first input that finishes, and may be claimed when all have.
    inputs      INTEGER NOT NULL,
    arrived     INTEGER NOT NULL CHECK (arrived BETWEEN 0 AND inputs),
    state       TEXT    NOT NULL
                CHECK (state IN ('waiting', 'ready', 'running', 'done', 'discarded')),
    -- The fencing token: one more at every claim and at every rescue.
    lease_epoch INTEGER NOT NULL DEFAULT 0,
    -- Not indexed on purpose: a beat changes it every few seconds.
    lease_until INTEGER,
    worker      TEXT,
    evaluations INTEGER NOT NULL DEFAULT 0,
    finished_at INTEGER,
    UNIQUE (job, island, epoch),
    CHECK ((state = 'running') = (lease_until IS NOT NULL))
);

-- Few rows are ready or running at any time, however long the job: successors are made lazily.
CREATE INDEX slices_ready ON slices (job) WHERE state = 'ready';
CREATE INDEX slices_running ON slices (caller) WHERE state = 'running';

-- One row for each worker that let the lease of a slice run out. Distinct workers count, since one
-- sick worker must not end a job, and a slice that kills worker after worker must.
CREATE TABLE lost_leases (
    slice   INTEGER NOT NULL REFERENCES slices (seq) ON DELETE CASCADE,
    worker  TEXT    NOT NULL,
    lost_at INTEGER NOT NULL,
    PRIMARY KEY (slice, worker)
) WITHOUT ROWID;

-- What a slice leaves for its readers. Apart from the slices, so that the queue stays small.
CREATE TABLE checkpoints (
    job     INTEGER NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    island  INTEGER NOT NULL,
    epoch   INTEGER NOT NULL,
    build   TEXT    NOT NULL,
    sha256  TEXT    NOT NULL,
    -- Slices that will read it and that have: when all have it goes, unless its epoch is one to
    -- start again from. Reads may be set back to 0 when the job starts again from here.
    readers INTEGER NOT NULL,
    reads   INTEGER NOT NULL DEFAULT 0,
    bytes   BLOB    NOT NULL,
    PRIMARY KEY (job, island, epoch)
);

CREATE TABLE events (
    job    INTEGER NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    kind   TEXT    NOT NULL,
    at     INTEGER NOT NULL,
    body   BLOB    NOT NULL,
    PRIMARY KEY (job, number)
) WITHOUT ROWID;

-- The primary key is the second lock on publication: one job, one result.
CREATE TABLE results (
    job          INTEGER PRIMARY KEY REFERENCES jobs (seq) ON DELETE CASCADE,
    front        BLOB    NOT NULL,
    front_sha256 TEXT    NOT NULL,
    published_at INTEGER NOT NULL
);

CREATE TABLE candidates (
    job    INTEGER NOT NULL REFERENCES results (job) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    body   BLOB    NOT NULL,
    PRIMARY KEY (job, number)
);

CREATE TABLE workers (
    name       TEXT    PRIMARY KEY,
    build      TEXT    NOT NULL,
    threads    INTEGER NOT NULL,
    started_at INTEGER NOT NULL,
    seen_at    INTEGER NOT NULL,
    slices     INTEGER NOT NULL DEFAULT 0
) WITHOUT ROWID;
