//! From the bytes of a file to lines of text: packed files unpacked, workbooks laid out as lines,
//! every encoding turned into UTF-8.

use std::io::{Cursor, Read, Seek};

use calamine::{Data, Reader, Sheets, open_workbook_auto_from_rs};

use super::super::problem::{ImportError, shown};

/// More than any one place's record, packed or not.
const MOST_BYTES: u64 = 1 << 28;
/// A workbook of forty years of hours has under a third of this.
const MOST_CELLS: usize = 8_000_000;

/// The text of a file with what was done to come by it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Text {
    pub text: String,
    /// In words: "unpacked (gz)", "sheet 'Data'", "`Shift_JIS`"; empty for plain UTF-8.
    pub steps: Vec<String>,
}

/// Makes text of whatever a file holds.
pub(super) fn text_of(bytes: &[u8], file: &str, sheet: Option<&str>) -> Result<Text, ImportError> {
    if bytes.is_empty() {
        return Err(ImportError::one(
            file,
            0,
            "the file is empty",
            "save it again from where it came",
        ));
    }
    if bytes.starts_with(&[0x1F, 0x8B]) {
        let inner = unpacked(bytes, file)?;
        let mut text = text_of_plain(&inner, file, sheet)?;
        text.steps.insert(0, "unpacked (gz)".to_owned());
        return Ok(text);
    }
    text_of_plain(bytes, file, sheet)
}

fn unpacked(bytes: &[u8], file: &str) -> Result<Vec<u8>, ImportError> {
    let mut inner = Vec::new();
    // Several packed parts one after another are one file.
    let read = flate2::read::MultiGzDecoder::new(bytes)
        .take(MOST_BYTES + 1)
        .read_to_end(&mut inner);
    if read.is_err() {
        return Err(ImportError::one(
            file,
            0,
            "the packed file is cut off or damaged",
            "save it again; nothing of it was taken",
        ));
    }
    if inner.len() as u64 > MOST_BYTES {
        return Err(too_large(file));
    }
    Ok(inner)
}

fn too_large(file: &str) -> ImportError {
    ImportError::one(
        file,
        0,
        "larger than 256 MB",
        "split it; the record of one place is smaller",
    )
}

fn text_of_plain(bytes: &[u8], file: &str, sheet: Option<&str>) -> Result<Text, ImportError> {
    let refuse = |what: &str, instead: &str| Err(ImportError::one(file, 0, what, instead));
    let old_workbook = bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]);
    if bytes.starts_with(b"PK\x03\x04") || old_workbook {
        return workbook(bytes, file, sheet);
    }
    if bytes.starts_with(b"%PDF") {
        return refuse(
            "this is a page to print (PDF)",
            "save the table itself as CSV or as a workbook",
        );
    }
    if bytes.starts_with(&[0x89, b'P', b'N', b'G']) || bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        return refuse("this is a picture", "save the table itself as CSV");
    }
    let (text, steps) = decoded(bytes);
    let head: String = text.chars().take(400).collect::<String>().to_lowercase();
    let start = head.trim_start();
    if start.starts_with("<!doctype html") || start.starts_with("<html") || head.contains("<body") {
        return refuse(
            "this is a web page, not a table (a sign-in or error page may have been saved)",
            "open the address again and save the table itself as CSV",
        );
    }
    if start.starts_with("<?xml") || start.starts_with('<') {
        return refuse(
            "this is XML",
            "save the table itself as CSV or as a workbook",
        );
    }
    let controls = text
        .chars()
        .take(4000)
        .filter(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t' | '\u{c}' | '\u{1a}'))
        .count();
    if controls > 8 {
        return refuse(
            "this is no text",
            "save the table as CSV or as a workbook (xlsx, ods)",
        );
    }
    Ok(Text { text, steps })
}

