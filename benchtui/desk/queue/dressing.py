"""What the lists and books know of a title, put into a record: its parts, size, channels, extras."""

from typing import Any

from benchtui.books.shape import BookTitle
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.field import field_of
from benchtui.desk.hand import hand
from benchtui.model.record import PartKind, RecordDoc, TitleRef, is_touched, new_part, not_called
from benchtui.model.title import Title, title_ref


def dress(desk: Desk, record: RecordDoc, before: TitleRef | None, title: Title) -> None:
    """Everything the lists and books know of a title goes into a copy of the record."""
    known, channels = desk.library.title(title.id), title.channels
    channels = channels or (known.channels if known else "") or _by_prefix(desk, title, known)
    if before is not None and before["id"] != title.id:  # it was a pressing of the other title
        record["pressing"] = not_called()
        record.pop("guess", None)
    record["title"] = title_ref(title)
    record["channels"] = channels if channels in ("mono", "stereo") else ""
    record["size_in"] = title.size_in or (known.size_in if known else 12)
    fill_parts(desk, before, record, title)


def _by_prefix(desk: Desk, title: Title, known: BookTitle | None) -> str:
    """What the shop's field says of the title's only number, where the title was made before the field."""
    usual = field_of(desk.settings)
    if title.company and usual.company and title.company != usual.company:
        return ""
    numbers = {title.catalogue, *(known.catalogues if known else ())} - {""}
    sounds = {one.channels for one in known.pressings} - {""} if known else set()
    channels = usual.channels(title.catalogue) if len(numbers) == 1 else ""
    return channels if sounds <= {channels} else ""


def fill_parts(desk: Desk, before: TitleRef | None, record: RecordDoc, title: Title) -> None:
    """The parts such a title comes in, and the extras it should have; what the dealer already said stays."""
    owner, known = hand.owner_of(desk, record), desk.library.title(title.id)
    known_before = desk.library.title(before["id"]) if before else None
    _fit_cover(record, _goes_in(known_before), _goes_in(known), owner)
    was = _comes_with(1, known_before) if before else (0, 0)
    discs, inners = _comes_with(title.discs, known)
    material = known.material if known else "vinyl"
    _fit_kind(record, "disc", (was[0], discs), owner, material=material)
    _fit_kind(record, "inner", (was[1], inners), owner)
    expected = expected_extras(known) if known else []
    record["parts"] = [
        part
        for part in record["parts"]
        if not (
            part["kind"] == "extra"
            and part.get("expected")
            and part.get("state") == "unknown"
            and part.get("name") not in expected
        )
    ]
    names = {part.get("name") for part in record["parts"] if part["kind"] == "extra"}
    for name in expected:
        if name not in names:
            record["parts"].append(new_part("extra", owner, name=name, expected=True, state="unknown"))


def _goes_in(known: BookTitle | None) -> PartKind:
    return "box" if known is not None and known.box else "cover"


def _fit_cover(record: RecordDoc, was: PartKind, wanted: PartKind, owner: str) -> None:
    """A box or a cover, as the title came; what the title before brought and nobody touched is changed."""
    found = [part for part in record["parts"] if part["kind"] in ("cover", "box")]
    if not found:
        record["parts"].append(new_part(wanted, owner))
    elif was != wanted and found[0]["kind"] == was and not is_touched(record, found[0]):
        found[0]["kind"] = wanted


def _comes_with(discs: int, known: BookTitle | None) -> tuple[int, int]:
    """How many discs and inners a title has; one the books do not know has an inner to each disc."""
    if known is None:
        return max(1, discs), max(1, discs)
    return known.discs, max(known.inners, known.discs) if known.inners else 0


def _fit_kind(record: RecordDoc, kind: PartKind, counts: tuple[int, int], owner: str, **fields: Any) -> None:
    """As many as this title comes with; what one picked by mistake brought goes if nobody touched it."""
    was, count = counts
    record["parts"] = [
        part
        for part in record["parts"]
        if part["kind"] != kind or not count < part.get("number", 1) <= was or is_touched(record, part)
    ]
    have = {part.get("number", 1) for part in record["parts"] if part["kind"] == kind}
    record["parts"] += [
        new_part(kind, owner, number=n, **fields) for n in range(1, count + 1) if n not in have
    ]


def expected_extras(known: BookTitle) -> list[str]:
    """Every extra that some pressing of the title came with, in the book's order."""
    names = list(known.extras)
    for pressing in known.pressings:
        names += [name for name in pressing.extras if name not in names]
    return list(dict.fromkeys(names))
