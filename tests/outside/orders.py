#!/usr/bin/env python3
"""Supplier orders opened in LibreOffice.

  orders.py PROGRAM BOOK...   orders of each book, and of a job full of hostile words: words arrive as words, in the
                              workbook and in the CSV; only the supplier's cells are open; sums follow what is typed

Needs soffice and Debian's python3-uno; run with the system's Python. Exit: 0 all as it must be, 1 not so, 2 not run.
"""

import os
import subprocess
import sys
import tempfile

from office import Office, _properties, _url

FILLED = ["Price of one Unit", "Available", "Substitute part no.", "Remark"]
HEAD_FILLED = ["Quoted by", "Quote date", "Quote valid until", "Delivery or trip charge"]
HOSTILE = ["=1+1", "=cmd|' /C calc'!A1", "+1-555-0100", "-2+3", "@SUM(1+1)", "\uff1d1+1", "\uff0b1", "\uff20SUM(1)",
           "{=1+1}", "'=1+1", "\u05d0\u05d1 3/4", "QM\u202e43\u202c", "=HYPERLINK(\"http://example.invalid\",\"x\")"]


def hostile_job():
    rows = "".join(
        f"coupling | PEX | 1/2 | each | | {2 + at} | {text_cell('S ' + text)} | {text_cell(text)} | {text_cell(text)}\n"
        for at, text in enumerate(HOSTILE)
    )
    parts = "".join(
        f"{kind} | | | each | | 3 | {text_cell(text)} | {text_cell(text)} | {text_cell(text)}\n"
        for kind, text in zip(["stop valve", "supply line", "test cap", "stub-out", "tub and shower valve", "shower trim",
                               "drop-ear", "washer box", "vacuum breaker", "frostproof hose bibb", "nail plate"], HOSTILE)
    )
    return f"""[Job]
Item | Value
Supply pressure | 60
Order number | {text_cell(HOSTILE[0])}
Deliver to | {text_cell(HOSTILE[1])}
Deliver contact | {text_cell(HOSTILE[2])}

[Fixtures]
Tag | Fixture | Cold run | Hot run
L1 | lavatory | A |
S1 | shower | B |
W1 | clothes washer | A |
H1 | hose bibb | B |

[Runs]
Run | From | Size | Length ft
A | SUPPLY | 1/2 | 12
B | A | 1/2 | 30

[Prices]
Kind | Material | Size | Unit | Pack | Price | Supplier | Part no. | Description
pipe | PEX | 1/2 | stick | 20 | 9 | Harl | {text_cell(HOSTILE[3])} | {text_cell(HOSTILE[4])}
{parts}{rows}"""


def text_cell(text):
    for sign in "\\|#[":
        text = text.replace(sign, "\\" + sign)
    return "'" + text


def fail(problems, words):
    problems.append(words)
    print("  " + words)


def used(sheet):
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.getRangeAddress()
    return end.EndRow + 1, end.EndColumn + 1


def workbook(office, path, problems):
    with office.open(path) as document:
        sheet = document.document.Sheets.getByName("Order")
        rows, columns = used(sheet)
        cell = sheet.getCellByPosition
        headings_row = next(r for r in range(rows) if cell(columns - 1, r).String == "Line")
        at = {cell(c, headings_row).String: c for c in range(columns)}
        end = next(r for r in range(headings_row, rows) if cell(at["Item"], r).String == "All lines")
        lines = [r for r in range(headings_row + 1, end) if cell(at["Line"], r).String]
        if not sheet.isProtected():
            fail(problems, f"{path}: the sheet is not protected")
        theirs = {(at[name], row) for name in FILLED for row in lines}
        for row in range(headings_row):
            if cell(1, row).String in HEAD_FILLED:
                theirs.add((2, row))
        if len(theirs) != 4 * len(lines) + len(HEAD_FILLED):
            fail(problems, f"{path}: {len(theirs)} cells to fill for {len(lines)} lines")
        formulas = 0
        for row in range(rows):
            for column in range(columns):
                one = cell(column, row)
                if one.CellProtection.IsLocked == ((column, row) in theirs):
                    fail(problems, f"{path}: row {row + 1} column {column + 1} is locked wrongly")
                if one.Type.value == "FORMULA":
                    formulas += 1
                    if column not in (at["Sum"], at["Extension"]):
                        fail(problems, f"{path}: a formula in row {row + 1} column {column + 1}: {one.Formula}")
        priced = sum(cell(at["Quoted price"], row).Type.value == "VALUE" for row in lines)
        if formulas != len(lines) + 3 + priced + (1 if priced else 0):
            fail(problems, f"{path}: {formulas} formulas for {len(lines)} lines")
        expected = 0.0
        for number, row in enumerate(lines):
            price = round(1.07 + 0.53 * number, 2)
            cell(at["Price of one Unit"], row).Value = price
            expected += round(cell(at["Quantity"], row).Value * price, 2)
        document.recalculate()
        total = cell(at["Sum"], end).Value
        if abs(total - expected) > 0.005:
            fail(problems, f"{path}: the total is {total}, not {expected}")
        if cell(at["Sum"], end + 2).Value != 0:
            fail(problems, f"{path}: lines without a price are told where there are none")
        return [cell(at["Part no."], row).String for row in lines]


