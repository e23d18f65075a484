"""A small invented list that the tests of this room share."""

import sys
from pathlib import Path

import pytest

from benchtui.model.title import Title
from benchtui.titles.finder import Finder

sys.path.insert(0, str(Path(__file__).parent))  # for found.py beside this file

ROWS = (
    Title(
        "t-1", "The Harlow Lanes", "Lantern Season", "TW 1041", "1967-05", "Tarrowick", "XV", "5012345678900"
    ),
    Title("t-2", "Harlow Brandt", "The Lamp Wick Hoard", "TW 1042", "1968", "Tarrowick", "XV"),
    Title("t-3", "Odile Vance", "Harbour Slates", "TWD 1043", "1969", "Tarrowick", "XV"),
    Title("t-4", "Odile Vance", "Lantern", "BRK 12-3456", "1971", "Brackwater", "XW"),
    Title("t-5", "Ærlig Ånd", "Søvnløs i Månelys", "NB-77", "1974", "Nordbanen", "XX"),
    Title("t-6", "Ματθίλδη Ροδίου", "Φεγγάρι", "EL 5", "1978", "Ellanor", "XY"),
    Title("t-7", "森の音", "月光物語", "TK 900", "1981", "Kagerune", "XZ"),
    Title("t-8", "Q.U.O.B.", "Don't Wring Mops", "BRK 99", "1973", "Brackwater", "XW"),
    Title("t-9", "Harriet Lang", "Slow Trawl", "TW 2041", "1967", "Tarrowick", "XV"),
)


@pytest.fixture(scope="session")
def rows() -> tuple[Title, ...]:
    return ROWS


@pytest.fixture
def finder() -> Finder:
    return Finder(ROWS)
