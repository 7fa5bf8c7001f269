//! The rows of a table in a file: CSV with commas, semicolons or tabs, or a workbook's sheets one
//! below the other.

use calamine::{Data, Reader, open_workbook_auto};
use std::path::Path;

/// Bytes that a table may have at most.
const LARGEST_BYTES: u64 = 20_000_000;

/// Reads the rows of a table.
///
/// # Errors
/// In words, with the file's name.
pub fn read(path: &Path) -> Result<Vec<Vec<String>>, String> {
    let name = path.display();
    let size = std::fs::metadata(path)
        .map_err(|e| format!("{name}: {}", e.kind()))?
        .len();
    if size > LARGEST_BYTES {
        return Err(format!(
            "{name}: {size} bytes is too much for a table of blocks"
        ));
    }
    let ending = path
        .extension()
        .map(|e| e.to_string_lossy().to_lowercase())
        .unwrap_or_default();
    if ["xlsx", "xlsm", "xls", "xlsb", "ods"].contains(&ending.as_str()) {
        return workbook(path);
    }
    let bytes = std::fs::read(path).map_err(|e| format!("{name}: {}", e.kind()))?;
    let text = String::from_utf8(bytes).map_err(|_| {
        format!("{name}: this is no UTF-8 text; save the table as CSV UTF-8, or as a workbook")
    })?;
    of_text(&text).map_err(|e| format!("{name}: {e}"))
}

/// The rows of a CSV text; the separator is the one that its first line has most of.
pub fn of_text(text: &str) -> Result<Vec<Vec<String>>, String> {
    let body = text.trim_start_matches('\u{feff}');
    let first = body.lines().next().unwrap_or_default();
    let count = |c: char| first.matches(c).count();
    let separator = [(',', b','), (';', b';'), ('\t', b'\t')]
        .into_iter()
        .max_by_key(|(c, _)| (count(*c), *c == ','))
        .map_or(b',', |(_, byte)| byte);
    let mut rows = Vec::new();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(body.as_bytes());
    for record in reader.records() {
        let record = record.map_err(|e| e.to_string())?;
        // Empty lines are passed over by the reader, and rows are counted as the file shows them.
        let at = record.position().map_or(0, |p| p.byte() as usize);
        let before = body.get(..at).unwrap_or_default();
        let blank = body.get(at..).unwrap_or_default();
        let blank = blank.len() - blank.trim_start_matches(['\r', '\n']).len();
        let blank = body.get(at..at + blank).unwrap_or_default();
        let line = before.matches('\n').count() + blank.matches('\n').count();
        if rows.len() < line {
            rows.resize(line, Vec::new());
        }
        rows.push(record.iter().map(str::to_owned).collect());
    }
    Ok(rows)
}

fn workbook(path: &Path) -> Result<Vec<Vec<String>>, String> {
    let name = path.display();
    let mut book = open_workbook_auto(path).map_err(|e| format!("{name}: {e}"))?;
    let mut rows = Vec::new();
    for sheet in book.sheet_names() {
        let range = book
            .worksheet_range(&sheet)
            .map_err(|e| format!("{name}, sheet {sheet}: {e}"))?;
        if !rows.is_empty() {
            rows.push(Vec::new());
        }
        rows.extend(range.rows().map(|row| row.iter().map(cell).collect()));
    }
    Ok(rows)
}

fn cell(data: &Data) -> String {
    match data {
        Data::Empty | Data::Error(_) => String::new(),
        Data::Float(n) => crate::domain::units::plain_number(*n),
        Data::DateTime(at) => {
            let (year, month, day, ..) = at.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}")
        }
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::of_text;

    #[test]
    fn separators_are_found_and_rows_are_counted_as_the_file_shows_them() {
        let rows = of_text("\u{feff}block;kind\n\n\"07; east\";pear\n").unwrap();
        assert_eq!(
            rows,
            [vec!["block", "kind"], vec![], vec!["07; east", "pear"]]
        );
        assert_eq!(of_text("a\tb\n1\t2").unwrap()[1], ["1", "2"]);
        assert_eq!(of_text("name\nx").unwrap().len(), 2);
    }
}
