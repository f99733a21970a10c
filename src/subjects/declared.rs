//! All that is declared, each kind in one list: what is about the whole job, and what the subjects declare. The stages go by
//! these lists; what the ground floor needs of them is handed to it.

use super::{MORE_ROWS, OWN_CHOICES, OWN_FINDINGS, OWN_PAGES, OWN_PARTS, OWN_SETTINGS, OWN_SHEETS, OWN_TABLES};
use crate::choice::{self, Choice};
use crate::finding::{Declaration, Finding};
use crate::input::{self, DEVICE_KINDS, Price, Sheet};
use crate::model::{RuleSheet, SETTINGS, Setting, fold};
use crate::rules::{self, Limit, PartKind, Row, RuleFile, Rules, Spec};
use crate::sheets::{self, Page};
use std::collections::HashMap;
use std::sync::OnceLock;

/// Every sheet of a job workbook, in the order the blank one has them: those of the subjects stand before what is money.
pub fn sheets() -> impl Iterator<Item = &'static Sheet> + Clone {
    let money = input::SHEETS.iter().position(|sheet| sheet.name == Price::SHEET.name);
    let (job, money) = input::SHEETS.split_at(money.unwrap_or(input::SHEETS.len()));
    job.iter().chain(OWN_SHEETS.iter().copied().flatten()).chain(money)
}

/// The pages of a bid, in the order they stand.
pub fn pages() -> &'static [Page] {
    static ALL: OnceLock<Vec<Page>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut pages = sheets::PAGES.to_vec();
        pages.extend(OWN_PAGES.iter().copied().flatten());
        pages.sort_by_key(|page| page.part);
        pages
    })
}

/// Every kind of choice.
pub fn choices() -> impl Iterator<Item = Choice> {
    OWN_CHOICES.iter().copied().flatten().chain(choice::CHOICES).copied()
}

/// The rule tables: those of the subjects stand behind the names, with which they are read, and the pipe.
pub fn tables() -> impl Iterator<Item = &'static Spec> {
    let limits = rules::TABLES.iter().position(|spec| spec.name == Limit::SPEC.name);
    let (pipe, job) = rules::TABLES.split_at(limits.unwrap_or(rules::TABLES.len()));
    pipe.iter().chain(OWN_TABLES.iter().copied().flatten()).chain(job).copied()
}

/// The user's sheets that go before a rule table.
pub(crate) fn rule_sheets() -> impl Iterator<Item = &'static str> {
    tables().filter_map(|spec| spec.sheet)
}

/// The one of [`rule_sheets`] that is meant by a name, whatever its case and spacing.
pub(crate) fn rule_sheet_named(name: &str) -> Option<&'static str> {
    rule_sheets().find(|sheet| fold(sheet) == fold(name))
}

/// What a column may be called in the user's sheet of rules of this name; nothing where no table has it.
pub(crate) fn names_of_column(sheet: &str, column: &str) -> Vec<&'static str> {
    let spec = tables().find(|spec| spec.sheet.is_some_and(|name| fold(name) == fold(sheet)));
    let found = spec.and_then(|spec| spec.columns.iter().find(|found| found.name == column));
    found.map(|found| found.names().collect()).unwrap_or_default()
}

/// The kinds of findings that the subjects make.
pub(crate) fn findings() -> impl Iterator<Item = &'static Declaration> {
    OWN_FINDINGS.iter().copied().flatten().copied().flatten()
}

/// The kinds of parts that can be counted; those of assemblies aside.
pub fn parts() -> impl Iterator<Item = PartKind> {
    rules::PARTS.iter().chain(OWN_PARTS.iter().copied().flatten()).copied()
}

/// Their names, and those of devices.
pub(crate) fn part_kinds() -> impl Iterator<Item = &'static str> {
    parts().map(|kind| kind.name).chain(DEVICE_KINDS.iter().copied())
}

/// The settings of the Job sheet, those of the subjects last.
pub fn settings() -> impl Iterator<Item = Setting> + Clone {
    SETTINGS.iter().chain(OWN_SETTINGS.iter().copied().flatten()).copied()
}

impl Setting {
    /// The setting of this name or alias, whatever its case and spacing.
    pub fn find(name: &str) -> Option<Self> {
        static NAMES: OnceLock<HashMap<String, Setting>> = OnceLock::new();
        let names = NAMES.get_or_init(|| {
            let all = settings().flat_map(|s| s.spec().names().map(move |name| (fold(name), s)));
            all.collect()
        });
        names.get(&fold(name)).copied()
    }
}

impl Sheet {
    /// The sheet that is declared under this name.
    pub fn from_name(name: &str) -> Option<&'static Self> {
        sheets().find(|sheet| sheet.name == name)
    }

    /// The sheet one of whose rows is called this.
    pub fn of_noun(noun: &str) -> Option<&'static Self> {
        sheets().find(|sheet| fold(sheet.noun) == fold(noun))
    }
}

impl Page {
    /// The page of this name, whatever its capitals.
    pub fn from_name(name: &str) -> Option<Self> {
        pages().iter().copied().find(|page| page.name().eq_ignore_ascii_case(name))
    }
}

impl Rules {
    /// The program's own tables, with nothing changed.
    pub fn embedded() -> &'static Self {
        &Self::plain().0
    }

    /// The program's tables with the user's rows over them; see [`Rules::read`].
    pub fn load(sheets: &[RuleSheet], files: &[RuleFile]) -> (Self, Vec<Finding>) {
        let (plain, faults) = Self::plain();
        let (rules, findings) = Self::over(Some(plain), sheets, files);
        (rules, faults.iter().cloned().chain(findings).collect())
    }

    /// The program's own tables and their faults; a test holds that there are none.
    fn plain() -> &'static (Self, Vec<Finding>) {
        static PLAIN: OnceLock<(Rules, Vec<Finding>)> = OnceLock::new();
        PLAIN.get_or_init(|| Self::over(None, &[], &[]))
    }

    fn over(plain: Option<&Self>, sheets: &[RuleSheet], files: &[RuleFile]) -> (Self, Vec<Finding>) {
        let more: Vec<_> = MORE_ROWS.iter().copied().flatten().copied().collect();
        Self::read(plain, (&tables().collect::<Vec<_>>(), &more), parts().collect(), sheets, files)
    }
}

#[cfg(test)]
mod tests {
    use super::{pages, rule_sheets, sheets};
    use std::collections::{BTreeMap, BTreeSet};

    #[test]
    fn no_two_sheets_go_by_one_name() {
        let pages = pages().iter().map(|page| (page.name(), "a page"));
        let inputs = sheets().flat_map(|sheet| sheet.spellings().map(|name| (name, "an input sheet")));
        // One sheet of the user's may go before several tables.
        let rules = rule_sheets().collect::<BTreeSet<_>>().into_iter().map(|name| (name, "a sheet of rules"));
        let mut taken = BTreeMap::new();
        for (name, what) in pages.chain(inputs).chain(rules) {
            let other = taken.insert(name.to_lowercase(), what);
            assert_eq!(other, None, "{name} is also the name of {what}: a bid has both");
        }
    }
}
