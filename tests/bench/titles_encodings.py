"""How often the encoding of a list is guessed right: lists of 1, 3, 10 and 40 lines, each with a letter beyond ASCII.

    python tests/bench/titles_encodings.py [--times 40] [--seed 11]

Names of languages and countries in sixteen languages (Debian's iso-codes, LGPL-2.1+, as PyPI pycountry 26.2.16
ships them), those alone that the encoding has all letters of and that are not the English ones. Right is a list
that reads as it was written.
"""

import argparse
import gettext
import random
import time
from importlib.resources import files

from benchtui.titles.encoding import guess

WRITTEN = {
    "cp1252": "de fr es it nl pt sv da", "cp850": "de fr es it pt sv da", "mac_roman": "de fr es it sv",
    "cp1250": "pl cs hu sk hr", "cp852": "pl cs hu", "cp1251": "ru uk bg", "cp1253": "el", "cp932": "ja",
    "euc_jp": "ja",
}  # fmt: skip
LENGTHS = (1, 3, 10, 40)


def names(language: str, encoding: str) -> list[str]:
    """What that language calls languages and countries, beyond ASCII and writable in the encoding."""
    found: set[str] = set()
    for domain in ("iso639-3", "iso639-5", "iso3166-1"):
        try:
            said = gettext.translation(domain, str(files("pycountry") / "locales"), languages=[language])
        except OSError:
            continue
        catalogue = said._catalog  # type: ignore[attr-defined]
        found |= {name for key, name in catalogue.items() if key and name and name not in (key, "")}
    return sorted(name for name in found if not name.isascii() and _writes(name, encoding))


def _writes(name: str, encoding: str) -> bool:
    return name.encode(encoding, "ignore").decode(encoding) == name


def is_right(lines: list[str], encoding: str) -> bool:
    """Whether the list reads as it was written."""
    data = [line.encode(encoding) for line in lines]
    found, _ = guess(data)
    return [line.decode(found, "replace") for line in data] == lines


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=40)
    parser.add_argument("--seed", type=int, default=11)
    options = parser.parse_args()
    begin = time.process_time()
    for encoding, languages in WRITTEN.items():
        for language in languages.split():
            pool, shares = names(language, encoding), []
            for length in LENGTHS:
                rng = random.Random(f"{options.seed} {encoding} {language} {length}")
                lists = [
                    [f"{rng.choice(pool)};Out;AB {no};1967" for no in range(length)]
                    for _ in range(options.times)
                ]
                shares.append(sum(is_right(lines, encoding) for lines in lists) / options.times)
            print(f"{encoding:10}{language:4}{len(pool):6}  " + "  ".join(f"{share:.2f}" for share in shares))
    print(f"{time.process_time() - begin:.0f} s of processor time")


if __name__ == "__main__":
    main()
