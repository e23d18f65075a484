"""What taking the marked title would want is worked out ahead, and changes nothing of what taking it gives."""

import json
import re
import shutil
from pathlib import Path

import pytest
from bench_hands import Hands, Sit

from benchtui.desk.core.kept_results import weighed_of
from benchtui.desk.line.lines import settle
from benchtui.desk.queue.foresight import foresee_on
from benchtui.evidence import candidates
from benchtui.model.record import RecordDoc


def at_a_title(sit: Sit, shop: Path, typed: str) -> Hands:
    """At the first record without a title, these letters typed and searched for."""
    hands = sit(shop)
    hands.desk.background.patient = True
    hands.do("line-leave")
    while hands.desk.work.record is not None and hands.desk.work.record["title"] is not None:
        hands.do("later")
    assert hands.desk.open.line is not None
    hands.type(typed)
    settle(hands.desk)
    assert hands.desk.open.line.picks
    return hands


def foresee(hands: Hands) -> int:
    """All of it; how many steps that took."""
    steps = 0
    while foresee_on(hands.desk):
        steps += 1
    return steps


def taken(hands: Hands) -> str:
    """The record once the title is taken, its odds and questions; part ids told by their place."""
    hands.do("line-accept")
    record, weighing = hands.desk.work.record, hands.desk.weighing()
    assert record is not None
    assert weighing is not None
    told = [{**record, "started_at": "", "id": ""}, [vars(one) if hasattr(one, "__dict__") else repr(one)
            for one in weighing.pressings], weighing.next_part, hands.desk.asking.order]  # fmt: skip
    text = re.sub(r"\d{4}-\d\d-\d\dT[\d:]+Z", "a moment", json.dumps(told, default=repr))
    for at, part in enumerate(record["parts"]):
        text = text.replace(part["id"], f"part {at}")
    return text


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The clues for which a table was made since."""
    seen: list[str] = []
    real = candidates.clue_table

    def counted(clue, *rest):  # type: ignore[no-untyped-def]
        seen.append(clue.id)
        return real(clue, *rest)

    monkeypatch.setattr(candidates, "clue_table", counted)
    monkeypatch.setattr(candidates, "_cache", {})
    return seen


def test_a_title_foreseen_is_taken_without_a_table_made_and_is_the_same(
    sit: Sit, demo_path: Path, tmp_path: Path, made: list[str]
) -> None:
    other = Path(shutil.copytree(demo_path, tmp_path / "other"))
    hands = at_a_title(sit, demo_path, "id")
    assert foresee(hands) > 10, "in small steps"
    assert len(made) > 10
    del made[:]
    ahead = taken(hands)
    assert made == []
    candidates._cache.clear()
    unforeseen = taken(at_a_title(sit, other, "id"))
    assert len(made) > 10
    assert ahead == unforeseen


def test_beginning_a_record_on_a_later_day_asks_for_no_weighing_but_the_one_foreseen(demo: Hands) -> None:
    record = demo.desk.work.record
    assert record is not None
    begun: RecordDoc = {**record, "state": "started", "earlier": [{"until": "2026-11-27T09:00:00Z"}]}
    assert weighed_of(begun) == weighed_of(record)
    assert weighed_of({**record, "answers": []}) != weighed_of(record)


def test_what_was_foreseen_for_one_title_is_not_taken_for_another(
    sit: Sit, demo_path: Path, made: list[str]
) -> None:
    hands = at_a_title(sit, demo_path, "a")
    foresee(hands)
    foreseen = hands.desk.background.foresight.parts
    assert foreseen is not None
    hands.do("line-down")
    assert foresee_on(hands.desk), "the line marked now is foreseen anew"
    hands.do("line-accept")
    record = hands.desk.work.record
    assert record is not None
    assert record["title"] is not None
    assert not {part["id"] for part in record["parts"]} & {part["id"] for part in foreseen}


def test_where_nobody_waits_or_no_title_is_marked_nothing_is_foreseen(sit: Sit, demo_path: Path) -> None:
    hands = at_a_title(sit, demo_path, "id")
    hands.desk.background.patient = False
    assert not foresee_on(hands.desk)
    hands.desk.background.patient = True
    hands.do("line-leave")
    assert not foresee_on(hands.desk)
    hands.do("note").type("di")
    assert not foresee_on(hands.desk)
    assert hands.desk.background.foresight.parts is None


def test_that_a_title_was_picked_is_noted_once_the_screen_was_painted(sit: Sit, demo_path: Path) -> None:
    hands = at_a_title(sit, demo_path, "id")
    before = {key: pick["count"] for key, pick in hands.desk.shop.picks().items()}
    hands.do("line-accept")
    record = hands.desk.work.record
    assert record is not None
    assert record["title"] is not None
    title = record["title"]["id"]
    assert hands.desk.background.later
    assert hands.desk.shop.picks().get(title, {"count": 0})["count"] == before.get(title, 0)
    hands.desk.background.later.do()
    assert not hands.desk.background.later
    assert hands.desk.shop.picks()[title]["count"] == before.get(title, 0) + 1
