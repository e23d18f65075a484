"""Nothing typed or pressed is lost: what stands on the disk after every single key is what the bench shows."""

import csv
import shutil
from pathlib import Path
from typing import Any

from bench_hands import Hands, sit_down
from same_parcel import canonical

from benchtui.bench.run import empty_demo, script_path
from benchtui.desk.keyboard.script import read_script
from benchtui.store import Shop


def _on_disk(hands: Hands) -> dict[str, Any]:
    """Head and records as another process would find them now."""
    parcel = hands.desk.work.parcel
    assert parcel is not None
    shop = Shop.open(hands.desk.shop.path, read_only=True)
    try:
        found = shop.open_parcel(parcel.id, read_only=True)
        return {"canonical": canonical(found), "cursor": found.head["cursor"], "draft": found.head["draft"]}
    finally:
        shop.close()


def _check(hands: Hands, where: str) -> None:
    desk = hands.desk
    assert desk.work.parcel is not None
    found = _on_disk(hands)
    assert found["canonical"] == canonical(desk.work.parcel), where
    cursor, draft = found["cursor"], found["draft"]
    assert cursor.get("record") == desk.work.record_id, where
    assert cursor.get("part") == desk.work.part_id, where
    assert cursor.get("clue") == (list(desk.asking.asked) if desk.asking.asked else None), where
    assert cursor.get("side", "") == desk.work.side, where
    shown = (desk.open.line.name, desk.open.line.text, desk.open.line.data) if desk.open.line else None
    kept = (draft["line"], draft["text"], draft.get("data", {})) if draft else None
    assert kept == shown, where


def test_after_every_key_of_a_parcel_the_disk_holds_what_the_bench_shows(tmp_path: Path) -> None:
    empty_demo(tmp_path / "shop")
    hands = sit_down(tmp_path / "shop")
    steps = [step for step in read_script(script_path("fifteen")).steps if step.kind == "key"]
    for n, step in enumerate(steps):
        hands.step(step)
        if hands.desk.work.parcel is not None and (n < 30 or 440 < n < 520 or n % 23 == 0):
            _check(hands, f"line {step.line}, key {n} {step.name}")
    hands.leave()
    _leaves_a_closed_parcel_its_export_and_its_note(tmp_path / "shop")


def _leaves_a_closed_parcel_its_export_and_its_note(path: Path) -> None:
    shop = Shop.open(path, read_only=True)
    (summary,) = shop.parcels()
    parcel = shop.open_parcel(summary.id)
    assert parcel.head["state"] == "closed"
    assert not parcel.notice
    here = [record for record in parcel.records if record["state"] == "taken-in"]
    assert len(here) == 15
    assert {record["no"] for record in here} <= set(range(1, 17))
    assert any(record["terms"] == "consigned" for record in here)
    assert any(record["pressing"]["how"] == "open" for record in here)
    assert any(record["pressing"]["how"] == "leader" for record in here)
    shop.close()
    assert list((path / "exports").glob("note-*.txt"))
    (exported,) = (path / "exports").glob("intake-*.csv")
    with exported.open(newline="", encoding="utf-8") as file:
        numbers = [row["stock_number"] for row in csv.DictReader(file)]
    assert numbers == sorted(record["stock"] or "" for record in here)
    assert len(set(numbers)) == 15


def test_a_second_desk_on_the_files_of_the_moment_stands_where_the_first_one_stands(
    demo: Hands, tmp_path: Path
) -> None:
    """The first desk is not closed: the copy is what a kill would leave."""
    steps = [step for step in read_script(script_path("resume")).steps if step.kind == "key"][:120]
    for n, step in enumerate(steps):
        demo.step(step)
        if n % 13 or demo.desk.open.menu is not None:
            continue
        copy = tmp_path / f"copy-{n}"
        shutil.copytree(demo.desk.shop.path, copy)
        second = sit_down(copy)
        _same_place(demo, second, f"line {step.line}, key {n} {step.name}")
        second.leave()
        shutil.rmtree(copy)


def _same_place(first: Hands, second: Hands, where: str) -> None:
    one, two = first.desk, second.desk
    assert two.work.record_id == one.work.record_id, where
    assert two.work.part_id == one.work.part_id, where
    assert (two.asking.asked, two.asking.order, two.work.side, two.work.taken) == (
        one.asking.asked,
        one.asking.order,
        one.work.side,
        one.work.taken,
    ), where
    assert (two.open.line is None) == (one.open.line is None), where
    if one.open.line is not None and two.open.line is not None:
        assert (two.open.line.name, two.open.line.text, two.open.line.label) == (
            one.open.line.name, one.open.line.text, one.open.line.label
        ), where  # fmt: skip
        assert [pick.value for pick in two.open.line.picks] == [pick.value for pick in one.open.line.picks], (
            where
        )
    assert one.work.parcel is not None
    assert two.work.parcel is not None
    assert canonical(two.work.parcel) == canonical(one.work.parcel), where


def test_a_half_typed_field_of_the_form_goes_on_to_the_next_one_after_a_restart(empty: Hands) -> None:
    empty.do("page-new").enter("dovrick").enter().type("1")
    path = empty.desk.shop.path
    copy = path.parent / "copy"
    shutil.copytree(path, copy)
    again = sit_down(copy)
    assert again.desk.open.line is not None
    assert (again.desk.open.line.name, again.desk.open.line.text) == ("field-expected", "1")
    again.enter("2")
    assert again.head["expected"] == 12
    assert again.desk.open.line is not None
    assert again.desk.open.line.name == "field-price", "the form goes on"
    again.leave()


def test_titles_half_picked_for_an_advertisement_are_still_picked_after_a_restart(parcel: Hands) -> None:
    parcel.find("orr")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter("the wax").type("orri")
    copy = parcel.desk.shop.path.parent / "copy"
    shutil.copytree(parcel.desk.shop.path, copy)
    again = sit_down(copy)
    again.enter().enter()
    (answer,) = again.record["answers"]
    assert len(answer["value"]["titles"]) == 2
    again.leave()


def test_leaving_says_what_could_not_be_saved_and_only_a_second_time_gives_it_up(demo: Hands) -> None:
    parcel = demo.desk.work.parcel
    assert parcel is not None
    demo.do("line-leave", "quit")
    assert demo.desk.open.leaving
