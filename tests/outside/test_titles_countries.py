"""Countries as lists name them: the English short names of ISO 3166-1 (Debian's iso-codes, LGPL-2.1+, as PyPI
pycountry 26.2.16 ships them) give their codes, and the codes themselves do.
"""

import pycountry

from benchtui.titles.values import country_of


def test_every_name_and_code_of_iso_3166_1_gives_its_code() -> None:
    for country in pycountry.countries:
        names = [country.name, getattr(country, "common_name", ""), country.alpha_2]
        assert {country_of(name)[0] for name in names if name} == {country.alpha_2}, country


def test_no_two_letters_give_a_code_that_the_standard_neither_has_nor_leaves_to_its_users() -> None:
    """ISO 3166-1, user-assigned: AA, QM to QZ, XA to XZ, ZZ; ISO 3166-3: withdrawn. UK and EU are reserved."""
    assigned = {country.alpha_2 for country in pycountry.countries}
    withdrawn = {country.alpha_2 for country in pycountry.historic_countries}
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    users = {"AA", "ZZ", *(f"Q{one}" for one in letters[12:]), *(f"X{one}" for one in letters)}
    given = {country_of(one + two)[0] for one in letters for two in letters}
    assert given - assigned - withdrawn - users - {"EU", ""} == set()
