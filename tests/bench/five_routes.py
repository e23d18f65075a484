"""Five routes to one book: keys, estimated minutes, and what ten copies are called afterwards.

    python tests/bench/five_routes.py [--json]

One invented field (3 titles, 4 questions, 14 pressings) is told to five new shops: as TOML in an editor, with
14 copies in the hand, as a ladder, on the titles' pages, as a spreadsheet. Every key of the bench is pressed
and counted; in a text file and in a spreadsheet every sign is a key, Tab and Enter too. Then the same ten
copies are looked at in each shop.

Minutes by the Keystroke-Level Model (Card, Moran and Newell 1980; see bench_keys.py): K .20 s a key, and M
1.35 s before each word of a line (a number, a date and a bar are words) and each key that is no word's. In a
file too: somebody who writes TOML looks up before each word. What is known already (which label came when) and
the handling of records are in none.
"""

import argparse
import csv
import json
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench_app"))

from bench_hands import Hands, sit_down

from benchtui.desk.book.cells import CARD
from benchtui.desk.queue.background import work_on
from benchtui.store import Shop

K, M = 0.20, 1.35
FIELD = "Whelkin; XV"
QUESTIONS = {
    "tint": ("disc label", {"green": "..1963", "orange": "1964..1966", "silver": "1967.."}),
    "motto": ("disc label", {"short": "..1965", "long": "1966.."}),
    "lining": ("inner whole", {"plain": "..1964", "lined": "1965.."}),
    "gloss": ("cover front", {"shiny": "..1968", "matt": "1969.."}),
}
STRETCHES = (
    ("1962..1963", "green", "short", "plain", "shiny"), ("1964", "orange", "short", "plain", "shiny"),
    ("1965", "orange", "short", "lined", "shiny"), ("1966", "orange", "long", "lined", "shiny"),
    ("1967..1968", "silver", "long", "lined", "shiny"), ("1969..1975", "silver", "long", "lined", "matt"),
)  # fmt: skip
TITLES = {
    ("Marl Tanner", "Ford and Fathom", "WK 301", "1962"): STRETCHES,
    ("The Pellow Sisters", "Nine Bells Slow", "WK 317", "1964"): STRETCHES[1:],
    ("Osk Derriman", "Pilot Light", "WK 340", "1966"): STRETCHES[3:],
}
COPIES = (
    ("Ford and Fathom", 0, ("green", "", "", "")),
    ("Ford and Fathom", 1, ("orange", "", "plain", "")),
    ("Ford and Fathom", 2, ("orange", "short", "lined", "shiny")),
    ("Ford and Fathom", 5, ("silver", "long", "", "matt")),
    ("Nine Bells Slow", 0, ("orange", "short", "plain", "")),
    ("Nine Bells Slow", 2, ("orange", "long", "", "shiny")),
    ("Nine Bells Slow", 3, ("silver", "long", "lined", "shiny")),
    ("Pilot Light", 0, ("orange", "", "", "shiny")),
    ("Pilot Light", 1, ("silver", "", "lined", "shiny")),
    ("Pilot Light", 2, ("silver", "long", "lined", "matt")),
)
"""Ten copies: title, which of its pressings, what was seen of the four questions ("": nothing)."""


def name_of(row: tuple[str, ...]) -> str:
    return f"{row[1]} {row[0].replace('..', '-')}"


@dataclass
class Told:
    """Keys and units of thought of one route."""

    keys: int = 0
    units: int = 0
    shop: Path = field(default_factory=Path)

    @property
    def minutes(self) -> float:
        return (self.keys * K + self.units * M) / 60


class Counted:
    """Hands whose keys are counted: a line's words each, every other key by itself."""

    def __init__(self, hands: Hands, told: Told) -> None:
        self.hands, self.told = hands, told

    def key(self, *keys: str) -> "Counted":
        self.told.keys += len(keys)
        self.told.units += len(keys)
        self.hands.key(*keys)
        assert not self.hands.refused, (keys, self.hands.said)
        return self

    def type(self, text: str) -> "Counted":
        self.told.keys += len(text)
        self.told.units += len(text.split())
        self.hands.type(text)
        return self

    def enter(self, text: str = "") -> "Counted":
        return self.type(text).key("enter")

    def find(self, words: str) -> "Counted":
        """A command by its words, in the list of all."""
        return self.key(".").enter(words)


def opened(path: Path, told: Told) -> Counted:
    Shop.create(path, currency="GBP").close()
    told.shop = path
    hand = Counted(sit_down(path), told)
    if hand.hands.desk.open.page is not None:
        hand.key("escape")
    return hand


def set_field(hand: Counted) -> None:
    hand.find("your field").enter(FIELD)


# -- the routes -------------------------------------------------------------------------------------------


