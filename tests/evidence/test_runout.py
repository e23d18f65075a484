"""Runouts: shorthand and full inscriptions, segments, ciphers, sides that do not belong."""

from dataclasses import replace
from typing import Any

import pytest

from benchtui.books.shape import BookTitle, Cipher, Pressing
from benchtui.evidence import WeighSettings, other_side, read_runout, say_held, segments_of, weigh
from benchtui.evidence.reference import Shelf
from benchtui.evidence.runout import Segment, decipher, inscription
from benchtui.model.span import Span, parse_edtf

# The demo world's cipher: D U N V E R S H A L = 0 1 2 3 4 5 6 7 8 9.
CIPHER = Cipher("harbour", "DUNVERSHAL", "0123456789", "invented")
STEMS = {"A": "DV 1041 A/", "B": "DV 1041 B/", "C": "DV 1042 A/", "D": "DV 1042 B/"}
CUTS = ((("1", "1"), "usually"), (("2u", "1"), "sometimes"))
EARLY = Pressing("early", "early", parse_edtf("[1962-01..1962-06]"), cuts=CUTS)  # type: ignore[arg-type]
LATE = Pressing("late", "late", parse_edtf("[1965-01..1966-12]"), cuts=CUTS)  # type: ignore[arg-type]
TITLE = BookTitle("t", "", "", Span(), stems=STEMS, cipher="harbour", discs=2, pressings=(EARLY, LATE))
BOOKS = Shelf([TITLE], ciphers=[CIPHER])


@pytest.mark.parametrize(
    ("typed", "full", "cut", "mother", "stamper"),
    [
        ("1", "DV 1041 A/1", "1", "", ""),
        ("2u", "DV 1041 A/2U", "2u", "", ""),
        ("1b 3un", "DV 1041 A/1B 3 UN", "1", "3", "UN"),
        ("1b 3 UN", "DV 1041 A/1B 3 UN", "1", "3", "UN"),
        ("  2U   12  RAD ", "DV 1041 A/2U 12 RAD", "2u", "12", "RAD"),
        ("1 u", "DV 1041 A/1 U", "1", "", "U"),
        ("1 {triangle}@3", "DV 1041 A/1 {triangle}@3", "1", "", ""),
    ],
)
def test_shorthand_becomes_the_full_inscription(
    typed: str, full: str, cut: str, mother: str, stamper: str
) -> None:
    read = read_runout(typed, "A", TITLE, BOOKS)
    assert (read.typed, read.full) == (typed, full)
    assert (read.cut, read.mother, read.stamper) == (cut, mother, stamper)


@pytest.mark.parametrize("typed", ["dv1041a1 3 un", "DV 1041 A/1 3 UN", "DV-1041-A 1 3UN"])
def test_a_full_inscription_is_read_however_it_is_spaced(typed: str) -> None:
    read = read_runout(typed, "A", TITLE, BOOKS)
    assert (read.cut, read.mother, read.stamper, read.belongs) == ("1", "3", "UN", True)
    assert read.full == typed


def test_the_full_inscription_of_a_shorthand_says_the_same() -> None:
    for typed in ("1", "2u", "1b 3un", "1b 12", "2u un"):
        read = read_runout(typed, "A", TITLE, BOOKS)
        again = read_runout(read.full, "A", TITLE, BOOKS)
        assert (again.cut, again.mother, again.stamper) == (read.cut, read.mother, read.stamper)


def test_stamper_letters_are_read_through_the_cipher() -> None:
    assert read_runout("1b 3un", "A", TITLE, BOOKS).say == "cut 1, mother 3, stamper UN = 12"
    assert read_runout("1b 3un", "A", TITLE, BOOKS).number == 12
    assert decipher("XY", CIPHER) is None
    assert decipher("41", CIPHER) == 41


def test_a_side_of_another_title_is_flagged_and_kept() -> None:
    read = read_runout("HOB 77 A-1", "A", TITLE, BOOKS)
    assert read.belongs is False
    assert read.say == "does not fit this title, whose runout begins DV 1041 A/"
    assert (read.typed, read.full) == ("HOB 77 A-1", "HOB 77 A-1")


def test_the_inscription_of_another_side_is_named() -> None:
    read = read_runout("DV 1042 B/1", "A", TITLE, BOOKS)
    assert (read.belongs, read.say, read.cut) == (False, "has the inscription of side D", "")


@pytest.mark.parametrize(
    "typed", ["XQ 77-A1", "XQ77A1", "XQ-77-A", "HELLO", "<XQ 77-A1>", "HELLO <a wren>", "7A1"]
)
def test_an_inscription_that_fits_none_of_the_side_s_is_flagged_however_it_is_spelt(typed: str) -> None:
    assert read_runout(typed, "A", TITLE, BOOKS).belongs is False


