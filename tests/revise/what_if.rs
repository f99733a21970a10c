//! What many changes would do: every combination is the job priced with these inputs, neither more nor less.

use super::command::{GARDEN, sheet, write};
use crate::program::Folder;
use crate::support::recalc::recalculate_in_process;
use serde_json::Value;

fn tried(document: &Value) -> &Vec<Value> {
    document["tried"].as_array().unwrap()
}

#[test]
fn a_row_is_what_pricing_the_job_so_gives() {
    let folder = Folder::empty();
    write(&folder, "garden.xlsx", &GARDEN.replace("| 3/4  | 40", "|      | 40"));
    let args = ["revise", "--json", "garden.xlsx", "--try", "main size=,1,3/4", "--try", "supply pressure=20,40,65"];
    let document = folder.json(&args);
    assert_eq!(folder.names(), ["garden-what-if.xlsx", "garden.xlsx"]);
    let rows = tried(&document);
    assert_eq!(rows.len(), 9);
    for (at, row) in rows.iter().enumerate() {
        let value = |at: usize| row["values"][at]["value"].as_str().unwrap();
        let main = if value(0) == "blank" { "" } else { value(0) };
        let (main, pressure) = (format!("main size={main}"), format!("supply pressure={}", value(1)));
        let output = format!("p{at}.xlsx");
        let changes = ["--set", &main, "--set", &pressure];
        let priced = folder.json(&[&["price", "--json", "garden.xlsx", "-o", &output][..], &changes].concat());
        assert_eq!(row["total"], priced["total"], "{row}");
        assert_eq!(row["hours"], priced["hours"]["total"]);
        assert_eq!(row["to_spare_psi"], priced["least_pressure"]["to_spare_psi"]);
        let findings = priced["findings"].as_array().unwrap();
        let trouble = findings
            .iter()
            .any(|finding| ["short-of-pressure", "too-fast", "no-price"].contains(&finding["code"].as_str().unwrap()));
        assert_eq!(row["passes"].as_bool().unwrap(), !trouble, "{row}");
    }
    // The cheapest of those that pass is the one that is marked.
    let money = |row: &Value| row["total"].as_str().unwrap().parse::<f64>().unwrap();
    let passing: Vec<&Value> = rows.iter().filter(|row| row["passes"] == true).collect();
    let least = passing.iter().map(|row| money(row)).fold(f64::INFINITY, f64::min);
    let marked: Vec<&Value> = rows.iter().filter(|row| row["cheapest"] == true).collect();
    assert_eq!(marked.len(), 1);
    assert_eq!(money(marked[0]), least);
}

#[test]
fn the_sheet_is_live_against_the_bid_it_stands_in() {
    let folder = Folder::with_books();
    let ran = folder.run(&[
        "revise",
        "house.xlsx",
        "--try",
        "supply pressure=45,55,65",
        "--try",
        "run KC2 Material=PEX,none such",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(ran.err.matches("fix  tried-in-vain").count(), 3, "{}", ran.err);
    let bytes = folder.bytes("house-what-if.xlsx");
    let differences = recalculate_in_process(&bytes);
    assert!(differences.is_empty(), "{differences:?}");
    let rows = sheet(&folder, "house-what-if.xlsx", "What if");
    let head = rows.iter().position(|row| row[0] == "supply pressure").unwrap();
    let column = |name: &str| rows[head].iter().position(|heading| heading.starts_with(name)).unwrap();
    let (total, difference) = (column("Total"), column("Difference"));
    let base: f64 = rows[head + 1][total].parse().unwrap();
    let priced: Vec<&Vec<String>> = rows[head + 2..head + 8].iter().filter(|row| !row[total].is_empty()).collect();
    assert_eq!(priced.len(), 3, "a material that does not exist cannot be priced");
    for row in &priced {
        let number = |at: usize| row[at].parse::<f64>().unwrap();
        assert!((number(total) - base - number(difference)).abs() < 0.005, "{row:?}");
    }
    let refused = rows[head + 2..head + 8].iter().filter(|row| row[total].is_empty());
    assert!(
        refused.clone().count() == 3 && refused.into_iter().all(|row| row.concat().contains("none such")),
        "{rows:?}"
    );
    // A native chart over the rows.
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(&bytes)).unwrap();
    let mut chart = String::new();
    std::io::Read::read_to_string(&mut archive.by_name("xl/charts/chart1.xml").unwrap(), &mut chart).unwrap();
    assert!(chart.contains("'What if'!") && chart.contains("c:barChart") && chart.contains("c:lineChart"));
}

#[test]
fn tries_stand_on_the_changes_that_are_made() {
    let folder = Folder::empty();
    write(
        &folder,
        "garden.xlsx",
        &GARDEN.replace("Labor rate      | 50", "Labor rate      | 50\nWaste           | 5%"),
    );
    let args = ["revise", "--json", "garden.xlsx", "--set", "waste=10%", "--try", "waste=5%,10%"];
    let document = folder.json(&args);
    assert_eq!(tried(&document)[0]["total"], document["old_total"], "5 % is what it was");
    assert_eq!(tried(&document)[1]["total"], document["new_total"], "10 % is what it is now");
    let ran = folder.run(&["revise", "garden.xlsx", "--try", "main siz=1,2", "--try", "waste=x"]);
    assert!(
        ran.code == 1 && ran.err.contains("Did you mean \"Main size\"?") && ran.err.contains("percent"),
        "{}",
        ran.err
    );
    let many = (1..60).map(|n| n.to_string()).collect::<Vec<_>>().join(",");
    let ran = folder.run(&[
        "revise",
        "garden.xlsx",
        "--try",
        &format!("supply pressure={many}"),
        "--try",
        &format!("waste={many}"),
    ]);
    assert!(ran.code == 1 && ran.err.contains("3481 combinations"), "{}", ran.err);
}
