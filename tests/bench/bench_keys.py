"""Keys of a whole parcel by what they were for, beside the same facts typed into a spreadsheet.

    python tests/bench/bench_keys.py [KEYS] [--json]        (KEYS: a key script; demo/fifteen.keys if not given)

Plays the script through the real app and asks, key for key, which action ran and what was in the hand. Keys
before the first record (the parcel's own lines) and on its pages are told apart from the records'.

The spreadsheet: the rows of the exported CSV with the columns in TYPED only (what a person would type; what
the program alone makes, such as ids, chances, spans, agreement, descriptions, is left out), the characters of
each filled cell and one Tab a column. The names of questions count as column headings: of the evidence only
the answers' own texts are counted, and for grades and faults only what was seen.

Keystroke-Level Model: S. K. Card, T. P. Moran, A. Newell, "The keystroke-level model for user performance time
with interactive systems", Communications of the ACM 23(7), 1980, 396-410 (values second-hand): K .20 s for an
average skilled typist, M 1.35 s of mental preparation. An M is put before each title search, each question
looked at (an answer given; a part taken up that has none, too, is looked at once), each runout, each grade, each
fault menu, each extra and each price decision; on the bench alone one more for reading the list of titles before
one is taken, since completion costs reading (H. H. Koester, S. P. Levine, 1994). The spreadsheet gets the same M's
but for that one: the same decisions are made before it. Reading the record itself, handling it, is in neither.
"""

import argparse
import asyncio
import csv
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from measuring import median, press, tell

from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import copy_demo, empty_demo, script_path
from benchtui.desk.core.desk import Desk
from benchtui.desk.keyboard.script import Script, Step, read_script
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

K, M = 0.20, 1.35
PURPOSES = ("title", "parts", "runout", "grade", "clues", "faults", "extras", "price", "take-in", "other")
MENTAL = ("title", "list", "runout", "grade", "clues", "faults", "extras", "price")

TYPED = (
    *("title_artist", "title_name", "title_catalogue", "title_company", "title_first", "title_channels"),
    *("title_size_in", "pressing_name", "disc_count", "disc_material", "disc_grade", "disc_grades"),
    *("disc_faults", "disc_runouts", "cover_kind", "cover_grade", "cover_grades", "cover_faults"),
    *("inner_count", "inner_grade", "inner_faults", "wrap_grade", "wrap_faults", "extras_present"),
    *("extras_missing", "extras_grades", "extras_faults", "evidence_seen", "money_price"),
    *("money_currency", "chores_open", "note_text"),
)
"""Columns of the intake CSV that a person typing the row would fill."""

LINE_FOR = {"title": "title", "runout": "runout", "price": "price", "clue-number": "clues", "clue-titles": "clues",
            "jump-clue": "clues", "extra-name": "extras"}  # fmt: skip
ACTION_FOR = {"find-title": "title", "next-part": "parts", "take-cover": "parts", "take-disc": "parts",
              "take-inner": "parts", "take-extra": "parts", "add-part": "parts", "not-here": "parts", "jump-clue": "clues",
              "previous-clue": "clues", "next-clue": "clues", "runout": "runout", "shade-up": "grade",
              "shade-down": "grade", "grade-ladder": "grade", "fault": "faults", "price-accept": "price",
              "price-hand": "price", "take-in": "take-in", "ruling": "clues", "looked": "clues", "pressing": "clues"}  # fmt: skip


def use_of(desk: Desk, key: str) -> str:
    return desk.references.keymap.use(desk.open.scope, key) or ""


def part_kind(desk: Desk) -> str:
    part = desk.work.part
    return part["kind"] if part else ""


class Watch:
    """What one key was for. ``before`` the press and ``purpose`` after it belong together."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.menu_for = "other"

    def before(self, key: str) -> None:
        desk = self.desk
        self.scope, self.use = desk.open.scope, use_of(desk, key)
        self.line = desk.open.line.name if desk.open.line else ""
        self.kind, self.had_title = part_kind(desk), bool(desk.work.record and desk.work.record["title"])
        self.record, self.page = desk.work.record_id, bool(desk.open.page)

    def purpose(self) -> str:
        """Follows a menu to the key that opened it; questions of extras are extras."""
        found = self._of()
        if self.desk.open.menu is not None and self.scope != "menu":
            self.menu_for = found
        return found

    def _of(self) -> str:
        if self.page or self.scope == "page":
            return "other"
        if self.scope == "line":
            return LINE_FOR.get(self.line, "other")
        if self.scope == "menu":
            return self.menu_for
        if self.use.startswith("grade:"):
            return "grade"
        if self.use == "next-part" and part_kind(self.desk) == "extra":
            return "extras"
        if self.use.startswith("answer-"):
            return "extras" if self.kind == "extra" else "clues"
        if self.use == "ditto":
            return "clues" if self.had_title else "title"
        return ACTION_FOR.get(self.use, "other")

    def thought(self, purpose: str) -> list[str]:
        """Which M's stand before this key."""
        opened = self.desk.open.line.name if self.desk.open.line else ""
        if self.scope == "bench" and self.use.startswith(("grade:", "answer-")):
            return [purpose]
        if self.scope == "bench" and self.use in ("next-clue", "ditto", "jump-clue"):
            return [purpose]
        if self.scope == "bench" and self.use in ("fault", "price-accept", "price-hand", "runout"):
            return [purpose]
        if self.scope == "line" and self.line == "title" and not opened:
            return ["title", "list"]
        return []


