"""The keys that README gives for the first record take it in."""

import re
from pathlib import Path

from bench_hands import Hands

README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")


def test_the_keys_of_the_readmes_first_record_take_it_in(demo: Hands) -> None:
    table = README.partition("## The first record")[2].partition("## ")[0]
    rows = re.findall(r"^\| (`.+) \| .+ \|$", table, re.MULTILINE)
    for row in rows:
        for keys, enter in re.findall(r"`(.+?)`( Enter)?", row):
            if enter:
                demo.enter(keys)
            else:
                demo.key(keys)
    records = demo.desk.work.records
    assert len(rows) == 6
    assert records[6]["state"] == "taken-in"
    assert demo.desk.work.record is records[7]
    assert demo.desk.open.line is None