def by_hand(path: Path) -> Told:
    """TOML in an editor, as the README's format has it, each answer's date with it."""
    lines = ["[book]", 'name = "Whelkin"', 'company = "Whelkin"', 'country = "XV"', ""]
    for n, (ask, (where, answers)) in enumerate(QUESTIONS.items(), 1):
        part, place = where.split()
        lines += [
            "[[clue]]",
            f'id = "wk{n}"',
            f'ask = "{ask}"',
            f'part = "{part}"',
            f'place = "{place}"',
            "answer = [",
        ]
        lines += [
            f'  {{ id = "{one}", text = "{one}", made = "[{made}]" }},' for one, made in answers.items()
        ]
        lines += ["]", ""]
    for n, ((artist, title, number, first), rows) in enumerate(TITLES.items(), 1):
        lines += [
            "[[title]]",
            f'id = "t{n}"',
            f'artist = "{artist}"',
            f'title = "{title}"',
            f'first = "{first}"',
        ]
        lines += [f'catalogues = ["{number}"]', ""]
        for at, row in enumerate(rows, 1):
            period = f"[{row[0]}]" if ".." in row[0] else row[0]
            lines += [
                "[[title.pressing]]",
                f'id = "t{n}/{at}"',
                f'name = "{name_of(row)}"',
                f'period = "{period}"',
            ]
            told = ", ".join(f'wk{no} = "{one}"' for no, one in enumerate(row[1:], 1))
            lines += [f"expect = {{ {told} }}", ""]
    text = "\n".join(lines)
    written = Told(len(text), len(text.split()))
    opened(path, Told()).hands.leave()
    (path / "books").mkdir(exist_ok=True)
    (path / "books" / "whelkin.toml").write_text(text, encoding="utf-8")
    written.shop = path
    return written


def on_the_bench(path: Path) -> Told:
    """With a copy of each pressing in the hand: questions as they come up, pressings as they turn out new."""
    told = Told()
    hand = opened(path, told)
    set_field(hand)
    hand.hands.new_parcel(14, "Una Dovrick")
    made: set[str] = set()
    for title, rows in TITLES.items():
        for at, row in enumerate(rows):
            new = at == 0
            hand.type(" - ".join(title) if new else title[1][:5].lower()).key("enter")
            for (ask, (where, answers)), answer in zip(QUESTIONS.items(), row[1:], strict=True):
                hand.hands.take(where.split()[0])  # the part is in the hand: it is being looked at anyway
                if ask in made:
                    hand.key(";").type(ask).key("enter")
                    assert hand.hands.desk.clue is not None
                    assert hand.hands.desk.clue.ask == ask
                else:
                    hand.key(";").type(f"{where.split()[1]} {ask}").key("insert")
                    hand.type(" / ".join(f"{one} {date}" for one, date in answers.items())).key("enter")
                    made.add(ask)
                hand.key(str([*answers].index(answer) + 1))
            _call_it(hand, row)
            hand.hands.do("later")
    hand.hands.leave()
    return told


def _call_it(hand: Counted, row: tuple[str, ...]) -> None:
    """The proposed pressing of those years, where the dated answers told so far propose it; else a new one."""
    hand.key("q")
    menu = hand.hands.desk.open.menu
    assert menu is not None
    wanted = f", {row[0].replace('..', ' to ')} (proposed)"
    meant = [
        one.key for one in menu.choices if wanted in one.words and one.words.startswith(", ".join(row[1:4]))
    ]
    if meant:
        hand.key(meant[0])
        return
    hand.key("n")
    menu = hand.hands.desk.open.menu
    assert menu is not None
    hand.key(*[choice.key for choice in menu.choices if choice.key.isdigit()], "n")
    hand.hands.desk.open.line.replace = True  # type: ignore[union-attr]
    hand.type(name_of(row)).key("enter")


def on_the_ladder(path: Path) -> Told:
    """What came in when; of the titles only the card."""
    told = Told()
    hand = opened(path, told)
    set_field(hand)
    hand.find("ladder")
    for ask, (where, answers) in QUESTIONS.items():
        hand.key(";").enter(
            f"{where}: {ask} / " + " / ".join(f"{one} {made}" for one, made in answers.items())
        )
    hand.key("escape").find("book titles")
    for title in TITLES:
        hand.key("insert").enter(" - ".join(title)).key("escape")
    hand.hands.leave()
    return told


def on_the_grid(path: Path) -> Told:
    """On the titles' pages, cell by cell; a pressing is split off the one before."""
    told = Told()
    hand = opened(path, told)
    set_field(hand)
    hand.find("book titles")
    for n, (title, rows) in enumerate(TITLES.items()):
        hand.key("insert").enter(" - ".join(title))
        before: tuple[str, ...] = ("",) * 5
        for row in rows:
            hand.key("insert").enter(name_of(row))
            hand.key("right").key("enter").enter(row[0])
            _cells(hand, row, before, n == 0 and before[0] == "")
            before = row
        hand.key("escape")
    hand.hands.leave()
    return told


