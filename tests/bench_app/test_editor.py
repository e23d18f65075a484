"""One line of text edited by keys, and what is shown of it."""

import pytest
from bench_hands import Hands
from rich.cells import cell_len

from benchtui.desk.keyboard.typing import Typing
from benchtui.desk.line.editor import Editor


def editor(text: str, *keys: str) -> Editor:
    made = Editor()
    made.put(text)
    for key in keys:
        if not made.press(key):
            made.replace(key, *made.marked())
    return made


@pytest.mark.parametrize(
    ("text", "keys", "value", "at"),
    [
        ("matrix", ["left", "left", "x"], "matrxix", 5),
        ("matrix", ["home", "delete", "M"], "Matrix", 1),
        ("matrix", ["ctrl+a", "right", "ctrl+k"], "m", 1),
        ("matrix", ["backspace", "backspace"], "matr", 4),
        ("", ["backspace", "delete", "left", "right"], "", 0),
        ("red label, worn", ["ctrl+w"], "red label, ", 11),
        ("red label, worn", ["ctrl+left", "ctrl+left", "ctrl+u"], "label, worn", 0),
        ("red label, worn", ["home", "ctrl+right", "ctrl+backspace"], "red worn", 4),
        ("red label", ["shift+home", "b"], "b", 1),
        ("red label", ["shift+left", "shift+left", "backspace"], "red lab", 7),
        ("red label", ["ctrl+shift+left", "ctrl+x", "home", "ctrl+v"], "labelred ", 5),
        ("red label", ["ctrl+shift+a", "ctrl+c", "end", "ctrl+v"], "red labelred label", 18),
        ("red label", ["home", "shift+end", "left", "x"], "red labexl", 9),
    ],
)
def test_keys_edit_as_in_every_text_line(text: str, keys: list[str], value: str, at: int) -> None:
    made = editor(text, *keys)
    assert (made.value, made.at) == (value, at)


def test_a_key_that_edits_nothing_is_left_to_others() -> None:
    made = editor("matrix")
    assert not made.press("f4")
    assert not made.press("up")
    assert (made.value, made.at) == ("matrix", 6)


def test_a_text_put_whole_is_replaced_by_typing() -> None:
    made = Editor()
    made.put("2026-11-24", whole=True)
    assert next(style for _, style in made.shown(20)) == "chosen"
    made.replace("y", *made.marked())
    assert (made.value, made.at) == ("y", 1)


def test_the_cursor_is_seen_wherever_it_stands_in_a_text_of_any_width() -> None:
    made = editor("é 好 plain שלום " * 9)
    for key in ["end", *["left"] * 150, "end", *["ctrl+left"] * 40, "home", *["right"] * 150]:
        made.press(key)
        shown = made.shown(20)
        assert cell_len("".join(text for text, _ in shown)) == 20
        under = [text for text, style in shown if style == "cursor"]
        assert under == [(made.value + " ")[made.at]], (key, made.at)


def test_every_letter_is_shown_in_its_place_with_the_cursor_on_its_own() -> None:
    made = editor("abc", "left")
    assert made.shown(6) == [("ab", "line"), ("c", "cursor"), (" ", "line"), ("  ", "line")]
    made.press("end")
    assert made.shown(6) == [("abc", "line"), (" ", "cursor"), ("  ", "line")]
    made.press("shift+left")
    assert made.shown(6) == [("ab", "line"), ("c", "cursor"), (" ", "line"), ("  ", "line")]
    made.press("shift+left")
    assert made.shown(6) == [("a", "line"), ("b", "cursor"), ("c", "chosen"), (" ", "line"), ("  ", "line")]


def test_a_click_puts_the_cursor_on_the_letter_below_it() -> None:
    made = editor("a好b")
    for cells, at in ((0, 0), (1, 1), (2, 1), (3, 2), (4, 3), (19, 3)):
        made.place_at(cells)
        assert made.at == at, cells


@pytest.mark.parametrize(("key", "command"), [("ctrl+e", "export"), ("home", "parcel")])
def test_a_key_of_the_bench_that_does_nothing_in_a_line_says_to_leave_it_first(
    parcel: Hands, key: str, command: str
) -> None:
    typing = Typing(parcel.desk)
    if key == "home":  # of an empty line it would go to the page at once
        typing.key("b", "b")
        typing.key(key, None)
    typing.key(key, None)
    assert command in parcel.said
    assert "leave the line first, Esc" in parcel.said
    typing.key("b", "b")
    typing.key("left", None)
    typing.key("end", None)
    assert parcel.said == "", "here it moves the cursor"


@pytest.mark.parametrize(("key", "opened"), [("ctrl+k", "sell"), ("end", "parcels"), ("home", "parcel")])
def test_a_key_of_the_bench_works_at_once_from_an_empty_title_line(
    parcel: Hands, key: str, opened: str
) -> None:
    typing = Typing(parcel.desk)
    typing.key("ctrl+e", None)
    assert "leave the line first, Esc" in parcel.said, "what hands press in any line does nothing by itself"
    typing.key(key, None)
    line, page = parcel.desk.open.line, parcel.desk.open.page
    assert opened == (page.name if page else line.name if line else "")


def test_the_key_that_clears_a_line_undoes_nothing_where_none_is_open(parcel: Hands) -> None:
    parcel.do("line-leave").key("ctrl+u")
    assert parcel.said == "^U clears what is typed in an open line; u undo takes back"
    parcel.do("parcel-page").key("ctrl+u")
    assert "clears what is typed" in parcel.said
