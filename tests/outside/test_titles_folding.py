"""Folding against Unicode's own normalisation tests.

Source: Unicode Character Database, NormalizationTest-15.0.0.txt (c) 2022 Unicode, Inc., under the Unicode
License (https://www.unicode.org/terms_of_use.html). Its columns are a text and its NFC, NFD, NFKC and NFKD
forms. What two forms of one text fold to must be the same; that is all folding has to do with
normalisation, since it drops more. Below is a sample: every third line of part 0, and lines at even
distances from the other parts. Where Debian's package unicode-data is installed, all of the file is run.
"""

import bz2
import unicodedata
from collections.abc import Iterable
from pathlib import Path

import pytest

from benchtui.titles.fold import fold

WHOLE = Path("/usr/share/unicode/NormalizationTest.txt.bz2")
SAMPLE = """
1E0A;1E0A;0044 0307;1E0A;0044 0307
1E0C 0307;1E0C 0307;0044 0323 0307;1E0C 0307;0044 0323 0307
1E0A 031B;1E0A 031B;0044 031B 0307;1E0A 031B;0044 031B 0307
1E0C 031B 0307;1E0C 031B 0307;0044 031B 0323 0307;1E0C 031B 0307;0044 031B 0323 0307
00C8;00C8;0045 0300;00C8;0045 0300
0045 0304;0112;0045 0304;0112;0045 0304
1E14 0304;1E14 0304;0045 0304 0300 0304;1E14 0304;0045 0304 0300 0304
1100 AC00 11A8 11A8;1100 AC01 11A8;1100 1100 1161 11A8 11A8;1100 AC01 11A8;1100 1100 1161 11A8 11A8
00A0;00A0;00A0;0020;0020
1D49;1D49;1D49;0065;0065
1FDE;1FDE;1FFE 0301;0020 0314 0301;0020 0314 0301
2F73;2F73;2F73;7A74;7A74
3300;3300;3300;30A2 30D1 30FC 30C8;30A2 30CF 309A 30FC 30C8
ACFB;ACFB;1100 1169 11C2;ACFB;1100 1169 11C2
AF03;AF03;1101 1167 11B6;AF03;1101 1167 11B6
B10B;B10B;1102 1165 11AA;B10B;1102 1165 11AA
B313;B313;1103 1162 11BA;B313;1103 1162 11BA
B51B;B51B;1103 1175 11AE;B51B;1103 1175 11AE
B723;B723;1104 1172 11BE;B723;1104 1172 11BE
B92B;B92B;1105 1170 11B2;B92B;1105 1170 11B2
BB33;BB33;1106 116D 11C2;BB33;1106 116D 11C2
BD3B;BD3B;1107 116B 11B6;BD3B;1107 116B 11B6
BF43;BF43;1108 1169 11AA;BF43;1108 1169 11AA
C14B;C14B;1109 1166 11BA;C14B;1109 1166 11BA
C353;C353;110A 1164 11AE;C353;110A 1164 11AE
C55B;C55B;110B 1161 11BE;C55B;110B 1161 11BE
C763;C763;110B 1174 11B2;C763;110B 1174 11B2
C96B;C96B;110C 1171 11C2;C96B;110C 1171 11C2
CB73;CB73;110D 116F 11B6;CB73;110D 116F 11B6
CD7B;CD7B;110E 116D 11AA;CD7B;110E 116D 11AA
CF83;CF83;110F 116A 11BA;CF83;110F 116A 11BA
D18B;D18B;1110 1168 11AE;D18B;1110 1168 11AE
D393;D393;1111 1165 11BE;D393;1111 1165 11BE
D59B;D59B;1112 1163 11B2;D59B;1112 1163 11B2
D7A3;D7A3;1112 1175 11C2;D7A3;1112 1175 11C2
FB52;FB52;FB52;067B;067B
FD8D;FD8D;FD8D;0645 062C 0645;0645 062C 0645
10796;10796;10796;029C;029C
1D5E2;1D5E2;1D5E2;004F;004F
1D7EE;1D7EE;1D7EE;0032;0032
2F899;5F62;5F62;5F62;5F62
09C7 0334 09BE;09C7 0334 09BE;09C7 0334 09BE;09C7 0334 09BE;09C7 0334 09BE
0CC6 0334 0CD6;0CC6 0334 0CD6;0CC6 0334 0CD6;0CC6 0334 0CD6;0CC6 0334 0CD6
0F5B 0334 0FB7;0F5B 0334 0FB7;0F5B 0334 0FB7;0F5B 0334 0FB7;0F5B 0334 0FB7
1102 0334 116B;1102 0334 116B;1102 0334 116B;1102 0334 116B;1102 0334 116B
1109 0334 1174;1109 0334 1174;1109 0334 1174;1109 0334 1174;1109 0334 1174
1111 0334 1168;1111 0334 1168;1111 0334 1168;1111 0334 1168;1111 0334 1168
1B3F 0334 1B35;1B3F 0334 1B35;1B3F 0334 1B35;1B3F 0334 1B35;1B3F 0334 1B35
B0EC 0334 11B5;B0EC 0334 11B5;1102 1164 0334 11B5;B0EC 0334 11B5;1102 1164 0334 11B5
B69C 0334 11B5;B69C 0334 11B5;1104 116E 0334 11B5;B69C 0334 11B5;1104 116E 0334 11B5
BC4C 0334 11B5;BC4C 0334 11B5;1107 1163 0334 11B5;BC4C 0334 11B5;1107 1163 0334 11B5
C1FC 0334 11B5;C1FC 0334 11B5;1109 116D 0334 11B5;C1FC 0334 11B5;1109 116D 0334 11B5
C7AC 0334 11B5;C7AC 0334 11B5;110C 1162 0334 11B5;C7AC 0334 11B5;110C 1162 0334 11B5
CD5C 0334 11B5;CD5C 0334 11B5;110E 116C 0334 11B5;CD5C 0334 11B5;110E 116C 0334 11B5
D30C 0334 11B5;D30C 0334 11B5;1111 1161 0334 11B5;D30C 0334 11B5;1111 1161 0334 11B5
11347 0334 1133E;11347 0334 1133E;11347 0334 1133E;11347 0334 1133E;11347 0334 1133E
"""


