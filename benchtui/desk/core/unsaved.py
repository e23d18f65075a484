"""Says why nothing is saved and what to do about it."""

from benchtui.store import Parcel, Unsaved

WHAT_TO_DO = "Free some space there ({} MB) and carry on; it will save by itself"
WHERE_IS_IT = "Put its folder back where it was and work on: it is kept in memory and saved by itself"


WORK_ON = "Work on: it is kept in memory and saved by itself as soon as that is possible"


def saved_how(before: Unsaved, parcel: Parcel | None) -> str:
    """What became of that; where another bench changed the parcel meanwhile, it stands beside its version."""
    if parcel is None or not (parcel.set_aside and before.actions):
        return f"everything is saved again: {before.words()}"
    return (
        f"another bench changed parcel {parcel.id} meanwhile: {before.words()} made here are kept, "
        "in a second version. Choose which of the two holds, now or when you open the parcel again"
    )


def why_unsaved(unsaved: Unsaved) -> str:
    """Why nothing is saved and what is to be done about it."""
    if unsaved.over_line:
        return f"{unsaved.why}. {WORK_ON}"
    if unsaved.gone:
        return f"{unsaved.why}. {WHERE_IS_IT}"
    megabytes = max(1, -(-unsaved.room // 100_000)) / 10
    return f"{unsaved.why}. {WHAT_TO_DO.format(megabytes)}"
