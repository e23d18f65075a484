"""What the parts come to together, in one sentence: the same that is said of each of them."""

from benchtui.evidence.names import part_names
from benchtui.evidence.results import Standing, Weighing
from benchtui.model.record import RecordDoc, is_here

_LOOKED_FOR = ("disc", "cover", "box", "inner", "wrap")


def together(record: RecordDoc, weighing: Weighing) -> str:
    """``cover and disc are consistent with one copy; inner not looked at``; "" of one part alone."""
    names, told = part_names(record), weighing.agreement
    by: dict[Standing, list[str]] = {}
    for part in record["parts"]:
        found = told.get(part["id"])
        if (
            found is None
            or not is_here(part)
            or (found.stands == "unseen" and part["kind"] not in _LOOKED_FOR)
        ):
            continue
        by.setdefault(found.stands, []).append(names[part["id"]])
    fit = by.get("consistent", [])
    one = [name for name in names.values() if name in (*fit, *by.get("main", []))]
    said = []
    if fit and len(one) > 1:
        said.append(f"{_and(one)} are consistent with one copy")
    if by.get("open") and (said or by.get("main")):
        belong = "belongs" if len(by["open"]) == 1 else "belong"
        said.append(f"not established whether {_and(by['open'])} {belong} to it")
    if said and by.get("unseen"):
        said.append(f"{_and(by['unseen'])} not looked at")
    return "; ".join([*(found.apart for found in told.values() if found.apart), *said])


def _and(names: list[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
