"""Parts that go from one record to another: never lost, never in two places."""

import pytest
from homes import beside
from played import part_of
from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.model.record import MoneyDoc
from benchtui.store import move_part

pytestmark = pytest.mark.both_homes


@pytest.fixture
def pair(shop):
    """Two parcels of one record each; the first has a disc with an answer, and a sender's inner."""
    giver, receiver = shop.new_parcel({}, 1), shop.new_parcel({}, 1)
    with giver.action("parts") as change:
        record = change.record(giver.records[0]["id"])
        record["parts"] = [part_of(1, "disc"), part_of(2, "inner", owner="s-1")]
        record["answers"] = [{"part": "p-0001", "place": "label A", "clue": "c", "answer": "a", "value": None,
                              "how": "seen", "text": "", "book": "", "at": ""}]  # fmt: skip
    return giver, receiver


def parts(parcel, at=0):
    return {part["id"]: part for part in parcel.records[at]["parts"]}


def test_a_part_goes_to_another_parcel_with_its_origin_and_what_was_seen_on_it(shop, pair):
    giver, receiver = pair
    source, target = giver.records[0]["id"], receiver.records[0]["id"]
    move_part(shop, giver, source, "p-0001", receiver, target)
    assert parts(receiver)["p-0001"]["origin"]["parcel"] == giver.id
    assert receiver.records[0]["answers"][0]["part"] == "p-0001"
    assert parts(giver)["p-0001"]["gone"]["parcel"] == receiver.id
    assert receiver.undo() is None
    assert shop.shared.docs("moves") == {}
    move_part(shop, receiver, target, "p-0001", giver, source)
    assert not parts(giver)["p-0001"].get("gone")
    assert len(giver.records[0]["answers"]) == 1


def test_the_work_a_part_waits_for_goes_with_it_and_work_done_stays_in_the_record_of_that_day(shop, pair):
    giver, receiver = pair
    source, target = giver.records[0]["id"], receiver.records[0]["id"]
    chores = [{"id": f"c-{what}", "what": what, "part": "p-0001", "note": "", "by": "key", "at": "", "done": done}
              for what, done in (("clean", "2026-11-20"), ("play-test", None))]  # fmt: skip
    with giver.action("chores") as change:
        change.record(source)["chores"] = chores
    move_part(shop, giver, source, "p-0001", receiver, target)
    assert [chore["what"] for chore in receiver.records[0]["chores"]] == ["play-test"]
    assert [chore["what"] for chore in giver.records[0]["chores"]] == ["clean"]
    move_part(shop, receiver, target, "p-0001", giver, source)
    assert sorted(chore["what"] for chore in giver.records[0]["chores"]) == ["clean", "play-test"]
    assert receiver.records[0]["chores"] == []


def test_within_one_parcel_it_is_one_action_that_can_be_undone(shop):
    parcel = shop.new_parcel({}, 2)
    with parcel.action("parts") as change:
        change.record(parcel.records[0]["id"])["parts"] = [part_of(1, "disc")]
    before = canonical(parcel)
    move_part(shop, parcel, parcel.records[0]["id"], "p-0001", parcel, parcel.records[1]["id"])
    assert parts(parcel, 0)["p-0001"]["gone"]
    assert parts(parcel, 1)["p-0001"]["origin"]
    assert parcel.undo() == f"disc moved from record 1 of {parcel.id} to record 2 of {parcel.id}"
    assert canonical(parcel) == before


def test_a_senders_part_needs_the_senders_consent_to_enter_bought_stock(shop, pair):
    giver, receiver = pair
    move = (shop, giver, giver.records[0]["id"], "p-0002", receiver, receiver.records[0]["id"])
    with pytest.raises(BenchError, match="consent"):
        move_part(*move)
    assert parts(receiver) == {}
    move_part(*move, consent="by letter of 2 March")
    assert parts(receiver)["p-0002"]["origin"]["consent"] == "by letter of 2 March"
    assert parts(receiver)["p-0002"]["owner"] == "s-1"


