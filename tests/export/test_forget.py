"""Forgetting a person: everything but what the books need goes for good, from the files beside them too."""

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.cli import main
from benchtui.export.forget import forget, opened, person_of, still_named, told, would_forget
from benchtui.money.forgetting import GONE, Person, forget_in_head
from benchtui.store.shop import Shop

NAME = "Mirabel Larch"


@pytest.fixture
def shop(tmp_path: Path, make: SimpleNamespace) -> Iterator[Shop]:
    """One record held for somebody who asked and owned it once; another that they bought; them as a sender."""
    made = Shop.create(tmp_path / "shop")
    sender = made.add_sender("Hester Quillow", address="3 Dock Row", note="call after six")
    made.add_sender(NAME, address="1 Quay")
    parcel = made.new_parcel(
        {"sender": sender, "delivered": "2026-11-02", "note": f"for {NAME}?"}, expected=2
    )
    with parcel.action("taken in") as change:
        for no, doc in enumerate(parcel.records, 1):
            change.record(doc["id"]).update(make.record(no, f"A0000{no}", id=doc["id"], terms=None))
    with parcel.action(f"held for {NAME}") as change:
        one, two = (change.record(doc["id"]) for doc in parcel.records)
        held: Any = {"n": 1, "at": "2026-11-20", "what": "held", "who": NAME, "until": "2026-12-01"}
        one["life"] = [held]
        chore: Any = {"id": "c-1", "what": "answer a question", "part": "", "note": "is it loud?", "by": "key",
                      "at": "", "done": None}  # fmt: skip
        asked: Any = {"id": "q-1", "at": "", "who": "mirabel  LARCH", "what": "is it loud?", "answer": "",
                      "answered": None, "chore": "c-1"}  # fmt: skip
        one["chores"], one["questions"] = [chore], [asked]
        owned: Any = {"at": "2026-11-20", "what": "owned", "who": NAME, "document": "a letter"}
        one["custody"], one["note"] = [owned], f"signed for {NAME.upper()}, Larchmere"
        sold: Any = {
            "n": 1,
            "at": "2026-11-21",
            "what": "sold",
            "minor": 2400,
            "currency": "GBP",
            "buyer": NAME,
        }
        two["life"] = [sold]
    with parcel.correct(f"said by {NAME}") as change:
        change.head["packing"] = f"as {NAME} packs"
    parcel.close()
    yield made
    made.close()


def _texts(folder: Path) -> str:
    return "\n".join(
        path.read_bytes().decode("utf-8", "replace") for path in folder.rglob("*") if path.is_file()
    )


def test_all_goes_but_what_the_books_need_also_beside_the_files(shop: Shop) -> None:
    person = person_of(shop, NAME)
    (parcel_id,) = would_forget(shop, person)
    assert forget(shop, person, [parcel_id], partial(opened, shop)) == []
    head, (one, two) = shop.read_parcel(parcel_id)
    assert (one["questions"], one["chores"]) == ([], [])
    assert one["life"][0]["who"] == GONE
    assert one["custody"] == [{"at": "2026-11-20", "what": "owned", "who": GONE}]
    assert one["note"] == f"signed for {GONE}, Larchmere"
    assert two["life"][0]["buyer"] == NAME
    assert head["note"] == f"for {GONE}?"
    assert [sender["name"] for sender in shop.senders.values()] == ["Hester Quillow"]
    assert shop.find("mirabel") != []  # still the buyer of the one that was sold
    assert person.stays == ["the buyer of A00002, sold on 2026-11-21: the books need it"]
    assert "accounts and on personal data" in told(person, [parcel_id], True)[-1]
    assert still_named(shop, person) == []
    assert NAME not in _texts(shop.path / "parcels").replace(
        f'"buyer":"{NAME}"', ""
    )  # that sale, nowhere else
    assert "1 Quay" not in _texts(shop.path)
    parcel = shop.open_parcel(parcel_id)
    assert parcel.undo() is None
    with parcel.action("another note") as change:
        change.record(one["id"])["note"] = "x"
    assert parcel.undo() == "another note"
    parcel.close()


def test_a_sender_that_parcels_name_keeps_the_name_and_loses_the_rest(shop: Shop) -> None:
    person = person_of(shop, "Hester Quillow")
    forget(shop, person, would_forget(shop, person), partial(opened, shop))
    (kept, _) = shop.senders.values()
    assert (kept["name"], kept["address"], kept["note"]) == ("Hester Quillow", "", "")
    assert person.stays[0].startswith("the name of the sender of ")


