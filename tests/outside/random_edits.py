#!/usr/bin/env python3
"""Random edits of bids that are open in LibreOffice, against what pricing them gives.

  random_edits.py PROGRAM SEED COUNT BOOK...    COUNT edits in all, spread over the bids of these job workbooks
  random_edits.py PROGRAM SEED COUNT:N BOOK...  the Nth of them alone, kept in the current folder (random-edit-*.xlsx)

SEED is a number or a word. Of `release` it is made from the program's version, so that each release is asked about other
edits, and one release always about the same. The number is printed, to ask again.

Each edit is made in a bid, as somebody would who has it open; the live totals and hours are read, the bid is saved and
priced with `price --hold`. Then it is one of:

  equal       the bid showed what pricing it gives
  flagged     it showed something else, and said in red that it must be priced again (or that its total is an error); or what
              was typed is gone once it is priced, since it stood where a bid has nothing or a figure nobody is to edit
  no need     it said so, and pricing gives the same bid after all
  silent      it showed something else and said nothing, or the program refuses the edited bid and nothing said so

and with any of these `stale` where the bid that was just priced says itself that it must be priced again. None may be silent
or stale, and at most 5 in 100 flagged without need.

Needs soffice and Debian's python3-uno; run with the system's Python. Exit: 0 all as it must be, 1 not so, 2 not run.
"""

import hashlib
import multiprocessing
import os
import queue
import random
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass

from bidfile import BidFile, Error, differ
from edits import deck
from layout import Layout
from office import Office

NAMES = ["Bid_total", "Cash_total", "All_hours"]
AGAIN = "price it again"
NO_NEED_IN_100 = 5
# Each LibreOffice takes half a gigabyte.
AT_ONCE = 4
# Sheets that people read; a figure or a finding of theirs that pricing changes is reason enough to ask for it.
READ = ["Bid", "At a glance", "Cost build-up", "Sizing", "Take-off", "Buying", "Cut plan", "Hours", "Schedule", "Findings"]


@dataclass
class Shown:
    """What a bid tells: its totals, and its lines in red."""

    named: dict
    red: list

    def is_flagged(self):
        """Whether it asks to be priced again, or shows an error for a total and says so."""
        errors = any(not isinstance(value, float) for value in self.named.values())
        return self.asks() or (errors and bool(self.red))

    def asks(self):
        return any(AGAIN in text for text in self.red)


@dataclass
class Outcome:
    verdict: str
    told: str
    is_stale: bool = False


def shown_live(document, bid):
    """What the open document tells. The lines in red are those that were blank, and are not now."""
    sheet = document.values("Bid")
    # Rows may have moved on an input sheet, not on this one.
    blank = [c.address for c in bid.formulas() if c.sheet == "Bid" and c.value in ("", None)]
    red = [text for text in map(sheet, blank) if isinstance(text, str) and text]
    return Shown({name: document.named(name) for name in NAMES}, red)


def shown_priced(bid):
    red = [c.value for c in bid.formulas() if c.sheet == "Bid" and isinstance(c.value, str) and AGAIN in c.value]
    return Shown({name: bid.named(name).value for name in NAMES}, red)


def alike(one, other):
    """Whether two bids tell the same totals: money to the cent, hours to a hundredth."""

    def near(a, b):
        return isinstance(a, float) and isinstance(b, float) and abs(a - b) < 0.005

    return all(near(one.named[name], other.named[name]) for name in NAMES)


def unlike_elsewhere(document, priced):
    """Cells of the sheets that people read which pricing made otherwise; what is said of pricing itself is none of them."""
    unlike = []
    for sheet in READ:
        if sheet not in priced.part_of:
            continue
        live = document.values(sheet)
        for cell in (c for c in priced.cells.values() if c.sheet == sheet):
            one, other = _plain(cell.value), _plain(live(cell.address))
            if differ(one, other, cell.number_format) and not any("price" in str(v) and "again" in str(v) for v in (one, other)):
                unlike.append(cell)
    return unlike


def _plain(value):
    """Errors of two programs by their names, blank as no text."""
    return str(value) if isinstance(value, Error) else value


def money(shown):
    return ", ".join(f"{v:,.2f}" if isinstance(v, float) else str(v) for v in shown.named.values())


class Round:
    def __init__(self, program, office, folder):
        self.program, self.office, self.folder = program, office, folder

    def price(self, book, bid, *more):
        done = subprocess.run([self.program, "price", book, "-o", bid, "--replace", *more], capture_output=True, text=True)
        return done.returncode == 0, done.stderr or done.stdout

    def judge(self, bid, edit, kept):
        edited, again = kept + "-edited.xlsx", kept + "-priced.xlsx"
        with self.office.open(bid.path) as document:
            try:
                edit.make(document)
            except Exception as error:
                raise SystemExit(f"cannot make this edit: {edit.words}: {error}") from error
            document.recalculate()
            live = shown_live(document, bid)
            document.save(edited)
            good, said = self.price(edited, again, "--hold")
            if not good:
                why = next((line for line in said.splitlines() if line.startswith("stop")), said.strip()[:200])
                words = f"live {money(live)}; refused: {why}"
                return Outcome("flagged" if live.is_flagged() else "silent", words)
            fresh = BidFile(again)
            priced = shown_priced(fresh)
            words = f"live {money(live)}; priced {money(priced)}"
            stale = priced.asks()
            if not live.is_flagged():
                return Outcome("equal" if alike(live, priced) else "silent", words, stale)
            if not alike(live, priced):
                return Outcome("flagged", words, stale)
            unlike = unlike_elsewhere(document, fresh)
            if unlike:
                return Outcome("flagged", f"{words}; same totals, {len(unlike)} other cells, first {unlike[0].place}", stale)
        if self.price(edited, again)[0] and not alike(live, shown_priced(BidFile(again))):
            return Outcome("flagged", f"{words}; other totals when priced without --hold", stale)
        if not edit.stays or is_gone(edit, fresh):
            return Outcome("flagged", f"{words}; what was typed is gone when priced", stale)
        return Outcome("no need", words, stale)


