"""A workbook file as it stands, read with nothing but the standard library: formula cells, the values stored with them,
how they are shown, defined names; and a copy with stored values changed."""

import re
import xml.etree.ElementTree as ET
import zipfile
from dataclasses import dataclass

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
# The built-in number formats that show two decimals or a currency.
BUILT_IN = {4: "#,##0.00", 7: "$#,##0.00", 8: "$#,##0.00", 39: "#,##0.00", 40: "#,##0.00", 44: "$#,##0.00"}


@dataclass(frozen=True)
class Cell:
    sheet: str
    address: str
    formula: str | None
    # A float, a str, a bool, or an Error; None where nothing is stored.
    value: object
    number_format: str

    @property
    def place(self):
        return f"{self.sheet}!{self.address}"


@dataclass(frozen=True)
class Error:
    name: str

    def __str__(self):
        return self.name


class BidFile:
    """Every cell of a workbook that holds something, by sheet and address."""

    def __init__(self, path):
        self.path = path
        with zipfile.ZipFile(path) as parts:
            self.parts = {name: parts.read(name) for name in parts.namelist()}
        self.strings = self._strings()
        self.formats = self._formats()
        book = ET.fromstring(self.parts["xl/workbook.xml"])
        relations = ET.fromstring(self.parts["xl/_rels/workbook.xml.rels"])
        target = {relation.get("Id"): relation.get("Target") for relation in relations}
        self.names = {name.get("name"): name.text for name in book.iter(f"{MAIN}definedName")}
        self.part_of, self.cells = {}, {}
        for sheet in book.iter(f"{MAIN}sheet"):
            part = target[sheet.get(RELATION)]
            part = part.lstrip("/") if part.startswith("/") else f"xl/{part}"
            self.part_of[sheet.get("name")] = part
            self._read(sheet.get("name"), part)

    def _strings(self):
        part = self.parts.get("xl/sharedStrings.xml")
        if part is None:
            return []
        items = ET.fromstring(part).findall(f"{MAIN}si")
        return ["".join(text.text or "" for text in item.iter(f"{MAIN}t")) for item in items]

    def _formats(self):
        styles = ET.fromstring(self.parts["xl/styles.xml"])
        own = {int(f.get("numFmtId")): f.get("formatCode") for f in styles.iter(f"{MAIN}numFmt")}
        known = BUILT_IN | own
        return [known.get(int(xf.get("numFmtId", 0)), "General") for xf in styles.find(f"{MAIN}cellXfs")]

    def _read(self, sheet, part):
        for cell in ET.fromstring(self.parts[part]).iter(f"{MAIN}c"):
            formula, value = cell.find(f"{MAIN}f"), cell.find(f"{MAIN}v")
            kind = cell.get("t", "n")
            text = "" if value is None or value.text is None else value.text
            if kind == "inlineStr":
                stored = "".join(t.text or "" for t in cell.iter(f"{MAIN}t"))
            elif value is None:
                stored = None
            elif kind == "s":
                stored = self.strings[int(text)]
            elif kind == "str":
                stored = text
            elif kind == "b":
                stored = text == "1"
            elif kind == "e":
                stored = Error(text)
            else:
                stored = float(text)
            if formula is None and stored is None:
                continue
            shown = self.formats[int(cell.get("s", 0))]
            written = None if formula is None else formula.text or ""
            self.cells[sheet, cell.get("r")] = Cell(sheet, cell.get("r"), written, stored, shown)

    def formulas(self):
        return [cell for cell in self.cells.values() if cell.formula is not None]

    def named(self, name):
        """The cell that a defined name stands for."""
        sheet, _, address = self.names[name].rpartition("!")
        return self.cells[sheet.strip("'").replace("''", "'"), address.replace("$", "")]

    def column(self, sheet, heading):
        """The cells under a heading, down to the first blank one, by what stands first in their row."""
        found = [c for c in self.cells.values() if c.sheet == sheet and c.value == heading]
        if not found:
            raise LookupError(f"{self.path}: no heading {heading!r} on {sheet}")
        letters, row = split(found[0].address)
        cells = {}
        while (cell := self.cells.get((sheet, f"{letters}{(row := row + 1)}"))) is not None:
            first = self.cells.get((sheet, f"A{row}"))
            cells[str(first.value) if first else str(row)] = cell
        return cells

    def with_stored(self, path, changes):
        """A copy in which the values stored at `changes` (sheet, address) are others."""
        parts = dict(self.parts)
        for (sheet, address), value in changes.items():
            part = self.part_of[sheet]
            text = parts[part].decode()
            cell = re.compile(rf'(<c r="{address}"[^>]*>(?:<f>[^<]*</f>))<v>[^<]*</v>')
            text, count = cell.subn(lambda match: f"{match[1]}<v>{value}</v>", text)
            if count != 1:
                raise LookupError(f"{self.path}: {sheet}!{address} is not there once but {count} times")
            parts[part] = text.encode()
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
            for name, content in parts.items():
                out.writestr(name, content)


def split(address):
    """('AB', 12) for AB12."""
    letters = address.rstrip("0123456789")
    return letters, int(address[len(letters):])


def indices(address):
    """Column and row from 0."""
    letters, row = split(address)
    column = 0
    for letter in letters:
        column = column * 26 + ord(letter) - ord("A") + 1
    return column - 1, row - 1


def is_money(number_format):
    return "$" in number_format or number_format.startswith("#,##0.00")


def differ(stored, fresh, number_format):
    """True when two values of one cell are not the same: money to the cent, other numbers to a millionth of themselves,
    everything else altogether. A cell that shows nothing is an empty text."""
    stored = "" if stored is None else stored
    fresh = "" if fresh is None else fresh
    numbers = (float, int)
    if isinstance(stored, numbers) and isinstance(fresh, numbers):
        off = abs(stored - fresh)
        return not (off <= 1e-6 * max(1.0, abs(stored), abs(fresh)) and (not is_money(number_format) or off < 0.005))
    return stored != fresh
