"""What a terminal sends is let through only where Textual is known to take it; the rest ends no reading."""

from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchtui.bench.keystream import (
    ESCAPE_AFTER,
    PASTE_AFTER,
    PASTE_BEGIN,
    PASTE_END,
    STRING_AFTER,
    KeyStream,
)

ESCAPE = b"\x1b[27u"
PIECES = [
    b"a", b"1", b"\r", b"\x18", b"\x7f", "é".encode(), "日".encode(), b"\x1b[A", b"\x1b[1;5C", b"\x1bOP", b"\x1b[15~",
    b"\x1b[97;;97u", b"\x1b[<0;12;5M", b"\x1b[I", b"\x1b[?2026;2$y", b"\x1b[48;24;80;480;800t", b"\x1b[Z", b"\x1b[[A",
]  # fmt: skip
UNASKED = [
    b"\x1b]11;rgb:0000/0000/0000\x07", b"\x1b]4;1;rgb:ffff/0000/0000\x1b\\", b"\x1bP>|term(1)\x1b\\", b"\x1bP1$r0m\x1b\\",
    b"\x1b_Gi=1;OK\x1b\\", b"\x1b[?62;22c", b"\x1b[>41;354;0c", b"\x1b[0n", b"\x1b[8;24;80t", b"\x1b[?1;2$y", b"\x1b[24;80R",
    b"\x1b[?0u",
]  # fmt: skip
IMPOSSIBLE = [
    b"\x1b[1114112u", b"\x1b[99999999u", b"\x1b[55296u", b"\x1b[1:2u", b"\x1b[97;1:1u", b"\x1b[97;;1114112u",
    b"\x1b[97;;55296u", b"\x1b[97;0u", b"\x1b[97;999u", b"\x1b[u", b"\x1b[99~", b"\x1b[48;0;0;0;0t", b"\x1b[3;3;3;3A",
    b"\x1b[48;24;80;0;0t", b"\x1b[M\xff\xff\xff", b"\x1b[7;;7u", b"\xff\xfe", b"\xc2\x9b", b"\xed\xa0\x80",
]  # fmt: skip


def read(*chunks: bytes, every: float = 0.0) -> list[bytes]:
    stream, units = KeyStream(), []
    for n, chunk in enumerate(chunks):
        units += stream.feed(chunk, n * every)
    return units + stream.settle(len(chunks) * every + 10)


@pytest.mark.parametrize("piece", PIECES)
def test_what_a_terminal_sends_for_a_key_the_mouse_or_its_size_is_one_unit(piece: bytes) -> None:
    assert read(b"x" + piece + b"y") == [b"x", piece, b"y"]


@pytest.mark.parametrize("piece", UNASKED)
def test_an_answer_that_nobody_asked_for_is_no_typing(piece: bytes) -> None:
    assert read(b"x" + piece + b"y") == [b"x", b"y"]


@pytest.mark.parametrize("piece", IMPOSSIBLE)
def test_a_report_that_cannot_be_is_passed_over_and_the_next_key_heard(piece: bytes) -> None:
    units = read(b"x" + piece, b"\x18")
    assert units[0] == b"x"
    assert units[-1] == b"\x18"
    assert len(units) == 2


@given(st.lists(st.sampled_from(PIECES + UNASKED), max_size=12), st.lists(st.integers(0, 200), max_size=6))
def test_however_the_reading_cuts_it_the_same_units_come(pieces: list[bytes], cuts: list[int]) -> None:
    data = b"".join(pieces)
    at = sorted({0, *(cut for cut in cuts if cut < len(data)), len(data)})
    chunks = [data[a:b] for a, b in pairwise(at)]
    assert read(*chunks) == [piece for piece in pieces if piece in PIECES]


@given(st.lists(st.binary(max_size=40), max_size=8), st.floats(0, 2))
@example([b"\x1b", b"\x1b", b"["], 0.0)
@example([b"\x1b[200~", b"\x1b[20", b"1~", b"x"], 0.0)
def test_no_bytes_stop_it_and_ctrl_x_is_heard_after_any(chunks: list[bytes], every: float) -> None:
    stream = KeyStream()
    for n, chunk in enumerate(chunks):
        stream.feed(chunk, n * every)
    late = len(chunks) * every + PASTE_AFTER + STRING_AFTER
    assert stream.feed(b"\x18", late)[-1] == b"\x18"
    assert not stream.is_waiting


def test_a_paste_is_one_unit_without_what_would_end_it_or_be_taken_for_keys() -> None:
    assert read(b"a" + PASTE_BEGIN + b"b\x1b[A\x18\x00c\r\nd" + PASTE_END + b"e") == [
        b"a",
        PASTE_BEGIN + b"b[Ac\r\nd" + PASTE_END,
        b"e",
    ]


def test_a_paste_that_never_closes_is_closed_by_silence_or_by_a_hand() -> None:
    whole = PASTE_BEGIN + b"pasted" + PASTE_END
    stream = KeyStream()
    assert stream.feed(PASTE_BEGIN + b"pasted", 1.0) == []
    assert stream.settle(1.0 + PASTE_AFTER / 2) == []
    assert stream.settle(1.0 + PASTE_AFTER) == [whole]
    stream = KeyStream()
    stream.feed(PASTE_BEGIN + b"pasted", 1.0)
    assert stream.feed(b"\x18", 1.5) == [whole, b"\x18"]
    stream = KeyStream()
    stream.feed(PASTE_BEGIN + b"pas", 1.0)
    assert stream.feed(b"ted" + PASTE_END, 1.5) == [whole], "a paste that only halted"


def test_the_escape_key_alone_is_heard_after_a_while_and_before_a_letter_is_alt_unless_it_waited() -> None:
    stream = KeyStream()
    assert stream.feed(b"\x1b", 1.0) == []
    assert stream.settle(1.0 + ESCAPE_AFTER) == [ESCAPE]
    assert KeyStream().feed(b"\x1bs", 1.0) == [b"\x1bs"]
    assert KeyStream().feed(b"\x1bs\x1b[A", 1.0, apart=True) == [ESCAPE, b"s", b"\x1b[A"]
    assert KeyStream().feed(b"\x1b\x1b[A", 1.0) == [ESCAPE, b"\x1b[A"]


def test_an_answer_without_end_keeps_little_and_ends_at_ctrl_x() -> None:
    stream = KeyStream()
    for _ in range(100):
        assert stream.feed(b"\x1b]52;c;" + b"A" * 65536, 1.0) == []
    assert len(stream._held) < 5000
    assert stream.feed(b"\x18", 1.01) == [b"\x18"]


def test_keys_typed_into_an_answer_without_end_are_heard_once_it_is_given_up() -> None:
    stream = KeyStream()
    assert stream.feed(b"\x1b]11;rgb:00", 0.0) == []
    assert stream.feed(b"a", 0.1) == stream.feed("é".encode(), 0.2) == stream.settle(0.3) == []
    assert stream.settle(STRING_AFTER) == [b"a", "é".encode()]
    assert not stream.is_waiting
    assert stream.feed(b"b", 2.0) == [b"b"]


def test_what_looked_like_a_key_is_of_the_answer_where_more_of_it_comes() -> None:
    stream = KeyStream()
    units = stream.feed(b"\x1b]11;rgb:00", 0.0) + stream.feed(b"00", 0.1)
    assert units + stream.feed(b"/0000/0000\x07", 0.15) + stream.feed(b"x", 0.2) == [b"x"]
