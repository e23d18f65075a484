"""A title list is taken in on the bench: near-duplicates decided by one key each, the report, and out again."""

import json
from pathlib import Path

import pytest
from bench_hands import Hands, Sit
from seen import page_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.desk.core.page_parts import IN_SECTION, Table
from benchtui.desk.core.pages import view_now
from benchtui.desk.keyboard.key_line import wanted, word
from benchtui.desk.queue.background import load_on, work_on
from benchtui.model.title import Title
from benchtui.titles.lists import lists_in

HEADER = "artist,title,catalogue,first\n"
PLAIN = HEADER + "Nan Orrick,Tide Tables,NO 1,1971\nNan Orrick,Weir Songs,NO 2,1972\n"
LIKE = (
    HEADER
    + "The Orrindales,The Salt Almanak,TW 528,1969\nNan Orrick,Tide Tables,NO 1,1971\n"
    + "Nan Orrick,Tide Tabels,,\n,,,\nNan Orrick,,NO 9,\n"
)


@pytest.fixture
def page(empty: Hands) -> Hands:
    """On the page of all parcels, before any parcel is open."""
    while load_on(empty.desk):
        pass
    return (
        empty if empty.desk.open.page and empty.desk.open.page.name == "parcels" else empty.do("parcels-page")
    )


def _offer(hands: Hands, tmp_path: Path, text: str | bytes, name: str = "their list.csv") -> Hands:
    path = tmp_path / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return hands.do("parcels-titles").enter(str(path))


def _work(hands: Hands) -> Hands:
    """What the app does between the keys, to its end."""
    while work_on(hands.desk):
        pass
    return hands


def _previewed(hands: Hands, tmp_path: Path, text: str | bytes = PLAIN) -> Hands:
    return _work(_offer(hands, tmp_path, text))


def _taken(hands: Hands, tmp_path: Path, text: str = PLAIN) -> Hands:
    return _work(_previewed(hands, tmp_path, text).do("page-enter"))


def _shown(hands: Hands, width: int = 78, height: int = 30) -> str:
    return text_of(page_rows(hands.desk, width, height, FANCY))


def _ids(hands: Hands, typed: str) -> set[str]:
    """Names of the titles found whose letters are all there: slips do not count here."""
    hits = [[], *hands.desk.finder.steps(typed, 40)][-1]
    return {hit.title.title for hit in hits if all(word in _plain(hit.title) for word in typed.split())}


def _plain(title: Title) -> str:
    return f"{title.artist} {title.title}".casefold()


def _lists(hands: Hands) -> list[str]:
    return [path.name for path in lists_in(hands.desk.shop.path / "titles")]


def test_a_list_without_doubts_is_in_at_once_and_its_titles_are_found(page: Hands, tmp_path: Path) -> None:
    before = _lists(page)
    _taken(page, tmp_path)
    assert page.desk.open.page is not None
    assert page.desk.open.page.name == "taken"
    assert "2 lines: 2 new" in " ".join(_shown(page).split())  # the folder's name may fill the line
    assert _ids(page, "orrick tab") == {"Tide Tables"}
    assert len(_lists(page)) == len(before) + 1
    page.do("page-leave")
    assert page.desk.open.page.name == "parcels"


def test_it_is_read_in_steps_and_how_far_it_is_stands_on_the_page(page: Hands, tmp_path: Path) -> None:
    rows = "".join(f"Nan Orrick,Tide Tables volume {n},NO {n},\n" for n in range(700))
    _offer(page, tmp_path, HEADER + rows)
    shares = []
    while work_on(page.desk):
        assert page.desk.open.page is not None
        shares.append(float(page.desk.open.page.data.get("done", 1.0)))
        assert "%" in _shown(page)
    assert len(shares) > 8
    assert 0 <= min(shares) < 0.5 < max(shares)


@pytest.mark.parametrize("steps", [1, 4, 8, 12, 20])
def test_escape_stops_it_wherever_it_is_and_nothing_is_kept(page: Hands, tmp_path: Path, steps: int) -> None:
    before = _lists(page)
    rows = "".join(f"Nan Orrick,Tide Tables volume {n},NO {n},\n" for n in range(700))
    _offer(page, tmp_path, HEADER + rows)
    for _ in range(steps):
        if not work_on(page.desk):
            page.do("page-enter")
    assert page.desk.open.page is not None
    page.do("page-leave")
    _work(page)
    assert _lists(page) == before
    assert "nothing of their list.csv is taken in" in page.said
    assert _ids(page, "orrick tab") == set()
    assert page.desk.open.page.name == "parcels"


