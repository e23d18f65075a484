"""Tables of pressings into a book and out of it: what is placed, asked and refused; nothing half; undone exactly."""

import csv
import io
import random
import re
from itertools import pairwise
from typing import Any

import pytest
from untidy import columns, write_untidy

from benchtui.base.errors import BenchError
from benchtui.books.check import check_books
from benchtui.books.edit import edited
from benchtui.knowledge.asked import decisions_of
from benchtui.knowledge.brackets import brackets_of
from benchtui.knowledge.columns import Meant
from benchtui.knowledge.heads import Heads
from benchtui.knowledge.plan import Decisions
from benchtui.knowledge.preview import preview_lines
from benchtui.knowledge.put import last_taken, take_out
from benchtui.knowledge.rows import read_table
from benchtui.knowledge.table import csv_text, rows_of_book
from benchtui.titles.fold import fold

HERE = "GBP"
SMALL = """artist,title,number,pressing,from,to,Rim,Poster
The Osier Choir,Crooked Weir,MS 7,first,1961,1963,thick,yes
,,,second,1964,,"thin, rarely thick",-
Wicket Trio,Early Almanac,MS 9,only,1970,,?,
"""


def words_in(field, plan, made):
    """Each cell's meaning in the book beside what was meant: right, wrong, and not there."""
    library = field.library
    by_name = {fold(f"{one.heading.group} {one.heading.name}"): one.clue for one in plan.columns}
    right = 0
    wrong: list[Any] = []
    missing: list[Any] = []
    titles = {title.title: library.title(title.id) for title in library.titles()}
    for (title, name), said in made.words.items():
        pressing = next(one for one in titles[title].pressings if one.name.lower() == name)
        for column, words in said.items():
            clue = library.clue(by_name[fold(column)].id)
            texts = {
                clue.answer(answer).text.lower(): word
                for answer, word in pressing.expect.get(clue.id, {}).items()
            }
            if texts == {text.lower(): word for text, word in words.items()}:
                right += 1
            else:
                (wrong if texts else missing).append((title, name, column, words, texts))
    return right, wrong, missing


def test_a_heading_over_the_names_of_columns_leaves_fixed_columns_what_they_are(tmp_path):
    header = ["number", "title", "colour", "from", "back", "cuts", "printer", "weight"]
    above = ["", "", "LABEL", "", "COVER", "RUNOUT", "INNER", ""]
    found = Heads(above=[above]).headings(header)
    assert {one.name: one.fixed for one in found if one.fixed} == {
        "number": "number", "title": "title", "from": "from", "cuts": "cuts",
    }  # fmt: skip
    full = [one.full for one in found if not one.fixed]
    assert full == ["LABEL colour", "COVER back", "INNER printer", "INNER weight"]


@pytest.mark.parametrize("heading", ["yrs", "Yr", "year made", "from", "made"])
def test_a_column_of_years_is_read_by_any_of_its_names(field, tmp_path, heading):
    file = tmp_path / "years.csv"
    rows = "Ilva Quend,Nine Kites,BHS 1044,,c1966,1957\nMarsh Quintet,Salt Ledger,BHM 1007,,1957,\n"
    file.write_text(f"artist,title,number,pressing,{heading},share\n{rows}", encoding="utf-8")
    plan = field.plan(file, "mossgate")
    made = [one.fields["period"] for one in plan.pressings]
    assert made == ["[1965-07..1967-06]", "[1957..]" if heading == "from" else "1957"]
    assert [card["first"] for _, card in plan.cards] == ["1966~", "1957"]
    assert ("1 single year in from" in "\n".join(preview_lines(plan))) == (heading == "from")
    assert "line 2: a share above 1000 looks like a year" in preview_lines(plan)


