//! `vehicles`: saved vehicles with their versions.

use serde_json::{Map, Value, json};
use service::{Kind, Problem};

use crate::client::Client;
use crate::commands::jobs::client;
use crate::exit::Outcome;
use crate::query::query;
use crate::table::Table;
use crate::vehicle_args::{
    ChangeVehicle, ListVehicles, OneVehicle, SaveVehicle, VehicleAction, VehicleFile, Vehicles,
};
use crate::{files, output};

/// Does what is asked with saved vehicles.
pub fn vehicles(args: &Vehicles, json: bool) -> Result<Outcome, Problem> {
    match &args.action {
        VehicleAction::List(args) => list(&client(&args.server)?, args, json),
        VehicleAction::Save(args) => save(&client(&args.server)?, args, json),
        VehicleAction::Show(args) => show(&client(&args.server)?.get(&path(&args.id)?)?, json),
        VehicleAction::File(args) => file(&client(&args.server)?, args),
        VehicleAction::Change(args) => change(&client(&args.server)?, args, json),
        VehicleAction::Delete(args) => delete(&client(&args.server)?, args, json),
    }
}

fn list(client: &Client, args: &ListVehicles, json: bool) -> Result<Outcome, Problem> {
    let query = query(&[
        ("name", args.name.as_deref()),
        ("label", args.label.as_deref()),
        ("cursor", args.cursor.as_deref()),
    ]);
    let page = client.get(&format!("/v1/vehicles{query}"))?;
    if json {
        output::json(&page)?;
        return Ok(Outcome::Done);
    }
    let heads = ["vehicle", "versions", "changed", "labels", "name"];
    let mut table = Table::new(heads.map(str::to_owned));
    for one in page["vehicles"].as_array().into_iter().flatten() {
        table.row(vec![
            text(one, "id"),
            one["newest_version"].to_string(),
            text(one, "changed_at"),
            labels(one),
            text(one, "name"),
        ]);
    }
    output::line(&table.text())?;
    if let Some(next) = page["next_cursor"].as_str() {
        eprintln!("more with --cursor {next}");
    }
    Ok(Outcome::Done)
}

fn save(client: &Client, args: &SaveVehicle, json: bool) -> Result<Outcome, Problem> {
    let vehicle = files::read_json(&args.vehicle)?;
    // The vehicle's own text is sent, so that it is kept byte for byte.
    let said = |rest: Value| {
        let rest = rest.to_string();
        let rest = rest.strip_prefix('{').unwrap_or_default();
        format!("{{\"vehicle\": {vehicle}, {rest}")
    };
    let note = args.note.as_deref().unwrap_or_default();
    let saved = match &args.version_of {
        Some(id) => {
            let path = format!("{}/versions", path(id)?);
            let body = said(json!({ "note": note }));
            client.post_seen(&path, &body, args.if_revision)?
        }
        None => {
            let mut rest = json!({"note": note, "labels": args.labels});
            if let Some(name) = &args.name {
                rest["name"] = json!(name);
            }
            if let Some(notes) = &args.notes {
                rest["notes"] = json!(notes);
            }
            client.post("/v1/vehicles", &said(rest), None)?
        }
    };
    if json {
        output::json(&saved)?;
    } else {
        output::line(&format!(
            "{}@{}",
            text(&saved, "id"),
            saved["newest_version"]
        ))?;
    }
    Ok(Outcome::Done)
}

fn file(client: &Client, args: &VehicleFile) -> Result<Outcome, Problem> {
    let place = path(&args.id)?;
    let link = match args.version {
        Some(version) => format!("{place}/versions/{version}"),
        None => text(&client.get(&place)?, "newest_link"),
    };
    output::line(&client.get_text(&link, "application/json")?)?;
    Ok(Outcome::Done)
}

fn change(client: &Client, args: &ChangeVehicle, json: bool) -> Result<Outcome, Problem> {
    let mut body = Map::new();
    for (name, value) in [("name", &args.name), ("notes", &args.notes)] {
        if let Some(value) = value {
            body.insert(name.into(), json!(value));
        }
    }
    if args.no_labels || !args.labels.is_empty() {
        body.insert("labels".into(), json!(args.labels));
    }
    if body.is_empty() {
        let detail = "nothing to change: give --name, --notes, --label or --no-labels";
        return Err(Problem::new(Kind::Usage, detail));
    }
    let body = Value::Object(body).to_string();
    show(
        &client.patch_seen(&path(&args.id)?, &body, args.if_revision)?,
        json,
    )
}

fn delete(client: &Client, args: &OneVehicle, json: bool) -> Result<Outcome, Problem> {
    client.delete(&path(&args.id)?)?;
    match json {
        true => output::json(&json!({ "deleted": args.id }))?,
        false => output::line("deleted")?,
    }
    Ok(Outcome::Done)
}

fn show(vehicle: &Value, json: bool) -> Result<Outcome, Problem> {
    if json {
        output::json(vehicle)?;
        return Ok(Outcome::Done);
    }
    for (name, value) in [
        ("name", text(vehicle, "name")),
        ("notes", text(vehicle, "notes")),
        ("labels", labels(vehicle)),
        ("revision", vehicle["revision"].to_string()),
    ] {
        output::line(&format!("{name}: {value}"))?;
    }
    let mut table = Table::new(["version", "saved", "note"].map(str::to_owned));
    for one in vehicle["versions"].as_array().into_iter().flatten() {
        let note = text(one, "note");
        table.row(vec![
            one["version"].to_string(),
            text(one, "created_at"),
            note.lines().next().unwrap_or_default().to_owned(),
        ]);
    }
    output::line(&table.text())?;
    Ok(Outcome::Done)
}

fn path(id: &str) -> Result<String, Problem> {
    match !id.is_empty() && id.chars().all(|c| c.is_ascii_alphanumeric()) {
        true => Ok(format!("/v1/vehicles/{id}")),
        false => Err(Problem::not_found("vehicle", id)),
    }
}

fn text(value: &Value, name: &str) -> String {
    value[name].as_str().unwrap_or_default().to_owned()
}

fn labels(value: &Value) -> String {
    let labels = value["labels"].as_array().into_iter().flatten();
    let labels: Vec<&str> = labels.filter_map(Value::as_str).collect();
    labels.join(", ")
}