def _cells(hand: Counted, row: tuple[str, ...], before: tuple[str, ...], first: bool) -> None:
    """The answers that are not those of the pressing before."""
    for (ask, (where, answers)), answer, was in zip(QUESTIONS.items(), row[1:], before[1:], strict=True):
        if answer == was:
            continue
        told = f"{where}: {ask} / " + " / ".join(f"{one} {made}" for one, made in answers.items())
        hand.key(";").enter(told if first else ask)
        hand.key("enter").enter(answer)
    page = hand.hands.desk.open.page
    assert page is not None
    assert page.marked >= len(CARD)
    page.data["at"] = 0


def from_a_spreadsheet(path: Path) -> Told:
    """A row a pressing, typed into a sheet; then taken in on the bench."""
    told = Told()
    head = ["artist", "title", "number", "first", "company", "country", "pressing", "made", *QUESTIONS]
    lines = [head]
    for title, rows in TITLES.items():
        for at, row in enumerate(rows):
            card = [*title, "Whelkin", "XV"] if at == 0 else [""] * 6
            lines.append([*card, name_of(row), row[0], *row[1:]])
    told.keys += sum(len(cell) + 1 for line in lines for cell in line)
    told.units += sum(len(cell.split()) for line in lines for cell in line)
    hand = opened(path, told)
    with (path / "sheet.csv").open("w", newline="", encoding="utf-8") as stream:
        csv.writer(stream).writerows(lines)
    hand.find("take table").enter("sheet.csv")
    while work_on(hand.hands.desk):
        pass
    for ask, (where, _) in QUESTIONS.items():
        _decide(hand, ask, where)
    page = hand.hands.desk.open.page
    assert page is not None
    _mark(hand, "write")
    hand.key("enter", "1")
    hand.hands.leave()
    return told


def _decide(hand: Counted, ask: str, where: str) -> None:
    """Part and place of a new column, where the page asks."""


def _mark(hand: Counted, key: str) -> None:
    from benchtui.desk.book.table_rows import items

    at = next(no for no, one in enumerate(items(hand.hands.desk)) if one.key.startswith(key))
    page = hand.hands.desk.open.page
    assert page is not None
    moves = at - page.marked
    hand.key(*(["down"] * moves if moves > 0 else ["up"] * -moves))


ROUTES: dict[str, Callable[[Path], Told]] = {
    "TOML by hand": by_hand,
    "at the bench": on_the_bench,
    "ladder": on_the_ladder,
    "grid": on_the_grid,
    "spreadsheet": from_a_spreadsheet,
}


# -- ten copies -------------------------------------------------------------------------------------------


def concluded(shop: Path) -> list[dict[str, Any]]:
    """What leads for each of the ten copies, how likely, and when it was made."""
    hands, found = sit_down(shop), []
    hands.do("parcels-page").do("page-new").enter("Wim Ostler").enter().enter(str(len(COPIES)))
    hands.do("line-leave", "page-leave")
    asks = {" ".join(clue.ask.casefold().split()): clue for clue in hands.desk.library.clues()}
    rows = {title[1]: several for title, several in TITLES.items()}
    for title, at, seen in COPIES:
        hands.find(title)
        for ask, answer in zip(QUESTIONS, seen, strict=True):
            if not answer:
                continue
            clue = asks[ask]
            hands.take(clue.part)
            hands.ask(ask)
            hands.do(f"answer-{next(one.digit for one in clue.answers if one.text == answer)}")
        weighing = hands.desk.weighing()
        lead = weighing.pressings[0] if weighing else None
        leader = weighing.leader if weighing else None
        found.append({
            "title": title, "meant": name_of(rows[title][at]), "leads": leader.name if leader else "none of these",
            "p": round(lead.p, 3) if lead else 0, "settled": bool(weighing and weighing.settled),
        })  # fmt: skip
        hands.do("later")
    hands.leave()
    return found


def run(folder: Path) -> dict[str, Any]:
    """Each route's keys, units, minutes, and its ten conclusions."""
    made = {}
    for name, route in ROUTES.items():
        told = route(folder / name.replace(" ", "-"))
        made[name] = {
            "keys": told.keys, "units": told.units, "minutes": round(told.minutes, 1),
            "copies": concluded(told.shop),
        }  # fmt: skip
    return made


def main() -> None:
    given = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    given.add_argument("--json", action="store_true")
    asked = given.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        made = run(Path(folder))
    if asked.json:
        print(json.dumps(made, indent=1))
        return
    for name, one in made.items():
        years = [(copy["meant"].split()[1].replace("-", " to "), copy["leads"]) for copy in one["copies"]]
        right = sum(when in leads or when.replace(" to ", "-") in leads for when, leads in years)
        told = f"{one['keys']:5} keys  {one['units']:4} units  {one['minutes']:5.1f} minutes"
        print(f"{name:14} {told}, the pressing meant leads for {right} of {len(years)} copies")
        for copy in one["copies"]:
            print(
                f"    {copy['title']:16} {copy['meant']:18} {copy['leads']:50} {copy['p']:.3f} {copy['settled']}"
            )


if __name__ == "__main__":
    main()
