"""Names for files: what no system takes, and a plain name made of anything."""

import pytest

from benchtui.model.filename import LONGEST, name_fault, plain_name


@pytest.mark.parametrize("name", ["", ".", "..", " x", "é" * LONGEST])
def test_what_is_no_name_is_refused(name: str) -> None:
    assert name_fault(name)


@pytest.mark.parametrize("text", ["", "...", "\0", "../../x", "con", "x" * 5000, "é" * 5000, "a. ", "\udcff"])
def test_a_plain_name_can_stand_in_a_file_s_name_whatever_it_is_made_of(text: str) -> None:
    made = f"statement-{plain_name(text)}-2026-11-25.csv"
    assert name_fault(made) == ""
    assert "/" not in made


def test_a_plain_name_keeps_letters_of_any_script() -> None:
    assert plain_name("Ångström & Söhne") == "Ångström---Söhne"
