"""A theme is seen before it is taken, and kept for the shop."""

from bench_hands import Hands


def test_the_marked_theme_is_worn_and_leaving_brings_the_one_before_back(demo: Hands) -> None:
    demo.do("line-leave").do("theme")
    line = demo.desk.open.line
    assert line is not None
    assert [pick.value for pick in line.picks] == ["dark", "light", "contrast"]
    assert demo.desk.theme_shown == "dark"
    demo.do("line-down", "line-down")
    assert demo.desk.theme_shown == "contrast"
    assert not demo.desk.settings.get("theme")
    demo.do("line-leave")
    assert demo.desk.theme_shown == "dark"


def test_the_theme_taken_is_kept_and_marked_when_the_list_is_opened_again(demo: Hands) -> None:
    demo.do("line-leave").do("theme").type("lig").do("line-accept")
    assert demo.desk.settings["theme"] == "light"
    assert "kept" in demo.said
    demo.do("theme")
    assert demo.desk.theme_shown == "light"
    demo.do("line-leave").do("theme").type("puce").do("line-accept")
    assert "no such theme" in demo.said
    assert demo.desk.theme_shown == "light"
