"""A really full disk: a tiny file system in memory, where this machine lets us mount one."""

import errno
import os
import shutil
import subprocess
import sys

import pytest
from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.store import Shop


@pytest.fixture
def tiny(tmp_path):
    """A file system of 256 KiB."""
    folder = tmp_path / "tiny"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(folder)]
    allowed = sys.platform == "linux" and shutil.which("mount") and os.geteuid() == 0
    if not allowed or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("a file system can only be mounted here by the superuser of a Linux machine")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


def fill_up(path) -> None:
    """Takes what room there is."""
    handle = os.open(path, os.O_CREAT | os.O_WRONLY)
    try:
        while os.write(handle, b"x" * 4096):
            pass
    except OSError as error:
        if error.errno != errno.ENOSPC:
            raise
    finally:
        os.close(handle)


def note(parcel, text):
    with parcel.action(f"note {len(text)}") as change:
        change.head["note"] = text


def test_the_bench_goes_on_in_memory_says_so_and_saves_all_when_there_is_room(tiny):
    shop = Shop.create(tiny / "shop")
    parcel = shop.new_parcel({}, 3)
    ballast = tiny / "ballast"
    fill_up(ballast)
    while parcel.trouble is None and len(parcel.history) < 500:
        note(parcel, "x" * 1000 + str(len(parcel.history)))
    assert "No space left" in str(parcel.trouble)
    assert "\n" not in str(parcel.trouble)
    saved = len(Shop.open(shop.path, read_only=True).open_parcel(parcel.id).history)
    assert saved == len(parcel.history) - 1
    number = shop.reserve_stock(parcel.id, parcel.records[0]["id"])
    for at in range(5):
        note(parcel, f"in memory only {at}")
    parcel.undo()
    parcel.place(draft={"line": "note", "text": "typed on a full disk", "at": 3})
    parcel.save_again()
    assert parcel.trouble is not None
    with pytest.raises(BenchError, match="No space"):  # more than the last pages hold
        shop.add_sender("Ada Quill", note="x" * 300_000)
    assert shop.senders == {}
    ballast.unlink()
    parcel.save_again()
    assert parcel.trouble is None
    seen = Shop.open(shop.path, read_only=True)
    again = seen.open_parcel(parcel.id)
    assert canonical(again) == canonical(parcel)
    assert again.head["draft"]["text"] == "typed on a full disk"
    assert [entry.say for entry in again.history] == [entry.say for entry in parcel.history]
    assert seen.stock_numbers() == {number: (parcel.id, parcel.records[0]["id"])}
    shop.close()
