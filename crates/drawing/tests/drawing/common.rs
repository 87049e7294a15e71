//! Candidates to draw, and questions to documents.

use design::{Candidate, Compiled, Job, parse_job};
use roxmltree::{Document, ParsingOptions};
use std::sync::LazyLock;

/// The demonstration job, compiled, with some candidates along a line of its freedoms.
pub struct Example {
    pub job: Job,
    pub submitted: Candidate,
    pub candidates: Vec<Candidate>,
}

pub static EXAMPLE: LazyLock<Example> = LazyLock::new(|| {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../demo-jobs/example-job.json"
    );
    let text = std::fs::read_to_string(path).unwrap();
    let job = parse_job(&text).unwrap();
    let compiled = Compiled::new(&job).unwrap();
    let candidates = (0..6).map(|k| {
        let share = f64::from(k) / 5.0;
        let offsets = job
            .freedoms
            .iter()
            .map(|f| share * f.offsets_mm(&job.vehicle)[1] * 0.4);
        compiled.candidate(&compiled.round(&offsets.collect::<Vec<_>>()))
    });
    Example {
        candidates: candidates.collect(),
        submitted: compiled.submitted(),
        job,
    }
});

impl Example {
    pub fn numbered(&self) -> Vec<(usize, &Candidate)> {
        self.candidates.iter().enumerate().collect()
    }

    pub fn all(&self) -> Vec<&Candidate> {
        self.candidates.iter().collect()
    }
}

/// Parses markup strictly: every element closed, every attribute quoted, every entity known.
pub fn parse(text: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(text, options).unwrap_or_else(|why| panic!("{why}"))
}

/// Nothing that runs, loads from elsewhere, or is refused without `unsafe-inline`.
pub fn assert_harmless(document: &Document) {
    for node in document.descendants().filter(|n| n.is_element()) {
        let name = node.tag_name().name();
        let forbidden = [
            "script", "iframe", "object", "embed", "link", "img", "image", "use",
        ];
        assert!(!forbidden.contains(&name), "an element {name}");
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            assert!(
                name != "style" && !name.starts_with("on"),
                "an attribute {name}"
            );
            assert!(!value.contains("url(") && !value.contains("javascript:"));
            if ["href", "src"].contains(&name) {
                assert!(value.starts_with('#'), "an address {value}");
            }
        }
    }
}
