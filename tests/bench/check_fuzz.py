"""``benchtui check`` on shops with one spoilt file: python tests/bench/check_fuzz.py [FILES] [SEED]

The demo shop, with a keymap, scales and a book of every kind of table in it; each file in turn has bytes or
values changed. Every check must end within two seconds with a report or one line, and with no line that says
that the check itself broke off; the books, scales, keymap and layout are read besides as a bench would, each
opened or refused in one line. Prints how many were found wanting, found good or refused, and every fault.
"""

import os
import random
import re
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "store"))

from mutations import mutated, mutated_values

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.bench.run import copy_demo
from benchtui.books.faults import load_faults
from benchtui.books.library import Library
from benchtui.books.scales import load_scales
from benchtui.cli.check_shop import check_shop
from benchtui.desk.keyboard.keymap_file import load_keymap
from benchtui.export.describe import load_templates
from benchtui.export.layout import load_layout

VALUE = re.compile(r"(?m)^(\s*[A-Za-z_-]+\s*=\s*)(.+)$")
VALUES = ['""', '"x"', "0", "-1", "9" * 18, "9" * 5000, "0x" + "f" * 300, "nan", "inf", "1e999", "[]", "[[]]", "{}",
          "true", "1979-05-27", '"\\u0000"', '"../../x"', '"[2001..1960]"', '["a", 3]', '{ a = "usually" }',
          '"' + "x" * 100_000 + '"', "[" * 40 + "]" * 40, '"=1+1"', '"\\u001b[2J"']  # fmt: skip


def toml_values(raw: bytes, chance: random.Random) -> bytes:
    """One to three values of a TOML text changed for others."""
    text = raw.decode()
    for _ in range(chance.randint(1, 3)):
        found = chance.choice(list(VALUE.finditer(text)))
        text = text[: found.start(2)] + chance.choice(VALUES) + text[found.end(2) :]
    return text.encode()


def spoilt(path: Path, raw: bytes, chance: random.Random) -> bytes:
    if path.suffix == ".toml" and chance.random() < 0.6:
        return toml_values(raw, chance)
    if path.suffix == ".json" and chance.random() < 0.6:
        return without_sum(mutated_values(raw, chance))
    return mutated(raw, chance)


def without_sum(raw: bytes) -> bytes:
    return re.sub(rb'"sum": ?"[0-9a-f]{8}"', b'"sum": ""', raw).replace(b', "sum": ""', b"")


def read_all(path: Path) -> list[Callable[[], object]]:
    def books() -> None:
        library = Library.open([path / "books"])
        for title in list(library.titles())[:60]:
            library.title(title.id)

    return [
        books,
        lambda: load_scales([path]),
        lambda: load_faults([path / "books", path]),
        lambda: load_keymap(path / "keymaps" / "own.toml", None),
        lambda: load_templates(path),
        lambda: load_layout(path, "web", ("artist", "title")),
    ]


def faults_of(path: Path, longest: float = float("inf")) -> tuple[str, list[str]]:
    """How the check ended, and what was wrong with that; one that took longer than so many seconds too."""
    begun, wrong = time.perf_counter(), []
    try:
        lines = check_shop(path)
        how = "found wanting" if lines else "found good"
    except BenchError as error:
        lines, how = [str(error)], "refused"
    except Exception as error:
        return "broke", [f"check: {type(error).__name__}: {str(error)[:150]}"]
    took = time.perf_counter() - begun
    wrong += [line for line in lines if "cannot be checked to its end" in line or not line.isprintable()]
    wrong += [f"check took {took:.1f} s"] if took > longest else []
    for read in read_all(path):
        try:
            read()
        except BenchError as error:
            wrong += [] if str(error).isprintable() else [f"no plain line: {error!r}"]
        except Exception as error:
            wrong.append(f"{type(error).__name__}: {str(error)[:150]}")
    return how, wrong


def whole_shop(folder: Path) -> Path:
    path = folder / "shop"
    copy_demo(path)
    (path / "keymaps").mkdir(exist_ok=True)
    shutil.copy(shipped("keymaps") / "two-hands.toml", path / "keymaps" / "own.toml")
    books = Path(sys.modules[load_scales.__module__].__file__ or "").parent
    for name in ("scales.toml", "faults.toml"):
        shutil.copy(books / name, path / name)
    check_shop(path)
    return path


def main() -> int:
    files = int(sys.argv[1]) if len(sys.argv) > 1 else 1500
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    told: Counter[str] = Counter()
    faults: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = folder
        path = whole_shop(Path(folder))
        good = {
            each: each.read_bytes()
            for each in sorted(path.rglob("*"))
            if each.is_file() and ".keep" not in each.parts
        }
        for number in range(files):
            each = list(good)[number % len(good)]
            bad = spoilt(each, good[each], chance)
            each.write_bytes(bad)
            how, wrong = faults_of(path, longest=2)
            told[how] += 1
            if each.read_bytes() != bad and each.suffix not in (".prepared", ".index"):
                wrong.append("the file was changed")
            faults.update(f"{each.relative_to(path)}: {say[:300]}" for say in wrong)
            each.write_bytes(good[each])
    print(dict(told))
    print(f"{files} files, {sum(faults.values())} faults")
    for say, times in faults.most_common(40):
        print(f"  {say} ({times} times)")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
