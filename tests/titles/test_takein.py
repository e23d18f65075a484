"""Taking a list in: new, changed, doubtful, refused, and out again."""

from pathlib import Path

import pytest
from found import find, load_lists

from benchtui.base.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.build import build_piece
from benchtui.titles.finder import Finder
from benchtui.titles.lists import undo_take_in
from benchtui.titles.report import Report
from benchtui.titles.takein import TakeIn, take_in

HEAD = "artist,title,catalogue,first,company,country,barcode,channels,size_in,discs\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "shop").mkdir()
    return tmp_path / "shop" / "titles"


def taken(tmp_path: Path, folder: Path, text: str, name: str = "mine.csv", **how: object) -> Report:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return take_in(path, folder, **how)  # type: ignore[arg-type]


def found(folder: Path, typed: str) -> list[Title]:
    return [hit.title for hit in find(Finder(load_lists(folder)), typed)]


def test_a_list_is_taken_in_and_its_titles_are_found(tmp_path: Path, folder: Path) -> None:
    report = taken(
        tmp_path, folder, HEAD + "Odile Vance,Harbour Slates,TW 7,1969,Tarrowick,xv,,stereo,12,2\n"
    )
    assert (report.new, report.lines, report.refused) == (1, 1, [])
    title = found(folder, "odi har")[0]
    assert (title.first, title.country, title.channels, title.size_in, title.discs) == (
        "1969",
        "XV",
        "stereo",
        12,
        2,
    )


def test_the_same_list_again_brings_nothing(tmp_path: Path, folder: Path) -> None:
    text = HEAD + "Odile Vance,Harbour Slates,TW 7,1969,,,,,,\nHarriet Lang,Slow Trawl,TW 8,,,,,,,\n"
    taken(tmp_path, folder, text)
    report = taken(tmp_path, folder, text)
    assert (report.new, report.changed, report.same, report.path) == (0, 0, 2, None)
    assert len(load_lists(folder)) == 1


def test_a_changed_line_is_told_and_blank_cells_take_nothing_away(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + "Odile Vance,Harbour Slates,TW 7,1969,Tarrowick,,,,,\n")
    report = taken(tmp_path, folder, HEAD + "Odile Vance,Harbour Slates,TW 7,1969-05,,XV,,,,\n")
    assert (report.new, report.changed, report.same) == (0, 1, 0)
    title = found(folder, "tw7")[0]
    assert (title.first, title.company, title.country) == ("1969-05", "Tarrowick", "XV")
    assert len(found(folder, "tw7")) == 1


def test_own_column_names_are_mapped(tmp_path: Path, folder: Path) -> None:
    text = "Performer;Name;Nr\nOdile Vance;Harbour Slates;TW 7\n"
    report = taken(
        tmp_path, folder, text, mapping={"performer": "artist", "Name": "title", "Nr": "catalogue"}
    )
    assert report.new == 1
    assert found(folder, "tw7")[0].artist == "Odile Vance"


def test_columns_nothing_is_read_from_are_named(tmp_path: Path, folder: Path) -> None:
    assert taken(tmp_path, folder, "artist,title,mood\nA,Bell,sad\n").unused == ("mood",)


@pytest.mark.parametrize(
    ("text", "mapping", "says"),
    [
        ("who,what\nA,b\n", {}, "no column artist or title"),
        ("artist,what\nA,b\n", {}, "no column title"),
        ("artist,what\nA,b\n", {"other": "title"}, "no column other"),
        ("artist,what\nA,b\n", {"artist": "title"}, "no column artist"),
        ("artist,what\nA,b\n", {"what": "name"}, "name is not one of our columns"),
    ],
)
def test_a_header_that_does_not_fit_is_refused_and_nothing_is_written(
    tmp_path: Path, folder: Path, text: str, mapping: dict[str, str], says: str
) -> None:
    with pytest.raises(BenchError, match=says):
        taken(tmp_path, folder, text, mapping=mapping)
    assert not folder.exists()


NEARLY = HEAD + "Odile Vance,Harbor Slates,TW 7,1969,,,5012345678900,,,\n"


@pytest.mark.parametrize(
    ("rule", "titles"),
    [
        ("keep", {"Harbour Slates", "Harbor Slates"}),
        ("merge", {"Harbour Slates"}),
        ("skip", {"Harbour Slates"}),
    ],
)
def test_a_near_duplicate_is_treated_by_the_rule(
    tmp_path: Path, folder: Path, rule: str, titles: set[str]
) -> None:
    taken(tmp_path, folder, HEAD + "Odile Vance,Harbour Slates,TW 7,1969,,,,,,\n")
    report = taken(tmp_path, folder, NEARLY, doubtful=rule)
    assert [(doubt.line, doubt.title.title, doubt.other.title) for doubt in report.doubts] == [
        (2, "Harbor Slates", "Harbour Slates")
    ]
    assert {title.title for title in found(folder, "vance")} == titles
    barcodes = {title.barcode for title in found(folder, "vance")}
    assert ("5012345678900" in barcodes) == (rule != "skip")


