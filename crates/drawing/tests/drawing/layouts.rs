//! Views of machines with every steering layout.

use crate::common::parse;
use design::parse_vehicle;
use kinematics::{Linkage, Target};
use leanwright_drawing::{Aspect, Ink, Posed, ViewText, view};

/// Every hardpoint of a layout has its number in the view, steered and leaned.
#[test]
fn every_layout_is_drawn_with_all_its_points() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-jobs/vehicles");
    for (name, points) in [
        ("orchard-hauler", 9),
        ("orchard-hauler-handlebar", 12),
        ("orchard-hauler-slider", 8),
        ("orchard-hauler-parallelogram", 12),
        ("orchard-hauler-cross-rod", 10),
    ] {
        let text = std::fs::read_to_string(format!("{folder}/{name}.json")).unwrap();
        let vehicle = parse_vehicle(&text).unwrap();
        let linkage = Linkage::new(&design::machine(&vehicle)).unwrap();
        let drive = if name.ends_with("slider") { 15.0 } else { 0.3 };
        let pose = linkage
            .pose(&Target {
                lean: 0.1,
                steer: drive,
                mean_travel: None,
            })
            .unwrap();
        let posed = Posed {
            label: "",
            ink: Ink::First,
            linkage: &linkage,
            pose: &pose,
            body: None,
            centre_of_gravity: None,
            cable: None,
        };
        let words = ViewText {
            title: "view",
            subtitle: "steered",
            numbered: true,
        };
        let picture = view(Aspect::Above, &[posed], &words).document();
        let document = parse(&picture);
        let texts = document.descendants().filter(|n| n.has_tag_name("text"));
        // Points near to one another share a label: 3·6.
        let mut seen: Vec<usize> = texts
            .filter_map(|n| n.text())
            .flat_map(|t| {
                t.split('·')
                    .filter_map(|k| k.parse().ok())
                    .collect::<Vec<_>>()
            })
            .collect();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen, (1..=points).collect::<Vec<_>>(), "{name}");
    }
}
