"""Names of files against what Windows keeps for itself.

Source: Microsoft, "Naming Files, Paths, and Namespaces" (learn.microsoft.com, Win32, file system), section
Naming Conventions: the reserved signs, the reserved names ("also avoid these names followed immediately by
an extension; for example, NUL.txt and NUL.tar.gz are both equivalent to NUL"), and "do not end a file or
directory name with a space or a period".
"""

import pytest

from benchtui.model.filename import name_fault

DEVICES = ["CON", "PRN", "AUX", "NUL", *(f"{kind}{n}" for kind in ("COM", "LPT") for n in "123456789¹²³")]


@pytest.mark.parametrize("name", DEVICES)
def test_the_names_of_devices_are_refused_in_any_case_and_with_any_ending(name: str) -> None:
    for each in (name, name.lower(), name.title(), f"{name}.txt", f"{name}.tar.gz", f"{name.lower()}.toml"):
        assert "device" in name_fault(each), each


@pytest.mark.parametrize("sign", [*'<>:"/\\|?*', "\0", "\x01", "\x1f"])
def test_the_reserved_signs_are_refused(sign: str) -> None:
    assert name_fault(f"a{sign}b")


@pytest.mark.parametrize("name", ["book.", "book ", "book.. ", "book.toml.", "book.toml "])
def test_a_name_that_ends_with_a_space_or_a_period_is_refused(name: str) -> None:
    assert name_fault(name)


@pytest.mark.parametrize(
    "name", ["conrad.toml", "com10.csv", "null", "aux-1.zip", "my.con", ".temp", "a b.csv"]
)
def test_names_that_only_look_like_them_are_taken(name: str) -> None:
    assert name_fault(name) == ""
