"""Copies that a folder-sync service left stand at the foot of the page of all parcels, and do no harm."""

import shutil

from bench_hands import Hands

from benchtui.desk.pages.parcels import parcels


def feet(hands: Hands) -> list[str]:
    return ["".join(text for text, _ in para.words) for para in parcels(hands.desk).foot]


def test_they_are_told_at_the_foot_of_the_page_of_all_parcels_with_what_differs(breakwater: Hands) -> None:
    parcel = breakwater.desk.work.parcel
    assert parcel is not None
    file = breakwater.desk.shop.path / "parcels" / f"{parcel.id}.json"
    assert feet(breakwater) == []
    for n in range(1, 4):
        shutil.copy(file, file.with_name(f"{parcel.id} ({n}).json"))
    told = feet(breakwater)
    assert told[0].startswith(
        f"{parcel.id} (1).json: a copy beside {parcel.id}.json, not used; revision 0, here "
    )
    assert told[2:] == ["1 more conflict copies: benchtui check lists them all"]
    breakwater.take("disc")
    breakwater.grade("VG")
    assert [one.id for one in breakwater.desk.shop.parcels()] == [parcel.id]


def test_the_copies_folder_is_not_read_where_the_shop_is_gone(breakwater: Hands, tmp_path) -> None:
    breakwater.desk.shop.path.rename(tmp_path / "elsewhere")
    assert feet(breakwater) == []
