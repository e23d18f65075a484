"""A day of 200 records: four parcels, two senders, one consigned, in a field of which half is known.

    python tests/bench/whole_day.py [--records 50] [--titles 40] [--seed 7] [--screen 80x24] [--json]

An invented company (evidence_field.py) whose questions are in the shop's book, with the pressings of every other
title; of the rest there is only a list of titles. A simulated dealer types the title, answers what the bench asks
from the copy, grades each part, notes a fault now and then, and takes the record in. Where the bench is not sure
they say which pressing it is, or make a new one: they know their field. Where it is sure they believe it.

Told for each parcel: keys a record (median), of them for naming a pressing, questions answered, records settled,
settled wrongly, "one I do not have" said rightly and wrongly, seconds by the Keystroke-Level Model (bench_keys.py)
and of the machine; at the end memory and size on disk. ``--screen`` plays the same keys once more through the app
and tells p50 and p95 of a key until the screen is at rest.
"""

import argparse
import asyncio
import json
import os
import random
import re
import resource
import statistics
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench_app"))
os.environ.setdefault("TEXTUAL_FPS", "1000")  # nobody looks: no key waits for the next frame

import numpy as np
from bench_hands import Clock, Hands, sit_down
from evidence_field import Field, FieldCopy
from evidence_unknown import clues_of, pressing_of
from measuring import SYLLABLES, press, share

from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import parse_size
from benchtui.books.shape import Clue, Pressing
from benchtui.desk.ask.asking import HERE, ahead, is_incomplete, is_runout
from benchtui.desk.core.keys import SIGNS, key_name
from benchtui.desk.keyboard.script import Step
from benchtui.desk.session.start import open_desk
from benchtui.evidence import Weighing
from benchtui.store import Shop
from benchtui.titles.takein import take_in

SENDERS = (
    ("Una Dovrick", "bought"),
    ("Wim Ostler", "bought"),
    ("Una Dovrick", "bought"),
    ("Wim Ostler", "consigned"),
)
K, M = 0.20, 1.35
ALWAYS = 0.9
"""A state that so many of a pressing's copies show is one that all of them show, but for slips."""
GRADES = ("NM", "VG", "VG", "VG", "G")


# -- the field, as files of a shop --------------------------------------------------------------------------


def names(count: int, seed: int) -> list[tuple[str, str, str]]:
    """Artist, title and number of so many titles, made of syllables; no two alike."""
    rng = random.Random(seed)

    def word() -> str:
        return "".join(rng.choice(SYLLABLES) for _ in range(rng.choice((2, 3)))).title()

    return [(f"{word()} {word()}", f"{word()} {word()} {word()}", f"MG {101 + no}") for no in range(count)]


def quoted(text: str) -> str:
    return json.dumps(text)


def clue_lines(clue: Clue) -> list[str]:
    lines = [
        "[[clue]]",
        f"id = {quoted(clue.id)}",
        f"ask = {quoted('Mossgate ' + clue.id)}",
        f'part = "{clue.part}"',
    ]
    if clue.form == "cut":
        lines += ['place = "runout"', 'form = "cut"', "per_side = true"]
    else:
        lines += [f'place = "{ {"disc": "label", "cover": "front", "inner": "whole"}[clue.part] }"']
    lines += [f"seconds = {clue.seconds:g}", ""]
    for answer in clue.answers:
        lines += [
            "[[clue.answer]]",
            f"id = {quoted(answer.id)}",
            f"text = {quoted(f'{clue.id} {answer.id}')}",
        ]
        if answer.span is not None and (answer.span.earliest or answer.span.latest):
            lines += [
                f'made = "[{answer.span.earliest or ""}..{answer.span.latest or ""}]"',
                'hardness = "firm"',
            ]
        lines += [""]
    return lines


def pressing_lines(one: Pressing, title: str) -> list[str]:
    lines = [
        "[[title.pressing]]", f"id = {quoted(one.id)}", f"name = {quoted(name_of(one.id))}",
        f'period = "[{one.period.earliest}..{one.period.latest}]"', f"share = {one.share:g}", 'price = "18.00"',
        f"cuts = {json.dumps([[*pair, word] for pair, word in one.cuts])}", "[title.pressing.expect]",
    ]  # fmt: skip
    told = {clue: ", ".join(f'{a} = "{word}"' for a, word in row.items()) for clue, row in one.expect.items()}
    return [*lines, *(f"{clue} = {{ {row} }}" for clue, row in told.items()), ""]


