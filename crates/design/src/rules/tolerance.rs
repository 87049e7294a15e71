//! Rules of the job's tolerance.

use super::Rules;
use crate::paths::Path;

/// Checks that every point with a tolerance of its own exists, and stands there once.
pub(crate) fn check(rules: &mut Rules) {
    let mut seen: Vec<Path> = Vec::new();
    for i in 0..rules.count("/tolerance/points", 64) {
        let at = format!("/tolerance/points/{i}/point");
        let Some(path) = rules.text(&at).and_then(Path::parse) else {
            continue;
        };
        if !path.of_machine() {
            let message = format!(
                "{} is a point of the cables, whose errors are left out",
                path.text()
            );
            rules.fault(
                &at,
                message,
                "a point of the wheels, wishbones, steering or lean coupling",
            );
            continue;
        }
        // Each side errs, whether the file gives its point or mirrors it.
        let drawn = Path {
            right: false,
            ..path
        };
        let place = format!("/vehicle{}", drawn.pointer());
        if rules.value.pointer(&place).is_none() {
            let message = format!("this vehicle has no point {}", path.text());
            rules.fault(&at, message, "a point of the vehicle");
        }
        if seen.contains(&path) {
            let message = format!("{} has a tolerance already", path.text());
            rules.fault(&at, message, "each point once");
        }
        seen.push(path);
    }
}
