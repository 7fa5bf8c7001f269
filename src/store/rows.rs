//! The rows of a table in a file: CSV with commas, semicolons or tabs, or a workbook's sheets one
//! below the other.

use super::weather::any;
use std::path::Path;

/// Bytes that a table may have at most.
const LARGEST_BYTES: u64 = 20_000_000;

/// Reads the rows of a table; encodings, packed files and workbooks are read as for weather.
///
/// # Errors
/// In words, with the file's name.
pub fn read(path: &Path) -> Result<Vec<Vec<String>>, String> {
    let name = path.display().to_string();
    let size = std::fs::metadata(path)
        .map_err(|e| format!("{name}: {}", e.kind()))?
        .len();
    if size > LARGEST_BYTES {
        return Err(format!(
            "{name}: {size} bytes is too much for a table of blocks"
        ));
    }
    let bytes = std::fs::read(path).map_err(|e| format!("{name}: {}", e.kind()))?;
    if let Some(rows) = any::sheets(&bytes, &name) {
        return rows.map_err(|e| e.to_string());
    }
    let text = any::text(&bytes, &name).map_err(|e| e.to_string())?;
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