def name_of(pressing: str) -> str:
    """t3/2 is called issue 3 of its title."""
    return f"issue {int(pressing.split('/')[1]) + 1}"


def named(words: str) -> str:
    """The clue that a row of what differs is about: "Mossgate label label a2" is of label."""
    found = re.search(r"Mossgate (\w+)", words)
    return found[1] if found else ""


def make_shop(path: Path, world: Field, titles: list[tuple[str, str, str]]) -> None:
    """A shop with a list of all titles, and a book with the pressings of every other one."""
    Shop.create(path, currency="GBP").close()
    listed = path / "mossgate.csv"
    rows = [f'"{artist}","{title}","{number}",{int(world.titles[no][0].start)},Mossgate,XV,12'
            for no, (artist, title, number) in enumerate(titles)]  # fmt: skip
    listed.write_text("artist,title,number,year,company,country,size\n" + "\n".join(rows) + "\n")
    (path / "titles").mkdir(exist_ok=True)
    take_in(listed, path / "titles", doubtful="keep")
    lines = ["[book]", 'name = "Mossgate"', 'company = "Mossgate"', 'country = "XV"', 'currency = "GBP"', ""]
    for clue in clues_of(world):
        lines += clue_lines(clue)
    for no, (artist, title, number) in enumerate(titles):
        if no % 2:
            continue
        lines += ["[[title]]", f'id = "t{no}"', f"artist = {quoted(artist)}", f"title = {quoted(title)}",
                  f'first = "{int(world.titles[no][0].start)}"', f"catalogues = [{quoted(number)}]", ""]  # fmt: skip
        for one in world.titles[no]:
            lines += pressing_lines(pressing_of(one), title)
    (path / "books").mkdir(exist_ok=True)
    (path / "books" / "mossgate.toml").write_text("\n".join(lines), encoding="utf-8")


# -- the dealer -----------------------------------------------------------------------------------------------


@dataclass
class Row:
    """What one record took, and what became of it."""

    keys: int = 0
    naming: int = 0
    asked: int = 0
    thoughts: int = 0
    machine: float = 0.0
    known: bool = False
    settled: bool = False
    wrong: bool = False
    new_rightly: bool = False
    new_wrongly: bool = False


