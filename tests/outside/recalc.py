#!/usr/bin/env python3
"""Bids against LibreOffice.

  recalc.py same BID...            every formula's stored value against what LibreOffice makes of it
  recalc.py planted BID...         wrong stored values must be found, and they alone
  recalc.py live PROGRAM BID...    inputs changed in the bid: LibreOffice's figures against a fresh `price --hold`

Needs soffice and Debian's python3-uno; run with the system's Python. Exit: 0 all as it must be, 1 not so, 2 not run.
"""

import os
import sys
import tempfile

from bidfile import BidFile, Error, differ
from live import live
from office import Office

SHOWN = 25


def differences(office, path):
    """Formula cells whose stored value is not the recalculated one, those that are errors, and how many were compared."""
    bid = BidFile(path)
    unequal, errors, furthest = [], [], (0.0, "")
    with office.open(path) as document:
        document.recalculate()
        values = {}
        for cell in bid.formulas():
            if cell.sheet not in values:
                values[cell.sheet] = document.values(cell.sheet)
            fresh = values[cell.sheet](cell.address)
            if isinstance(fresh, Error):
                errors.append((cell, fresh))
            if differ(cell.value, fresh, cell.number_format):
                unequal.append((cell, fresh))
            elif isinstance(fresh, float) and isinstance(cell.value, float):
                off = abs(fresh - cell.value) / max(1.0, abs(fresh))
                furthest = max(furthest, (off, cell.place))
    return bid, unequal, errors, furthest


def told(path, cells, what):
    for cell, fresh in cells[:SHOWN]:
        print(f"  {path}: {cell.place}: ={cell.formula} holds {cell.value!r}, {what} {fresh!s}")
    if len(cells) > SHOWN:
        print(f"  and {len(cells) - SHOWN} more")


def same(office, path):
    bid, unequal, errors, (off, place) = differences(office, path)
    count = len(bid.formulas())
    print(f"{path}: {count} formulas, {len(unequal)} differ, {len(errors)} errors; furthest otherwise {off:.1e} at {place}")
    told(path, unequal, "recalculated")
    told(path, errors, "an error:")
    if count == 0:
        print("  no formulas at all: nothing was compared")
    return count > 0 and not unequal and not errors


def planted(office, path):
    """One cent, one part in a hundred thousand, one word: each wrong in a copy, and each found there."""
    bid = BidFile(path)
    formulas = bid.formulas()
    total = bid.named("Bid_total")
    number = next(c for c in formulas if isinstance(c.value, float) and c.value > 1 and c.sheet == "Sizing")
    text = next(c for c in formulas if isinstance(c.value, str) and c.value)
    wrong = {total: total.value + 0.01, number: number.value * 1.00001, text: f"not {text.value}".replace('"', "")}
    with tempfile.TemporaryDirectory() as folder:
        copy = os.path.join(folder, "planted.xlsx")
        bid.with_stored(copy, {(cell.sheet, cell.address): value for cell, value in wrong.items()})
        _, unequal, _, _ = differences(office, copy)
    found, expected = {cell.place for cell, _ in unequal}, {cell.place for cell in wrong}
    print(f"{path}: planted {sorted(expected)}, found {sorted(found)}")
    return found == expected and len(expected) == 3


def main(arguments):
    try:
        command, books = arguments[0], arguments[1:]
        program = books.pop(0) if command == "live" else None
        check = {"same": same, "planted": planted, "live": lambda office, path: live(office, program, path)}[command]
        assert books
    except (IndexError, KeyError, AssertionError):
        print(__doc__)
        return 2
    with Office() as office:
        # A list, not a generator: every book is told about.
        return 0 if all([check(office, path) for path in books]) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