def test_before_anything_is_taken_in_its_columns_first_rows_and_what_is_new_are_shown(
    page: Hands, tmp_path: Path
) -> None:
    before = _lists(page)
    text = "Künstler;Titel;Nr;Jahr;Zustand\nNan Orrick;Tide Tables;NO 1;c1971;VG\n;;;;\nNan Orrick;;NO 9;1972;VG\n"
    _previewed(page, tmp_path, text)
    shown = _shown(page, 100, 36)
    assert "2 lines: 1 new, 0 changed, 0 the same, 0 repeated, 0 doubtful, 1 refused" in shown
    rows = [line.split() for line in shown.splitlines()]
    assert ["Künstler", "artist", "Nan", "Orrick"] in rows
    assert ["Zustand", "not", "used", "VG"] in rows
    assert any(row[:6] == ["2", "Nan", "Orrick", "Tide", "Tables", "NO"] for row in rows)
    assert "line 4: refused: the title is empty" in shown
    assert _lists(page) == before
    assert (wanted(page.desk)[0], word(page.desk, "page-enter")) == ("page-enter", "take it in")
    page.do("page-enter")
    assert "0%" in _shown(page), "drawn between the key and the first step of the work"
    _work(page)
    assert _ids(page, "orrick tab") == {"Tide Tables"}


@pytest.mark.parametrize(("typed", "section"), [("line 4", "first"), ("line 9", "found")])
def test_the_preview_goes_to_a_line_by_its_number(
    page: Hands, tmp_path: Path, typed: str, section: str
) -> None:
    rows = "".join(f"Osier Choir,Weir {n},MS {n}\n" for n in range(2, 9))
    _previewed(page, tmp_path, f"artist,title,number\n{rows},,MS 90\n")
    page.do("page-find").enter(typed)
    assert page.desk.open.page is not None
    name, _, line = page.desk.open.page.data["wanted"].partition(IN_SECTION)
    assert name == section
    view = view_now(page.desk)
    assert view is not None
    part = next(one for one in view.sections if one.name == name)
    told = str(part.rows[int(line)].cells if isinstance(part, Table) else part.lines[int(line)].words)
    assert typed.removeprefix("line ") in told


def test_the_preview_left_by_escape_takes_nothing_in(page: Hands, tmp_path: Path) -> None:
    before = _lists(page)
    _previewed(page, tmp_path).do("page-leave")
    assert page.desk.open.page is not None
    assert page.desk.open.page.name == "parcels"
    assert "nothing of their list.csv is taken in" in page.said
    assert _lists(page) == before
    assert _ids(page, "orrick tab") == set()


def test_a_guessed_encoding_is_shown_with_lines_and_may_be_said_otherwise(
    page: Hands, tmp_path: Path
) -> None:
    rows = "".join(f"Søren Ågård,Månelys over øen {no},NO {no}\n" for no in range(9))
    _previewed(page, tmp_path, ("artist,title,catalogue\n" + rows).encode("cp850"))
    assert "encoding guessed" in _shown(page, 100, 60)
    _work(page.do("incoming-encoding").enter("cp850"))
    shown = _shown(page, 100, 60)
    assert "read as cp850" in shown
    assert "Månelys over øen 0" in shown
    _work(page.do("incoming-encoding").enter("no-such-letters"))
    assert page.refused
    assert page.desk.open.line is not None
    assert page.desk.open.line.text == "no-such-letters"
    _work(page.do("line-leave", "page-enter"))
    assert _ids(page, "månelys") >= {"Månelys over øen 0"}


def test_a_list_that_names_no_column_asks_which_is_which(page: Hands, tmp_path: Path) -> None:
    line = _offer(page, tmp_path, "Tide Tables,Nan Orrick\nWeir Songs,Bo Trell\n").desk.open.line
    assert line is not None
    assert (line.name, "1 Tide Tables, 2 Nan Orrick" in line.about) == ("titles-columns", True)
    json.dumps(line.data)  # it is saved with the line
    _work(page.enter("1=title,2=artist"))
    assert "2 lines: 2 new" in _shown(page)