def test_an_untidy_spreadsheet_of_300_pressings_is_placed_and_what_is_not_is_asked(field, tmp_path):
    file = tmp_path / "untidy.xlsx"
    made = write_untidy(file)
    more = {"company": "Mossgate", "country": "XV", "currency": HERE}
    first = field.plan(file, "mossgate", **more)
    assert (len(first.new_titles), first.count("new"), first.count("doubtful")) == (60, 300, 0)
    asked = [column.heading.full for column in first.columns if column.how == "asked"]
    assert {"disc weight", "label sound word"} <= set(map(fold, asked))  # the universal book asks the like
    assert not [column for column in first.columns if column.how == "out"]

    decided = Decisions(Meant({fold(name): "new" for name in asked}))
    plan = field.take(file, "mossgate", decided, **more)
    assert len([one for one in plan.columns if one.how == "new"]) == len(columns()) == 12
    assert sum(one.times for one in plan.unplaced) == pytest.approx(
        made.junk, abs=12
    )  # a rare slip is asked too
    assert {one.text for one in plan.unplaced} >= {"ask Wilf", "photo 12", "see the letter of March"}
    assert [line for line, _ in plan.table.refused] == [309]

    right, wrong, missing = words_in(field, plan, made)
    assert not wrong
    assert len(missing) <= 6, missing  # slips that two answers are as near to
    assert right >= 2_600
    assert check_books([field.shop / "books"]) == []
    title = next(one for one in field.library.titles() if one.pressings)
    pressing = field.library.title(title.id).pressings[0]
    assert pressing.price in (1200, 1850, 2400, 3000)
    spans = {(t.title, p.name.lower()): (p.period.earliest.year, p.period.latest.year)
             for one in field.library.titles() if (t := field.library.title(one.id)) for p in t.pressings if p.period.known}  # fmt: skip
    assert spans == {key: (int(start), int(end)) for key, (start, end) in made.spans.items()}


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_other_untidy_sheets_are_never_placed_wrongly(field, tmp_path, seed):
    file = tmp_path / "untidy.xlsx"
    made = write_untidy(file, seed, titles=25)
    asked = [
        one.heading.full for one in field.plan(file, "mossgate", currency=HERE).columns if one.how == "asked"
    ]
    plan = field.take(
        file, "mossgate", Decisions(Meant({fold(name): "new" for name in asked})), currency=HERE
    )
    right, wrong, missing = words_in(field, plan, made)
    assert not wrong
    assert len(missing) < 0.005 * right


def test_the_same_table_again_changes_nothing(field, tmp_path):
    file = tmp_path / "untidy.xlsx"
    write_untidy(file, titles=20)
    more = {"company": "Mossgate", "currency": HERE}
    asked = [one.heading.full for one in field.plan(file, "mossgate", **more).columns if one.how == "asked"]
    field.take(file, "mossgate", Decisions(Meant({fold(name): "new" for name in asked})), **more)
    again = field.plan(file, "mossgate", **more)
    assert (again.count("found"), again.count("same"), again.count("changed")) == (20, 100, 0)


def test_what_comes_in_is_said_before_and_written_only_then(field):
    plan = field.plan(field.table(SMALL), currency=HERE)
    lines = list(preview_lines(plan))
    assert "2 titles: 0 found, 2 new, 0 doubtful" in lines
    assert "3 pressings: 3 new, 0 changed, 0 the same" in lines
    assert field.texts() == {}


def test_a_merged_title_is_filled_down_and_cells_are_read(field):
    field.take(field.table(SMALL), currency=HERE)
    title = next(title for title in field.library.titles() if title.title == "Crooked Weir")
    first, second = field.library.title(title.id).pressings
    assert first.expect == {"own-rim": {"thick": "always"}, "own-poster": {"yes": "always"}}
    assert second.expect == {
        "own-rim": {"thin": "usually", "thick": "rarely"},
        "own-poster": {"none": "always"},
    }
    assert field.library.clue("own-poster").part == "extra"


