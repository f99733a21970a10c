"""Edits that somebody may make in a bid that is open in a spreadsheet program, drawn at random. Each kind is a function
from a layout and a random source to an Edit, or to None where the book has nothing of the kind."""

from collections.abc import Callable
from dataclasses import dataclass

from layout import NAMED_BY, Layout

SIZES = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"]
# One size in the ways people write it, beside the plain one; floats are typed as numbers.
SPELLED = {
    "1/2": ["1/2", "½", "0.5", 0.5, ".5", '1/2"', "1/2 in", "1/2 inch"],
    "3/4": ["3/4", "¾", "0.75", 0.75, '3/4"', "3/4 in", "3/4 in."],
    "1": ["1", 1.0, '1"', "1 in", "1 inch"],
    "1-1/4": ["1-1/4", "1 1/4", "1¼", "1.25", 1.25, '1-1/4"', "1 1/4 in", "1-1/4 in"],
    "1-1/2": ["1-1/2", "1 1/2", "1½", "1.5", 1.5, '1-1/2"', "1 1/2 in"],
    "2": ["2", 2.0, '2"', "2 in"],
}
# What programs make of a fraction that is typed: the fourth of March, the second of January (days since 1899-12-30).
AS_DATE = {"3/4": 46085.0, "1/2": 46024.0}
STATUS = {
    "Runs": [None, "new", "existing", "installed", "remove"],
    "Fixtures": [None, "new", "existing", "installed", "remove", "by others"],
    "Devices": [None, "new", "existing", "installed", "remove", "by others"],
}
# Numbers that somebody may put where none stands.
TYPICAL = {
    ("Fixtures", "Count"): [1.0, 2.0, 3.0],
    ("Fixtures", "Gpm"): [0.5, 1.2, 2.5],
    ("Fixtures", "Need psi"): [12.0, 20.0],
    ("Runs", "Length ft"): [6.0, 11.5, 24.0],
    ("Runs", "Rise ft"): [-3.0, 0.0, 1.5, 4.0],
    ("Runs", "Bends"): [0.0, 1.0, 3.0],
    ("Runs", "Insulation in"): [0.5, 0.75, 1.0],
    ("Devices", "Rated gpm"): [12.0, 20.0],
    ("Devices", "Loss psi"): [1.5, 4.0],
    ("Devices", "Set psi"): [55.0, 60.0],
    ("Prices", "Price"): [4.25, 31.0],
    ("Prices", "Pack"): [10.0, 25.0],
    ("Prices", "Bought"): [1.0, 2.0],
    ("Prices", "Minimum units"): [2.0],
    ("Labor", "Hours"): [0.05, 0.8],
    ("Other costs", "Quantity"): [1.0, 5.0],
    ("Other costs", "Price"): [48.0, 120.0],
    ("Other costs", "Tax"): [0.0, 0.04],
    ("On hand", "Quantity"): [2.0, 30.0],
    ("Terms", "Amount"): [75.0, 450.0],
}
# Numbers of the Job sheet that the money, the hours or the sizes rest on, and what may be typed for them.
SETTINGS = {
    "Supply pressure": [48.0, 52.0, 66.0],
    "Highest pressure": [70.0, 76.0],
    "Cold water temperature": [36.0, 45.0, 55.0],
    "Hot water temperature": [120.0, 130.0],
    "Tail allowance": [4.0, 9.0],
    "Waste": [0.0, 0.03, 0.1],
    "Left-over worth": [0.0, 0.5],
    "Stud depth": [5.5],
    "Stud spacing": [24.0],
    "Design low": [20.0, -10.0],
    "Tax rate": [0.0, 0.05, 0.0825],
    "Overhead": [0.1, 0.12],
    "Profit": [0.08, 0.15],
    "Contingency": [0.0, 0.05],
    "Permit": [0.0, 240.0],
    "Labor rate": [38.0, 61.0],
    "Labor burden": [0.2, 0.35],
    "Labor factor": [0.85, 1.2],
    "Owner rate": [15.0, 30.0],
    "Owner hours per week": [10.0, 24.0],
    "Crew": [2.0],
    "Minimum charge": [15000.0, 40000.0],
    "Wait before trim": [14.0, 30.0],
    "Price age limit": [30.0, 120.0],
}
# What cannot be meant, or what a percent is taken for where it is typed as a number.
BEYOND = {
    ("Fixtures", "Count"): [2.5, 5000.0, -1.0],
    ("Fixtures", "Gpm"): [-2.0, 40000.0],
    ("Runs", "Length ft"): [90000.0],
    ("Runs", "Bends"): [0.5, 4000.0],
    ("Devices", "Loss psi"): [900.0],
    ("Devices", "Set psi"): [2.0],
    ("Prices", "Price"): [-4.0, 50000000.0],
    ("Prices", "Pack"): [0.0, -10.0],
    ("Prices", "Tax"): [8.25, 0.7],
    ("Labor", "Hours"): [-1.0, 5000.0],
    ("Other costs", "Quantity"): [-1.0, 5000000.0],
    ("Other costs", "Price"): [-60.0],
    ("Other costs", "Tax"): [8.25, 0.7],
    ("On hand", "Quantity"): [-2.0],
}
SETTINGS_BEYOND = {
    "Supply pressure": [0.0, 800.0],
    "Cold water temperature": [12.0, 400.0],
    "Waste": [-0.1, 5.0],
    "Tax rate": [0.9, 8.25],
    "Profit": [-0.2, 12.0],
    "Permit": [-100.0],
    "Labor rate": [-5.0, 5000.0],
    "Labor burden": [9.0],
    "Labor factor": [0.0, 40.0],
    "Owner hours per week": [0.0, 300.0],
    "Crew": [0.0],
}
# As people write them behind a number.
UNITS = {
    "Supply pressure": " psi",
    "Highest pressure": "psi",
    "Tail allowance": " in",
    "Stud depth": " in",
    "Cold water temperature": " F",
    "Wait before trim": " days",
    "Owner hours per week": " h",
}
WORD_SETTINGS = {
    "Code basis": ["IRC", "IPC", "UPC"],
    "Demand between rows": ["next row up", "interpolate"],
    "Loss method": ["Darcy-Weisbach", "Hazen-Williams"],
    "Occupancy": ["private", "public"],
    "Main size": ["1", "1-1/4", "1 1/2", "¾", 1.25],
    "Main material": ["PEX", "copper L", "CPVC"],
    "Fittings": ["metal insert", "polymer insert", "expansion"],
    "Fittings loss": ["by fitting", "none", 0.5, "50%"],
    "Joining": ["crimp", "clamp", "expansion"],
    "Pipe color": ["one", "by water"],
    "Form": ["auto", "stick", "coil"],
    "Insulate": ["as listed", "hot", "unheated", "hot and unheated"],
    "Shutoff valves": ["as listed", "main", "per bath", "per fixture"],
    "Hammer arresters": ["as listed", "at quick-closing valves"],
    "Labor by": ["owner", "hired"],
    "Labor by trim": ["as the job", "owner", "hired"],
    "Labor by rough-in": ["owner", "hired"],
    "Markup": ["on cost", "on price"],
}
# Words that decide which rows a bid has, and what may be typed for them.
WORDS = {
    ("Runs", "Material"): ["PEX", "copper L", "copper M", "CPVC", None],
    ("Runs", "Where"): ["inside", "crawl space", "attic", "outside wall", "buried", None],
    ("Runs", "Form"): ["stick", "coil", "auto", None],
    ("Runs", "Joints"): ["none", None],
    ("Runs", "Phase"): ["underground", "rough-in", "trim", None],
    ("Fixtures", "Fixture"): ["lavatory", "bathtub", "shower", "kitchen sink"],
    ("Fixtures", "Group"): ["full bath A", "kitchen", None],
    ("Devices", "Kind"): ["shutoff valve", "check valve", "filter", "ball valve"],
    ("Prices", "Material"): ["PEX", "copper L", None],
    ("Prices", "Unit"): ["each", "bag", "ft", "stick", "coil"],
    ("Prices", "Supplier"): ["Norrdal Yard", None],
    ("Prices", "Water"): ["hot", "cold", None],
    ("Prices", "Tax"): ["no", "yes", None, 0.03],
    ("Labor", "Phase"): ["rough-in", "trim", "underground", None],
    ("Labor", "By"): ["owner", "hired", None],
    ("Other costs", "Phase"): ["rough-in", "trim", "test", None],
    ("Other costs", "Tax"): ["yes", "no", None, "4%"],
}
# Words that decide nothing: nobody should be asked to price again for them.
IDLE = {
    "Fixtures": ["Room", "Note"],
    "Runs": ["Note"],
    "Devices": ["Note"],
    "Prices": ["Part no.", "Note"],
    "Labor": ["Note"],
    "Other costs": ["Note"],
    "Terms": ["Text"],
}


