"""Makes demo/pictures anew: python tests/demo/make_pictures.py"""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SCRIPT, PICTURES = ROOT / "demo" / "pictures.keys", ROOT / "demo" / "pictures"


def main() -> int:
    for old in PICTURES.glob("*.svg"):
        old.unlink()
    command = [sys.executable, "-m", "benchtui", "play", str(SCRIPT), "--shots", str(PICTURES)]
    return subprocess.run(command, check=False, cwd=ROOT, env={**os.environ, "TZ": "UTC"}).returncode


if __name__ == "__main__":
    sys.exit(main())
