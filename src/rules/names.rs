//! The names of fixtures and materials, with the everyday names that mean the same.

use super::item::{BY, matches_kind};
use crate::finding::{nearest, nearly};
use crate::model::fold;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Names learned from the tables of fixtures and materials and of their everyday names.
#[derive(Debug, Clone, Default)]
pub struct Names {
    fixtures: Vec<Arc<str>>,
    fixture_by_name: BTreeMap<String, Arc<str>>,
    materials: Vec<Arc<str>>,
    material_by_name: BTreeMap<String, Arc<str>>,
    part_names: BTreeMap<Arc<str>, Vec<Arc<str>>>,
    end_by_name: BTreeMap<String, Arc<str>>,
}

impl Names {
    /// Takes the names of one of the tables of names; any other table teaches nothing. Gives whether it taught any.
    pub(super) fn learn<'a>(&mut self, table: &str, rows: impl Iterator<Item = &'a [Arc<str>]>) -> bool {
        let mut taught = false;
        for row in rows {
            let (Some(first), second) = (row.first(), row.get(1)) else { continue };
            match (table, second) {
                ("fixtures", _) => {
                    self.fixtures.push(first.clone());
                    self.fixture_by_name.insert(fold(first), first.clone());
                }
                ("materials", _) => {
                    self.materials.push(first.clone());
                    self.material_by_name.insert(fold(first), first.clone());
                }
                ("fixture_aliases", Some(fixture)) => {
                    self.fixture_by_name.entry(fold(first)).or_insert_with(|| fixture.clone());
                }
                ("material_aliases", Some(material)) => {
                    self.material_by_name.entry(fold(first)).or_insert_with(|| material.clone());
                }
                ("part_names", Some(part)) => self.part_names.entry(part.clone()).or_default().push(first.clone()),
                ("end_names", Some(end)) => _ = self.end_by_name.insert(fold(first), end.clone()),
                _ => continue,
            }
            taught = true;
        }
        taught
    }

    /// The everyday names of a part.
    pub fn names_of_part(&self, part: &str) -> &[Arc<str>] {
        self.part_names.get(part).map_or(&[], Vec::as_slice)
    }

    /// The part that an everyday name means; as it is written where it means none.
    pub fn part<'a>(&'a self, written: &'a str) -> &'a str {
        let called = |names: &Vec<Arc<str>>| names.iter().any(|name| matches_kind(name, written));
        self.part_names.iter().find(|(_, names)| called(names)).map_or(written, |(part, _)| part)
    }

    /// The tables' name of an end, from an everyday name; as it is written where it is none.
    pub fn end<'a>(&'a self, written: &'a str) -> &'a str {
        self.end_by_name.get(&fold(written)).map_or(written.trim(), |end| end)
    }

    /// The same of several with an x between.
    pub fn ends(&self, written: &str) -> String {
        written.replace(" X ", BY).split(BY).map(|end| self.end(end)).collect::<Vec<_>>().join(BY)
    }

    /// The code tables' name of a fixture, from that or an everyday name, whatever its case and spacing.
    pub fn fixture(&self, name: &str) -> Option<&Arc<str>> {
        self.fixture_by_name.get(&fold(name))
    }

    /// The tables' name of a pipe material, from that or an everyday name, whatever its case and spacing.
    pub fn material(&self, name: &str) -> Option<&Arc<str>> {
        self.material_by_name.get(&fold(name))
    }

    /// The fixture that a mistyped name is nearest to, by its own or an everyday name.
    pub fn nearest_fixture(&self, found: &str) -> Option<&str> {
        near(found, &self.fixtures, &self.fixture_by_name)
    }

    /// The material that a mistyped name is nearest to, by its own or an everyday name.
    pub fn nearest_material(&self, found: &str) -> Option<&str> {
        near(found, &self.materials, &self.material_by_name)
    }

    /// Fixture names, in the order of their table.
    pub fn fixtures(&self) -> &[Arc<str>] {
        &self.fixtures
    }

    /// Material names, in the order of their table.
    pub fn materials(&self) -> &[Arc<str>] {
        &self.materials
    }

    pub(super) fn expected_fixture(&self, found: &str) -> String {
        expected("a fixture", self.nearest_fixture(found), &self.fixtures)
    }

    pub(super) fn expected_material(&self, found: &str) -> String {
        expected("a pipe material", self.nearest_material(found), &self.materials)
    }
}

/// The proper name nearest to what is found; everyday names are near where they are slips of a letter or two, for many are
/// short. One that is written as it is heard is that name: `pecs`.
fn near<'a>(found: &str, names: &'a [Arc<str>], by_name: &'a BTreeMap<String, Arc<str>>) -> Option<&'a str> {
    let heard = ["cks", "cs", "ks"].iter().find_map(|sound| by_name.get(&fold(found).replace(sound, "x")));
    if let Some(name) = heard {
        return Some(name);
    }
    let everyday = || nearly(found, by_name.keys().map(String::as_str)).and_then(|name| by_name.get(name));
    everyday().map(|name| &**name).or_else(|| nearest(found, names.iter().map(|name| &**name)))
}

fn expected(what: &str, near: Option<&str>, names: &[Arc<str>]) -> String {
    match near {
        Some(name) => format!("{what}, perhaps \"{name}\""),
        None => format!("{what}: {}", names.join(", ")),
    }
}