@dataclass
class Edit:
    kind: str
    # As a person would tell it: where, what stood there, what stands there now.
    words: str
    # Makes the edit in an open document.
    make: Callable
    # Whether what is typed is still there once the bid is priced: in a cell that pricing leaves blank it is not.
    stays: bool = True
    # The cell of the program's own and the number typed over it: not every one is taken over when the bid is priced.
    typed_over: tuple = None


def put(cell, value):
    """Types a value: a float as a number, a str as text, None empties the cell."""
    if isinstance(value, float):
        cell.Value = value
    else:
        cell.String = value or ""


def set_cell(kind, sheet, heading, row, new):
    """The edit that puts `new` under a heading of one row."""
    address, old = sheet.address(heading, row), sheet.value(heading, row)
    words = f"{sheet.name}!{address} ({heading} of {sheet.value(first(sheet), row)}): {old!r} -> {new!r}"
    return Edit(kind, words, lambda document: put(document.cell(sheet.name, address), new))


def first(sheet):
    return NAMED_BY[sheet.name]


def spots(book, headings, filled=None):
    """Every (sheet, heading, row) of these (sheet, heading) pairs; with `filled`, only cells that are so."""
    found = []
    for name, heading in headings:
        sheet = book.sheets.get(name)
        if sheet is None or heading not in sheet.column_of:
            continue
        for row in sheet.rows:
            is_filled = sheet.value(heading, row) is not None
            if sheet.value(first(sheet), row) is None or sheet.has_formula(heading, row):
                continue
            if filled is None or filled == is_filled:
                found.append((sheet, heading, row))
    return found


