"""Which sign and style the state of a record has in the queue."""

from benchtui.model.record import RecordDoc


def state_of(record: RecordDoc) -> tuple[str, str]:
    """Set apart before all, then taken in (settled or not), begun, empty: ``apart``, ``done``, ``open``,
    ``begun``, ``empty``, each with the name of a style.
    """
    if record["set_apart"] is not None:
        return "apart", "clash"
    if record["state"] == "taken-in":
        # No chance beside it: the books know no pressing of the title, there was nothing to settle.
        settled = record["pressing"]["how"] in ("leader", "hand") or record["pressing"]["p"] is None
        return ("done", "good") if settled else ("open", "warn")
    return ("begun", "") if record["state"] == "started" else ("empty", "dim")
