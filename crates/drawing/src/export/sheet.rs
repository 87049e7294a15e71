//! A table of typed columns, and its three forms.

use super::{csv, parquet};

/// Cells of one column, one for each row.
#[derive(Clone, Debug, PartialEq)]
pub enum Cells {
    /// Counts.
    Whole(Vec<i64>),
    /// Yes or no.
    Flag(Vec<bool>),
    /// Numbers; absent ones are empty in CSV and null elsewhere.
    Number(Vec<Option<f64>>),
    /// Text.
    Text(Vec<String>),
}

impl Cells {
    /// Number of rows.
    pub fn len(&self) -> usize {
        match self {
            Cells::Whole(cells) => cells.len(),
            Cells::Flag(cells) => cells.len(),
            Cells::Number(cells) => cells.len(),
            Cells::Text(cells) => cells.len(),
        }
    }

    /// No rows at all.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A table: named columns of equal length.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Names and cells.
    pub columns: Vec<(String, Cells)>,
}

impl Sheet {
    /// Number of rows.
    pub fn rows(&self) -> usize {
        self.columns.first().map_or(0, |(_, cells)| cells.len())
    }

    pub(super) fn add(&mut self, name: impl Into<String>, cells: Cells) {
        debug_assert!(self.columns.is_empty() || cells.len() == self.rows());
        self.columns.push((name.into(), cells));
    }

    /// As CSV (RFC 4180) in UTF-8, with a head line. Text that a spreadsheet might take for a
    /// formula (`=`, `+`, `-`, `@`, tab or return in front) gets an apostrophe in front.
    pub fn csv(&self) -> Vec<u8> {
        csv::write(self)
    }

    /// As a Parquet file of one row group. Numbers are doubles, counts 64-bit integers.
    ///
    /// # Errors
    /// What the Parquet writer refuses.
    pub fn parquet(&self) -> Result<Vec<u8>, String> {
        parquet::write(self).map_err(|why| why.to_string())
    }

    /// As a JSON array of one object a row, keys in the order of the columns.
    pub fn json(&self) -> Vec<u8> {
        let mut out = String::from("[");
        for row in 0..self.rows() {
            out.push_str(if row == 0 { "\n{" } else { ",\n{" });
            for (k, (name, cells)) in self.columns.iter().enumerate() {
                let comma = if k == 0 { "" } else { "," };
                let name = serde_json::Value::from(name.as_str());
                out.push_str(&format!("{comma}{name}:{}", value(cells, row)));
            }
            out.push('}');
        }
        out.push_str("\n]\n");
        out.into_bytes()
    }
}

fn value(cells: &Cells, row: usize) -> serde_json::Value {
    match cells {
        Cells::Whole(cells) => cells[row].into(),
        Cells::Flag(cells) => cells[row].into(),
        Cells::Number(cells) => cells[row].into(),
        Cells::Text(cells) => cells[row].as_str().into(),
    }
}
