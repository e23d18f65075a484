"""``benchtui check``: every file's faults in a line each, and an end to it whatever the files hold."""

import random
import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent / "bench"))

from check_fuzz import faults_of, spoilt, whole_shop

from benchtui.bench.run import copy_demo
from benchtui.cli import main
from benchtui.cli.check_shop import MOST_OF_LIST, check_shop
from benchtui.store import Shop


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return whole_shop(tmp_path_factory.mktemp("made"))


@pytest.fixture
def shop(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "shop"))


def test_a_good_shop_is_found_good_and_nothing_is_changed(tmp_path: Path) -> None:
    copy_demo(tmp_path / "shop")
    before = {each: each.read_bytes() for each in (tmp_path / "shop").rglob("*") if each.is_file()}
    assert check_shop(tmp_path / "shop") == []
    assert {each: each.read_bytes() for each in before} == before


def test_a_stock_number_on_two_records_is_told(shop: Path) -> None:
    opened = Shop.open(shop)
    parcel = opened.open_parcel("2026-11-25-1")
    number = next(record["stock"] for record in parcel.records if record["stock"])
    other = next(record["id"] for record in parcel.records if not record["stock"])
    with parcel.action("a slip") as change:
        change.record(other)["stock"] = number
    opened.close()
    assert any(str(number) in line for line in check_shop(shop))


def test_titles_made_on_the_bench_that_cannot_be_read_are_told(shop: Path) -> None:
    (shop / "titles.json").write_bytes(b"\0" * 100)
    shutil.rmtree(shop / ".keep", ignore_errors=True)
    assert any("titles.json" in line for line in check_shop(shop))


def test_the_rows_of_a_list_are_told_by_line_and_not_without_end(shop: Path) -> None:
    rows = "artist,title\nOdile Vance,Harbour Slates\n" + "one cell\n" * 100
    (shop / "titles" / "zz.csv").write_text(rows, encoding="utf-8")
    told = [line for line in check_shop(shop) if "zz.csv" in line]
    assert len(told) == MOST_OF_LIST + 1
    assert "zz.csv:3" in told[0]
    assert "80 more" in told[-1]


def test_with_any_kind_of_file_spoilt_it_comes_to_its_end(shop: Path) -> None:
    """One of each kind and folder here; tests/bench/check_fuzz.py goes on with all for as long as it is let."""
    chance = random.Random(1)
    kinds: dict[tuple[Path, str], list[Path]] = {}
    for each in sorted(path for path in shop.rglob("*") if path.is_file() and ".keep" not in path.parts):
        kinds.setdefault((each.parent, each.suffix), []).append(each)
    for each in (one for kind in kinds.values() for one in chance.sample(kind, 1)):
        good = each.read_bytes()
        each.write_bytes(spoilt(each, good, chance))
        assert faults_of(shop)[1] == [], each
        each.write_bytes(good)


@pytest.mark.parametrize("name", ["con", "NUL", "aux", "com1", "Lpt9", "com¹", "x.", "x "])
def test_a_name_that_windows_keeps_or_cuts_is_refused_in_one_line_and_makes_nothing(
    name: str, shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for argv in (
        ["book", "new", name], ["backup", str(tmp_path / name)], ["backup", str(tmp_path / f"{name}.zip.")],
        ["export", "intake", "--out", str(shop / "exports" / name)],
    ):  # fmt: skip
        assert main([*argv, "--shop", str(shop)]) == 2, argv
        said = capsys.readouterr().err
        assert len(said.splitlines()) == 1
        assert "indows" in said or "letters, digits and dashes" in said, said
    assert list(tmp_path.glob("*.zip*")) == []
    assert not (shop / "books" / f"{name}.toml").exists()
    assert not (shop / "exports" / name).exists()


@pytest.mark.parametrize(
    "name", ["../../x", "..", "/etc/passwd", "a/b", "a\nb", "\x1b[2J", "x" * 5000, "\udcff"]
)
def test_names_that_lead_elsewhere_or_nowhere_are_refused_in_one_line(
    name: str, shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "at" / "work").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "at" / "work")
    before = sorted(tmp_path.rglob("*"))
    for argv in (
        ["spread", name], ["export", "intake", "--parcel", name], ["export", "intake", "--layout", name],
        ["book", "new", name], ["titles", name], ["sales", name], ["restore", name], ["play", name],
        ["backup", f"not-there/{name}"], ["export", "intake", "--out", f"{shop}/parcels/{Path(name).name}"],
    ):  # fmt: skip
        try:
            code = main([*argv, "--shop", str(shop if argv[0] != "restore" else tmp_path / "new")])
        except SystemExit as ended:
            code = int(ended.code or 0)
        said = capsys.readouterr()
        assert (code, len(said.err.splitlines())) == (2, 1), (argv, said)
        assert said.err.rstrip("\n").isprintable()
    made = [path for path in tmp_path.rglob("*") if path not in before]
    assert [
        path for path in made if ".keep" not in path.parts and path.suffix not in (".prepared", ".lock")
    ] == []


@pytest.mark.parametrize(
    ("problems", "said"), [(["one"], "1 error found"), (["one", "two"], "2 errors found")]
)
def test_it_says_how_many_errors_it_found(
    problems: list[str],
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    monkeypatch.setattr("benchtui.cli.commands.check.check_shop", lambda shop: problems)
    assert main(["check", "--shop", str(tmp_path)]) == 1
    assert capsys.readouterr().err == f"{said}\n"
