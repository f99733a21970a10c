//! The paper of a revision: its number, its history, its file. Two revisions never take each other's place.

use super::edits::Edit;
use crate::commands::Trouble;
use crate::commands::findings::{EditBadValue, OldTotalMoved, SameDate};
use crate::commands::set::{self, Assignment};
use crate::finding::Finding;
use crate::model::{Job, Raw, Revision, Setting, SettingValue, date_text, next_revision, same_revision};
use crate::read::{self, Reading};
use crate::revise::{Summary, history, same_job};
use rust_decimal::Decimal;
use std::path::{Path, PathBuf};

/// Numbers the new bid and gives it the history of the old one, `was`; gives what there is to say of its date.
pub(crate) fn begin(
    new: &mut Reading,
    old: &Job,
    was: &Summary,
    changes: &[Edit],
) -> Result<Option<Finding>, Box<Finding>> {
    let typed =
        |setting: Setting| changes.iter().any(|edit| matches!(edit, Edit::Setting(of) if of.setting == setting));
    number(new, old, !changes.is_empty(), typed(Setting::Revision))?;
    // The reason and the days of an earlier revision are not this one's.
    for setting in [Setting::ChangeReason, Setting::ChangeDays] {
        let given = new.job.settings.get(&setting).is_some_and(|field| !field.is_blank());
        let inherited = new.job.text(setting) == old.text(setting);
        if given && inherited && !typed(setting) {
            put(new, setting, None);
        }
    }
    new.job.history = history(old, was);
    Ok(dated(&new.job, old))
}

/// Its own number stays when it has one that the old bid has not and nothing was changed on the command line.
fn number(new: &mut Reading, old: &Job, edited: bool, typed: bool) -> Result<(), Box<Finding>> {
    let own = new.job.text(Setting::Revision);
    let known: Vec<String> = old
        .history
        .iter()
        .chain(&new.job.history)
        .map(|revision| revision.number.to_string())
        .chain([old.text(Setting::Revision).to_string(), own.to_string()])
        .collect();
    if typed {
        let taken = same_revision(&own, &old.text(Setting::Revision))
            || old.history.iter().any(|revision| same_revision(&revision.number, &own));
        let place = new.job.settings.get(&Setting::Revision).and_then(|field| field.cell.clone());
        return match taken {
            true => Err(Box::new(Finding::near(
                place.as_ref(),
                EditBadValue {
                    name: Setting::Revision.name().to_owned(),
                    typed: own.to_string(),
                    expected: "a number that no revision of this bid has yet".to_owned(),
                },
            ))),
            false => Ok(()),
        };
    }
    if !edited && !same_revision(&own, &old.text(Setting::Revision)) {
        return Ok(());
    }
    let is_known = |number: &str| known.iter().any(|known| same_revision(known, number));
    let next = std::iter::successors(Some(next_revision(&own)), |number| Some(next_revision(number)));
    if let Some(number) = next.into_iter().find(|number| !is_known(number)) {
        put(new, Setting::Revision, Some(SettingValue::Text(number.into())));
    }
    Ok(())
}

fn put(reading: &mut Reading, setting: Setting, value: Option<SettingValue>) {
    let Reading { job, findings, book } = reading;
    set::apply(&Assignment { setting, value }, job, book, findings);
}

/// What the old bid and its revisions tell, for the new one to carry along.
fn history(old: &Job, summary: &Summary) -> Vec<Revision> {
    let (others, own) = history::earlier(old);
    let mut history: Vec<Revision> = others.into_iter().cloned().collect();
    history.push(Revision {
        number: old.text(Setting::Revision),
        date: old.number(Setting::Date),
        total: Some(summary.total),
        changes: own.map_or_else(|| "First priced.".into(), |own| own.changes.clone()),
        reason: own.map(|own| own.reason.clone()).unwrap_or_default(),
    });
    history
}

