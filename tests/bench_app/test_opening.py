"""Opening the bench: being where one was, or at the place where a parcel begins."""

import json
from pathlib import Path

import pytest
from bench_hands import Hands, press_all, sit_down

from benchtui.bench.run import copy_demo, script_path
from benchtui.desk.keyboard.script import read_script
from benchtui.desk.line.lines import LINES
from benchtui.desk.queue.background import load_on
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop


def test_the_demo_opens_on_the_seventh_record_with_its_disc_in_hand_in_the_middle_of_a_word(
    demo: Hands,
) -> None:
    states = [record["state"] for record in demo.desk.work.records]
    assert states == ["taken-in"] * 6 + ["started"] + ["empty"] * 8
    assert demo.record["no"] == 7
    assert (demo.part["kind"], demo.part["number"]) == ("disc", 1)
    assert demo.desk.open.line is not None
    assert demo.desk.open.line.name == "runout"
    assert demo.desk.open.line.data["side"] == "A"
    assert demo.desk.open.line.text == "5 1"


def test_the_shipped_demo_holds_just_that_before_any_bench_has_opened_it(tmp_path: Path) -> None:
    copy_demo(tmp_path / "shop")
    hands = sit_down(tmp_path / "shop")
    assert hands.record["no"] == 7
    assert hands.desk.open.line is not None
    assert hands.desk.open.line.text == "5 1"
    hands.leave()


def test_a_line_left_open_at_a_record_has_only_the_rooms_of_the_record_learnt(
    demo_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    runout, learnt = LINES["runout"], []
    monkeypatch.delitem(LINES, "runout")
    resume = "benchtui.desk.session.resume"
    monkeypatch.setattr(f"{resume}.learn_first", lambda: LINES.update(runout=runout))
    monkeypatch.setattr(f"{resume}.learn_all", lambda: learnt.append("all"))
    hands = sit_down(demo_path)
    assert hands.desk.open.line is not None
    assert hands.desk.open.line.text == "5 1"
    assert not learnt


def test_going_on_in_the_resumed_line_finishes_the_word(demo: Hands) -> None:
    demo.enter("UE")
    assert demo.part["sides"]["A"]["typed"] == "5 1UE"
    assert demo.desk.open.line is not None
    assert demo.desk.open.line.data["side"] == "B", "the other side's line comes up by itself"


def test_the_half_done_parcel_is_finished_by_its_script(demo: Hands) -> None:
    press_all(demo, read_script(script_path("resume")).steps)
    left = [record for record in demo.desk.work.records if record["state"] != "taken-in"]
    assert all(record["set_apart"] is not None for record in left)
    assert len(left) <= 1
    assert list((demo.desk.shop.path / "exports").glob("intake-*.csv"))


def test_a_title_list_that_cannot_be_read_is_said_in_one_line_and_the_rest_is_found(demo_path: Path) -> None:
    (demo_path / "titles").mkdir(exist_ok=True)
    (demo_path / "titles" / "9999-spoilt.csv").write_bytes(b"\xff\xfe\x00 not a list")
    hands = sit_down(demo_path)
    while load_on(hands.desk):
        pass
    assert hands.refused
    assert "spoilt" in hands.said
    assert "\n" not in hands.said
    hands.do("line-leave", "find-title").type("bafflers")
    assert hands.desk.open.line is not None
    assert hands.desk.open.line.picks
    hands.leave()


def test_a_new_shop_opens_on_its_list_of_parcels(empty: Hands) -> None:
    assert empty.desk.work.parcel is None
    assert empty.desk.open.page is not None
    assert empty.desk.open.page.name == "parcels"
    assert empty.desk.open.scope == "page"


def test_opening_and_leaving_without_a_key_changes_nothing_of_the_parcel(demo_path: Path) -> None:
    path = demo_path / "parcels" / "2026-11-25-1.json"
    before = json.loads(path.read_text("utf-8"))
    sit_down(demo_path).leave()
    after = json.loads(path.read_text("utf-8"))
    assert after["records"] == before["records"]
    assert after["history"] == before["history"]
    assert after["head"] == before["head"]


def test_a_cursor_that_fits_nothing_any_more_gives_the_first_record_to_be_done(demo_path: Path) -> None:
    shop = Shop.open(demo_path)
    parcel = shop.open_parcel("2026-11-25-1")
    parcel.place(cursor={"record": "r-gone", "part": "p-gone", "clue": ["front", "no-such-clue"]}, draft=None)
    shop.close()
    hands = sit_down(demo_path)
    assert hands.record["no"] == 7
    hands.leave()


def test_a_cursor_on_a_lost_part_takes_up_a_part_that_is_there(demo_path: Path) -> None:
    shop = Shop.open(demo_path)
    parcel = shop.open_parcel("2026-11-25-1")
    cursor = dict(parcel.head["cursor"]) | {"part": "p-gone"}
    parcel.place(cursor=cursor, draft={"line": "no-such-line", "text": "x", "at": 1})  # type: ignore[arg-type]
    shop.close()
    hands = sit_down(demo_path)
    assert hands.record["no"] == 7
    assert hands.part["id"] in {part["id"] for part in hands.record["parts"]}
    assert hands.desk.open.line is None
    hands.leave()


def test_a_parcel_file_cut_short_is_told_and_left_alone_and_the_bench_says_so(demo_path: Path) -> None:
    path = demo_path / "parcels" / "2026-11-25-1.json"
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    shop = Shop.open(demo_path)
    try:
        desk, notice = open_desk(shop)
        text = notice
        assert desk.work.parcel is None or desk.work.parcel.read_only or notice
    except Exception as error:
        text = str(error)
    finally:
        shop.close()
    assert "2026-11-25-1" in text
    assert len(text.splitlines()) == 1
    kept = [each.read_bytes() for each in (demo_path / "parcels").rglob("*2026-11-25-1*") if each.is_file()]
    assert any(each == data[: len(data) // 2] or each == data for each in kept)