/// The text, and what was not plain UTF-8 about it.
fn decoded(bytes: &[u8]) -> (String, Vec<String>) {
    let named = |encoding: &'static encoding_rs::Encoding, bytes: &[u8]| {
        let (text, _) = encoding.decode_with_bom_removal(bytes);
        (text.into_owned(), vec![encoding.name().to_owned()])
    };
    if let Some((encoding, bom)) = encoding_rs::Encoding::for_bom(bytes) {
        let rest = bytes.get(bom..).unwrap_or_default();
        let (text, _) = encoding.decode_without_bom_handling(rest);
        let steps = if encoding == encoding_rs::UTF_8 {
            Vec::new()
        } else {
            vec![encoding.name().to_owned()]
        };
        return (text.into_owned(), steps);
    }
    // Without a mark: every second byte of a table in UTF-16 is zero.
    let head = bytes.get(..2000.min(bytes.len())).unwrap_or_default();
    let zeros = |odd: usize| {
        head.iter()
            .skip(odd)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let half = head.len() / 2;
    if half > 8 && zeros(1) * 10 > half * 6 {
        return named(encoding_rs::UTF_16LE, bytes);
    }
    if half > 8 && zeros(0) * 10 > half * 6 {
        return named(encoding_rs::UTF_16BE, bytes);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), Vec::new()),
        Err(_) => {
            let mut detector =
                chardetng::EncodingDetector::new(chardetng::Iso2022JpDetection::Deny);
            detector.feed(bytes, true);
            named(detector.guess(None, chardetng::Utf8Detection::Allow), bytes)
        }
    }
}

/// The sizes a packed folder announces for its parts, summed: against files made to burst.
fn announced(bytes: &[u8]) -> u64 {
    let mut sum = 0_u64;
    let mut at = 0;
    while let Some(found) = bytes
        .get(at..)
        .and_then(|rest| memchr::memmem::find(rest, b"PK\x01\x02"))
    {
        let start = at + found;
        if let Some(&[a, b, c, d]) = bytes
            .get(start + 24..start + 28)
            .and_then(|s| <&[u8; 4]>::try_from(s).ok())
        {
            sum += u64::from(u32::from_le_bytes([a, b, c, d]));
        }
        at = start + 4;
    }
    sum
}

fn workbook(bytes: &[u8], file: &str, sheet: Option<&str>) -> Result<Text, ImportError> {
    if announced(bytes) > MOST_BYTES {
        return Err(too_large(file));
    }
    let unreadable = || unreadable(file);
    let mut book = open_workbook_auto_from_rs(Cursor::new(bytes)).map_err(|_| unreadable())?;
    let names = book.sheet_names();
    let chosen = match sheet {
        Some(wanted) => names
            .iter()
            .find(|n| n.trim().eq_ignore_ascii_case(wanted.trim()))
            .cloned()
            .ok_or_else(|| {
                let known: Vec<String> = names.iter().map(|n| shown(n.as_bytes())).collect();
                ImportError::one(
                    file,
                    0,
                    &format!("there is no sheet '{}'", shown(wanted.as_bytes())),
                    &format!("the sheets are: {}", known.join(", ")),
                )
            })?,
        None => fullest(&mut book, &names).ok_or_else(unreadable)?,
    };
    let range = book.worksheet_range(&chosen).map_err(|_| unreadable())?;
    if range.width().saturating_mul(range.height()) > MOST_CELLS {
        return Err(too_large(file));
    }
    // Lines are counted as the sheet counts its rows.
    let skipped = range.start().map_or(0, |(row, _)| row as usize);
    let mut text = "\n".repeat(skipped.min(1000));
    for row in range.rows() {
        for (i, cell) in row.iter().enumerate() {
            if i > 0 {
                text.push('\t');
            }
            text.push_str(&cell_text(cell));
        }
        text.push('\n');
    }
    let mut steps = vec![format!("sheet '{}'", shown(chosen.as_bytes()))];
    if names.len() > 1 && sheet.is_none() {
        steps.push(format!(
            "the fullest of {} (--sheet names another)",
            names.len()
        ));
    }
    Ok(Text { text, steps })
}

/// Every row of every sheet, sheets with an empty row between; `None` where it is no workbook.
pub(super) fn sheets(bytes: &[u8], file: &str) -> Option<Result<Vec<Vec<String>>, ImportError>> {
    let is_book = bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]);
    is_book.then(|| {
        if announced(bytes) > MOST_BYTES {
            return Err(too_large(file));
        }
        let mut book =
            open_workbook_auto_from_rs(Cursor::new(bytes)).map_err(|_| unreadable(file))?;
        let mut rows: Vec<Vec<String>> = Vec::new();
        for name in book.sheet_names() {
            let range = book.worksheet_range(&name).map_err(|_| unreadable(file))?;
            if range.width().saturating_mul(range.height()) > MOST_CELLS {
                return Err(too_large(file));
            }
            if !rows.is_empty() {
                rows.push(Vec::new());
            }
            rows.extend(range.rows().map(|row| row.iter().map(cell_text).collect()));
        }
        Ok(rows)
    })
}

