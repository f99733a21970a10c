//! Files that are no workbooks, or that want to be more than a workbook can: each gives a finding, none a panic, and none
//! takes long or much memory.

use proptest::prelude::*;
use rust_xlsxwriter::Workbook;
use std::io::{Cursor, Read, Write};
use std::time::{Duration, Instant};
use tallybore::finding::Severity;
use tallybore::read::{self, Reading};
use zip::write::SimpleFileOptions;

/// Far above what any of these take, far below what they ask for.
const PATIENCE: Duration = Duration::from_secs(10);

fn read(name: &str, bytes: &[u8]) -> Reading {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    let start = Instant::now();
    let reading = read::open(&path);
    assert!(start.elapsed() < PATIENCE, "{name} took {:?}", start.elapsed());
    reading
}

/// The slug of the finding that stops, which must be the only one that does, and whether it is the file's fault.
fn stopped(name: &str, bytes: &[u8]) -> (&'static str, bool) {
    let reading = read(name, bytes);
    let stops: Vec<_> = reading.findings.iter().filter(|f| f.severity == Severity::Stop).collect();
    let [stop] = stops[..] else { panic!("{name}: {:?}", reading.findings) };
    if read::is_file_trouble(stop) {
        assert!(reading.job.runs.is_empty() && reading.book.sheets.is_empty());
    }
    (stop.slug, read::is_file_trouble(stop))
}

fn refused(name: &str, bytes: &[u8], slug: &str) {
    assert_eq!(stopped(name, bytes), (slug, true), "{name}");
}

/// A job workbook with nothing wrong in it.
fn good() -> Vec<u8> {
    let mut book = Workbook::new();
    for (name, rows) in [
        ("Job", "Item|Value\nSupply pressure|60\nWaste|5%"),
        ("Fixtures", "Tag|Fixture|Cold run\nL1|lavatory|A"),
        ("Runs", "Run|From|Length ft|Size\nA|SUPPLY|12'6\"|1/2"),
        ("Prices", "Kind|Material|Size|Unit|Price\npipe|PEX|1/2|coil|48.50"),
    ] {
        let sheet = book.add_worksheet();
        sheet.set_name(name).unwrap();
        for (row, line) in rows.lines().enumerate() {
            for (column, text) in line.split('|').enumerate() {
                sheet.write_string(row as u32, column as u16, text).unwrap();
            }
        }
    }
    book.save_to_buffer().unwrap()
}

fn pack(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        out.start_file(name.as_str(), SimpleFileOptions::default()).unwrap();
        out.write_all(bytes).unwrap();
    }
    out.finish().unwrap().into_inner()
}

