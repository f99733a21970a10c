"""Where the rows and headings of a bid's input sheets stand, and which cells of its own sheets hold plain numbers."""

import re

from bidfile import indices, split

# The input sheets whose cells an edit may change, each with the heading that names its rows.
NAMED_BY = {
    "Job": "Item",
    "Fixtures": "Tag",
    "Runs": "Run",
    "Devices": "Device",
    "Prices": "Kind",
    "Suppliers": "Supplier",
    "Labor": "Task",
    "Other costs": "Item",
    "On hand": "Kind",
    "Terms": "Kind",
}
HEADINGS_WITHIN = 10


def letters(column):
    """'AB' for 27."""
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


class Sheet:
    """One input sheet: its headings by name, and the rows below them that hold anything."""

    def __init__(self, name, cells):
        self.name = name
        self.cells = cells
        heading = NAMED_BY[name]
        self.heading_row = next(
            split(a)[1] for a, c in cells.items() if c.value == heading and split(a)[1] <= HEADINGS_WITHIN
        )
        self.column_of = {
            c.value: split(a)[0]
            for a, c in cells.items()
            if split(a)[1] == self.heading_row and isinstance(c.value, str)
        }
        self.rows = sorted({split(a)[1] for a in cells if split(a)[1] > self.heading_row})
        self.free_column = letters(max(indices(a)[0] for a in cells) + 1)

    def address(self, heading, row):
        return f"{self.column_of[heading]}{row}"

    def value(self, heading, row):
        """What stands under a heading; None for a blank cell."""
        if heading not in self.column_of:
            return None
        cell = self.cells.get(self.address(heading, row))
        return None if cell is None or cell.value == "" else cell.value

    def has_formula(self, heading, row):
        cell = self.cells.get(self.address(heading, row))
        return cell is not None and cell.formula is not None


class Layout:
    def __init__(self, bid):
        self.bid = bid
        by_sheet = {}
        for (sheet, address), cell in sorted(bid.cells.items(), key=lambda item: (item[0][0], indices(item[0][1])[::-1])):
            by_sheet.setdefault(sheet, {})[address] = cell
        self.sheets = {name: Sheet(name, by_sheet[name]) for name in NAMED_BY if name in by_sheet}
        self.own = {name: cells for name, cells in by_sheet.items() if name not in NAMED_BY}
        self.names = list(bid.part_of)
        pointed = re.compile(r"Rules!\$?([A-Z]+)\$?(\d+)(?![\d:])")
        self.rules_in_use = {"".join(found) for cell in bid.formulas() for found in pointed.findall(cell.formula)}

    def choices(self):
        """The cells of decisions: under headings that begin with Chosen, and what the checks were priced on is none."""
        found = []
        for sheet, cells in self.own.items():
            for address, cell in cells.items():
                if isinstance(cell.value, str) and cell.value.startswith("Chosen "):
                    column, row = split(address)
                    while (below := cells.get(f"{column}{(row := row + 1)}")) is not None:
                        if below.formula is None:
                            found.append((sheet, cell.value, below.address, below.value))
        return found

    def plain_numbers(self, sheet):
        """Numbers of one of the bid's own sheets that are no formulas."""
        cells = self.own.get(sheet, {})
        return [c for c in cells.values() if c.formula is None and isinstance(c.value, float)]

    def under(self, sheet, heading):
        """All cells of an own sheet below a heading, formulas too, down to the first blank one."""
        cells = self.own.get(sheet, {})
        place = next((a for a, c in cells.items() if c.value == heading), None)
        found = []
        if place is not None:
            column, row = split(place)
            last = max(split(a)[1] for a in cells)
            found = [f"{column}{r}" for r in range(row + 1, last + 1) if f"A{r}" in cells]
        return found