def test_a_screen_decides_each_doubt_by_itself(tmp_path: Path, folder: Path) -> None:
    path = tmp_path / "two.csv"
    rows = (
        "Odile Vance,Harbour Slates",
        "Odile Vance,Harbor Slates",
        "Harriet Lang,Slow Trawl",
        "Harriet Lang,Slow Trawls",
    )
    path.write_text("artist,title\n" + "\n".join(rows) + "\n")
    taking = TakeIn(path, folder)
    shares = list(taking.reading())
    assert shares == sorted(shares)
    assert [doubt.line for doubt in taking.doubts] == [3, 5]
    taking.decide(0, "merge")
    assert taking.undecided() == [1]
    taking.decide(1, "keep")
    assert list(taking.writing())[-1] == 1.0
    assert (taking.report.new, taking.report.merged, taking.report.kept) == (3, 1, 1)
    assert [title.title for title in found(folder, "slow tr")] == ["Slow Trawl", "Slow Trawls"]
    assert [title.title for title in found(folder, "vance harb")] == ["Harbour Slates"]


def test_merging_into_a_title_that_was_itself_merged_ends_in_one_title(tmp_path: Path, folder: Path) -> None:
    rows = ("Odile Vance,Harbour Slates,", "Odile Vance,Harbor Slates,", "Odile Vance,Harbor Slate,TW 7")
    report = taken(tmp_path, folder, "artist,title,catalogue\n" + "\n".join(rows) + "\n", doubtful="merge")
    assert (report.new, report.merged) == (1, 2)
    assert [(title.title, title.catalogue) for title in found(folder, "vance")] == [
        ("Harbour Slates", "TW 7")
    ]


def test_parts_of_a_series_are_no_duplicates(tmp_path: Path, folder: Path) -> None:
    rows = "".join(f"Marble Quartet,Evening Concert Vol. {no},TW {no}00\n" for no in ("1", "2", "11"))
    named = "".join(f"Marble Quartet,Winter Tales Volume {no},\n" for no in ("One", "Two", "Three"))
    roman = "".join(f"Marble Quartet,Night Music {no},\n" for no in ("I", "II", "III"))
    report = taken(tmp_path, folder, "artist,title,catalogue\n" + rows + named + roman)
    assert (report.new, report.doubts) == (9, [])


def test_one_catalogue_number_on_two_titles_is_doubtful(tmp_path: Path, folder: Path) -> None:
    report = taken(tmp_path, folder, "artist,title,catalogue\nA Bell,One,TW 1041\nC Dorn,Other,tw-1041\n")
    assert [doubt.why for doubt in report.doubts] == ["same catalogue number"]
    assert report.new == 2


def test_a_line_repeated_fills_in_what_the_first_left_blank(tmp_path: Path, folder: Path) -> None:
    report = taken(tmp_path, folder, HEAD + "A Bell,One,TW 1,,,,,,,\nA BELL,one,tw1,1967,,,,,,\n")
    assert (report.new, [(one.line, one.say) for one in report.repeats]) == (
        1,
        [(3, "the same as line 2")],
    )
    assert found(folder, "tw1")[0].first == "1967"


def test_titles_known_from_a_book_are_compared_too(tmp_path: Path, folder: Path) -> None:
    known = [build_piece([Title("b-1", "Odile Vance", "Harbour Slates", pressings=3, book="q")])]
    report = taken(
        tmp_path, folder, "artist,title\nOdile Vance,Harbour Slate\n", known=known, doubtful="merge"
    )
    assert (report.new, report.merged) == (0, 1)


def test_refused_lines_are_named_and_the_rest_is_in(tmp_path: Path, folder: Path) -> None:
    broken = (
        'A,"open,,,,,,,,',
        "A",
        "Z,,TW 5",
        "=HYPERLINK(1),T,,,,,,,,",
        "X,=1+1,,,,,,,,",
        f"A,{'x' * 600},,,,,,,,",
    )
    good = "B Carr,Fine Day,TW 9,,,,,,,"
    lines = [line for one in broken for line in (one, good.replace("9", str(len(one))))]
    report = taken(tmp_path, folder, HEAD + "\n".join(lines) + "\n")
    assert [note.line for note in report.refused] == [2, 4, 6, 8, 10, 12]
    assert [note.say for note in report.refused][1:5] == [
        "1 cells, but the header has 10",
        "the title is empty",
        "artist is a formula (=HYPERLINK(1)); write its text",
        "title is a formula (=1+1); write its text",
    ]
    assert report.new == len({len(one) for one in broken})