def test_undo_takes_out_exactly_what_came(demo_field):
    before = demo_field.texts()
    rows = rows_of_book(demo_field.library, "tarrowick")
    at = rows[0].index("note")
    changed = [
        rows[0],
        *([*row[:at], f"seen by hand, {no}", *row[at + 1 :]] for no, row in enumerate(rows[1:])),
    ]
    changed.append(["New Hands", "Unheard", "TW 999", *[""] * (len(rows[0]) - 3)])
    changed[-1][rows[0].index("pressing")] = "first"
    changed[-1][rows[0].index("price")] = "5"
    plan = demo_field.take(demo_field.table(csv_text(changed)))
    assert (plan.count("changed"), plan.count("new"), len(plan.new_titles)) == (len(rows) - 1, 1, 1)
    assert demo_field.texts() != before
    take_out(demo_field.shop)
    assert demo_field.texts() == before


def test_undo_leaves_what_was_changed_since(field):
    field.take(field.table(SMALL), currency=HERE)
    path = field.shop / "books" / "own.toml"
    title = next(title for title in field.library.titles() if title.title == "Early Almanac")
    with edited(path) as book:
        book.put_title({"id": "mine", "artist": "Me", "title": "Mine"})
        book.change_pressing(title.id, f"{title.id}/only", {"note": "seen on the bench"})
    lines = take_out(field.shop)
    assert "changed since, so it stays" in lines[1]
    with edited(path) as book:
        assert book.title("mine")
        assert book.clue("own-rim") is None
        assert [one for one in book.ids("title") if (book.title(one) or {})["title"] == "Crooked Weir"] == []
    assert last_taken(field.shop) is None
    with pytest.raises(BenchError, match="nothing was taken"):
        take_out(field.shop)


def test_nothing_is_half_taken_in(demo_field, monkeypatch):
    """The second of two books cannot be written: the first is as it was."""
    import os

    before = demo_field.texts()
    rows = rows_of_book(demo_field.library, "tarrowick")
    at = rows[0].index("note")
    changed = [rows[0], *([*row[:at], "x", *row[at + 1 :]] for row in rows[1:3]), ["N", "Unheard", "TW 999"]]
    changed[-1] += [""] * (len(rows[0]) - 3)
    changed[-1][rows[0].index("pressing")], changed[-1][rows[0].index("share")] = "first", "2"
    real, calls = os.replace, []

    def second_fails(*paths):
        if str(paths[1]).endswith(".toml"):
            calls.append(paths)
            if len(calls) == 2:
                raise OSError(28, "No space left on device")
        return real(*paths)

    monkeypatch.setattr(os, "replace", second_fails)
    with pytest.raises(BenchError, match="No space"):
        demo_field.take(demo_field.table(csv_text(changed)))
    assert demo_field.texts() == before
    assert last_taken(demo_field.shop) is None


def test_a_book_out_and_in_again_changes_nothing(demo_field):
    """Its columns have the questions' words; those of an older table their ids, where words do not tell."""
    for head in demo_field.library.books()[1:]:
        rows = rows_of_book(demo_field.library, head.id)
        if len(rows) < 2:
            continue
        assert not {clue.id for clue in demo_field.library.clues()} & set(rows[0])
        if head.id == "tarrowick":
            assert "The label says (tw-says)" in rows[0]
            rows[0] = [re.sub(r".+ \(([a-z]+-[a-z-]+)\)$", r"\1", name) for name in rows[0]]
            assert "tw-says" in rows[0]
        plan = demo_field.plan(demo_field.table(csv_text(rows)), head.id)
        assert plan.empty, list(preview_lines(plan))
        assert plan.count("same") == len(rows) - 1
        assert not plan.unplaced


def test_a_book_taken_into_an_empty_shop_and_out_again_is_the_same_table(demo_field, field, tmp_path):
    """The clues go with it as a book of their own; then titles and pressings come from the table alone."""
    rows = rows_of_book(demo_field.library, "tarrowick")
    file = tmp_path / "out.csv"
    file.write_text(csv_text(rows), encoding="utf-8", newline="")
    fresh = type(field)(tmp_path / "fresh")
    for name in ("ulmary.toml", "tarrowick.toml"):
        without_titles = (demo_field.shop / "books" / name).read_text().partition("\n[[title]]")[0]
        (fresh.shop / "books" / name).write_text(without_titles + "\n", encoding="utf-8")
    fresh.take(file, "tarrowick")
    again = rows_of_book(fresh.library, "tarrowick")
    assert again[1:] == rows[1:]  # the headings may be shorter: fewer clues are about


