"""The pictures of README and DEVELOPERS show today's screens: a changed text is told here."""

import html
import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
KEPT = ROOT / "demo" / "pictures"


def text_of(svg: Path) -> list[str]:
    """What a picture says, piece by piece; colours, places and the generated ids are left out."""
    found = re.findall(r"<text[^>]*>([^<]*)</text>", svg.read_text(encoding="utf-8"))
    return [html.unescape(piece).replace("\xa0", " ").strip() for piece in found]


def test_the_pictures_kept_in_demo_say_what_the_screens_say_now(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "benchtui", "play", str(ROOT / "demo" / "pictures.keys")]
    env = {**os.environ, "TZ": "UTC"}
    subprocess.run([*command, "--shots", str(tmp_path)], check=True, cwd=ROOT, env=env, capture_output=True)
    again = "python tests/demo/make_pictures.py makes them anew; look at them before you commit"
    assert sorted(p.name for p in tmp_path.glob("*.svg")) == sorted(p.name for p in KEPT.glob("*.svg"))
    for picture in sorted(KEPT.glob("*.svg")):
        assert text_of(tmp_path / picture.name) == text_of(picture), f"{picture.name}: {again}"