STRANGE = (
    "artist,title,country\nNan Orrick,Tide Tables,Ulmary\nNan Orrick,Weir Songs,Ulmary\n"
    "Nan Orrick,Quay,Ostrava Land\n"
)


def test_countries_nobody_knows_are_asked_about_once_each(page: Hands, tmp_path: Path) -> None:
    _previewed(page, tmp_path, STRANGE)
    line = page.do("page-enter").desk.open.line
    assert line is not None
    assert (line.label, line.about[:7]) == ("which country is 'Ulmary'", "2 lines")
    json.dumps(line.data)
    page.enter("nowhere at all")
    assert page.refused
    line.text = ""
    _work(page.enter("XV").enter())
    assert "Quay" in _shown(page), "the preview is made anew"
    _work(page.do("page-enter"))
    found = {hit.title.title: hit.title.country for hit in [[], *page.desk.finder.steps("orrick", 40)][-1]}
    assert (found["Weir Songs"], found["Quay"]) == ("XV", "")


def test_a_column_is_said_on_the_bench_and_the_preview_made_anew(page: Hands, tmp_path: Path) -> None:
    _previewed(page, tmp_path, "artist,title,who knows\nNan Orrick,Tide Tables,NO 1\n")
    assert "not used" in _shown(page)
    _work(page.do("incoming-columns").enter("who knows=catalogue"))
    assert "not used" not in _shown(page)
    _work(page.do("page-enter"))
    assert [hit.title.catalogue for hit in [[], *page.desk.finder.steps("orrick tab")][-1]][:1] == ["NO 1"]


def test_a_table_of_pressings_offered_as_a_title_list_is_told(page: Hands, tmp_path: Path) -> None:
    rows = "Nan Orrick,Tide Tables,1961,1963,plum\n,,1964,1966,olive\n"
    _previewed(page, tmp_path, "artist,title,made,to,colour\n" + rows)
    assert "made, to: a table of pressings? . 'take in a table' reads one" in _shown(page)
    page.do("page-leave")
    _previewed(
        page, tmp_path, "artist,title,year\nNan Orrick,Tide Tables,1961\nNan Orrick,Tide Tables,1961\n"
    )
    assert "a table of pressings?" not in _shown(page)


def test_what_a_second_list_changes_is_said_before(page: Hands, tmp_path: Path) -> None:
    _taken(page, tmp_path).do("page-leave")
    _previewed(page, tmp_path, HEADER.replace("first", "company") + "Nan Orrick,Tide Tables,NO 1,Tarrowick\n")
    shown = _shown(page, 100, 36)
    assert "0 new, 1 changed" in shown
    assert "line 2: changed: Nan Orrick - Tide Tables - NO 1: company nothing is now Tarrowick" in shown


def test_near_duplicates_stand_side_by_side_with_what_differs(page: Hands, tmp_path: Path) -> None:
    _taken(page, tmp_path, LIKE)
    shown = _shown(page)
    assert "2 of 2 to decide" in shown
    assert "The Salt Almanak" in shown
    assert "The Salt Almanac" in shown
    row = next(line for line in shown.splitlines() if line.strip().startswith("title "))
    assert "Salt Almanak" in row
    assert "Salt Almanac" in row, "on one line, side by side"
    assert wanted(page.desk)[:4] == ["doubtful-merge", "doubtful-keep", "doubtful-skip", "doubtful-rest"]


def test_a_merged_title_is_found_once_and_the_other_is_kept_as_said(page: Hands, tmp_path: Path) -> None:
    _taken(page, tmp_path, LIKE).do("doubtful-merge")
    assert "1 to decide" in page.said
    _work(page.do("doubtful-keep"))
    assert page.desk.open.page is not None
    assert page.desk.open.page.name == "taken"
    assert _ids(page, "salt al") == {"The Salt Almanac"}
    assert _ids(page, "orrick tab") == {"Tide Tables", "Tide Tabels"}
    shown = _shown(page)
    assert "1 kept, 1 merged, 0 skipped" in shown
    assert "line 6: refused" in shown, "what was refused, and why"