def csv_file(office, path):
    """The part numbers of a CSV, and the cells that it makes formulas of."""
    # 44 comma, 34 double quote, 76 UTF-8; formulas evaluated, as the most careless reader does.
    options = "44,34,76,1,,0,false,true,false,false,false,-1,true"
    document = office.desktop.loadComponentFromURL(
        _url(path), "_blank", 0, _properties(Hidden=True, FilterName="Text - txt - csv (StarCalc)", FilterOptions=options)
    )
    try:
        sheet = document.Sheets.getByIndex(0)
        rows, columns = used(sheet)
        cells = [sheet.getCellByPosition(column, row) for row in range(rows) for column in range(columns)]
        formulas = [one.Formula for one in cells if one.Type.value == "FORMULA"]
        headings = [sheet.getCellByPosition(c, 0).String for c in range(columns)]
        at = headings.index("Part no.")
        return [sheet.getCellByPosition(at, row).String for row in range(1, rows)], formulas
    finally:
        document.close(True)


def planted(office, folder, problems):
    """A formula that is not guarded must be seen, else the search proves nothing."""
    path = os.path.join(folder, "planted.csv")
    with open(path, "w", encoding="utf-8") as file:
        file.write("Part no.,x\r\n=1+1,2\r\n")
    if csv_file(office, path)[1] != ["=1+1"]:
        fail(problems, "a planted formula was not found")


def main(arguments):
    if len(arguments) < 2:
        print(__doc__)
        return 2
    program, books = arguments[0], [os.path.abspath(book) for book in arguments[1:]]
    problems = []
    with tempfile.TemporaryDirectory() as folder, Office() as office:
        text, hostile = os.path.join(folder, "hostile.txt"), os.path.join(folder, "hostile.xlsx")
        with open(text, "w", encoding="utf-8") as file:
            file.write(hostile_job())
        subprocess.run([program, "start", "--from-text", text, "-o", hostile], check=True, stdout=subprocess.DEVNULL)
        planted(office, folder, problems)
        for book in [*books, hostile]:
            orders = os.path.join(folder, os.path.basename(book) + "-orders")
            subprocess.run([program, "order", book, "-o", orders], check=True, stdout=subprocess.DEVNULL,
                           stderr=subprocess.DEVNULL)
            names = sorted(name for name in os.listdir(orders) if name.endswith(".xlsx"))
            parts = []
            for name in names:
                path = os.path.join(orders, name)
                in_book = workbook(office, path, problems)
                in_csv, formulas = csv_file(office, path[:-5] + ".csv")
                if formulas:
                    fail(problems, f"{path}: formulas in the CSV: {formulas}")
                if [part.lstrip("'") for part in in_csv] != [part.lstrip("'") for part in in_book]:
                    fail(problems, f"{path}: part numbers differ between the workbook and the CSV")
                parts += in_book
            print(f"{os.path.basename(book)}: {len(names)} orders, {len(parts)} lines")
            if book == hostile:
                shown = [text.replace("\u202e", "").replace("\u202c", "") for text in HOSTILE]
                arrived = [text for text in shown if text in parts]
                if len(arrived) < 8:
                    fail(problems, f"only {arrived} of the hostile words arrived")
    print(f"{len(problems)} problems")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
