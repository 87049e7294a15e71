-- The twin of migrations/sqlite/0004_kinds_and_imports.sql, which says what this is for.
SET LOCAL lock_timeout = '5s';

ALTER TABLE jobs ADD COLUMN kind TEXT NOT NULL DEFAULT 'search';
ALTER TABLE jobs ADD COLUMN imported_at BIGINT;
