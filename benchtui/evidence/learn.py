"""What the shop has learnt from records the dealer confirmed."""

from collections.abc import Iterable, Mapping
from typing import Any

from benchtui.books.ladder import is_proposed
from benchtui.books.passed_on import ClueOf, add_counts, counts_now
from benchtui.evidence.runout import EITHER
from benchtui.evidence.same_runout import whole_runout
from benchtui.evidence.stop import bin_of
from benchtui.model.record import RecordDoc, guess_right
from benchtui.model.wear import asked_for

Tally = dict[str, Any]
STOP, GROUPS, GUESSED = "~stop", "~groups", "~guessed"
"""Beside the pressings' ids: how sure and how often right (stop.py), what repeats (repeats.py), and guesses
before the cover was opened, by which nothing is weighed.
"""


def counts_of(records: Iterable[RecordDoc]) -> Tally:
    """Counts per pressing, as plain JSON: copies, answers per clue, pairs of cuts of the first disc, its
    whole runouts where no cut was read, and what was asked by hand (`benchtui.model.wear`).

    A record counts once the dealer has confirmed it (``pressing.learn``); of its answers those that were
    seen, on parts that are still with it and that are neither ruled swapped nor moved in from elsewhere.
    Counting starts from the records each time, so undoing a confirmation takes its counts back.
    """
    tally: Tally = {}
    for record in records:
        pressing = record["pressing"]
        if (right := guess_right(record)) is not None:
            add_counts(tally, {GUESSED: right})
        if pressing["learn"] and pressing["id"] is not None and not is_proposed(pressing["id"]):
            _add(tally.setdefault(pressing["id"], {"n": 0, "clues": {}, "cuts": {}}), record)
            if pressing["how"] == "hand" and "bench" in pressing:
                _add_witness(tally, pressing["id"], pressing["bench"])
    return tally


def _add_witness(tally: Tally, named: str, bench: Mapping[str, Any]) -> None:
    """What a copy named by the dealer says of the bench that judged it."""
    right = "right" if bench["leader"] == named else "wrong"
    add_counts(tally, {STOP: {bin_of(bench["p"]): {right: 1}}, GROUPS: bench["groups"]})


def others(counts: Mapping[str, Any], record: RecordDoc, clue_of: ClueOf) -> Mapping[str, Any]:
    """The counts without what this record itself added: a copy must not be its own witness."""
    own = counts_now(counts_of([record]), clue_of)
    return {**counts, **{key: _less(counts[key], tally) for key, tally in own.items() if key in counts}}


def _less(total: Mapping[str, Any], own: Mapping[str, Any]) -> Tally:
    left: Tally = {}
    for key, value in total.items():
        if isinstance(value, Mapping):
            left[key] = _less(value, own.get(key, {}))
        else:
            left[key] = max(0, value - own.get(key, 0))
    return left


def _add(own: Tally, record: RecordDoc) -> None:
    own["n"] += 1
    if asked := asked_for(record):
        add_counts(own, {"asked": {asked: 1}})
    parts = {p["id"]: p for p in record["parts"] if not p.get("gone") and _is_own(record, p["id"])}
    confirmed = {
        (doc["part"], doc["clue"], doc["answer"])  # both sides of a disc agreeing is one observation
        for doc in record["answers"]
        if doc["how"] == "seen"
        and doc["part"] in parts
        and not doc.get("also")  # either of two teaches neither
    }
    for _, clue, answer in sorted(confirmed):
        answers = own["clues"].setdefault(clue, {})
        answers[answer] = answers.get(answer, 0) + 1
    for part in parts.values():
        if part["kind"] == "disc" and part.get("number", 1) == 1:
            cuts = [part.get("sides", {}).get(side, {}).get("cut") for side in ("A", "B")]
            if cuts[0] and cuts[1] and EITHER not in cuts[0] + cuts[1]:  # either of two teaches neither
                pair = f"{cuts[0]}|{cuts[1]}"
                own["cuts"][pair] = own["cuts"].get(pair, 0) + 1
            if whole := whole_runout(part):
                add_counts(own, {"runouts": {whole: 1}})


def _is_own(record: RecordDoc, part_id: str) -> bool:
    """Whether a part speaks for the record's pressing: not ruled swapped, nor from another record, nor
    likelier than not from another copy when the record was taken in.
    """
    ruling = record["rulings"].get(part_id)
    doubted = part_id in record["pressing"].get("doubted", [])
    part = next(part for part in record["parts"] if part["id"] == part_id)
    return ruling == "own" or (ruling != "swapped" and not part.get("origin") and not doubted)
