"""A play test in one line: what is read from it, what is refused, and the event and the chore it makes."""

import pytest
from bench_hands import TODAY, Hands
from hypothesis import given
from hypothesis import strategies as st
from seen import page_rows

from benchtui.bench.pieces import PLAIN, text_of
from benchtui.books.scales import load_scales
from benchtui.desk.grade.play_line import PlayTest, read_play
from benchtui.desk.record.describing import item_of, wording
from benchtui.export.describe import describe, load_templates

SCALE = load_scales()["american"]
EXAMPLE = "side A, 2:30, 3 ticks, light crackle between songs, stylus conical"


def note(position: str = "", ticks: str = "", noise: str = "") -> dict[str, str]:
    return {"position": position, "ticks": ticks, "noise": noise}


@pytest.fixture
def played(breakwater: Hands) -> Hands:
    """A record whose disc is graded and waits for a play test; its page is open."""
    breakwater.take("disc")
    breakwater.grade("VG", "+").do("chore").key("p").do("record-page")
    return breakwater


# -- reading the line ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "side", "heard", "stylus", "grade"),
    [
        (EXAMPLE, "A", [note("2:30", "3", "light crackle between songs")], "conical", None),
        ("side b; nothing heard", "B", [], "", None),
        ("nothing", "", [], "", None),
        ("1 tick", "", [note("", "1")], "", None),
        ("0:05, 12 TICKS, 14:10, swish", "", [note("0:05", "12"), note("14:10", "", "swish")], "", None),
        ("swish, at every turn, track 3, 2 ticks", "", [note("", "", "swish, at every turn"),
                                                        note("track 3", "2")], "", None),
        ("2:30-3:10, hum, elliptical 7 µm stylus", "", [note("2:30-3:10", "", "hum")],
         "elliptical 7 µm", None),
        ("side A, vg+, run-in, rumble", "A", [note("run-in", "", "rumble")], "", ("VG", "+")),
        ("[bold]click[/bold], {x} \\n", "", [note("", "", "[bold]click[/bold], {x} \\n")], "", None),
        ("  side   A ,,  light   crackle  , ", "A", [note("", "", "light crackle")], "", None),
    ],
)  # fmt: skip
def test_the_line_says_side_place_ticks_noise_and_stylus_in_any_order(
    text: str, side: str, heard: list[dict[str, str]], stylus: str, grade: tuple[str, str] | None
) -> None:
    test = read_play(text, ("A", "B"), SCALE)
    assert (test.side, test.heard, test.stylus, test.grade) == (side, heard, stylus, grade)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "what was heard"),
        ("side A, stylus conical", "what was heard"),
        ("side C, 3 ticks", "no side 'C'"),
        ("side, 3 ticks", "no side ''"),
        ("side A, side B, 3 ticks", "only one side"),
        ("2:75, 3 ticks", "not a time"),
        ("at 2:30, 3 ticks", "not a time"),
        ("2:3, 3 ticks", "not a time"),
        ("2:30 3 ticks", "not a time"),
        ("2:30", "what was heard at 2:30"),
        ("2:30, 3:10, 2 ticks", "what was heard at 2:30"),
        ("ticks", "not a count"),
        ("-3 ticks", "not a count"),
        ("3.5 ticks", "not a count"),
        ("0 ticks", "nothing heard"),
        ("9999 ticks", "not a count"),
        ("3 ticks, 4 ticks", "only one count"),
        ("stylus, 3 ticks", "which stylus"),
        ("stylus conical, stylus elliptical, 3 ticks", "only one stylus"),
        ("VG, VG+, 3 ticks", "only one grade"),
        ("nothing heard, 3 ticks", "write only one"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_words(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        read_play(text, ("A", "B"), SCALE)


@given(st.text(max_size=80))
def test_any_text_at_all_is_read_or_refused_with_a_sentence(text: str) -> None:
    test, said = _read(text)
    assert said.strip() or all(one["ticks"] or one["noise"] for one in test.heard)
    for one in test.heard:  # what is kept as noise was typed: nothing is swallowed, nothing made up
        assert set(one["noise"].replace(",", " ").split()) <= set(
            text.replace(",", " ").replace(";", " ").split()
        )


def _read(text: str) -> tuple[PlayTest, str]:
    try:
        return read_play(text, ("A", "B"), SCALE), ""
    except ValueError as error:
        return PlayTest(), str(error)


# -- what it makes ---------------------------------------------------------------------------------


def test_one_line_makes_a_dated_grade_with_what_was_heard_and_the_chore_is_done_today(played: Hands) -> None:
    played.do("record-play").enter(EXAMPLE)
    event = played.part["grades"][-1]
    assert (event["when"], event["side"], event["grade"], event["shade"]) == ("played", "A", "VG", "+")
    assert event["heard"] == [note("2:30", "3", "light crackle between songs")]
    assert event["stylus"] == "conical"
    assert event["at"].startswith(TODAY)
    assert [chore["done"] for chore in played.record["chores"]] == [TODAY]
    assert played.desk.open.line is None
    shown = text_of(page_rows(played.desk, 100, 200, PLAIN))
    assert "2:30, 3 ticks, light crackle between songs" in shown
    assert "stylus conical" in shown


def test_the_description_tells_of_it(played: Hands) -> None:
    played.do("record-play").enter(EXAMPLE)
    text = describe(item_of(played.desk, played.record), wording(played.desk), load_templates()["long"]).text
    assert "Play test: side A (conical): 2:30, 3 ticks, light crackle between songs." in text


def test_it_is_one_action_that_undo_takes_back_whole(played: Hands) -> None:
    played.do("record-play").enter(EXAMPLE).do("page-leave", "undo")
    assert [event["when"] for event in played.part["grades"]] == ["arrived"]
    assert [chore["done"] for chore in played.record["chores"]] == [None]


def test_bad_input_is_refused_and_what_was_typed_stays(played: Hands) -> None:
    played.do("record-play").enter("side A, 2:75")
    assert played.refused
    assert played.desk.open.line is not None
    assert played.desk.open.line.text == "side A, 2:75"
    assert len(played.part["grades"]) == 1
    played.do("line-leave")
    assert played.desk.open.line is None


def test_the_side_in_the_hand_is_begun_with(played: Hands) -> None:
    played.do("page-leave", "take-disc", "take-disc", "record-page", "record-play")
    assert played.desk.open.line is not None
    assert played.desk.open.line.text == f"side {played.desk.work.side}, "
    played.enter("swish")
    assert played.part["grades"][-1]["side"] == played.desk.work.side


def test_a_grade_in_the_line_is_the_grade_as_played(played: Hands) -> None:
    played.do("record-play").enter("VG, swish")
    assert [(event["when"], event["grade"], event["shade"]) for event in played.part["grades"]] == [
        ("arrived", "VG", "+"),
        ("played", "VG", ""),
    ]


def test_a_disc_without_a_grade_wants_one_in_the_line(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("record-page", "record-play").enter("swish")
    assert breakwater.refused
    assert "no grade yet" in breakwater.said
    breakwater.desk.open.line.text = "swish, G+"  # type: ignore[union-attr]
    breakwater.do("line-accept")
    assert (breakwater.part["grades"][0]["grade"], breakwater.part["grades"][0]["shade"]) == ("G", "+")


def test_a_grade_given_later_keeps_what_the_test_heard(played: Hands) -> None:
    played.do("record-play").enter("swish, stylus conical").do("page-leave").grade("G")
    event = played.part["grades"][-1]
    assert (event["when"], event["grade"], event["heard"]) == ("played", "G", [note(noise="swish")])
    assert len(played.part["grades"]) == 2


def test_once_played_a_grade_is_never_as_arrived_again(played: Hands) -> None:
    played.do("page-leave", "chore").key("p").do("record-page", "record-play").enter("nothing")
    assert played.record["chores"] == []
    played.do("page-leave").grade("G")
    assert [event["when"] for event in played.part["grades"]] == ["arrived", "played"]


def test_of_a_set_the_side_finds_the_disc_and_without_one_it_is_asked(parcel: Hands) -> None:
    parcel.find("orrindales almanac")
    discs = [part for part in parcel.record["parts"] if part["kind"] == "disc"]
    assert len(discs) == 2
    for n in (1, 2):
        parcel.take("disc", n)
        parcel.grade("VG")
    parcel.take("cover")
    parcel.do("record-page", "record-play").enter("swish")
    assert parcel.refused
    assert "which side" in parcel.said
    parcel.desk.open.line.text = "side D, swish"  # type: ignore[union-attr]
    parcel.do("line-accept")
    second = [part for part in parcel.record["parts"] if part["kind"] == "disc"][1]
    assert second["grades"][-1]["side"] == "D"
    assert len([event for part in parcel.record["parts"] for event in part["grades"]]) == 3


def test_without_a_disc_there_is_nothing_to_play(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("not-here", "record-page", "record-play")
    assert breakwater.refused
    assert breakwater.desk.open.line is None
