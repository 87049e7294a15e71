-- Early stop, jobs that start from another's front, and jobs that go on from another's checkpoints.

-- Where the search starts from, taken from another job at submission: the job stays a pure function
-- of what is stored with it, whatever becomes of the other.
ALTER TABLE jobs ADD COLUMN starts BLOB;
-- The first epoch of its own; those before it came with the checkpoints of the job that it extends.
ALTER TABLE jobs ADD COLUMN first_epoch INTEGER NOT NULL DEFAULT 0;
-- Epochs as submitted, once an early stop has made `epochs` smaller; else NULL.
ALTER TABLE jobs ADD COLUMN asked_epochs INTEGER;
CREATE INDEX jobs_by_parent ON jobs (parent) WHERE parent IS NOT NULL;

-- How far each island had come at each border: an early stop is decided from these rows alone.
CREATE TABLE ledger (
    job    INTEGER NOT NULL REFERENCES jobs (seq) ON DELETE CASCADE,
    epoch  INTEGER NOT NULL,
    island INTEGER NOT NULL,
    -- The bits of the double; NULL while the island has no figure.
    figure INTEGER,
    PRIMARY KEY (job, epoch, island)
) WITHOUT ROWID;
