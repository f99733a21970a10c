//! Findings as JSON, for programs that read what the commands print with `--json`.

use super::{Finding, text};
use crate::place::Place;
use serde::Serialize;

/// One finding as a JSON object.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct FindingJson {
    /// `stop`, `fix` or `note`.
    pub severity: &'static str,
    /// Stable name of the kind of finding: `unknown-name`.
    pub code: &'static str,
    /// Null where the finding belongs to no cell.
    pub sheet: Option<String>,
    /// `B14`; null like the sheet.
    pub cell: Option<String>,
    pub found: String,
    pub remedy: String,
    /// The rule behind it; null where there is none.
    pub source: Option<String>,
    /// The rows listed under what was found; left out where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub table: Vec<Vec<String>>,
    /// The lines the terminal shows, parted by line ends.
    pub text: String,
}

/// A finding of the workbook `file` (its name, for the text).
pub(crate) fn object(file: &str, finding: &Finding) -> FindingJson {
    FindingJson {
        severity: finding.severity.word(),
        code: finding.slug,
        sheet: finding.place.as_ref().map(|place| place.sheet.to_string()),
        cell: finding.place.as_ref().map(Place::cell),
        found: finding.found.clone(),
        remedy: finding.remedy.clone(),
        source: finding.source.clone(),
        table: finding.table.clone(),
        text: text::lines(file, std::slice::from_ref(finding)).trim_end().to_owned(),
    }
}

/// All of them, in their order.
pub(crate) fn objects(file: &str, findings: &[Finding]) -> Vec<FindingJson> {
    findings.iter().map(|finding| object(file, finding)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Internal, UnknownName};
    use crate::place::Place;

    #[test]
    fn an_object_says_what_the_terminal_says() {
        let what = UnknownName {
            what: "run",
            found: "M1A".into(),
            nearest: Some("M1".into()),
            remedy: "Write the name of a run, or SUPPLY.".into(),
        };
        let finding = Finding::at(&Place::new("Runs", 13, 1), what);
        let made = serde_json::to_value(object("house.xlsx", &finding)).unwrap();
        assert_eq!(
            made,
            serde_json::json!({
                "severity": "stop",
                "code": "unknown-name",
                "sheet": "Runs",
                "cell": "B14",
                "found": "Found \"M1A\"; there is no run of that name. Did you mean \"M1\"?",
                "remedy": "Write the name of a run, or SUPPLY.",
                "source": null,
                "text": "stop  unknown-name  house.xlsx  Runs!B14\n      Found \"M1A\"; there is no run of that name. \
                         Did you mean \"M1\"?\n      Write the name of a run, or SUPPLY.",
            })
        );
        let nowhere =
            Finding { source: Some("IPC 604.3".into()), ..Finding::everywhere(Internal { detail: "x".into() }) };
        let nowhere = object("house.xlsx", &nowhere);
        assert_eq!((nowhere.sheet, nowhere.cell, nowhere.source.as_deref()), (None, None, Some("IPC 604.3")));
    }
}