def test_a_cell_that_cannot_be_used_is_left_out_and_named(tmp_path: Path, folder: Path) -> None:
    report = taken(tmp_path, folder, HEAD + "A Bell,One,TW 1,some day,,,5012345678901,quad,huge,0\n")
    assert report.new == 1
    said = " ".join(note.say for note in report.left_out)
    assert all(word in said for word in ("first", "channels", "size_in", "discs", "check digit"))
    title = found(folder, "tw1")[0]
    assert (title.first, title.channels, title.size_in, title.discs) == ("", "", None, 1)


def test_a_guarded_text_cell_comes_and_goes_unchanged(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, "artist,title\n'-Vance,'=Lights\n'@one,+two\n")
    assert {(title.artist, title.title) for piece in load_lists(folder) for title in piece.titles()} == {
        ("-Vance", "=Lights"),
        ("@one", "+two"),
    }


def test_the_last_list_is_taken_out_again_as_a_whole(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + "Odile Vance,Harbour Slates,TW 7,1969,,,,,,\n")
    taken(
        tmp_path,
        folder,
        HEAD + "Odile Vance,Harbour Slates,TW 7,1970,,,,,,\nNew Maker,New Name,TW 8,,,,,,,\n",
    )
    assert undo_take_in(folder).startswith("0002-")
    assert [title.first for title in found(folder, "tw7")] == ["1969"]
    assert not found(folder, "tw8")
    undo_take_in(folder)
    with pytest.raises(BenchError, match="there is no list to undo"):
        undo_take_in(folder)


def test_stopping_while_it_reads_writes_nothing(tmp_path: Path, folder: Path) -> None:
    rows = "".join(f"Maker {no},Name {no}\n" for no in range(1000))
    seen: list[float] = []
    taken(tmp_path, folder, "artist,title\n" + rows, progress=seen.append, stop=lambda: len(seen) > 2)
    assert len(seen) == 3
    assert not folder.exists()


def test_of_many_lines_with_a_hundred_broken_the_rest_is_in_and_the_hundred_are_named(
    tmp_path: Path, folder: Path
) -> None:
    lines = [f"Maker {no % 97},Opus {no} of {no % 31},ZQ {no}" for no in range(2_000)]
    broken = {no: ('"open', "x,y,z,w", 'a,"b"c,d,e')[no % 3] for no in range(7, 2_000, 20)}
    path = [broken.get(no, line) for no, line in enumerate(lines)]
    report = taken(tmp_path, folder, "artist,title,catalogue\n" + "\n".join(path) + "\n")
    assert len(broken) == 100
    assert [note.line for note in report.refused] == [no + 2 for no in broken]
    assert report.new == 1_900


def test_two_lists_taken_in_at_once_do_not_overwrite_each_other(tmp_path: Path, folder: Path) -> None:
    takings = []
    for name in ("one", "two"):
        path = tmp_path / f"{name}.csv"
        path.write_text(f"artist,title\nOdile Vance,Name {name}\n")
        takings.append(TakeIn(path, folder))
    for taking in takings:
        for _ in taking.reading():
            pass
    writing = [taking.writing() for taking in takings]
    for steps in writing:
        next(steps)
    for steps in writing:
        for _ in steps:
            pass
    assert sorted(path.name for path in folder.glob("*.csv")) == ["0001-one.csv", "0002-two.csv"]
    assert not list(folder.glob("*.taking"))


# -- alike in words and number, and yet two titles ------------------------------------------------


ALIKE = (
    "Odile Vance,Harbour Slates,TW 7,1969,Tarrowick,XV,,mono,12,",
    "Odile Vance,Harbour Slates,TW 7,1974,Tarrowick,XV,,mono,12,",
    "Odile Vance,Harbour Slates,TW 7,1969,Brackwater,XV,,mono,12,",
    "Odile Vance,Harbour Slates,TW 7,1969,Tarrowick,XW,,mono,12,",
    "Odile Vance,Harbour Slates,TW 7,1969,Tarrowick,XV,,mono,7,",
    "Odile Vance,Harbour Slates,TW 7,1969,Tarrowick,XV,,stereo,12,",
)


def test_rows_that_differ_in_year_company_country_size_or_channels_are_titles_of_their_own(
    tmp_path: Path, folder: Path
) -> None:
    report = taken(tmp_path, folder, HEAD + "\n".join(ALIKE) + "\n")
    assert (report.new, report.repeats, report.doubts) == (len(ALIKE), [], [])
    assert len({title.id for title in load_lists(folder)[0].titles()}) == len(ALIKE)


def test_the_same_rows_again_in_another_order_bring_nothing(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + "\n".join(ALIKE) + "\n")
    report = taken(tmp_path, folder, HEAD + "\n".join(reversed(ALIKE)) + "\n")
    assert (report.new, report.changed, report.same, report.doubts) == (0, 0, len(ALIKE), [])