@dataclass
class Dealer:
    """Hands whose every key is kept, and a head that knows the field."""

    hands: Hands
    world: Field
    titles: list[tuple[str, str, str]]
    steps: list[Step] = field(default_factory=list)
    made: set[str] = field(default_factory=set)
    row: Row = field(default_factory=Row)
    rng: random.Random = field(default_factory=lambda: random.Random(3))

    def key(self, *keys: str, thought: bool = True) -> None:
        for one in keys:
            name = key_name(one)
            char = one if len(one) == 1 else SIGNS.get(name, " " if name == "space" else None)
            self.steps.append(Step(0, "key", name, char))
            self.row.keys += 1
            begun = time.process_time()
            self.hands.step(self.steps[-1])
            self.row.machine += time.process_time() - begun
        self.row.thoughts += bool(keys) and thought

    def do(self, action: str) -> None:
        key = self.hands.desk.references.keymap.first_key(action)
        assert key is not None, action
        self.key(key)

    def type(self, text: str) -> None:
        for n, char in enumerate(text):
            self.key(char, thought=n == 0)

    def enter(self, text: str = "") -> None:
        self.type(text)
        self.key("enter")

    # -- a record

    def title(self, no: int) -> None:
        """Letters of the title until it is the first of the list."""
        _, title, number = self.titles[no]
        if self.hands.desk.open.line is None:
            self.do("find-title")
        for char in title.lower():
            self.key(char, thought=False)
            line = self.hands.desk.open.line
            assert line is not None
            first = line.picks[0] if line.picks else None
            if first is not None and number in "".join(text for text, _ in (*first.spans, first.end)):
                break
        self.row.thoughts += 1
        self.key("enter")

    def looks(self, copy: FieldCopy) -> None:
        """Every question that the bench asks, every part's grade, until nothing more is wanted."""
        desk = self.hands.desk
        for _ in range(60):
            if desk.open.line is not None:
                side = desk.open.line.label
                self.enter(str(copy.cuts[1 if "B" in side.split()[-1] or "side B" in side else 0]))
                continue
            if desk.open.menu is not None:
                self.key("escape")
                continue
            record, part, asked = desk.work.record, desk.work.part, desk.asking.asked
            assert record is not None
            assert part is not None
            if asked is not None:
                self.answer(copy, part["kind"], asked)
                continue
            if is_incomplete(part):
                self.grade()
                continue
            following = ahead(desk)
            if following is None:
                return
            if following.asked is not None:
                self.answer(copy, following.part["kind"], following.asked)
            else:
                self.do("next-part")
        raise AssertionError(f"no end of questions: {desk.open.message}")

    def answer(self, copy: FieldCopy, kind: str, asked: Any) -> None:
        desk = self.hands.desk
        self.row.asked += 1
        if asked == HERE:
            self.do("answer-1")
        elif is_runout(desk, asked):
            self.key(str(copy.cuts[1 if asked[0].endswith("B") else 0]), "enter")
        else:
            clue = desk.library.clue(asked[1])
            assert clue is not None
            seen = copy.answers.get(kind, {}).get(clue.id)
            digit = None if seen is None else next(a.digit for a in clue.answers if a.id == f"a{seen}")
            self.do("next-clue" if digit is None else f"answer-{digit}")

    def grade(self) -> None:
        self.do(f"grade:{self.rng.choice(GRADES)}")
        if self.rng.random() < 0.1:
            self.key("x")
            while self.hands.desk.open.menu is not None:
                self.key(self.hands.desk.open.menu.choices[0].key)

    def is_as_proposed(self, copy: FieldCopy, name: str) -> bool:
        """Whether the name of a stretch (label a2, rim a0, 1958 to 1959 (proposed)) is true of the copy."""
        if not name.endswith("(proposed)"):
            return False
        shown = {clue: answer for part in copy.answers.values() for clue, answer in part.items()}
        years = [int(year) for year in re.findall(r"\b\d{4}\b", name)]
        one = self.world.titles[copy.title][copy.truth]
        said = re.findall(r"(\w+) a(\d+)(?: or \1 a(\d+))?", name)
        return (
            bool(years)
            and int(one.start) <= years[-1]
            and int(one.end) >= years[0]
            and all(str(shown[clue]) in states for clue, *states in said)
        )

    def judge(self, copy: FieldCopy, known: bool) -> None:
        """Believes the bench where it is sure; else says which one it is."""
        weighing: Weighing | None = self.hands.desk.weighing()
        leads = weighing.leader.name if weighing is not None and weighing.leader is not None else ""
        name, row = name_of(self.world.titles[copy.title][copy.truth].id), self.row
        row.known = known
        row.settled = bool(weighing and weighing.settled)
        row.wrong = row.settled and leads != name and not self.is_as_proposed(copy, leads)
        if row.settled:
            return
        unlike = weighing is not None and (weighing.held == "unlike" or not leads or "proposed" in leads)
        row.new_rightly, row.new_wrongly = unlike and not known, unlike and known
        before = row.keys
        self.key("q")
        menu = self.hands.desk.open.menu
        assert menu is not None
        meant = [
            one.key
            for one in menu.choices
            if one.words.startswith(name) and not one.words[len(name) : len(name) + 1].isdigit()
        ]
        if meant:
            self.key(meant[0])
        else:
            self.new_one(copy, name)
        row.naming = row.keys - before

    def new_one(self, copy: FieldCopy, name: str) -> None:
        self.key("n")
        menu = self.hands.desk.open.menu
        if menu is not None:  # what differs: the dealer marks the first two that all its copies show
            table = self.world.titles[copy.title][copy.truth].table
            always = [clue for clue, row in table.items() if row.max() >= ALWAYS]
            digits = [one.key for one in menu.choices if one.key.isdigit() and named(one.words) in always]
            self.key(*digits[:2], "n")
        line = self.hands.desk.open.line
        assert line is not None, self.hands.said
        line.replace = True
        self.enter(name)

    def record(self, copy: FieldCopy) -> Row:
        self.row = Row()
        self.title(copy.title)
        truth = self.world.titles[copy.title][copy.truth].id
        known = truth in self.made or copy.title % 2 == 0
        self.looks(copy)
        self.judge(copy, known)
        self.made.add(truth)
        for _ in range(4):
            at = self.hands.desk.work.record_id
            if self.hands.desk.open.menu is not None or self.hands.desk.open.line is not None:
                self.key("escape")
            self.do("take-in")
            if (
                self.hands.desk.work.record_id != at
                or self.hands.desk.work.record is None
                or self.hands.desk.work.record["state"] == "taken-in"
            ):
                return self.row
            if "price" in self.hands.said:
                self.do("price-hand")
                self.enter("15")
        raise AssertionError(self.hands.said)

    def parcel(self, number: int, copies: list[FieldCopy]) -> list[Row]:
        sender, terms = SENDERS[number]
        self.do("parcels-page")
        self.do("page-new")
        self.enter(sender)
        self.enter(terms[0] if terms == "consigned" else "")
        self.enter(str(len(copies)))
        self.enter("400" if terms == "bought" else "")
        self.do("line-leave")
        self.do("page-leave")
        rows = [self.record(copy) for copy in copies]
        self.do("export-day")
        return rows


