//! The input sheets as they stood.

use super::support::{dec, found, job, read_bytes};
use tallybore::Choice;
use tallybore::model::Raw;

#[test]
fn every_cell_is_kept_where_it_stood() {
    let runs = "Runs of the shed\n\nRun|From|Length ft|Size|Mine\nA|SUPPLY|12.5|@2026-01-02|hello\n|||%0.5";
    let reading = job().sheet("Runs", runs).merge("Runs", (0, 0, 0, 4)).read();
    let sheet = reading.book.declared("Runs").unwrap();
    assert_eq!(sheet.merged, [(0, 0, 0, 4)]);
    assert_eq!(sheet.heading_row, Some(2));
    assert_eq!(sheet.column_of["Length ft"], 2);
    assert_eq!(sheet.column_of.get("Bends"), None);
    let raw = |row, column| sheet.cell(row, column).map(|c| c.raw.clone());
    assert_eq!(raw(0, 0), Some(Raw::Text("Runs of the shed".into())));
    assert_eq!(raw(3, 2), Some(Raw::Number(dec("12.5"))));
    assert_eq!(raw(3, 3), Some(Raw::Date(dec("46024"))));
    assert_eq!(raw(3, 4), Some(Raw::Text("hello".into())), "a column of the user's own");
    assert_eq!(raw(1, 0), None);
    assert!(sheet.cell(4, 3).unwrap().is_percent() && !sheet.cell(3, 2).unwrap().is_percent());
    assert_eq!(sheet.cell(3, 3).unwrap().format.as_deref(), Some("d-mmm"));
    assert!(sheet.cells.is_sorted_by_key(|c| (c.row, c.column)));
}

#[test]
fn formulas_are_kept_where_all_they_refer_to_is_kept() {
    let runs = "Run|From|Length ft\nA|SUPPLY|=Job!B3/3 -> 20\nB|A|=C2+Mine!A1 -> 21\nC|A|=TaxRate*2 -> 5\nD|A|=TODAY() -> 6\nE|A|=Hours!A1 -> 7";
    let reading = job().sheet("Runs", runs).sheet("Mine", "1").sheet("Hours", "7").read();
    assert_eq!(found(&reading), ["note renamed-sheet Hours!A1", "note formulas-dropped Runs!C4"]);
    let sheet = reading.book.declared("Runs").unwrap();
    let formula = |row| sheet.cell(row, 2).unwrap().formula.as_deref();
    assert_eq!([1, 2, 3, 4, 5].map(formula), [Some("Job!B3/3"), Some("C2+Mine!A1"), None, None, None]);
    assert_eq!(sheet.cell(4, 2).unwrap().raw, Raw::Number(dec("6")), "the value stays");
}

#[test]
fn a_formula_that_was_never_worked_out_is_a_finding() {
    let xml = r#"<c r="A1" t="str"><f>"x"</f><v>x</v></c><c r="C2"><f>2*10</f></c>"#;
    let bytes = with_sheet_xml("Runs", &job().bytes(), |sheet| {
        let row = sheet.find("<row r=\"2\"").unwrap();
        let cell = row + sheet[row..].find("<c r=\"C2\"").unwrap();
        let end = cell + sheet[cell..].find("</c>").unwrap() + 4;
        format!("{}{}{}", &sheet[..cell], &xml[xml.find("<c r=\"C2\"").unwrap()..], &sheet[end..])
    });
    let reading = read_bytes("job.xlsx", &bytes);
    assert_eq!(found(&reading), ["stop blank-formula Runs!C2"]);
    let cell = reading.book.declared("Runs").unwrap().cell(1, 2).unwrap().clone();
    assert_eq!((cell.raw, cell.formula.as_deref()), (Raw::Blank, Some("2*10")));
}

#[test]
fn choices_whose_rows_lost_their_names_are_told() {
    let bid = job().property("tallybore-bid", "1").sheet("Sizing", "Run|Chosen size\nA|'1/2\nB|'3/4");
    let bytes = with_sheet_xml("Sizing", &bid.bytes(), |sheet| {
        let row = sheet.find("<row r=\"2\"").unwrap();
        let cell = row + sheet[row..].find("<c r=\"A2\"").unwrap();
        let end = cell + sheet[cell..].find("</c>").unwrap() + 4;
        format!("{}<c r=\"A2\"><f>Runs!A2</f></c>{}", &sheet[..cell], &sheet[end..])
    });
    let reading = read_bytes("bid.xlsx", &bytes);
    assert_eq!(found(&reading), ["fix choices-not-read"]);
    assert_eq!(reading.job.saved.of(Choice::RunSize).collect::<Vec<_>>(), [("B", "3/4")]);
}

#[test]
fn an_array_formula_is_kept_as_its_value() {
    let bytes = with_sheet_xml("Runs", &job().bytes(), |sheet| {
        sheet.replace(
            "<c r=\"C2\"><v>20</v></c>",
            "<c r=\"C2\"><f t=\"array\" ref=\"C2\">SUM(D2:D3*E2:E3)</f><v>20</v></c>",
        )
    });
    let reading = read_bytes("job.xlsx", &bytes);
    assert_eq!(found(&reading), ["note formulas-dropped Runs!C2"]);
    assert_eq!(reading.job.runs[0].length_ft.value, Some(dec("20")));
}

#[test]
fn dates_counted_from_1904_are_the_same_days() {
    let book = job().sheet("Prices", "Kind|Unit|Price|Quoted\npipe|coil|4|@2026-05-30");
    let read = |bytes: &[u8]| read_bytes("job.xlsx", bytes).job.prices[0].quoted.value;
    let plain = book.bytes();
    assert_eq!(read(&plain), Some(dec("46172")));
    let shifted = with_part("xl/workbook.xml", &plain, |xml| xml.replace("<workbookPr", "<workbookPr date1904=\"1\""));
    assert_eq!(read(&shifted), Some(dec("47634")), "1,462 days later, as every program would show it");
}

/// The workbook with the XML of one sheet changed; sheets stand in the order of `job()`, Sizing behind them.
fn with_sheet_xml(name: &str, bytes: &[u8], change: impl Fn(String) -> String) -> Vec<u8> {
    let at = ["Job", "Fixtures", "Runs", "Prices", "Sizing"].iter().position(|n| *n == name).unwrap() + 1;
    with_part(&format!("xl/worksheets/sheet{at}.xml"), bytes, |xml| {
        let changed = change(xml.clone());
        assert_ne!(changed, xml, "nothing was changed");
        changed
    })
}

fn with_part(part: &str, bytes: &[u8], change: impl Fn(String) -> String) -> Vec<u8> {
    use std::io::{Cursor, Read, Write};
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..archive.len() {
        let mut entry = archive.by_index(index).unwrap();
        let name = entry.name().unwrap().into_owned();
        let mut xml = String::new();
        entry.read_to_string(&mut xml).unwrap();
        out.start_file(&*name, zip::write::SimpleFileOptions::default()).unwrap();
        out.write_all(if name == part { change(xml) } else { xml }.as_bytes()).unwrap();
    }
    out.finish().unwrap().into_inner()
}
