//! The same promises for .ods, on a file zipped by hand.

use super::support::{dec, found, read_bytes};
use std::io::{Cursor, Read, Write};
use tallybore::model::{Raw, Setting};
use zip::write::SimpleFileOptions;

const KIND: &str = "application/vnd.oasis.opendocument.spreadsheet";
const MANIFEST: &str = r#"<?xml version="1.0"?><manifest:manifest xmlns:manifest="m"></manifest:manifest>"#;

fn ods(tables: &[(&str, &str)], meta: &str, manifest: &str) -> Vec<u8> {
    let tables: String = tables
        .iter()
        .map(|(name, rows)| format!(r#"<table:table table:name="{name}" table:style-name="ta1">{rows}</table:table>"#))
        .collect();
    let content = format!(
        r#"<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="o" xmlns:table="t" xmlns:text="x" xmlns:calcext="c"><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>"#
    );
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let parts =
        [("mimetype", KIND), ("content.xml", &content), ("meta.xml", meta), ("META-INF/manifest.xml", manifest)];
    for (name, text) in parts {
        out.start_file(name, SimpleFileOptions::default()).unwrap();
        out.write_all(text.as_bytes()).unwrap();
    }
    out.finish().unwrap().into_inner()
}

/// Rows of cells: `text`, a number, `@date`, `%share`, `=formula -> value`, or nothing.
fn rows(text: &str) -> String {
    let cell = |cell: &str| {
        let value = |cell: &str| match cell.parse::<f64>() {
            Ok(number) => format!(r#"office:value-type="float" office:value="{number}""#),
            Err(_) if cell.starts_with('#') => {
                format!(r#"office:value-type="string" office:string-value="{cell}" calcext:value-type="error""#)
            }
            Err(_) => format!(r#"office:value-type="string" office:string-value="{cell}""#),
        };
        let attributes = if let Some(date) = cell.strip_prefix('@') {
            format!(r#"office:value-type="date" office:date-value="{date}""#)
        } else if let Some(share) = cell.strip_prefix('%') {
            format!(r#"office:value-type="percentage" office:value="{share}""#)
        } else if let Some((formula, result)) = cell.split_once(" -> ") {
            format!(r#"table:formula="of:{formula}" {}"#, value(result))
        } else if cell.is_empty() {
            String::new()
        } else {
            value(cell)
        };
        format!("<table:table-cell {attributes}/>")
    };
    let rows = text
        .lines()
        .map(|line| format!("<table:table-row>{}</table:table-row>", line.split('|').map(cell).collect::<String>()));
    // As programs end a sheet: empty rows down to the last there is.
    rows.collect::<String>()
        + r#"<table:table-row table:number-rows-repeated="1048500"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>"#
}

fn job(runs: &str, meta: &str) -> Vec<u8> {
    let tables = [
        ("Job", rows("Item|Value\nOverhead|%1.5\nDate|@2026-05-30")),
        ("Fixtures", rows("Tag|Fixture|Cold run\nL1|lavatory|A")),
        ("Runs", rows(runs)),
        ("Prices", rows("Kind|Unit|Price\npipe|coil|48.5")),
    ];
    ods(&tables.each_ref().map(|(name, rows)| (*name, rows.as_str())), meta, MANIFEST)
}

#[test]
fn an_ods_job_reads_like_any_other() {
    let runs = "|My runs\n\n|Run|From|Size|Length ft\n|A|SUPPLY|@2026-03-04|12\n|B|A|3/4|=[.E4]/2 -> 6\n|C|B||=[$Gone.A1] -> 5";
    let reading = read_bytes("job.ods", &job(runs, ""));
    assert_eq!(found(&reading), ["fix size-from-date Runs!D4", "note formulas-dropped Runs!E6"]);
    let job = &reading.job;
    assert_eq!(job.number(Setting::Overhead), Some(dec("1.5")), "a cell that shows 150 %");
    assert_eq!(job.number(Setting::Date), Some(dec("46172")));
    assert_eq!(job.runs[0].size.value.unwrap().to_string(), "3/4");
    assert_eq!(job.runs[1].length_ft.value, Some(dec("6")));
    assert_eq!(job.runs[1].length_ft.cell.as_ref().unwrap().to_string(), "Runs!E5");
    let sheet = reading.book.declared("Runs").unwrap();
    assert_eq!(sheet.cell(4, 4).unwrap().formula.as_deref(), Some("E4/2"));
    assert_eq!(sheet.cell(5, 4).unwrap().formula, None);
    assert_eq!(sheet.cell(3, 3).unwrap().raw, Raw::Date(dec("46085")));
}

/// The same workbook with each tag on a line of its own and texts in paragraphs, some behind a note, as Gnumeric 1.12
/// writes them.
fn spread(book: &[u8]) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(Cursor::new(book)).unwrap();
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..archive.len() {
        let mut part = archive.by_index(index).unwrap();
        let name = part.name().unwrap().into_owned();
        let mut text = String::new();
        part.read_to_string(&mut text).unwrap();
        if name == "content.xml" {
            text = in_paragraphs(&text).replace("><", ">\n      <").replace(">\n      <text:p", ">\n<text:p");
        }
        out.start_file(name, SimpleFileOptions::default()).unwrap();
        out.write_all(text.as_bytes()).unwrap();
    }
    out.finish().unwrap().into_inner()
}

/// `office:string-value` attributes as contents of their cells.
fn in_paragraphs(content: &str) -> String {
    let mut pieces = content.split(r#" office:string-value=""#);
    let mut text = pieces.next().unwrap().to_owned();
    for (number, piece) in pieces.enumerate() {
        let (words, rest) = piece.split_once('"').unwrap();
        let (attributes, rest) = rest.split_once("/>").unwrap();
        let note = if number % 2 == 0 {
            "<office:annotation><text:p>A <text:s/>note.</text:p></office:annotation>"
        } else {
            ""
        };
        text += &format!("{attributes}>{note}<text:p>{words}</text:p></table:table-cell>{rest}");
    }
    text
}

#[test]
fn tags_on_lines_of_their_own_change_nothing() {
    let runs = "Run|From|Size|Length ft|Note\nA|SUPPLY|@2026-03-04|12|two  words\n\nB|A|3/4|=[.D2]/2 -> 6|";
    let (plain, spread) = (job(runs, ""), spread(&job(runs, "")));
    let (plain, spread) = (read_bytes("job.ods", &plain), read_bytes("job.ods", &spread));
    assert_eq!(found(&spread), ["fix size-from-date Runs!C2"]);
    assert_eq!(found(&spread), found(&plain));
    assert_eq!(spread.job.runs[0].note.text(), "two  words");
    for (one, other) in spread.book.sheets.iter().zip(&plain.book.sheets) {
        assert_eq!(one.cells, other.cells, "{}", one.name);
    }
}

#[test]
fn error_values_of_ods_are_errors_only_behind_a_formula() {
    let runs = "Run|From|Length ft|Note\nA|SUPPLY|=[.B9]/0 -> #DIV/0!|#N/A";
    let reading = read_bytes("job.ods", &job(runs, ""));
    assert_eq!(found(&reading), ["stop fault-in-cell Runs!C2"]);
    assert_eq!(reading.job.runs[0].note.text(), "#N/A");
}

#[test]
fn an_ods_bid_is_known_by_its_property() {
    let runs = "Run|From|Length ft\nA|SUPPLY|12";
    let meta = r#"<?xml version="1.0"?><office:document-meta xmlns:office="o" xmlns:meta="m"><office:meta><meta:user-defined meta:name="tallybore-bid">1</meta:user-defined></office:meta></office:document-meta>"#;
    assert!(read_bytes("bid.ods", &job(runs, meta)).job.is_bid);
    assert!(!read_bytes("bid.ods", &job(runs, "")).job.is_bid);
}

#[test]
fn a_locked_ods_says_so() {
    let manifest = r#"<?xml version="1.0"?><manifest:manifest xmlns:manifest="m"><manifest:file-entry manifest:full-path="content.xml"><manifest:encryption-data/></manifest:file-entry></manifest:manifest>"#;
    let reading = read_bytes("job.ods", &ods(&[("Job", "")], "", manifest));
    assert_eq!(found(&reading), ["stop password-protected"]);
}
