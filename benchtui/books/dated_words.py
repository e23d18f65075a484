"""What a dealer types of an answer in one line: its words, a date if it has one, how firm, and why."""

import re
from datetime import timedelta
from typing import NamedTuple

from benchtui.books.from_bench import new_id
from benchtui.books.shape import Answer, Hardness
from benchtui.model.span import Span, parse_edtf
from benchtui.model.when import read_time

BY_DEALER = "the dealer's own word"
ABSENT = re.compile(r"(it is )?(not there|none|no|absent|missing|nothing)", re.IGNORECASE)
_YEAR = re.compile(
    r"(?<!\d)(?:18|19|20)\d[\dxX](?!\d)|(?<!\w)['’][2-9](?:\d|0s)(?!\w)"
    r"|\b(?:early|mid|late)[ -]['’]?[2-9]0s\b",
    re.IGNORECASE,
)
_FIRM = re.compile(r"^(?P<rest>.*\S)\s+(?P<firm>firm|soft)$", re.IGNORECASE)
_HALF = re.compile(
    r"(?:before|after|not|no|than|until|till|through|thru|by|from|since|between|and|or|to|about|around|circa"
    r"|ca|early|mid|late|end|spring|summer|autumn|fall|winter|never|none|nothing|longer|but|except|just"
    r"|half|quarter|post|pre|first|last|of|in|during|up|including|hardly|rarely|seldom|mostly|ended|stopped"
    r"|ceased|gone|dropped|discontinued|christmas|xmas|easter|\d{1,2}(?:st|nd|rd|th))[.,]?",
    re.IGNORECASE,
)
"""Words that make another date of the one behind them, or its contrary."""
_STATE = re.compile(
    r"none|nothing|no|first|last|early|late|only|half|gone|dropped|discontinued", re.IGNORECASE
)
"""Such words that are a state of their own before a date written with dots: ``early ..1964``."""
_NOTHING = re.compile(r"none|nothing", re.IGNORECASE)
"""These are one before any date: ``none up to 1964``, ``none 1963 on``."""
_DENIED = re.compile(r"\b(?:not|never|only|no longer)\b", re.IGNORECASE)
_BOUND = re.compile(r"(?:before|after|until|till|by|from|since)\b", re.IGNORECASE)
NO_DATE = "no date read from '{}': write 1963, before 1963, 1963.., not before May 1965, 1961..1963"
_BETWEEN = re.compile(r"/(?![^()]*\))")
"""What parts answers: not a slash in a reason."""
_SLASHED = re.compile(r"\b\d{1,2}/(?:18|19|20)\d\d\b|\b(?:18|19|20)\d\d/\d\d\b")
"""``07/1970`` and ``1964/65``: nor does the slash of a date part them."""
_TIMELESS = re.compile(r"(?P<rest>.*\S)\s+of any time", re.IGNORECASE)
_WHY = re.compile(r"^(?P<rest>.*?)\s*\((?P<why>[^()]*)\)$")


class HalfDateError(ValueError):
    """The words before a date make another one of it, which is not read."""


class DatedWords(NamedTuple):
    """``hatched 1963.. firm (trade paper of that May)``, taken apart; no span where no date was typed."""

    words: str
    span: Span | None = None
    hardness: Hardness = "none"
    why: str = ""
    says_how_sure: bool = False
    """Whether ``firm`` or ``soft`` was typed, rather than soft being taken for granted."""


def read_dated(text: str) -> DatedWords:
    """The words, and the date that stands behind them. ValueError, in a sentence, for a date that is none."""
    text = " ".join(text.split())
    if timeless := _TIMELESS.fullmatch(text):
        return DatedWords(timeless["rest"])
    told = _WHY.match(text)
    rest, why = (told["rest"], told["why"].strip()) if told else (text, "")
    hard = _FIRM.match(rest)
    pieces = (hard["rest"] if hard else rest).split(" ")
    at = _date_at(pieces)
    if at is None and ".." in pieces[-1]:
        read_times(pieces[-1])  # raises: there is no date in words
    if at is None:
        return DatedWords(text)
    span = read_times(" ".join(pieces[at:]))
    pieces, at = _without_in(pieces, at)
    _refuse_half(pieces, at)
    firm: Hardness = "firm" if hard is not None and hard["firm"].casefold() == "firm" else "soft"
    return DatedWords(" ".join(pieces[:at]).strip(" ,;"), span, firm, why, hard is not None)


def _without_in(pieces: list[str], at: int) -> tuple[list[str], int]:
    """The words and date of ``bars in the '70s`` without ``in the``, and where the date stands."""
    before = " ".join(pieces[:at]).casefold().split()
    off = 2 if before[-2:] == ["in", "the"] else 1 if before[-1:] == ["in"] else 0
    return pieces[: at - off] + pieces[at:], at - off


def _refuse_half(pieces: list[str], at: int) -> None:
    """Raise HalfDateError where words before the date at ``at`` change it: nothing is read by half."""
    if at == 1 and _STATE.fullmatch(pieces[0]) and (".." in pieces[at] or _NOTHING.fullmatch(pieces[0])):
        return
    if at and _HALF.fullmatch(pieces[at - 1]):
        raise HalfDateError(NO_DATE.format(" ".join(pieces[at - 1 :])))
    denied = next((n for n, one in enumerate(pieces[:at]) if _DENIED.match(" ".join(pieces[n:at]))), None)
    if denied is not None and _BOUND.match(pieces[at]):
        raise HalfDateError(NO_DATE.format(" ".join(pieces[denied:])))