def test_entries_of_the_books_go_before_the_day_the_law_lets_them_but_of_no_closed_period() -> None:
    seller = {"name": NAME, "address": "1 Quay", "identity": "passport"}
    head: Any = {"id": "p", "bought_on": "2016-03-01", "seller": seller, "delivered": "", "opened": "",
                 "dispatched": ""}  # fmt: skip
    stays = Person(NAME, "2015-12-31")
    assert forget_in_head(dict(head), stays)["seller"] == seller
    assert "their identity: the books need it" in stays.stays[0]
    assert forget_in_head(dict(head), Person(NAME, "2017-01-01"))["seller"] == {}
    closed = Person(NAME, "2017-01-01", closed="2016-12-31")
    assert forget_in_head(dict(head), closed)["seller"] == seller
    assert "the period is closed" in closed.stays[0]


def test_what_was_handed_out_and_a_parcel_that_is_open_are_told(shop: Shop) -> None:
    (shop.path / "exports").mkdir(exist_ok=True)
    (shop.path / "exports" / "statement.csv").write_text(f"sold to {NAME}\n", encoding="utf-8")
    parcel = shop.open_parcel(shop.parcel_ids()[0])
    other = Shop.open(shop.path)
    person = person_of(other, NAME)
    missed = forget(other, person, would_forget(other, person), partial(opened, other))
    assert len(missed) == 1
    assert "exports/statement.csv" in still_named(other, person)
    other.close()
    parcel.close()
    with pytest.raises(BenchError, match="too short"):
        person_of(shop, "A.")


def test_the_command_says_first_and_does_it_only_with_yes(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    path = str(shop.path)
    shop.close()
    assert main(["forget", NAME, "--shop", path]) == 0
    assert "nothing is removed yet" in capsys.readouterr().out
    assert main(["forget", NAME, "--yes", "--shop", path]) == 0
    said = capsys.readouterr().out
    assert "removed in 1 parcel; undo there reaches no further back" in said
    assert "stays: the buyer of A00002" in said


def test_what_stays_is_said_once_with_why() -> None:
    person = Person(NAME, closed="2026-09-30")
    person.keep("the buyer of A00001", "2026-11-02")
    person.keep("the buyer of A00001", "2026-11-02")
    person.keep("the buyer of A00002", "2026-09-30")
    assert person.stays == [
        "the buyer of A00001: the books need it", "the buyer of A00002: the period is closed",
    ]  # fmt: skip


def test_several_senders_of_that_name_are_told_before_anyone_goes(shop: Shop) -> None:
    shop.add_sender(NAME, address="9 Quay")
    person = person_of(shop, NAME)
    said = told(person, would_forget(shop, person), False)
    both = f"{NAME} (1 Quay) and {NAME} (9 Quay)"
    assert f"several senders have that name: {both}; give whoever stays another name first" in said


@pytest.mark.parametrize("name", ["2026-11", "0001", "C0001", "A00002", "x"])
def test_a_number_is_no_name(shop: Shop, name: str) -> None:
    """``forget 0001`` took an invoice's number out of a closed month."""
    with pytest.raises(BenchError, match="too short to tell from other words"):
        person_of(shop, name)


@pytest.mark.parametrize("name", ["taken-in", "cover", "sold", "GBP"])
def test_words_of_the_files_themselves_stay(shop: Shop, name: str) -> None:
    """``forget 2026-11`` wrote "(forgotten)" into a parcel's own number, and its file was lost."""
    person = person_of(shop, name)
    forget(shop, person, would_forget(shop, person), partial(opened, shop))
    (parcel,) = shop.parcel_ids()
    head, records = shop.read_parcel(parcel)
    assert [one["state"] for one in records] == ["taken-in"] * 2
    assert {part["kind"] for one in records for part in one["parts"]} >= {"disc", "cover"}
    assert GONE not in str([head["id"], head["terms"], *(one["stock"] for one in records)])


def test_a_surname_leaves_the_buyer_of_the_books_as_they_need_it(shop: Shop) -> None:
    """An invoice of a closed month read "M. (forgotten)", while the stock book had the whole name."""
    surname = NAME.split()[-1]
    person = person_of(shop, surname)
    forget(shop, person, would_forget(shop, person), partial(opened, shop))
    (parcel,) = shop.parcel_ids()
    _, records = shop.read_parcel(parcel)
    buyers = [event["buyer"] for one in records for event in one["life"] if event.get("buyer")]
    assert NAME in buyers
    assert any(one.startswith("the buyer of A00002") for one in person.stays)
