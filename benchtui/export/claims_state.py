"""What a description says of the record's state: grades, faults, play tests, extras, whether it belongs."""

from benchtui.books.intact import BY_ID
from benchtui.evidence.clashes import unresolved
from benchtui.evidence.results import Clash
from benchtui.evidence.seen import BY_HAND
from benchtui.export import telling as tell
from benchtui.export.claim import CONSISTENT, PROBABLY, Claim, Said, dated_at, seen_at
from benchtui.export.items import Item
from benchtui.export.wording import WHEN_WORDS, Wording, grade_text, part_name
from benchtui.model.naming import side_grades, with_the
from benchtui.model.record import (
    PART_KINDS,
    FaultDoc,
    GradeDoc,
    PartDoc,
    RecordDoc,
    half_words,
    is_here,
    part_of,
)

# Grades and faults ------------------------------------------------------------------------------


def own_name(record: RecordDoc, part: PartDoc) -> str:
    """``inner sleeve 2``: what the trade calls the part."""
    return part_name(record, part).replace("inner", "inner sleeve", 1)


def plural(part: PartDoc) -> str:
    """What several parts of its kind are called together."""
    return {"inner": "inner sleeves", "box": "box", "extra": "extras"}.get(part["kind"], part["kind"] + "s")


def _grade(part: PartDoc) -> str:
    """``VG+``, or ``VG+ (side B VG)`` where a side differs from the first."""
    sides = {side: grade_text(event) for side, event in side_grades(part).items()}
    first = next(iter(sides.values()))
    others = ", ".join(f"{half_words(side)} {grade}" for side, grade in sides.items() if grade != first)
    lead = f"{half_words(next(iter(sides)))} {first}, " if others else first
    return lead + others


def in_order(record: RecordDoc, kinds: tuple[str, ...]) -> list[PartDoc]:
    """The parts of those kinds that are there: discs first, as a buyer reads, whatever was taken up first."""
    here = [part for part in record["parts"] if is_here(part) and part["kind"] in kinds]
    return sorted(here, key=lambda part: kinds.index(part["kind"]))


def only(item: Item, words: Wording) -> Said:
    """``cover only`` or ``disc only``: what is not the whole thing says so before anything else.

    A disc without any cover ever entered claims nothing: some were sold in a plain inner sleeve.
    """
    kinds = {part["kind"] for part in item.record["parts"] if is_here(part)}
    covers = [part for part in item.record["parts"] if part["kind"] in ("cover", "box")]
    entries = tuple(f"parts/{part['id']}" for part in item.record["parts"])
    if "disc" not in kinds and kinds & {"cover", "box"}:
        return Said("box only" if "box" in kinds else "cover only", entries)
    if "disc" in kinds and covers and not kinds & {"cover", "box"}:
        return Said("disc only", entries)
    return Said()


def grades(kinds: tuple[str, ...]) -> Claim:
    """Every grade of those kinds of part, when it was given and under which scale."""

    def claim(item: Item, words: Wording) -> Said:
        parts = [part for part in in_order(item.record, kinds) if part["grades"]]
        if not parts:
            return Said()
        stands = {part["id"]: list(side_grades(part).values()) for part in parts}
        bases = {ident: _basis(events, words) for ident, events in stands.items()}
        shared = next(iter(bases.values())) if len(set(bases.values())) == 1 else ""
        said = [
            f"{own_name(item.record, part)} {_grade(part)}" + ("" if shared else f" ({bases[part['id']]})")
            for part in parts
        ]
        entries = [f"parts/{p['id']}/grades/{p['grades'].index(e)}" for p in parts for e in stands[p["id"]]]
        return Said("; ".join(said) + (f" ({shared})" if shared else ""), tuple(dict.fromkeys(entries)))

    return claim


def _basis(events: list[GradeDoc], words: Wording) -> str:
    when = " and ".join(dict.fromkeys(WHEN_WORDS[event["when"]] for event in events))
    scale = " and ".join(dict.fromkeys(words.scale_name(event["scale"]) for event in events))
    return f"{when}, {scale} scale"


