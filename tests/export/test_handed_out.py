"""What is handed out a second time: only what changed, each row with a word."""

from datetime import date
from functools import partial
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.command import _note_listings
from benchtui.export.csvfile import read_csv
from benchtui.export.handed_out import FOLDER
from benchtui.export.run import export
from benchtui.model.listing import online_at
from benchtui.model.record import TAKE_DOWN
from benchtui.store import Shop

TODAY = date(2026, 11, 25)
LAYOUT = """
[layout]
only = { stock_state = "in the shop" }
[[column]]
name = "code"
take = "stock_number"
[[column]]
name = "what"
take = "title_name"
[[column]]
name = "ask"
take = "money_price"
"""


@pytest.fixture
def shop(tmp_path: Path, make: SimpleNamespace) -> Any:
    made = Shop.create(tmp_path / "shop")
    parcel = made.new_parcel({}, expected=4)
    with parcel.action("taken in") as change:
        for no, doc in enumerate(parcel.records, 1):
            change.record(doc["id"]).update(make.record(no, f"A0000{no}", id=doc["id"]))
    parcel.close()
    yield made
    made.close()


def handed(shop: Shop, tmp_path: Path, **ask: Any) -> list[tuple[str, str]]:
    """The word and the first column of each row."""
    told: list[str] = []
    ask = {"handed": "last", **ask}
    export(shop, Ask("intake", TODAY, **ask), tmp_path / "x.csv", tell=told.append)
    assert told[-1].startswith("export ")
    return [(row[0], row[1]) for row in read_csv(tmp_path / "x.csv").rows]


def change(shop: Shop, no: int, **fields: Any) -> None:
    parcel = shop.open_parcel(shop.parcel_ids()[0])
    with parcel.action("changed") as made:
        made.record(parcel.records[no - 1]["id"]).update(fields)  # type: ignore[typeddict-item]
    parcel.close()


def sold(shop: Shop, no: int) -> None:
    event = {"n": 1, "at": "2026-11-25", "what": "sold", "minor": 2400, "currency": "GBP"}
    change(shop, no, life=[event])


def test_the_first_hands_out_everything_and_the_second_only_what_changed(shop: Shop, tmp_path: Path) -> None:
    assert handed(shop, tmp_path) == [("new", f"A0000{n}") for n in (1, 2, 3, 4)]
    assert handed(shop, tmp_path) == []
    change(shop, 2, price={"minor": 3000, "currency": "GBP", "how": "hand"})
    change(shop, 3, note="side two has a faint tick", price={"minor": 900, "currency": "GBP", "how": "hand"})
    change(shop, 4, state="withdrawn")
    assert handed(shop, tmp_path) == [("price", "A00002"), ("changed", "A00003"), ("gone", "A00004")]
    assert handed(shop, tmp_path) == []


def test_a_price_worked_anew_to_the_same_amount_is_no_change(shop: Shop, tmp_path: Path) -> None:
    handed(shop, tmp_path)
    change(shop, 1, price={"minor": 2400, "currency": "GBP", "how": "worked"})
    assert handed(shop, tmp_path) == []


def test_an_earlier_hand_out_can_be_repeated_by_its_number(shop: Shop, tmp_path: Path) -> None:
    handed(shop, tmp_path)
    change(shop, 1, note="a word more")
    wanted = handed(shop, tmp_path)
    assert handed(shop, tmp_path) == []
    assert handed(shop, tmp_path, handed="1") == wanted == [("changed", "A00001")]
    assert len(handed(shop, tmp_path, handed="0")) == 4


def test_each_place_has_a_count_of_its_own_and_what_was_sold_comes_down_from_each(
    shop: Shop, tmp_path: Path
) -> None:
    for name in ("window", "fair"):
        path = shop.path / "exports" / "layouts" / f"{name}.toml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(LAYOUT, encoding="utf-8")
        assert len(handed(shop, tmp_path, layout=name)) == 4
    sold(shop, 3)
    for name in ("window", "fair"):
        assert handed(shop, tmp_path, layout=name) == [("gone", "A00003")]
        row = read_csv(tmp_path / "x.csv").dicts()[0]
        assert row == {"change": "gone", "code": "A00003", "what": "Moths at Noon", "ask": ""}
    assert handed(shop, tmp_path, layout="window") == []


@pytest.mark.parametrize("since", ["7", "x", "-1", "1.0", "9" * 9])
def test_a_hand_out_that_is_not_there_is_told_and_nothing_is_noted(
    shop: Shop, tmp_path: Path, since: str
) -> None:
    handed(shop, tmp_path)
    with pytest.raises(BenchError, match="export"):
        handed(shop, tmp_path, handed=since)
    assert len(list((shop.path / FOLDER / "intake").iterdir())) == 1


def test_a_note_that_somebody_spoilt_is_told_with_its_place(shop: Shop, tmp_path: Path) -> None:
    handed(shop, tmp_path)
    (shop.path / FOLDER / "intake" / "1.json").write_text('{"A00001": 3}', encoding="utf-8")
    with pytest.raises(BenchError, match="cannot be read"):
        handed(shop, tmp_path)


@pytest.mark.parametrize("more", [{"day": TODAY}, {"parcel": "2026-11-25-1"}])
def test_it_is_asked_of_the_whole_intake_only(shop: Shop, tmp_path: Path, more: dict[str, Any]) -> None:
    with pytest.raises(BenchError, match="whole intake"):
        handed(shop, tmp_path, **more)
    with pytest.raises(BenchError, match="whole intake"):
        export(shop, Ask("chores", TODAY, handed="last"), tmp_path / "x.csv")


def test_each_record_says_where_it_is_listed_until_it_is_gone_there(shop: Shop, tmp_path: Path) -> None:
    def hand_out() -> list[list[str]]:
        """The events of each record's listing, after one more hand-out."""
        ask = Ask("intake", TODAY, handed="last")
        export(shop, ask, tmp_path / "x.csv", noted=partial(_note_listings, shop))
        records = shop.read_parcel(shop.parcel_ids()[0])[1]
        return [[event["what"] for event in one.get("listing", [])] for one in records]

    assert hand_out() == [["online"]] * 4
    change(shop, 2, price={"minor": 3000, "currency": "GBP", "how": "hand"})
    change(shop, 4, state="withdrawn")
    sold(shop, 3)
    chore = {
        "id": "c-1",
        "what": TAKE_DOWN,
        "part": "",
        "note": "intake",
        "by": "key",
        "at": "",
        "done": None,
    }
    change(shop, 3, chores=[chore])
    assert hand_out() == [["online"], ["online", "price"], ["online", "down"], ["online", "down"]]
    record = shop.read_parcel(shop.parcel_ids()[0])[1][2]
    assert online_at(record["listing"]) == {}  # type: ignore[typeddict-item]
    assert record["chores"][0]["done"] == "2026-11-25"


def test_a_parcel_that_a_bench_has_open_is_told_of(
    shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    parcel = shop.open_parcel(shop.parcel_ids()[0])
    other = Shop.open(shop.path)
    noted = partial(_note_listings, other)
    export(other, Ask("intake", TODAY, handed="last"), tmp_path / "x.csv", noted=noted)
    assert "the listing is not noted with its records" in capsys.readouterr().err
    other.close()
    parcel.close()