def test_a_part_that_is_not_there_or_gone_already_cannot_go(shop, pair):
    giver, receiver = pair
    source, target = giver.records[0]["id"], receiver.records[0]["id"]
    with pytest.raises(BenchError, match="no part"):
        move_part(shop, giver, source, "p-9999", receiver, target)
    with pytest.raises(BenchError, match="already"):
        move_part(shop, giver, source, "p-0001", giver, source)
    move_part(shop, giver, source, "p-0001", receiver, target)
    with pytest.raises(BenchError, match="no part"):
        move_part(shop, giver, source, "p-0001", receiver, target)


def test_a_part_of_a_closed_parcel_goes_as_a_dated_correction(shop, pair):
    giver, receiver = pair
    giver.close_parcel()
    move_part(shop, giver, giver.records[0]["id"], "p-0001", receiver, receiver.records[0]["id"])
    assert parts(receiver)["p-0001"]["origin"]
    assert giver.head["corrections"][0]["say"].startswith("disc moved")


def test_a_move_broken_off_half_way_is_finished_at_the_next_start(shop, pair):
    giver, receiver = pair
    source, target = giver.records[0]["id"], receiver.records[0]["id"]

    class Stop(BaseException):
        pass

    def stop(*_, **__):
        raise Stop

    giver.action = stop  # the process ends between the two files
    with pytest.raises(Stop):
        move_part(shop, giver, source, "p-0001", receiver, target)
    assert not parts(giver)["p-0001"].get("gone")
    other = beside(shop)  # while both are open elsewhere nothing can be finished, and nothing is lost
    assert len(other.shared.docs("moves")) == 1
    other.close()
    shop.close()
    again = beside(shop)
    assert again.shared.docs("moves") == {}
    assert parts(again.open_parcel(giver.id))["p-0001"]["gone"]["record"] == target
    assert "gone" not in parts(again.open_parcel(receiver.id))["p-0001"]
    again.close()


COST: MoneyDoc = {"minor": 500, "currency": "GBP"}


def cost_of(parcel, at=0):
    return [{key: value for key, value in one.items() if key != "at"}
            for one in parcel.records[at].get("cost_moved", [])]  # fmt: skip


def test_cost_goes_with_the_part_as_a_dated_entry_on_both_records(shop, pair):
    giver, receiver = pair
    source, target = giver.records[0]["id"], receiver.records[0]["id"]
    move_part(shop, giver, source, "p-0001", receiver, target, cost=COST)
    assert cost_of(giver) == [{"part": "p-0001", **COST, "to": [receiver.id, target]}]
    assert cost_of(receiver) == [{"part": "p-0001", **COST, "from": [giver.id, source]}]
    assert giver.records[0]["cost_moved"][0]["at"] == receiver.records[0]["cost_moved"][0]["at"]
    move_part(shop, receiver, target, "p-0001", giver, source, cost={**COST, "minor": 0})
    assert len(cost_of(giver)) == 1, "nothing of the cost: no entry"


def test_within_one_parcel_undo_takes_the_cost_back_too(shop):
    parcel = shop.new_parcel({}, 2)
    with parcel.action("parts") as change:
        change.record(parcel.records[0]["id"])["parts"] = [part_of(1, "disc")]
    before = canonical(parcel)
    move_part(shop, parcel, parcel.records[0]["id"], "p-0001", parcel, parcel.records[1]["id"], cost=COST)
    assert cost_of(parcel, 0)[0]["to"] == [parcel.id, parcel.records[1]["id"]]
    assert cost_of(parcel, 1)[0]["from"] == [parcel.id, parcel.records[0]["id"]]
    parcel.undo()
    assert canonical(parcel) == before


def test_a_move_with_its_cost_broken_off_half_way_counts_it_once_on_each_side(shop, pair):
    giver, receiver = pair
    source, target = giver.records[0]["id"], receiver.records[0]["id"]

    class Stop(BaseException):
        pass

    def stop(*_, **__):
        raise Stop

    giver.action = stop
    with pytest.raises(Stop):
        move_part(shop, giver, source, "p-0001", receiver, target, cost=COST)
    assert cost_of(giver) == []
    shop.close()
    for _ in range(2):
        again = beside(shop)
        assert cost_of(again.open_parcel(giver.id)) == [
            {"part": "p-0001", **COST, "to": [receiver.id, target]}
        ]
        assert len(cost_of(again.open_parcel(receiver.id))) == 1
        again.close()
