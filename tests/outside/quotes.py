#!/usr/bin/env python3
"""Supplier orders filled in by LibreOffice, saved as .xlsx and as .ods, and read back.

  quotes.py PROGRAM BOOK...   every order of each book gets prices typed into its open cells and is saved as the format of
                              its turn; the quotes must hold those prices to the cent, their workbook must recalculate to
                              what it holds, and the job with these prices must order at them and bid another total

Needs soffice and Debian's python3-uno; run with the system's Python. Exit: 0 all as it must be, 1 not so, 2 not run.
"""

import json
import os
import subprocess
import sys
import tempfile
from decimal import ROUND_HALF_UP, Decimal

from office import Office, _properties, _url
from orders import used

FORMATS = [(".xlsx", "Calc MS Excel 2007 XML"), (".ods", "calc8")]


def fail(problems, words):
    problems.append(words)
    print("  " + words)


def run(program, *arguments):
    done = subprocess.run([program, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if done.returncode != 0:
        raise SystemExit(f"{arguments}: exit {done.returncode}\n{done.stderr}")
    return done.stdout


def fill(office, path, saved, filter_name, charge):
    """Types a price into every line; gives key -> (quantity, price)."""
    typed = {}
    with office.open(path) as document:
        sheet = document.document.Sheets.getByName("Order")
        cell = sheet.getCellByPosition
        rows, columns = used(sheet)
        headings = next(r for r in range(rows) if cell(columns - 1, r).String == "Line")
        at = {cell(c, headings).String: c for c in range(columns)}
        for row in range(headings):
            if cell(1, row).String == "Delivery or trip charge":
                cell(2, row).Value = charge
            if cell(1, row).String == "Quote date":
                cell(2, row).Formula = "2026-05-04"
        for row in range(headings + 1, rows):
            key = cell(at["Line"], row).String
            if key:
                price = Decimal("1.07") + Decimal("0.53") * len(typed)
                cell(at["Price of one Unit"], row).Value = float(price)
                typed[key] = (Decimal(str(cell(at["Quantity"], row).Value)), price)
        document.document.storeToURL(_url(saved), _properties(FilterName=filter_name))
    return typed


def cents(amount):
    return amount.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


def recalculated(office, path, chosen, problems):
    with office.open(path) as document:
        document.recalculate()
        sheet = document.document.Sheets.getByName("Quotes")
        rows, _ = used(sheet)
        row = next(r for r in range(rows) if sheet.getCellByPosition(0, r).String == "As chosen, together")
        value = Decimal(str(round(sheet.getCellByPosition(1, row).Value, 2)))
        if value != chosen:
            fail(problems, f"{path}: LibreOffice makes {value} of what is chosen, the document says {chosen}")


def main(arguments):
    if len(arguments) < 2:
        print(__doc__)
        return 2
    program, books = arguments[0], [os.path.abspath(book) for book in arguments[1:]]
    problems = []
    with tempfile.TemporaryDirectory() as folder, Office() as office:
        for book in books:
            own = os.path.join(folder, os.path.splitext(os.path.basename(book))[0])
            run(program, "order", book, "-o", own)
            orders = sorted(name for name in os.listdir(own) if name.endswith(".xlsx"))
            for turn, (ending, _) in enumerate(FORMATS):
                filled, total = [], Decimal(0)
                for at, name in enumerate(orders):
                    kind, filter_name = FORMATS[(at + turn) % len(FORMATS)]
                    saved = os.path.join(own, f"filled-{turn}-{at}{kind}")
                    typed = fill(office, os.path.join(own, name), saved, filter_name, 20 + at)
                    filled.append((saved, typed))
                    total += 20 + at + sum(cents(quantity * price) for quantity, price in typed.values())
                out = os.path.join(own, f"quotes-{turn}.xlsx")
                told = json.loads(run(program, "quotes", book, *[saved for saved, _ in filled], "-o", out, "--json"))
                expected = {}
                for _, typed in filled:
                    for key, (_, price) in typed.items():
                        expected.setdefault(key, set()).add(price)
                lines = {line["line"]: line for line in told["lines"]}
                if set(lines) != set(expected):
                    fail(problems, f"{own}: lines differ: {sorted(set(lines) ^ set(expected))}")
                for key, line in lines.items():
                    read = {Decimal(price["price"]) for price in line["prices"] if price["price"]}
                    if read != expected.get(key):
                        fail(problems, f"{own}: {key} is read as {read}, typed {expected.get(key)}")
                chosen = Decimal(told["ways"]["chosen"])
                if all(len(prices) == 1 for prices in expected.values()) and chosen != total:
                    fail(problems, f"{own}: chosen comes to {chosen}, typed {total}")
                if any(supplier["dated"] != "2026-05-04" for supplier in told["suppliers"]):
                    fail(problems, f"{own}: the date is {told['suppliers']}")
                recalculated(office, out, chosen, problems)
                bids = [run(program, "price", job, "-o", os.path.join(own, f"bid-{turn}-{n}.xlsx")).splitlines()[1]
                        for n, job in enumerate([book, out[:-5] + "-job.xlsx"])]
                if bids[0] == bids[1]:
                    fail(problems, f"{own}: the bid is the same at the quoted prices: {bids}")
                print(f"{os.path.basename(own)}: {len(filled)} orders filled in, {len(lines)} lines;{bids[0][8:]} ->{bids[1][8:]}")
    print(f"{len(problems)} problems")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
