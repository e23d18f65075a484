"""Faults stay readable on the bench where a record has many parts and the screen is small."""

from bench_hands import Hands
from seen import record_rows, seen

from benchtui.bench.pieces import FANCY, text_of, width_of


def _fault(hands: Hands, fault_id: str, digit: str) -> None:
    key = next(one.key for one in hands.desk.references.faults if one.id == fault_id)
    hands.do("fault").key(key, digit)


def test_on_a_small_screen_a_set_names_its_faults_beside_each_span(demo: Hands) -> None:
    demo.do("line-leave")
    demo.take("disc", 2)
    _fault(demo, "warp", "1")
    demo.take("disc", 1)
    _fault(demo, "scuffs", "1")
    _fault(demo, "scratch", "2")
    rows = [row.strip(" ▌") for row in text_of(seen(demo.desk, (80, 24)).record).splitlines()]
    for part, said in (("disc 2", "warp"), ("disc 1", "+1 scuffs"), ("cover", "ring wear")):
        (row,) = [one for one in rows if one.startswith(part)]
        assert row.endswith(said)


def test_a_long_row_of_faults_gets_lines_of_its_own_where_there_is_room(demo: Hands) -> None:
    demo.do("line-leave")
    demo.take("disc", 1)
    _fault(demo, "scuffs", "1")
    _fault(demo, "scratch", "2")
    shown = " ".join(text_of(record_rows(demo.desk, 76, 33, FANCY)).split())
    assert "scuffs, light, not felt, not heard; scratch that is felt, heard, up to 3 ticks" in shown


def test_no_row_is_wider_than_its_screen_however_many_the_faults(demo: Hands) -> None:
    demo.do("line-leave")
    demo.take("disc", 1)
    for fault in [one for one in demo.desk.references.faults if "disc" in one.parts and not one.apart]:
        demo.do("fault").key(fault.key)
        if demo.desk.open.menu is not None:
            demo.key("1")
    for size in ((60, 16), (80, 24), (100, 30), (120, 40)):
        found = seen(demo.desk, size)
        assert len(found.record) + 1 <= size[1]
        assert all(width_of(line) <= size[0] for line in found.lines)