def _date_at(pieces: list[str]) -> int | None:
    """Where the date at the end of the words begins, the longest that is one; None where there is none."""
    for at, piece in enumerate(pieces):
        tail = " ".join(pieces[at:])
        if (
            piece == "C" or piece.casefold() in ("never", "set") or not _YEAR.search(tail)
        ):  # "side C 1967" is no "c 1967", and "box set 1961" no Italian September
            continue
        try:
            read_time(tail)
        except ValueError:
            continue
        return at
    return None


def read_times(text: str) -> Span:
    """``1958..1960``, ``c1967..``, ``..about 1966``, ``1962-66``, ``from 1967``, ``between 1964 and 1966``,
    ``1967?``, ``196x``.

    ValueError, in a sentence, for what is none.
    """
    try:
        return parse_edtf(read_time(text))
    except ValueError:
        raise ValueError(f"'{text.strip()}' is not a date: write 1958..1960, 1958.. or ..1960") from None


def answers_apart(text: str) -> list[str]:
    """The answers of a line, each as typed: a slash parts them, but not in a reason's brackets or a date."""
    parts = _BETWEEN.split(_SLASHED.sub(lambda date: date[0].replace("/", "\0"), text))
    return [part.replace("\0", "/") for part in parts if part.strip()]


def answers_from(text: str) -> tuple[Answer, ...]:
    """The answers of a new question from ``plain / hatched 1963.. (trade paper) / not there``.

    A single one gets "not there" beside it. ValueError, in a sentence, for what cannot be a question's
    answers: none at all, two alike, more than nine.
    """
    return _answers([read_dated(part) for part in answers_apart(text)])


def states_from(text: str) -> tuple[Answer, ...]:
    """The states of a new lane, as ``answers_from`` reads answers, each behind the one before it."""
    return _answers(states_in_turn(text))


def states_in_turn(text: str) -> list[DatedWords]:
    """The states of a lane, each as typed; one of which words say only until when (``olive till 1966``)
    begins where the one before it ended. ``..1966`` is from the beginning on. ValueError as ``read_dated``.
    """
    parts = answers_apart(text)
    told = [read_dated(part) for part in parts]
    for n, part in enumerate(parts):
        ended, span = told[n - 1].span if n else None, told[n].span
        if ended is None or span is None or ended.latest is None or span.latest is None or ".." in part:
            continue
        if span.earliest is None and span.latest > ended.latest:
            told[n] = told[n]._replace(span=Span(ended.latest + timedelta(days=1), span.latest))
    return told


def _answers(told: list[DatedWords]) -> tuple[Answer, ...]:
    if any(not one.words for one in told):
        raise ValueError("there is a date but no answer: write hatched 1963.. (why)")
    here = [one for one in told if ABSENT.fullmatch(one.words) is None]
    gone = [one for one in told if ABSENT.fullmatch(one.words) is not None]
    if not here:
        raise ValueError("type its answers, separated by /, such as: plain / hatched / not there")
    if len(here) > 9 or len(gone) > 1:
        raise ValueError("a question has nine answers at most, and one 'not there'")
    if len({one.words.casefold() for one in told}) < len(told):
        raise ValueError("two of the answers have the same words")
    taken: list[str] = []
    found = [dated_answer(one, taken, digit) for digit, one in enumerate(here, 1)]
    if gone or len(here) == 1:
        words = gone[0] if gone else DatedWords("not there")
        found.append(dated_answer(words, taken, 0, absent=True))
    return tuple(found)


def source_of(said: DatedWords) -> str:
    """Where a date that a dealer typed comes from."""
    return f"{BY_DEALER}: {said.why}" if said.why else BY_DEALER


def redated(old: Answer, said: DatedWords) -> Answer:
    """The answer with another date; how sure that is, and why, stays where the line says nothing of it."""
    how = said.hardness if said.says_how_sure or old.span is None else old.hardness
    source = source_of(said) if said.why or not old.source else old.source
    return old._replace(span=said.span, hardness=how, to_hardness="", times=(), source=source)


_ABOUT_DATE = re.compile(
    r"(?P<sure>firm|soft)?\s*(?:\((?P<why>[^()]*)\))?|(?P<none>of any time)", re.IGNORECASE
)


def date_retold(old: Answer, text: str) -> Answer | None:
    """The answer with what is typed behind its own words of the date that it has: how sure that is, why, or
    that it is of any time. None where that is not what was typed.
    """
    rest = text[len(old.text) :].strip() if text.casefold().startswith(old.text.casefold()) else ""
    told = _ABOUT_DATE.fullmatch(rest) if rest and old.span is not None else None
    if told is None:
        return None
    if told["none"]:
        return old._replace(span=None, hardness="none", to_hardness="", times=(), source="")
    sure: Hardness = old.hardness
    if told["sure"]:
        sure = "firm" if told["sure"].casefold() == "firm" else "soft"
    said = DatedWords(old.text, old.span, sure, (told["why"] or "").strip(), bool(told["sure"]))
    return redated(old, said)._replace(times=old.times)


def dated_answer(said: DatedWords, taken: list[str], digit: int, *, absent: bool = False) -> Answer:
    """An answer of those words, with an id of its own, which is added to those taken."""
    made = "none" if absent else new_id(said.words, taken)
    taken.append(made)
    source = source_of(said) if said.span is not None else ""
    return Answer(made, said.words, digit, said.span, said.hardness, absent=absent, source=source)