def test_one_row_of_them_later_is_the_one_it_was(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + "\n".join(ALIKE) + "\n")
    for row in ALIKE:
        report = taken(tmp_path, folder, HEAD + row + "\n")
        assert (report.new, report.changed, report.same) == (0, 0, 1), row


@pytest.mark.parametrize("row", ALIKE[1:2] + ALIKE[5:])
def test_another_year_or_other_channels_in_another_list_are_asked_about(
    tmp_path: Path, folder: Path, row: str
) -> None:
    taken(tmp_path, folder, HEAD + ALIKE[0] + "\n")
    report = taken(tmp_path, folder, HEAD + row + "\n")
    assert [doubt.why for doubt in report.doubts] == ["same title and number, another year or channels"]
    assert (report.new, report.kept) == (1, 1)


@pytest.mark.parametrize("row", ALIKE[2:5])
def test_another_company_country_or_size_in_another_list_is_another_title_unasked(
    tmp_path: Path, folder: Path, row: str
) -> None:
    taken(tmp_path, folder, HEAD + ALIKE[0] + "\n")
    report = taken(tmp_path, folder, HEAD + row + "\n")
    assert (report.new, report.changed, report.same, report.doubts) == (1, 0, 0, [])


def test_two_rows_that_would_both_fit_a_known_bare_one_take_it_once(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + "Odile Vance,Harbour Slates,TW 7,,,,,,,\n")
    report = taken(tmp_path, folder, HEAD + ALIKE[0] + "\n" + ALIKE[1] + "\n")
    assert (report.new, report.changed) == (1, 1)
    assert sorted(title.first for title in found(folder, "tw7")) == ["1969", "1974"]


def test_rows_in_are_rows_told(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + ALIKE[0] + "\nHarriet Lang,Slow Trawl,TW 8,,,,,,,\n")
    rows = [
        *ALIKE,
        ALIKE[0],
        "Odile Vance,Harbor Slates,TW 9,,,,,,,",
        "Odile Vance,,TW 10,,,,,,,",
        "Harriet Lang,Slow Trawl,TW 8,1967,,,,,,",
    ]
    report = taken(tmp_path, folder, HEAD + "\n".join(rows) + "\n", doubtful="merge")
    told = report.new + report.changed + report.same + len(report.repeats) + len(report.refused)
    assert told + report.merged + report.skipped == report.lines == len(rows)


def test_each_of_them_shows_in_the_answer_with_what_tells_it_apart(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + "\n".join(ALIKE) + "\n")
    hits = find(Finder(load_lists(folder)), "harbour lights")
    shown = {(hit.title.first, hit.apart) for hit in hits}
    assert shown == {
        ("1969", 'Tarrowick  XV  12"  mono'),
        ("1974", 'Tarrowick  XV  12"  mono'),
        ("1969", 'Brackwater  XV  12"  mono'),
        ("1969", 'Tarrowick  XW  12"  mono'),
        ("1969", 'Tarrowick  XV  7"  mono'),
        ("1969", 'Tarrowick  XV  12"  stereo'),
    }


def test_titles_that_differ_in_a_sign_only_are_both_shown(tmp_path: Path, folder: Path) -> None:
    taken(tmp_path, folder, HEAD + "Odile Vance,Harbour Slates,,,,,,,,\n")
    taken(tmp_path, folder, HEAD + "Odile Vance,Harbour Slates!,TW 9,,,,,,,\n", name="other.csv")
    assert {title.title for title in found(folder, "harbour lights")} == {"Harbour Slates", "Harbour Slates!"}


def test_a_name_in_capitals_above_rows_is_their_company_and_what_is_known_already_is_the_same(
    tmp_path: Path,
) -> None:
    path = tmp_path / "list.csv"
    path.write_text(
        "Artist,Title,Number,Year,Sound\nLORRIMER.,,,,\nAda Voss,Swell Pedal,LR 204,1959,mono\n"
        "Ben Holt,Sunday Hats,LR 219,1960,mono\nAlso (no number):,,,,\nCy Marl,Left Luggage,,1961,\n"
    )
    mine = Title(
        id="t-1", artist="Ada Voss", title="Swell Pedal", catalogue="LR 204", first="1959", channels="mono"
    )
    report = take_in(path, tmp_path / "titles", known=[build_piece([mine])])
    assert (report.new, report.same, report.doubts, report.refused) == (2, 1, [], [])
    assert [note.line for note in report.headings] == [2, 5]
    assert report.path is not None
    rows = report.path.read_text("utf-8")
    assert "Sunday Hats,LR 219,1960,Lorrimer" in rows
    assert "Left Luggage,,1961,," in rows