@pytest.mark.parametrize(
    ("typed", "cut"),
    [
        ("<JW> DV 1041 A/1 3 UN", "1"), ("HELLO DV 1041 A/2u", "2u"), ("DV1041A1 3UN HELLO <a wren>", "1"),
        ("1 3un <hello>", ""), ("1 345 UN HELLO", ""), ("DV 1041", ""), ("<HELLO>", ""), ("{star} ~7~", ""),
    ],
)  # fmt: skip
def test_scratches_and_initials_beside_a_fitting_one_or_alone_harm_nothing(typed: str, cut: str) -> None:
    read = read_runout(typed, "A", TITLE, BOOKS)
    assert (read.belongs is not False, read.cut) == (True, cut)


def test_a_side_whose_stems_differ_by_channels_flags_what_fits_neither() -> None:
    title = replace(TITLE, stems={"mono A": "DM 1041 A/", "stereo A": "DS 1041 A/"})
    assert read_runout("XQ 77-A1", "A", title, BOOKS).belongs is False
    assert read_runout("XQ 77-A1", "B", title, BOOKS).belongs is None, "nothing is known of that side"


@pytest.mark.parametrize(
    "typed", ["<a quiet word to Wren>", "", "   ", "~1~ <Porter's peal>", "???", "-", "<"]
)
@pytest.mark.parametrize("title", [TITLE, None])
def test_any_text_is_taken_and_kept_as_typed(typed: str, title: BookTitle | None) -> None:
    read = read_runout(typed, "A", title, BOOKS)
    assert read.typed == typed
    assert read.belongs is None


def test_without_stems_a_shorthand_is_still_read() -> None:
    read = read_runout("1b 3un", "A", None, BOOKS)
    assert (read.full, read.cut, read.mother, read.stamper, read.number) == ("1B 3 UN", "1", "3", "UN", None)


def test_segments_say_how_each_piece_was_made_and_where_it_stands() -> None:
    text = "DV 1041@12 <A wren>@3 ~1~ {triangle}@9"
    pieces = segments_of(text)
    assert pieces == (
        Segment("DV"), Segment("1041", "stamped", 12), Segment("A wren", "hand-cut", 3),
        Segment("1", "struck out"), Segment("triangle", "symbol", 9),
    )  # fmt: skip
    assert inscription(pieces) == text


def test_the_other_side_follows_by_one_key() -> None:
    first = read_runout("1b 3un", "A", TITLE, BOOKS)
    assert other_side(first, "B", TITLE, BOOKS).full == "DV 1041 B/1B 3 UN"
    whole = read_runout("DV 1041 A/1E 1 U", "A", TITLE, BOOKS)
    assert other_side(whole, "B", TITLE, BOOKS).full == "DV 1041 B/1E 1 U"


def chance(record: Any) -> float:
    return {one.id: one.p for one in weigh(record, BOOKS).pressings}["early"]


def test_an_early_stamper_raises_the_odds_of_an_early_copy_and_a_late_one_lowers_them(record_of: Any) -> None:
    record = record_of()
    plain = chance(record)
    record["parts"][0]["sides"]["A"] = {"stamper": "U"}
    early = chance(record)
    record["parts"][0]["sides"]["A"] = {"stamper": "UDD"}
    assert chance(record) < plain < early < 0.8
    record["parts"][0]["sides"]["A"] = {"stamper": "XX"}
    assert chance(record) == pytest.approx(plain)


def test_the_stamper_of_a_later_cut_says_nothing_of_the_first(record_of: Any) -> None:
    record = record_of()
    record["parts"][0]["sides"]["A"] = {"cut": "2u"}
    plain = chance(record)
    record["parts"][0]["sides"]["A"] = {"cut": "2u", "stamper": "U"}
    assert chance(record) == pytest.approx(plain)


def test_a_side_that_does_not_belong_is_told_by_rule_and_its_cut_weighs_nothing(record_of: Any) -> None:
    record = record_of()
    plain = chance(record)
    record["parts"][0]["sides"]["B"] = {"typed": "HOB 77 B-1", "cut": "1"}
    told = weigh(record, BOOKS).agreement["disc-1"]
    assert told.by_rule
    assert told.say == "disc: side B does not fit this title, whose runout begins DV 1041 B/"
    assert chance(record) == pytest.approx(plain)


def test_nothing_is_settled_while_a_runout_is_another_title_s_and_nobody_ruled_on_it(record_of: Any) -> None:
    low = WeighSettings(settle=0.3)
    record = record_of()
    record["parts"][0]["sides"]["A"] = {"typed": "1", "cut": "1"}
    assert weigh(record, BOOKS, settings=low).settled
    record["parts"][0]["sides"]["B"] = {"typed": "HOB 77 B-1"}
    told = weigh(record, BOOKS, settings=low)
    assert (told.settled, say_held(told)) == (False, "not sure: a runout does not fit this title")
    record["rulings"]["disc-1"] = "own"
    assert weigh(record, BOOKS, settings=low).settled, "the dealer has looked and said so"
