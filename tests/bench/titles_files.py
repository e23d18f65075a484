"""What becomes of each of the untidy lists of tests/titles/test_sheet.py: rows in, rows told, how it was read.

python tests/bench/titles_files.py
"""

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "titles"))

from test_sheet import FILES, REFUSED

from benchtui.base.errors import BenchError
from benchtui.titles.takein import take_in


def outcome(name: str, data: bytes, folder: Path) -> str:
    """One line on what became of that file."""
    path = folder / name
    path.write_bytes(data)
    try:
        report = take_in(path, folder / "titles")
    except BenchError as error:
        return f"refused: {error.what}"
    told = report.new + report.changed + report.same + len(report.repeats) + len(report.refused)
    columns = ", ".join(f"{theirs} is {ours}" for theirs, ours in report.read_as)
    said = "; ".join(line.strip() for line in report.said[:1])
    return f"{report.lines} rows, {told} told, {report.new} new; {columns or 'our names'}; {said}".rstrip(
        "; "
    )


def main() -> None:
    """Prints the list."""
    files: dict[str, Callable[[], bytes] | bytes] = {
        **FILES,
        **{name: data for name, (data, _) in REFUSED.items()},
    }
    for no, (name, made) in enumerate(files.items(), 1):
        with tempfile.TemporaryDirectory() as folder:
            data = made if isinstance(made, bytes) else made()
            print(f"{no:2} {name:34} {outcome(name, data, Path(folder))}")


if __name__ == "__main__":
    main()
