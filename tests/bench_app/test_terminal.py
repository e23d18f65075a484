"""The bench in a real pseudo-terminal: ended from outside, flooded with keys, resized, without colours."""

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

if sys.platform != "linux":
    pytest.skip("needs a Linux pseudo-terminal", allow_module_level=True)

from bench_hands import press_all, sit_down
from pty_bench import LONGEST, ROOT, PtyBench, sent

from benchtui.bench.keystream import STRING_AFTER
from benchtui.bench.run import script_path
from benchtui.desk.keyboard.burst import SCANNED
from benchtui.desk.keyboard.script import read_script
from benchtui.model.parcel import HeadDoc
from benchtui.store import Parcel, Shop

READY = "leave"  # the last word of the legend
Open = Callable[..., PtyBench]


@pytest.fixture
def opened(demo_path: Path) -> Iterator[Open]:
    """A bench on the demo shop, its first screen drawn; ended at the end if it still runs."""
    benches: list[PtyBench] = []

    def open_bench(**given: str) -> PtyBench:
        bench = PtyBench(demo_path, (120, 40), given)
        benches.append(bench)
        bench.until(READY)
        bench.rest()
        return bench

    yield open_bench
    for bench in benches:
        bench.close()


def parcel_of(path: Path) -> Parcel:
    """The demo's half-done parcel, which nobody may hold any more."""
    return Shop.open(path).open_parcel("2026-11-25-1")


def draft_of(path: Path) -> str:
    head: HeadDoc = parcel_of(path).head
    assert head["draft"] is not None
    return str(head["draft"]["text"])


@pytest.mark.parametrize("name", ["SIGHUP", "SIGTERM", "SIGINT"])
def test_a_signal_ends_the_bench_with_the_terminal_given_back_and_the_open_line_kept(
    opened: Open, demo_path: Path, name: str
) -> None:
    bench = opened()
    bench.type("UE 5")
    bench.rest()
    number = getattr(signal, name)
    bench.process.send_signal(number)
    assert bench.ended() == 128 + number
    assert bench.given_back()
    assert b"Traceback" not in bench.seen
    assert draft_of(demo_path).endswith("UE 5")


def test_a_terminal_that_goes_away_ends_the_bench_with_the_open_line_kept(
    opened: Open, demo_path: Path
) -> None:
    bench = opened()
    bench.type("UE 5")
    bench.rest()
    os.close(bench.slave)
    os.close(bench.master)
    assert bench.process.wait(LONGEST) == 128 + signal.SIGHUP
    assert draft_of(demo_path).endswith("UE 5")


def test_left_by_its_key_the_bench_gives_the_terminal_back(opened: Open, demo_path: Path) -> None:
    bench = opened()
    bench.type("\x03")  # Ctrl-C as a key means nothing here: nobody loses a parcel by it
    bench.rest()
    assert bench.process.poll() is None
    bench.type("\x1b")
    bench.rest()
    bench.type("\x18")
    assert bench.ended() == 0
    assert bench.given_back()
    assert parcel_of(demo_path).head["draft"] is None


def test_a_parcel_of_keys_in_floods_is_taken_whole_and_in_order(
    opened: Open, demo_path: Path, tmp_path: Path
) -> None:
    script = read_script(script_path("resume"))
    keys = [step for step in script.steps if step.kind == "key"]
    played = Path(shutil.copytree(demo_path, tmp_path / "played"))
    bench = opened()
    for flood in floods("".join(map(sent, keys))):
        bench.type(flood)
        bench.rest()
    bench.process.send_signal(signal.SIGTERM)
    assert bench.ended() == 128 + signal.SIGTERM
    other = sit_down(played)
    press_all(other, keys)
    other.leave()
    flooded, one_by_one = parcel_of(demo_path), parcel_of(played)
    assert [entry.say for entry in flooded.history] == [entry.say for entry in one_by_one.history]
    assert len(flooded.history) > 100


def floods(keys: str) -> list[str]:
    """The keys in few pieces, none with as many figures in a row as count as a scan, which is taken back."""
    return re.split(rf"(?<=\d{{{SCANNED - 1}}})(?=\d)", keys)


def test_a_megabyte_pasted_into_the_note_is_stored_whole_and_the_bench_answers_again(
    opened: Open, demo_path: Path
) -> None:
    bench = opened()
    bench.type("\x1b")
    bench.rest()
    bench.type("s")
    bench.rest()
    text = " ".join(f"{number:07}" for number in range(125_000))
    bench.type("\x1b[200~" + text + "\x1b[201~")
    bench.rest(2)
    since = len(bench.seen)
    bench.type("!")
    bench.until("!", since)
    bench.process.send_signal(signal.SIGTERM)
    assert bench.ended() == 128 + signal.SIGTERM
    assert draft_of(demo_path) == text + "!"


