"""What a record teaches of its pressing: shown, and taken back where it taught wrongly."""

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import unless
from benchtui.evidence import counts_of
from benchtui.model.record import RecordDoc


def lesson(desk: Desk, record: RecordDoc) -> list[str]:
    """What later copies are weighed by because of this record, a line a clue."""
    said = []
    for its in [its for key, its in counts_of([record]).items() if key == record["pressing"]["id"]]:
        for clue_id, answers in its["clues"].items():
            clue = desk.library.clue(clue_id)
            for answer in answers:
                known = clue.answer(answer) if clue else None
                said.append(f"{clue.ask if clue else clue_id}: {known.text if known else answer}")
        said += [f"cuts {pair.replace('|', ' and ')}" for pair in its["cuts"]]
        said += ["the whole inscription of both sides" for _ in its.get("runouts", ())]
    return said


def why_not(record: RecordDoc) -> str:
    """In a sentence why the record teaches nothing; "" where it does."""
    pressing = record["pressing"]
    if pressing["learn"]:
        return ""
    if pressing.get("untaught"):
        return "Teaches nothing: you took its lesson back."
    if pressing["id"] is None or pressing["how"] == "open":
        return "Teaches nothing: its pressing is not established."
    return "Teaches nothing: you have not named its pressing, and the book alone does not make it sure."


def _named(desk: Desk) -> str:
    pressing = desk.record["pressing"]
    named = pressing["id"] and pressing["how"] != "open"
    return unless(named, "name the pressing first: a record teaches about one")


@command(
    "teach",
    "bench",
    "take back what this record taught about its pressing, or let it teach again",
    short="lesson",
    group="Record",
    also="learn unlearn untaught wrong teach counts",
    needs=[_named],
    order=336,
)
def teach_or_not(desk: Desk) -> None:
    """The record teaches no longer, or again; undoable, and in a closed parcel a dated correction."""
    record = desk.record
    teaches = record["pressing"]["learn"]
    name = record["pressing"].get("name") or record["pressing"]["id"]
    what = f"no longer teaches {name}" if teaches else f"teaches {name}"
    with dated(desk, f"record {record['no']} {what}") as change:
        pressing = change.record(record["id"])["pressing"]
        pressing["learn"] = not teaches
        pressing["untaught"] = teaches
    desk.weighings.forget_counts()
