"""Commands are declared once, above what does them; their ids stand in people's files and stay."""

from pathlib import Path

import pytest
from bench_hands import Sit

from benchtui.base.shipped import shipped
from benchtui.desk.core import command as declared
from benchtui.desk.core.command import FAMILIES, Legend, by_id, command, command_of, commands
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Table
from benchtui.desk.core.pages import view_now
from benchtui.desk.keyboard.find_command import rank_of
from benchtui.desk.keyboard.key_line import wanted
from benchtui.desk.keyboard.keymap_file import find_keymap
from benchtui.desk.keyboard.perform import why_not

IDS = """
    record-page find-title next-part take-cover take-disc take-side take-inner take-extra add-part not-here answer-1
    answer-2 answer-3 answer-4 answer-5 answer-6 answer-7 answer-8 answer-9 answer-0 jump-clue previous-clue
    next-clue ditto runout why looked pressing ruling shade-up shade-down grade-ladder fault chore note
    price-accept price-hand terms sell sale-seen take-in next-record later previous-record jump-record search
    parcel-page parcels-page chores-page rules-page regrade-page export-day undo redo commands help
    explain theme quit line-accept line-leave line-up line-down line-new pick-1 pick-2 pick-3 pick-4
    pick-5 pick-6 pick-7 pick-8 line-help menu-leave menu-more menu-help page-leave page-parcel page-up
    page-down page-screen-up page-screen-down page-enter page-new page-add page-out page-earlier
    page-later page-list page-close book-take book-undo book-review page-undo page-redo page-done page-help page-more parcels-titles
    parcels-undo-list doubtful-merge doubtful-keep doubtful-skip doubtful-rest why-pressing why-answer
    record-edit record-template record-drop record-play record-grade record-move record-sell
    record-shelf record-hold record-invoice record-release record-price record-return record-refund record-back
    record-scrap record-payout record-correct record-eligible record-reserve result-page result-how
    record-question record-answer record-compare record-listed record-post record-photographs photograph-shows
    record-custody record-heard copies find-out listening chores-sort hand-out parcels-hand-out forget sender-receipt
    result-share result-rules sender-page sender-statement sender-payout sender-book
    called-otherwise new-answer new-pressing book-page book-titles book-find new-question book-merge
    cards same-titles ladder book-beside book-left book-right book-add book-retire book-fill
    book-clue date-by-hand either incoming-encoding incoming-columns why-compare guess close-books
    books-close field teach parcels-year year-page file-for-books books-file record-terms
    record-found record-credit-note credit-note late-bill late-back parcels-late-bill bench-late-bill
    record-free record-replace record-split page-find parcel-give-up parcels-take-up own-answers book-split bench-add
"""
"""Every id there has ever been: keymaps, drafts and histories of parcels name them."""


def test_every_id_that_stands_in_somebody_s_files_is_still_known() -> None:
    assert set(IDS.split()) == set(by_id()), "an id is added here with its command, and never taken out"


def test_every_command_says_what_it_does_and_where_it_is_listed() -> None:
    for one in commands():
        assert one.words, one.id
        assert one.group, one.id
        assert callable(one.do), one.id
        assert one.short or one.id.startswith(("answer-", "pick-", "line-", "page-")), one.id


def test_another_word_finds_its_command() -> None:
    for one in commands():
        for word in one.also.split():
            assert rank_of(word, one) is not None, (one.id, word)


def test_a_letter_of_the_scale_is_a_command_of_its_family() -> None:
    one = command_of("grade:VG")
    assert (one.id, one.where, one.one_write) == ("grade:VG", "bench", FAMILIES["grade:"].one_write)
    with pytest.raises(KeyError):
        command_of("no-such-command")


def test_one_id_for_two_deeds_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(declared, "_DECLARED", dict(by_id()))

    def other(desk: Desk) -> None:
        """Something else."""

    with pytest.raises(ValueError, match="declared twice"):
        command("undo", "bench", "something else")(other)


def test_a_command_of_its_own_needs_its_own_declaration_only(
    demo_path: Path, sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Keymap, key, key line, list of all, refusal and page of keys follow from the declaration."""
    monkeypatch.setattr(declared, "_DECLARED", dict(by_id()))
    source = find_keymap("two-hands", [shipped("keymaps")]).read_text("utf-8")
    own = (
        source.replace('take-extra = ["*"]\n', "")
        .replace("[bench]", '[bench]\nwave = ["*"]', 1)
        .replace('"two-hands"', '"mine"')
    )
    (demo_path / "keymaps").mkdir(exist_ok=True)
    (demo_path / "keymaps" / "mine.toml").write_text(own, encoding="utf-8")
    allowed = [""]

    @command("wave", "bench", "wave at the neighbour", short="wave", group="Bench", also="greet",
             legend=Legend(record=5), needs=[lambda desk: allowed[0]], changes="nothing")  # fmt: skip
    def wave(desk: Desk) -> None:
        desk.say("waved")

    hands = sit(demo_path, "mine")
    hands.do("line-leave") if hands.desk.open.line else None
    assert wanted(hands.desk)[0] == "wave"
    hands.key("*")
    assert hands.said == "waved"
    hands.do("commands").type("greet")
    assert hands.desk.open.line is not None
    assert [pick.value for pick in hands.desk.open.line.picks] == ["wave"]
    hands.do("line-leave")
    allowed[0] = "nobody there"
    assert why_not(hands.desk, "wave") == "nobody there"
    hands.do("help")
    view = view_now(hands.desk)
    assert view is not None
    rows = [row.key for table in view.sections if isinstance(table, Table) for row in table.rows]
    assert "command:wave" in rows