def play(item: Item, words: Wording) -> Said:
    """What the play tests heard. A played grade without notes claims nothing but that it was played."""
    texts: list[str] = []
    entries: list[str] = []
    for part in item.record["parts"]:
        for at, event in enumerate(part["grades"]):
            if event["when"] == "played" and is_here(part):
                texts.append(_heard(item.record, part, event))
                entries.append(f"parts/{part['id']}/grades/{at}")
    return Said("; ".join(texts), tuple(entries))


def _heard(record: RecordDoc, part: PartDoc, event: GradeDoc) -> str:
    where = f"side {event['side']}" if event["side"] else part_name(record, part)
    notes = event.get("heard")
    if notes is None:
        return f"{where} played"
    heard = [
        ", ".join(
            bit for bit in (one["position"], one["ticks"] and f"{one['ticks']} ticks", one["noise"]) if bit
        )
        for one in notes
    ]
    stylus = f" ({event['stylus']})" if event.get("stylus") else ""
    return f"{where}{stylus}: " + (" / ".join(heard) or "nothing heard")


def faults(kinds: tuple[str, ...]) -> Claim:
    """Every fault, part by part. No fault noted claims nothing, least of all that there is none."""

    def claim(item: Item, words: Wording) -> Said:
        parts = [part for part in in_order(item.record, kinds) if part["faults"]]
        said = [
            f"{own_name(item.record, part)}: "
            + ", ".join(_fault(words, part, fault) for fault in part["faults"])
            for part in parts
        ]
        return Said(
            "; ".join(said),
            tuple(f"parts/{part['id']}/faults/{at}" for part in parts for at in range(len(part["faults"]))),
        )

    return claim


def _fault(words: Wording, part: PartDoc, fault: FaultDoc) -> str:
    """``seam split (4 cm, bottom)``, so that faults can be told apart in a sentence.

    The part is named before its faults: a box's corner split is a corner split there.
    """
    bits = words.fault_bits(fault)
    name = words.fault_name(fault).removeprefix(f"{part['kind']} ")
    return name + (f" ({', '.join(bits)})" if bits else "")


def sound(item: Item, words: Wording) -> Said:
    """What the dealer noted as sound or complete, part by part. Nothing noted claims nothing."""
    parts = [part for part in in_order(item.record, PART_KINDS) if part.get("sound")]
    said = [
        f"{own_name(item.record, part)}: "
        + ", ".join(BY_ID[one].text if one in BY_ID else one for one in part["sound"])
        for part in parts
    ]
    return Said("; ".join(said), tuple(f"parts/{part['id']}/sound" for part in parts))


# Signatures -------------------------------------------------------------------------------------

SIGNED = {
    "unproven": "signed; not authenticated",
    "paper": "signed; a paper with it names the signer",
}
"""A signature proves nothing by itself: no description calls one genuine, and none leaves the doubt out."""


def signed(item: Item, words: Wording) -> Said:
    """Every signature seen, in one of two fixed phrases, with the part it stands on."""
    texts: dict[str, None] = {}
    entries: list[str] = []
    for one in item.record["answers"]:
        part = part_of(item.record, one["part"])
        phrase = (
            SIGNED.get(one["answer"]) if not one.get("also") and one["clue"].startswith("u-signed") else None
        )
        if phrase and part is not None and is_here(part) and one["how"] == "seen":
            texts[f"{own_name(item.record, part)} {phrase}"] = None
            entries.append(f"answers/{one['part']}/{one['place']}/{one['clue']}")
    return Said("; ".join(texts), tuple(entries))


# Extras, agreement, money -----------------------------------------------------------------------


def extras(state: str) -> Claim:
    def claim(item: Item, words: Wording) -> Said:
        parts = tell.stated(item.record, state)
        *names, last = [own_name(item.record, part) for part in parts] or [""]
        return Said(
            " and ".join([", ".join(names), last] if names else [last]),
            tuple(f"parts/{part['id']}/state" for part in parts),
        )

    return claim


