"""The pictures of a record as the shop keeps them: by content, each with what it shows; small for a page."""

import base64
import io
import shutil
from collections.abc import Sequence
from pathlib import Path, PureWindowsPath
from typing import TYPE_CHECKING, cast

from benchtui.base.errors import BenchError
from benchtui.export.photographs import digest_of
from benchtui.export.shots import Shot
from benchtui.model.chores import add_chore, finish_all
from benchtui.model.record import PICTURES, PhotographDoc, RecordDoc

if TYPE_CHECKING:
    from PIL.Image import Image

FOLDER = "photographs"
SMALL, QUALITY, MOST_SMALL = 220, 72, 8
"""Pixels of a small picture's longer side, its JPEG quality, and how many of a record a page shows."""


def add_pictures(
    record: RecordDoc, files: Sequence[Path], listed: Sequence[Shot], at: str, day: str, keep_in: Path | None
) -> int:
    """Adds what is not there yet, by content; what is missing of the shot list goes on the work list.

    ``listed``: the shot list without the slip. A file called as its shot is that shot; else, where there are
    as many as the list has, they are in its order. ``keep_in``: the shop, for a copy of each; the files
    themselves are not touched. A picture known by its content that lies elsewhere now is found there. How
    many were new; BenchError for a file that cannot be read or copied.
    """
    kept = record.setdefault("photographs", [])
    known = {one["digest"]: one for one in kept}
    named = {shot.file.casefold(): shot for shot in listed}
    in_order = dict(zip(files, listed, strict=True)) if len(files) == len(listed) else {}
    added = 0
    for path in files:
        digest = digest_of(path)
        if keep_in is not None:
            _copy(path, keep_in / FOLDER, digest)
        if digest in known:
            if not Path(known[digest]["file"]).exists():
                known[digest]["file"] = str(path.absolute())
            continue
        shot = named.get(path.name.casefold()) or in_order.get(path)
        known[digest] = _made(path, digest, shot, at)
        kept.append(known[digest])
        added += 1
    if added:
        finish_all(record, "photograph", day)
    note_missing(record, listed, at, day)
    return added


def _made(path: Path, digest: str, shot: Shot | None, at: str) -> PhotographDoc:
    made = {"digest": digest, "file": str(path.absolute()), "shot": shot.file if shot else "", "at": at}
    if shot is not None and shot.part:
        made |= {"part": shot.part} | ({"side": shot.side} if shot.side else {})
    return cast(PhotographDoc, made)


def note_missing(record: RecordDoc, listed: Sequence[Shot], at: str, day: str) -> None:
    """What is not photographed yet is one chore, which keeps no record from being sold."""
    left = missing(record, listed)
    waiting = [one for one in record["chores"] if one["what"] == PICTURES and not one["done"]]
    if not left:
        finish_all(record, PICTURES, day)
    elif not waiting:
        add_chore(record, PICTURES, at, left)
    else:
        waiting[0]["note"] = left


def missing(record: RecordDoc, listed: Sequence[Shot]) -> str:
    """What of the shot list has no picture, in words; by number where no picture says which it is."""
    there = record.get("photographs", [])
    named = {one["shot"].casefold() for one in there if one["shot"]}
    if not named:
        left = len(listed) - len(there)
        return f"{left} of the {len(listed)} on its list" if left > 0 else ""
    return ", ".join(shot.what for shot in listed if shot.file.casefold() not in named)


def _copy(path: Path, folder: Path, digest: str) -> None:
    """The picture under the name of its content, there once however often it comes."""
    target = folder / f"{digest}{path.suffix.lower()}"
    if target.exists():
        return
    beside = target.with_name(f".{target.name}.new")
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        shutil.copyfile(path, beside)
        beside.chmod(0o600)
        beside.replace(target)
    except OSError as error:
        raise BenchError(f"the picture cannot be copied: {error.strerror or error}", target) from error


def file_of(shop: Path, picture: PhotographDoc) -> Path | None:
    """Where the picture lies now: the shop's own copy, else the file it came from; None where neither is."""
    own = shop / FOLDER / f"{picture['digest']}{PureWindowsPath(picture['file']).suffix.lower()}"
    return next((path for path in (own, Path(picture["file"])) if path.is_file()), None)


def small(path: Path) -> str:
    """The picture small, as the address of an image in a page; "" without Pillow, or for no picture."""
    picture = upright(path, SMALL)
    if picture is None:
        return ""
    held = io.BytesIO()
    picture.save(held, "JPEG", quality=QUALITY)
    return "data:image/jpeg;base64," + base64.b64encode(held.getvalue()).decode()


def upright(path: Path, most: int) -> "Image | None":
    """The picture as it was held, its longer side at most so many pixels; None without Pillow, or for no
    picture.
    """
    try:
        from PIL import Image, ImageOps
    except ImportError:
        return None
    try:
        with Image.open(path) as picture:
            picture.draft("RGB", (2 * most, 2 * most))
            turned = ImageOps.exif_transpose(picture).convert("RGB")
        turned.thumbnail((most, most))
    except (OSError, ValueError, Image.DecompressionBombError):
        return None
    return turned
