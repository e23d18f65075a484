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


def test_a_narrow_row_has_faults_and_runouts_or_says_that_something_is_left_out(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("runout").enter("1").enter("2")
    for fault, degree in (("scuffs", "1"), ("scratch", "2")):
        _fault(breakwater, fault, degree)
    rows = {width: _row(breakwater, width, "disc") for width in range(44, 64)}
    assert any(row.endswith("+1 scuffs  1 | 2") for row in rows.values())
    assert any(row.endswith("2 faults …") for row in rows.values())
    assert all("scuffs" in row or "2 faults" in row for row in rows.values())
    assert all("1 | 2" in row or row.endswith("…") for row in rows.values())


def test_a_narrow_row_shortens_the_runouts_of_both_sides(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("runout").enter("5 1 UE").enter("5 12 UF")
    ends = {44: "5 1…|5 1…", 53: "5 1 UE|5 12 …", 58: "5 1 UE | 5 12 UF"}
    assert all(_row(breakwater, width, "disc").endswith(end) for width, end in ends.items()), [
        _row(breakwater, width, "disc") for width in ends
    ]
    breakwater.do("take-side").key("b")
    assert _row(breakwater, 44, "disc").endswith("5 1…|5 1…"), "the side in hand stands at the prompt"


def test_what_is_lacking_takes_no_part_its_row(breakwater: Hands) -> None:
    for _ in range(4):
        breakwater.do("add-part").key("6").enter("a poster with a name as long as a row of the panel")
        breakwater.do("take-cover")
    for height in range(9, 14):
        shown = text_of(record_rows(breakwater.desk, 44, height, FANCY))
        assert all(f" {part} " in shown for part in ("cover", "disc", "inner")), height


def test_a_disc_is_shown_by_its_lower_side(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.grade("VG").do("take-side").key("b").grade("NM")
    assert " VG " in _row(breakwater, 48, "disc")
    assert "NM" not in _row(breakwater, 48, "disc")
    assert "A VG B NM" in _row(breakwater, 80, "disc")


def test_a_disc_of_which_one_side_is_graded_says_which(breakwater: Hands) -> None:
    breakwater.do("take-side").key("b").grade("VG")
    assert " B VG " in _row(breakwater, 48, "disc")


def _row(hands: Hands, width: int, part: str) -> str:
    """The row of that part in a panel so wide."""
    rows = text_of(record_rows(hands.desk, width, 14, FANCY)).splitlines()
    (row,) = [one for one in rows if one.strip(" ▌").startswith(part)]
    return row.rstrip()
