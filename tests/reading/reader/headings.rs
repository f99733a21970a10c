//! Headings: found wherever they stand, matched however they are dressed.

use super::support::{dec, found, job, words};

#[test]
fn a_plain_job_reads_without_a_finding() {
    let reading = job().read();
    assert_eq!(found(&reading), [""; 0]);
    let job = &reading.job;
    assert_eq!((&*job.file, job.is_bid), ("job.xlsx", false));
    assert_eq!((&*job.runs[0].name.value, &*job.runs[0].from.value), ("A", "SUPPLY"));
    assert_eq!(job.runs[0].length_ft.value, Some(dec("20")));
    assert_eq!(job.fixtures[0].cold_run.text(), "A");
    assert_eq!(job.prices[0].price.value, Some(dec("48.5")));
    assert_eq!(job.prices[0].sizes.value.as_ref().unwrap()[0].to_string(), "1/2");
    assert_eq!(job.runs[0].length_ft.cell.as_ref().unwrap().to_string(), "Runs!C2");
}

#[test]
fn titles_and_blank_rows_may_stand_above_the_headings() {
    let rows = "Water runs of the shed\n\n|Printed|2026\n\n|Run|From|Length ft\n|A|SUPPLY|20\n\n|B|A|5";
    let reading = job().sheet("Runs", rows).merge("Runs", (0, 0, 0, 3)).read();
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.runs.len(), 2);
    assert_eq!(reading.job.runs[1].name.place.to_string(), "Runs!B8");
    assert_eq!(reading.book.declared("Runs").unwrap().heading_row, Some(4));
}

#[test]
fn columns_come_in_any_order_and_dress() {
    let rows = "NOTE|length (FT)|Rise (ft)|fed from|Line|Colour of tape|Insulation (inches)\n|12|-2|Main|A|red|0.5";
    let reading = job().sheet("Runs", rows).read();
    assert_eq!(found(&reading), ["note own-columns Runs!F1"]);
    let run = &reading.job.runs[0];
    assert_eq!((&*run.name.value, &*run.from.value), ("A", "Main"));
    assert_eq!(run.length_ft.value, Some(dec("12")));
    assert_eq!(run.rise_ft.value, Some(dec("-2")));
    assert_eq!(run.insulation_in.value, Some(dec("0.5")));
}

#[test]
fn a_repeated_row_of_headings_is_no_row() {
    let reading = job().sheet("Runs", "Run|From|Length ft\nA|SUPPLY|20\nRun|From|Length ft\nB|A|5").read();
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.runs.len(), 2);
}

#[test]
fn a_slip_in_a_heading_is_answered_with_the_heading_meant() {
    let reading = job().sheet("Runs", "Run|From|Length ft|Bendss\nA|SUPPLY|20|3").read();
    assert_eq!(found(&reading), ["fix near-heading Runs!D1"]);
    assert!(words(&reading).contains("Did you mean \"Bends\"?"));
    assert_eq!(reading.job.runs[0].bends.value, None);
}

#[test]
fn a_heading_that_is_nearly_ours_is_told_with_its_cells() {
    for (heading, meant) in [
        ("Cnt", "Count"),
        ("Cold water run", "Cold run"),
        ("Hot feed run", "Hot run"),
        ("Number of fixtures count", "Count"),
        ("Flow gpm each", "Gpm"),
    ] {
        let rows = format!("Tag|Fixture|{heading}\nL1|lavatory|3\nL2|lavatory|\nL3|lavatory|2");
        let reading = job().sheet("Fixtures", &rows).read();
        assert_eq!(found(&reading), ["fix near-heading Fixtures!C1"], "{heading}");
        let words = words(&reading);
        assert!(words.contains(&format!("Did you mean \"{meant}\"?")) && words.contains("C2 to C4"), "{words}");
    }
    for (heading, meant) in [
        ("Sz", "Size"),
        ("Pipe size", "Size"),
        ("Insul", "Insulation in"),
        ("Mtl", "Material"),
        ("Height", "Rise ft"),
        ("Hight ft", "Rise ft"),
        ("Drop ft", "Rise ft"),
    ] {
        let reading = job().sheet("Runs", &format!("Run|From|Length ft|{heading}\nA|SUPPLY|20|1")).read();
        assert_eq!(found(&reading), ["fix near-heading Runs!D1"], "{heading}");
        assert!(words(&reading).contains(&format!("\"{meant}\"")), "{heading}");
    }
}

