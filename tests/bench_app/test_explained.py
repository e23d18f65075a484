"""The help key on any line, list, question or page: every one has its words, and the key takes nothing away."""

import ast
from pathlib import Path

import pytest
from bench_hands import Hands, Sit
from seen import middle_rows, seen

import benchtui.desk as rooms
from benchtui.bench.pieces import FANCY, PLAIN, text_of, width_of
from benchtui.bench.widgets.explained import draw_explained
from benchtui.bench.widgets.keyline import draw_legend
from benchtui.desk.core.desk import Choice
from benchtui.desk.core.learn import learn_all
from benchtui.desk.core.pages import pages
from benchtui.desk.keyboard.meaning import meaning, meanings
from benchtui.desk.keyboard.perform import run
from benchtui.desk.line.fields import FIELDS
from benchtui.desk.line.lines import LINES
from benchtui.desk.look.jumping import all_questions
from benchtui.desk.people.reckoning import RULES_SET
from benchtui.desk.people.sender_terms import TERMS
from benchtui.desk.session import setup

LONGEST = 300


def _shown(hands: Hands, width: int = 80, height: int = 17) -> str:
    return text_of(middle_rows(hands.desk, width, height, FANCY))


def _menu_names() -> list[tuple[str, str]]:
    """File and ``name`` of every list of choices that the desk opens, read from the code."""
    found = []
    for path in sorted(Path(rooms.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Menu":
                named = [word.value for word in node.keywords if word.arg == "name"] + node.args[3:4]
                found.append((path.name, named[0].value if named else ""))  # type: ignore[attr-defined]
    return found


def _choices(hands: Hands) -> tuple[Choice, ...]:
    return hands.desk.open.menu.choices if hands.desk.open.menu is not None else ()


# -- nothing lacks its words -----------------------------------------------------------------------


def test_every_text_line_has_its_words() -> None:
    learn_all()
    assert setup.LINES is LINES
    lacking = [name for name in LINES if not meaning("lines", name)]
    assert lacking == []
    names = [f"field-{field.name}" for field in FIELDS]
    names += [f"terms-{term.name}" for term in TERMS] + [f"rule-{rule.name}" for rule in RULES_SET]
    assert set(names) <= set(LINES)


def test_every_line_that_takes_how_sure_a_date_is_says_what_firm_and_soft_mean() -> None:
    lines = ("ladder-state", "ladder-lane", "new-clue", "grow-answer", "book-clue", "book-cell", "dated")
    assert [name for name in lines if "soft, taken " not in meaning("lines", name)] == []


def test_every_list_of_choices_has_its_words() -> None:
    names = _menu_names()
    assert len(names) >= 15
    assert [(path, name) for path, name in names if not meaning("menus", name)] == []


def test_every_page_has_its_words() -> None:
    assert [kind.id for kind in pages().values() if not kind.words] == []


def test_no_words_are_left_of_what_is_gone_and_none_are_long() -> None:
    learn_all()
    assert set(meanings()["lines"]) <= set(LINES)
    assert set(meanings()["menus"]) == {name for _, name in _menu_names()}
    told = [one for table in meanings().values() for one in table.values() if one]
    for words in [*told, *(kind.words for kind in pages().values())]:
        assert len(words) <= LONGEST, words
        assert words[0].isupper() or words in meanings()["sure"].values(), words


def test_every_question_of_the_demo_says_where_to_look_and_what_each_answer_means(demo: Hands) -> None:
    demo.do("line-leave")
    desk = demo.desk
    found = set()
    for record in [one for one in desk.work.records if one["title"]]:
        desk.work.record_id = record["id"]
        for part, asked, clue in all_questions(desk, record):
            if (clue.id, asked[0]) in found:
                continue
            found.add((clue.id, asked[0]))
            desk.work.part_id, desk.work.side, desk.asking.asked = part["id"], "", asked
            demo.do("explain")
            told = desk.open.explained
            assert told is not None
            assert clue.ask in told.title or (clue.form == "cut" and "runout" in told.title)
            assert told.words[0].startswith(("Look", "Take", "What is scratched"))
            for _, means in told.rows:
                assert not means.endswith(": "), means
            assert all(width_of(line) <= 80 for line in seen(desk, (80, 24)).lines)
            desk.open.explained = None
    assert len(found) > 30


# -- asking ------------------------------------------------------------------------------------------


def test_on_a_question_each_answer_tells_its_dates_and_how_sure_they_are(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label pa")
    breakwater.key("?")
    shown = " ".join(_shown(breakwater, 120, 33).split())
    assert "Label paper? disc, label A" in shown
    assert "Look at the label of the disc: side A." in shown
    assert "made 1967-01 to 1972-02, rarely outside it; easily taken for" in shown
    assert "made from 1984-04 on, certain" in shown
    answers = len(breakwater.record["answers"])
    breakwater.key("4")
    assert breakwater.desk.open.explained is None
    assert len(breakwater.record["answers"]) == answers + 1, "the digit answered at once"


def test_whether_an_extra_is_there_is_explained(demo: Hands) -> None:
    demo.do("line-leave")
    demo.take("extra")
    demo.key("?")
    assert "Look into the cover" in _shown(demo)


def test_where_a_grade_is_wanted_each_letter_of_the_scale_is_told(breakwater: Hands) -> None:
    breakwater.take("cover")
    breakwater.desk.asking.asked = None
    breakwater.key("?")
    shown = _shown(breakwater, 120, 33)
    for grade in breakwater.desk.scale.grades:
        assert f"{grade.key}{grade.shade}" in shown
        assert f"{grade.id}: {grade.criteria('cover')[:30]}" in shown
    breakwater.do("grade:VG")
    assert breakwater.part["grades"][0]["grade"] == "VG"


def test_with_nothing_asked_the_keys_are_shown(breakwater: Hands) -> None:
    breakwater.desk.work.part_id = breakwater.desk.asking.asked = None
    breakwater.key("?")
    assert breakwater.desk.open.page is not None
    assert breakwater.desk.open.page.name == "help"


def test_in_an_empty_line_the_sign_asks_and_elsewhere_it_is_typed(breakwater: Hands) -> None:
    breakwater.do("note").key("?")
    assert "Anything worth saying that no question asks" in _shown(breakwater)
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == ""
    breakwater.type("who wrote this?")
    assert breakwater.desk.open.line.text == "who wrote this?"
    assert breakwater.desk.open.explained is None, "typing goes on under the words and takes them away"
    breakwater.key("f10")
    assert "Anything worth saying" in _shown(breakwater), "a key of its own always asks"
    breakwater.do("line-accept")
    assert breakwater.record["note"] == "who wrote this?"


def test_the_legend_shows_the_key_that_asks_now(breakwater: Hands) -> None:
    breakwater.do("note")
    assert "? help" in text_of(draw_legend(breakwater.desk, 80))
    breakwater.type("a")
    assert "F10 help" in text_of(draw_legend(breakwater.desk, 80))
    assert "? help" not in text_of(draw_legend(breakwater.desk, 80))


def test_what_is_marked_is_not_typed_over_by_the_sign_until_the_cursor_was_moved(breakwater: Hands) -> None:
    breakwater.do("parcel-page")
    assert breakwater.desk.open.page is not None
    breakwater.desk.open.page.marked = 0
    line = breakwater.do("page-enter").desk.open.line
    assert line is not None
    assert line.replace
    before = line.text
    assert before
    breakwater.key("?")
    assert breakwater.desk.open.explained is not None
    assert line.text == before
    breakwater.key("end").key("?")
    assert line.text.endswith("?")


def test_where_the_sign_is_an_answer_it_is_typed_and_the_other_key_asks(breakwater: Hands) -> None:
    breakwater.do("record-page", "record-eligible")
    breakwater.key("f10")
    assert "Type ? if you do not know yet" in " ".join(_shown(breakwater).split())
    breakwater.key("?")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "?"


def test_escape_and_the_key_again_take_the_words_away_and_nothing_else(breakwater: Hands) -> None:
    for closing in ("escape", "?"):
        breakwater.take("disc")
        breakwater.do("fault").key("?")
        assert "What is wrong with the part in hand" in _shown(breakwater)
        breakwater.key(closing)
        assert breakwater.desk.open.explained is None
        assert breakwater.desk.open.menu is not None
        breakwater.do("menu-leave")
        breakwater.do("note").key("?", closing)
        assert breakwater.desk.open.explained is None
        assert breakwater.desk.open.line is not None
        breakwater.do("line-leave")
    breakwater.key("?", "escape")
    assert breakwater.desk.open.explained is None


def test_the_words_leave_the_choices_in_sight_and_at_work(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("fault").key("s", "?")
    shown = _shown(breakwater)
    assert "Each step allows a best grade" in shown
    assert "several, or heard now and then" in shown
    breakwater.key("2")
    assert breakwater.part["faults"][0]["severity"] == "several"


@pytest.mark.parametrize(
    ("page", "said"),
    [
        ("parcel-page", "the queue gets a place for each"),
        ("chores-page", "work still to do over all parcels"),
    ],
)
def test_a_page_says_what_it_is_for_and_what_its_marked_line_is(
    breakwater: Hands, page: str, said: str
) -> None:
    breakwater.do(page)
    assert breakwater.desk.open.page is not None
    breakwater.desk.open.page.marked = 2
    breakwater.key("?")
    assert said in " ".join(_shown(breakwater).split()).casefold()
    breakwater.key("escape")
    assert breakwater.desk.open.page is not None


@pytest.mark.parametrize(("keymap", "sign"), [("left-hand", "`"), ("number-pad", "/")])
def test_one_hand_asks_in_a_line_and_in_a_list_within_its_reach(
    demo_path: Path, sit: Sit, keymap: str, sign: str
) -> None:
    hands = sit(demo_path, keymap).do("line-leave")
    hands.do("grade-ladder").key(sign)
    assert "The grade of the part in hand" in _shown(hands)
    hands.do("menu-leave", "menu-leave")
    hands.desk.open.menu = None
    hands.do("commands")
    while not any("set a price by hand" in one.words for one in _choices(hands)):
        hands.do("answer-0")
    key = next(one.key for one in _choices(hands) if "set a price by hand" in one.words)  # type: ignore[union-attr]
    hands.do(f"answer-{key}").key(sign)
    assert "Your own asking price" in _shown(hands)


@pytest.mark.parametrize("size", [(60, 16), (80, 24), (120, 40)])
def test_the_words_fit_every_screen_and_a_plain_one(demo: Hands, size: tuple[int, int]) -> None:
    demo.do("line-leave")
    for keys in (
        ("?",),
        ("escape", "x", "?"),
        ("escape", "escape", "l", "?"),
        ("escape", "escape", "home", "?"),
    ):
        demo.key(*keys)
        for glyphs in (FANCY, PLAIN):
            found = seen(demo.desk, size, glyphs)
            assert len(found.explained) <= size[1]
            assert all(width_of(line) <= size[0] for line in found.lines)


def test_the_pad_finds_the_question_s_words_on_the_second_page_of_its_list(demo_path: Path, sit: Sit) -> None:
    hands = sit(demo_path, "number-pad").do("line-leave")
    hands.desk.open.explained = None
    hands.key(".", "0", "9")
    assert hands.desk.open.explained is not None
    assert "?" in hands.desk.open.explained.title


def test_a_map_for_one_hand_reads_on_by_its_own_keys(demo_path: Path, sit: Sit) -> None:
    hands = sit(demo_path, "number-pad").do("line-leave")
    run(hands.desk, "parcel-page")
    run(hands.desk, "page-help")
    first = draw_explained(hands.desk, 40, 4, FANCY)
    assert "2 reads all of it, 8 goes back" in text_of(first.lines)
    hands.desk.open.sight = hands.desk.open.sight._replace(help_end=first.end)
    hands.key("2")
    assert hands.desk.open.explained is not None
    assert hands.desk.open.explained.top == 1
    hands.key("8")
    assert hands.desk.open.explained.top == 0


def test_long_words_are_read_on_by_down_and_no_such_key_leaves_the_record(demo: Hands) -> None:
    demo.do("line-leave").ask("label").key("?")
    record, height = demo.record["no"], 9
    first = draw_explained(demo.desk, 60, height, FANCY)
    assert "Down reads all of it" in text_of(first.lines), demo.desk.open.explained
    assert first.end > 0
    demo.desk.open.sight = demo.desk.open.sight._replace(help_end=first.end)
    read = ""
    for _ in range(first.end):
        demo.key("down")
        read += text_of(draw_explained(demo.desk, 60, height, FANCY).lines)
    assert demo.desk.open.explained is not None
    assert demo.desk.open.explained.keys.split()[-1] in read
    demo.key("pagedown", "pageup", "up", "down")
    assert demo.desk.open.explained is not None
    assert demo.record["no"] == record
    demo.key("escape")
    assert demo.desk.open.explained is None


def test_the_question_of_advertised_titles_says_its_key_and_names_no_place_of_a_copy(
    breakwater: Hands,
) -> None:
    breakwater.ask("other titles").do("explain")
    told = breakwater.desk.open.explained
    assert told is not None
    said = " ".join((*told.words, told.keys))
    assert "In the line of the titles letters and Enter take each" in said
    assert any("titles, picked in a line" in text for _, text in told.rows)
    assert "gives no date" not in said
    assert "Krummel" in said
    assert "pdfslide" not in said
