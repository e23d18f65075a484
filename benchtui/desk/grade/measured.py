"""A fault with its measure: a split of so many centimetres, so many ticks, and where it is."""

import re

from benchtui.books.faults import severity_for
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.grade import grading
from benchtui.desk.grade.grading import COUNTED, example_of
from benchtui.desk.line.lines import LINES, LineKind, close_line
from benchtui.model.grade import Fault

_AMOUNT = re.compile(r"(\d{1,4}(?:[.,]\d{1,2})?)\s*(.*)\Z", re.DOTALL)
_NUMERIC = tuple("0123456789.,-/:")
MOST = 1000


def read_amount(text: str, fault: Fault) -> tuple[str, str]:
    """``4.5 cm bottom edge`` as the amount in plain decimals and the place. ValueError for anything else.

    Ticks are counted, all else is measured; nothing at all is a measure only where a severity begins with it.
    """
    unit = fault.severities[0].unit
    right = f"a number of {unit}, then where if you like: {example_of(unit)}"
    match = _AMOUNT.match(" ".join(text.split()))
    amount = match[1].replace(",", ".") if match else ""
    if match is None or match[2][:1] in _NUMERIC or (unit == COUNTED and "." in amount):
        raise ValueError(f"'{text.strip()}' is not a number of {unit}: write {right}")
    least = min(severity.upto for severity in fault.severities if severity.upto is not None)
    if float(amount) > MOST or (float(amount) == 0 and least > 0):
        raise ValueError(f"{amount} {unit} is not possible: write {right}")
    word, _, rest = match[2].partition(" ")
    return amount, rest if word.casefold() == unit.casefold() else match[2]


def _accept(desk: Desk, line: OpenLine) -> None:
    fault = next((one for one in desk.references.faults if one.id == line.data.get("fault")), None)
    if not line.text.strip() or fault is None or desk.work.part_id != line.data.get("of"):
        close_line(desk)
        desk.say("")
        desk.place()
        return
    try:
        amount, place = read_amount(line.text, fault)
    except ValueError as error:
        desk.refuse(str(error))
        return
    severity = severity_for(fault, float(amount))
    close_line(desk)
    if severity is not None:
        grading.note_fault(desk, fault, severity, amount, place)


LINES["fault-amount"] = LineKind(_accept)
