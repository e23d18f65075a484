"""Channels and numbers speak in any book, without a word of it; a mono disc in a stereo cover is noticed."""

from dataclasses import replace
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.books.sound_words import sound_of
from benchtui.evidence import weigh
from benchtui.evidence.reference import Shelf
from benchtui.evidence.sound import follows, shows_sound
from benchtui.model.span import Span, parse_edtf


def clue(name: str, part: str, *texts: str, absent: str = "") -> Clue:
    answers = tuple(Answer(f"a{n}", text, n, absent=text == absent) for n, text in enumerate(texts, 1))
    return Clue(name, name, part, "front", answers)


EDGE = clue("edge", "cover", "MONO, or nothing", "STEREO printed", "STEREO on a pasted strip")
LABEL = clue(
    "says", "disc", "nothing of channels: a mono disc", "STEREO", absent="nothing of channels: a mono disc"
)
WORD = clue("word", "disc", "mono", "stereo", "no word", absent="no word")
NUMBER = clue("number", "disc", "QV 101", "SQV 101", "another")


def two(first: str = "mono", second: str = "stereo") -> BookTitle:
    pressings = (
        Pressing("one", "one", parse_edtf("1967"), channels=first, catalogue="QV 101"),
        Pressing("two", "two", parse_edtf("1967"), channels=second, catalogue="SQV 101"),
    )
    return BookTitle("t", "", "", Span(), catalogues=("QV 101",), pressings=pressings)


@pytest.mark.parametrize(
    ("text", "sound"),
    [
        ("stereo", "stereo"), ("STEREO on a pasted strip", "stereo"), ("stereo, also playable mono", "stereo"),
        ("Stereophonic", "stereo"), ("mono", "mono"), ("monaural", "mono"), ("a monogram", ""), ("no word", ""),
    ],
)  # fmt: skip
def test_an_answer_says_channels_by_its_words(text: str, sound: str) -> None:
    assert sound_of(text) == sound


def test_a_clue_shows_the_sound_where_stereo_is_told_from_something_else() -> None:
    assert all(map(shows_sound, (EDGE, LABEL, WORD)))
    assert not shows_sound(clue("size", "disc", "large", "small"))
    assert not shows_sound(clue("strip", "cover", "stereo strip at the top", "stereo strip at the foot"))


@pytest.mark.parametrize("question", [EDGE, LABEL, WORD])
def test_the_word_seen_on_any_part_tells_mono_from_stereo(question: Clue, record_of: Any, saw: Any) -> None:
    for answer in question.answers:
        sound = sound_of(answer.text)
        if sound:
            record = record_of()
            saw(record, f"{question.part}-1", question.id, answer.id)
            found = weigh(record, Shelf([two()], [question]))
            assert found.pressings[0].id == {"mono": "one", "stereo": "two"}[sound]
            assert found.pressings[0].p > 5 * min(one.p for one in found.pressings if one.id)


def test_a_number_tells_its_pressing_and_a_book_that_speaks_is_not_overruled(
    record_of: Any, saw: Any
) -> None:
    record = record_of()
    saw(record, "disc-1", "number", "a2")
    assert weigh(record, Shelf([two()], [NUMBER])).pressings[0].id == "two"
    assert follows(two().pressings[0], two(), NUMBER) == {"a1": "usually", "a2": "rarely"}
    spoken = Pressing("one", "one", parse_edtf("1967"), channels="mono", expect={"word": {"a2": "always"}})
    other = Pressing("two", "two", parse_edtf("1967"), channels="mono")
    title = BookTitle("t", "", "", Span(), pressings=(spoken, other))
    record = record_of()
    saw(record, "disc-1", "word", "a2")
    assert weigh(record, Shelf([title], [WORD])).pressings[0].id == "one"