fn parts(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    (0..archive.len())
        .map(|index| {
            let mut entry = archive.by_index(index).unwrap();
            let mut bytes = Vec::new();
            entry.read_to_end(&mut bytes).unwrap();
            (entry.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

/// The good workbook with one part replaced; `None` takes it out.
fn with(part: &str, text: Option<&str>) -> Vec<u8> {
    let mut all = parts(&good());
    assert!(all.iter().any(|(name, _)| name == part), "{part}");
    match text {
        Some(text) => all.iter_mut().filter(|(name, _)| name == part).for_each(|p| p.1 = text.as_bytes().to_vec()),
        None => all.retain(|(name, _)| name != part),
    }
    pack(&all)
}

/// The good workbook with these rows on its Runs sheet.
fn with_rows(rows: &str) -> Vec<u8> {
    with("xl/worksheets/sheet3.xml", Some(&format!("<worksheet><sheetData>{rows}</sheetData></worksheet>")))
}

fn ods(rows: &str) -> Vec<u8> {
    let kind = "application/vnd.oasis.opendocument.spreadsheet";
    let content = format!(
        "<office:document-content><office:body><office:spreadsheet><table:table table:name=\"Runs\">{rows}</table:table>\
         </office:spreadsheet></office:body></office:document-content>"
    );
    let manifest = "<manifest:manifest></manifest:manifest>";
    pack(
        &[("mimetype", kind), ("META-INF/manifest.xml", manifest), ("content.xml", &content)]
            .map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec())),
    )
}

#[test]
fn the_good_file_is_good() {
    let reading = read("job.xlsx", &good());
    assert_eq!(reading.findings, []);
    assert_eq!(reading.job.runs.len(), 1);
    assert_eq!(read("job.xlsx", &pack(&parts(&good()))).findings, []);
    // The extension decides nothing.
    assert_eq!(read("job.ods", &good()).findings, []);
}

#[test]
fn what_is_not_there_or_not_a_file_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let slug = |path: &std::path::Path| {
        let reading = read::open(path);
        assert!(read::is_file_trouble(&reading.findings[0]));
        reading.findings[0].slug
    };
    assert_eq!(slug(&folder.path().join("gone.xlsx")), "no-such-file");
    assert_eq!(slug(folder.path()), "folder-given");
    assert_eq!(slug(std::path::Path::new("")), "no-such-file");
}

#[test]
#[cfg(unix)]
fn what_is_no_ordinary_file_is_not_waited_for() {
    let reading = read::open(std::path::Path::new("/dev/null"));
    assert!(read::is_file_trouble(&reading.findings[0]));
    assert_eq!(reading.findings[0].slug, "unreadable-file");
}

#[test]
fn a_text_longer_than_a_cell_is_cut_and_told() {
    let cells = |length: usize| {
        let heads = ["Run", "From", "Length ft", "Note"].map(|h| format!("<c t=\"str\"><v>{h}</v></c>")).concat();
        let words = ["A", "SUPPLY", "12", &"x".repeat(length)].map(|t| format!("<c t=\"str\"><v>{t}</v></c>")).concat();
        with_rows(&format!("<row r=\"1\">{heads}</row><row r=\"2\">{words}</row>"))
    };
    assert_eq!(read("job.xlsx", &cells(32_767)).findings, []);
    let reading = read("job.xlsx", &cells(32_768));
    let slugs: Vec<_> = reading.findings.iter().map(|f| (f.severity, f.slug)).collect();
    assert_eq!(slugs, [(Severity::Fix, "long-text")]);
    assert_eq!(reading.job.runs.len(), 1);
}

#[test]
fn files_of_another_kind_are_told_apart() {
    let words = |bytes: &[u8]| read("job.xlsx", bytes).findings[0].found.clone();
    refused("job.xlsx", b"", "empty-file");
    for (bytes, kind) in [
        (&b"Run,From,Length ft\r\nA,SUPPLY,20\r\n"[..], "plain text or CSV"),
        (b"%PDF-1.7\n...", "a PDF"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"<!DOCTYPE html><table>", "a web page"),
        (b"<?xml version=\"1.0\"?><Workbook/>", "an XML text"),
        (&[0; 5000], "nothing but zeros"),
        (b"\x07\x01\x02\xfe\xff\x00", "nothing known here"),
    ] {
        refused("job.xlsx", bytes, "not-a-workbook");
        assert!(words(bytes).contains(kind), "{kind}: {}", words(bytes));
    }
    let zip = |names: &[&str]| pack(&names.iter().map(|n| ((*n).to_owned(), b"<a/>".to_vec())).collect::<Vec<_>>());
    refused("job.xlsx", &zip(&["readme.txt"]), "not-a-workbook");
    refused("job.xlsx", &zip(&["[Content_Types].xml", "word/document.xml"]), "not-a-workbook");
    refused("job.xlsb", &zip(&["[Content_Types].xml", "xl/workbook.bin"]), "binary-workbook");
}

#[test]
fn old_and_locked_workbooks_are_sent_back_with_advice() {
    let mut old = vec![0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];
    old.resize(2048, 0);
    for name in ["job.xls", "job.xlsx"] {
        refused(name, &old, "old-workbook");
    }
    let words = &read("job.xls", &old).findings[0];
    assert!(words.found.contains("password") && words.remedy.contains("save it as .xlsx"));
    old.extend("EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes));
    refused("job.xlsx", &old, "password-protected");
}

#[test]
fn macros_are_left_out_with_a_note() {
    let mut all = parts(&good());
    all.push(("xl/vbaProject.bin".into(), vec![0xD0, 0xCF, 0x11, 0xE0, 1, 2, 3]));
    let reading = read("job.xlsm", &pack(&all));
    let slugs: Vec<_> = reading.findings.iter().map(|f| (f.severity, f.slug)).collect();
    assert_eq!(slugs, [(Severity::Note, "macros-left-out")]);
    assert_eq!(reading.job.runs.len(), 1);
}

#[test]
fn damaged_files_say_so() {
    let good = good();
    for length in [4, 30, 200, good.len() / 2, good.len() - 30] {
        refused("job.xlsx", &good[..length], "damaged-file");
    }
    let mut flipped = good.clone();
    for at in (100..good.len()).step_by(97) {
        flipped[at] ^= 0x55;
    }
    assert!(stopped("job.xlsx", &flipped).1);
    let sheet = "xl/worksheets/sheet3.xml";
    for xml in
        ["<worksheet><sheetData>", "<worksheet><a></worksheet></a>", "<!DOCTYPE a [<!ENTITY b \"c\">]><worksheet/>"]
    {
        refused("job.xlsx", &with(sheet, Some(xml)), "damaged-file");
    }
    refused("job.xlsx", &with("xl/workbook.xml", None), "damaged-file");
    refused("job.xlsx", &with("_rels/.rels", None), "damaged-file");
    refused("job.xlsx", &with("xl/_rels/workbook.xml.rels", None), "damaged-file");
    refused("job.xlsx", &with("xl/workbook.xml", Some("<workbook><sheets/></workbook>")), "damaged-file");
}

#[test]
fn parts_that_nobody_needs_are_passed_over() {
    let wide = |text: &str| -> Vec<u8> {
        [0xFEFF].into_iter().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect()
    };
    let note = "<?xml version=\"1.0\" encoding=\"UTF-16\"?><note a='<'><b>&lt;</b></note>";
    let mut all = parts(&good());
    all.push(("customXml/item1.xml".into(), wide(note)));
    all.push(("xl/drawings/drawing9.xml".into(), b"<a><b></a>".to_vec()));
    all.push(("xl/comments7.xml".into(), b"<!DOCTYPE a><row r=\"9999999\"><c r=\"XFD9999999\"><v>1".to_vec()));
    assert_eq!(read("job.xlsx", &pack(&all)).findings, []);
    // A sheet in UTF-16 is read, or told as one that is not; the file is not called damaged for it.
    let mut all = parts(&good());
    for (name, part) in &mut all {
        if name == "xl/worksheets/sheet3.xml" {
            *part = wide(std::str::from_utf8(part).unwrap().trim_start_matches(|c| c != '>').trim_start_matches('>'));
        }
    }
    let reading = read("job.xlsx", &pack(&all));
    assert!(reading.job.runs.len() == 1 || reading.findings[0].slug == "unreadable-sheet", "{:?}", reading.findings);
    assert!(reading.findings.iter().all(|f| f.slug != "damaged-file"));
}

#[test]
fn merges_of_whole_rows_and_columns_ask_for_no_room() {
    let rows = "<row r=\"1\"><c t=\"str\" r=\"A1\"><v>Run</v></c><c t=\"str\" r=\"B1\"><v>From</v></c>\
                <c t=\"str\" r=\"C1\"><v>Length ft</v></c></row><row r=\"2\"><c t=\"str\" r=\"A2\"><v>A</v></c>\
                <c t=\"str\" r=\"B2\"><v>SUPPLY</v></c><c r=\"C2\"><v>20</v></c></row>";
    let merged = |areas: &str| {
        let sheet = format!("<worksheet><sheetData>{rows}</sheetData><mergeCells>{areas}</mergeCells></worksheet>");
        read("job.xlsx", &with("xl/worksheets/sheet3.xml", Some(&sheet)))
    };
    let area = |area: &str| format!("<mergeCell ref=\"{area}\"/>");
    let merges = |reading: &Reading| reading.book.declared("Runs").unwrap().merged.clone();
    for wild in ["A1:XFD1048576", "D1:D1048576", "A3:XFD3", "E5:XFD1048576"] {
        let reading = merged(&area(wild));
        let slugs: Vec<_> = reading.findings.iter().map(|f| (f.severity, f.slug)).collect();
        assert_eq!(slugs, [(Severity::Note, "merges-cut")], "{wild}");
        assert!(merges(&reading).iter().all(|(_, _, bottom, right)| *bottom < 3 && *right < 3), "{wild}");
        assert_eq!(reading.job.runs.len(), 1);
    }
    let usual = merged(&area("A1:H1"));
    assert_eq!((merges(&usual), usual.findings.len()), (vec![(0, 0, 0, 7)], 0));
    let many: String = (0..40_000).map(|n| area(&format!("F{}:G{}", n + 5, n + 5))).collect();
    let many = merged(&many);
    assert!(merges(&many).len() <= 10_000);
    assert_eq!(many.findings.len(), 1);
}

#[test]
fn one_unreadable_sheet_is_a_finding_and_the_rest_is_read() {
    for (rows, reason) in [
        ("<row r=\"1\"><c r=\"A1\" t=\"s\"><v>9999</v></c></row>", "a text that is not in the list"),
        ("<row r=\"1\"><c r=\"A1\" t=\"e\"><v>#MADE.UP!</v></c></row>", "an unknown error"),
        ("<row r=\"1\"><c r=\"A1\" t=\"zz\"><v>1</v></c></row>", "an unknown kind of cell"),
        ("<row r=\"1\"><c r=\"1\"><v>1</v></c></row>", "a cell without a column"),
    ] {
        let bytes = with_rows(rows);
        assert_eq!(stopped("job.xlsx", &bytes), ("unreadable-sheet", false), "{reason}");
        assert_eq!(read("job.xlsx", &bytes).job.prices.len(), 1, "{reason}");
    }
    let missing = with("xl/worksheets/sheet3.xml", None);
    assert_eq!(stopped("job.xlsx", &missing), ("unreadable-sheet", false));
}

#[test]
fn cells_far_out_are_refused_before_anyone_makes_room_for_them() {
    let filled = |cell: &str| format!("<c r=\"{cell}\"><v>1</v></c>");
    for rows in [
        format!("<row r=\"1\">{}</row><row r=\"1048576\">{}</row>", filled("A1"), filled("XFD1048576")),
        format!("<row r=\"1\">{}</row>", filled("ABCDEFGHI1")),
        format!("<row r=\"1\">{}</row>", filled("A99999999999999999999")),
        // The same in disguise: prefixed tags, a bracket in an attribute, rows and cells that only count.
        "<x:row r=\"1048576\"><x:c r=\"XFD1048576\"><x:v>1</x:v></x:c></x:row>".to_owned(),
        "<row r=\"1\" spans=\">\"><c s='>' r=\"XFD1048576\"><v>1</v></c></row>".to_owned(),
        format!("<row r=\"1048570\"></row>{}", "<row><c><v>1</v></c></row>".repeat(3)),
        format!("<row r=\"1\">{}</row>", "<c><v>1</v></c>".repeat(600)),
    ] {
        refused("job.xlsx", &with_rows(&rows), "oversize-file");
    }
    // A sheet under an odd name and of an odd kind is a sheet.
    let far = format!("<worksheet><sheetData><row r=\"1\">{}</row></sheetData></worksheet>", filled("XFD1048576"));
    let mut odd = parts(&good());
    odd.push(("xl/media/picture.bin".into(), far.into_bytes()));
    assert_eq!(read("job.xlsx", &pack(&odd)).findings, [], "nobody opens a picture");
    let list = |odd: &mut Vec<(String, Vec<u8>)>, edit: &dyn Fn(String) -> String| {
        let part = odd.iter_mut().find(|(name, _)| name == "xl/_rels/workbook.xml.rels").unwrap();
        part.1 = edit(String::from_utf8(part.1.clone()).unwrap()).into_bytes();
    };
    for kind in ["worksheet", "picture"] {
        let mut renamed = odd.clone();
        list(&mut renamed, &|text| {
            let (head, tail) = text.split_once("worksheets/sheet3.xml").unwrap();
            let (before, behind) = head.rsplit_once("/worksheet\"").unwrap();
            format!("{before}/{kind}\"{behind}media/picture.bin{tail}")
        });
        refused("job.xlsx", &pack(&renamed), "oversize-file");
    }
    // A cell that only carries a format takes no room, and stands anywhere.
    let heads = ["Run", "From", "Length ft"].map(|h| format!("<c t=\"str\"><v>{h}</v></c>")).concat();
    let formatted = format!("<row r=\"1\">{heads}<c r=\"XFD1\" s=\"0\"/></row>");
    assert_eq!(stopped("job.xlsx", &with_rows(&formatted)), ("no-rows", false));
}

#[test]
fn numbers_that_ask_for_memory_are_refused() {
    refused(
        "job.xlsx",
        &with_rows("<row r=\"1\"><c r=\"A1\"><f t=\"shared\" si=\"99999999\" ref=\"A1\">1</f><v>1</v></c></row>"),
        "oversize-file",
    );
    let long = "1+".repeat(4000);
    let shared = "<row><c><f t=\"shared\" si=\"0\"/><v>1</v></c></row>".repeat(50_000);
    let rows =
        format!("<row r=\"1\"><c r=\"A1\"><f t=\"shared\" si=\"0\" ref=\"A1:A50001\">{long}1</f></c></row>{shared}");
    refused("job.xlsx", &with_rows(&rows), "oversize-file");
    let texts = "<sst uniqueCount=\"99999999999999\"><si><t>a</t></si></sst>";
    refused("job.xlsx", &with("xl/sharedStrings.xml", Some(texts)), "oversize-file");
    let styles = format!("<styleSheet><cellXfs>{}</cellXfs></styleSheet>", "<xf numFmtId=\"0\"/>".repeat(80_000));
    refused("job.xlsx", &with("xl/styles.xml", Some(&styles)), "oversize-file");
}

#[test]
fn texts_that_a_million_cells_share_are_counted_a_million_times() {
    let text = format!("<sst><si><t>{}</t></si></sst>", "x".repeat(30_000));
    let cells = "<row><c t=\"s\"><v>0</v></c></row>".repeat(5_000);
    let mut all = parts(&with_rows(&cells));
    all.iter_mut().filter(|p| p.0 == "xl/sharedStrings.xml").for_each(|p| p.1 = text.clone().into_bytes());
    let slug = stopped("job.xlsx", &pack(&all));
    assert_eq!(slug, ("oversize-file", true));
}

#[test]
fn packed_floods_are_stopped_while_they_pour() {
    let flood = "x".repeat(70_000_000);
    let text = format!("<sst><si><t>{flood}</t></si></sst>");
    let bytes = with("xl/sharedStrings.xml", Some(&text));
    assert!(bytes.len() < 1_000_000);
    refused("job.xlsx", &bytes, "oversize-file");
    // Headers that deny it change nothing.
    let mut lying = bytes.clone();
    let real = (text.len() as u32).to_le_bytes();
    let places: Vec<usize> = (0..lying.len() - 4).filter(|at| lying[*at..at + 4] == real).collect();
    assert!(!places.is_empty());
    for at in places {
        lying[at..at + 4].copy_from_slice(&100u32.to_le_bytes());
    }
    assert!(stopped("job.xlsx", &lying).1);
    let many: Vec<_> = (0..2500).map(|i| (format!("part{i}.xml"), b"<a/>".to_vec())).collect();
    refused("job.xlsx", &pack(&many), "oversize-file");
    refused("job.xlsx", &vec![b'P'; 20_000_001], "oversize-file");
}

#[test]
fn ods_repeats_are_held_to_a_sheet() {
    let cell = "<table:table-cell office:value-type=\"float\" office:value=\"1\"/>";
    let row = |cells: &str| format!("<table:table-row>{cells}</table:table-row>");
    for rows in [
        format!("<table:table-row table:number-rows-repeated=\"1048576\">{cell}</table:table-row>"),
        format!(
            "<table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell/></table:table-row>{}",
            row(cell)
        ),
        row(&format!("<table:table-cell table:number-columns-repeated=\"16000\"/>{cell}")),
        row("<table:table-cell table:number-columns-repeated=\"600\" office:value-type=\"float\" office:value=\"1\"/>"),
        row(
            "<table:table-cell office:value-type=\"string\"><text:p><text:s text:c=\"99999999999\"/></text:p></table:table-cell>",
        ),
        format!(
            "<table:table-row table:number-rows-repeated=\"100000\"><table:table-cell office:value-type=\"string\"><text:p>{}</text:p></table:table-cell></table:table-row>",
            "x".repeat(30_000)
        ),
    ] {
        refused("job.ods", &ods(&rows), "oversize-file");
    }
    for repeats in ["&#49;00000000", "x", "-1", ""] {
        let rows = format!("<table:table-row table:number-rows-repeated=\"{repeats}\">{cell}</table:table-row>");
        refused("job.ods", &ods(&rows), "damaged-file");
    }
    // A reader that waits for the end of the table would wait for ever.
    let unfinished = String::from_utf8(parts(&ods(&row(cell)))[2].1.clone()).unwrap();
    let unfinished = unfinished.split("</table:table>").next().unwrap();
    let mut all = parts(&ods(&row(cell)));
    all[2].1 = unfinished.as_bytes().to_vec();
    refused("job.ods", &pack(&all), "damaged-file");
}

#[test]
fn a_sheet_of_nothing_but_trouble_is_answered_in_a_page() {
    let rows: String = (2..20_000)
        .map(|r| format!("<row r=\"{r}\"><c r=\"A{r}\"><v>{r}</v></c><c r=\"B{r}\"><v>1</v></c><c r=\"C{r}\" t=\"str\"><v>x</v></c></row>"))
        .collect();
    let heads = ["Run", "From", "Length ft"].map(|h| format!("<c t=\"str\"><v>{h}</v></c>")).concat();
    let reading = read("job.xlsx", &with_rows(&format!("<row r=\"1\">{heads}</row>{rows}")));
    assert_eq!(reading.findings.len(), 501);
    assert_eq!(reading.findings.last().unwrap().slug, "more-findings");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    /// Bytes changed anywhere in the file.
    #[test]
    fn changed_bytes_never_panic(changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8)) {
        let mut bytes = good();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        read("job.xlsx", &bytes);
    }

    /// The same for .ods.
    #[test]
    fn changed_tables_never_panic(
        changes in prop::collection::vec((any::<prop::sample::Index>(), "[<>/\"'=&0-9a-zA-Z:]{0,3}"), 1..5),
    ) {
        let row = "<table:table-row><table:table-cell office:value-type=\"string\"><text:p>Run</text:p></table:table-cell>\
                   <table:table-cell table:formula=\"of:=[.A1]\" office:value-type=\"float\" office:value=\"1\"/></table:table-row>";
        let mut all = parts(&ods(&row.repeat(3)));
        let text = &mut all[2].1;
        for (at, with) in changes {
            let at = at.index(text.len());
            let end = (at + with.len()).min(text.len());
            text.splice(at..end, with.bytes()).for_each(drop);
        }
        read("job.ods", &pack(&all));
    }

    /// Bytes changed inside one part, packed again so that they reach the parsers.
    #[test]
    fn changed_parts_never_panic(
        part in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), "[<>/\"'=&0-9a-zA-Z:]{0,3}"), 1..5),
    ) {
        let mut all = parts(&good());
        let part = part.index(all.len());
        for (at, text) in changes {
            let at = at.index(all[part].1.len());
            let end = (at + text.len()).min(all[part].1.len());
            all[part].1.splice(at..end, text.bytes()).for_each(drop);
        }
        read("job.xlsx", &pack(&all));
    }

    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        read("job.xlsx", &bytes);
        read("job.xlsx", &[&b"PK\x03\x04"[..], &bytes].concat());
    }
}