def test_doubtful_titles_are_asked_and_decided(demo_field):
    title = next(title for title in demo_field.library.titles() if title.book == "tarrowick")
    text = f"artist,title,pressing,share\n{title.artist},{title.title},blue,2\n"
    file = demo_field.table(text)
    plan = demo_field.plan(file)
    assert (plan.count("doubtful"), plan.count("new"), plan.empty) == (1, 0, True)
    same = demo_field.plan(file, decisions=Decisions(doubtful="same"))
    assert (same.titles[0].id, same.count("new")) == (title.id, 1)
    assert len(demo_field.plan(file, decisions=Decisions(titles={2: "new"})).new_titles) == 1
    demo_field.take(file, decisions=Decisions(doubtful="same"))
    assert [one.name for one in demo_field.library.title(title.id).pressings][-1] == "blue"


def test_a_conflict_is_told_and_kept_or_written_as_said(demo_field):
    rows = rows_of_book(demo_field.library, "tarrowick")
    at = rows[0].index("price")
    rows[1][at] = "77.00"
    file = demo_field.table(csv_text(rows))
    plan = demo_field.plan(file, "tarrowick")
    assert [(name, says) for _, (name, _, says) in plan.conflicts] == [("price", "77.00")]
    assert demo_field.plan(file, "tarrowick", Decisions(keep=True)).empty


def test_columns_are_mapped_by_hand(field):
    text = "who,what,Rim,Shelf\nThe Osier Choir,Crooked Weir,thick,A1\nThe Osier Choir,Crooked Weir,thin,A2\n"
    fixed, decisions = decisions_of(["who=artist", "what=title", "Shelf=-"], ["Rim=cover spine"])
    plan = field.take(field.table(text), decisions=decisions, fixed=fixed)
    assert [one.how for one in plan.columns] == ["new"]
    clue = field.library.clue("own-rim")
    assert (clue.part, clue.place) == ("cover", "spine")
    with pytest.raises(BenchError, match="no part"):
        decisions_of([], ["Rim=roof"])
    with pytest.raises(BenchError, match="names no pair"):
        decisions_of(["Rim"], [])


def test_bad_files_and_cells_are_told_in_a_line(field, tmp_path):
    with pytest.raises(BenchError, match="no column is a title's"):
        field.plan(field.table("a,b\n1,2\n"))
    text = "artist,title,pressing,from,price,kind,share\nA,B,first,soon,lots,odd,many\n,C,x,1970,1,,\n"
    plan = field.plan(field.table(text), currency=HERE)
    assert [(one.column, one.text) for one in plan.unplaced] == [
        ("from", "soon"), ("share", "many"), ("price", "lots"), ("kind", "odd")]  # fmt: skip


def test_a_table_of_junk_never_fails(field):
    draw = random.Random(5)
    cells = [
        "",
        "?",
        "-",
        "not",
        "/",
        "a, rarely",
        "=1+1",
        "'",
        '"',
        "x" * 300,
        "1974-1970",
        "\x1b[2J",
        "ß / ",
        "(",
        "always",
    ]
    head = ["artist", "title", "number", "pressing", "from", "to", "share", "price", "channels", "size", "discs", "kind",
            "extras", "cuts", "stems", "Rim", "Label paper", ""]  # fmt: skip
    for no in range(25):
        out = io.StringIO()
        csv.writer(out).writerows([head, *([draw.choice(cells) for _ in head] for _ in range(12))])
        plan = field.plan(field.table(out.getvalue(), f"junk{no}.csv"), currency=HERE)
        assert list(preview_lines(plan))
        field.take(field.table(out.getvalue(), f"junk{no}.csv"), f"junk{no}", currency=HERE)
    assert check_books([field.shop / "books"]) == []


FIGURES = """artist,title,number,pressing,Vinyl gauge (g),Takes,Year seen
The Osier Choir,Crooked Weir,MS 7,first,120,1,1961
,,,second,125 g,2,1962
,,,third,140-150,1,1963
,,,fourth,-,3,1964
,,,fifth,180,2,1965
"""


