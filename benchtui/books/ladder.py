"""A company's ladder: what came in when, one lane a feature, and the pressings that follow from it.

A lane is a clue of the company whose answers are dated; its states are those answers in the order of their
dates. Between two change points nothing changes, so that every copy made in such a stretch is alike: a
pressing that is *proposed*, seen by nobody. A title that nobody has described is weighed over them.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from math import exp
from typing import NamedTuple

from benchtui.books.library import Library
from benchtui.books.shape import Answer, BookTitle, Cipher, Clue, Pressing, Word
from benchtui.books.sound_words import sound_of
from benchtui.books.stretch_names import States, names_of, said_of
from benchtui.model.record import PartDoc, RecordDoc
from benchtui.model.span import Span
from benchtui.model.title import first_issued

FADING_YEARS = 8.0
"""A title's sales fall to about a third in so many years: from memory, a stated guess."""
RUNS_ON = 6
"""Years after the last change point of its company that a title is taken to be pressed."""
BEFORE = 5
"""Years that a ladder is taken to reach back before the first day it names, if that is no beginning."""
SHORTEST = timedelta(days=90)
"""Changes closer together than this are taken for one: plates and stock overlap by more."""
NO_TIME = timedelta(0)
_OUT = {"firm": timedelta(days=183), "soft": timedelta(days=730)}
"""By how much a date may be out: the grace of firm and soft ends."""
MOST = 24
LAG_YEARS = 0.5
"""The mean age of a cover or an inner when it is used: a stated guess."""
OLD_STOCK = ("cover", "box", "inner")
"""Parts of which those of the state before are used up first."""
LAST = date(9999, 12, 30)
"""A day after every date."""
Run = tuple[date, list[tuple[Answer, ...]]]
"""The first day of a stretch, and what each lane shows in it."""
ITS_OWN: Word = "always"
"""A stretch is made of its states; how far they leak over its ends, their dates say."""
EITHER: Word = "usually"
"""The word of each where several were made side by side, and of old stock beside what a stretch made."""
MARK = "/~"
"""In the id of a proposed pressing, where one that somebody named has its name."""
GROWN = "seen on the bench"
"""The source of a pressing that grew out of the work."""


class Lane(NamedTuple):
    """One feature of a company in time; ``states`` by their first day."""

    clue: Clue
    states: tuple[Answer, ...]

    @property
    def began(self) -> date | None:
        """Before which no disc was made, since each has one of the lane's states; None where one may be older
        or of any time.
        """
        spans = [span for one in self.clue.answers if not one.neutral for span in one.spans or (Span(),)]
        days = [span.earliest for span in spans if span.earliest]
        return min(days) if self.clue.part == "disc" and len(days) == len(spans) else None

    def states_on(self, day: date, channels: str = "") -> tuple[Answer, ...]:
        """The state of that day that came in last, with those whose own end lies later still; where it says
        mono or stereo, with what was made side by side with it: the other sound, or a word that says neither.
        Of a title of one sound that one's alone.
        """
        here = [one for one in self.states if any(_holds(span, day) for span in one.spans)]
        if not here or not sound_of(here[-1].text):
            return _still_made(here, day)
        sounds = {sound_of(one.text) for one in here}
        if channels in ("mono", "stereo"):
            sounds = {next((sound for sound in (channels, "") if sound in sounds), sound_of(here[-1].text))}
        each = [_still_made([one for one in here if sound_of(one.text) == sound], day) for sound in sounds]
        return tuple(one for one in here if any(one in its for its in each))


def _still_made(states: list[Answer], day: date) -> tuple[Answer, ...]:
    """Of states in the order of time the last, and each before it that is said to end only later.

    One without an end ended when the next came in.
    """
    ended = [one for one in states[:-1] if any(span.latest and _holds(span, day) for span in one.spans)]
    return (*ended, *states[-1:])


def _holds(span: Span, day: date) -> bool:
    return (span.earliest or date.min) <= day <= (span.latest or date.max)


def lanes_of(clues: Iterable[Clue], company: str, part: str = "") -> list[Lane]:
    """The company's lanes in the books' order: clues of its own with two dated answers at least."""
    lanes = []
    for clue in clues:
        dated = [one for one in clue.answers if one.span is not None and not one.caps_sale]
        if company and company in clue.companies and clue.form == "choice" and len(dated) > 1:
            lanes.append(Lane(clue, tuple(one for one in _by_time(clue) if one in dated)))
    return [lane for lane in lanes if part in ("", lane.clue.part)]


