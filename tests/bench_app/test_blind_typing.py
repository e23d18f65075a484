"""What is typed or scanned without looking does no harm, and nothing of it is lost."""

import pytest
from bench_hands import Hands
from same_parcel import canonical


def _facts(hands: Hands) -> str:
    assert hands.desk.work.parcel is not None
    return canonical(hands.desk.work.parcel)


def _shown(hands: Hands) -> tuple[object, ...]:
    work, asking, shown = hands.desk.work, hands.desk.asking, hands.desk.open
    return (
        work.record_id,
        work.part_id,
        work.side,
        asking.asked,
        list(asking.passed),
        shown.page,
        shown.line,
    )


def test_a_scanned_number_at_a_question_is_taken_back_as_one_action(breakwater: Hands) -> None:
    before, stood, steps = _facts(breakwater), _shown(breakwater), len(breakwater.desk.work.parcel.history)  # type: ignore[union-attr]
    breakwater.burst("1121212")
    assert (_facts(breakwater), _shown(breakwater)) == (before, stood)
    assert breakwater.refused
    assert breakwater.said.startswith("typed outside a line")
    head = breakwater.head
    assert len(breakwater.desk.work.parcel.history) - head["undone"] == steps  # type: ignore[union-attr]


def test_six_figures_of_a_hand_answer_six_questions(breakwater: Hands) -> None:
    before = len(breakwater.record["answers"])
    breakwater.burst("111", apart=0.2)
    assert len(breakwater.record["answers"]) > before
    assert not breakwater.said.startswith("typed outside")


def test_a_word_typed_where_no_line_is_open_is_taken_back(breakwater: Hands) -> None:
    before, stood = _facts(breakwater), _shown(breakwater)
    breakwater.burst("vgppo", apart=0.14)
    assert (_facts(breakwater), _shown(breakwater)) == (before, stood)
    assert breakwater.said.startswith("typed outside a line: 5 keys")


def test_a_word_whose_second_letter_opens_the_title_line_is_taken_back_whole(breakwater: Hands) -> None:
    before, stood = _facts(breakwater), _shown(breakwater)
    breakwater.burst("glasshall orchestra\n", apart=0.1)
    assert (_facts(breakwater), _shown(breakwater)) == (before, stood)
    assert breakwater.said.startswith("typed outside a line: 5 keys")


def test_a_title_typed_at_once_behind_the_key_of_its_line_stays(breakwater: Hands) -> None:
    breakwater.burst("lglass", apart=0.1)
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "glass"


def test_five_letters_with_a_pause_are_commands(breakwater: Hands) -> None:
    breakwater.burst("vgp", apart=0.14).burst("vg", apart=0.14, start=200.0)
    assert any(part["grades"] for part in breakwater.record["parts"])
    assert not breakwater.said.startswith("typed outside")


def test_keys_without_a_time_are_typed_slowly(breakwater: Hands) -> None:
    breakwater.key(*"vgpvg")
    assert any(part["grades"] for part in breakwater.record["parts"])


def test_what_follows_the_word_does_nothing_until_a_pause(breakwater: Hands) -> None:
    before, stood = _facts(breakwater), _shown(breakwater)
    breakwater.burst("vgppo vvg\nn\\", apart=0.1)
    assert (_facts(breakwater), _shown(breakwater)) == (before, stood)
    breakwater.burst("v", start=300.0)
    assert _facts(breakwater) != before


def test_an_undo_among_the_letters_is_put_right_too(breakwater: Hands) -> None:
    breakwater.grade("VG")
    before = _facts(breakwater)
    breakwater.burst("vuuvn", apart=0.1)
    assert breakwater.said.startswith("typed outside a line")
    assert _facts(breakwater) == before


def test_what_a_busy_machine_brings_late_of_a_paste_belongs_to_it(breakwater: Hands) -> None:
    before = breakwater.record
    breakwater.burst("Idony Perrick - TW ", apart=0.001).burst("321 - 1966", apart=0.001, start=100.3)
    assert breakwater.record == before
    breakwater.burst("1", start=101.0)
    assert breakwater.record != before, "a digit pressed later answers"


def test_sixty_keys_in_five_milliseconds_that_open_a_line_are_all_there(parcel: Hands) -> None:
    name = "Una Marr - Weir Songs And Other Songs Of The Weir - PRIV 9"
    parcel.do("line-leave").burst(f"l{name}\n", apart=0.005 / 60)
    assert parcel.record["title"] is not None
    title = parcel.record["title"]
    assert f"{title['artist']} - {title['title']} - {title['catalogue']}" == name


def test_sixty_keys_into_a_choice_question_are_taken_back_as_one(breakwater: Hands) -> None:
    before, stood = _facts(breakwater), _shown(breakwater)
    breakwater.burst("12" * 30, apart=0.005 / 60)
    assert (_facts(breakwater), _shown(breakwater)) == (before, stood)