def test_a_column_of_figures_becomes_brackets_and_years_and_counts_stay_words(field, tmp_path):
    file = tmp_path / "figures.csv"
    file.write_text(FIGURES)
    plan = field.plan(file, "mossgate", company="Mossgate", country="XV", currency=HERE)
    made = {fold(one.heading.name): one.clue for one in plan.columns if one.clue is not None}
    gauge = next(clue for name, clue in made.items() if "gauge" in name)
    assert (gauge.form, gauge.unit) == ("number", "g")
    assert [one.text for one in gauge.answers] == [
        "up to 122 g", "123 to 132 g", "133 to 165 g", "166 g or more", "not there"]  # fmt: skip
    assert {clue.form for clue in made.values() if clue is not gauge} == {"choice"}
    said = [one.fields.get("expect", {}).get(gauge.id) for one in plan.pressings]
    assert said == ["b1", "b2", "b3", gauge.answers[-1].id, "b4"]
    field.take(file, "mossgate", company="Mossgate", country="XV", currency=HERE)
    assert check_books([field.shop / "books"]) == []


@pytest.mark.parametrize(
    ("texts", "units"),
    [(["1961", "1962", "1970"], None), (["1", "2", "3"], None), (["thick", "120"], None), (["120", "120"], None),
     (["1.2 mm", "1,8 mm", "2 mm"], "mm"), ([str(n) for n in range(100, 200, 5)], ""), (["100 g", "2 mm"], None)],
)  # fmt: skip
def test_what_are_figures_and_what_are_names(texts, units):
    found = brackets_of(texts, "x")
    assert (found.unit if found else None) == units
    if found:
        assert len(found.answers) <= 9
        bounds = [(one.low or 0.0, one.high or 0.0) for one in found.answers]
        assert all(one[1] < other[0] for one, other in pairwise(bounds))


def test_a_range_over_two_brackets_is_either_and_a_vague_date_is_reported_as_read(field):
    text = (
        "artist,title,number,pressing,made,Weight\nThe Osier Choir,Crooked Weir,MS 7,first,1967?,140-150\n"
        ",,,second,1962-66,132-140\n,,,third,early 1974,120 g\n"
    )
    plan = field.plan(field.table(text), currency=HERE)
    lines = list(preview_lines(plan))
    assert "line 2: made: read '1967?' as '1967, the ? is not kept'" in lines
    assert "line 4: made: read 'early 1974' as '1974-01..1974-04'" in lines
    assert "line 2: Weight: read '140-150' as '130 to 149 g or 150 to 174 g'" in lines
    assert not any("1962-66" in line or "132-140" in line for line in lines)
    expect = [next(iter(one.fields["expect"].values())) for one in plan.pressings]
    assert expect[0] == {"130-149": "usually", "150-174": "usually"}
    assert expect[1] == "130-149"


TWO = """
[[clue]]
id = "own-edge"
ask = "sleeve edge"
part = "cover"
place = "whole"
companies = ["Mossgate"]
answer = [{ id = "grey", text = "grey", digit = 1 }, { id = "box", text = "grey with box logo", digit = 2 }]

[[clue]]
id = "own-edge-2"
ask = "sleeve edge"
part = "cover"
place = "whole"
companies = ["Quill"]
answer = [{ id = "green", text = "green", digit = 1 }, { id = "blue", text = "blue", digit = 2 }]
"""


def test_where_two_companies_have_a_question_of_the_same_words_the_row_s_company_says_which(field):
    (field.shop / "books" / "two.toml").write_text(f'[book]\nname = "Two"\n{TWO}')
    rows = "A,One,M 1,first,Mossgate,grey\nB,Two,Q 1,first,Quill,green\nC,Three,Q 2,first,Quill,grey\n"
    file = field.table(f"artist,title,number,pressing,company,sleeve edge\n{rows}")
    plan = field.take(file, currency=HERE)
    assert [(one.text, one.line) for one in plan.unplaced] == [("grey", 4)]
    found = {one.title: one for one in field.library.titles()}
    expect = [field.library.title(found[name].id).pressings[0].expect for name in ("One", "Two")]
    assert expect == [{"own-edge": {"grey": "always"}}, {"own-edge-2": {"green": "always"}}]


