"""Whatever text titles are made of and whatever is typed."""

import tempfile
from pathlib import Path

from found import find, load_lists
from hypothesis import given, settings
from hypothesis import strategies as st

from benchtui.model.title import Title
from benchtui.titles.build import build_piece
from benchtui.titles.finder import Finder
from benchtui.titles.fold import fold
from benchtui.titles.hit import Context
from benchtui.titles.indexfile import open_index, write_index
from benchtui.titles.listfile import write_list

# Letters of many scripts, marks, signs, digits; no half of a surrogate pair, which no file could hold.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=25)
LIKELY = st.text("aeiou brstn-'. é12あ漢한", max_size=20)
ANY = st.one_of(TEXT, LIKELY)


@st.composite
def titles(draw: st.DrawFn) -> list[Title]:
    """A few titles of any text."""
    rows = draw(st.lists(st.tuples(ANY, ANY, ANY), min_size=1, max_size=12))
    return [Title(f"t{no}", artist, title, number) for no, (artist, title, number) in enumerate(rows)]


@settings(max_examples=60, deadline=None)
@given(titles(), ANY)
def test_no_search_fails_and_marks_lie_within_the_texts(listed: list[Title], typed: str) -> None:
    for hit in find(Finder(listed), typed, context=Context(picks={"t0": (1, "2026-01-01")}, parcel={"t1"})):
        for field, ranges in hit.marks.items():
            text = getattr(hit.title, field)
            assert all(0 <= low < high <= len(text) for low, high in ranges)
            assert list(ranges) == sorted(ranges)


@settings(max_examples=60, deadline=None)
@given(titles())
def test_every_title_is_found_by_its_own_text(listed: list[Title]) -> None:
    finder = Finder(listed)
    for title in listed:
        if fold(title.title):
            found = {
                (fold(hit.title.artist), fold(hit.title.title)) for hit in find(finder, title.title, limit=50)
            }
            assert (fold(title.artist), fold(title.title)) in found


@settings(max_examples=20, deadline=None)
@given(titles(), ANY)
def test_a_mapped_list_answers_like_one_in_memory(listed: list[Title], typed: str) -> None:
    piece = build_piece(listed)
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        path = Path(folder) / "x.index"
        for _ in write_index(piece, path, {}):
            pass
        assert find(Finder([open_index(path)]), typed) == find(Finder([piece]), typed)


@settings(max_examples=20, deadline=None)
@given(titles())
def test_a_list_written_is_read_back(listed: list[Title]) -> None:
    spaced = [
        Title(one.id, *(" ".join(text.split()) for text in (one.artist, one.title, one.catalogue)))  # type: ignore[arg-type]
        for one in listed
    ]
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        for _ in write_list(Path(folder) / "x.csv", spaced):
            pass
        read = {title.id: title for piece in load_lists(Path(folder)) for title in piece.titles()}
    for title in spaced:
        text = title.artist + title.title
        if title.title and fold(text) and "\0" not in text + title.catalogue:
            assert read[title.id] == title
