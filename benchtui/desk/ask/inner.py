"""Which inner sleeves are graded: one that is printed is part of what is sold, a plain one is wrapping.

A company's own inner and one made for the record bear print, and buyers ask how it is. A plain white one is
replaced whenever it is torn: nobody grades it (common practice, no source). What was seen says which it is:
an answer that speaks of print, in any book, or titles that it advertises.
"""

import re
from functools import lru_cache

from benchtui.desk.core.desk import Desk
from benchtui.model.record import PartDoc, RecordDoc, answer_ids

_PRINT = re.compile(
    r"(?<!\bno )(?<!\bnot )(?<!\bnever )(?<!\bnothing )(?<!\bwithout )"
    r"\b(?:print(?:ed|s)?|advertis\w+|lyrics?|words|pictur\w+|compan(?:y|ies)\w*)\b",
    re.IGNORECASE,
)


@lru_cache(maxsize=1024)
def speaks_of_print(text: str) -> bool:
    """Whether an answer's words say that there is print on the sleeve: ``grey advertisements``."""
    return _PRINT.search(text) is not None


_PLAIN = re.compile(r"\b(?:white|plain|blank|unprinted|polythene)\b", re.IGNORECASE)


def is_plain(desk: Desk, record: RecordDoc, inner: PartDoc) -> bool:
    """Whether an answer seen says that the sleeve is plain: nothing is advertised on it."""
    texts = [one["text"] for one in record["answers"] if one["part"] == inner["id"] and one["how"] == "seen"]
    plain = any(_PLAIN.search(text.partition(": ")[2]) for text in texts)
    return plain and not is_printed(desk, record, inner)


def is_printed(desk: Desk, record: RecordDoc, inner: PartDoc) -> bool:
    """Whether an answer seen says so, and the dealer has not ruled that it comes from another copy."""
    if record["rulings"].get(inner["id"]) == "swapped":
        return False
    for seen in record["answers"]:
        clue = (
            desk.library.clue(seen["clue"]) if seen["part"] == inner["id"] and seen["how"] == "seen" else None
        )
        told = [clue.answer(one) for one in answer_ids(seen)] if clue is not None else []
        if clue is not None and clue.form == "titles" and None in told:  # titles were picked
            return True
        if any(one is not None and not one.absent and speaks_of_print(one.text) for one in told):
            return True
    return False