def pick_spot(rng, book, headings, filled=None):
    """One of them: first a heading by chance, then a row, so that long sheets get no more than short ones."""
    by_heading = {}
    for spot in spots(book, headings, filled):
        by_heading.setdefault((spot[0].name, spot[1]), []).append(spot)
    return rng.choice(by_heading[rng.choice(sorted(by_heading))]) if by_heading else None


def another(rng, choices, old):
    """Another one than there is, where there is another."""
    return rng.choice([choice for choice in choices if choice != old] or list(choices))


def near(rng, old):
    """A number somebody may have meant in place of this one."""
    changed = [old * 1.1, old * 0.8, old + 1.0, old * 2.0]
    return round(rng.choice(changed), 4) if old else 1.0


def number(book: Layout, rng):
    spot = pick_spot(rng, book, TYPICAL)
    sheet, heading, row = spot
    old = sheet.value(heading, row)
    new = near(rng, old) if isinstance(old, float) else rng.choice(TYPICAL[sheet.name, heading])
    if heading in ("Count", "Bends", "Bought"):
        new = float(round(new)) if round(new) != old else new + 1.0
    if heading == "Price" and rng.random() < 0.15:
        new = 0.0
    return set_cell("number", sheet, heading, row, new)


def cleared_number(book, rng):
    return set_cell("cleared cell", *pick_spot(rng, book, TYPICAL, filled=True), None)


def number_as_text(book, rng):
    sheet, heading, row = pick_spot(rng, book, TYPICAL)
    old = sheet.value(heading, row)
    new = old if isinstance(old, float) and rng.random() < 0.4 else rng.choice(TYPICAL[sheet.name, heading])
    plain = f"{new:g}"
    ways = [plain, f" {plain} "]
    if heading in ("Price", "Amount") and new >= 0:
        ways += [f"${new:,.2f}", f"{new:.2f}"]
    if heading == "Tax":
        ways = [f"{new * 100:g}%", f"{new * 100:g} %"]
    return set_cell("number as text", sheet, heading, row, rng.choice(ways))


def beyond(book, rng):
    sheet, heading, row = pick_spot(rng, book, BEYOND)
    return set_cell("beyond its range", sheet, heading, row, rng.choice(BEYOND[sheet.name, heading]))


def setting_beyond(book, rng):
    rows = job_rows(book, SETTINGS_BEYOND)
    item = rng.choice(sorted(rows))
    return set_cell("beyond its range", book.sheets["Job"], "Value", rows[item], rng.choice(SETTINGS_BEYOND[item]))


