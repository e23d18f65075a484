"""A parcel whose file is older than what was saved: the bench offers both versions, and changes nothing before."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit

from benchtui.store import Shop


def sitting(sit: Sit, path: Path, grade: str) -> None:
    hands = sit(path)
    hands.take("disc")
    hands.grade(grade)
    hands.leave()


@pytest.fixture
def older(breakwater: Hands, sit: Sit) -> Path:
    """Two sittings later the file of the first is put back."""
    path = breakwater.desk.shop.path
    breakwater.leave()
    file = next((path / "parcels").glob("*.json"))
    old = file.read_bytes()
    sitting(sit, path, "VG")
    sitting(sit, path, "G")
    file.write_bytes(old)
    return path


def grades(path: Path) -> list[str]:
    shop = Shop.open(path, read_only=True)
    record = shop.open_parcel(shop.parcel_ids()[-1]).records[0]
    return [grade["grade"] for part in record["parts"] for grade in part["grades"]]


def test_both_are_offered_and_until_then_nothing_can_be_changed(older: Path, sit: Sit) -> None:
    hands = sit(older)
    parcel = hands.desk.work.parcel
    assert parcel is not None
    assert parcel.read_only
    menu = hands.desk.open.menu
    assert menu is not None
    assert menu.title == "Two versions of this parcel: which one holds?"
    assert [choice.key for choice in menu.choices] == ["1", "2", "3"]
    assert menu.choices[0].words.startswith("the file as it stands: 3 records, 0 taken in")
    assert menu.choices[1].words.startswith("as last saved on this machine: 3 records, 0 taken in")
    assert "disc: G" in menu.choices[1].words
    hands.key("3").grade("NM")
    assert hands.refused
    assert "choose one of its two versions first" in hands.said
    assert grades(older) == []


@pytest.mark.parametrize(("key", "left"), [("1", ["NM"]), ("2", ["VG", "G", "NM"])])
def test_the_chosen_one_is_worked_on(older: Path, sit: Sit, key: str, left: list[str]) -> None:
    hands = sit(older)
    hands.key(key)
    assert "the other version is kept" in hands.said
    hands.take("disc")
    hands.grade("NM")
    hands.leave()
    assert grades(older)[-1] == "NM"
    assert set(grades(older)) <= set(left)
    assert list((older / "parcels" / ".keep").glob("*.other-1"))
    again = sit(older)
    assert again.desk.open.menu is None
