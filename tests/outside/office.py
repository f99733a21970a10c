"""LibreOffice without a window: started once, with a profile of its own and a pipe that nobody else knows, and ended with
this program."""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import uuid

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.lang import Locale
from com.sun.star.table import TableSortField

from bidfile import Error, indices

STARTING_SECONDS = 90
# What the program gives as the number of a formula's error.
ERRORS = {32767: "#N/A", 532: "#DIV/0!", 519: "#VALUE!", 503: "#NUM!", 524: "#REF!", 525: "#NAME?", 521: "#NULL!"}


def _properties(**values):
    return tuple(PropertyValue(Name=name, Value=value) for name, value in values.items())


class Office:
    def __enter__(self):
        # Asked to end, this program ends LibreOffice first.
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(2))
        self.profile = tempfile.mkdtemp(prefix="office-profile-")
        pipe = f"tallybore-{uuid.uuid4().hex}"
        self.process = subprocess.Popen(
            [
                "soffice",
                f"-env:UserInstallation=file://{self.profile}",
                "--headless",
                "--norestore",
                "--nologo",
                f"--accept=pipe,name={pipe};urp;",
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        until = time.monotonic() + STARTING_SECONDS
        while True:
            try:
                remote = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
                break
            except NoConnectException:
                if self.process.poll() is not None or time.monotonic() > until:
                    self.__exit__()
                    raise SystemExit("recalc: LibreOffice did not start")
                time.sleep(0.2)
        self.desktop = remote.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", remote)
        return self

    def __exit__(self, *_):
        try:
            self.desktop.terminate()
        except Exception:  # The answer to this call may be that nobody is there any more.
            pass
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        shutil.rmtree(self.profile, ignore_errors=True)

    def open(self, path):
        document = self.desktop.loadComponentFromURL(_url(path), "_blank", 0, _properties(Hidden=True))
        if document is None:
            raise SystemExit(f"recalc: LibreOffice cannot open {path}")
        return Document(document)


class Document:
    """A workbook that is open. Recalculated when asked, never by itself: loading keeps the values of the file."""

    def __init__(self, document):
        self.document = document
        self.document.enableAutomaticCalculation(False)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.document.close(True)

    def recalculate(self):
        self.document.calculateAll()

    def cell(self, sheet, address):
        return self.document.Sheets.getByName(sheet).getCellRangeByName(address)

    def sheet(self, name):
        return self.document.Sheets.getByName(name)

    def type_date(self, sheet, address, days):
        """Puts a date (days since 1899-12-30) as the program itself shows one that was typed."""
        cell = self.cell(sheet, address)
        formats, locale = self.document.NumberFormats, Locale("en", "US", "")
        key = formats.queryKey("MM/DD/YY", locale, False)
        cell.NumberFormat = key if key >= 0 else formats.addNew("MM/DD/YY", locale)
        cell.Value = days

    def sort(self, sheet, first, last, column, ascending):
        """Sorts whole rows, from row `first` to row `last`, by one column."""
        cells = self.sheet(sheet)
        cursor = cells.createCursor()
        cursor.gotoEndOfUsedArea(False)
        area = cells.getCellRangeByPosition(0, first - 1, cursor.getRangeAddress().EndColumn, last - 1)
        field = TableSortField(Field=indices(f"{column}1")[0], IsAscending=ascending, IsCaseSensitive=False)
        fields = uno.Any("[]com.sun.star.table.TableSortField", (field,))
        area.sort(_properties(SortFields=fields, ContainsHeader=False))

    def new_sheet(self, name, rows, put):
        """A sheet at the end with these rows of values, from its first cell on."""
        sheets = self.document.Sheets
        sheets.insertNewByName(name, sheets.Count)
        for row, values in enumerate(rows):
            for column, value in enumerate(values):
                put(self.sheet(name).getCellByPosition(column, row), value)

    def named(self, name):
        """The value of the cell that a defined name stands for."""
        range_ = self.document.NamedRanges.getByName(name).getReferredCells()
        return _value(range_.getCellByPosition(0, 0))

    def values(self, sheet):
        """Every value of a sheet: a function from address to value."""
        sheet = self.document.Sheets.getByName(sheet)
        cursor = sheet.createCursor()
        cursor.gotoEndOfUsedArea(False)
        end = cursor.getRangeAddress()
        rows = sheet.getCellRangeByPosition(0, 0, end.EndColumn, end.EndRow).getDataArray()

        def value(address):
            column, row = indices(address)
            found = rows[row][column] if row < len(rows) and column < len(rows[row]) else ""
            # An error stands in the array as nothing at all; the cell itself knows which.
            return found if isinstance(found, (float, str)) else _value(sheet.getCellByPosition(column, row))

        return value

    def save(self, path):
        self.document.storeToURL(_url(path), _properties(FilterName="Calc MS Excel 2007 XML"))


def _value(cell):
    if number := cell.getError():
        return Error(ERRORS.get(number, f"Err:{number}"))
    if cell.Type.value == "TEXT" or (cell.Type.value == "FORMULA" and cell.FormulaResultType2 == 2):
        return cell.String
    return cell.Value


def _url(path):
    return uno.systemPathToFileUrl(os.path.abspath(path))