def figure(book, rng):
    """A number typed over one that is nobody's to type, on a sheet of the program's own; one sheet as often as any other."""
    # Checks speak of the bid, and what is typed on the last two is the user's own from then on.
    of_program = {cell.sheet for cell in book.bid.formulas()} - set(book.sheets)
    sheets = sorted(of_program - {"Checks", "Defaults", "Rules", "Revisions"})
    chosen = {(sheet, address) for sheet, _, address, _ in book.choices()}
    numbers = {
        sheet: [c for c in book.own[sheet].values() if isinstance(c.value, float) and (sheet, c.address) not in chosen]
        for sheet in sheets
    }
    cell = rng.choice(numbers[rng.choice([sheet for sheet in sheets if numbers[sheet]])])
    edit = own_number("figure", cell, near(rng, cell.value))
    edit.stays = False
    return edit


def typed_formula(book, rng):
    sheet, heading, row = pick_spot(rng, book, TYPICAL)
    new = rng.choice(TYPICAL[sheet.name, heading])
    address = sheet.address(heading, row)
    formula = f"={new:g}*1+{1 if heading in ('Count', 'Bends', 'Bought') else 0.5}"

    def make(document):
        document.cell(sheet.name, address).Formula = formula

    return Edit("formula", f"{sheet.name}!{address} ({heading}): {sheet.value(heading, row)!r} -> {formula}", make)


def size(book, rng):
    sheet, heading, row = pick_spot(rng, book, [("Runs", "Size"), ("Runs", "Size"), ("Devices", "Size"), ("Prices", "Size")])
    chosen = rng.choice(SIZES)
    new = rng.choice(SPELLED[chosen])
    if sheet.name == "Prices" and " x " in (sheet.value(heading, row) or ""):
        new = rng.choice(["3/4 x 3/4 x 1/2", "1 x 1 x 3/4", '3/4" x 1/2"', "1 x 3/4"])
    return set_cell("size", sheet, heading, row, new)


def size_as_date(book, rng):
    sheet, heading, row = pick_spot(rng, book, [("Runs", "Size"), ("Devices", "Size")])
    fraction = rng.choice(sorted(AS_DATE))
    address = sheet.address(heading, row)

    def make(document):
        document.type_date(sheet.name, address, AS_DATE[fraction])

    words = f"{sheet.name}!{address} ({heading}): {sheet.value(heading, row)!r} -> {fraction} that became a date"
    return Edit("size as a date", words, make)


def cleared_size(book, rng):
    spot = pick_spot(rng, book, [("Runs", "Size"), ("Devices", "Size"), ("Prices", "Size")], filled=True)
    return set_cell("cleared cell", *spot, None)


def length(book, rng):
    spot = pick_spot(rng, book, [("Runs", "Length ft")])
    feet, inches = rng.randint(2, 40), rng.randint(1, 11)
    ways = [
        float(feet),
        feet + 0.5,
        f"{feet}'{inches}\"",
        f"{feet}' {inches}\"",
        f"{feet}'-{inches}\"",
        f"{feet} ft",
        f"{feet}ft {inches}in",
        f"{feet} ft {inches} in",
        f"{feet}'",
        f'{feet * 12 + inches}"',
        f"{feet}'{inches}-1/2\"",
        f"{feet}' {inches} 1/2\"",
        f"{feet}.{inches}",
        f"{feet} feet",
        f"{feet}’{inches}”",
    ]
    return set_cell("length", *spot, rng.choice(ways))


def status(book, rng):
    sheet, heading, row = pick_spot(rng, book, [(name, "Status") for name in STATUS])
    new = another(rng, STATUS[sheet.name], sheet.value(heading, row))
    return set_cell("status", sheet, heading, row, new)


def word(book, rng):
    sheet, heading, row = pick_spot(rng, book, WORDS)
    new = another(rng, WORDS[sheet.name, heading], sheet.value(heading, row))
    return set_cell("word", sheet, heading, row, new)


def renamed(book, rng):
    """A run that is called otherwise, or fed by another; a fixture on another run; a device on another."""
    sheet, heading, row = pick_spot(
        rng, book, [("Runs", "Run"), ("Runs", "From"), ("Fixtures", "Cold run"), ("Devices", "On run"), ("Fixtures", "Tag")],
        filled=True,
    )
    runs = [book.sheets["Runs"].value("Run", r) for r in book.sheets["Runs"].rows]
    new = "R77" if heading in ("Run", "Tag") else another(rng, runs, sheet.value(heading, row))
    return set_cell("name", sheet, heading, row, new)


