"""Faults stay readable on the bench where a record has many parts and the screen is small."""

from bench_hands import Hands

from benchtui.bench.draw.screen import draw_middle
from benchtui.bench.draw.stack import draw_stack
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
    shown = text_of(draw_middle(demo.desk, 80, 17, FANCY))
    rows = [line.split("│")[0].strip(" ▌") for line in shown.splitlines()]
    for part, said in (("disc 2", "warp"), ("disc 1", "scuffs +1"), ("cover", "ring wear")):
        (row,) = [one for one in rows if one.startswith(part) and "·" in one]
        assert row.endswith(said)
    assert "scuffs, light, not felt" in shown, "the part in the hand has them in words"
    assert "*" not in shown


def test_a_long_row_of_faults_gets_lines_of_its_own_where_there_is_room(demo: Hands) -> None:
    demo.do("line-leave")
    demo.take("disc", 1)
    _fault(demo, "scuffs", "1")
    _fault(demo, "scratch", "2")
    shown = " ".join(text_of(draw_stack(demo.desk, 69, 33, FANCY)).split())
    assert "scuffs, light, not felt, not heard; scratch that is felt, heard, up to 3 ticks" in shown


def test_no_row_is_wider_than_its_screen_however_many_the_faults(demo: Hands) -> None:
    demo.do("line-leave")
    demo.take("disc", 1)
    for fault in [one for one in demo.desk.references.faults if "disc" in one.parts and not one.apart]:
        demo.do("fault").key(fault.key)
        if demo.desk.open.menu is not None:
            demo.key("1")
    for width in (20, 45, 69, 100):
        for height in (6, 17, 33):
            lines = draw_stack(demo.desk, width, height, FANCY)
            assert len(lines) <= height
            assert all(width_of(line) <= width for line in lines)
