"""Cautions at work: one text each, from one file, for the bench, the work list, the slip and the exports."""

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from benchtui.books.scales import open_rows
from benchtui.model.grade import Fault
from benchtui.model.record import PartDoc

SHIPPED = Path(__file__).parent / "cautions.toml"


class Caution(NamedTuple):
    """What to mind, and when: at such work (none named: at any), with such materials, or set apart so."""

    id: str
    text: str
    works: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    always: bool = False
    apart: str = ""

    def at(self, work: str) -> bool:
        """Whether it belongs to that work."""
        return not self.works or work in self.works


@cache
def cautions() -> Mapping[str, Caution]:
    """Every caution by id, in the order in which they are said. BenchError for a file that is wrong."""
    top, faults = open_rows(SHIPPED)
    found = {}
    for row in top.rows("caution"):
        one = Caution(
            id=row.need("id"),
            text=row.need("text"),
            works=row.texts("works"),
            materials=row.texts("materials"),
            always=row.flag("always"),
            apart=row.text("apart"),
        )
        row.done()
        found[one.id] = one
    top.done()
    faults.raise_first()
    return found


def said(caution_id: str) -> str:
    """The text of one caution. KeyError for an id that the file has not."""
    return cautions()[caution_id].text


def said_apart(why: str) -> str:
    """What to mind of a record set apart for that reason, "" where there is nothing."""
    return next((one.text for one in cautions().values() if one.apart and one.apart == why), "")


def said_at(
    work: str, parts: Iterable[PartDoc], faults: Mapping[str, Fault], apart: str = ""
) -> tuple[str, ...]:
    """What to mind at that work on these parts, of a record set apart for that reason ("": it is not).

    Work "" is none in particular: what holds whenever the part is taken up.

    What a shop's own fault says in its ``handling`` follows; each text stands once.
    """
    parts = list(parts)
    noted = [faults[doc["fault"]] for part in parts for doc in part["faults"] if doc["fault"] in faults]
    named = {one for fault in noted for one in fault.cautions}
    materials = {part.get("material", "") for part in parts}
    texts = [
        one.text
        for one in cautions().values()
        if (one.apart and one.apart == apart)
        or (one.at(work) and (one.always or one.id in named or materials & set(one.materials)))
    ]
    own = [fault.handling for fault in noted if fault.handling and fault.chore == work]
    return tuple(dict.fromkeys([*texts, *own]))
