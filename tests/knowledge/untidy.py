"""A field of our own invention as somebody's spreadsheet: 60 titles, 300 pressings, 12 clues, nothing tidy.

Everything is drawn from a seed, and what each cell means is kept beside it, so that a test can count what was
placed, asked, refused, and placed wrongly.
"""

import random
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from openpyxl import Workbook

GROUPS = {
    "LABEL": {
        "paper": ["moss green", "slate grey", "oatmeal", "copper red"],
        "rim": ["broad silver band", "thin silver line", "no band"],
        "print": ["raised letters", "flat letters"],
        "sound word": ["MONAURAL", "STEREOPHONIC", "nothing"],
    },
    "COVER": {
        "make": ["folded flaps", "glued seams", "two boards with cloth spine"],
        "lamination": ["front and back", "front only", "matt varnish"],
        "address on back": ["Quarry Lane", "Tannery Yard", "Pier Street"],
        "price code": ["lantern", "anchor", "thistle", "kettle"],
    },
    "INNER": {
        "inner sleeve": ["plain buff", "lined white", "list of the series", "polythene"],
        "corner": ["square cut", "rounded"],
    },
    "DISC": {
        "stamper mark in the runout": ["crescent", "hourglass", "fern"],
        "weight": ["heavy", "middling", "light"],
    },
}
FIRST = ["Harrow", "Tallow", "Bramble", "Cinder", "Wicket", "Marrow", "Lantern", "Osier", "Pewter", "Thimble"]
SECOND = ["Choir", "Trio", "Weavers", "Band", "Sisters", "Quartet"]
WORDS = ["Orchard", "Tollgate", "Causeway", "Millrace", "Stubble", "Harbour", "Candle", "Furlong", "Thicket", "Weir",
         "Almanac", "Paddock"]  # fmt: skip
MOODS = ["Quiet", "Winter", "Seven", "Crooked", "Market", "Early"]
WORD = {"mostly": "usually", "rarely": "rarely", "sometimes": "sometimes"}
HEAD = ["Artist", "Album", "Cat. No.", "Variant", "From", "until", "Value (GBP)", "Remarks"]


@dataclass
class Made:
    """What stands in the sheet: per (title, pressing) its clues' words, by column and answer's text."""

    words: dict[tuple[str, str], dict[str, dict[str, str]]] = field(default_factory=dict)
    spans: dict[tuple[str, str], tuple[str, str]] = field(default_factory=dict)
    slips: int = 0
    unknown: int = 0
    junk: int = 0


def columns() -> list[tuple[str, str, list[str]]]:
    """Group, name and answers of each clue."""
    return [(group, name, answers) for group, named in GROUPS.items() for name, answers in named.items()]


def write_untidy(path: Path, seed: int = 16, titles: int = 60) -> Made:
    """Writes the sheet of so many titles, at most 72; what it means."""
    draw = random.Random(seed)
    book, made = Workbook(), Made()
    sheet = book.active
    assert sheet is not None
    sheet.title = "variants"
    book.create_sheet("odds and ends").append(["to do", "ring the printer"])
    sheet.append(["Mossgate Sound: what I know of the variants (begun in the winter, never finished)"])
    sheet.append([])
    over: list[str | None] = [None] * len(HEAD)
    for group, named in GROUPS.items():
        over += [group] + [None] * (len(named) - 1)
    sheet.append(over)
    at = len(HEAD) + 1
    for named in GROUPS.values():
        sheet.merge_cells(start_row=3, end_row=3, start_column=at, end_column=at + len(named) - 1)
        at += len(named)
    sheet.append([*HEAD, *(name.upper() if draw.random() < 0.3 else name for _, name, _ in columns())])
    for number, (artist, title) in enumerate(_titles(draw, titles)):
        _title(sheet, made, draw, number, artist, title)
        if number % 17 == 16:
            sheet.append([])
    sheet.append([])
    sheet.append([None, None, None, f"{titles} titles in all, to be checked"])
    book.save(path)
    return made


def _titles(draw: random.Random, many: int) -> list[tuple[str, str]]:
    names = [f"{mood} {word}" for mood in MOODS for word in WORDS]
    draw.shuffle(names)
    return [(f"The {draw.choice(FIRST)} {draw.choice(SECOND)}", name) for name in names[:many]]


def _title(sheet, made: Made, draw: random.Random, number: int, artist: str, title: str) -> None:
    year = 1958 + number % 20
    before: dict[Any, Any] = {}
    for no in range(5):
        name = ["first", "second", "third", "late", "export"][no]
        start, end = year + 2 * no, year + 2 * no + 1
        key = (title, name)
        made.spans[key] = (str(start), str(end))
        row: list[object] = [artist, title, f"MS {1000 + number}"] if no == 0 else [None, None, None]
        if no == 2 and number % 5 == 0:
            row = ['"', '"', '"']
        row += [name if number % 3 else name.title(), start, end, draw.choice([12, "£18.50", "24,00", 30])]
        row.append(draw.choice([None, None, "seen twice", "from a letter"]))
        made.words[key] = {}
        for group, column, answers in columns():
            row.append(_cell(made, draw, key, f"{group} {column}", answers, no, before))
        sheet.append(row)


def _cell(made, draw, key, column, answers, no, before) -> str | None:
    what = draw.random()
    one = answers[min(no * len(answers) // 5, len(answers) - 1)]
    other = draw.choice([answer for answer in answers if answer != one])
    words: dict[str, str] = {}
    if what < 0.10:
        return None
    if what < 0.16:
        made.unknown += 1
        return draw.choice(["?", "unknown", "??"])
    if what < 0.70:
        words, cell = {one: "always"}, _spelt(draw, one)
    elif what < 0.78:
        words, cell = {one: "usually", other: "usually"}, f"{one}{draw.choice([' / ', '/', ' or '])}{other}"
    elif what < 0.86:
        words, cell = {one: "usually", other: "rarely"}, f"{_spelt(draw, one)}, rarely {other}"
    elif what < 0.90:
        words, cell = {one: "usually", other: "sometimes"}, f"mostly {one}, sometimes {other}"
    elif what < 0.94:
        words, cell = {other: "never"}, f"not {other}"
    elif what < 0.985:
        made.slips += 1
        words, cell = {one: "always"}, _slip(draw, one)
    else:
        made.junk += 1
        return draw.choice(["see the letter of March", "ask Wilf", "photo 12"])
    made.words[key][column] = words
    return cell


def _spelt(draw: random.Random, text: str) -> str:
    return draw.choice([text, text, text.capitalize(), text.upper(), f" {text} "])


def _slip(draw: random.Random, text: str) -> str:
    """A letter left out, doubled or swapped with the next."""
    at = draw.randrange(1, len(text) - 1)
    kind = draw.random()
    if kind < 0.4:
        return text[:at] + text[at + 1 :]
    if kind < 0.7:
        return text[:at] + text[at] + text[at:]
    return text[:at] + text[at + 1] + text[at] + text[at + 2 :]
