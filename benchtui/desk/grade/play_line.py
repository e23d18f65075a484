"""Reading one line about a play test: ``side A, 2:30, 3 ticks, light crackle, stylus conical``."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from benchtui.model.grade import Scale, Step
from benchtui.model.record import HeardDoc

RIGHT = "write it as: side A, 2:30, 3 ticks, light crackle between songs, stylus conical"
NOTHING = ("nothing", "nothing heard")
_TIME = re.compile(r"\d{1,2}:[0-5]\d(\s*-\s*\d{1,2}:[0-5]\d)?\Z")
_LIKE_TIME = re.compile(r"\d\s*:\s*\d|\d:|:\d")
_PLACE = re.compile(r"(track \d{1,2}|run-?in|lead-?in|run-?out|start|end|throughout)\Z", re.IGNORECASE)
_TICKS = re.compile(r"(\d{1,3}) ticks?\Z", re.IGNORECASE)
_LIKE_TICKS = re.compile(r"ticks?\Z|.*\d.*\bticks?\b", re.IGNORECASE)
_SIDE = re.compile(r"side\b\s*(.*)\Z", re.IGNORECASE)
_STYLUS = re.compile(r"stylus\b\s*(.*)\Z|(.*\S)\s+stylus\Z", re.IGNORECASE)


@dataclass
class PlayTest:
    """What a play test came to. ``side`` "" where none was named; ``heard`` empty: played, nothing heard.

    ``grade`` None: the grade that stands is confirmed.
    """

    side: str = ""
    heard: list[HeardDoc] = field(default_factory=list)
    stylus: str = ""
    grade: Step | None = None


def read_grade(text: str, scale: Scale) -> Step | None:
    """``vg+`` or ``VG+`` as a grade of the scale; None where it has no such grade."""
    word = text.strip()
    names = {grade.id.casefold(): grade.id for grade in scale.grades}
    base, shade = (word[:-1], word[-1:]) if word.casefold() not in names else (word, "")
    found = names.get(base.casefold())
    step = scale.read(found + shade) if found else None
    shaded = scale.by_id(step.grade) if step else None  # VG++ would shade VG+ once more: no step of the scale
    return None if shaded is None or shaded.shade else step


def read_play(text: str, sides: Sequence[str], scale: Scale) -> PlayTest:
    """The test as the record keeps it. Raises ValueError saying what would be right.

    Between commas, in any order: a side of the record, a grade, the stylus; then for each position (a time, a
    track, run-in ...) how many ticks and what noise. Ticks and noise belong to the position before them.
    """
    reading = _Reading(sides, scale)
    pieces = [" ".join(piece.split()) for piece in re.split("[,;]", text)]
    for piece in filter(None, pieces):
        reading.take(piece)
    return reading.done()


class _Reading:
    """One reading of one line, a piece between commas at a time."""

    def __init__(self, sides: Sequence[str], scale: Scale) -> None:
        self.sides, self.scale = sides, scale
        self.test = PlayTest()
        self.nothing = False

    def take(self, piece: str) -> None:
        if match := _SIDE.match(piece):
            self._side(match[1])
        elif match := _STYLUS.match(piece):
            self._stylus(match[1] or match[2] or "")
        elif step := read_grade(piece, self.scale):
            self._once(self.test.grade, "grade")
            self.test.grade = step
        elif piece.casefold() in NOTHING:
            self.nothing = True
        elif _TIME.match(piece) or _PLACE.match(piece):
            self.test.heard.append({"position": piece, "ticks": "", "noise": ""})
        elif match := _TICKS.match(piece):
            self._ticks(match[1])
        else:
            self._noise(piece)

    def done(self) -> PlayTest:
        if self.nothing and self.test.heard:
            raise ValueError("'nothing heard' and something heard: write only one")
        if not self.nothing and not self.test.heard:
            raise ValueError(f"what was heard? 'nothing heard' if nothing; {RIGHT}")
        silent = next((one for one in self.test.heard if not one["ticks"] and not one["noise"]), None)
        if silent:
            raise ValueError(f"what was heard at {silent['position']}? {RIGHT}")
        return self.test

    def _side(self, letter: str) -> None:
        self._once(self.test.side, "side")
        if letter.upper() not in self.sides:
            raise ValueError(f"no side '{letter}' here: the record has {' '.join(self.sides)}")
        self.test.side = letter.upper()

    def _stylus(self, words: str) -> None:
        self._once(self.test.stylus, "stylus")
        if not words:
            raise ValueError("which stylus? Write it as: stylus conical")
        self.test.stylus = words

    def _ticks(self, count: str) -> None:
        if int(count) == 0:
            raise ValueError("leave 0 ticks out, or write 'nothing heard'")
        here = self._here()
        self._once(here["ticks"], "count of ticks for one position")
        here["ticks"] = str(int(count))

    def _noise(self, piece: str) -> None:
        if _LIKE_TIME.search(piece):
            raise ValueError(
                f"'{piece}' is not a time: write minutes and seconds between commas, such as 2:30"
            )
        if _LIKE_TICKS.match(piece):
            raise ValueError(
                f"'{piece}' is not a count of ticks: write a whole number between commas, such as 3 ticks"
            )
        here = self._here()
        here["noise"] = f"{here['noise']}, {piece}" if here["noise"] else piece

    def _here(self) -> HeardDoc:
        """The position the words belong to; one without a place where none was named yet."""
        if not self.test.heard:
            self.test.heard.append({"position": "", "ticks": "", "noise": ""})
        return self.test.heard[-1]

    @staticmethod
    def _once(standing: object, what: str) -> None:
        if standing:
            raise ValueError(f"only one {what} in a line: write a line for each; {RIGHT}")