def test_a_company_without_a_question_of_the_column_s_words_gets_one_of_its_own(field):
    """Its rows went into the other company's question, which is never asked of its records."""
    one = TWO.partition('[[clue]]\nid = "own-edge-2"')[0]
    (field.shop / "books" / "two.toml").write_text(f'[book]\nname = "Two"\n{one}')
    rows = "A,One,M 1,first,Mossgate,grey\nB,Two,Q 1,first,Quill,green\nC,Three,Q 2,first,Quill,grey\n"
    head = "artist,title,number,pressing,company,sleeve edge\n"
    file = field.table(head + rows)
    said = list(preview_lines(field.take(file, currency=HERE)))
    assert "column sleeve edge: the question own-edge (sleeve edge)" in said
    new = "column sleeve edge, rows of Quill: new question about the cover, whole: green, grey"
    assert new in said
    made = next(one for one in field.library.clues() if one.companies == ("Quill",))
    assert (made.ask, made.part, [each.text for each in made.answers]) == (
        "sleeve edge", "cover", ["green", "grey"],
    )  # fmt: skip
    found = {one.title: field.library.title(one.id).pressings[0].expect for one in field.library.titles()}
    assert found["One"] == {"own-edge": {"grey": "always"}}
    assert (found["Two"], found["Three"]) == ({made.id: {"green": "always"}}, {made.id: {"grey": "always"}})
    assert field.plan(file, currency=HERE).empty  # again, the row's company says which
    alone = field.table(f"{head}D,Four,T 1,first,Tollard,red\n")  # of a third company, none of the two there
    field.take(alone, currency=HERE)
    asked = sorted(one.companies for one in field.library.clues() if one.ask == "sleeve edge")
    assert asked == [("Mossgate",), ("Quill",), ("Tollard",)]


def test_a_pressing_without_a_name_is_called_by_its_date_in_words_and_a_month_is_no_day(field):
    """``Mar 74`` made the title first issued on the 1st of March, and a pressing called ``made 1974-03``."""
    rows = (
        "The Osier Choir,Crooked Weir,MS 7,spring 1968\nWicket Trio,Early Almanac,MS 9,Mar 74\n"
        "Wicket Trio,Late Almanac,MS 11,75-\nWicket Trio,Small Almanac,MS 12,c1961\nWicket Trio,Almanac,MS 8,1966\n"
    )
    plan = field.take(field.table("artist,title,number,made\n" + rows))
    assert [one.name for one in plan.pressings] == [
        "made March 1968 to May 1968", "made March 1974", "made 1975 or later", "made about 1961", "made 1966",
    ]  # fmt: skip
    firsts = {title.title: title.first for title in field.library.titles()}
    assert firsts["Crooked Weir"] == "[1968-03..1968-05]"
    assert firsts["Early Almanac"] == "1974-03"
    assert firsts["Late Almanac"] == "1975"
    assert firsts["Almanac"] == "1966"


def test_rows_without_a_name_that_say_one_time_are_named_by_what_tells_them_apart(field):
    """Both were "made 1962", and without a date "pressing 1" and "pressing 2"."""
    rows = "A Wren,Bell Row,PL 9,1962,thick,olive\n,,,1962,thick,plum\nB Tit,Low Row,PL 8,,thin,plum\n,,,,thin,Red\n"
    file = field.table("artist,title,number,made,rim,label colour\n" + rows)
    plan = field.take(file)
    assert [one.name for one in plan.pressings] == ["made 1962, olive", "made 1962, plum", "plum", "Red"]
    again = field.plan(file, currency=HERE)
    assert {one.how for one in again.pressings} == {"same"}, "the same table once more brings nothing"


