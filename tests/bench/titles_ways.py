"""How a title is found by way of typing: recall at 1 and 5, keys until it is first, processor time; the finder
beside FTS5 with RapidFuzz, FTS5 alone, a scan with WRatio and a bisect, all in one run.

    python tests/bench/titles_ways.py [films | names] [--sample 60] [--seed 901]

films: 17,468 films with their directors (CC0-1.0; PyPI bokeh-sampledata 2026.1, table omdb).
names: names of languages and regions in German, Ukrainian, Japanese and Greek, the English name or the region's
country for the artist: Debian's iso-codes (LGPL-2.1+) as PyPI pycountry 26.2.16 ships them; three scripts
beside the Latin one.

Slips: published ones of codespell 2.4.3 (its dictionary.txt, CC BY-SA 3.0), read here and nowhere kept; neighbours
on a QWERTY keyboard; letters replaced, left out, added, swapped. The seed is none that anything was tuned with.
Keys: letters typed until the title stands first, and all of them and one more where it never does.
"""

import argparse
import gettext
import random
import sqlite3
import statistics
import time
import unicodedata
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from importlib.resources import files
from pathlib import Path

from titles_fts5 import Bisect, FullText, Scan, Search

from benchtui.model.title import Title
from benchtui.titles.finder import Finder
from benchtui.titles.fold import ARTICLES, article_length, fold, initials

ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
LETTERS = "abcdefghijklmnopqrstuvwxyz"
NUMBERS = ({"2": "two", "3": "three", "4": "four", "5": "five", "10": "ten", "12": "twelve"}
           | {"ii": "2", "iii": "3", "iv": "4", "second": "2nd", "first": "1st", "third": "3rd", "fifth": "5th"})  # fmt: skip
"""Another spelling of a word, written down here and not taken from the program."""
Way = Callable[[Title, random.Random], str | None]


class Ours:
    """The finder, asked as the others are."""

    def __init__(self, titles: Sequence[Title]) -> None:
        self._finder = Finder(titles)

    def find(self, typed: str) -> list[str]:
        return [hit.title.id for hit in [[], *self._finder.steps(typed)][-1]][:5]


def films() -> list[Title]:
    """All films that have a director."""
    path = Path(str(files("bokeh_sampledata") / "_data" / "movies.db"))
    with sqlite3.connect(path) as base:
        rows = base.execute("select ID, Title, Director from omdb where Director is not null").fetchall()
    return [Title(f"f{no}", maker or "", name) for no, name, maker in rows]


def names() -> list[Title]:
    """Names in four languages; those that are the English ones are left out."""
    made: dict[tuple[str, str], Title] = {}
    for language in ("de", "uk", "ja", "el"):
        for domain in ("iso639-3", "iso3166-2"):
            folder = str(files("pycountry") / "locales")
            said = gettext.translation(domain, folder, languages=[language])._catalog  # type: ignore[attr-defined]
            for english, name in said.items():
                if isinstance(english, str) and english and name and name != english:
                    made[english, name] = Title(f"{language}{len(made)}", english, name)
    return list(made.values())


def bare(title: Title) -> str:
    name = fold(title.title)
    return name[article_length(name) :]


def start(length: int) -> Way:
    def way(title: Title, rng: random.Random) -> str | None:
        text = bare(title)[:length].strip()
        return text if len(text) == length else None

    return way


def slipped(way: Way, slip: Callable[[str, random.Random], str | None]) -> Way:
    def wrong(title: Title, rng: random.Random) -> str | None:
        text = way(title, rng)
        return slip(text, rng) if text else None

    return wrong


def any_slip(text: str, rng: random.Random) -> str:
    """A letter but the first replaced, left out, added, or swapped with the next."""
    at, letter = rng.randrange(1, len(text)), rng.choice(LETTERS)
    rest = (
        letter + text[at + 1 :],
        text[at + 1 :],
        letter + text[at:],
        text[at + 1 : at + 2] + text[at] + text[at + 2 :],
    )
    return text[:at] + rng.choice(rest)