def test_bytes_that_are_no_text_are_passed_over(opened: Open, demo_path: Path) -> None:
    bench = opened()
    bench.type(b"\xff\xfe\xc3")
    bench.rest()
    bench.type("U")
    bench.rest()
    bench.type("E")
    bench.rest()
    assert bench.process.poll() is None
    bench.process.send_signal(signal.SIGTERM)
    bench.ended()
    assert draft_of(demo_path).endswith("E")
    assert b"Traceback" not in bench.seen


BY_MISTAKE = [
    b"\x1b[1114112u", b"\x1b[55296u", b"\x1b[1:2u", b"\x1b[97;1:1u", b"\x1b[48;24;80;0;0t", b"\x1b[200~ pasted",
    b"\x1b]11;rgb:0000/0000/0000\x07\x1bP>|term(1)\x1b\\\x1b[?62;22c\x1b[24;80R\x1b[?1;2$y",
    b"\x1b]52;c;no end", b"\x1b[", b"\x1bO",
]  # fmt: skip


def test_what_a_terminal_sends_by_mistake_neither_deafens_the_bench_nor_types(
    opened: Open, demo_path: Path
) -> None:
    bench, letters = opened(), "UEWKLMNXYZ"
    for mistake, letter in zip(BY_MISTAKE, letters, strict=True):
        bench.type(mistake)
        bench.rest(STRING_AFTER + 0.2)  # by then an answer without end is given up
        bench.type(letter)
        bench.rest()
    bench.type("\x18")
    assert bench.ended() == 0
    assert bench.given_back()
    draft = draft_of(demo_path).replace("pasted", "")
    assert draft.replace(" ", "") == "51" + letters


def test_a_flood_of_text_that_is_no_paste_stays_bounded_and_the_bench_hears(
    opened: Open, demo_path: Path
) -> None:
    bench = opened()
    before = most_memory(bench)
    bench.type("flood of text " * 110_000)  # 1.5 MB
    bench.until("is too long for this line")
    assert most_memory(bench) - before < 100 << 20
    bench.type("\x18")
    assert bench.ended() == 0
    assert bench.given_back()
    assert len(draft_of(demo_path)) < 10_000


def most_memory(bench: PtyBench) -> int:
    """The most bytes of memory that the bench has had."""
    status = Path(f"/proc/{bench.process.pid}/status").read_text()
    return int(re.search(r"VmHWM:\s+(\d+) kB", status)[1]) << 10  # type: ignore[index]


def test_resized_to_next_to_nothing_and_back_it_draws_all_again(opened: Open) -> None:
    bench = opened()
    bench.resize(20, 5)
    bench.rest()
    since = len(bench.seen)
    bench.resize(100, 30)
    bench.until(READY, since)
    assert bench.process.poll() is None


@pytest.mark.parametrize("environ", [{"TERM": "dumb"}, {"NO_COLOR": "1"}])
def test_without_colour_or_on_a_dumb_terminal_it_works(
    opened: Open, demo_path: Path, environ: dict[str, str]
) -> None:
    bench = opened(**environ)
    bench.type("UE 5")
    bench.until("UE 5")
    bench.process.send_signal(signal.SIGTERM)
    bench.ended()
    assert draft_of(demo_path).endswith("UE 5")
    if "TERM" in environ:
        # The titles' and people's own letters stay what they are; the demo's are all ASCII.
        assert bench.seen.decode().isascii()


def test_an_export_whose_reader_goes_away_ends_in_silence(demo_path: Path) -> None:
    command = f"'{sys.executable}' -m benchtui export intake --shop '{demo_path}' | head -c 1 > /dev/null"
    shell = f"{command}; exit ${{PIPESTATUS[0]}}"
    run = subprocess.run(
        ["bash", "-c", shell], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert (run.returncode, run.stderr) == (0, "")


def test_without_a_terminal_the_bench_says_so_in_one_line(demo_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "benchtui", "--shop", str(demo_path)], capture_output=True, text=True, check=False,
        stdin=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.returncode == 2
    assert run.stderr.startswith("benchtui: there is no terminal")
    assert len(run.stderr.splitlines()) == 1


def test_with_the_stick_not_plugged_in_no_shop_is_made_where_it_should_be(tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "benchtui", "--shop", str(tmp_path / "stick" / "shop")], capture_output=True,
        text=True, check=False, stdin=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert (run.returncode, len(run.stderr.splitlines())) == (2, 1)
    assert "plug in the disk" in run.stderr
    assert list(tmp_path.iterdir()) == []
