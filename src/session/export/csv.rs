//! `record --csv`: one row a reading, by RFC 4180.

use super::ReadingData;
use crate::session::Session;
use crate::units::show;

/// The columns of the table of readings.
const COLUMNS: [&str; 12] = [
    "time_utc",
    "step_number",
    "step",
    "kind",
    "what",
    "cold",
    "unit",
    "typed",
    "hot_c",
    "wanted",
    "piece",
    "entered_utc",
];

/// A row by RFC 4180: a field with a comma, a quote or a line end stands in quotes, a quote is doubled.
fn csv_row<'f>(fields: impl IntoIterator<Item = &'f str>) -> String {
    let field = |text: &str| {
        if text.contains([',', '"', '\r', '\n']) {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            text.to_owned()
        }
    };
    let fields: Vec<String> = fields.into_iter().map(field).collect();
    fields.join(",")
}

impl ReadingData {
    /// As a row of a table; see [`COLUMNS`].
    fn row(&self) -> [String; 12] {
        let number = |value: Option<f64>| value.map_or(String::new(), |v| show::trimmed(v, 3));
        [
            self.time.clone(),
            self.number.to_string(),
            self.step.clone(),
            self.kind.to_owned(),
            self.what.to_owned(),
            number(Some(self.cold)),
            self.unit.to_owned(),
            self.typed.clone(),
            number(self.hot_c),
            number(self.wanted),
            if self.piece == 0 {
                String::new()
            } else {
                self.piece.to_string()
            },
            self.entered.clone().unwrap_or_default(),
        ]
    }
}

impl Session {
    /// The readings as CSV, one row a reading, for spreadsheets.
    #[must_use]
    pub fn readings_csv(&self) -> String {
        let readings = self.readings();
        let rows = readings.iter().map(|taken| {
            let row = ReadingData::of(taken).row();
            csv_row(row.iter().map(String::as_str))
        });
        let all: Vec<String> = std::iter::once(csv_row(COLUMNS)).chain(rows).collect();
        all.join("\r\n")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn a_field_is_quoted_where_it_must_be() {
        assert_eq!(csv_row(["aaa", "b b", "ccc"]), "aaa,b b,ccc");
        assert_eq!(
            csv_row(["12,5", "b\"bb", "a\r\nb"]),
            "\"12,5\",\"b\"\"bb\",\"a\r\nb\""
        );
        assert_eq!(csv_row(["", ""]), ",");
    }
}
