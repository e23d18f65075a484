"""Which clue each column of a table is: a known one by id or words, or a new one with its cells' answers."""

from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from typing import Any

from benchtui.books.from_bench import new_id
from benchtui.books.shape import Answer, Clue, Word
from benchtui.knowledge.alike import (
    CALLED,
    brackets_over,
    clue_likeness,
    is_named,
    is_slip,
    place_answer,
    share_placed,
)
from benchtui.knowledge.brackets import brackets_of
from benchtui.knowledge.cells import NOT_THERE, Cell, read_cell
from benchtui.knowledge.folded import fold
from benchtui.knowledge.heads import Heading, place_of

Told = tuple[str, str, tuple[str, ...]]
RARE = 0.025
"""The share of a new clue's cells below which a text is no answer of its own without being asked about."""
MOST_ANSWERS = 9
"""Answers of a clue that digits can be found for."""
SHORT = 3
"""Letters of words such as yes and no, which are answers of many questions."""
_SURE, _CLEAR, _NEAR = 88.0, 3.0, 70.0


@dataclass
class Column:
    """One column that is no fixed one. ``how``: known, new, asked (known or new: a person says), or out with
    ``why``; ``near``: clues it may be; ``placed``: part and place of a new clue, ``guessed`` where nothing in
    its name says them.
    """

    heading: Heading
    how: str
    clue: Clue | None = None
    why: str = ""
    near: tuple[Clue, ...] = ()
    guessed: bool = False
    slips: dict[str, str] = field(default_factory=dict)
    added: list[dict[str, Any]] = field(default_factory=list)
    """Tables of answers that a known clue gets."""
    twins: dict[str, "Column"] = field(default_factory=dict)
    """By another company, folded: the column as its clue of the same words."""
    whose: tuple[str, ...] = ()
    """The companies whose rows alone it is of, where a question of its words is another company's."""
    _read: dict[str, tuple[dict[str, Word], list[Told]]] = field(default_factory=dict)

    def change_clue(self, clue: Clue) -> None:
        """The column's clue with other answers."""
        self.clue = clue
        self._read.clear()

    def of(self, company: str) -> "Column":
        """As the rows of that company mean it."""
        return self.twins.get(fold(company), self)

    @property
    def each(self) -> list["Column"]:
        """Itself, and what it is by other companies."""
        return list({id(one): one for one in (self, *self.twins.values())}.values())

    def read(self, text: str) -> tuple[dict[str, Word], list[Told]]:
        """What a cell says: answer id -> word; and what could not be placed or was read with a slip."""
        if text not in self._read:
            self._read[text] = placed_words(read_cell(text, knows(self)), self)
        return self._read[text]


@dataclass(frozen=True)
class Meant:
    """What a person said of the columns, by their names folded: a clue's id, ``new``, or ``-``."""

    columns: dict[str, str] = field(default_factory=dict)
    places: dict[str, tuple[str, str]] = field(default_factory=dict)

    def of(self, heading: Heading) -> str:
        """What was said of this one, "" for nothing."""
        return self.columns.get(fold(heading.full)) or self.columns.get(fold(heading.name), "")


def column_of(
    heading: Heading,
    cells: Sequence[str],
    clues: Sequence[Clue],
    companies: Collection[str],
    prefix: str,
    meant: Meant,
    taken: Collection[str],
    unnamed: bool = False,
) -> Column:
    """The clue of a column. ``companies``: folded, whose titles the table holds; ``prefix``: of a new clue's
    id; ``taken``: ids of clues there are; ``unnamed``: what no name explains is asked about.
    """
    said = meant.of(heading)
    texts = tokens_of(cells)
    if said == "-":
        return Column(heading, "out", why="left out, as you said")
    if not texts and not any(read_cell(cell).kind == "absent" for cell in cells):
        return Column(heading, "out", why="all its cells are empty")
    if said and said != "new":
        worded = [clue for clue in clues if fold(clue.ask) == fold(said)]
        chosen = [clue for clue in clues if clue.id == said] or worded
        if len(chosen) == 1:
            return Column(heading, "known", chosen[0])
        several = f"{' or '.join(clue.id for clue in chosen)}?" if chosen else "no book has it"
        return Column(heading, "out", why=f"the question {said!r}: {several}")
    found, near = ([], []) if said == "new" else _match(heading, list(texts), clues, companies)
    if found:
        return Column(heading, "known", found[0])
    column = _new(heading, cells, texts, prefix, meant, taken)
    if column.how == "new" and (near or (unnamed and column.guessed and not said)):
        column.how, column.near = "asked", tuple(near)
    return column


def maybe_words(names: Sequence[str]) -> str:
    """What a column that is asked about may be, in words."""
    return f"a new question, or {' or '.join(names)}" if names else "a question, or a column such as note"