def neighbour(text: str, rng: random.Random) -> str | None:
    """A letter, the first too, replaced by one beside it on the keyboard."""
    places = [at for at, char in enumerate(text) if char in "".join(ROWS)]
    if not places:
        return None
    at = rng.choice(places)
    row = next(no for no, row in enumerate(ROWS) if text[at] in row)
    place = ROWS[row].index(text[at])
    near = [
        other[near]
        for other in ROWS[max(0, row - 1) : row + 2]
        for near in range(max(0, place - 1), min(len(other), place + 2))
        if other[near] != text[at]
    ]
    return text[:at] + rng.choice(near) + text[at + 1 :]


def words(first: int, second: int, of_maker: bool) -> Way:
    """Letters of two words of the title, or of the maker's last word and one of the title, in any order."""

    def way(title: Title, rng: random.Random) -> str | None:
        mine = [
            word for word in dict.fromkeys(bare(title).split()) if len(word) > first and word not in ARTICLES
        ]
        maker = fold(title.artist.split(",")[0]).split()[-1:]
        if not mine or (of_maker and not maker) or (not of_maker and len(mine) < 2):
            return None
        one, two = (maker[0], rng.choice(mine)) if of_maker else rng.sample(mine, 2)
        return f"{one[:first]} {two[:second]}"

    return way


def short(of_maker: bool) -> Way:
    def way(title: Title, rng: random.Random) -> str | None:
        letters = initials(fold(title.title))
        if of_maker:
            return initials(fold(title.artist)) + letters if len(letters) > 2 else None
        return letters if len(letters) > 3 else None

    return way


def together(title: Title, rng: random.Random) -> str | None:
    parts = [word for word in bare(title).split() if len(word) > 2]
    at = rng.randrange(len(parts) - 1) if len(parts) > 1 else 0
    return parts[at] + parts[at + 1] if len(parts) > 1 else None


def turned(title: Title, rng: random.Random) -> str | None:
    parts = bare(title).split()[:3]
    new = list(reversed(parts))
    return " ".join(new) if new != parts else None


def other_number(title: Title, rng: random.Random) -> str | None:
    parts = bare(title).split()
    new = [NUMBERS.get(word, word) for word in parts[1:]]
    return " ".join(parts[:1] + new)[:24].strip() if parts[1:] != new else None


def elided(title: Title, rng: random.Random) -> str | None:
    """The word after l', d' and the rest of the title."""
    for no, word in enumerate(title.title.split()):
        if word.lower()[:2] in ("l'", "d'", "o'", "l’", "d’") and len(word) > 5:
            return fold(" ".join([word[2:], *title.title.split()[no + 1 : no + 2]]))
    return None


def spelt_out(title: Title, rng: random.Random) -> str | None:
    """ae for a with points, and so on, in the first letters."""
    marks = dict(zip("äöüÄÖÜ", ("ae", "oe", "ue") * 2, strict=True))
    name = unicodedata.normalize("NFC", title.title)[:10]
    return fold("".join(marks.get(char, char) for char in name)) if set(name) & set(marks) else None


def hiragana(title: Title, rng: random.Random) -> str | None:
    """Katakana typed as hiragana, without voicing and long marks."""
    name = unicodedata.normalize("NFKD", title.title)[:9]
    plain = "".join(char for char in name if char not in "\u3099\u309aー")
    new = "".join(chr(ord(char) - 0x60) if "ァ" <= char <= "ヶ" else char for char in plain)
    return new if new != name and len(new) > 2 else None


class Typos:
    """Published slips: right word -> wrong forms that people typed."""

    def __init__(self) -> None:
        self._wrong: dict[str, list[str]] = defaultdict(list)
        text = (files("codespell_lib") / "data" / "dictionary.txt").read_text(encoding="utf-8")
        for line in text.splitlines():
            typo, _, right = line.partition("->")
            for word in right.split(","):
                self._wrong[word.strip().lower()].append(typo.lower())

    def way(self, length: int) -> Way:
        def wrong(title: Title, rng: random.Random) -> str | None:
            parts = bare(title).split()
            places = [no for no, word in enumerate(parts[:3]) if word in self._wrong]
            if not places:
                return None
            no = rng.choice(places)
            parts[no] = rng.choice(self._wrong[parts[no]])
            text = " ".join(parts)[:length].strip()
            return text if not bare(title).startswith(text) else None

        return wrong


