-- The twin of migrations/sqlite/0002_early_stop_and_longer_runs.sql, which says what this is for.
SET LOCAL lock_timeout = '5s';

ALTER TABLE jobs ADD COLUMN starts BYTEA;
ALTER TABLE jobs ADD COLUMN first_epoch BIGINT NOT NULL DEFAULT 0;
ALTER TABLE jobs ADD COLUMN asked_epochs BIGINT;
-- One row for each job: short enough to be made while others wait.
CREATE INDEX jobs_by_parent ON jobs (parent) WHERE parent IS NOT NULL;

CREATE TABLE ledger (
    job    BIGINT NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    epoch  BIGINT NOT NULL,
    island BIGINT NOT NULL,
    figure BIGINT,
    PRIMARY KEY (job, epoch, island)
);