def test_a_skipped_title_is_left_out(page: Hands, tmp_path: Path) -> None:
    _work(_taken(page, tmp_path, LIKE).do("doubtful-skip", "doubtful-skip"))
    assert _ids(page, "orrick tab") == {"Tide Tables"}
    assert "0 kept, 0 merged, 2 skipped" in _shown(page)


def test_the_fourth_key_decides_all_the_rest_like_the_last(page: Hands, tmp_path: Path) -> None:
    rows = "".join(f"Nan Orrick,Tide Tables {word},,\n" for word in ("ashore", "inland", "upriver"))
    slips = rows.replace("Tables", "Tabels")
    _taken(page, tmp_path, HEADER + rows + slips)
    assert page.desk.open.page is not None
    assert page.desk.open.page.name == "doubtful"
    count = page.desk.open.page.data["lines"]
    assert count == 3
    _work(page.do("doubtful-skip", "doubtful-rest"))
    assert f"0 kept, 0 merged, {count} skipped" in _shown(page)


def test_the_arrows_go_back_to_one_decided_and_it_may_be_decided_otherwise(
    page: Hands, tmp_path: Path
) -> None:
    _taken(page, tmp_path, LIKE).do("doubtful-skip", "page-up", "doubtful-merge")
    assert page.desk.open.page is not None
    assert page.desk.open.page.data["chosen"] == {0: "merge"}
    _work(page.do("doubtful-keep"))
    assert "1 kept, 1 merged" in _shown(page)


def test_taken_in_it_can_be_taken_out_again_as_a_whole(page: Hands, tmp_path: Path) -> None:
    before = _lists(page)
    _taken(page, tmp_path).do("parcels-undo-list")
    assert page.desk.open.menu is not None
    assert "their-list" in page.desk.open.menu.title
    _work(page.key("t"))
    assert _lists(page) == before
    assert _ids(page, "orrick tab") == set()
    assert _ids(page, "salt al"), "the books' titles are still there"


def test_taking_it_out_is_asked_first(page: Hands, tmp_path: Path) -> None:
    _taken(page, tmp_path).do("parcels-undo-list").key("n")
    assert _ids(page, "orrick tab") == {"Tide Tables"}


def test_where_no_list_was_taken_in_none_can_be_taken_out(page: Hands) -> None:
    for path in lists_in(page.desk.shop.path / "titles"):
        path.unlink()
    page.do("parcels-undo-list")
    assert page.refused
    assert page.desk.open.menu is None


@pytest.mark.parametrize(
    "text", ["", "who,what\nNan,Tide\n", "artist\nNan\n", "artist,title\n" + "x" * 9 + "\0,y\n" * 3]
)
def test_a_list_that_cannot_be_read_says_so_and_changes_nothing(
    page: Hands, tmp_path: Path, text: str
) -> None:
    before = _lists(page)
    _work(_offer(page, tmp_path, text))
    assert page.refused or "refused" in _shown(page)
    assert _ids(page, "orrick tide") == set()
    assert len(_lists(page)) <= len(before) + 1


def test_a_path_that_is_not_there_is_refused_and_the_text_kept(page: Hands) -> None:
    page.do("parcels-titles").enter("nowhere/at-all.csv")
    assert page.refused
    assert page.desk.open.line is not None
    assert page.desk.open.line.text == "nowhere/at-all.csv"


def test_lists_are_taken_in_on_the_page_of_all_parcels_only(parcel: Hands) -> None:
    parcel.do("line-leave", "help", "parcels-titles")
    assert parcel.refused
    assert parcel.desk.open.line is None


def test_the_keys_of_the_doubtful_say_where_they_work(parcel: Hands) -> None:
    for action in ("doubtful-merge", "doubtful-keep", "doubtful-skip", "doubtful-rest"):
        parcel.do("line-leave") if parcel.desk.open.line else None
        parcel.do("parcels-page", action)
        assert parcel.refused
        assert "doubtful" in parcel.said


def test_the_lists_are_there_at_the_next_start(page: Hands, tmp_path: Path, sit: Sit) -> None:
    _taken(page, tmp_path)
    path = page.desk.shop.path
    page.leave()
    again = sit(path)
    while load_on(again.desk):
        pass
    assert _ids(again, "orrick tab") == {"Tide Tables"}
