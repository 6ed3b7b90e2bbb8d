//! Reference tables: CSV files of `tests/verification/data/`, and the worst deviation from one.
use std::path::Path;

use crate::ledger::{Entry, enter, short};

/// A reference table.
pub struct Table {
    name: String,
    columns: csv::StringRecord,
    rows: Vec<csv::StringRecord>,
}

/// One row of it.
#[derive(Clone, Copy)]
pub struct Row<'a> {
    table: &'a Table,
    cells: &'a csv::StringRecord,
}

impl Table {
    /// The table in a file of `data/`, which has at least one row.
    pub fn read(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/verification/data")
            .join(name);
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(&path)
            .expect(name);
        let columns = reader.headers().expect(name).clone();
        let rows: Vec<_> = reader.records().map(|row| row.expect(name)).collect();
        assert!(!rows.is_empty(), "{name} has no rows");
        Self {
            name: name.into(),
            columns,
            rows,
        }
    }

    /// Its rows.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

impl Row<'_> {
    /// The text in a column.
    pub fn text(&self, column: &str) -> &str {
        let place = self.table.columns.iter().position(|name| name == column);
        let place = place.unwrap_or_else(|| panic!("{} has no column {column}", self.table.name));
        &self.cells[place]
    }

    /// The number in a column.
    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{}: {column} is not a number: {text}", self.table.name))
    }

    /// Columns that hold numbers, in their order, with the numbers.
    fn numbers(&self) -> impl Iterator<Item = (&str, f64)> {
        let cells = self.table.columns.iter().zip(self.cells);
        cells.filter_map(|(column, cell)| Some((column, cell.parse().ok()?)))
    }

    fn place(&self) -> String {
        self.cells.iter().collect::<Vec<_>>().join(",")
    }
}

/// The worst deviation over the rows of a table, and where it is.
pub struct Worst {
    quantity: &'static str,
    measure: &'static str,
    source: String,
    /// Least and greatest of the table's first columns: the conditions.
    spans: Vec<(String, f64, f64)>,
    error: f64,
    place: String,
    count: usize,
}

/// Columns that show over which conditions a table goes.
const SPANS: usize = 2;

impl Worst {
    /// Of a quantity, for the message.
    pub fn of(quantity: &'static str) -> Self {
        Self {
            quantity,
            measure: "",
            source: String::new(),
            spans: Vec::new(),
            error: 0.0,
            place: String::new(),
            count: 0,
        }
    }

    /// Takes in the absolute deviation of a computed value from the one in a column.
    pub fn absolute(&mut self, row: Row, column: &str, computed: f64) {
        self.take_in("absolute", row, (computed - row.number(column)).abs());
    }

    /// Takes in the deviation relative to the value in a column.
    pub fn relative(&mut self, row: Row, column: &str, computed: f64) {
        let expected = row.number(column);
        self.take_in("relative", row, (computed / expected - 1.0).abs());
    }

    /// Takes in a deviation already divided by its tolerance.
    pub fn fraction(&mut self, row: Row, of_tolerance: f64) {
        self.take_in("of what is allowed", row, of_tolerance.abs());
    }

    fn take_in(&mut self, measure: &'static str, row: Row, error: f64) {
        self.count += 1;
        self.measure = measure;
        if self.source.is_empty() {
            self.source.clone_from(&row.table.name);
        }
        for (index, (column, value)) in row.numbers().take(SPANS).enumerate() {
            match self.spans.get_mut(index) {
                Some((_, least, greatest)) => {
                    *least = least.min(value);
                    *greatest = greatest.max(value);
                }
                None => self.spans.push((column.to_owned(), value, value)),
            }
        }
        if error > self.error || error.is_nan() {
            self.error = error;
            self.place = row.place();
        }
    }

    /// Fails if the worst is above the tolerance, is no number, or nothing was compared.
    #[track_caller]
    pub fn is_within(&self, tolerance: f64) {
        assert!(self.count > 0, "{}: nothing compared", self.quantity);
        let spans = self.spans.iter();
        enter(Entry {
            quantity: format!("{}, {}", self.quantity, self.measure),
            source: self.source.clone(),
            range: spans
                .map(|(column, least, greatest)| {
                    format!("{column} {} to {}", short(*least), short(*greatest))
                })
                .collect::<Vec<_>>()
                .join(", "),
            wanted: short(tolerance),
            reached: short(self.error),
        });
        assert!(
            self.error <= tolerance,
            "{}: {:e} is above {tolerance:e}, at {}",
            self.quantity,
            self.error,
            self.place
        );
    }
}