def shown_lanes(clues: Iterable[Clue], company: str) -> list[Lane]:
    """The lanes as a ladder shows them: also what has one date beside a state of any time, such as a mark
    that never came before its year. No stretch begins there: to be without it says nothing of its time.
    """
    every = list(clues)
    lanes = {lane.clue.id: lane for lane in lanes_of(every, company)}
    for clue in every:
        states = [one for one in _by_time(clue) if not one.neutral and not one.caps_sale]
        dated = sum(one.span is not None for one in states)
        if company and company in clue.companies and clue.form == "choice" and dated == 1 == len(states) - 1:
            lanes[clue.id] = Lane(clue, tuple(states))
    return [lanes[clue.id] for clue in every if clue.id in lanes]


def _by_time(clue: Clue) -> list[Answer]:
    return sorted(clue.answers, key=lambda one: (one.span and one.span.earliest) or date.min)


def is_grown(pressing: Pressing) -> bool:
    """Whether it grew out of the shop's own work; books of earlier versions say so by its source only."""
    return pressing.known == "grown" or pressing.source == GROWN


def is_proposed(pressing_id: str | None) -> bool:
    """Whether a pressing of that id follows from a ladder only and was seen by nobody."""
    return pressing_id is not None and MARK in pressing_id


def on_ladder(title: BookTitle, lanes: list[Lane]) -> tuple[Pressing, ...]:
    """The title's pressings and those that follow from its company's ladder, the earliest first.

    From its first issue on; where nobody knows that, over the whole ladder, each stretch by its length. A
    pressing that was seen takes the place of the stretch it falls into, and its share.
    """
    seen, more = {one.id: one for one in title.pressings}, []
    for made, states in _stretches(title, lanes):
        low, high = made.period.earliest or date.min, made.period.latest or date.max
        here = [
            one
            for one in title.pressings
            if _shows(one, states) or (_falls(one, low, high) and not _shows_other(one, states))
        ]
        for one in here:
            share = seen[one.id].stretch + made.share / len(here)
            seen[one.id] = replace(seen[one.id], stretch=round(share, 4))
        if not here:
            more.append(made)
        elif (left := _left(made, states, here)) is not None:
            more.append(left)
    return (*seen.values(), *more[:MOST])


def proposed(title: BookTitle, lanes: list[Lane]) -> tuple[Pressing, ...]:
    """Those of a title's pressings that follow from its company's ladder and that nobody has seen."""
    return tuple(one for one in on_ladder(title, lanes) if is_proposed(one.id))


def _stretches(title: BookTitle, lanes: list[Lane]) -> Iterator[tuple[Pressing, States]]:
    """Each stretch between two changes as a pressing, with the states of its lanes. It is weighed within the
    years that a ladder is taken to reach; the name of the last says no end, nor that of the first a beginning
    where neither the title nor a lane has one.
    """
    issued = title.first.earliest
    start = issued or (_beginning(lanes) if title.first.latest is None else None)
    if start is None or not lanes:
        return
    runs = _together(_runs(lanes, start, title.channels))
    end = date(runs[-1][0].year + RUNS_ON, 12, 31)
    found: list[tuple[date, date, States]] = []
    for (low, made), after in zip(
        runs, [*(day for day, _ in runs[1:]), end + timedelta(days=1)], strict=True
    ):
        states = [(lane.clue, its) for lane, its in zip(lanes, made, strict=True) if its]
        if states:
            found.append((low, after - timedelta(days=1), states))
    begun = issued is not None or any(lane.began for lane in lanes)
    known = [
        Span(low if low > start or begun else None, high if high < end else None) for low, high, _ in found
    ]
    names = names_of([(span, its) for span, (_, _, its) in zip(known, found, strict=True)])
    for (low, high, states), name in zip(found, names, strict=True):
        pressing = _pressing(title, name, states, Span(low, high), issued)
        yield _with_old_stock(pressing, lanes, title.channels), states


