"""One invented field written down by two hands: other words, other ids, other spellings, drawn from a seed."""

import random
from dataclasses import dataclass, field
from pathlib import Path

from benchtui.books.edit import edited

QUESTIONS = [
    # (part, place, my question, my answers, their question, their answers in the same order)
    ("disc", "label", "Label paper", ["moss green", "slate grey", "oatmeal"],
     "Colour of the label", ["green, moss", "grey slate", "oatmeal cream"]),
    ("disc", "label", "Rim of the label", ["broad silver band", "thin silver line", "no band"],
     "Band around the rim", ["broad band of silver", "thin line of silver", "no band"]),
    ("cover", "whole", "How the cover is made", ["folded flaps", "glued seams"],
     "Making of the cover", ["flaps folded over", "seams glued"]),
    ("cover", "back", "Address on the back", ["Quarry Lane", "Tannery Yard", "Pier Street"],
     "Printed address", ["12 Quarry Lane", "Tannery Yd", "Pier Street"]),
    ("inner", "whole", "Inner sleeve", ["plain buff", "lined white", "list of the series"],
     "Kind of inner sleeve", ["buff, plain", "white with lining", "series list"]),
    ("disc", "runout", "Mark in the runout", ["crescent", "hourglass", "fern"],
     "Stamper's sign", ["crescent", "hourglass", "fern"]),
    ("cover", "front", "Lamination of the front", ["glossy", "matt"],
     "Finish at the front", ["shiny", "dull"]),
]  # fmt: skip
ONLY_MINE = ("disc", "label", "Sound word", ["MONAURAL", "STEREOPHONIC"])
ONLY_THEIRS = ("cover", "spine", "Lettering of the spine", ["printed upwards", "printed downwards"])
NAMES = [f"{mood} {word}" for mood in ("Quiet", "Winter", "Crooked", "Early") for word in
         ("Orchard", "Tollgate", "Causeway", "Millrace", "Stubble", "Harbour")]  # fmt: skip
ARTISTS = ["The Harrow Choir", "Tallow Trio", "The Osier Sisters", "Pewter Weavers"]


@dataclass
class TwoBooks:
    """The files, and which of theirs is which of mine."""

    mine: Path
    theirs: Path
    titles: dict[str, str] = field(default_factory=dict)
    questions: dict[str, str] = field(default_factory=dict)
    pressings: dict[str, str] = field(default_factory=dict)


def write_two(folder: Path, seed: int = 16) -> TwoBooks:
    """Twenty-four titles: four only mine, four only theirs, sixteen in both books, with four pressings each."""
    draw = random.Random(seed)
    made = TwoBooks(folder / "mossgate.toml", folder / "another hand.toml")
    heads = ['[book]\nname = "Mossgate"\ncompany = "Mossgate"\ncurrency = "GBP"\n',
             '[book]\nname = "Mossgate, by another hand"\ncompany = "Mossgate"\ncurrency = "EUR"\n']  # fmt: skip
    with edited(made.mine, head=heads[0]) as mine, edited(made.theirs, head=heads[1]) as theirs:
        for no, (part, place, ask, answers, other_ask, other_answers) in enumerate(QUESTIONS):
            _question(mine, f"mg-{no}", part, place, ask, answers)
            _question(theirs, f"q{no}x", part, place, other_ask, other_answers)
            made.questions[f"q{no}x"] = f"mg-{no}"
        _question(mine, "mg-sound", *ONLY_MINE)
        _question(theirs, "qspine", *ONLY_THEIRS)
        for no, name in enumerate(NAMES):
            _title(made, draw, mine if no >= 4 else None, theirs if no < 20 else None, no, name)
    return made


def _question(book, one_id, part, place, ask, answers) -> None:
    book.put_clue({"id": one_id, "ask": ask, "part": part, "place": place,
                   "answer": [{"id": f"a{no}", "text": text} for no, text in enumerate(answers)]})  # fmt: skip


def _title(made, draw, mine, theirs, no, name) -> None:
    year, artist = 1960 + no, ARTISTS[no % 4]
    if mine:
        mine.put_title(
            {
                "id": f"t{no}",
                "artist": artist,
                "title": name,
                "first": str(year),
                "catalogues": [f"MS {100 + no}"],
            }
        )
    if theirs:
        spelt = artist.removeprefix("The ") if draw.random() < 0.5 else artist
        slip = name if draw.random() < 0.7 else name[:3] + name[4:]
        theirs.put_title(
            {
                "id": f"x-{no}",
                "artist": spelt,
                "title": slip,
                "first": str(year),
                "catalogues": [f"MS-0{100 + no}"],
            }
        )
    if mine and theirs:
        made.titles[f"x-{no}"] = f"t{no}"
    for pressing in range(4):
        start = year + 2 * pressing
        shown = [min(pressing * len(one[3]) // 4, len(one[3]) - 1) for one in QUESTIONS]
        if mine:
            expect = {f"mg-{q}": f"a{a}" for q, a in enumerate(shown) if draw.random() < 0.8}
            mine.put_pressing(f"t{no}", {"id": f"t{no}/{pressing}", "name": ["first", "second", "third", "late"][pressing],
                                         "period": f"[{start}..{start + 1}]", "expect": expect})  # fmt: skip
        if theirs:
            expect = {f"q{q}x": f"a{a}" for q, a in enumerate(shown) if draw.random() < 0.8}
            theirs.put_pressing(f"x-{no}", {"id": f"x-{no}/p{pressing}", "name": f"{'1234'[pressing]}. issue",
                                            "period": f"[{start}..{start + 1}]", "price": "9.00",
                                            "expect": expect | {"qspine": "a0"}})  # fmt: skip
        if mine and theirs:
            made.pressings[f"x-{no}/p{pressing}"] = f"t{no}/{pressing}"
