"""What a description says of the time a part was made: only what tells a buyer more than the title does."""

from datetime import date, timedelta

from benchtui.evidence.results import PartSpan
from benchtui.export import claims_state as state
from benchtui.export import telling as tell
from benchtui.export import telling_pressing as pressing
from benchtui.export.claim import Claim, Said, dated_at, seen_at
from benchtui.export.items import Item
from benchtui.export.wording import Wording, is_number
from benchtui.model.day_words import span_words, year_words
from benchtui.model.record import DatedDoc, RecordDoc, anchor_of, is_here, part_of
from benchtui.model.span import UNKNOWN, Span, parse_dated
from benchtui.model.title import first_issued

MOST_OF_IT = 9
"""Months from the first to the last of a run that is told as the year it lies in."""
HALF_A_YEAR = timedelta(days=183)
"""So soon after a title's first month "or earlier" would only puzzle: nothing of it is older."""
MOST_UNKNOWN = 0.1
"""Above these odds of "none of these" the months of the known pressings say nothing to a buyer."""


def dates(kind: str) -> Claim:
    """``disc probably made in ...``, each part that differs by its name."""

    def claim(item: Item, words: Wording) -> Said:
        known = item.weighed.parts if item.weighed else {}
        parts = [part for part in tell.outer(item.record, kind) if part["id"] in known]
        made = [
            (
                part,
                _by_us(item.record, part["id"], known[part["id"]])
                or _by_pressing(item, part["id"])
                or _made(item, known[part["id"]], [part["id"]]),
            )
            for part in parts
        ]
        entries = tuple(path for _, said in made for path in said.entries)
        texts = {said.text for _, said in made}
        if len(made) > 1 and len(texts) == 1 and texts != {""}:
            return Said(f"{state.plural(made[0][0])} {texts.pop()}", entries)
        return Said(
            "; ".join(f"{state.own_name(item.record, p)} {s.text}" for p, s in made if s.text), entries
        )

    return claim


def copy_dates(item: Item, words: Wording) -> Said:
    """When the whole copy was made, by its own parts, where that tells more than the title's first issue."""
    if item.weighed is None:
        return Said()
    return _by_us(item.record, "", item.weighed.copy_span) or _made(item, *_of_copy(item))


def _by_us(record: RecordDoc, part: str, spans: PartSpan) -> Said | None:
    """The dealer's own date of a part (``""``: of the copy) as they gave it; None where they gave none that
    can be read, and where what was seen contradicts it.
    """
    found = _given_at(record, part)
    if found is None or spans.likely is None:
        return None
    n, own, given = found
    if not any(spans.likely.meet(one) for one in given):
        return None
    whole = given[0].edtf() == own["span"] or len(given) > 1
    when = " or ".join(map(span_words, given)) if whole else year_words(own["span"])
    sure = "probably " if own["sure"] == "soft" else ""
    return Said(f"{sure}made {when}, dated by us", (f"dated/{n}",))


def _given_at(record: RecordDoc, part: str) -> tuple[int, DatedDoc, tuple[Span, ...]] | None:
    """The dealer's own date of a part (``""``: of the copy): its place among them, the entry, its spans; None
    where they gave none that can be read. What they said of the copy is said of its main part too.
    """
    anchor = anchor_of(record)
    of = {one["part"]: (n, one) for n, one in enumerate(record.get("dated", ()))}
    found = of.get(part) or (of.get("") if anchor and anchor["id"] == part else None)
    if found is None:
        return None
    try:
        return (*found, tuple(parse_dated(found[1]["span"]).spans))
    except ValueError:
        return None


def _by_pressing(item: Item, part: str) -> Said | None:
    """Of a part that allows all that a sure pressing does, what that says of the main part; of another
    nothing: no news. None where the pressing is not sure, and where the part says more, or otherwise.
    """
    weighed, called = item.weighed, item.record["pressing"]
    named = called["how"] == "hand" and bool(called["id"]) and not pressing.is_against(item)
    if weighed is None or weighed.copy_date is None or part in weighed.elsewhere:
        return None
    spans, run = weighed.parts[part], _of_copy(item)[0].likely
    if not (named or weighed.settled) or run is None or not run.latest or spans.likely is None:
        return None
    if spans.likely.meet(run) != run or spans.likely == run:
        return None
    anchor = anchor_of(item.record)
    mine = part_of(item.record, part)
    if (
        anchor is None
        or mine is None
        or (mine is not anchor and not mine["kind"] == anchor["kind"] == "disc")
    ):
        return Said()
    said = _made(item, PartSpan(spans.certain, run), [part], named)
    return said._replace(entries=(*said.entries, "pressing")) if said.text else said