@pytest.mark.parametrize("text", ["Lane - Sunday Hats - LR 101 - 1952", "Dune - LR 101"])
def test_a_title_typed_on_the_parcels_page_begins_no_other_parcel(parcel: Hands, text: str) -> None:
    parcel.do("line-leave", "parcel-page")
    before, stood = _facts(parcel), [one.id for one in parcel.desk.shop.parcels()]
    parcel.burst(text, apart=0.01)
    assert (_facts(parcel), [one.id for one in parcel.desk.shop.parcels()]) == (before, stood)
    assert parcel.said.startswith("typed outside a line")


@pytest.mark.parametrize(
    "text",
    ["Brome - Sunday Hats - LR 5", "od5", "1Lo5", "Xo 5"],
    ids=["title", "number", "behind", "space"],
)
def test_text_with_a_number_on_a_page_writes_no_file(parcel: Hands, text: str) -> None:
    parcel.do("line-leave", "parcel-page")
    before, files = _facts(parcel), sorted(parcel.desk.shop.path.rglob("*.csv"))
    parcel.burst(text, apart=0.25)
    assert parcel.said.startswith("typed outside a line")
    assert (_facts(parcel), sorted(parcel.desk.shop.path.rglob("*.csv"))) == (before, files)


@pytest.mark.parametrize("keys", ["oozzoz", "oo5"])
def test_moves_on_a_page_at_a_hands_pace_are_no_text(parcel: Hands, keys: str) -> None:
    parcel.do("line-leave", "parcel-page").burst(keys, apart=0.25)
    assert not parcel.said.startswith("typed outside")


def test_a_title_typed_behind_the_key_that_adds_a_record_goes_into_its_line(parcel: Hands) -> None:
    parcel.do("line-leave", "parcel-page").burst("aLane - Sunday Hats - LR 5", apart=0.1)
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == "Lane - Sunday Hats - LR 5"
    assert parcel.record["no"] == len(parcel.desk.work.records)


def test_a_page_is_typed_on_no_better(parcel: Hands) -> None:
    parcel.do("line-leave", "parcel-page")
    before, page = _facts(parcel), parcel.desk.open.page
    assert page is not None
    parcel.burst("ooaao", apart=0.1)
    assert _facts(parcel) == before
    assert parcel.desk.open.page is not None
    assert parcel.desk.open.page.name == page.name


def test_figures_for_a_runout_never_answer_a_label_question(breakwater: Hands) -> None:
    breakwater.take("disc")
    answers = [one for one in breakwater.record["answers"] if one["clue"] != "tw-cut"]
    breakwater.do("runout").key(*"11212")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "11212"
    assert [one for one in breakwater.record["answers"] if one["clue"] != "tw-cut"] == answers


SCANNED = "5012345678900\n"


@pytest.mark.parametrize(("line", "begun"), [("runout", "5 1"), ("runout", ""), ("price-hand", "1")])
def test_a_barcode_is_written_into_no_line_that_takes_none(breakwater: Hands, line: str, begun: str) -> None:
    breakwater.take("disc")
    before = _facts(breakwater.do(line).type(begun))
    breakwater.burst(SCANNED)
    assert breakwater.desk.open.line is not None
    assert (breakwater.desk.open.line.text, _facts(breakwater)) == (begun, before)
    assert breakwater.said.startswith("that was a scanner: no barcode is written into ")
    breakwater.type("7")
    assert breakwater.desk.open.line.text == f"{begun}7"


def test_a_barcode_at_the_runout_s_question_opens_no_line(breakwater: Hands) -> None:
    before, stood = _facts(breakwater.ask("runout a")), _shown(breakwater)
    breakwater.burst(SCANNED)
    assert (_facts(breakwater), _shown(breakwater)) == (before, stood)
    assert "into runout A; the title line (l) finds a title by it" in breakwater.said


@pytest.mark.parametrize(("typed", "apart"), [("50123456", 0.1), ("TW 363 12345678", 0.0001)])
def test_a_runout_of_figures_by_hand_or_pasted_as_keys_stays(
    breakwater: Hands, typed: str, apart: float
) -> None:
    breakwater.take("disc")
    breakwater.do("runout").burst(typed, apart=apart)
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == typed


