"""Opens a file with the program that this system uses for such files."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from benchtui.base.errors import BenchError


def open_outside(path: Path) -> None:
    """Opens the file in the system's own viewer, and does not wait for it.

    BenchError where there is none: no desktop, or nothing that opens files.
    """
    try:
        if sys.platform == "win32":
            os.startfile(path)
            return
        tool = shutil.which("open" if sys.platform == "darwin" else "xdg-open")
        screen = sys.platform == "darwin" or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
        if not tool or not screen:
            raise BenchError(
                "no picture viewer here: there is no desktop to show it on", path, "open it elsewhere"
            )
        quiet = subprocess.DEVNULL
        argv = [tool, str(path.absolute())]
        subprocess.Popen(argv, stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True)
    except OSError as error:
        raise BenchError(f"the picture viewer does not start: {error.strerror or error}", path) from error