def idle(book, rng):
    sheet, heading, row = pick_spot(rng, book, [(name, h) for name, hs in IDLE.items() for h in hs])
    return set_cell("idle word", sheet, heading, row, rng.choice(["as agreed on site", "see the drawing", "7"]))


def job_rows(book, items):
    sheet = book.sheets["Job"]
    return {sheet.value("Item", row): row for row in sheet.rows if sheet.value("Item", row) in items}


def setting(book, rng):
    rows = job_rows(book, SETTINGS)
    item = rng.choice(sorted(rows))
    sheet = book.sheets["Job"]
    new = another(rng, SETTINGS[item], sheet.value("Value", rows[item]))
    return set_cell("setting", sheet, "Value", rows[item], new)


def setting_as_text(book, rng):
    rows = job_rows(book, SETTINGS)
    item = rng.choice(sorted(rows))
    new = rng.choice(SETTINGS[item])
    text = f"{new * 100:g}%" if 0 < new < 1 and item != "Labor factor" else f"{new:g}"
    if item in UNITS and rng.random() < 0.5:
        text += UNITS[item]
    return set_cell("number as text", book.sheets["Job"], "Value", rows[item], text)


def word_setting(book, rng):
    rows = job_rows(book, WORD_SETTINGS)
    item = rng.choice(sorted(rows))
    sheet = book.sheets["Job"]
    return set_cell("setting", sheet, "Value", rows[item], another(rng, WORD_SETTINGS[item], sheet.value("Value", rows[item])))


def cleared_setting(book, rng):
    sheet = book.sheets["Job"]
    rows = {i: r for i, r in job_rows(book, SETTINGS | WORD_SETTINGS).items() if sheet.value("Value", r) is not None}
    return set_cell("cleared setting", sheet, "Value", rows[rng.choice(sorted(rows))], None)


def misspelled_setting(book, rng):
    sheet = book.sheets["Job"]
    rows = {i: r for i, r in job_rows(book, SETTINGS | WORD_SETTINGS).items() if sheet.value("Value", r) is not None}
    item = rng.choice(sorted(rows))
    at = rng.randrange(1, len(item) - 1)
    return set_cell("misspelled setting", sheet, "Item", rows[item], item[:at] + item[at + 1] + item[at] + item[at + 2 :])


def new_setting(book, rng):
    """A row at the end of Job for a setting that the job left out."""
    sheet = book.sheets["Job"]
    there = {sheet.value("Item", row) for row in sheet.rows}
    item = rng.choice(sorted(item for item in SETTINGS | WORD_SETTINGS if item not in there))
    value = rng.choice((SETTINGS | WORD_SETTINGS)[item])
    return new_row_edit("new setting", sheet, {"Item": item, "Value": value})


def new_row_edit(kind, sheet, values):
    row = sheet.rows[-1] + 1
    known = {heading: value for heading, value in values.items() if heading in sheet.column_of and value is not None}

    def make(document):
        for heading, value in known.items():
            put(document.cell(sheet.name, sheet.address(heading, row)), value)

    return Edit(kind, f"{sheet.name} row {row} is new: {known!r}", make)


def new_row(book, rng):
    runs = book.sheets["Runs"]
    run = rng.choice([runs.value("Run", r) for r in runs.rows])
    name = rng.choice(["R77", "R78", None])
    rows = {
        "Fixtures": {"Tag": name, "Fixture": rng.choice(["lavatory", "hose bibb"]), "Cold run": run},
        "Runs": {"Run": name, "From": run, "Length ft": rng.choice([8.0, "8'6\""]), "Size": rng.choice([None, "1/2", "¾"])},
        "Devices": {"Device": name, "On run": run, "Kind": "ball valve", "Size": "3/4"},
        "Prices": {
            "Kind": rng.choice(["elbow", "pipe", "tee", None]),
            "Material": "PEX",
            "Size": "1/2",
            "Unit": "each",
            "Price": rng.choice([0.2, 1.95]),
        },
        "Labor": {"Task": rng.choice(["run PEX 1/2", "trim lavatory", None]), "Unit": "each", "Hours": 0.5},
        "Other costs": {"Item": rng.choice(["Skip", None]), "Quantity": 1.0, "Price": rng.choice([55.0, "55"])},
        "On hand": {"Kind": rng.choice(["elbow", None]), "Material": "PEX", "Size": "1/2", "Unit": "each", "Quantity": 3.0},
        "Terms": {"Kind": rng.choice(["allowance", "included"]), "Text": "Cleaning up", "Amount": rng.choice([None, 90.0])},
    }
    name = rng.choice(sorted(name for name in rows if name in book.sheets))
    return new_row_edit("new row", book.sheets[name], rows[name])


