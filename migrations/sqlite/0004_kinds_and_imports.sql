-- Kinds of jobs, and jobs that came from another store.

-- Which slices a job is made of. A build claims only kinds that it knows; jobs from before this were
-- searches, and so are those of a build that does not write this column.
ALTER TABLE jobs ADD COLUMN kind TEXT NOT NULL DEFAULT 'search';
-- When it came from another store, else NULL. Its days to be kept count from here, since by its other
-- times it may be over already.
ALTER TABLE jobs ADD COLUMN imported_at INTEGER;
