"""Every bad input ends with exit code 2 and one clear line on stderr, and nothing is overwritten."""

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from benchtui.cli import main

ROOT = Path(__file__).parents[2]
Capture = pytest.CaptureFixture[str]


def _prints(folder: Path) -> dict[str, str]:
    """Every file of the folder with the hash of what it holds, locks and prepared indexes left out."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
        and path.suffix not in (".lock", ".prepared", ".index")
        and ".keep" not in path.parts
    }


def _one_line(capsys: Capture, argv: list[str]) -> str:
    """Run it: exit code 2, nothing on stdout, one line on stderr."""
    try:
        code = main(argv)
    except SystemExit as ended:
        code = int(ended.code or 0)
    out, err = capsys.readouterr()
    assert code == 2, (out, err)
    assert out == ""
    assert len(err.splitlines()) == 1, err
    assert err.startswith("benchtui: ")
    assert "Traceback" not in err
    return err


def _keys(tmp_path: Path, text: str = "escape\n") -> str:
    path = tmp_path / "some.keys"
    path.write_text(text, encoding="utf-8")
    return str(path)


Spoil = Callable[[Path], str]


def _spoil_shop(shop: Path) -> str:
    path = shop / "shop.json"
    path.write_bytes(path.read_bytes()[:200])
    return "shop.json"


def _newer_shop(shop: Path) -> str:
    path = shop / "shop.json"
    path.write_text(path.read_text("utf-8").replace('"schema":2', '"schema":99'), encoding="utf-8")
    return "shop.json"


def _no_shop(shop: Path) -> str:
    (shop / "shop.json").write_bytes(b"\x00" * 4096)
    return "shop.json"


@pytest.mark.parametrize(
    "spoil",
    [
        _spoil_shop,
        _newer_shop,
        _no_shop,
    ],
)
def test_a_file_of_the_shop_that_cannot_be_used_is_named_and_left_alone(
    spoil: Spoil, demo_path: Path, tmp_path: Path, capsys: Capture
) -> None:
    named = spoil(demo_path)
    before = _prints(demo_path)
    err = _one_line(capsys, ["play", _keys(tmp_path), "--shop", str(demo_path)])
    assert named in err
    assert _prints(demo_path) == before


def _truncated(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])


def _newer(path: Path) -> None:
    path.write_text(path.read_text("utf-8").replace('"schema":2', '"schema":99'), encoding="utf-8")


@pytest.mark.parametrize("spoil", [_truncated, _newer])
def test_a_parcel_file_truncated_or_from_a_newer_version_is_named_and_left_alone(
    spoil: Callable[[Path], None], demo_path: Path, tmp_path: Path, capsys: Capture
) -> None:
    spoil(demo_path / "parcels" / "2026-11-25-1.json")
    before = _prints(demo_path)
    err = _one_line(capsys, ["spread", "2026-11-25-1", "--shop", str(demo_path)])
    assert "2026-11-25-1" in err
    err = _one_line(capsys, ["play", _keys(tmp_path), "--shop", str(demo_path)])
    assert "2026-11-25-1" in err
    assert _prints(demo_path) == before


def test_a_wrong_shop_path_is_told(tmp_path: Path, capsys: Capture) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "holiday.txt").write_text("x")
    for path in (tmp_path / "file", tmp_path / "photos"):
        before = _prints(tmp_path)
        for argv in (
            ["--shop", str(path)],
            ["demo", "--shop", str(path)],
            ["play", "fifteen", "--shop", str(path)],
            ["export", "intake", "--shop", str(path)],
            ["check", "--shop", str(path)],
        ):
            assert str(path) in _one_line(capsys, argv)
        assert _prints(tmp_path) == before


def test_a_demo_over_a_shop_that_is_there_is_refused(demo_path: Path, capsys: Capture) -> None:
    before = _prints(demo_path)
    _one_line(capsys, ["demo", "--shop", str(demo_path)])
    assert _prints(demo_path) == before


@pytest.mark.parametrize(
    "argv",
    [
        ["play", "no-such-script"],
        ["play"],
        ["play", "fifteen", "--size", "big"],
        ["play", "fifteen", "--keymap", "no-such-map"],
        ["paly"],
        ["--no-such-option"],
        ["export", "no-such-thing"],
    ],
)
def test_bad_usage_is_one_line_too(argv: list[str], capsys: Capture) -> None:
    _one_line(capsys, argv)


def test_a_key_script_with_a_slip_names_its_line(tmp_path: Path, capsys: Capture) -> None:
    assert "some.keys:2:" in _one_line(capsys, ["play", _keys(tmp_path, "escape\nentre\n")])


def test_keys_after_the_bench_was_left_name_their_line(
    tmp_path: Path, demo_path: Path, capsys: Capture
) -> None:
    keys = _keys(tmp_path, "escape\nctrl+x\nd\n")
    assert "some.keys:3:" in _one_line(capsys, ["play", keys, "--shop", str(demo_path)])


def test_pictures_that_cannot_be_written_name_where(tmp_path: Path, demo_path: Path, capsys: Capture) -> None:
    (tmp_path / "file").write_text("x")
    keys = _keys(tmp_path, "escape\nshot one\n")
    err = _one_line(
        capsys, ["play", keys, "--shop", str(demo_path), "--shots", str(tmp_path / "file" / "shots")]
    )
    assert "one.svg" in err


def test_a_title_list_that_cannot_be_read_is_said_and_the_bench_opens(
    demo_path: Path, tmp_path: Path, capsys: Capture
) -> None:
    (demo_path / "titles").mkdir(exist_ok=True)
    (demo_path / "titles" / "spoilt.csv").write_bytes(b"\xff\xfe\x00 not a list")
    before = _prints(demo_path)
    code = main(["check", "--shop", str(demo_path)])
    out, err = capsys.readouterr()
    assert code in (0, 1)
    assert code == 1, (out, err)
    assert "spoilt" in out
    assert _prints(demo_path) == before
    err = _one_line(capsys, ["titles", str(demo_path / "titles" / "spoilt.csv"), "--shop", str(demo_path)])
    assert "spoilt" in err


def test_from_the_shell_it_is_the_same_line_without_a_traceback(tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "benchtui", "play", _keys(tmp_path, "bogus\n"), "--shop", str(tmp_path / "s")],
        capture_output=True, text=True, cwd=tmp_path, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.returncode == 2
    assert run.stdout == ""
    assert len(run.stderr.splitlines()) == 1
    assert not (tmp_path / "s").exists(), "nothing is made for a script that cannot be read"
