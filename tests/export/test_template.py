"""Templates: what they mean, what they drop when space is short, and what is refused."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.template import Template, fill, parse_template

SAID = {
    "title": "Moths at Noon",
    "artist": "The Lantern Quire",
    "faults": "warp",
    "grades": "disc VG",
    "empty": "",
}


def known(name: str) -> str | None:
    return None if name in SAID else "one of those above"


def parse(text: str) -> Template:
    return parse_template(text, "long.txt", known)


def body(text: str, limit: int | None = None) -> str:
    return fill(parse("t\n" + text).body, SAID.__getitem__, limit).text


def test_the_first_line_is_the_title_and_the_rest_one_paragraph() -> None:
    template = parse(
        "# a remark\nlimit = 80\ntitle limit = 20\n---\n\n{artist}: {title}\nLine one.\nLine two.\n"
    )
    assert fill(template.title, SAID.__getitem__).text == "The Lantern Quire: Moths at Noon"
    assert fill(template.body, SAID.__getitem__).text == "Line one. Line two."
    assert (template.limit, template.title_limit) == (80, 20)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{title}", "Moths at Noon"),
        ("{Grades}.", "Disc VG."),
        ("[{grades}. ][Faults: {faults}.]", "disc VG. Faults: warp."),
        ("[{empty}. ]x", "x"),
        ("[{title} and {empty}. ]x", "x"),
        ("[!{empty}]x", "x"),
        ("[always]", "always"),
        ("{{title}} [[x]]", "{title} [x]"),
        ("a  \n\n  b", "a b"),
    ],
)
def test_what_a_template_means(text: str, said: str) -> None:
    assert body(text) == said


def test_what_is_too_long_loses_its_last_loose_section_first_and_never_a_kept_one() -> None:
    text = "[{title}. ][!Faults: {faults}. ][{grades}. ]"
    assert body(text) == "Moths at Noon. Faults: warp. disc VG."
    assert body(text, 30) == "Moths at Noon. Faults: warp."
    assert body(text, 20) == "Faults: warp."
    filled = fill(parse("t\n" + text).body, SAID.__getitem__, 5)
    assert (filled.text, filled.over, filled.fields) == ("Faults: warp.", 8, ("faults",))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "long.txt: the template is empty"),
        ("limit = 5\n---\n", "long.txt: the template is empty"),
        ("x\n{tittle}", 'long.txt:2: column 1: there is no field "tittle"'),
        ("x\nline\n\nsay {title} and {tittle}", 'long.txt:4: column 17: there is no field "tittle"'),
        ("{title", "long.txt:1: column 1: { does not open a field"),
        ("{}", "long.txt:1: column 1: { does not open a field"),
        ("{ title }", "long.txt:1: column 1: { does not open a field"),
        ("a } b", "long.txt:1: column 3: } has no field to close"),
        ("a ] b", "long.txt:1: column 3: ] has no section to close"),
        ("[a [b] c]", "long.txt:1: column 4: a section inside a section"),
        ("x\n\n[open\nand on", "long.txt:3: column 1: the section is never closed"),
        ("limit = much\n---\nx", 'long.txt:1: cannot use the setting "limit = much"'),
        ("limit = 5\nlimit = 6\n---\nx", 'long.txt:2: cannot use the setting "limit = 6"'),
        ("limit = 0\n---\nx", 'long.txt:1: cannot use the setting "limit = 0"'),
    ],
)
def test_a_template_that_cannot_mean_anything_is_refused_with_line_and_column(text: str, said: str) -> None:
    with pytest.raises(BenchError) as caught:
        parse(text)
    assert caught.value.one_line().startswith(said)


def test_a_capital_asks_for_a_capital_and_finds_the_same_field() -> None:
    template = parse_template("{Title} {title}", Path("x"), known)
    assert fill(template.title, {"title": "moths"}.__getitem__).text == "Moths moths"
