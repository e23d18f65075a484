"""Recognising the title: completion, picking, a new one from what was typed, repeating the last copy."""

from collections.abc import Iterator
from typing import Any

from benchtui.bench.desk import hand
from benchtui.bench.desk.core import Desk, OpenLine, Pick
from benchtui.bench.desk.lines import LINES, LineKind, close_line, marked_pick, open_line, refresh
from benchtui.bench.desk.verbs import does
from benchtui.books.shape import BookTitle
from benchtui.model.parcel import ListLine
from benchtui.model.record import PartKind, RecordDoc, TitleRef, new_part, part_of
from benchtui.model.title import Title
from benchtui.store import Change
from benchtui.titles import Context, Hit, read_barcode

ABOUT = "letters of artist, title or number, in any order; Enter takes the marked line"


@does("find-title")
def find_title(desk: Desk) -> None:
    """Open the title line, empty or with what it held when it was left."""
    if desk.record is None:
        desk.refuse("no record on the bench: take one from the queue")
        return
    open_line(desk, "title", "title", about=ABOUT)


def context_of(desk: Desk) -> Context:
    """What ranks titles here: the sender's list, this parcel, what was picked lately and often, the stock."""
    parcel = desk.parcel
    head = parcel.head if parcel else None
    lines = tuple(line for line in (head["list"] if head else []) if line["record"] is None)
    here = {r["title"]["id"] for r in desk.records if r["title"]}
    picks = desk.shop.picks()
    sender = head["sender"] if head else None
    return Context(
        unticked=lines,
        parcel=frozenset(here),
        picks={title_id: (pick["count"], pick["last"]) for title_id, pick in picks.items()},
        sender_picks={
            title_id: (pick["senders"][sender], pick["last"])
            for title_id, pick in picks.items()
            if sender in pick["senders"]
        },
        stock=desk.shop.stock_by_title(),
    )


def picks_for(desk: Desk, text: str) -> list[Pick]:
    """The titles that fit, best first, with the letters that matched marked."""
    picks: list[Pick] = []
    for picks in steps_for(desk, text):  # noqa: B007
        pass
    return picks


def steps_for(desk: Desk, text: str) -> Iterator[list[Pick]]:
    """The same in steps of a few milliseconds, each giving the list so far; nothing for no text.

    Until it is known what each line of the sender's list means, a line offered itself comes last.
    """
    if not text.strip():
        return
    last, picks, context = None, [], _cached_context(desk)
    for hits in desk.finder.steps(text, 8, context):
        if hits is not last:
            last = hits
            shown = hits if desk.finder.is_warm(context) else sorted(hits, key=lambda hit: not hit.title.id)
            picks = [_pick(hit) for hit in shown]
        yield picks


def warm(desk: Desk) -> Iterator[None]:
    """What the first letters will want, made ready in steps while nothing is typed yet."""
    yield
    yield from desk.finder.warm(_cached_context(desk))


def _cached_context(desk: Desk) -> Context:
    """One context per opening of the line: it cannot change while letters are typed."""
    line = desk.line
    if line is None:
        return context_of(desk)
    if desk.ranked_by is None or desk.ranked_by[0] is not line:
        desk.ranked_by = (line, context_of(desk))
        desk.warming = desk.finder.warm(desk.ranked_by[1])
        while not desk.patient and warm_on(desk):
            pass
    return desk.ranked_by[1]


def warm_on(desk: Desk) -> bool:
    """One step of making ready what the open line wants; at its end the list is searched anew, but for one
    on which somebody has moved the mark already. False when there is nothing left.
    """
    if desk.warming is None:
        return False
    if next(desk.warming, DONE) is not DONE:
        return True
    desk.warming, line = None, desk.line
    if desk.patient and line is not None and desk.ranked_by and desk.ranked_by[0] is line and not line.marked:
        refresh(desk)
    return False


DONE = object()


def _pick(hit: Hit) -> Pick:
    title = hit.title
    spans = [*_marked(title.artist, hit.marks.get("artist", ()), "bold"), ("  ", "")]
    spans += _marked(title.title, hit.marks.get("title", ()), "")
    spans.append(("  ", ""))
    spans += _marked(title.catalogue, hit.marks.get("catalogue", ()), "dim")
    tail = "  ".join(filter(None, (title.first[:4].strip("[."), title.company)))
    spans.append((f"  {tail}", "dim"))
    if title.pressings:
        spans.append((f"  {title.pressings} pressings" if title.pressings > 1 else "  1 pressing", "dim"))
    if hit.line:
        spans.append(("  on the sender's list", "accent"))
    if hit.here:
        spans.append(("  already in this parcel", "accent"))
    if hit.stock:
        spans.append((f"  in stock {hit.stock}", "accent"))
    return Pick(tuple(spans), title)


