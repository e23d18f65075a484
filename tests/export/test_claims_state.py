"""What is said of grades, faults, signatures and what came with it: whole, once, and no more than was seen."""

from types import SimpleNamespace
from typing import Any

import pytest
from claimed import ANSWER, said

from benchtui.books.faults import load_faults
from benchtui.books.scales import load_scales
from benchtui.evidence.clashes import said_so
from benchtui.evidence.results import Clash
from benchtui.export.claims import say
from benchtui.export.describe import describe, load_templates
from benchtui.export.telling import ready
from benchtui.export.wording import Wording

TEMPLATES = load_templates()


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


def test_a_copy_put_together_says_so(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][1]["origin"] = {"record": "r-9"}
    text = describe(make.item(record), make.words(), TEMPLATES["bare"]).text
    assert "Copy assembled from more than one: cover from another record." in text


@pytest.mark.parametrize(
    ("names", "text"),
    [([], ""), (["poster"], "poster"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_what_came_with_it_is_a_list_in_words(make: SimpleNamespace, names: list[str], text: str) -> None:
    parts = [make.part("extra", name, name=name, expected=True, state="present") for name in names]
    assert said(make, "extras", make.record(parts=parts)) == text


def test_no_fault_says_one_thing_twice() -> None:
    words = Wording.of(load_scales(()), load_faults(()))
    for fault in words.faults.values():
        for severity in fault.severities:
            doc: Any = {"fault": fault.id, "severity": severity.id, "place": "", "amount": None, "at": ""}
            degree = words.fault_bits(doc)[0]
            assert degree
            assert fault.text.split()[-1] != degree.split(",")[0], (fault.text, degree)


def test_a_box_s_own_fault_names_the_box_once(make: SimpleNamespace) -> None:
    words = Wording.of(load_scales(()), load_faults(()))
    (split,) = [fault for fault in words.faults.values() if fault.text == "box corner split"]
    doc = make.fault(split.id, split.severities[0].id)
    record = make.record(parts=[make.part("box", "b1", faults=(doc,))])
    assert say("faults", make.item(record), words).text == "box: corner split (one)"


def test_discs_come_first_whatever_was_graded_first(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"].reverse()
    assert said(make, "grades", record).startswith("disc VG+; cover VG; inner sleeve G")


@pytest.mark.parametrize("name", ["long", "short", "bare"])
@pytest.mark.parametrize(
    ("answer", "phrase"),
    [
        ("unproven", "Cover signed; not authenticated"),
        ("paper", "Cover signed; a paper with it names the signer"),
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
    [{"answer": "none"}, {"how": "copied"}, {"how": "predicted"}, {"part": "gone-1"}, {"clue": "tw-signed"}],
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


APART = Clash(
    "c1", "tw-price", "d1", "tw-label", "cover: from 1971, disc by 1966: another copy's?", "tw-price"
)
TORN = Clash(
    "c1",
    "tw-price",
    "c1",
    "tw-cover",
    "cover: from 1971, by 1966",
    "",
    ends=(("c1", "tw-price"), ("c1", "tw-cover")),
)


def test_parts_of_different_times_are_said_and_keep_the_record_from_being_ready(
    make: SimpleNamespace,
) -> None:
    seen = make.record(answers=[ANSWER])
    assert said(make, "assembled", seen, clashes=(APART,)) == (
        "disc and cover are of different times: perhaps a copy assembled from more than one"
    )
    ruled = make.record(answers=[ANSWER], rulings={"c1": "own"})
    assert said(make, "assembled", ruled, clashes=(APART,)) == "disc and cover are of different times"
    for record, told in ((seen, "no"), (ruled, "yes")):
        assert ready(make.item(record, make.weighing(clashes=(APART,))), make.words()) == told


def test_a_part_whose_clues_exclude_each_other_is_said_to_have_no_date(make: SimpleNamespace) -> None:
    looked = [{**said_so(TORN), "at": "2026-11-25T11:30:00Z"}]
    record = make.record(answers=[ANSWER | {"part": "c1", "place": "back"}], looked=looked)
    assert said(make, "assembled", record, clashes=(TORN,)) == (
        "what is seen on the cover contradicts itself, so no date is given for it"
    )
    assert ready(make.item(record, make.weighing(clashes=(TORN,))), make.words()) == "yes", "looked at again"
    record["looked"] = []
    assert ready(make.item(record, make.weighing(clashes=(TORN,))), make.words()) == "no"


def test_of_a_contradiction_within_a_part_only_that_part_is_said_and_the_dealers_own_date_is_named(
    make: SimpleNamespace,
) -> None:
    own = TORN._replace(also=("d1",), ends=(("c1", "by-you"), ("c1", "tw-cover"), ("d1", "tw-label")))
    record = make.record(answers=[ANSWER | {"part": "c1", "place": "back"}])
    assert said(make, "assembled", record, clashes=(own,)) == (
        "what is seen on the cover contradicts our own date for it, so none is given"
    )
    early = TORN._replace(ends=(("c1", "by-you"), ("c1", "first")))
    assert said(make, "assembled", record, clashes=(early,)) == (
        "our own date for the cover is before the title's first issue, so none is given"
    )
