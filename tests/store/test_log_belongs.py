"""To which state of the main file a log belongs: its generation, or exactly the state it was made from."""

import pytest

from benchtui.store.log import Header, line_of, play

LOG = Header("g-2", "g-1", 7).line() + line_of({"n": 8, "c": [["records", "1", {"no": 1}, None]]})


@pytest.mark.parametrize(
    ("generation", "count", "belongs"),
    [("g-2", 7, True), ("g-1", 7, True), ("g-1", 6, False), ("g-1", 8, False), ("g-0", 7, False)],
)
def test_a_log_belongs_to_its_generation_or_to_the_state_it_was_made_from(
    generation: str, count: int, belongs: bool
) -> None:
    """The same earlier generation at another count is an older copy of the file: the log is not played on it."""
    tables: dict[str, dict[str, object]] = {"records": {}}
    played = play(LOG, tables, generation, count)  # type: ignore[arg-type]
    assert played.belongs is belongs
    assert bool(tables["records"]) is belongs