def test_made_beside_a_column_of_ends_is_the_beginning_also_of_a_row_without_an_end(field):
    """``1962`` with nothing behind it became 1962 alone: a copy of 1964 was none of the pressings."""
    rows = "A Wren,Bell Row,PL 9,1958,1961,4\n,,,1962,,3\nB Tit,Low Row,PL 8,1959-60,,2\n"
    plan = field.plan(field.table("artist,title,number,made,to,price\n" + rows), currency=HERE)
    assert [one.fields["period"] for one in plan.pressings] == ["[1958..1961]", "[1962..]", "[1959..1960]"]
    assert "'made' is the beginning beside a column of ends: from then on in lines 3, 4" in list(
        preview_lines(plan)
    )


def test_a_new_question_of_one_company_s_rows_alone_is_asked_of_its_titles(field):
    rows = "A Wren,Bell Row,PL 9,Mossgate,1961,grey,\n,,,,1964,blue,\nB Tit,Low Row,QF 8,Quill & Reed,1961,grey,thick\n"
    plan = field.plan(
        field.table("artist,title,number,company,made,label colour,rim\n" + rows), currency=HERE
    )
    asked = {one.heading.name: one.clue.companies for one in plan.columns}
    assert asked == {"label colour": (), "rim": ("Quill & Reed",)}


def test_a_column_label_of_which_each_title_has_one_value_is_the_company(field):
    """Company names became answers of a question about the paper on the disc."""
    rows = (
        "A Wren,Bell Row,PL 9,{},1961,grey\n,,,{},1964,blue\nB Tit,Low Row,QF 8,{},1961,grey\n,,,,1966,red\n"
    )
    heads = "artist,title,number,label,made,label colour\n"
    plan = field.plan(field.table(heads + rows.format("Mossgate", "", "Quill & Reed")), currency=HERE)
    assert [one.group.card.company for one in plan.titles] == ["Mossgate", "Quill & Reed"]
    assert "'label' is read as the company: each title has one" in list(preview_lines(plan))
    plan = field.plan(field.table(heads + rows.format("plain", "boxed", "plain")), currency=HERE)
    assert "label" in [one.heading.name for one in plan.columns]


def test_a_column_label_that_names_known_companies_is_the_company_with_one_row_a_title_too(field):
    rows = "A Wren,Bell Row,PL 9,Mossgate,1961\nB Tit,Low Row,QF 8,quill & reed,1961\n"
    file = field.table("artist,title,number,label,made\n" + rows)
    table = read_table(file, companies=["Mossgate", "Quill & Reed"])
    assert [row.fixed["company"] for row in table.rows] == ["Mossgate", "quill & reed"]
    assert "'label' is read as the company: each title has one" in table.told
    assert all("company" not in row.fixed for row in read_table(file).rows)


@pytest.mark.parametrize("sign", [",", ";"])
def test_artist_and_title_in_one_cell_before_others_are_no_plain_lines(field, sign):
    """Number and company went into the title's words."""
    rows = (
        "A Wren - Bell Row,PL 9,Mossgate,1961\nB Tit - Low High,QF 8,Quill & Reed,1962\n"
        "C Owl - Mill,PL 11,Mossgate,1963\n"
    )
    table = read_table(field.table(rows.replace(",", sign)), companies=["Mossgate", "Quill & Reed"])
    told = [
        tuple(row.fixed.get(name) for name in ("artist", "title", "number", "company")) for row in table.rows
    ]
    assert told == [
        ("A Wren", "Bell Row", "PL 9", "Mossgate"),
        ("B Tit", "Low High", "QF 8", "Quill & Reed"),
        ("C Owl", "Mill", "PL 11", "Mossgate"),
    ]
    plain = read_table(
        field.table("A Wren - Bell Row, a Tale (PL 9) 1961\nB Tit - Low, and High (QF 8) 1962\n")
    )
    assert [row.fixed["title"] for row in plain.rows] == ["Bell Row, a Tale", "Low, and High"]


