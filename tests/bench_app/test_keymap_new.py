"""A keymap of one's own begins as a commented copy that is read as the same keys and checked like any other."""

from pathlib import Path

import pytest
from bench_hands import Sit

from benchtui.base.shipped import shipped
from benchtui.books.scales import load_scales
from benchtui.cli import main
from benchtui.desk.core.command import commands
from benchtui.desk.keyboard.keymap_copy import commented
from benchtui.desk.keyboard.keymap_file import find_keymap, load_keymap
from benchtui.store import Shop

MAPS = sorted(path.stem for path in shipped("keymaps").glob("*.toml"))


def _new(path: Path, *more: str) -> int:
    return main(["keymap", "new", *more, "--shop", str(path)])


@pytest.mark.parametrize("name", MAPS)
def test_the_copy_of_every_map_is_read_as_the_same_keys_and_has_no_fault(
    name: str, empty_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _new(empty_path, "mine", "--like", name) == 0
    assert "--keymap mine" in capsys.readouterr().out
    copy, source = empty_path / "keymaps" / "mine.toml", find_keymap(name, [shipped("keymaps")])
    for scale in load_scales().values():
        made, model = load_keymap(copy, scale), load_keymap(source, scale)
        assert (made.uses, made.keys, made.one_hand) == (model.uses, model.keys, model.one_hand)
        assert made.about == model.about
        assert made.name == made.stem == "mine"
    assert main(["check", "--shop", str(empty_path)]) == 0


@pytest.mark.parametrize("name", MAPS)
def test_every_command_stands_in_the_copy_with_its_words(name: str) -> None:
    source = find_keymap(name, [shipped("keymaps")]).read_text("utf-8")
    rows = commented(source, name, "mine").splitlines()
    for action in commands():
        row = [one for one in rows if one.removeprefix("# ").startswith(f"{action.id} = ")]
        assert len(row) == 1, action.id
        assert row[0].endswith(f"# {action.words}")


def test_a_command_without_a_key_is_given_one_by_taking_its_sign_away(empty_path: Path, sit: Sit) -> None:
    assert _new(empty_path, "mine", "--like", "left-hand") == 0
    path = empty_path / "keymaps" / "mine.toml"
    text = path.read_text("utf-8").replace('# why = [""]', 'why = ["f9"]')
    path.write_text(text, encoding="utf-8")
    hands = sit(empty_path, "mine")
    assert hands.desk.references.keymap.first_key("why") == "f9"


def test_without_a_name_it_is_the_map_in_use(empty_path: Path) -> None:
    shop = Shop.open(empty_path)
    shop.change_settings(keymap="number-pad")
    shop.close()
    assert _new(empty_path, "mine") == 0
    assert load_keymap(empty_path / "keymaps" / "mine.toml", None).one_hand
    assert main(["--keymap", "two-hands", "keymap", "new", "other", "--shop", str(empty_path)]) == 0
    assert not load_keymap(empty_path / "keymaps" / "other.toml", None).one_hand


def test_one_of_the_shop_s_own_is_copied_by_its_name(empty_path: Path) -> None:
    (empty_path / "keymaps" / "small.toml").write_text('[bench]\nwhy = [\n  "w",\n]\n', encoding="utf-8")
    assert _new(empty_path, "mine", "--like", "small") == 0
    made = load_keymap(empty_path / "keymaps" / "mine.toml", None)
    assert (made.name, made.uses["bench"]) == ("mine", {"w": "why"})


@pytest.mark.parametrize("name", ["two-hands", "mine", "../mine", "a/b", "con", "", "mine.toml"])
def test_a_name_that_is_taken_or_none_is_refused_and_nothing_is_written(
    name: str, empty_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _new(empty_path, "mine") == 0
    before = {path: path.read_bytes() for path in empty_path.rglob("*.toml")}
    capsys.readouterr()
    assert _new(empty_path, name, "--like", "left-hand") == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert {path: path.read_bytes() for path in empty_path.rglob("*.toml")} == before


def test_a_map_that_is_not_there_or_has_a_fault_is_not_copied(
    empty_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _new(empty_path, "mine", "--like", "three-hands") == 2
    assert "two-hands" in capsys.readouterr().err
    (empty_path / "keymaps" / "spoilt.toml").write_text(
        '[bench]\nwhy = ["w"]\nnote = ["w"]\n', encoding="utf-8"
    )
    assert _new(empty_path, "mine", "--like", "spoilt") == 2
    assert "two uses" in capsys.readouterr().err
    assert not (empty_path / "keymaps" / "mine.toml").exists()


def test_a_slip_in_the_copy_is_told_by_check_with_its_line(
    empty_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _new(empty_path, "mine") == 0
    path = empty_path / "keymaps" / "mine.toml"
    rows = path.read_text("utf-8").splitlines()
    at = next(n for n, row in enumerate(rows, 1) if row.startswith("note = "))
    rows[at - 1] = 'note = ["w"]'
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    capsys.readouterr()
    assert main(["check", "--shop", str(empty_path)]) == 1
    told = capsys.readouterr().out
    assert f"mine.toml:{at}" in told
    assert "'why' and 'note'" in told


def test_without_a_shop_there_is_nothing_to_write_into(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _new(tmp_path / "none", "mine") == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert not (tmp_path / "none").exists()
