"""Descriptions: every claim stands on an entry, doubt has fixed words, edited text is kept and marked."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.errors import BenchError
from benchtui.evidence.results import Agreement, Likely, PartSpan
from benchtui.export.claims import CLAIMS, say
from benchtui.export.describe import (
    check_templates,
    describe,
    description_columns,
    edit,
    load_templates,
    template_named,
)
from benchtui.export.intake import intake
from benchtui.export.said import entry
from benchtui.model.span import parse_edtf

TEMPLATES = load_templates()
ANSWER = {
    "part": "d1", "place": "label A", "clue": "qm-label", "answer": "gold", "value": None, "how": "seen",
    "text": "gold print on black", "book": "q@1", "at": "2026-11-25T11:30:00+00:00",
}  # fmt: skip


def said(make: SimpleNamespace, field: str, record: Any = None, **weighed: Any) -> str:
    item = make.item(record or make.record(), make.weighing(**weighed) if weighed else None)
    return say(field, item, make.words()).text


def test_a_record_is_described_whole(make: SimpleNamespace) -> None:
    record = make.record(answers=[ANSWER, ANSWER | {"part": "i1", "place": "front", "clue": "advert"}])
    record["parts"][0]["faults"] = [make.fault("hairlines", "light", "side B")]
    told = describe(make.item(record, make.weighing()), make.words(), TEMPLATES["long"], "long")
    assert told.title == "The Lantern Quire: Moths at Noon, QM 1041, mono"
    assert told.text == (
        "Pressing: first mono, gold label. Company: Quillmoor. Title first issued in May 1967. "
        "The inner sleeve is probably from another copy. "
        "Disc probably made between May 1967 and February 1968. Run-out A: XQM 1041 A-1, B: 2u. "
        "Graded: disc VG+; cover VG; inner sleeve G (as arrived, American scale). "
        "Faults: disc: hairlines (light, side B); cover: seam split (4 cm, bottom). With poster."
    )


@pytest.mark.parametrize("name", ["long", "short", "bare"])
def test_every_claim_stands_on_an_entry_of_the_record(make: SimpleNamespace, name: str) -> None:
    record = make.record(answers=[ANSWER], rulings={"i1": "swapped"})
    record["parts"][0]["grades"].append(make.grade("VG", "B", when="played"))
    record["parts"][1]["origin"] = {"record": "r-9"}
    record["parts"].append(make.part("extra", "e2", name="insert", expected=True, state="missing"))
    item = make.item(record, make.weighing())
    claims = describe(item, make.words(), TEMPLATES[name], name).claims
    assert claims
    for claim in claims:
        assert claim.entries, claim.field
        assert all(entry(record, path) is not None for path in claim.entries)


def test_an_entry_that_is_not_there_is_not_taken_for_one(make: SimpleNamespace) -> None:
    for path in (
        "parts/d9/grades/0",
        "parts/d1/grades/7",
        "answers/d1/label A/qm-label",
        "rulings/i1",
        "stock/x",
    ):
        with pytest.raises(KeyError):
            entry(make.record(), path)


def test_a_record_of_which_nothing_is_known_claims_nothing(make: SimpleNamespace) -> None:
    record = make.record(title=None, parts=[], price=None, size_in=None, channels="")
    record["pressing"] = {"id": None, "how": "open", "p": None, "learn": False}
    texts = {field: say(field, make.item(record), make.words()) for field in CLAIMS}
    assert {field for field, one in texts.items() if one.text} == {"stock", "pressing"}
    assert texts["pressing"].text == "not established"
    assert describe(make.item(record), make.words(), TEMPLATES["long"]).text == "Pressing: not established."


@pytest.mark.parametrize(
    ("chance", "settled", "text"),
    [
        (0.97, True, "first mono"),
        (0.97, False, "probably first mono"),
        (0.80, False, "probably first mono"),
        (0.79, False, "consistent with first mono"),
        (0.50, False, "consistent with first mono"),
        (0.49, False, "not established"),
    ],
)
def test_how_sure_a_pressing_is_has_fixed_words(
    make: SimpleNamespace, chance: float, settled: bool, text: str
) -> None:
    record = make.record(pressing={"id": "q/1", "how": "leader", "p": chance, "learn": False})
    leader = Likely("q/1", "first mono", chance)
    assert said(make, "pressing", record, pressings=(leader,), settled=settled) == text
    if not settled:
        open_record = make.record(pressing={"id": None, "how": "open", "p": None, "learn": False})
        assert said(make, "pressing", open_record, pressings=(leader,), settled=settled) == text


def test_none_of_these_and_the_dealers_own_choice(make: SimpleNamespace) -> None:
    nothing = (Likely(None, "none of these", 0.9), Likely("q/1", "first mono", 0.1))
    record = make.record(pressing={"id": None, "how": "open", "p": None, "learn": False})
    assert said(make, "pressing", record, pressings=nothing, settled=False) == "not established"
    record = make.record(
        pressing={"id": "q/1", "how": "hand", "p": None, "learn": True, "name": "first mono"}
    )
    assert said(make, "pressing", record, pressings=nothing, settled=False) == "first mono"


def test_a_kind_is_claimed_only_of_a_settled_pressing(make: SimpleNamespace) -> None:
    promotional = (Likely("q/1", "white label", 0.97, kind="promotional"),)
    assert said(make, "kind", pressings=promotional) == "promotional copy"
    assert said(make, "kind", pressings=promotional, settled=False) == ""
    assert said(make, "kind", settled=True) == ""


def test_dates_rest_on_what_was_seen_and_say_probably_where_custom_alone_bounds_them(
    make: SimpleNamespace,
) -> None:
    hard = PartSpan(parse_edtf("[1967-05..]"), parse_edtf("[1967-05..]"))
    seen = make.record(answers=[ANSWER])
    assert said(make, "disc_dates", seen, parts={"d1": hard}) == "disc made in May 1967 or later"
    assert (
        said(make, "disc_dates", seen, settled=True)
        == "disc probably made between May 1967 and February 1968"
    )
    assert said(make, "disc_dates", make.record(answers=[ANSWER | {"how": "copied"}]), settled=True) == ""
    assert said(make, "disc_dates", seen, parts={"d1": PartSpan(None, None)}) == ""


@pytest.mark.parametrize(
    ("ruling", "p_swapped", "text"),
    [
        ("own", 0.99, "the inner sleeve belongs to it"),
        ("swapped", 0.01, "the inner sleeve is from another copy"),
        ("unsure", 0.5, "not established whether the inner sleeve belongs to it"),
        (None, 0.85, "the inner sleeve is probably from another copy"),
        (None, 0.6, "the inner sleeve is consistent with another copy's"),
        (None, 0.3, ""),
    ],
)
def test_the_dealers_ruling_goes_before_the_evidence(
    make: SimpleNamespace, ruling: str | None, p_swapped: float, text: str
) -> None:
    record = make.record(rulings={"i1": ruling} if ruling else {}, answers=[ANSWER | {"part": "i1"}])
    assert said(make, "agreement", record, agreement={"i1": Agreement(p_swapped, 0.0, "")}) == text


def test_grades_say_when_they_were_given_and_which_side(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][0]["grades"] += [
        make.grade("NM", "A", when="cleaned"),
        make.grade("VG", "B", when="played"),
    ]
    assert (
        said(make, "disc_grade", record)
        == "disc side A NM, side B VG (after cleaning and played, American scale)"
    )
    assert said(make, "grades", record).endswith(
        "(after cleaning and played, American scale); cover VG (as arrived, American scale); "
        "inner sleeve G (as arrived, American scale)"
    )


def test_a_play_test_says_what_was_heard_and_no_more(make: SimpleNamespace) -> None:
    record = make.record()
    heard = [
        {"position": "track 2", "ticks": "3", "noise": ""},
        {"position": "run-in", "ticks": "", "noise": "crackle"},
    ]
    record["parts"][0]["grades"] += [
        make.grade("VG+", "A", when="played") | {"heard": heard, "stylus": "elliptical"},
        make.grade("VG+", "B", when="played") | {"heard": []},
    ]
    assert said(make, "play", record) == (
        "side A (elliptical): track 2, 3 ticks / run-in, crackle; side B: nothing heard"
    )
    record["parts"][0]["grades"][-1].pop("heard")
    assert said(make, "play", record).endswith("; side B played")
    assert said(make, "play") == ""


def test_what_was_seen_at_a_clue_can_be_named_by_a_template(make: SimpleNamespace) -> None:
    assert said(make, "answer:qm-label", make.record(answers=[ANSWER])) == "gold print on black"
    assert said(make, "answer:qm-label", make.record(answers=[ANSWER | {"how": "predicted"}])) == ""


def test_a_copy_put_together_says_so(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][1]["origin"] = {"record": "r-9"}
    text = describe(make.item(record), make.words(), TEMPLATES["bare"]).text
    assert "Copy assembled from more than one: cover from another record." in text


def test_edited_words_are_kept_and_marked_once_the_facts_change(make: SimpleNamespace) -> None:
    record = make.record()
    item = make.item(record)
    record["description"] = edit(
        item, make.words(), "My title", "My words.", "long", "2026-11-25T12:00:00+00:00"
    )
    told = describe(item, make.words(), TEMPLATES["long"], "long")
    assert (told.title, told.text, told.state) == ("My title", "My words.", "edited")
    record["price"] = {"minor": 1, "currency": "GBP", "how": "hand"}
    record["shelf"] = "B 7"
    assert describe(item, make.words(), TEMPLATES["long"]).state == "edited"
    record["parts"][0]["grades"].append(make.grade("G", when="played"))
    told = describe(item, make.words(), TEMPLATES["long"])
    assert told.text == "My words."
    assert told.state == "edited; changed since: grades, disc_grade, play"


def test_nothing_is_cut_and_what_is_too_long_is_told(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][1]["faults"] = [make.fault("seam-split", "cm", f"place {n}", "4") for n in range(40)]
    told = describe(make.item(record), make.words(), TEMPLATES["short"], "short")
    assert told.text.count("seam split") == 40
    assert told.over == len(told.text) - 300
    assert "With poster" not in told.text


def test_the_intake_gains_the_description_as_columns(make: SimpleNamespace) -> None:
    more = description_columns(TEMPLATES["short"], "short")
    row = intake([make.item()], make.words(), more=more).dicts()[0]
    assert row["text_title"] == "The Lantern Quire: Moths at Noon (QM 1041)"
    assert row["text_body"].startswith("Pressing: first mono, gold label.")
    assert (row["text_state"], row["text_over"]) == ("made", "0")


def test_the_shops_own_template_takes_the_place_of_one_shipped(tmp_path: Path) -> None:
    (tmp_path / "templates").mkdir()
    (tmp_path / "templates" / "bare.txt").write_text("{title}\n{grades}", encoding="utf-8")
    (tmp_path / "templates" / "mine.txt").write_text("{title}", encoding="utf-8")
    found = load_templates(tmp_path)
    assert set(found) == {"long", "short", "bare", "mine"}
    assert found["bare"] != TEMPLATES["bare"]
    (tmp_path / "templates" / "mine.txt").write_text("{title}\n\n  {colour}", encoding="utf-8")
    with pytest.raises(BenchError, match=r'mine\.txt:3: column 3: there is no field "colour"; did you mean'):
        load_templates(tmp_path)
    problems = check_templates(tmp_path)
    assert [(problem.line, problem.what) for problem in problems] == [
        (3, 'column 3: there is no field "colour"')
    ]
    with pytest.raises(BenchError, match="one of bare, long, short"):
        template_named(TEMPLATES, "none")


def test_the_three_templates_leave_no_loose_signs_behind(make: SimpleNamespace) -> None:
    bare = make.record(parts=[], price=None)
    for record in (make.record(), bare):
        for name, template in TEMPLATES.items():
            told = describe(make.item(record), make.words(), template, name)
            for loose in ("  ", "..", " .", " ,", ": .", "()", "[", "]", "{", "}"):
                assert loose not in told.text + "|" + told.title, (name, told)


def test_a_cover_alone_and_a_disc_alone_say_so_in_the_title_line(make: SimpleNamespace) -> None:
    record = make.record()
    whole = record["parts"]
    for template in TEMPLATES.values():
        cover = describe(make.item(record | {"parts": whole[1:3]}), make.words(), template)
        assert ", cover only" in cover.title
        whole[1]["state"] = "missing"
        assert (
            ", disc only" in describe(make.item(record | {"parts": whole[:2]}), make.words(), template).title
        )
        whole[1].pop("state")
        for parts in (whole, [whole[0], whole[2]]):
            assert "only" not in describe(make.item(record | {"parts": parts}), make.words(), template).title
    assert said(make, "only", record | {"parts": [make.part("box", "b")]}) == "box only"


def test_what_the_title_came_as_is_not_claimed_of_the_copy(make: SimpleNamespace) -> None:
    assert said(make, "channels", make.record(channels="both")) == ""
    assert said(make, "channels") == "mono"


def test_the_number_of_a_limited_cover_is_told_and_a_runout_is_no_number(make: SimpleNamespace) -> None:
    number = ANSWER | {
        "part": "c1",
        "clue": "qm-number",
        "value": 3417,
        "text": "Number of the limited cover: 3417",
    }
    cut = ANSWER | {"clue": "qm-cut", "value": "XQM 1", "text": "Cut"}
    assert said(make, "numbers", make.record(answers=[number, cut])) == "Number of the limited cover: 3417"


def test_discs_come_first_whatever_was_graded_first(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"].reverse()
    assert said(make, "grades", record).startswith("disc VG+; cover VG; inner sleeve G")


def test_probable_dates_are_told_in_whole_months_and_certain_ones_to_the_day(make: SimpleNamespace) -> None:
    seen = make.record(answers=[ANSWER])
    soft = PartSpan(parse_edtf("[1958..]"), parse_edtf("[1960-12-30..1964-08-15]"))
    assert said(make, "disc_dates", seen, parts={"d1": soft}) == (
        "disc probably made between December 1960 and August 1964"
    )
    hard = PartSpan(parse_edtf("[1963-07-02..]"), parse_edtf("[1963-07-02..]"))
    assert said(make, "disc_dates", seen, parts={"d1": hard}) == "disc made on 2 July 1963 or later"


def test_the_discs_of_a_set_are_dated_together_or_each_by_its_name(make: SimpleNamespace) -> None:
    record = make.record(answers=[ANSWER, ANSWER | {"part": "d2", "place": "label C"}])
    record["parts"].append(make.part("disc", "d2", number=2))
    record["parts"][0]["number"] = 1
    early, late = (PartSpan(parse_edtf(text), parse_edtf(text)) for text in ("1967", "1970"))
    assert said(make, "disc_dates", record, parts={"d1": early, "d2": early}) == "discs made in 1967"
    assert said(make, "disc_dates", record, parts={"d1": early, "d2": late}) == (
        "disc 1 made in 1967; disc 2 made in 1970"
    )


@pytest.mark.parametrize("name", ["long", "short", "bare"])
@pytest.mark.parametrize(
    ("answer", "phrase"),
    [
        ("unproven", "Cover signed; not authenticated"),
        ("paper", "Cover signed; a paper with it says whose hand it is"),
    ],
)
def test_a_signature_is_not_authenticated_until_a_paper_says_more(
    make: SimpleNamespace, name: str, answer: str, phrase: str
) -> None:
    signed = ANSWER | {"part": "c1", "place": "whole", "clue": "u-signed", "answer": answer, "text": "signed"}
    record = make.record(answers=[signed])
    told = describe(make.item(record), make.words(), TEMPLATES[name], name)
    assert phrase in told.text
    (claim,) = [claim for claim in told.claims if claim.field == "signed"]
    assert claim.entries == ("answers/c1/whole/u-signed",)


@pytest.mark.parametrize(
    "change",
    [{"answer": "none"}, {"how": "copied"}, {"how": "predicted"}, {"part": "gone-1"}, {"clue": "qm-signed"}],
)
def test_no_signature_is_claimed_where_none_was_seen(make: SimpleNamespace, change: dict[str, str]) -> None:
    signed = ANSWER | {"part": "c1", "place": "whole", "clue": "u-signed", "answer": "unproven"}
    assert said(make, "signed", make.record(answers=[signed | change])) == ""


def test_signatures_on_several_parts_are_told_apart(make: SimpleNamespace) -> None:
    signed = ANSWER | {"place": "whole", "answer": "unproven"}
    found = [signed | {"part": "c1", "clue": "u-signed"}, signed | {"part": "i1", "clue": "u-signed-inner"}]
    assert said(make, "signed", make.record(answers=found)) == (
        "cover signed; not authenticated; inner sleeve signed; not authenticated"
    )


def test_a_cover_put_in_the_place_of_a_missing_one_leaves_nothing_missing(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][1]["state"] = "missing"
    assert said(make, "missing", record) == "cover"
    record["parts"].append(make.part("cover", "c2", make.grade("VG+"), origin={"record": "r-9"}))
    assert said(make, "missing", record) == ""
    assert said(make, "assembled", record) == "copy assembled from more than one: cover from another record"