def test_a_pressing_called_first_makes_no_heading_of_its_row(field):
    """The years were read as made, the table once more, and its first row was the heading then."""
    rows = "A Wren,Bell Row,PL 9,first,1967,low\nA Wren,Bell Row,PL 9,second,1972,high\nB Tit,Mill,PL 8,first,1971,low\n"
    table = read_table(field.table(rows))
    assert [row.fixed["title"] for row in table.rows] == ["Bell Row", "Bell Row", "Mill"]
    assert [row.fixed["made"] for row in table.rows] == ["1967", "1972", "1971"]


def test_a_table_without_headings_is_asked_about_where_its_words_are_answers_of_a_question(field):
    """Label colours went in as companies, and nothing was asked."""
    one = TWO.partition('[[clue]]\nid = "own-edge-2"')[0]
    (field.shop / "books" / "two.toml").write_text(f'[book]\nname = "Two"\ncompany = "Mossgate"\n{one}')
    file = field.table(
        "A Wren,Bell Row,PL 9,1966,grey\nA Wren,Bell Row,PL 9,1968,grey with box logo\nB Tit,Low Row,PL 8,1969,grey\n"
    )
    plan = field.plan(file, currency=HERE)
    said = list(preview_lines(plan))
    assert "column 5: a new question, or own-edge (sleeve edge); say which" in said
    assert "'first' is read as made: one title has several years" in said
    assert [(one.how, [clue.id for clue in one.near]) for one in plan.columns] == [("asked", ["own-edge"])]


def test_words_of_a_table_without_headings_are_companies_only_where_the_books_know_them(field):
    """With one row a title its label colours were written as companies, and nothing was asked."""
    rows = "A Wren,Bell Row,PL 9,1966,{}\nB Tit,Low Row,QF 8,1969,{}\n"
    table = read_table(field.table(rows.format("grey", "blue")), companies=["Mossgate", "Quill & Reed"])
    assert [one.fixed for one in table.headings] == ["artist", "title", "number", "first", ""]
    table = read_table(
        field.table(rows.format("Quill & Reed", "mossgate")), companies=["Mossgate", "Quill & Reed"]
    )
    assert [row.fixed["company"] for row in table.rows] == ["Quill & Reed", "mossgate"]


def test_pressed_from_and_pressed_till_are_the_two_ends(field):
    file = field.table("artist,title,number,pressed from,pressed till\nA Wren,Bell Row,PL 9,1959,Sep 1962\n")
    plan = field.plan(file, currency=HERE)
    assert [one.fields["period"] for one in plan.pressings] == ["[1959-01..1962-09]"]


def test_a_column_is_mapped_by_its_question_s_words_and_new_answers_are_told(field):
    """Only the id of a question was taken, and what --new-answers would make was not told."""
    one = TWO.partition('[[clue]]\nid = "own-edge-2"')[0]
    (field.shop / "books" / "two.toml").write_text(f'[book]\nname = "Two"\ncompany = "Mossgate"\n{one}')
    ask = next(clue.ask for clue in field.library.clues() if clue.id == "own-edge")
    file = field.table("artist,title,number,who,made\nA Wren,Bell Row,PL 9,heron,1966\n")
    said = Decisions(Meant({"who": ask.upper()}), add_answers=True)
    told = list(preview_lines(field.plan(file, "two", said, currency=HERE)))
    assert f"column who: the question own-edge ({ask}); new answers: heron" in told
    told = list(preview_lines(field.plan(file, "two", Decisions(Meant({"who": "rim"})), currency=HERE)))
    assert "column who: left out; the question 'rim': no book has it" in told


def test_about_a_year_begins_no_pressing_before_its_title(field):
    """``c1963`` of a title of 1963 reached into 1962, and check called the book that was written wrong."""
    rows = "A Wren,Bell Row,PL 9,1963,one,c1963\nA Wren,Bell Row,PL 9,1963,two,c1966\n"
    plan = field.take(field.table(f"artist,title,number,first,pressing,made\n{rows}"), currency=HERE)
    periods = [one.fields["period"] for one in plan.pressings]
    assert periods == ["[1963-01..1964-06]", "[1965-07..1967-06]"]
    assert check_books([field.shop / "books"]) == []
