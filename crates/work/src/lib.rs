//! The worker: claims a slice, runs it, stores it. Store, design and search; no HTTP.