# -- the day ------------------------------------------------------------------------------------------------------


def draws(world: Field, count: int, seed: int) -> list[FieldCopy]:
    """Copies as parcels have them: some titles often, many once."""
    rng = np.random.default_rng(seed)
    weights = 1 / np.arange(1, len(world.titles) + 1) ** 0.7
    order = rng.permutation(len(world.titles))
    return [world.draw(int(order[rng.choice(len(order), p=weights / weights.sum())])) for _ in range(count)]


def played(
    shop: Path, world: Field, titles: list[tuple[str, str, str]], records: int, seed: int
) -> tuple[list[list[Row]], list[Step]]:
    hands = sit_down(shop)
    if hands.desk.open.page is not None:
        hands.key("escape")
    dealer = Dealer(hands, world, titles)
    dealt = draws(world, records * len(SENDERS), seed)
    days = [dealer.parcel(n, dealt[n * records : (n + 1) * records]) for n in range(len(SENDERS))]
    hands.leave()
    return days, dealer.steps


async def on_screen(shop: Path, steps: list[Step], size: tuple[int, int]) -> list[float]:
    """The same keys through the app; milliseconds of each until the screen is at rest."""
    opened = Shop.open(shop)
    desk, notice = open_desk(opened, None, Clock())
    app = BenchApp(desk, error=notice)
    took: list[float] = []
    async with app.run_test(size=size, notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        if desk.open.page is not None:
            await press(app, Step(0, "key", "escape", None))
        for step in steps:
            took.append(await press(app, step))
    opened.close()
    return took


def figures(rows: list[Row]) -> dict[str, float]:
    """Of one parcel."""
    return {
        "keys, median": statistics.median(row.keys for row in rows),
        "of them naming": round(statistics.mean(row.naming for row in rows), 1),
        "questions": round(statistics.mean(row.asked for row in rows), 1),
        "known before": sum(row.known for row in rows),
        "settled": sum(row.settled for row in rows),
        "settled wrongly": sum(row.wrong for row in rows),
        "not in the book, rightly": sum(row.new_rightly for row in rows),
        "not in the book, wrongly": sum(row.new_wrongly for row in rows),
        "hand, s a record": round(statistics.mean(row.keys * K + row.thoughts * M for row in rows), 1),
        "machine, ms a key": round(
            1000 * sum(row.machine for row in rows) / sum(row.keys for row in rows), 1
        ),
    }


def size_of(folder: Path) -> int:
    return sum(one.stat().st_size for one in folder.rglob("*") if one.is_file())


def main() -> None:
    asked = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asked.add_argument("--records", type=int, default=50, help="in each of the four parcels")
    asked.add_argument("--titles", type=int, default=40)
    asked.add_argument("--seed", type=int, default=7)
    asked.add_argument("--screen", help="play the keys once more through the app of that size")
    asked.add_argument("--json", action="store_true")
    given = asked.parse_args()
    world = Field(given.seed, titles=given.titles, pressings=4 * given.titles, unwritten=0.0)
    titles = names(given.titles, given.seed)
    with tempfile.TemporaryDirectory(prefix="whole-day-") as place:
        shop = Path(place) / "shop"
        make_shop(shop, world, titles)
        before = size_of(shop)
        days, steps = played(shop, world, titles, given.records, given.seed)
        told: dict[str, Any] = {"parcels": [figures(rows) for rows in days]}
        told["keys"] = len(steps)
        told["memory, MB"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        told["on disk, KB"] = (size_of(shop) - before) // 1024
        if given.screen:
            again = Path(place) / "again"
            make_shop(again, world, titles)
            took = asyncio.run(on_screen(again, steps, parse_size(given.screen)))
            told["key to rest, ms"] = {"p50": round(share(took, 50), 1), "p95": round(share(took, 95), 1)}
    if given.json:
        print(json.dumps(told))
        return
    for name in told["parcels"][0]:
        print(f"{name:26}" + "".join(f"{parcel[name]:10}" for parcel in told["parcels"]))
    print("  ".join(f"{name} {value}" for name, value in told.items() if name != "parcels"))


if __name__ == "__main__":
    main()