def test_a_runout_pasted_at_once_stays_though_it_is_figures(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("runout").paste(SCANNED.strip())
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == SCANNED.strip()


def test_a_number_s_first_figure_opens_its_line_nought_too(parcel: Hands) -> None:
    parcel.find("salt").ask("number limited").key("0")
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.name == "clue-number"
    parcel.key("3", "4", "enter")
    (answer,) = parcel.answers("tw-number")
    assert answer["value"] == 34


def test_space_leaves_an_empty_record_only(parcel: Hands) -> None:
    parcel.do("line-leave").key("space")
    assert parcel.record["no"] == 2
    parcel.find("baf") if parcel.desk.open.line else parcel.do("find-title").find("baf")
    parcel.key("space")
    assert parcel.record["no"] == 2
    assert parcel.refused
    assert "lacks" in parcel.said
    parcel.do("later")
    assert parcel.record["no"] == 3
    assert parcel.said.startswith("record 2 is left unfinished, lacks: ")


@pytest.mark.parametrize("keymap", ["two-hands", "left-hand", "number-pad"])
def test_every_map_names_a_key_for_later_one_that_no_layout_shifts(keymap: str) -> None:
    from benchtui.base.shipped import shipped
    from benchtui.books.scales import load_scales
    from benchtui.desk.keyboard.keymap_file import find_keymap, load_keymap

    keys = load_keymap(find_keymap(keymap, [shipped("keymaps")]), load_scales()["american"]).keys["later"]
    assert any(len(key) > 1 and not key.startswith(("ctrl", "shift")) for key in keys)


def test_another_title_of_the_artist_is_new_and_marked(parcel: Hands) -> None:
    parcel.type("The Quayside Bafflers - Second Breakwater Blues - EL 5")
    line = parcel.desk.open.line
    assert line is not None
    assert line.picks[line.marked].value.id == ""
    parcel.do("line-accept")
    title = parcel.record["title"]
    assert title is not None
    assert (title["title"], title["catalogue"]) == ("Second Breakwater Blues", "EL 5")


def test_another_number_is_another_title(parcel: Hands) -> None:
    parcel.enter("The Quayside Bafflers - Bafflers on the Breakwater - EL 5")
    title = parcel.record["title"]
    assert title is not None
    assert title["catalogue"] == "EL 5"


@pytest.mark.parametrize(
    "text",
    [
        "quayside bafflers - bafflers on the breakwater",
        "the quayside - breakwater - TW 363",
        "bafflers on the slipwya",
    ],
)
def test_what_agrees_takes_the_marked_title(parcel: Hands, text: str) -> None:
    parcel.enter(text)
    title = parcel.record["title"]
    assert title is not None
    assert title["id"] == "tw-breakwater"


def test_a_scan_whose_figures_answer_first_and_then_open_a_line_is_taken_back_whole(demo: Hands) -> None:
    demo.key(*["backspace"] * 9).do("line-leave")
    before, stood = _facts(demo), _shown(demo)
    demo.burst("4006381333931\n")
    assert (_facts(demo), _shown(demo)) == (before, stood)
    assert demo.said.startswith("typed outside a line")


@pytest.mark.parametrize("runout", ["LP 77 B-1", "DV 321 B/3 1 U", "5 1UE", "dv 321"])
@pytest.mark.parametrize("apart", [0.001, 0.14])
def test_a_runout_typed_at_a_question_is_taken_back_whole(
    breakwater: Hands, runout: str, apart: float
) -> None:
    before, stood = _facts(breakwater), _shown(breakwater)
    breakwater.burst(runout, apart=apart)
    assert (_facts(breakwater), _shown(breakwater)) == (before, stood)
    assert breakwater.said.startswith("typed outside a line")


def test_a_runout_typed_at_a_record_that_is_done_leaves_it_nowhere(parcel: Hands) -> None:
    parcel.ready().do("take-in").do("line-leave", "previous-record")
    before, stood = _facts(parcel), _shown(parcel)
    parcel.burst("LP 77 B-1", apart=0.1)
    assert (_facts(parcel), _shown(parcel)) == (before, stood)


def test_space_held_down_goes_along_the_queue(demo: Hands) -> None:
    demo.do("line-leave", "jump-record").enter("1").burst("     ", apart=0.03)
    assert demo.record["no"] == 6


def _made(hands: Hands) -> list[str]:
    return [str(one["title"]) for one in hands.desk.shop.made_titles()]


@pytest.mark.parametrize("keys", ["zinc be", "zuinc be"])
def test_a_title_taken_back_before_stays_so_where_the_key_of_redo_begins_text(
    parcel: Hands, keys: str
) -> None:
    parcel.type("slip title").do("line-new", "undo")
    assert parcel.desk.open.line is None
    assert _made(parcel) == []
    parcel.burst(keys, apart=0.1)
    assert parcel.said.startswith("typed outside a line")
    assert _made(parcel) == []
    assert parcel.record["title"] is None


@pytest.mark.parametrize("keys", ["uinc be", "uvinc be"], ids=["undone", "undone and a cover graded"])
def test_a_title_that_text_took_back_is_there_again(parcel: Hands, keys: str) -> None:
    parcel.find("baf").do("find-title").type("slip title").do("line-new")
    parcel.burst(keys, apart=0.1)
    assert parcel.said.startswith("typed outside a line")
    assert _made(parcel) == ["slip title"]
    title = parcel.record["title"]
    assert title is not None
    assert parcel.desk.finder.by_id(title["id"]) is not None


def test_figures_typed_ahead_for_a_number_that_is_asked_no_more_say_what_they_answer(parcel: Hands) -> None:
    """The number of a limited cover stands next until the price shows that it is none of those."""
    parcel.find("velloises").grade("VG").answer("varnished").answer("number").answer("coil")
    assert "is not asked now" not in parcel.said, "nothing was typed ahead yet"
    parcel.key("1", "4")
    asked, before = "'Number of the limited cover' is not asked now", "Label picture: white, black footprints"
    assert asked in parcel.said
    assert "disc: Pricks for the light dues" in parcel.said.partition(asked)[0]
    assert parcel.said.endswith(f"answered just before: disc: {before}")
    assert len(parcel.record["answers"]) == 5, "no figure is lost"
    parcel.do("undo")
    assert asked not in parcel.said