def _are_twins(one: Clue, other: Clue) -> bool:
    """Whether they are the questions of the same words of two companies."""
    first, second = ((fold(clue.ask), clue.part, clue.place, clue.form) for clue in (one, other))
    of_companies = bool(one.companies and other.companies)
    return of_companies and first == second and set(one.companies).isdisjoint(other.companies)


def give_twins(column: Column, clues: Sequence[Clue], companies: Collection[str]) -> None:
    """Where companies (folded) have a clue of the same words each, the row's company says which is meant."""
    clue = column.clue
    if clue is None or column.how != "known" or not clue.companies:
        return
    for other in clues:
        if other.id != clue.id and _are_twins(clue, other):
            mine = {fold(one) for one in other.companies} - {fold(one) for one in clue.companies}
            column.twins |= {one: Column(column.heading, "known", other) for one in mine & set(companies)}


def own_column(
    heading: Heading,
    cells: Sequence[str],
    known: Clue,
    companies: Sequence[str],
    prefix: str,
    taken: Collection[str],
) -> Column | None:
    """For the rows of ``companies``, of whose records ``known`` is not asked: a new question of its words
    with their cells' answers; None where they say nothing.
    """
    texts = tokens_of(cells)
    if not texts and not any(read_cell(cell).kind == "absent" for cell in cells):
        return None
    own = _new(heading, cells, texts, prefix, Meant(), taken)
    own.guessed, own.whose = False, tuple(companies)
    if own.clue is not None:
        own.clue = own.clue._replace(
            ask=known.ask, part=known.part, place=known.place, per_side=known.per_side, companies=own.whose
        )
    return own


def tokens_of(cells: Sequence[str]) -> Counter[str]:
    """The answers that the cells name, and how often."""
    whole = Counter(" ".join(cell.split()) for cell in cells)
    found: Counter[str] = Counter()
    for cell in cells:
        found.update(text for text, _ in read_cell(cell, lambda text: _is_one(text, whole)).words)
    return found


def _is_one(text: str, whole: Counter[str]) -> bool:
    """Whether a text with commas is a single answer: it fills three cells, and no part of it fills any."""
    if whole[text] < 3 or "," not in text:
        return False
    parts = read_cell(text).words
    plain = len({word for _, word in parts}) == 1 and all(part in text.split(", ") for part, _ in parts)
    return plain and not any(whole[part] for part, _ in parts)


def _match(
    heading: Heading, texts: Sequence[str], clues: Sequence[Clue], companies: Collection[str]
) -> tuple[list[Clue], list[Clue]]:
    """The clue that the column is, if that is clear, and those that it may be."""
    ranked: list[tuple[float, float, Clue]] = []
    for clue in clues:
        if clue.form in ("titles", "cut"):
            continue
        if is_named(heading.name, clue):
            return [clue], []
        alike = clue_likeness(heading.name, clue, heading.group)
        others = companies and clue.companies and not {fold(one) for one in clue.companies} & set(companies)
        if alike < _NEAR or others:
            continue
        share = share_placed(texts, clue)
        ranked.append((alike + 20 * share + (4 if clue.companies else 0), share, clue))
    ranked.sort(key=lambda one: -one[0])
    if not ranked:
        return [], _by_answers(texts, clues, companies)
    score, share, best = ranked[0]
    alike = clue_likeness(heading.name, best, heading.group)
    ranked = [ranked[0], *(one for one in ranked[1:] if not _are_twins(best, one[2]))]
    clear = len(ranked) == 1 or score - ranked[1][0] >= _CLEAR
    named = [one for one in ranked if clue_likeness(heading.name, one[2], heading.group) == 100.0]
    if len(named) == 1 and (named[0][1] > 0 or not texts):
        return [named[0][2]], []
    fits = (alike >= CALLED and share > 0) or share >= 0.75
    if clear and (fits or (alike >= CALLED and not texts)):
        return [best], []
    return [], [clue for _, share, clue in ranked[:3] if share > 0 or alike >= _SURE]


def _by_answers(texts: Sequence[str], clues: Sequence[Clue], companies: Collection[str]) -> list[Clue]:
    """Whatever the column is called: clues of these companies of whose answers most of its texts are."""
    if len(texts) < 2 or not any(len(text) > SHORT for text in texts):
        return []
    mine = (
        one
        for one in clues
        if one.companies and (not companies or {fold(each) for each in one.companies} & set(companies))
    )
    shares = [(share_placed(texts, one), one) for one in mine if one.form == "choice"]
    fit = sorted((one for one in shares if one[0] > 0.5), key=lambda one: -one[0])
    return [clue for _, clue in fit[:3]]


