"""A weighing as text for a terminal of 80 columns, and as JSON."""

from textwrap import TextWrapper
from typing import Any

from benchtui.evidence.names import part_names
from benchtui.evidence.results import CopyDate, NextClue, PartSpan, Weighing
from benchtui.evidence.settling import say_held
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span

_PRESSINGS = 8
_CLUES = 3
_WIDTH = 80


def _wrapped(line: str) -> str:
    """A line of at most 80 columns, spaces in it kept, or several."""
    wrapper = TextWrapper(_WIDTH, subsequent_indent=" " * 6, replace_whitespace=False, drop_whitespace=True)
    return line if len(line) <= _WIDTH else wrapper.fill(line)


def as_text(record: RecordDoc, weighing: Weighing) -> str:
    """Spans, likely pressings, why, agreement, clashes and what to look at next."""
    names = part_names(record)
    ref = record["title"]
    lines = [f"{ref['artist']}: {ref['title']} {ref['catalogue']}".strip()] if ref else []
    lines += ["", "Made"]
    lines += [f"  {names[key]:12}{_span(span)}" for key, span in weighing.parts.items() if _told(span)]
    lines.append(f"  {'copy':12}{_span(weighing.copy_span)}")
    if weighing.copy_date is not None:
        lines.append(f"  {'':12}most likely {weighing.copy_date.say()}")
    lines += [f"    {date.label:38.38} {date.when():28} {date.hardness()}" for date in weighing.dates]
    lines += [f"  clash: {clash.say}" for clash in weighing.clashes]
    lines += ["", "Likely pressings"]
    lines += [
        f"  {one.p:6.1%}  {one.name:44.44}{one.price.show() if one.price else '':>14}"
        for one in weighing.pressings[:_PRESSINGS]
    ]
    if len(weighing.pressings) > _PRESSINGS:
        lines.append(f"  {sum(one.p for one in weighing.pressings[_PRESSINGS:]):6.1%}  all others")
    lines += ["", "Why: points for the first against the second (10 is ten to one)"] if weighing.why else []
    lines += [f"  {line.decibans:+6.1f}  {line.label:70.70}" for line in weighing.why]
    lines += ["", "Agreement"]
    lines += [f"  {its.say}" for its in weighing.agreement.values()]
    lines += ["", *_ahead(weighing, names)]
    return "\n".join(_wrapped(line.rstrip()) for line in lines)


def _ahead(weighing: Weighing, names: dict[str, str]) -> list[str]:
    lines = [
        "Pressing sure"
        if weighing.settled
        else "Nothing left to look at"
        if weighing.nothing_left
        else "Look at next (points that a look makes on average)"
    ]
    open_parts = () if weighing.settled else sorted(weighing.next, key=lambda key: key != weighing.next_part)
    for key in open_parts:
        for one in weighing.next[key][:_CLUES]:
            if one.bits >= 0.001:
                lines.append(f"  {names[key]:10}{one.points:5.1f} {one.seconds:4.0f} s  {_ask(one):54.54}")
    if said := say_held(weighing):
        lines.append(f"{said[0].upper()}{said[1:]}")
    if weighing.second_look is not None:
        lines.append(f"Second look: {weighing.second_look.say}")
    if weighing.suspect:
        lines.append(f"Suspect: {weighing.suspect}; set it apart")
    return [
        *lines,
        *(f"No longer in the book, not counted: {doc['text'] or doc['answer']}" for doc in weighing.lost),
    ]


def _ask(one: NextClue) -> str:
    return f"{one.clue.ask} ({one.clue.id} at {one.place})"


def _told(span: PartSpan) -> bool:
    return span.certain is None or span.likely is None or span.certain.known or span.likely.known


def _span(span: PartSpan) -> str:
    return f"certain {_edtf(span.certain, 'nothing'):25}likely {_edtf(span.likely, 'any time')}"


def _edtf(span: Span | None, unknown: str) -> str:
    return "a clash" if span is None else span.edtf() or unknown


def as_json(record: RecordDoc, weighing: Weighing) -> dict[str, Any]:
    """The same as plain JSON; parts by their names, spans in EDTF (null where they clash)."""
    names = part_names(record)
    second = weighing.second_look
    return {
        "title": record["title"]["id"] if record["title"] else None,
        "spans": {names[key]: _both(span) for key, span in weighing.parts.items()},
        "disc": _both(weighing.disc_span),
        "copy": _both(weighing.copy_span),
        "copy_date": _dated(weighing.copy_date),
        "dates": [
            {
                "label": d.label,
                "spans": [span.edtf() for span in d.spans],
                "hardness": d.ends[0],
                "to_hardness": d.ends[1],
                "source": d.source,
            }
            for d in weighing.dates
        ],
        "clashes": [
            {"say": c.say, "clues": [c.clue_a, c.clue_b], "doubt": c.doubt} for c in weighing.clashes
        ],
        "pressings": [
            {"id": one.id, "name": one.name, "p": one.p, "price": _money(one.price), "kind": one.kind}
            for one in weighing.pressings
        ],
        "settled": weighing.settled,
        "held": weighing.held,
        "fit": _fit(weighing),
        "nothing_left": weighing.nothing_left,
        "agreement": {
            names[key]: {"p_swapped": a.p_swapped, "decibans": a.decibans, "say": a.say, "by_rule": a.by_rule}
            for key, a in weighing.agreement.items()
        },
        "elsewhere": sorted(names[key] for key in weighing.elsewhere),
        "next": {names[key]: [_next(one) for one in rows] for key, rows in weighing.next.items()},
        "next_part": names.get(weighing.next_part or ""),
        "second_look": {"cost": _money(second.cost), "say": second.say} if second else None,
        "why": [{"label": w.label, "decibans": w.decibans, "source": w.source} for w in weighing.why],
        "suspect": weighing.suspect,
        "lost": [doc["text"] for doc in weighing.lost],
    }


def _both(span: PartSpan) -> dict[str, str | None]:
    return {
        "certain": None if span.certain is None else span.certain.edtf(),
        "likely": None if span.likely is None else span.likely.edtf(),
    }


def _dated(found: CopyDate | None) -> dict[str, Any] | None:
    return None if found is None else {"run": found.run.edtf(), "held": found.held, "unknown": found.unknown}


def _fit(weighing: Weighing) -> dict[str, Any] | None:
    """The place of the copy among drawn ones, the threshold, and what surprises, most first."""
    if weighing.fit is None:
        return None
    return {
        "p": weighing.fit.p,
        "threshold": weighing.fit.threshold,
        "holds": weighing.fit.holds,
        "surprises": [
            {"clue": s.clue, "text": s.text, "decibans": s.decibans} for s in weighing.fit.surprises
        ],
    }


def _next(one: NextClue) -> dict[str, Any]:
    return {
        "clue": one.clue.id, "place": one.place, "ask": one.clue.ask, "bits": one.bits,
        "seconds": one.seconds, "worth": _money(one.worth),
        "answers": {a.id: a.text for a in one.clue.answers},
    }  # fmt: skip


def _money(money: Money | None) -> dict[str, Any] | None:
    return None if money is None else {"minor": money.minor, "currency": money.currency}