def is_gone(edit, priced):
    """Whether a number that was typed over one of the program's is no longer there."""
    if edit.typed_over is None:
        return False
    sheet, address, new = edit.typed_over
    there = priced.cells.get((sheet, address))
    return there is None or not isinstance(there.value, float) or abs(there.value - new) > 1e-9


def seed_of(program, word):
    if word.isdigit():
        return int(word)
    if word == "release":
        word = subprocess.run([program, "--version"], capture_output=True, text=True, check=True).stdout.strip()
    return int.from_bytes(hashlib.sha256(word.encode()).digest()[:4], "big")


def judge_some(program, seed, wanted, kinds, layouts, books, kept_in, results):
    """Makes the edits of these numbers, in a LibreOffice of its own."""
    with tempfile.TemporaryDirectory() as folder, Office() as office:
        round_ = Round(program, office, folder)
        # A file that one LibreOffice has open is locked for the others.
        for layout in layouts:
            layout.bid.path = shutil.copy(layout.bid.path, folder)
        for number in wanted:
            # Each edit has a random source of its own: one of them can be asked for again alone.
            rng = random.Random(f"{seed} {number}")
            at = rng.randrange(len(layouts))
            tries = ((at + n) % len(layouts) for n in range(len(layouts)))
            edits = ((which, kinds[number - 1](layouts[which], rng)) for which in tries)
            at, edit = next((found for found in edits if found[1]), (at, None))
            if edit is None:
                results.put((number, None, None))
                continue
            kept = os.path.join(kept_in or folder, f"random-edit-{number}" if kept_in else "bid")
            try:
                outcome = round_.judge(layouts[at].bid, edit, os.path.abspath(kept))
            except BaseException as error:
                results.put((number, edit.kind, f"{edit.words}: {error!r}"))
                raise
            words = f"{edit.words}; {os.path.basename(books[at])}: {outcome.told}"
            results.put((number, edit.kind, (outcome.verdict, outcome.is_stale, words)))


def judge_all(program, seed, numbers, kinds, layouts, books, kept_in):
    """What each of the edits came to, by its number. As many at once as there are processors, for most of the time goes to
    opening and saving."""
    at_once = min(len(numbers), len(os.sched_getaffinity(0)), AT_ONCE)
    results = multiprocessing.Queue()
    workers = [
        multiprocessing.Process(
            target=judge_some, args=(program, seed, numbers[part::at_once], kinds, layouts, books, kept_in, results)
        )
        for part in range(at_once)
    ]
    for worker in workers:
        worker.start()
    found = {}
    try:
        while len(found) < len(numbers):
            try:
                number, kind, outcome = results.get(timeout=5)
            except queue.Empty:
                if not any(worker.is_alive() for worker in workers) and results.empty():
                    raise SystemExit("an edit was not judged: LibreOffice has ended") from None
                continue
            if isinstance(outcome, str):
                raise SystemExit(f"cannot make this edit: {outcome}")
            found[number] = (kind, outcome)
            if outcome:
                verdict, is_stale, words = outcome
                print(f"{number:4} {verdict}{' stale' if is_stale else ''}: {kind}: {words}", flush=True)
    finally:
        for worker in workers:
            if len(found) < len(numbers):
                worker.terminate()
            worker.join()
    return found


def run(program, seed, count, only, books):
    tally, by_kind, failed = Counter(), {}, []
    with tempfile.TemporaryDirectory() as folder:
        layouts = []
        for number, book in enumerate(books):
            bid = os.path.join(folder, f"bid-{number}.xlsx")
            good, said = Round(program, None, folder).price(book, bid)
            if not good:
                raise SystemExit(f"{book}: cannot be priced: {said}")
            layouts.append(Layout(BidFile(bid)))
        kinds = deck(random.Random(seed), count)
        numbers = [only] if only else list(range(1, count + 1))
        found = judge_all(program, seed, numbers, kinds, layouts, books, os.getcwd() if only else None)
    for number, (kind, outcome) in sorted(found.items()):
        if outcome is None:
            tally["nothing to edit"] += 1
            continue
        verdict, is_stale, _ = outcome
        tally.update([verdict] + ["stale"] * is_stale)
        by_kind.setdefault(kind, Counter())[verdict] += 1
        if verdict == "silent" or is_stale:
            failed.append(number)
    for kind, verdicts in sorted(by_kind.items()):
        print(f"  {kind}: {', '.join(f'{n} {verdict}' for verdict, n in sorted(verdicts.items()))}")
    made = sum(sum(verdicts.values()) for verdicts in by_kind.values())
    print(f"seed {seed}: {made} edits: {', '.join(f'{n} {verdict}' for verdict, n in sorted(tally.items()))}")
    too_many = tally["no need"] * 100 > NO_NEED_IN_100 * made
    if failed:
        print(f"silent or stale: {failed}; look at one with: random_edits.py PROGRAM {seed} {count}:{failed[0]} BOOK...")
    if too_many:
        print(f"flagged without need: {tally['no need']}, more than {NO_NEED_IN_100} in 100")
    return made > 0 and not failed and not too_many


def main(arguments):
    if len(arguments) < 4:
        print(__doc__)
        return 2
    program, word, count, *books = arguments
    count, _, only = count.partition(":")
    seed = seed_of(program, word)
    return 0 if run(os.path.abspath(program), seed, int(count), int(only) if only else None, books) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