async def watched(app: BenchApp, script: Script) -> list[tuple[str, str, list[str]]]:
    """For every key: record ("" for the parcel's own), purpose, M's."""
    found = []
    async with app.run_test(size=(120, 40), notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        watch = Watch(app.desk)
        for step in script.steps:
            if step.kind == "key":
                found.append(await seen(app, watch, step))
    return found


async def seen(app: BenchApp, watch: Watch, step: Step) -> tuple[str, str, list[str]]:
    watch.before(step.name)
    await press(app, step)
    purpose = watch.purpose()
    on_page = watch.page or watch.record is None
    return (
        "" if on_page else str(watch.record),
        "parcel" if on_page else purpose,
        [] if on_page else watch.thought(purpose),
    )


# -- the spreadsheet ----------------------------------------------------------------------------------


def sheet_row(row: dict[str, str]) -> int:
    """Characters of the filled columns a person would type, and a Tab each; one grade is not typed twice."""
    cells = []
    for name in TYPED:
        cell = row.get(name) or ""
        if name in ("disc_grades", "cover_grades") and cell == row.get(name[:-1]):
            continue
        cells += [answers_only(cell) if name == "evidence_seen" else cell] if cell else []
    return sum(len(cell) + 1 for cell in cells)


def answers_only(text: str) -> str:
    """``cover, front: Top edge: MONO | ...`` to the answers, a Tab between them."""
    return "\t".join(each.rpartition(": ")[2] for each in text.split(" | "))


def played(path: Path, script: Script) -> dict[str, Any]:
    """Plays it and reads the export."""
    (copy_demo if script.shop == "demo" else empty_demo)(path)
    shop = Shop.open(path)
    try:
        desk, notice = open_desk(shop, script.keymap)
        keys = asyncio.run(watched(BenchApp(desk, error=notice), script))
        records = [record for record in desk.work.records if record["state"] == "taken-in"]
        by_stock = {str(record["stock"]): record["id"] for record in records}
        with sorted((path / "exports").glob("intake-*.csv"))[-1].open(
            encoding="utf-8-sig", newline=""
        ) as file:
            rows = {
                by_stock[row["stock_number"]]: row
                for row in csv.DictReader(file)
                if row["stock_number"] in by_stock
            }
        names = {
            record["id"]: f"{record['no']} {record['title']['title'] if record['title'] else ''}"
            for record in records
        }
    finally:
        shop.close()
    return {"keys": keys, "rows": rows, "names": names}


def figures(
    keys: list[tuple[str, str, list[str]]], rows: dict[str, dict[str, str]], names: dict[str, str]
) -> dict[str, Any]:
    """Per record: keys by purpose, M's, times; the spreadsheet's beside them."""
    each = []
    for record, row in rows.items():
        mine = [(purpose, thoughts) for who, purpose, thoughts in keys if who == record]
        by = Counter(purpose for purpose, _ in mine)
        thoughts = Counter(thought for _, some in mine for thought in some)
        typed, shared = sheet_row(row), sum(count for what, count in thoughts.items() if what != "list")
        each.append({
            "record": names[record], "keys": len(mine), "by": {name: by[name] for name in PURPOSES},
            "m": {name: thoughts[name] for name in MENTAL}, "sheet_keys": typed,
            "seconds": round(len(mine) * K + sum(thoughts.values()) * M, 1),
            "sheet_seconds": round(typed * K + shared * M, 1)})  # fmt: skip
    of_parcel = sum(1 for who, _, _ in keys if not who)
    return {"all_keys": len(keys), "parcel_keys": of_parcel, "records": each}


def summary(found: dict[str, Any]) -> list[str]:
    each = found["records"]
    lines = [
        f"{'record':30}{'keys':>5} "
        + "".join(f"{name:>8}" for name in PURPOSES)
        + f"{'sheet':>7}{'ratio':>7}{'KLM s':>7}{'sheet s':>8}"
    ]
    for one in each:
        counts = "".join(f"{one['by'][name]:8}" for name in PURPOSES)
        lines.append(f"{one['record'][:29]:30}{one['keys']:5} {counts}{one['sheet_keys']:7}"
                     f"{one['keys'] / one['sheet_keys']:7.2f}{one['seconds']:7.1f}{one['sheet_seconds']:8.1f}")  # fmt: skip
    middle = found["median"]
    lines.append(f"{'median':30}{middle['keys']:5.0f} " + "".join(f"{middle['by'][name]:8.1f}" for name in PURPOSES)
                 + f"{middle['sheet_keys']:7.0f}{middle['ratio']:7.2f}{middle['seconds']:7.1f}{middle['sheet_seconds']:8.1f}")  # fmt: skip
    lines.append(
        f"all keys {found['all_keys']}, of these the parcel's own lines and pages {found['parcel_keys']}"
    )
    lines.append(
        f"KLM with K {K:.2f} s, M {M:.2f} s; M's a record, median: {middle['m']:.0f} on the bench, {middle['sheet_m']:.0f} at the sheet"
    )
    return lines


def medians(found: dict[str, Any]) -> dict[str, Any]:
    each = found["records"]
    plain = {
        name: median(one[name] for one in each) for name in ("keys", "sheet_keys", "seconds", "sheet_seconds")
    }
    return {
        **plain,
        "ratio": median(one["keys"] / one["sheet_keys"] for one in each),
        "by": {name: median(one["by"][name] for one in each) for name in PURPOSES},
        "m": median(sum(one["m"].values()) for one in each),
        "sheet_m": median(sum(one["m"].values()) - one["m"]["list"] for one in each),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description="keys a record by purpose, beside a spreadsheet")
    parser.add_argument("keys", nargs="?", default="fifteen")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="bench-keys-") as place:
        got = played(Path(place) / "shop", read_script(script_path(given.keys)))
    found = figures(got["keys"], got["rows"], got["names"])
    found["median"] = medians(found)
    tell(found, summary(found), given.json)


if __name__ == "__main__":
    main()
