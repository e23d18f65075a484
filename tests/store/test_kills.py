"""A process killed in the middle of a parcel leaves every accepted key (the script does 1,000 by itself)."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[1] / "bench" / "store_kill.py"


@pytest.mark.skipif(not hasattr(signal, "SIGKILL") or not hasattr(os, "fork"), reason="POSIX kill and fork")
def test_a_killed_play_leaves_every_accepted_step():
    run = subprocess.run([sys.executable, str(SCRIPT), "12"], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr
    assert "12 kills" in run.stdout
