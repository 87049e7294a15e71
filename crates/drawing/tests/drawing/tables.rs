//! Tables written and read back.

use crate::common::EXAMPLE;
use leanwright_drawing::{Cells, Sheet, front_sheet, hardpoint_sheet};
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use serde_json::Value;

fn sheets() -> [Sheet; 2] {
    let example = &*EXAMPLE;
    let vehicles: Vec<_> = example.candidates.iter().enumerate().collect();
    [
        front_sheet(&example.numbered()),
        hardpoint_sheet(&vehicles, &example.job),
    ]
}

fn nasty() -> Sheet {
    let texts = [
        "=1+1",
        "+a",
        "-b",
        "@c",
        "\td",
        "\re",
        "f,\"g\"\r\nh",
        "ü ✓",
        "",
    ];
    Sheet {
        columns: vec![
            (
                "=name".into(),
                Cells::Text(texts.map(String::from).to_vec()),
            ),
            (
                "x".into(),
                Cells::Number(
                    (0..9)
                        .map(|k| (k != 4).then(|| -0.1 * f64::from(k)))
                        .collect(),
                ),
            ),
            ("n".into(), Cells::Whole((0..9).map(|k| k - 4).collect())),
            (
                "ok".into(),
                Cells::Flag((0..9).map(|k| k % 2 == 0).collect()),
            ),
        ],
    }
}

/// Every cell comes back from Parquet with all its bits.
#[test]
fn parquet_reads_back() {
    for sheet in sheets().into_iter().chain([nasty(), Sheet::default()]) {
        if sheet.columns.is_empty() {
            continue;
        }
        let bytes = bytes_of(&sheet);
        let reader = SerializedFileReader::new(bytes).unwrap();
        let rows: Vec<_> = reader
            .get_row_iter(None)
            .unwrap()
            .map(Result::unwrap)
            .collect();
        assert_eq!(rows.len(), sheet.rows());
        for (k, row) in rows.iter().enumerate() {
            for ((name, cells), (field, value)) in sheet.columns.iter().zip(row.get_column_iter()) {
                assert_eq!(name, field);
                let same = match (cells, value) {
                    (Cells::Whole(c), Field::Long(v)) => c[k] == *v,
                    (Cells::Flag(c), Field::Bool(v)) => c[k] == *v,
                    (Cells::Number(c), Field::Double(v)) => {
                        c[k].map(f64::to_bits) == Some(v.to_bits())
                    }
                    (Cells::Number(c), Field::Null) => c[k].is_none(),
                    (Cells::Text(c), Field::Str(v)) => c[k] == *v,
                    _ => false,
                };
                assert!(same, "{name} in row {k}: {value:?}");
            }
        }
    }
}

fn bytes_of(sheet: &Sheet) -> bytes::Bytes {
    sheet.parquet().unwrap().into()
}

#[test]
fn json_reads_back() {
    for sheet in sheets().into_iter().chain([nasty()]) {
        let rows: Vec<Value> = serde_json::from_slice(&sheet.json()).unwrap();
        assert_eq!(rows.len(), sheet.rows());
        for (k, row) in rows.iter().enumerate() {
            for (name, cells) in &sheet.columns {
                let value = &row[name];
                match cells {
                    Cells::Whole(c) => assert_eq!(value.as_i64(), Some(c[k])),
                    Cells::Flag(c) => assert_eq!(value.as_bool(), Some(c[k])),
                    Cells::Number(c) => assert_eq!(value.as_f64(), c[k]),
                    Cells::Text(c) => assert_eq!(value.as_str(), Some(c[k].as_str())),
                }
            }
        }
    }
    assert_eq!(
        serde_json::from_slice::<Value>(&Sheet::default().json()).unwrap(),
        Value::Array(vec![])
    );
}

/// No cell of a CSV starts a formula, whatever was in it.
#[test]
fn csv_holds_no_formula() {
    let text = String::from_utf8(nasty().csv()).unwrap();
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(lines[0], "'=name,x,n,ok");
    assert_eq!(&lines[1][..5], "'=1+1");
    for line in &lines[1..6] {
        assert!(line.starts_with('\''), "{line}");
    }
    assert!(text.contains("\"'\re\","));
    assert!(text.contains("\"f,\"\"g\"\"\r\nh\","));
}

#[test]
fn a_front_has_goals_requirements_points_and_rods() {
    let example = &*EXAMPLE;
    let sheet = front_sheet(&example.numbered());
    let column = |name: &str| {
        let found = sheet.columns.iter().find(|(n, _)| n == name);
        &found.unwrap_or_else(|| panic!("{name} is missing")).1
    };
    let numbers = |name: &str| match column(name) {
        Cells::Number(cells) => cells.clone(),
        other => panic!("{other:?}"),
    };
    let goal = numbers("lean_steer_deg");
    for (candidate, cell) in example.candidates.iter().zip(goal) {
        assert_eq!(candidate.goals[0].value, cell);
    }
    // The first candidate moves nothing by choice, so its rod end stands where it was submitted.
    let submitted = example.job.vehicle.steering.rod_outer_mm();
    assert_eq!(numbers("steering.rod_outer_mm.z")[0], Some(submitted[2]));
    assert!(numbers("rod_left_mm")[0].is_some_and(|l| l > 100.0));
    let hold = "held_scrub_radius_mm_by_lower_wishbone.ball_joint_mm.y";
    assert_eq!(
        numbers(hold)[0],
        Some(example.candidates[0].holds[0].coordinate_mm)
    );
}

#[test]
fn hardpoints_are_mirrored_and_changes_add_up() {
    let [_, sheet] = sheets();
    let number = |name: &str, row: usize| {
        let cells = &sheet.columns.iter().find(|(n, _)| n == name).unwrap().1;
        match cells {
            Cells::Number(cells) => cells[row].unwrap(),
            other => panic!("{other:?}"),
        }
    };
    let text = |name: &str, row: usize| {
        let cells = &sheet.columns.iter().find(|(n, _)| n == name).unwrap().1;
        match cells {
            Cells::Text(cells) => cells[row].clone(),
            other => panic!("{other:?}"),
        }
    };
    let each = sheet.rows() / EXAMPLE.candidates.len();
    assert_eq!(each, 20, "nine points on each side and two in the middle");
    for row in (0..sheet.rows()).filter(|r| r % each < 9) {
        let other = row + 9;
        assert_eq!([text("side", row), text("side", other)], ["left", "right"]);
        assert_eq!(text("point", row), text("point", other));
        assert_eq!(number("y_mm", row), -number("y_mm", other));
        assert_eq!(number("change_y_mm", row), -number("change_y_mm", other));
        assert_eq!(number("z_mm", row), number("z_mm", other));
    }
    let last = sheet.rows() - each + 7;
    assert_eq!(text("point", last), "rod_outer");
    let moved = EXAMPLE.candidates[5].vehicle.steering.rod_outer_mm();
    let before = EXAMPLE.job.vehicle.steering.rod_outer_mm();
    assert_eq!(number("change_z_mm", last), moved[2] - before[2]);
}
