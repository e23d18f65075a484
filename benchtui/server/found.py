"""Looking records up by the server's own index, so that a new machine need not read the whole shop first.

The column ``found`` of a record holds what a look-up looks at, and of a parcel's head its sender; an index of
all strings of three letters in it finds a word also in the midst of another; ``held`` the title of what is in
stock. Which records fit, and in which order, is said here as for a folder (``benchtui.store.searching``): the
server only names the parcels to be read for it.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from typing import Any, NamedTuple, cast

from benchtui.model.record import RecordDoc
from benchtui.store.codec import decode
from benchtui.store.migrate import SCHEMA
from benchtui.store.rows import row_of
from benchtui.store.searching import LookUp, OfTitle, Wanted
from benchtui.store.watch import by_day

Ask = Callable[..., Any]
_FITTING = """
WITH record AS MATERIALIZED (SELECT name, found FROM docs WHERE tbl = 'records' {grams} {of_senders})
SELECT name, bool_or(strpos(E'\\n' || found, %(stock)s) > 0 OR strpos(found || E'\\n', %(catalogue)s) > 0)
FROM record JOIN kept USING (name)
WHERE kind = 'parcel' AND NOT EXISTS (
  SELECT FROM unnest(%(words)s::text[]) AS word WHERE strpos(found, word) = 0)
GROUP BY name"""
_GRAMS = "AND grams(found) @> %(grams)s::text[]"
_OF_SENDERS = "AND name IN (SELECT name FROM docs WHERE tbl = 'head' AND found = ANY (%(senders)s))"
_OF_TITLE = """
SELECT DISTINCT name FROM docs JOIN kept USING (name) WHERE tbl = 'records' AND kind = 'parcel'
AND grams(found) @> %(grams)s::text[] AND strpos(found, %(text)s) > 0"""
_IN_STOCK = "SELECT DISTINCT name FROM docs JOIN kept USING (name) WHERE held = %s AND kind = 'parcel'"
_OLDER = "SELECT name FROM kept WHERE kind = 'parcel' AND documents < %s"


class Columns(NamedTuple):
    """What the columns for look-ups hold of a document; None for those that nobody looks up."""

    found: str | None = None
    held: str | None = None


def columns_of(table: str, text: str) -> Columns:
    """Those of a document with that text."""
    try:
        if table == "records":
            row = row_of(cast(RecordDoc, decode(text)))
            return Columns(_plain(row.text()), _plain(row.title_id) if row.held else None)
        return Columns(_plain(str(decode(text).get("sender") or ""))) if table == "head" else Columns()
    except (ValueError, KeyError, TypeError, AttributeError):  # written by an older program, or by hand
        return Columns("")


def grams_of(words: list[str]) -> list[str]:
    """Every string of three letters in the words."""
    return sorted({word[at : at + 3] for word in words for at in range(len(word) - 2)})


def fitting(ask: Ask, wanted: LookUp) -> list[str]:
    """The parcels that hold what is looked up, and some more, oldest first."""
    if isinstance(wanted, Wanted):
        names = _searched(ask, wanted)
    elif isinstance(wanted, OfTitle):
        text = _plain(wanted.text())
        names = {name for (name,) in ask(_OF_TITLE, {"text": text, "grams": grams_of([text])})}
    else:
        names = {name for (name,) in ask(_IN_STOCK, (_plain(wanted.title_id),))}
    return sorted(names.union(name for (name,) in ask(_OLDER, (SCHEMA,))), key=by_day)


def _searched(ask: Ask, wanted: Wanted) -> set[str]:
    """The parcels of which `Wanted` takes its records. One question, and one more for each way in which
    senders' names hold some of the words.
    """
    ranks: tuple[set[str], set[str], set[str]] = (set(), set(), set())
    values = _values(wanted, wanted.words)
    by_text = _FITTING.format(grams=_GRAMS if values["grams"] else "", of_senders="")
    for name, number in ask(by_text, values):
        ranks[0 if number else 1].add(name)
    for left, senders in _by_senders(wanted).items():
        values = {**_values(wanted, list(left)), "senders": senders}
        ranks[2].update(name for name, _ in ask(_FITTING.format(grams="", of_senders=_OF_SENDERS), values))
    return {name for rank in ranks for name in sorted(rank, key=by_day)[: wanted.limit]}


def fill(session: Any) -> None:
    """The columns for all that was kept before there were any."""
    for (name,) in session.execute("SELECT name FROM kept").fetchall():
        rows = session.execute(
            "SELECT tbl, id, body FROM docs WHERE name = %s AND tbl IN ('records', 'head')", (name,)
        ).fetchall()
        session.execute(
            "UPDATE docs SET found = f.found, held = f.held"
            " FROM unnest(%s::text[], %s::text[], %s::text[], %s::text[]) AS f (tbl, id, found, held)"
            " WHERE docs.name = %s AND docs.tbl = f.tbl AND docs.id = f.id",
            (
                [table for table, _, _ in rows],
                [key for _, key, _ in rows],
                *found_and_held((table, text) for table, _, text in rows),
                name,
            ),
        )


def found_and_held(docs: Iterable[tuple[str, str]]) -> tuple[list[str | None], list[str | None]]:
    """Both columns of documents by table and text."""
    columns = [columns_of(table, text) for table, text in docs]
    return [one.found for one in columns], [one.held for one in columns]


def _values(wanted: Wanted, words: list[str]) -> dict[str, Any]:
    stock, catalogue = map(_plain, wanted.numbers)
    words = [_plain(word) for word in words]
    return {"stock": stock, "catalogue": catalogue, "words": words, "grams": grams_of(words)}


def _by_senders(wanted: Wanted) -> dict[tuple[str, ...], list[str]]:
    """The words that are left -> the senders whose names hold the others."""
    found: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for sender in wanted.senders:
        left = tuple(wanted.words_left(sender))
        if len(left) < len(wanted.words):
            found[left].append(_plain(sender))
    return dict(found)


def _plain(text: str) -> str:
    """What the server takes as text; what is left out finds too much rather than too little."""
    return text.replace("\0", "").encode("utf-8", "replace").decode()
