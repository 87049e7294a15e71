//! Plain aligned tables for terminals.

/// A table: columns of numbers are aligned right, the first and those of words left.
#[derive(Debug)]
pub struct Table {
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these column heads.
    pub fn new(heads: impl IntoIterator<Item = String>) -> Self {
        Self {
            rows: vec![heads.into_iter().collect()],
        }
    }

    /// Adds a row; missing cells stay empty.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().map(printable).collect());
    }

    /// The table as text, one line a row.
    pub fn text(&self) -> String {
        let columns: Vec<Column> = (0..self.columns()).map(|at| self.column(at)).collect();
        let lines = self.rows.iter().map(|row| line(row, &columns));
        lines.collect::<Vec<_>>().join("\n")
    }

    fn columns(&self) -> usize {
        self.rows.iter().map(Vec::len).max().unwrap_or(0)
    }

    fn column(&self, at: usize) -> Column {
        let cells = self.rows.iter().filter_map(|row| row.get(at));
        let width = cells.clone().map(|cell| cell.chars().count()).max();
        let mut body = cells.skip(1);
        Column {
            width: width.unwrap_or(0),
            numbers: at > 0 && body.all(|cell| is_number(cell)),
        }
    }
}

struct Column {
    width: usize,
    numbers: bool,
}

fn is_number(cell: &str) -> bool {
    matches!(cell, "" | "-") || cell.parse::<f64>().is_ok()
}

fn line(row: &[String], columns: &[Column]) -> String {
    let cells = row.iter().zip(columns).map(|(cell, column)| {
        let width = column.width;
        if column.numbers {
            format!("{cell:>width$}")
        } else {
            format!("{cell:<width$}")
        }
    });
    cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
}

/// Names come from files: control characters must not reach the terminal.
fn printable(cell: String) -> String {
    cell.chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect()
}

/// A number with as many places as its size makes useful; a dash when there is none.
pub fn number(value: Option<f64>) -> String {
    match value {
        None => "-".to_owned(),
        Some(value) if value.abs() >= 100.0 => format!("{value:.1}"),
        Some(value) if value.abs() >= 10.0 => format!("{value:.2}"),
        Some(value) => format!("{value:.4}"),
    }
}

/// A coordinate in millimetres, to the hundredth; a dash when there is none.
pub fn millimetres(value: Option<f64>) -> String {
    value.map_or_else(|| "-".to_owned(), |value| format!("{value:.2}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up_and_control_characters_do_not_pass() {
        let mut table = Table::new(["name", "mm", "cause"].map(str::to_owned));
        table.row([
            "a\u{1b}[2J".to_owned(),
            number(Some(12.345)),
            "a stop".to_owned(),
        ]);
        table.row(["b".to_owned(), number(None), String::new()]);
        assert_eq!(
            table.text(),
            "name      mm  cause\na\u{fffd}[2J  12.35  a stop\nb          -"
        );
    }

    #[test]
    fn numbers_keep_about_five_figures() {
        assert_eq!(number(Some(-0.01234)), "-0.0123");
        assert_eq!(number(Some(123.456)), "123.5");
    }
}
