"""How long an export takes as a shop grows: python tests/bench/export_rows.py

Medians in milliseconds of five runs over the builders' plain record, without reading the disk and without
weighing: the cost of this room alone. Columns: intake with descriptions, the CSV's text, the report.
"""

import importlib.util
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from benchtui.books.faults import load_faults
from benchtui.books.scales import load_scales
from benchtui.export.csvfile import csv_text
from benchtui.export.describe import description_columns, load_templates
from benchtui.export.intake import intake
from benchtui.export.report import parcel_report
from benchtui.export.wording import Wording


def builders() -> Any:
    path = Path(__file__).parents[1] / "export" / "conftest.py"
    spec = importlib.util.spec_from_file_location("export_builders", path)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def median(work: Callable[[], object], times: int = 5) -> float:
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spent.append((time.perf_counter() - start) * 1000)
    return statistics.median(spent)


def measure(make: Any, words: Wording, count: int) -> tuple[float, float, float]:
    more = description_columns(load_templates()["long"], "long")
    items = [make.an_item(make.plain_record(no, f"A{no:05}"), make.weighing()) for no in range(1, count + 1)]
    table = intake(items, words, more=more)
    return (
        median(lambda: intake(items, words, more=more)),
        median(lambda: csv_text(table)),
        median(lambda: parcel_report(items[0].head, items, words)),
    )


def main() -> None:
    make = builders()
    words = Wording.of(load_scales(()), load_faults(()))
    print(f"{'records':>8} {'intake':>9} {'csv text':>9} {'report':>9}")
    for count in (15, 500, 2000):
        print(f"{count:>8} " + " ".join(f"{figure:>9.1f}" for figure in measure(make, words, count)))


if __name__ == "__main__":
    main()