def _of_copy(item: Item) -> tuple[PartSpan, list[str]]:
    """The span of the copy, and the parts of its own that it rests on."""
    assert item.weighed is not None
    here = [part["id"] for part in item.record["parts"] if is_here(part)]
    own = [part for part in here if part not in item.weighed.elsewhere]
    found, spans = item.weighed.copy_date, item.weighed.copy_span
    if (
        found is not None
        and spans.likely is not None
        and found.unknown <= MOST_UNKNOWN
        and not pressing.is_against(item)  # the months of what it hardly is are none of this copy's
    ):
        spans = PartSpan(spans.certain, _whole_year(found.run, spans.likely))
    return spans, own


def _whole_year(run: Span, likely: Span) -> Span:
    """Nine tenths of the odds of a year lie in eleven of its months: a buyer is told the year."""
    first, last = run.earliest, run.latest
    if first is None or last is None or first.year != last.year or last.month - first.month < MOST_OF_IT:
        return run
    return likely.meet(Span(date(first.year, 1, 1), date(first.year, 12, 31))) or run


def first_issue(item: Item, words: Wording) -> Said:
    """When the title was first issued; nothing where a disc, the cover or the copy is told to be older: one
    of the two is wrong, and what was seen on the copy is what the buyer will see.
    """
    text = str(dict(item.record["title"] or {}).get("first") or "")
    first = first_issued(item.record["title"])
    known = item.weighed.parts if item.weighed else {}
    parts = [part for kind in ("disc", "cover") for part in tell.outer(item.record, kind)]
    told = [_ends(item, known[part["id"]], [part["id"]]) for part in parts if part["id"] in known]
    told += [_ends(item, *_of_copy(item))] if item.weighed else []
    if first.earliest and any(span.latest and span.latest < first.earliest for span in told):
        return Said()
    return Said(year_words(text), ("title/first",)) if text else Said()


def _made(item: Item, spans: PartSpan, parts: list[str], named: bool = False) -> Said:
    """Bare where law and physics alone say it, else probably; nothing without an answer behind it, or a
    pressing that the dealer ``named``.

    In whole months: a law's day, or the grace of a soft bound, is no day on which anything was made.
    """
    likely = _ends(item, spans, parts, named)
    if not likely.known:
        return Said()
    sure = spans.certain or UNKNOWN
    certain = (not likely.earliest or likely.earliest == sure.earliest) and (
        not likely.latest or likely.latest == sure.latest
    )
    seen = (*seen_at(item.record, parts), *dated_at(item.record, parts))
    old = ", old stock: older than the title" if _is_old_inner(item, likely, parts) else ""
    return Said(f"{'' if certain else 'probably '}made {span_words(likely, whole_months=True)}{old}", seen)


def _is_old_inner(item: Item, span: Span, parts: list[str]) -> bool:
    """Whether it is an inner sleeve from before its title's first issue: usual, where it is said. One of
    another copy is said to be that.
    """
    first, away = first_issued(item.record["title"]).earliest, item.weighed.elsewhere if item.weighed else ()
    own = [one for one in item.record["parts"] if one["id"] in parts and one["id"] not in away]
    inner = own and all(one["kind"] == "inner" for one in own)
    return bool(inner and first and span.latest and span.latest < first)


def _ends(item: Item, spans: PartSpan, parts: list[str], named: bool = False) -> Span:
    """The ends that are told; unknown where no answer is behind them, nor a pressing that was ``named``."""
    grounds = named or seen_at(item.record, parts) or dated_at(item.record, parts)
    if spans.likely is None or not grounds:
        return UNKNOWN
    first = first_issued(item.record["title"])
    told = _telling(spans.likely, first, _dated_itself(item.record, parts))
    kinds = {one["kind"] for one in item.record["parts"] if one["id"] in parts}
    if kinds <= {"disc", "cover", "box"} and told.latest and not told.earliest and _is_month(first):
        assert first.earliest is not None
        soon = first.earliest <= told.latest < first.earliest + HALF_A_YEAR
        return Span(first.earliest, told.latest) if soon else told
    return told


def _is_month(span: Span) -> bool:
    days = (span.latest - span.earliest).days if span.earliest and span.latest else 366
    return days <= 31


def _telling(span: Span, first: Span, dated_itself: bool) -> Span:
    """The ends that narrow what the title's first issue allows.

    No copy is older than its title, so an earliest day before that is a law's, or the first issue's own with
    some grace. A part that ends before its title began is odd enough to be told whole; a year stays a year.
    Where nobody knows the first issue, an open end stands only on a year that the part itself bears.
    """
    if first.earliest is None:
        return span if span.latest or dated_itself else UNKNOWN
    if span.latest and (span.latest < first.earliest or len(span.edtf()) == len("1967")):
        return span
    begun = first.earliest if span.latest else first.latest
    early = span.earliest is not None and (
        span.earliest < first.earliest or (span.latest is None and begun and span.earliest <= begun)
    )
    return Span(None, span.latest) if early else span


def _dated_itself(record: RecordDoc, parts: list[str]) -> bool:
    """Whether a number, which is a year where it bounds a time, was read off one of the parts."""
    return any(
        one["part"] in parts and one["how"] == "seen" and is_number(one["value"]) for one in record["answers"]
    )