def forms(line: str) -> list[str]:
    """The five columns of a line as text."""
    return ["".join(chr(int(code, 16)) for code in column.split()) for column in line.split(";")[:5]]


def apart(lines: Iterable[str]) -> list[str]:
    """Lines of which two columns fold apart, those aside that hold characters newer than this Python's
    Unicode.
    """
    found = []
    for line in lines:
        if line[:1] in ("", "#", "@"):
            continue
        columns = forms(line)
        known = all(unicodedata.category(char) != "Cn" for text in columns for char in text)
        if known and len({fold(text) for text in columns}) != 1:
            found.append(line)
    return found


def test_all_forms_of_a_text_fold_alike_in_a_sample_of_unicodes_tests() -> None:
    lines = SAMPLE.strip().splitlines()
    assert len(lines) > 50
    assert apart(lines) == []


def test_a_sample_line_that_is_wrong_would_be_found() -> None:
    assert apart(["0041;0041;0041;0041;0042"]) == ["0041;0041;0041;0041;0042"]


@pytest.mark.skipif(not WHOLE.exists(), reason="Debian's unicode-data is not installed")
def test_all_forms_fold_alike_in_the_whole_file() -> None:
    text = bz2.decompress(WHOLE.read_bytes()).decode()
    assert apart(line.split("#")[0] for line in text.splitlines()) == []


def test_all_forms_of_every_letter_fold_alike_and_case_does_not_matter() -> None:
    """The forms from Python's unicodedata, which is made from the same database; every third character."""
    for code in range(0, 0x20000, 3):
        char = chr(code)
        if unicodedata.category(char)[0] in "LN":
            texts = {unicodedata.normalize(form, char) for form in ("NFC", "NFD", "NFKC", "NFKD")}
            texts |= {char, char.upper(), char.lower()}
            assert len({fold(text) for text in texts}) == 1, hex(code)