def agreement(item: Item, words: Wording) -> Said:
    """The dealer's ruling on each part, else what the evidence says where it speaks against the part."""
    texts: list[str] = []
    entries: list[str] = []
    for part in item.record["parts"]:
        said = _belongs(item, part) if is_here(part) else Said()
        if said.text:
            texts.append(said.text)
            entries.extend(said.entries)
    return Said("; ".join(texts), tuple(entries))


def _belongs(item: Item, part: PartDoc) -> Said:
    name, ruled = own_name(item.record, part), item.record["rulings"].get(part["id"])
    if ruled is not None:
        phrase = {
            "own": f"{with_the(name)} belongs to it",
            "swapped": f"{with_the(name)} is from another copy",
            "unsure": f"not established whether {with_the(name)} belongs to it",
        }[ruled]
        return Said(phrase, (f"rulings/{part['id']}",))
    swapped = item.weighed.agreement.get(part["id"]) if item.weighed else None
    seen = (*seen_at(item.record, [part["id"]]), *dated_at(item.record, [part["id"]]))
    if swapped is None or swapped.p_swapped < CONSISTENT or not seen:
        return Said()
    clashes = item.weighed.clashes if item.weighed else ()
    if any(_of_another_time(item, clash, part) for clash in clashes):
        return Said(f"{with_the(name)} is of another time, so probably from another copy", seen)
    if swapped.p_swapped >= PROBABLY:
        return Said(f"{with_the(name)} is probably from another copy", seen)
    return Said(f"{with_the(name)} is consistent with coming from another copy", seen)


def assembled(item: Item, words: Wording) -> Said:
    """A deliberate upgrade is always said, and what shows that parts are of different times."""
    moved = [part for part in item.record["parts"] if is_here(part) and part.get("origin")]
    names = " and ".join(own_name(item.record, part) for part in moved)
    text = f"copy assembled from more than one: {names} from another record" if moved else ""
    torn = [_torn(item, clash) for clash in item.weighed.clashes] if item.weighed else []
    texts = dict.fromkeys(filter(None, (text, *(said.text for said in torn))))
    entries = [f"parts/{part['id']}/origin" for part in moved]
    return Said("; ".join(texts), (*entries, *(path for said in torn for path in said.entries)))


def _of_another_time(item: Item, clash: Clash, part: PartDoc) -> bool:
    """Whether it is a part from elsewhere, said as such, that its date sets apart from the disc."""
    away = item.weighed.elsewhere if item.weighed else frozenset()
    return not clash.within and part["id"] in clash.parts and part["id"] in away


def _torn(item: Item, clash: Clash) -> Said:
    """Parts of different times, as such where the dealer ruled that they belong; a part that its own clues
    leave no date.
    """
    record = item.record
    told = (clash.within,) if clash.within else clash.parts
    parts = [part for part in record["parts"] if part["id"] in told and is_here(part)]
    ids = [part["id"] for part in parts]
    seen = (*seen_at(record, ids), *dated_at(record, ids))
    if not seen or any(_of_another_time(item, clash, part) for part in parts):
        return Said()
    names = " and ".join(own_name(record, part) for part in parts)
    by_hand = any(clue == BY_HAND for _, clue in clash.ends)
    if clash.within and by_hand and any(clue == "first" for _, clue in clash.ends):
        return Said(
            f"our own date for {with_the(names)} is before the title's first issue, so none is given", seen
        )
    if clash.within and any(clue == "first" for _, clue in clash.ends):
        return Said(f"what is seen on {with_the(names)} is older than the title's first issue", seen)
    if clash.within and by_hand:
        return Said(
            f"what is seen on {with_the(names)} contradicts our own date for it, so none is given", seen
        )
    if clash.within:
        return Said(f"what is seen on {with_the(names)} contradicts itself, so no date is given for it", seen)
    perhaps = ": perhaps a copy assembled from more than one" if unresolved(record, [clash]) else ""
    return Said(f"{names} are of different times{perhaps}", seen)
