"""Every file of a shop that a person writes, broken in ten ways: the bench opens, says which, and goes on."""

from collections.abc import Callable
from pathlib import Path

import pytest
from bench_hands import Sit

from benchtui.base.shipped import shipped
from benchtui.books.faults import SHIPPED as FAULTS
from benchtui.books.faults import usable_faults
from benchtui.books.scales import SHIPPED as SCALES
from benchtui.books.scales import usable_scales
from benchtui.desk.core.pages import view_now
from benchtui.export.describe import SHIPPED as TEMPLATES
from benchtui.store import Shop

SPOILT: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda data: b"",
    "cut in the middle": lambda data: data[: len(data) // 2],
    "no TOML": lambda data: b"[[[ what was this\n" + data,
    "binary": lambda data: bytes(range(256)),
    "another encoding": lambda data: data + "\n# Stra\xdfe\nx = '\xe9'\n".encode("latin-1"),
    "a table nobody knows": lambda data: data + b"\n[weird]\nx = 1\n",
    "numbers for words": lambda data: data.replace(b'"', b"").replace(b"= ", b"= 1 # "),
    "its first line twice": lambda data: data.replace(b"\n", b"\nid = 1\nid = 2\n", 1),
}
WAYS = [*SPOILT, "a folder", "a link that leads nowhere"]
WRITTEN = {
    "books/own.toml": b'[book]\nname = "Own"\n[[clue]]\nid = "own-a"\nask = "A"\npart = "disc"\nplace = "label"\n',
    "books/scales.toml": SCALES.read_bytes(),
    "faults.toml": FAULTS.read_bytes(),
    "keymaps/two-hands.toml": (shipped("keymaps") / "two-hands.toml").read_bytes(),
    "templates/long.txt": (TEMPLATES / "long.txt").read_bytes(),
    "exports/layouts/site.toml": b'[layout]\n[[column]]\nname = "a"\nfrom = "title_artist"\n',
    "titles/list.csv": b"artist,title\nMarl Tanner,Ford and Fathom\n",
}


def spoil(path: Path, data: bytes, way: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    if way == "a folder":
        path.mkdir()
    elif way == "a link that leads nowhere":
        path.symlink_to(path.with_name("not-there"))
    else:
        path.write_bytes(SPOILT[way](data))


@pytest.mark.parametrize("way", WAYS)
def test_the_bench_opens_whatever_is_wrong_with_the_files_that_people_write(
    tmp_path: Path, sit: Sit, way: str
) -> None:
    Shop.create(tmp_path / "shop", currency="GBP").close()
    for name, data in WRITTEN.items():
        spoil(tmp_path / "shop" / name, data, way)
    hands = sit(tmp_path / "shop")
    assert hands.desk.scale.id == "american"
    assert len(hands.said.splitlines()) <= 1
    hands.new_parcel(1)
    hands.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new").grade("VG", "+")
    assert hands.record["parts"][0]["grades"]
    hands.do("record-page")
    assert view_now(hands.desk) is not None


def test_what_was_left_out_is_said_with_file_and_line(tmp_path: Path, sit: Sit) -> None:
    Shop.create(tmp_path / "shop", currency="GBP").close()
    (tmp_path / "shop" / "faults.toml").write_bytes(FAULTS.read_bytes() + b"\n[[fault]\n")
    said = sit(tmp_path / "shop").said
    assert f"faults.toml:{FAULTS.read_text('utf-8').count(chr(10)) + 2}: " in said


def test_of_a_scales_file_the_good_scales_stay(tmp_path: Path) -> None:
    own = '[[scale]]\nid = "mine"\n[[scale.grade]]\nid = "A"\nkey = "a"\n'
    bad = '[[scale]]\nid = "other"\n[[scale.grade]]\nid = "A"\nkey = "ab"\n'
    (tmp_path / "scales.toml").write_text(own + bad)
    scales, told = usable_scales([tmp_path])
    assert "mine" in scales
    assert "other" not in scales
    assert len(told) == 1
    assert "scales.toml:10: " in told[0]


def test_of_a_faults_file_the_good_faults_stay_and_a_key_taken_twice_goes(tmp_path: Path) -> None:
    severity = 'parts = ["disc"]\nseverity = [{ id = "a", text = "a" }]\n'
    taken = next(fault for fault in usable_faults([])[0] if "disc" in fault.parts)
    (tmp_path / "faults.toml").write_text(
        f'[[fault]]\nid = "hum"\nkey = "{taken.key}"\n{severity}[[fault]]\nid = "{taken.id}"\nkey = "{taken.key}"\n'
        f'text = "ours"\n{severity}'
    )
    faults, told = usable_faults([tmp_path])
    by_id = {fault.id: fault for fault in faults}
    assert "hum" not in by_id
    assert by_id[taken.id].text == "ours"
    assert len(told) == 1


def test_a_scale_that_cannot_be_read_has_a_shipped_one_in_its_place(tmp_path: Path, sit: Sit) -> None:
    path = tmp_path / "shop"
    Shop.create(path, currency="GBP").close()
    own = '[[scale]]\nid = "mine"\n[[scale.grade]]\nid = "Fine"\nkey = "f"\n'
    (path / "scales.toml").write_text(own)
    hands = sit(path)
    hands.desk.shop.change_settings(scale="mine")
    hands.leave()
    hands = sit(path).new_parcel(1)
    hands.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new").grade("Fine")
    hands.leave()
    (path / "scales.toml").write_text(own.replace('"f"', '"ff"'))
    hands = sit(path)
    assert "scales.toml:5: " in hands.said
    assert hands.desk.scale.id == "american"
    hands.do("record-page")
    (path / "scales.toml").write_text(own)
    hands.leave()
    assert sit(path).desk.scale.id == "mine"


def test_a_keymap_that_cannot_be_used_has_the_shipped_one_in_its_place(tmp_path: Path, sit: Sit) -> None:
    path = tmp_path / "shop"
    Shop.create(path, currency="GBP").close()
    (path / "keymaps").mkdir(exist_ok=True)
    (path / "keymaps" / "two-hands.toml").write_text('[bench]\nundo = ["u"]\nredo = ["u"]\n')
    hands = sit(path)
    assert "two-hands.toml:" in hands.said
    assert hands.desk.references.keymap.first_key("undo") == "u"