def _marked(text: str, marks: Any, style: str) -> list[tuple[str, str]]:
    """The text in pieces, the matched letters underlined."""
    pieces, at = [], 0
    for start, end in sorted(marks):
        if start < at:
            continue
        pieces += [(text[at:start], style), (text[start:end], f"{style} match".strip())]
        at = end
    pieces.append((text[at:], style))
    return [piece for piece in pieces if piece[0]]


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    return picks_for(desk, line.text)


def _steps(desk: Desk, line: OpenLine) -> Iterator[list[Pick]]:
    return steps_for(desk, line.text)


def _typed(desk: Desk, line: OpenLine) -> None:
    """A barcode whose check digit is wrong is said at once, without a sound: more digits may come."""
    remark = desk.finder.remark(line.text)
    if remark:
        desk.message, desk.tone = remark, "refused"


def _accept(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is not None:
        title: Title = pick.value
        new = not title.id  # known from the sender's list only
        if new:
            title = make_title(desk, title.artist, title.title, title.catalogue)
        close_line(desk)
        take_title(desk, title, new)
    elif line.text.strip():
        _new(desk, line)
    else:
        close_line(desk)
        desk.say("")
        desk.place()


def _new(desk: Desk, line: OpenLine) -> None:
    """A new title from what was typed: ``artist - title - number``, the last two may be missing.

    On the empty line there is nothing to make: the record before is repeated, for a second copy.
    """
    text = " ".join(line.text.split())
    if not text:
        close_line(desk)
        if not copy_last(desk):
            desk.refuse("nothing to repeat yet: type artist - title - number")
            desk.place()
        return
    barcode = read_barcode(text)
    if barcode is not None and barcode.valid is not None:
        unknown = f"no list knows the barcode {barcode.digits}: type artist - title - number"
        desk.refuse(barcode.say or unknown)
        return
    pieces = [piece.strip() for piece in text.replace(" / ", " - ").split(" - ")]
    artist, name = (pieces[0], pieces[1]) if len(pieces) > 1 else ("", pieces[0])
    title = make_title(desk, artist, name, " - ".join(pieces[2:]))
    close_line(desk)
    take_title(desk, title, new=True)


def make_title(desk: Desk, artist: str, name: str, catalogue: str) -> Title:
    """A title of the shop's own: in the shop's file first, so that the parcel never refers to nothing."""
    fields: dict[str, Any] = {"artist": artist, "title": name, "catalogue": catalogue}
    title = Title(id=desk.shop.add_title(fields), artist=artist, title=name, catalogue=catalogue)
    desk.finder.add(title)
    return title


def take_title(desk: Desk, title: Title, new: bool = False) -> None:
    """Give the record this title: everything the lists know is filled in, the first part is taken up."""
    record, parcel = desk.record, desk.parcel
    if record is None or parcel is None:
        return
    known = desk.library.title(title.id)
    before = [
        r for r in desk.records if r["title"] and r["title"]["id"] == title.id and r["id"] != record["id"]
    ]
    name = ", ".join(filter(None, (title.artist, title.title)))
    with desk.act(f"record {record['no']}: {'new title ' if new else ''}{name}") as change:
        copy = desk.changed(change)
        copy["title"] = title_ref(title)
        channels = title.channels or (known.channels if known else "")
        copy["channels"] = channels if channels in ("mono", "stereo") else ""
        copy["size_in"] = title.size_in or (known.size_in if known else 12)
        fill_parts(desk, record["title"], copy, title)
        tick_off(desk, change, copy)
        first = next(iter(hand.in_hand_order(copy)), None)
        hand.take(desk, copy, first["id"] if first else None)
    desk.shop.note_pick(title.id, parcel.head["sender"])
    if before:
        desk.say(f"{desk.message}; a copy stands at {before[-1]['no']}: ' repeats its answers", "done")


def title_ref(title: Title) -> TitleRef:
    """What the record keeps of its title, so that it stands alone."""
    return {
        "id": title.id,
        "artist": title.artist,
        "title": title.title,
        "catalogue": title.catalogue,
        "first": title.first,
        "company": title.company,
        "country": title.country,
        "book": title.book,
    }


def fill_parts(desk: Desk, before: TitleRef | None, record: RecordDoc, title: Title) -> None:
    """The parts such a title comes in, and the extras it should have; what the dealer already said stays."""
    owner, known = hand.owner_of(desk, record), desk.library.title(title.id)
    if not {part["kind"] for part in record["parts"]} & {"cover", "box"}:
        record["parts"].append(new_part("cover", owner))
    was = _comes_with(1, desk.library.title(before["id"])) if before else (0, 0)
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
        if part["kind"] != kind or not count < part.get("number", 1) <= was or hand.is_touched(record, part)
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


def tick_off(desk: Desk, change: Change, record: RecordDoc) -> None:
    """Tick the line of the sender's list that this title answers; a changed title gives its line back."""
    title = record["title"]
    if title is None:
        return
    lines = change.head["list"]
    for line in lines:
        if line["record"] == record["id"]:
            line["record"] = None
    known = desk.library.title(title["id"])
    numbers = {title["catalogue"], *(known.catalogues if known else ())}
    unticked = [line for line in lines if line["record"] is None]
    meant = _meant_line(desk, title, unticked)
    best = meant if meant is not None else _best_line(title, numbers, unticked)
    if best is not None:
        best["record"] = record["id"]


def _meant_line(desk: Desk, title: TitleRef, lines: list[ListLine]) -> ListLine | None:
    """The line by which the pick list put this title first, so that the two never differ."""
    listed = desk.finder.by_id(title["id"])
    text = desk.finder.line_of(listed, desk.ranked_by[1]) if listed and desk.ranked_by else ""
    return next((line for line in lines if text and text in (line["line"], line["title"])), None)


def _best_line(title: TitleRef, numbers: set[str], lines: list[Any]) -> Any | None:
    from rapidfuzz import fuzz

    plain = {_plain(number) for number in numbers} - {""}
    wanted = f"{title['artist']} {title['title']}".casefold()
    scored = []
    for line in lines:
        text = " ".join(filter(None, (line["artist"], line["title"]))) or line["line"]
        same_number = _plain(line["catalogue"]) in plain
        score = 100.0 if same_number else fuzz.token_set_ratio(wanted, text.casefold())
        scored.append((score, line))
    best = max(scored, key=lambda pair: pair[0], default=None)
    return best[1] if best and best[0] >= 85 else None


def _plain(number: str) -> str:
    """A catalogue number without spaces, dashes and case."""
    return "".join(char for char in number.casefold() if char.isalnum())


def copy_last(desk: Desk) -> bool:
    """Repeat the last copy's answers (of this title, else the record before): copied, not seen."""
    record = desk.record
    model = _model_for(desk, record) if record else None
    if record is None or model is None or model["title"] is None:
        return False
    source = model
    with desk.act(f"record {record['no']}: answers repeated from {source['no']}, to be confirmed") as change:
        copy = desk.changed(change)
        if copy["title"] is None:
            copy["title"] = model["title"].copy()
            copy["channels"], copy["size_in"] = source["channels"], source["size_in"]
            tick_off(desk, change, copy)
        if not copy["parts"]:
            for part in source["parts"]:
                copy["parts"].append(_like(desk, copy, part))
        _copy_answers(desk, copy, source)
        first = part_of(copy, desk.part_id) or next(iter(hand.in_hand_order(copy)), None)
        hand.take(desk, copy, first["id"] if first else None)
    return True


def _model_for(desk: Desk, record: RecordDoc) -> RecordDoc | None:
    before = [
        other for other in desk.records if other["no"] < record["no"] and other["title"] and other["answers"]
    ]
    if record["title"] is not None:
        wanted = record["title"]["id"]
        before = [other for other in before if other["title"] and other["title"]["id"] == wanted]
    return before[-1] if before else None


def _like(desk: Desk, record: RecordDoc, part: Any) -> Any:
    fields: dict[str, Any] = {
        key: part[key] for key in ("number", "material", "name", "expected") if key in part
    }
    if part["kind"] == "extra":
        fields["state"] = "unknown"
    return new_part(part["kind"], hand.owner_of(desk, record), **fields)


def _copy_answers(desk: Desk, record: RecordDoc, source: RecordDoc) -> None:
    """Each answer goes to the part of the same kind and number; a cover's number is a copy's own."""
    at = desk.now()
    for answer in source["answers"]:
        model = part_of(source, answer["part"])
        clue = desk.library.clue(answer["clue"])
        if model is None or clue is None or clue.form in ("number", "cut") or answer["how"] != "seen":
            continue
        twin = next(
            (
                p
                for p in record["parts"]
                if p["kind"] == model["kind"]
                and p.get("number", 1) == model.get("number", 1)
                and p.get("name") == model.get("name")
            ),
            None,
        )
        if twin is None:
            continue
        copied = dict(answer) | {"part": twin["id"], "how": "copied", "at": at}
        record["answers"].append(copied)  # type: ignore[arg-type]


def _take_extra_name(desk: Desk, line: OpenLine) -> None:
    name = " ".join(line.text.split())
    close_line(desk)
    if not name:
        desk.say("")
        desk.place()
        return
    hand.add_part(desk, "extra", name)


LINES["title"] = LineKind(_accept, _suggest, typed=_typed, new=_new, steps=_steps)
LINES["extra-name"] = LineKind(_take_extra_name)
