"""Keymaps: those shipped hold under every scale; every mistake is told with file, line and both uses."""

from pathlib import Path

import pytest
from bench_hands import Hands
from seen import page_rows

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.bench.pieces import FANCY, text_of
from benchtui.bench.widgets.keyline import draw_legend
from benchtui.books.scales import load_scales
from benchtui.desk.core.command import by_id, commands
from benchtui.desk.core.keys import is_deliverable, is_printable, key_name, shown
from benchtui.desk.keyboard.key_line import wanted
from benchtui.desk.keyboard.keymap_file import find_keymap, load_keymap

SCALES = load_scales()
MAPS = sorted(path.stem for path in shipped("keymaps").glob("*.toml"))


def _map(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "own.toml"
    path.write_text(text, encoding="utf-8")
    return path


def _refusal(tmp_path: Path, text: str, scale: str | None = "american") -> BenchError:
    with pytest.raises(BenchError) as told:
        load_keymap(_map(tmp_path, text), SCALES[scale] if scale else None)
    assert told.value.where == str(tmp_path / "own.toml")
    assert len(told.value.one_line().splitlines()) == 1
    return told.value


@pytest.mark.parametrize("scale", sorted(SCALES))
@pytest.mark.parametrize("name", MAPS)
def test_every_shipped_map_loads_under_every_shipped_scale(name: str, scale: str) -> None:
    keymap = load_keymap(find_keymap(name, [shipped("keymaps")]), SCALES[scale])
    assert keymap.about
    for keys in keymap.keys.values():
        assert all(is_deliverable(key) for key in keys)


@pytest.mark.parametrize("name", MAPS)
def test_every_shipped_map_stands_the_whole_check_of_a_dealer_s_own(name: str, tmp_path: Path) -> None:
    """A start takes it that its commands are there: it has not learnt all of them yet."""
    text = find_keymap(name, [shipped("keymaps")]).read_text("utf-8")
    assert load_keymap(_map(tmp_path, text), SCALES["american"]).keys


@pytest.mark.parametrize("name", MAPS)
def test_every_shipped_map_reaches_every_command_by_a_key_or_the_list_of_all(name: str) -> None:
    keymap = load_keymap(find_keymap(name, [shipped("keymaps")]), SCALES["american"])
    # a pad cannot type a new name anyhow; undo and redo on pages are in the list of its page-more
    spared = {"line-new", "page-undo", "page-redo", "page-find"} if name == "number-pad" else set()
    for action in commands():
        if action.id.startswith(("page-", "line-", "menu-", "quit")) and action.id not in spared:
            assert keymap.first_key(action.id), f"{name} has no key for {action.id}"
    assert keymap.first_key("commands")
    assert any(keymap.first_key(f"answer-{digit}") for digit in "123")
    assert keymap.first_key("grade-ladder") or keymap.first_key("grade:VG")


@pytest.mark.parametrize("name", MAPS)
def test_with_every_shipped_map_a_record_is_worked_from_title_to_stock(name: str, empty_path, sit) -> None:  # type: ignore[no-untyped-def]
    hands = sit(empty_path, name)
    hands.do("page-new").enter("dovr").enter().enter("2").do("line-leave", "page-leave")
    hands.find("baf")
    for kind in ("cover", "disc"):
        _reach(hands, kind)
        if hands.desk.references.keymap.first_key("grade:VG"):
            hands.do("grade:VG")
        else:
            _command(hands, "grade-ladder")
            hands.key("3")
        assert hands.part["grades"]
    _command(hands, "price-hand")
    hands.enter("12")
    _command(hands, "take-in")
    assert hands.at(1)["stock"] == "A00001"


def _command(hands: Hands, action: str) -> None:
    """By its own key, else by the list of every command."""
    keymap = hands.desk.references.keymap
    if keymap.first_key(action):
        hands.do(action)
        return
    hands.do("commands")
    for _ in range(8):
        menu = hands.desk.open.menu
        assert menu is not None
        choice = next((one for one in menu.choices if by_id()[action].words in one.words), None)
        if choice is not None:
            hands.key(choice.key)
            return
        hands.key(menu.choices[-1].key)
    raise AssertionError(f"{action} is on no list")


def _reach(hands: Hands, kind: str) -> None:
    for _ in range(8):
        if hands.part["kind"] == kind:
            return
        _command(hands, "next-part")
    raise AssertionError(kind)


def test_an_unknown_command_is_told_with_its_line_and_the_nearest(tmp_path: Path) -> None:
    error = _refusal(tmp_path, 'name = "x"\n[bench]\nfind-titel = ["l"]\n')
    assert error.line == 3
    assert "find-titel" in error.what
    assert "find-title" in error.right


def test_a_command_in_the_wrong_table_is_told_where_it_belongs(tmp_path: Path) -> None:
    error = _refusal(tmp_path, '[line]\nfind-title = ["f9"]\n')
    assert error.line == 2
    assert "[bench]" in error.right


def test_a_field_of_an_older_version_is_passed_over(tmp_path: Path) -> None:
    text = find_keymap("two-hands", [shipped("keymaps")]).read_text("utf-8")
    older = text.replace("[any]", 'layouts = ["US"]\n\n[any]', 1)
    assert load_keymap(_map(tmp_path, older), SCALES["american"]).keys


def test_an_unknown_table_is_told(tmp_path: Path) -> None:
    error = _refusal(tmp_path, '[bench]\nfind-title = ["l"]\n\n[bank]\nquit = ["f9"]\n')
    assert error.line == 4
    assert "bank" in error.what


@pytest.mark.parametrize(
    "key", ["ctrl+i", "ctrl+enter", "shift+f1", "F13", "L", "ctrl+1", "alt+x", "ctrl+c", "", "é"]
)
def test_a_key_no_plain_terminal_sends_is_told(tmp_path: Path, key: str) -> None:
    if key == "é":
        assert is_deliverable(key)
        return
    error = _refusal(tmp_path, f'[bench]\nfind-title = ["{key}"]\n')
    assert error.line == 2
    assert key in error.what
    assert "find-title" in error.what


def test_two_uses_of_a_key_in_one_table_are_both_named(tmp_path: Path) -> None:
    error = _refusal(tmp_path, '[bench]\nfind-title = ["l"]\nwhy = ["w"]\nnote = ["s", "l"]\n')
    assert error.line == 4
    for word in ("find-title", "note", "'l'"):
        assert word in error.what


def test_a_sign_and_its_name_are_the_same_key(tmp_path: Path) -> None:
    error = _refusal(tmp_path, '[bench]\nfind-title = ["/"]\nnote = ["slash"]\n')
    assert "find-title" in error.what
    assert "note" in error.what


@pytest.mark.parametrize(("scale", "key", "grade"), [("american", "v", "VG"), ("american", "n", "NM"),
                                                     ("british", "e", "EX")])  # fmt: skip
def test_a_clash_with_a_letter_of_the_scale_names_command_and_grade(
    tmp_path: Path, scale: str, key: str, grade: str
) -> None:
    error = _refusal(tmp_path, f'[bench]\nwhy = ["w"]\nnote = ["{key}"]\n', scale)
    assert error.line == 3
    for word in ("note", grade, scale):
        assert word in error.what


def test_grades_may_be_moved_to_other_keys(tmp_path: Path) -> None:
    path = _map(tmp_path, '[bench]\nnote = ["v"]\n[grades]\nVG = "x"\n')
    keymap = load_keymap(path, SCALES["american"])
    assert keymap.use("bench", "x") == "grade:VG"
    assert keymap.use("bench", "v") == "note"


@pytest.mark.parametrize("key", ["a", "1", "space", "/", "slash"])
def test_a_key_that_types_is_refused_for_a_text_line(tmp_path: Path, key: str) -> None:
    error = _refusal(tmp_path, f'[line]\nline-accept = ["{key}"]\n')
    assert error.line == 2
    assert "line-accept" in error.what


def test_a_key_for_everywhere_may_not_mean_something_else_somewhere(tmp_path: Path) -> None:
    error = _refusal(tmp_path, '[any]\nquit = ["ctrl+x"]\n[page]\npage-new = ["ctrl+x"]\n')
    for word in ("quit", "page-new"):
        assert word in error.what


@pytest.mark.parametrize(
    "text", ["[bench\n", "[bench]\nfind-title = 3\n", "[bench]\nfind-title = [3]\n", "bench = 1\n"]
)
def test_what_is_no_keymap_is_told(tmp_path: Path, text: str) -> None:
    assert _refusal(tmp_path, text).right


def test_a_keymap_that_is_no_text_or_not_there_is_told(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_bytes(b"\xff\xfe\x00name")
    for each in (path, tmp_path / "none.toml"):
        with pytest.raises(BenchError):
            load_keymap(each, None)


def test_a_map_is_found_by_name_in_the_shop_s_folder_first_and_by_path(tmp_path: Path) -> None:
    own = tmp_path / "keymaps"
    own.mkdir()
    (own / "two-hands.toml").write_text('name = "mine"\n')
    folders = [own, shipped("keymaps")]
    assert find_keymap("two-hands", folders) == own / "two-hands.toml"
    assert find_keymap(str(own / "two-hands.toml"), []) == own / "two-hands.toml"
    with pytest.raises(BenchError) as told:
        find_keymap("three-hands", folders)
    assert "two-hands" in told.value.right


def test_the_shop_s_own_map_is_used_by_name_and_shown_in_legend_and_help(empty_path: Path, sit) -> None:  # type: ignore[no-untyped-def]
    text = find_keymap("two-hands", [shipped("keymaps")]).read_text("utf-8")
    text = (
        text.replace('take-extra = ["*"]\n', "")
        .replace('find-title = ["l"]', 'find-title = ["*"]')
        .replace('"two-hands"', '"mine"')
    )
    (empty_path / "keymaps" / "mine.toml").write_text(text, encoding="utf-8")
    hands = sit(empty_path, "mine")
    hands.new_parcel(1).do("line-leave")
    drawn = "".join(piece for line in draw_legend(hands.desk, 120) for piece, _ in line)
    assert "* title" in drawn
    hands.key("l")
    assert hands.desk.open.line is None
    hands.key("*")
    assert hands.desk.open.line is not None


@pytest.mark.parametrize("name", MAPS)
def test_legend_and_help_show_only_keys_of_the_map_in_use(name: str, demo_path: Path, sit) -> None:  # type: ignore[no-untyped-def]
    hands = sit(demo_path, name)
    keymap = hands.desk.references.keymap
    mine = {shown(key) for keys in keymap.keys.values() for key in keys}
    hands.do("line-leave")
    for _ in range(3):
        for action in wanted(hands.desk):
            assert action in by_id()
            key = keymap.first_key(action)
            assert key is None or keymap.use(by_id()[action].where, key) == action
        hands.do("help") if keymap.first_key("help") else _command(hands, "help")
        rows = page_rows(hands.desk, 200, 400, FANCY)
        for row in rows:
            for text, style in row:
                for word in text.split() if style == "key" and not text.strip().startswith("1-9") else ():
                    assert word in mine, (word, text)
        hands.do("page-leave")
        _command(hands, "next-part")


def test_every_key_name_is_shown_as_something_and_named_back() -> None:
    for sign in "/\\-+=;',.*?[]`#":
        assert is_deliverable(key_name(sign)), sign
        assert is_printable(key_name(sign)), sign
        assert shown(key_name(sign)) == sign
    assert shown("ctrl+e") == "^E"
    assert shown("f10") == "F10"


def test_no_action_s_words_are_cut_on_the_page_of_keys_at_a_hundred_and_twenty_columns(empty: Hands) -> None:
    empty.new_parcel(1).do("line-leave", "help")
    shown = text_of(page_rows(empty.desk, 118, 33, FANCY))
    keymap = empty.desk.references.keymap
    for action in (one for one in commands() if one.where in ("bench", "any") and one.id in keymap.keys):
        if not action.id.startswith("answer-"):
            assert action.words in shown, action.id