def test_where_channels_are_alike_or_unknown_nothing_follows(record_of: Any, saw: Any) -> None:
    for channels in ("mono", "", "both"):
        record = record_of()
        saw(record, "disc-1", "word", "a2")
        one, two_ = sorted(
            (x for x in weigh(record, Shelf([two(channels, channels)], [WORD])).pressings if x.id),
            key=lambda x: x.name,
        )
        assert one.p == pytest.approx(two_.p)


@pytest.mark.parametrize("title", [two(), BookTitle("t", "", "", Span())])
def test_a_mono_disc_in_a_stereo_cover_is_noticed_with_and_without_pressings(
    title: BookTitle, record_of: Any, saw: Any
) -> None:
    record = record_of()
    saw(record, "disc-1", "word", "a1")
    saw(record, "cover-1", "edge", "a3")
    books = Shelf([title], [WORD, EDGE])
    told = weigh(record, books).agreement["cover-1"]
    assert told.p_swapped >= 0.5
    if not title.pressings:
        assert told.say == "cover: it says stereo, the disc mono; in doubt, another copy's?"
    record["rulings"]["cover-1"] = "own"
    assert weigh(record, books).agreement["cover-1"].p_swapped == 0
    same = record_of()
    saw(same, "disc-1", "word", "a2")
    saw(same, "cover-1", "edge", "a3")
    assert "in doubt" not in weigh(same, books).agreement["cover-1"].say


def test_among_words_of_the_dealer_s_own_that_say_neither_none_is_usual() -> None:
    question = clue("ears", "disc", "TWO-EAR", "stereo", "mono")._replace(source="the dealer's own word")
    one = Pressing("one", "one", Span(), channels="stereo")
    assert follows(one, None, question) == {"a3": "never"}
    assert follows(one, None, question._replace(answers=question.answers[:2])) == {}
    assert follows(one, None, question._replace(source=""))["a2"] == "usually"


MADE = Pressing("t/~1967", "proposed", parse_edtf("1967"))


@pytest.mark.parametrize("word", ["mono", "stereo"])
@pytest.mark.parametrize("peers", [(), ("mono",), ("stereo",), ("mono", "stereo")])
def test_the_word_of_the_title_s_own_sound_does_not_count_against_what_is_proposed(
    word: str, peers: tuple[str, ...], record_of: Any, saw: Any
) -> None:
    title = BookTitle(
        "t", "", "", Span(), "Whelkin", pressings=(MADE, replace(MADE, id="t/~68")), channels=word
    )
    known = [
        BookTitle(one, "", "", parse_edtf("1967"), "Whelkin", channels=one, pressings=(
            Pressing(f"{one}/1", "", parse_edtf("1967"), expect={"word": {"a1" if one == "mono" else "a2": "always"}}),
        ))
        for one in peers
    ]  # fmt: skip
    books, record, other = Shelf([title, *known], [WORD]), record_of(), record_of()
    before = next(one.p for one in weigh(record, books).pressings if one.id is None)
    saw(record, "disc-1", "word", "a1" if word == "mono" else "a2")
    saw(other, "disc-1", "word", "a2" if word == "mono" else "a1")
    agrees, differs = (
        next(one.p for one in weigh(it, books).pressings if one.id is None) for it in (record, other)
    )
    assert agrees <= before < differs


def test_what_the_company_s_titles_show_is_no_sign_of_another_pressing_than_the_ladder_s(
    record_of: Any, saw: Any
) -> None:
    rim = clue("rim", "disc", "raised", "flat")
    seen_on = Pressing("o/1", "", parse_edtf("1967"), expect={"rim": {"a1": "always"}})
    other = BookTitle("o", "", "", parse_edtf("1967"), "Whelkin", pressings=(seen_on,))
    title = BookTitle("t", "", "", parse_edtf("1967"), "Whelkin", pressings=(MADE,))
    record, books = record_of(), Shelf([title, other], [rim])
    before = weigh(record, books).pressings
    saw(record, "disc-1", "rim", "a1")
    assert [one.p for one in weigh(record, books).pressings] == pytest.approx(
        [one.p for one in before], abs=0.01
    )
