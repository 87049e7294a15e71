-- Vehicles that callers keep, each with all its versions.

CREATE TABLE vehicles (
    seq        INTEGER PRIMARY KEY AUTOINCREMENT,
    id         TEXT    NOT NULL UNIQUE,
    caller     TEXT    NOT NULL,
    name       TEXT    NOT NULL,
    notes      TEXT    NOT NULL,
    -- Number of the newest version; they count from 1 without gaps.
    versions   INTEGER NOT NULL CHECK (versions > 0),
    -- One more at every change of anything here or below: who changes may say which he has seen.
    revision   INTEGER NOT NULL CHECK (revision > 0),
    created_at INTEGER NOT NULL,
    changed_at INTEGER NOT NULL
);

CREATE TABLE vehicle_labels (
    vehicle INTEGER NOT NULL REFERENCES vehicles (seq) ON DELETE CASCADE,
    label   TEXT    NOT NULL,
    PRIMARY KEY (vehicle, label)
) WITHOUT ROWID;
CREATE INDEX vehicle_labels_by_label ON vehicle_labels (label, vehicle);

-- A version is never changed: what was built or compared by it stays what it was.
CREATE TABLE vehicle_versions (
    vehicle     INTEGER NOT NULL REFERENCES vehicles (seq) ON DELETE CASCADE,
    version     INTEGER NOT NULL CHECK (version > 0),
    body        BLOB    NOT NULL,
    body_sha256 TEXT    NOT NULL,
    note        TEXT    NOT NULL,
    -- What it was made from, in the caller's own form; NULL where nothing was said. No reference: that
    -- may be deleted first.
    origin      BLOB,
    created_at  INTEGER NOT NULL,
    PRIMARY KEY (vehicle, version)
);
