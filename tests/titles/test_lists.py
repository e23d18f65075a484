"""The prepared index beside a list."""

import os
from pathlib import Path

import pytest
from found import find, load_lists

from benchtui.base.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.finder import Finder
from benchtui.titles.indexfile import open_index, read_about, write_index
from benchtui.titles.listfile import list_faults
from benchtui.titles.lists import index_path, load_list, load_steps, signature
from benchtui.titles.piece import Piece


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    path = tmp_path / "a.csv"
    path.write_text("artist,title,catalogue\nOdile Vance,Harbour Slates,TW 7\nHarriet Lang,Slow Trawl,TW 8\n")
    return path


def pieces(path: Path) -> list[Piece]:
    return [step.piece for step in load_list(path) if step.piece is not None]


def test_the_index_is_made_once_and_then_only_opened(listed: Path) -> None:
    assert len(list(load_list(listed))) > 1
    assert index_path(listed).exists()
    assert {step.done for step in load_list(listed)} == {1.0}


def test_a_changed_list_is_indexed_again_and_the_old_index_goes(listed: Path) -> None:
    pieces(listed)
    old = index_path(listed)
    listed.write_text("artist,title\nOdile Vance,Other Lights\n")
    assert find(Finder(pieces(listed)), "other")[0].title.title == "Other Lights"
    assert not old.exists()


@pytest.mark.parametrize("size", [0, 5, 200, -8])
def test_a_torn_index_is_made_again(listed: Path, size: int) -> None:
    pieces(listed)
    index = index_path(listed)
    data = index.read_bytes()
    index.write_bytes(data[:size])
    assert read_about(index) is None
    assert find(Finder(pieces(listed)), "slow")[0].title.catalogue == "TW 8"
    assert index.read_bytes() == data


def test_an_index_with_any_byte_changed_is_made_again_before_it_is_searched(listed: Path) -> None:
    pieces(listed)
    index = index_path(listed)
    good = index.read_bytes()
    for place in range(0, len(good), len(good) // 60):
        index.write_bytes(good[:place] + bytes([good[place] ^ 0x5A]) + good[place + 1 :])
        finder = Finder(pieces(listed))
        assert [title.id for piece in finder.besides_lists for title in piece.titles()]
        assert find(finder, "slow")[0].title.catalogue == "TW 8"
        assert find(finder, "TW 7")[0].title.title == "Harbour Slates"


def test_a_mapped_index_answers_as_the_memory_does(
    tmp_path: Path, finder: Finder, rows: tuple[Title, ...]
) -> None:
    piece = finder._pieces[0]
    path = tmp_path / "x.index"
    for _ in write_index(piece, path, {"for": "test"}):
        pass
    mapped = Finder([open_index(path)])
    assert read_about(path) == {"for": "test"}
    for typed in ("lant har", "tlwh", "104", "lantren s", "森", "1967", "brackw", "har"):
        assert find(mapped, typed) == find(finder, typed)
    assert [mapped.by_id(title.id) for title in rows] == list(rows)


def test_an_empty_list_is_no_trouble(tmp_path: Path) -> None:
    (tmp_path / "e.csv").write_text("artist,title\n")
    assert find(Finder(load_lists(tmp_path)), "any") == []
    assert load_lists(tmp_path / "none") == []


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere"
)
def test_in_a_folder_that_cannot_be_written_the_list_is_searched_all_the_same(listed: Path) -> None:
    listed.parent.chmod(0o500)
    try:
        assert find(Finder(pieces(listed)), "slow")
    finally:
        listed.parent.chmod(0o700)


