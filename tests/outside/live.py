"""A bid's inputs changed one at a time, as its reader would: LibreOffice recalculates the bid and saves it, the program
prices what was saved with the choices held, and the two must tell the same figures."""

import os
import subprocess
import tempfile

from bidfile import BidFile, Error, differ, split

SIZES = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"]
PRESSURES = ("Sizing", "Pressure at end psi")


def more(share):
    return lambda old: [round(old * share, 4)] if isinstance(old, float) and old > 0 else []


def add(amount, blank=0.0):
    return lambda old: [(old if isinstance(old, float) else blank) + amount]


def number_for_text(old):
    """A plain number where a length stood in feet and inches."""
    return [12.25] if isinstance(old, str) and old else []


def other_size(old):
    return [size for size in SIZES if size != old.replace('"', "")]


# What is changed (sheet, and heading or item of the Job sheet), how, what must move by it, and whether every book must
# have such an input.
EDITS = [
    ("Prices", "Price", more(1.1), "total", True),
    ("Prices", "Pack", more(0.5), "total", True),
    ("Runs", "Length ft", add(7.5, 4.0), "total", True),
    ("Runs", "Length ft", number_for_text, "total", False),
    ("Runs", "Size", other_size, "total", True),
    ("Runs", "Rise ft", add(2.0), "pressure", True),
    ("Runs", "Bends", add(1.0), "total", True),
    ("Fixtures", "Count", add(1.0, 1.0), "total", True),
    ("Fixtures", "Gpm", more(1.8), "pressure", False),
    ("Devices", "Loss psi", more(1.5), "pressure", True),
    ("Labor", "Hours", more(1.2), "total", True),
    ("Other costs", "Quantity", add(1.0), "total", True),
    ("Job", "Tax rate", add(0.0125), "total", True),
    ("Job", "Waste", add(0.02), "total", False),
    ("Job", "Labor rate", add(7.25), "total", True),
    ("Job", "Labor factor", more(1.15), "total", False),
    ("Job", "Contingency", add(0.015), "total", False),
    ("Job", "Supply pressure", add(-5.0), "pressure", True),
    ("Job", "Cold water temperature", add(9.5), "pressure", False),
]
# Sheets with one row a run whatever the numbers are: there the same cell must show the same figure.
STEADY = ["Sizing", "Friction", "Loads"]
NAMES = ["Bid_total", "Cash_total", "All_hours"]


class State:
    """What a document shows now."""

    def __init__(self, document, bid):
        self.named = {name: document.named(name) for name in NAMES}
        self.values = {sheet: document.values(sheet) for sheet in STEADY}
        ends = bid.column(*PRESSURES)
        self.pressures = {run: self.values[PRESSURES[0]](cell.address) for run, cell in ends.items()}

    def is_sound(self):
        return not any(isinstance(value, (Error, str)) for value in [*self.named.values(), *self.pressures.values()])

    def moved(self, what, before):
        if what == "total":
            return abs(self.named["Bid_total"] - before.named["Bid_total"]) >= 0.01
        return any(abs(psi - before.pressures[run]) > 0.001 for run, psi in self.pressures.items())


def targets(bid, sheet, heading):
    """Addresses of the cells that an edit may change: every row under the heading, or the value of a Job item."""

    def find(words):
        return next((c.address for c in bid.cells.values() if c.sheet == sheet and c.value == words), None)

    place = find(heading)
    if place is None:
        return []
    letters, row = split(place)
    if sheet == "Job":
        return [f"{split(find('Value'))[0]}{row}"]
    rows = []
    while (sheet, f"A{(row := row + 1)}") in bid.cells:
        rows.append(f"{letters}{row}")
    return rows


def put(cell, value):
    if isinstance(value, str):
        # An empty text empties the cell.
        cell.String = value
    else:
        cell.Value = value


def change(document, bid, edit):
    """Makes the first change of this kind that moves what it must: the cell, what it held, the words for it, and what
    the document shows then. None when there is none to make."""
    sheet, heading, candidates, what, _ = edit
    before = State(document, bid)
    for address in targets(bid, sheet, heading):
        kept = bid.cells.get((sheet, address))
        if kept is not None and kept.formula is not None:
            continue
        old = "" if kept is None else kept.value
        for new in candidates(old):
            cell = document.cell(sheet, address)
            put(cell, new)
            document.recalculate()
            after = State(document, bid)
            if after.is_sound() and after.moved(what, before):
                return cell, old, f"{sheet}!{address} ({heading}) {old!r} -> {new!r}", after
            put(cell, old)
    return None


def apart(state, fresh):
    """How far the priced bid is from what the changed bid showed: money and hours, pressures, and the cells of the
    steady sheets that are not alike."""
    names = {name: abs(fresh.named(name).value - value) for name, value in state.named.items()}
    ends = fresh.column(*PRESSURES)
    psi = max(abs(ends[run].value - end) for run, end in state.pressures.items())
    steady = [cell for cell in fresh.formulas() if cell.sheet in STEADY]
    here = {cell: state.values[cell.sheet](cell.address) for cell in steady}
    return names, psi, [(cell, value) for cell, value in here.items() if differ(cell.value, value, cell.number_format)]


def live(office, program, path):
    bid = BidFile(path)
    good, done, most_cents, most_psi = True, 0, 0.0, 0.0
    with office.open(path) as document, tempfile.TemporaryDirectory() as folder:
        document.recalculate()
        first = State(document, bid)
        for number, edit in enumerate(EDITS):
            made = change(document, bid, edit)
            if made is None:
                print(f"  {path}: nothing to change under {edit[0]}, {edit[1]}")
                good = good and not edit[4]
                continue
            cell, old, words, state = made
            edited, again = (os.path.join(folder, f"{number}-{name}.xlsx") for name in ["edited", "again"])
            document.save(edited)
            put(cell, old)
            run = subprocess.run([program, "price", edited, "-o", again, "--hold"], capture_output=True, text=True)
            done += 1
            if run.returncode != 0:
                print(f"  {path}: {words}: priced with exit {run.returncode}: {(run.stderr or run.stdout).strip()}")
                good = False
                continue
            names, psi, unlike = apart(state, BidFile(again))
            most_cents, most_psi = max(most_cents, *names.values()), max(most_psi, psi)
            if max(names.values()) >= 0.005 or psi > 0.001 or unlike:
                good = False
                off = ", ".join(f"{name} by {cents:.2f}" for name, cents in names.items())
                print(f"  {path}: {words}: apart: {off}; {psi:.4f} psi; {len(unlike)} other cells")
                for cell, value in unlike[:5]:
                    print(f"    {cell.place}: priced {cell.value!r}, in the changed bid {value!s}")
        document.recalculate()
        last = State(document, bid)
        if (last.named, last.pressures) != (first.named, first.pressures):
            print(f"  {path}: the inputs were not put back as they were")
            good = False
    print(f"{path}: {done} inputs changed; totals and hours apart by {most_cents:.4f} at most, pressures by {most_psi:.1e} psi")
    return good and done > 0
