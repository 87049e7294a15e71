-- Jobs, slices, checkpoints, events and results.
--
-- Times are integer milliseconds since 1970 by the clock of the database, never by that of a worker.
-- The twin of migrations/sqlite/0001_jobs_and_slices.sql, which says why the tables are as they are.
-- Here stands only what PostgreSQL has of its own: many writers, so rows are locked one by one, and
-- old versions of rows, so the queue's pages keep room to rewrite a row where it stands, and are swept
-- early. Texts that are sorted or folded compare by bytes, as on SQLite.

-- The clock at this very moment, not at the start of the transaction: a lease counts from now.
CREATE FUNCTION now_ms() RETURNS BIGINT LANGUAGE sql VOLATILE
    RETURN CAST(floor(extract(epoch FROM clock_timestamp()) * 1000) AS BIGINT);

-- 16 hexadecimal digits, all of them random: the fixed digits of a version-4 UUID are left out.
CREATE FUNCTION random_id() RETURNS TEXT LANGUAGE plpgsql VOLATILE AS $$
DECLARE
    digits TEXT := replace(CAST(gen_random_uuid() AS TEXT), '-', '');
BEGIN
    RETURN left(digits, 12) || right(digits, 4);
END;
$$;

CREATE TABLE migrations (
    version    BIGINT PRIMARY KEY,
    sha256     TEXT NOT NULL,
    applied_at BIGINT NOT NULL
);

CREATE TABLE jobs (
    seq             BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    id              TEXT NOT NULL UNIQUE,
    caller          TEXT NOT NULL,
    name            TEXT NOT NULL COLLATE "C",
    priority        BIGINT NOT NULL DEFAULT 1 CHECK (priority BETWEEN 0 AND 2),
    state           TEXT NOT NULL DEFAULT 'queued'
                    CHECK (state IN ('queued', 'running', 'done', 'failed', 'cancelled')),
    paused          BIGINT NOT NULL DEFAULT 0 CHECK (paused IN (0, 1)),
    reason          TEXT,
    input           BYTEA NOT NULL,
    input_sha256    TEXT NOT NULL,
    idempotency_key TEXT,
    islands         BIGINT NOT NULL CHECK (islands > 0),
    epochs          BIGINT NOT NULL CHECK (epochs > 0),
    planned         BIGINT NOT NULL,
    build           TEXT,
    parent          TEXT,
    progress        BYTEA,
    progress_at     BIGINT NOT NULL DEFAULT 0,
    last_event      BIGINT NOT NULL DEFAULT 0,
    keep_days       BIGINT CHECK (keep_days > 0),
    created_at      BIGINT NOT NULL,
    started_at      BIGINT,
    finished_at     BIGINT,
    CHECK ((state IN ('done', 'failed', 'cancelled')) = (finished_at IS NOT NULL))
) WITH (fillfactor = 70, autovacuum_vacuum_scale_factor = 0.02);

CREATE UNIQUE INDEX jobs_key ON jobs (caller, idempotency_key) WHERE idempotency_key IS NOT NULL;
CREATE INDEX jobs_open ON jobs (state) WHERE state IN ('queued', 'running');

CREATE FUNCTION finished_is_final() RETURNS TRIGGER LANGUAGE plpgsql AS $$
BEGIN
    IF OLD.state IN ('done', 'failed', 'cancelled') AND NEW.state <> OLD.state THEN
        RAISE EXCEPTION 'a finished job is final';
    END IF;
    RETURN NEW;
END;
$$;
CREATE TRIGGER jobs_finished_is_final BEFORE UPDATE OF state ON jobs
    FOR EACH ROW EXECUTE FUNCTION finished_is_final();

CREATE TABLE labels (
    job   BIGINT NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    label TEXT NOT NULL COLLATE "C",
    PRIMARY KEY (job, label)
);
CREATE INDEX labels_by_label ON labels (label, job);

CREATE TABLE slices (
    seq         BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    job         BIGINT NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    caller      TEXT NOT NULL,
    kind        TEXT NOT NULL CHECK (kind IN ('search', 'merge', 'polish', 'study', 'publish')),
    island      BIGINT NOT NULL,
    epoch       BIGINT NOT NULL,
    inputs      BIGINT NOT NULL,
    arrived     BIGINT NOT NULL CHECK (arrived BETWEEN 0 AND inputs),
    state       TEXT NOT NULL
                CHECK (state IN ('waiting', 'ready', 'running', 'done', 'discarded')),
    lease_epoch BIGINT NOT NULL DEFAULT 0,
    lease_until BIGINT,
    worker      TEXT,
    evaluations BIGINT NOT NULL DEFAULT 0,
    finished_at BIGINT,
    UNIQUE (job, island, epoch),
    CHECK ((state = 'running') = (lease_until IS NOT NULL))
) WITH (fillfactor = 70, autovacuum_vacuum_scale_factor = 0.02);

CREATE INDEX slices_ready ON slices (job) WHERE state = 'ready';
CREATE INDEX slices_running ON slices (caller) WHERE state = 'running';

CREATE TABLE lost_leases (
    slice   BIGINT NOT NULL REFERENCES slices (seq) ON DELETE CASCADE,
    worker  TEXT NOT NULL,
    lost_at BIGINT NOT NULL,
    PRIMARY KEY (slice, worker)
);

CREATE TABLE checkpoints (
    job     BIGINT NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    island  BIGINT NOT NULL,
    epoch   BIGINT NOT NULL,
    build   TEXT NOT NULL,
    sha256  TEXT NOT NULL,
    readers BIGINT NOT NULL,
    reads   BIGINT NOT NULL DEFAULT 0,
    bytes   BYTEA NOT NULL,
    PRIMARY KEY (job, island, epoch)
) WITH (fillfactor = 70, autovacuum_vacuum_scale_factor = 0.02);
-- Floats as bits hardly shrink; trying costs more than it saves.
ALTER TABLE checkpoints ALTER COLUMN bytes SET STORAGE EXTERNAL;

CREATE TABLE events (
    job    BIGINT NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    number BIGINT NOT NULL,
    kind   TEXT NOT NULL,
    at     BIGINT NOT NULL,
    body   BYTEA NOT NULL,
    PRIMARY KEY (job, number)
);

CREATE TABLE results (
    job          BIGINT PRIMARY KEY REFERENCES jobs (seq) ON DELETE CASCADE,
    front        BYTEA NOT NULL,
    front_sha256 TEXT NOT NULL,
    published_at BIGINT NOT NULL
);

CREATE TABLE candidates (
    job    BIGINT NOT NULL REFERENCES results (job) ON DELETE CASCADE,
    number BIGINT NOT NULL,
    body   BYTEA NOT NULL,
    PRIMARY KEY (job, number)
);

CREATE TABLE workers (
    name       TEXT COLLATE "C" PRIMARY KEY,
    build      TEXT NOT NULL,
    threads    BIGINT NOT NULL,
    started_at BIGINT NOT NULL,
    seen_at    BIGINT NOT NULL,
    slices     BIGINT NOT NULL DEFAULT 0
) WITH (fillfactor = 70);