#[test]
fn cells_without_a_heading_are_told() {
    let rows = "Run|From|Length ft||\nA|SUPPLY|20|3|\nB|A|5|4|see sketch";
    let reading = job().sheet("Runs", rows).read();
    assert_eq!(found(&reading), ["fix heading-missing Runs!D2", "fix heading-missing Runs!E3"]);
    assert!(reading.findings[0].found.contains("D2 to D3"), "{}", reading.findings[0].found);
    // A heading merged over two columns is the first one's.
    let reading = job().sheet("Runs", "Run|From|Length ft|\nA|SUPPLY|20|6").merge("Runs", (0, 2, 0, 3)).read();
    assert_eq!(found(&reading), ["fix heading-missing Runs!D2"]);
    // What stands below or above the rows is beside none of them.
    let reading = job().sheet("Runs", "|||by Jo\nRun|From|Length ft|\nA|SUPPLY|20|\n|||checked").read();
    assert_eq!(found(&reading), [""; 0]);
}

#[test]
fn columns_of_the_users_own_are_told_once_and_left_alone() {
    let rows = "Run|From|Length ft|Photo|Tape|2026|Sketch\nA|SUPPLY|20|P1|red|x|\nB|A|5|P2||y|";
    let reading = job().sheet("Runs", rows).read();
    assert_eq!(found(&reading), ["note own-columns Runs!D1"]);
    let words = words(&reading);
    assert!(words.contains("Photo, Tape, 2026") && !words.contains("Sketch"), "{words}");
}

#[test]
fn a_missing_column_stops_and_names_the_nearest_heading() {
    let reading = job().sheet("Runs", "Run|From|Lenght of pipe\nA|SUPPLY|20").read();
    assert_eq!(found(&reading), ["stop missing-column Runs!A1"]);
    let reading = job().sheet("Runs", "Run|Frm|Length ft\nA|SUPPLY|20").read();
    assert_eq!(found(&reading), ["stop missing-column Runs!A1"]);
    assert!(words(&reading).contains("Perhaps \"Frm\" is"), "{}", words(&reading));
    // The run is there all the same, so that what hangs on it is not called unknown.
    assert_eq!(&*reading.job.runs[0].name.value, "A");
}

#[test]
fn a_column_in_another_unit_is_refused_and_not_called_missing() {
    let reading = job().sheet("Runs", "Run|From|Length (m)\nA|SUPPLY|20").read();
    assert_eq!(found(&reading), ["stop wrong-unit Runs!C1"]);
    assert_eq!(reading.job.runs[0].length_ft.value, None);
}

#[test]
fn of_two_like_headings_the_first_is_read() {
    let reading = job().sheet("Runs", "Run|From|Length ft|Length ft|Feet\nA|SUPPLY|20|30|40").read();
    assert_eq!(found(&reading), ["fix duplicate-heading Runs!D1", "note duplicate-heading Runs!E1"]);
    assert_eq!(reading.job.runs[0].length_ft.value, Some(dec("20")));
    let reading = job().sheet("Runs", "Feet|Run|From|Length ft\n40|A|SUPPLY|20").read();
    assert_eq!(reading.job.runs[0].length_ft.value, Some(dec("20")), "its own name goes before an alias");
}

#[test]
fn a_sheet_without_headings_says_so() {
    let reading = job().sheet("Runs", "A|SUPPLY|20").read();
    assert_eq!(found(&reading), ["stop no-headings Runs!A1"]);
    let reading = job().sheet("Runs", "Run|From|Length ft").read();
    assert_eq!(found(&reading), ["stop no-rows Runs!A1"]);
}

#[test]
fn a_field_keeps_its_cell_when_it_is_blank() {
    let reading = job().sheet("Runs", "Run|From|Length ft|Size|Bends\nA|SUPPLY|20||   ").read();
    let run = &reading.job.runs[0];
    assert_eq!(run.size.cell.as_ref().unwrap().to_string(), "Runs!D2");
    assert!(run.size.is_blank() && run.bends.is_blank());
    assert_eq!(run.material.cell, None, "there is no such column");
}