def structural_sheet(book, rng):
    return book.sheets[rng.choice(sorted(name for name in book.sheets if name != "Job"))]


def inserted_row(book, rng):
    sheet = book.sheets[rng.choice(sorted(book.sheets))]
    row = rng.choice(sheet.rows)
    edit = f"{sheet.name}: a blank row inserted above row {row}"
    return Edit("inserted row", edit, lambda document: document.sheet(sheet.name).Rows.insertByIndex(row - 1, 1))


def deleted_row(book, rng):
    sheet = book.sheets[rng.choice(sorted(book.sheets))]
    row = rng.choice(sheet.rows)
    words = f"{sheet.name}: row {row} ({sheet.value(first(sheet), row)}) deleted"
    return Edit("deleted row", words, lambda document: document.sheet(sheet.name).Rows.removeByIndex(row - 1, 1))


def sorted_rows(book, rng):
    sheet = structural_sheet(book, rng)
    heading = rng.choice(sorted(sheet.column_of))
    descending = rng.random() < 0.5

    def make(document):
        document.sort(sheet.name, sheet.rows[0], sheet.rows[-1], sheet.column_of[heading], not descending)

    return Edit("sorted rows", f"{sheet.name}: rows sorted by {heading}{', downward' if descending else ''}", make)


# Columns that a sheet may lack, and what may stand in them.
COLUMNS = {
    "Prices": {"Water": "hot", "From units": 5.0, "Minimum units": 3.0, "Bought": 1.0, "Tax": "no", "Material": "PEX"},
    "Runs": {"Insulation in": 1.0, "Bends": 2.0, "Phase": "trim", "Where": "attic"},
    "Devices": {"Ports": 4.0, "Set psi": 60.0},
    "Fixtures": {"Count": 2.0, "Gpm": 1.0},
    "Labor": {"By": "hired", "Phase": "trim"},
    "Other costs": {"Tax": "yes", "Phase": "trim"},
    "On hand": {"Size": "1/2", "Material": "PEX"},
    "Terms": {"Change": "main size=1", "Amount": 100.0},
}


def new_column(book, rng):
    lacking = [
        (sheet, heading, value)
        for name, sheet in sorted(book.sheets.items())
        for heading, value in COLUMNS.get(name, {}).items()
        if heading not in sheet.column_of
    ]
    if not lacking:
        return None
    sheet, heading, value = rng.choice(lacking)
    row = rng.choice(sheet.rows)

    def make(document):
        document.cell(sheet.name, f"{sheet.free_column}{sheet.heading_row}").String = heading
        put(document.cell(sheet.name, f"{sheet.free_column}{row}"), value)

    return Edit("new column", f"{sheet.name}: a column {heading} with {value!r} in row {row}", make)


def lost_heading(book, rng):
    """A heading that is typed over: what stands below it is read no more."""
    sheet = structural_sheet(book, rng)
    heading = rng.choice(sorted(h for h in sheet.column_of if h != "Note"))
    address = f"{sheet.column_of[heading]}{sheet.heading_row}"
    new = rng.choice(["", "Cnt", heading + " (old)"])
    words = f"{sheet.name}!{address}: the heading {heading} -> {new!r}"
    return Edit("lost heading", words, lambda document: put(document.cell(sheet.name, address), new))


NEW_SHEETS = {
    "Suppliers": [["Supplier", "Trip cost"], ["Quillmoor Supply", 45.0]],
    "Labor conditions": [["Place", "Factor"], ["crawl space", 1.9]],
    "Labor": [["Task", "Unit", "Hours"], ["trim lavatory", "each", 2.5]],
    "Other costs": [["Item", "Quantity", "Price"], ["Skip", 1.0, 180.0]],
    "On hand": [["Kind", "Material", "Size", "Quantity"], ["elbow", "PEX", "1/2", 9.0]],
    "Units": [["Code", "Occupancy", "Fixture", "Hot", "Cold", "Combined"], ["IRC", "private", "lavatory", 0.8, 0.8, 1.1]],
    "Spares": [["Kind", "Share"], ["elbow", 0.25]],
    "Drawings": [["Sheet", "Date"], ["P-1", "in May"]],
}