/// A note when the new bid bears the old one's date.
fn dated(new: &Job, old: &Job) -> Option<Finding> {
    let date = new.number(Setting::Date)?;
    let field = new.settings.get(&Setting::Date)?;
    let same = old.number(Setting::Date) == Some(date) && field.raw != Raw::Blank;
    same.then(|| Finding::near(field.cell.as_ref(), SameDate { date: date_text(date) }))
}

/// The total that the old bid's paper shows, when the bid comes to another one now.
pub(crate) fn shown(old: &Job, summary: &Summary) -> Option<Decimal> {
    let shown = old.history.last().filter(|last| same_revision(&last.number, &old.text(Setting::Revision)))?.total?;
    Some(shown.round_dp(2)).filter(|shown| old.is_bid && *shown != summary.total)
}

/// The finding on it.
pub(crate) fn moved(shown: Decimal, summary: &Summary) -> Finding {
    let money = |amount| format!("${amount:.2}");
    Finding::everywhere(OldTotalMoved { shown: money(shown), priced: money(summary.total) })
}

/// `<name>-bid-r<N>.xlsx` beside the old workbook, whatever revision that is itself.
pub fn output(old: &Path, number: &str) -> PathBuf {
    with_ending(old, &format!("bid-r{}", plain(number)))
}

/// `<name>-what-if.xlsx` beside the workbook.
pub(crate) fn what_if_output(book: &Path) -> PathBuf {
    with_ending(book, "what-if")
}

fn with_ending(book: &Path, end: &str) -> PathBuf {
    let stem = book.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let bare = match stem.rfind("-bid") {
        Some(at) if at > 0 && matches!(stem.get(at + 4..), Some(rest) if rest.is_empty() || rest.starts_with("-r")) => {
            stem.get(..at).unwrap_or(&stem)
        }
        _ => &stem,
    };
    book.with_file_name(format!("{bare}-{end}.xlsx"))
}

/// A number as a file name can hold it.
fn plain(number: &str) -> String {
    let number = if number.trim().is_empty() { "0" } else { number.trim() };
    number.chars().map(|c| if c.is_ascii_alphanumeric() || c == '.' { c } else { '-' }).collect()
}

/// Refuses to write over another revision of the same bid, or over a job workbook: for when replacing was asked for.
///
/// # Errors
/// The trouble that names the file which would be lost.
pub fn keep_apart(output: &Path, job: &Job) -> Result<(), Trouble> {
    if !output.is_file() {
        return Ok(());
    }
    let there = read::inputs(output);
    if there.findings.iter().any(read::is_file_trouble) {
        return Ok(());
    }
    if !there.job.is_bid {
        let words = "is a job workbook, not a bid. Give the bid another name with -o.";
        return Err(Trouble::system(format!("{} {words}", output.display())));
    }
    let (theirs, ours) = (there.job.text(Setting::Revision), job.text(Setting::Revision));
    if same_revision(&theirs, &ours) || same_job::different(&there.job, job).is_some() {
        return Ok(());
    }
    let shown = |number: &str| if number.trim().is_empty() { "0".to_owned() } else { number.trim().to_owned() };
    Err(Trouble::system(format!(
        "{} is revision {} of this bid, and the new one is revision {}: neither takes the other's place. Give another \
         name with -o.",
        output.display(),
        shown(&theirs),
        shown(&ours)
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_revision_has_a_name_of_its_own() {
        let name = |book: &str, number: &str| output(Path::new(book), number).display().to_string();
        assert_eq!(name("jobs/house.ods", "1"), "jobs/house-bid-r1.xlsx");
        assert_eq!(name("house-bid.xlsx", "1"), "house-bid-r1.xlsx");
        assert_eq!(name("house-bid-r1.xlsx", "2"), "house-bid-r2.xlsx");
        assert_eq!(name("house-bid-r1.xlsx", "B/2"), "house-bid-rB-2.xlsx");
        assert_eq!(name("my-bidding.xlsx", "1"), "my-bidding-bid-r1.xlsx");
        assert_eq!(what_if_output(Path::new("house-bid.xlsx")), Path::new("house-what-if.xlsx"));
    }
}
