-- The twin of migrations/sqlite/0003_saved_vehicles.sql, which says what this is for.

CREATE TABLE vehicles (
    seq        BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    id         TEXT NOT NULL UNIQUE,
    caller     TEXT NOT NULL,
    name       TEXT NOT NULL COLLATE "C",
    notes      TEXT NOT NULL,
    versions   BIGINT NOT NULL CHECK (versions > 0),
    revision   BIGINT NOT NULL CHECK (revision > 0),
    created_at BIGINT NOT NULL,
    changed_at BIGINT NOT NULL
);

CREATE TABLE vehicle_labels (
    vehicle BIGINT NOT NULL REFERENCES vehicles (seq) ON DELETE CASCADE,
    label   TEXT NOT NULL COLLATE "C",
    PRIMARY KEY (vehicle, label)
);
CREATE INDEX vehicle_labels_by_label ON vehicle_labels (label, vehicle);

CREATE TABLE vehicle_versions (
    vehicle     BIGINT NOT NULL REFERENCES vehicles (seq) ON DELETE CASCADE,
    version     BIGINT NOT NULL CHECK (version > 0),
    body        BYTEA NOT NULL,
    body_sha256 TEXT NOT NULL,
    note        TEXT NOT NULL,
    origin      BYTEA,
    created_at  BIGINT NOT NULL,
    PRIMARY KEY (vehicle, version)
);