def test_where_the_index_cannot_be_written_the_list_is_searched_all_the_same(
    listed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError("read-only file system")

    monkeypatch.setattr("benchtui.titles.indexfile.os.fsync", refuse)
    assert find(Finder(pieces(listed)), "slow")
    assert not list(listed.parent.glob("*.index"))
    assert not list(listed.parent.glob("*.new"))


def test_a_large_list_is_prepared_in_a_process_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "large.csv"
    path.write_text("artist,title\n" + "".join(f"Maker {no},Opus number {no}\n" for no in range(9_000)))
    monkeypatch.setattr("benchtui.titles.lists.build_steps", None)
    found = [step.piece for step in load_steps(tmp_path) if step.piece is not None]
    assert find(Finder(found), "opus number 8123")[0].title.artist == "Maker 8123"


def test_of_two_lists_the_one_named_later_wins_for_an_id(tmp_path: Path) -> None:
    (tmp_path / "1.csv").write_text("artist,title,id\nOdile Vance,Harbour Slates,x\n")
    (tmp_path / "2.csv").write_text("artist,title,id\nOdile Vance,Harbour Plates,x\n")
    finder = Finder(load_lists(tmp_path))
    assert [hit.title.title for hit in find(finder, "odile")] == ["Harbour Plates"]
    assert finder.by_id("x") == Title("x", "Odile Vance", "Harbour Plates")


def test_the_signature_changes_with_the_lists(listed: Path) -> None:
    before = signature(listed.parent)
    listed.write_text("artist,title\n")
    assert signature(listed.parent) != before


def test_faults_of_a_list_edited_by_hand_are_told_with_their_lines(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("artist,title,first\nA,b,1967\nA,,\nA,b,soon\n")
    assert [(fault.line, fault.what) for fault in list_faults(path)] == [
        (3, "the title is empty"),
        (4, "first 'soon' is not a date; write 1967, 1967-05 or [1966..1968]"),
    ]
    path.write_text("who,what\n")
    assert "no column artist" in list_faults(path)[0].what


def test_a_list_that_cannot_be_read_is_told_once_the_others_are_there(tmp_path: Path) -> None:
    (tmp_path / "1.csv").write_text("who,what\nA,b\n")
    (tmp_path / "2.csv").write_text("artist,title\nOdile Vance,Harbour Plates\n")
    steps = load_steps(tmp_path)
    loaded = next(step.piece for step in steps if step.piece is not None)
    assert find(Finder([loaded]), "odile")
    with pytest.raises(BenchError, match="no column artist"):
        next(steps)


def test_lists_attached_while_typing_are_searched_and_the_later_wins(tmp_path: Path) -> None:
    (tmp_path / "1.csv").write_text("artist,title,id\nOdile Vance,Harbour Slates,x\n")
    (tmp_path / "2.csv").write_text("artist,title,id\nOdile Vance,Harbour Plates,x\n")
    finder = Finder([Title("m", "Harriet Lang", "Slow Trawl")])
    assert [hit.title.id for hit in find(finder, "odile")] == []
    for piece in load_lists(tmp_path):
        finder.attach(piece)
    assert [hit.title.title for hit in find(finder, "odile")] == ["Harbour Plates"]
    finder.detach_lists()
    assert find(finder, "odile") == []
    assert find(finder, "slow")


def test_an_index_damaged_behind_our_back_breaks_no_search(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("artist,title\n" + "".join(f"Vance {no},Harbour {no}\n" for no in range(300)))
    pieces(path)
    index = index_path(path)
    data = bytearray(index.read_bytes())
    for place in range(3_000, len(data), 7):
        data[place] = 0xFF
    index.write_bytes(bytes(data))
    finder = Finder([Title("m", "Harriet Lang", "Slow Trawl")])
    finder.attach(open_index(index))
    for typed in ("harb", "vance 12", "v", "slow", "harbuor"):
        find(finder, typed)
    assert finder.by_id("no such title") is None
    assert [hit.title.id for hit in find(finder, "slow")] == ["m"]
    assert "was damaged" in finder.trouble
    assert len(find(Finder(pieces(path)), "vance 12")) > 1


def test_the_index_of_a_list_that_was_deleted_goes_too(tmp_path: Path) -> None:
    for name in ("keep [1]", "go.away"):
        (tmp_path / f"{name}.csv").write_text("artist,title\nOdile Vance,Harbour Slates\n")
    load_lists(tmp_path)
    assert len(list(tmp_path.glob("*.index"))) == 2
    (tmp_path / "go.away.csv").unlink()
    load_lists(tmp_path)
    assert [path.name.startswith("keep [1].") for path in tmp_path.glob("*.index")] == [True]