def new_sheet(book, rng):
    name = rng.choice(sorted(name for name in NEW_SHEETS if name not in book.names))
    rows = NEW_SHEETS[name]

    def make(document):
        document.new_sheet(name, rows, put)

    return Edit("new sheet", f"a sheet {name}: {rows!r}", make)


def choice(book, rng):
    """A decision of the program's, changed by hand; one of each column as often as of any other."""
    by_heading = {}
    for sheet, heading, address, value in book.choices():
        by_heading.setdefault((sheet, heading), []).append((address, value))
    sheet, heading = rng.choice(sorted(by_heading))
    cells = by_heading[sheet, heading]
    address, old = rng.choice(cells)
    if isinstance(old, float):
        new = old + rng.choice([1.0, 1.0, 2.0])
    else:
        others = sorted({value for _, value in cells if isinstance(value, str) and value != old})
        new = rng.choice(others) if others else "1"
    return Edit(
        "choice", f"{sheet}!{address} ({heading}): {old!r} -> {new!r}", lambda document: put(document.cell(sheet, address), new)
    )


def rule(book, rng):
    """A number on Rules: mostly one that a formula points at by itself, for in the long tables few rows are in use."""
    cells = book.plain_numbers("Rules")
    pointed_at = [cell for cell in cells if cell.address in book.rules_in_use]
    cell = rng.choice(pointed_at if pointed_at and rng.random() < 0.7 else cells)
    return own_number("rule row", cell, near(rng, cell.value))


def default(book, rng):
    """A value on Defaults: a number as a number, a word by another one."""
    cells = book.own.get("Defaults", {})
    named = {c.value: a.replace("A", "B", 1) for a, c in cells.items() if a.startswith("A")}
    item = rng.choice(sorted(item for item in SETTINGS | WORD_SETTINGS if item in named))
    old = cells[named[item]].value if named[item] in cells else None
    new = another(rng, (SETTINGS | WORD_SETTINGS)[item], old)
    words = f"Defaults!{named[item]} ({item}): {old!r} -> {new!r}"
    return Edit("default", words, lambda document: put(document.cell("Defaults", named[item]), new))


def spare(book, rng):
    address = rng.choice(book.under("Take-off", "Waste, spares"))
    old = book.own["Take-off"].get(address)
    new = rng.choice([0.08, 0.2, 1.0, 3.0]) if old is not None and old.value and old.value < 1 else rng.choice([1.0, 3.0])
    words = f"Take-off!{address} (Waste, spares): {old.value if old else None!r} -> {new!r}"
    return Edit("spare", words, lambda document: put(document.cell("Take-off", address), new), stays=old is not None)


def own_number(kind, cell, new):
    words = f"{cell.place}: {cell.value!r} -> {new!r}"
    make = lambda document: put(document.cell(cell.sheet, cell.address), new)  # noqa: E731
    return Edit(kind, words, make, typed_over=(cell.sheet, cell.address, new))


# How many of each there are among some hundred.
KINDS = {
    number: 10,
    cleared_number: 4,
    number_as_text: 5,
    typed_formula: 2,
    size: 9,
    size_as_date: 2,
    cleared_size: 2,
    length: 8,
    status: 6,
    word: 5,
    renamed: 3,
    idle: 3,
    setting: 6,
    setting_as_text: 3,
    word_setting: 5,
    cleared_setting: 4,
    misspelled_setting: 3,
    new_setting: 4,
    new_row: 6,
    inserted_row: 3,
    deleted_row: 4,
    sorted_rows: 4,
    new_column: 2,
    lost_heading: 1,
    new_sheet: 4,
    choice: 6,
    rule: 4,
    default: 4,
    spare: 2,
    beyond: 4,
    setting_beyond: 3,
    figure: 7,
}


def deck(rng, count):
    """Kinds for `count` edits, each kind as often as it should be, in random order."""
    kinds = []
    while len(kinds) < count:
        pack = [kind for kind, share in KINDS.items() for _ in range(share)]
        rng.shuffle(pack)
        kinds += pack
    return kinds[:count]