def _with_old_stock(made: Pressing, lanes: list[Lane], channels: str) -> Pressing:
    """Covers and inners of the state before, used up: how many, and until when, the dates of the two say; a
    rarer word in a long stretch would count that twice.
    """
    low, expect = made.period.earliest or date.min, dict(made.expect)
    for lane in lanes:
        words = expect.get(lane.clue.id)
        if lane.clue.part not in OLD_STOCK or not words:
            continue
        old = [one.id for one in lane.states_on(low - SHORTEST, channels) if one.id not in words]
        if old:
            expect[lane.clue.id] = {**dict.fromkeys(words, ITS_OWN), **dict.fromkeys(old, EITHER)}
    return replace(made, expect=expect)


def made_then(words: Mapping[str, Word]) -> dict[str, Word]:
    """Of what a stretch expects of a clue what was made in it, without the old stock."""
    word = ITS_OWN if ITS_OWN in words.values() else EITHER
    mine = [one for one, its in words.items() if its == word]
    return dict.fromkeys(mine, ITS_OWN if len(mine) == 1 else EITHER)


def _left(made: Pressing, states: States, here: list[Pressing]) -> Pressing | None:
    """Of what was made side by side in a stretch that of which no pressing is known yet; None for nothing."""
    left = made
    for clue, its in states:
        told = (pressing.expect.get(clue.id, {}) for pressing in here)
        known = {one for words in told for one, word in words.items() if word != "never"}
        left = only_these(left, clue, [one.id for one in its if one.id not in known])
    return left if left is not made else None


def only_these(made: Pressing, clue: Clue, seen: Iterable[str]) -> Pressing:
    """A proposed pressing of one of two states that were made side by side: the one a copy showed; as it is
    where it had but one.
    """
    words, wanted = made_then(made.expect.get(clue.id, {})), set(seen)
    its = tuple(one for one in _by_time(clue) if one.id in words)
    mine = tuple(one for one in its if one.id in wanted)
    if not mine or len(mine) == len(its):
        return made
    name = made.name.replace(said_of(its), said_of(mine))
    return replace(made, name=name, expect={**made.expect, clue.id: _words(mine)})


def _words(states: tuple[Answer, ...]) -> dict[str, Word]:
    return dict.fromkeys((one.id for one in states), ITS_OWN if len(states) == 1 else EITHER)


def _runs(lanes: list[Lane], start: date, channels: str) -> list[Run]:
    """The title's first day, and each day after it on which a state came in or had ended, with what was made
    then, lane by lane: some weeks later, since plates and stock overlap.
    """
    spans = [span for lane in lanes for state in lane.states for span in state.spans]
    came = {span.earliest for span in spans if span.earliest}
    gone = {day for lane in lanes for day in _gone(lane)}
    days = [start, *sorted(day for day in came | gone if day > start)]
    found = []
    for low, after in zip(days, [*days[1:], date(days[-1].year + RUNS_ON, 12, 31)], strict=True):
        day = low + min((after - low) / 2, SHORTEST)
        found.append((low, [lane.states_on(day, channels) for lane in lanes]))
    return found


def _gone(lane: Lane) -> Iterator[date]:
    """The days on which a state had ended. One that ended shortly before the next came in, by no more than
    either date may be out, went on until then: nothing was made without any.
    """
    came = [(span.earliest, one.ends[0]) for one in lane.states for span in one.spans if span.earliest]
    for one in lane.states:
        for last in (span.latest for span in one.spans if span.latest and span.latest < LAST):
            gap, end = min(((day - last, end) for day, end in came if day > last), default=(None, "hard"))
            held = any(_holds(span, last + timedelta(days=1)) for each in lane.states for span in each.spans)
            if held or gap is None or gap > max(_OUT.get(one.ends[1], NO_TIME), _OUT.get(end, NO_TIME)):
                yield last + timedelta(days=1)


def _together(runs: list[Run]) -> list[Run]:
    """Those close together as one: what was made after the last of its changes, and beside it what was made
    between them alone.
    """
    kept: list[Run] = []
    for day, made in runs:
        if not kept or day - kept[-1][0] >= SHORTEST:
            kept.append((day, made))
            continue
        low, passing = kept.pop()
        before = kept[-1][1] if kept else [()] * len(made)
        alone = [[one for one in its if one not in was] for its, was in zip(passing, before, strict=True)]
        kept.append((low, [_both(mine, its) for mine, its in zip(alone, made, strict=True)]))
    return kept


def _both(some: list[Answer], made: tuple[Answer, ...]) -> tuple[Answer, ...]:
    return (*(one for one in some if one not in made), *made)