fn unreadable(file: &str) -> ImportError {
    ImportError::one(
        file,
        0,
        "this is a packed folder or a workbook that cannot be read",
        "unpack it and bring in the file inside, or save the sheet as CSV",
    )
}

/// The sheet with the most rows that hold a number.
fn fullest<RS: Read + Seek>(book: &mut Sheets<RS>, names: &[String]) -> Option<String> {
    let mut best: Option<(usize, String)> = None;
    for name in names.iter().take(50) {
        let Ok(range) = book.worksheet_range(name) else {
            continue;
        };
        let rows = range
            .rows()
            .filter(|row| {
                row.iter()
                    .any(|c| matches!(c, Data::Float(_) | Data::Int(_)))
            })
            .count();
        if best.as_ref().is_none_or(|(most, _)| rows > *most) {
            best = Some((rows, name.clone()));
        }
    }
    best.map(|(_, name)| name)
}

fn cell_text(cell: &Data) -> String {
    match cell {
        Data::DateTime(time) if time.is_datetime() => {
            let (year, month, day, hour, minute, second, _) = time.to_ymd_hms_milli();
            if time.as_f64() < 1.0 {
                // A time of day alone is kept as a share of a day.
                format!("{hour:02}:{minute:02}:{second:02}")
            } else if (hour, minute, second) == (0, 0, 0) {
                format!("{year:04}-{month:02}-{day:02}")
            } else {
                format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}")
            }
        }
        Data::Float(value) => format!("{value}"),
        Data::Int(value) => format!("{value}"),
        Data::DateTimeIso(text) => text.clone(),
        Data::String(text) => text.replace(['\t', '\n', '\r'], " "),
        Data::Bool(_) | Data::Error(_) | Data::Empty | Data::DurationIso(_) | Data::DateTime(_) => {
            String::new()
        }
        #[allow(unreachable_patterns)]
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    const TABLE: &str = "Fecha;Mínima (°C)\n2027-01-01;-3,5\n";

    fn plain(bytes: &[u8]) -> Text {
        text_of(bytes, "x.csv", None).unwrap()
    }

    #[test]
    fn encodings_are_told_apart() {
        assert_eq!(plain(TABLE.as_bytes()).text, TABLE);
        let (latin, _, _) = encoding_rs::WINDOWS_1252.encode(TABLE);
        assert_eq!(plain(&latin).text, TABLE);
        for (mark, big) in [(true, true), (true, false), (false, true), (false, false)] {
            let mut bytes = Vec::new();
            let units = std::iter::repeat_n(0xFEFF_u16, usize::from(mark));
            for unit in units.chain(TABLE.encode_utf16()) {
                bytes.extend(if big {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                });
            }
            assert_eq!(
                plain(&bytes).text,
                TABLE,
                "mark {mark}, big end first {big}"
            );
        }
        let japanese = "年月日,最高気温(℃),最低気温(℃)\n2027/1/1,5.1,-2.3\n";
        let (sjis, _, _) = encoding_rs::SHIFT_JIS.encode(japanese);
        let read = plain(&sjis);
        assert_eq!(read.text, japanese);
        assert_eq!(read.steps, ["Shift_JIS"]);
    }

    #[test]
    fn packed_files_open_and_cut_ones_are_refused() {
        let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
        packer.write_all(TABLE.as_bytes()).unwrap();
        let packed = packer.finish().unwrap();
        assert_eq!(plain(&packed).text, TABLE);
        let cut = packed.get(..packed.len() - 6).unwrap();
        let error = text_of(cut, "x.gz", None).unwrap_err().to_string();
        assert!(error.contains("cut off or damaged"), "{error}");
    }

    #[test]
    fn what_is_no_table_says_what_it_is() {
        for (bytes, words) in [
            (b"".as_slice(), "empty"),
            (b"%PDF-1.7", "page to print"),
            (b"<!DOCTYPE html><html>sign in", "web page"),
            (b"PK\x03\x04 nothing", "packed folder"),
            (b"<?xml version='1.0'?>", "XML"),
            (&[1, 2, 3, 4, 5, 6, 7, 8, 0, 0, 0, 2, 3], "no text"),
        ] {
            let error = text_of(bytes, "x", None).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        }
    }
}
