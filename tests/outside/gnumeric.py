#!/usr/bin/env python3
"""Bids against Gnumeric.

  gnumeric.py PROGRAM BOOK...   the bid of each job workbook: every formula's stored value against what Gnumeric makes of it,
                                after wrong values planted in a copy were found, and they alone; and the job itself, saved as
                                .ods by Gnumeric, is checked and priced like the .xlsx

Needs ssconvert. Exit: 0 all as it must be, 1 not so, 2 not run.
"""

import os
import subprocess
import sys
import tempfile

from bidfile import BidFile, Error, differ

SHOWN = 25


def convert(path, out, *options):
    done = subprocess.run(["ssconvert", *options, path, out], capture_output=True, text=True)
    if done.returncode != 0 or not os.path.exists(out):
        raise SystemExit(f"gnumeric: {path} cannot be converted: {done.stderr.strip()}")


def differences(path, folder):
    """Formula cells whose stored value is not the recalculated one, and those that are errors."""
    out = os.path.join(folder, "recalculated.xlsx")
    convert(path, out, "--recalc")
    bid, fresh = BidFile(path), BidFile(out)
    unequal = []
    for cell in bid.formulas():
        found = fresh.cells.get((cell.sheet, cell.address))
        value = None if found is None else found.value
        if isinstance(value, Error) or differ(_number(cell.value), _number(value), cell.number_format):
            unequal.append((cell, value))
    os.remove(out)
    return bid, unequal


def _number(value):
    """Gnumeric saves whole numbers of formulas as such."""
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def same(path, folder):
    bid, unequal = differences(path, folder)
    count = len(bid.formulas())
    print(f"{path}: {count} formulas, {len(unequal)} differ")
    for cell, value in unequal[:SHOWN]:
        print(f"  {cell.place}: ={cell.formula} holds {cell.value!r}, recalculated {value!s}")
    if len(unequal) > SHOWN:
        print(f"  and {len(unequal) - SHOWN} more")
    return count > 0 and not unequal


def planted(path, folder):
    """A wrong number and a wrong text in a copy: both must be found there, else nothing is recalculated."""
    bid = BidFile(path)
    number = bid.named("Bid_total")
    text = next(c for c in bid.formulas() if isinstance(c.value, str) and c.value)
    wrong = {(number.sheet, number.address): number.value + 0.01, (text.sheet, text.address): "planted"}
    copy = os.path.join(folder, "planted.xlsx")
    bid.with_stored(copy, wrong)
    found = {(cell.sheet, cell.address) for cell, _ in differences(copy, folder)[1]}
    print(f"{path}: planted {sorted(wrong)}, found {sorted(found)}")
    return found == set(wrong)


def as_ods(program, book, folder):
    """The job as Gnumeric saves it in the other format: the same findings but for the file's name, the same summary."""
    name = os.path.splitext(os.path.basename(book))[0]
    ods = os.path.join(folder, f"{name}.ods")
    convert(book, ods)
    told = []
    for path in (book, ods):
        bid = os.path.join(folder, "priced.xlsx")
        run = subprocess.run([program, "price", path, "-o", bid, "--replace"], capture_output=True, text=True)
        told.append((run.returncode, (run.stderr + run.stdout).replace(path, name).replace(f"{name}.ods", f"{name}.xlsx")))
    print(f"{ods}: {'priced like' if told[0] == told[1] else 'NOT priced like'} {book}")
    if told[0] != told[1]:
        print(f"  {told[0]}\n  {told[1]}")
    return told[0] == told[1] and told[0][0] == 0


def priced(program, book, folder):
    bid = os.path.join(folder, os.path.splitext(os.path.basename(book))[0] + "-bid.xlsx")
    subprocess.run([program, "price", book, "-o", bid, "--replace"], check=True, capture_output=True)
    return bid


def main(arguments):
    if len(arguments) < 2:
        print(__doc__)
        return 2
    program, *books = arguments
    with tempfile.TemporaryDirectory() as folder:
        # Lists, not generators: everything is told about.
        good = [check(priced(program, book, folder), folder) for book in books for check in (planted, same)]
        return 0 if all([*good, *[as_ods(program, book, folder) for book in books]]) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
