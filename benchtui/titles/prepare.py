"""Prepares the index of a large list in a process of its own, so that no sorting ever stops the screen.

What that process does stands in prepare_lists.py.
"""

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from threading import Thread

WAIT = 0.003
"""Seconds between two looks at the process."""
APART = 150_000
"""Bytes of a list, some 2,000 titles, from which on it is prepared apart."""


def prepare_apart(path: Path) -> Iterator[float]:
    """Starts the process and yields how much is done, every few milliseconds.

    Ends when the process has ended, whether the index is there or not; closing the generator ends the
    process.
    """
    command = [sys.executable, "-m", "benchtui.titles.prepare_lists", str(path)]
    paths = os.pathsep.join(part for part in sys.path if part)
    try:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": paths},
            text=True,
        )
    except OSError:
        return
    share_done = [0.0]
    listener = Thread(target=_listen, args=(process, share_done), daemon=True)
    listener.start()
    try:
        while process.poll() is None:
            time.sleep(WAIT)  # a caller that asks in a tight loop leaves the processor to the other process
            yield share_done[0]
    finally:
        process.kill()
        process.wait()
        listener.join()
        if process.stdout is not None:
            process.stdout.close()


def _listen(process: "subprocess.Popen[str]", share_done: list[float]) -> None:
    for line in process.stdout or ():
        share_done[0] = float(line)