def ways(which: str) -> dict[str, Way]:
    """The ways of typing of a list."""
    common: dict[str, Way] = {
        "first 4 of the title": start(4),
        "first 6": start(6),
        "first 8": start(8),
        "first 10, any slip": slipped(start(10), any_slip),
        "two title words 3+3": words(3, 3, False),
        "last name 3 + title word 3": words(3, 3, True),
        "words turned round": turned,
        "two words run together": together,
    }
    if which == "films":
        return common | {
            "first 8, neighbouring key": slipped(start(8), neighbour),
            "first 10, neighbouring key": slipped(start(10), neighbour),
            "first 12, published typo": Typos().way(12),
            "first 24, published typo": Typos().way(24),
            "4+4, neighbouring key": slipped(words(4, 4, False), neighbour),
            "last name 2 + title word 3": words(2, 3, True),
            "initials of 4 or more words": short(False),
            "initials of maker and title": short(True),
            "a number spelt otherwise": other_number,
            "the word after an elision": elided,
        }
    return common | {"ae for a with points": spelt_out, "hiragana, no marks": hiragana}


def keys(tool: Search, typed: str, wanted: str) -> int:
    """Letters typed until it is first."""
    for length in range(1, len(typed) + 1):
        if tool.find(typed[:length])[:1] == [wanted]:
            return length
    return len(typed) + 1


def samples(titles: list[Title], way: Way, count: int, rng: random.Random) -> list[tuple[Title, str]]:
    found: list[tuple[Title, str]] = []
    for title in rng.sample(titles, len(titles)):
        if typed := way(title, rng):
            found.append((title, typed))
        if len(found) == count:
            break
    return found


def measure(tool: Search, asked: list[tuple[Title, str]], with_keys: int) -> Iterator[str]:
    """Recall at 1 and 5, mean keys, median milliseconds of processor time."""
    first = five = 0
    times = []
    for title, typed in asked:
        begin = time.process_time()
        ids = tool.find(typed)
        times.append((time.process_time() - begin) * 1000)
        first, five = first + (ids[:1] == [title.id]), five + (title.id in ids)
    pressed = [keys(tool, typed, title.id) for title, typed in asked[:with_keys]]
    mean = f"{statistics.fmean(pressed):4.1f}" if pressed else "   -"
    yield f"{first / len(asked):.2f} {five / len(asked):.2f} {mean} {statistics.median(times):6.1f}"


def main() -> None:
    """Prints the table of one list."""
    parser = argparse.ArgumentParser()
    parser.add_argument("which", nargs="?", choices=("films", "names"), default="films")
    parser.add_argument("--sample", type=int, default=60)
    parser.add_argument("--keys", type=int, default=15, help="of the sample, for how many keys are counted")
    parser.add_argument("--seed", type=int, default=901)
    parser.add_argument("--scans", type=int, default=12, help="of the sample, how many a WRatio scan answers")
    options = parser.parse_args()
    titles = films() if options.which == "films" else names()
    tools: dict[str, Search] = {
        "finder": Ours(titles),
        "FTS5 + RapidFuzz": FullText(titles, second=True),
        "FTS5": FullText(titles, second=False),
        "WRatio": Scan(titles),
        "bisect": Bisect(titles),
    }
    print(f"{len(titles)} {options.which}; each: recall@1 recall@5 keys ms (processor, median)")
    print(f"{'typed':30}{'n':>4}  " + "  ".join(f"{name:22}" for name in tools))
    for name, way in ways(options.which).items():
        asked = samples(titles, way, options.sample, random.Random(f"{options.seed} {name}"))
        if not asked:
            continue
        cells: list[str] = []
        for kind, tool in tools.items():
            scan = kind == "WRatio"
            few = asked[: options.scans] if scan else asked
            cells += measure(tool, few, 0 if scan else options.keys)
        print(f"{name:30}{len(asked):4}  " + "  ".join(f"{cell:22}" for cell in cells), flush=True)


if __name__ == "__main__":
    main()