def _falls(pressing: Pressing, low: date, high: date) -> bool:
    span = pressing.period
    if span.earliest is None or span.latest is None:
        return False
    middle = span.earliest + (span.latest - span.earliest) / 2
    return low <= middle <= high


def _shows(pressing: Pressing, states: States) -> bool:
    """Whether it shows each state of a stretch: a copy dates a pressing at one end only, where that is all
    that its answers say."""
    said = [(pressing.expect.get(clue.id, {}), its) for clue, its in states]
    return all(any(words.get(one.id) in ("always", "usually") for one in its) for words, its in said)


def _shows_other(pressing: Pressing, states: States) -> bool:
    """Whether it is said to show something else than a state of that stretch."""
    told = ((pressing.expect.get(clue.id), its) for clue, its in states)
    return any(words and all(words.get(one.id, "never") == "never" for one in its) for words, its in told)


def _beginning(lanes: list[Lane]) -> date | None:
    """A few years before the first day that any lane names; where lanes of the disc say when their first
    state came in, no earlier than the last of those that did before a lane's first state ended.
    """
    spans = [span for lane in lanes for state in lane.states for span in state.spans]
    days = [day for span in spans for day in (span.earliest, span.latest) if day]
    ended = min((span.latest for span in spans if span.latest), default=LAST)
    began = [day for lane in lanes if (day := lane.began) and day <= ended]
    return max(began, default=date(min(days).year - BEFORE, 1, 1)) if days else None


def _pressing(title: BookTitle, name: str, states: States, made: Span, issued: date | None) -> Pressing:
    low, high = made.earliest or date.min, made.latest or date.max
    share = (high - low).days / 365.25
    if issued is not None:
        begun, ended = ((day - issued).days / 365.25 for day in (low, high))
        share = 10 * (exp(-begun / FADING_YEARS) - exp(-ended / FADING_YEARS))
    return Pressing(
        id=f"{title.id}{MARK}{low.isoformat()}",
        name=f"{name} (proposed)",
        period=made,
        share=round(share, 4),
        expect={clue.id: _words(its) for clue, its in states},
        source="proposed by the company's ladder; not seen by anybody",
    )


class Laddered:
    """The books, where a title that nobody has described has the pressings of its company's ladder.

    Titles without a line in any book are known from the records that have them (``meet``). Tables and files
    never see what is proposed: only whoever weighs does.
    """

    def __init__(self, library: Library) -> None:
        self.library = library
        self._met: dict[str, BookTitle] = {}
        self._titles: dict[str, BookTitle | None] = {}
        self._lanes: dict[str, list[Lane]] = {}

    def meet(self, record: RecordDoc) -> None:
        """Remember the record's title, should no book have it."""
        ref = record["title"]
        if ref is None or self.library.title(ref["id"]) is not None:
            return
        met = BookTitle(
            ref["id"], ref["artist"], ref["title"], first_issued(ref), ref.get("company", ""),
            ref.get("country", ""), tuple(filter(None, [ref["catalogue"]])), size_in=record["size_in"] or 12,
            channels=record["channels"],
        )  # fmt: skip
        if self._met.get(ref["id"]) != met:
            self._met[ref["id"]] = met
            self._titles.pop(ref["id"], None)

    def title(self, title_id: str) -> BookTitle | None:
        """The title with what is known of its pressings, or with what its company's ladder proposes."""
        if title_id not in self._titles:
            self._titles[title_id] = self._with_proposed(self.library.title(title_id), title_id)
        return self._titles[title_id]

    def _with_proposed(self, known: BookTitle | None, title_id: str) -> BookTitle | None:
        title = known or self._met.get(title_id)
        if title is None or any(not is_grown(one) for one in title.pressings):
            return known
        if title.company not in self._lanes:
            self._lanes[title.company] = lanes_of(self.library.clues(), title.company)
        every = on_ladder(title, self._lanes[title.company])
        return replace(title, pressings=every) if every != title.pressings else known

    def peers(self, title: BookTitle) -> tuple[BookTitle, ...]:
        return self.library.peers(title)

    def clue(self, clue_id: str) -> Clue | None:
        return self.library.clue(clue_id)

    def clues_for(self, record: RecordDoc, part: PartDoc) -> tuple[Clue, ...]:
        return self.library.clues_for(record, part)

    def cipher(self, cipher_id: str) -> Cipher | None:
        return self.library.cipher(cipher_id)

    def currency(self, book: str) -> str:
        return self.library.currency(book)