# -- a new clue -------------------------------------------------------------------------------------------


def _new(
    heading: Heading,
    cells: Sequence[str],
    texts: Counter[str],
    prefix: str,
    meant: Meant,
    taken: Collection[str],
) -> Column:
    figures = brackets_of(texts, heading.name)
    spelt, slips = ([], {}) if figures else _spellings(texts)
    spelt = _common(spelt, texts)
    if len(spelt) > MOST_ANSWERS:
        why = f"{len(spelt)} different values are too many for a clue; map it to note, or to a clue"
        return Column(heading, "out", why=why)
    name = fold(heading.full)
    said = meant.places.get(name) or meant.places.get(fold(heading.name))
    place = said or place_of(heading.full) or ("disc", "label")
    clue = Clue(
        id=new_id(f"{prefix}-{heading.full}", taken),
        ask=" ".join(heading.full.split())[:1].upper() + " ".join(heading.full.split())[1:],
        part=place[0],
        place=place[1],
        answers=tuple(_answers(spelt, any(read_cell(cell).kind == "absent" for cell in cells))),
        source="from a table",
    )
    if figures:
        clue = clue._replace(form="number", unit=figures.unit, answers=(*figures.answers, *clue.answers))
    return Column(heading, "new", clue, guessed=not (said or place_of(heading.full)), slips=slips)


def _spellings(texts: Counter[str]) -> tuple[list[str], dict[str, str]]:
    """Each answer in its commonest spelling, and the slips of the pen with what they were read as."""
    spelt: dict[str, str] = {}
    often: Counter[str] = Counter()
    slips: dict[str, str] = {}
    for text, times in texts.most_common():
        plain = fold(text)
        if plain not in spelt:
            near = [known for known in spelt if _is_slip(plain, known, times, often[known])]
            if len(near) == 1:
                slips[text] = spelt[near[0]]
                continue
            spelt[plain] = text
        often[plain] += times
    return list(spelt.values()), slips


def _common(spelt: list[str], texts: Counter[str]) -> list[str]:
    """Without the texts of a cell or two of a long column: remarks, not answers; they are asked about."""
    often: Counter[str] = Counter()
    for text, times in texts.items():
        often[fold(text)] += times
    least = RARE * sum(often.values())
    common = [text for text in spelt if often[fold(text)] >= least]
    return common if len(common) > 1 else spelt


def _is_slip(plain: str, known: str, times: int, often: int) -> bool:
    """A rarer word that is a commoner one with a slip."""
    return times * 2 <= often and is_slip(plain, known)


def _answers(spelt: Sequence[str], absent: bool) -> list[Answer]:
    answers: list[Answer] = []
    ids: list[str] = []
    for text in spelt:
        gone = fold(text) in NOT_THERE
        answers.append(Answer(new_id(text, ids), text, 0 if gone else len(ids) + 1, absent=gone))
        ids.append(answers[-1].id)
    if absent and not any(one.absent for one in answers):
        answers.append(Answer(new_id("none", ids), "not there", 0, absent=True))
    used = {one.digit for one in answers}
    return [one for one in answers if len(used) == len(answers)] or answers


def placed_words(
    cell: Cell, column: Column
) -> tuple[dict[str, Word], list[tuple[str, str, tuple[str, ...]]]]:
    """Answer id -> word, and what could not be placed or was read with a slip: (text, how, near)."""
    clue = column.clue
    assert clue is not None
    words: dict[str, Word] = {}
    told: list[Told] = []
    if cell.kind == "absent":
        gone = next((one for one in clue.answers if one.absent), None)
        return ({gone.id: "always"}, []) if gone else ({}, [("-", "", ())])
    for text, word in cell.words:
        if over := brackets_over(text, clue):
            words |= {one.id: "usually" if word == "always" else word for one in over}
            told.append((text, "over", (" or ".join(one.text for one in over),)))
            continue
        found = place_answer(column.slips.get(text, text), clue)
        if found.answer is None:
            told.append((text, "", found.near))
            continue
        words.setdefault(found.answer.id, word)
        how = "slip" if text in column.slips else found.how
        if how in ("slip", "short"):
            told.append((text, how, (found.answer.text,)))
    if len(words) == 1 and len(cell.words) > 1 and not told and set(words.values()) == {"usually"}:
        words = dict.fromkeys(words, "always")  # two spellings of one answer
    return words, told


def knows(column: Column) -> Callable[[str], bool]:
    """Whether a text is an answer of the column's clue as it stands."""
    clue = column.clue
    assert clue is not None
    mine = {fold(text) for one in clue.answers for text in (one.id, one.text, *one.slips)}
    known = mine | set(map(fold, column.slips))
    return lambda text: fold(text) in known
