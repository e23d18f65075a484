"""Folding: what is typed and what is listed are brought to one plain form before they are compared.

Accents, case, width, punctuation and the apostrophe never matter; the letters of every script stay letters.
Folded text is kept decomposed (Unicode NFKD), so that a half-composed Hangul syllable or a kana without its
voicing mark is a prefix of the finished one, just as it is while somebody types.
"""

import re
import unicodedata
from functools import lru_cache

# Letters that Unicode does not decompose although everybody types them as plain ones.
_PLAIN = {
    "ø": "o", "đ": "d", "ð": "d", "ł": "l", "ħ": "h", "ŧ": "t", "ı": "i", "ĸ": "k", "ŋ": "n",
    "æ": "ae", "œ": "oe", "þ": "th", "ə": "e", "ƒ": "f", "&": " and ", "+": " and ",
}  # fmt: skip
_GLUE = frozenset("'’‘ʼ`´′ʹʻ\u00ad\u200b\u200c\u200d\ufeff\u0640")
_DOTTED = re.compile(r"(?<![^\W_])([^\W\d_])\.(?=[^\W\d_](?![^\W_]))")
_SEVERAL = re.compile(r"\s*[/;,]\s*")
_FILLED = re.compile(r"(?<!\d)0+(?=\d)")
_GROUP = re.compile(r"\d+|[^\W\d]+")
_PLAIN_ASCII = re.compile(r"[a-z0-9 ]*")

ARTICLES = frozenset({
    "the", "a", "an", "le", "la", "les", "un", "une", "des", "l", "der", "die", "das", "ein",
    "eine", "el", "los", "las", "una", "il", "lo", "gli", "i", "o", "os", "as", "um", "uma",
    "de", "het", "een", "den", "det", "en", "et",
})  # fmt: skip
"""Articles of the languages records are titled in; a leading one may be typed or left out (from memory)."""


def _keep_mark(char: str) -> bool:
    """Vowel signs, viramas and voicing marks carry meaning; accents, points and tone marks are dropped.

    By canonical combining class (Unicode, UAX 44, table 15): 0 spacing, 7 nukta, 8 kana voicing, 9 virama.
    """
    return unicodedata.combining(char) in (0, 7, 8, 9)


@lru_cache(maxsize=20_000)
def fold_char(char: str) -> str:
    """The folded form of one character: "" where it is dropped, " " where it only parts words."""
    out: list[str] = []
    for piece in unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", char).casefold()):
        for low in _PLAIN.get(piece, piece):
            group = unicodedata.category(low)[0]
            if low in _GLUE or (group == "M" and not _keep_mark(low)):
                continue
            out.append(low if group in "LNM" else " ")
    return "".join(out)


def undot(text: str) -> str:
    """``R.O.M.`` is one word, as people type it: the full stops between single letters go."""
    return _DOTTED.sub(r"\1", text) if "." in text else text


def dots_within(text: str) -> set[int]:
    """Places of the full stops that ``undot`` takes out."""
    return {found.end() - 1 for found in _DOTTED.finditer(text)}


def fold(text: str) -> str:
    """The folded text: words of letters and digits parted by single spaces."""
    if not text.isascii():
        # Composed first, so that marks that belong together fall together.
        text = unicodedata.normalize("NFKC", text)
    low = undot(text).lower()
    if _PLAIN_ASCII.fullmatch(low):
        return " ".join(low.split())
    return " ".join("".join(map(fold_char, low)).split())


KANA = {**{code: code - 0x60 for code in range(0x30A1, 0x30F7)}, 0x30FD: 0x309D, 0x30FE: 0x309E}
"""Katakana -> hiragana (Unicode keeps both in the same order)."""


def look_up(text: str) -> str:
    """The folded text as it is indexed and looked up: katakana is hiragana, as it is typed before it is
    converted.
    """
    folded = fold(text)
    return folded if folded.isascii() else folded.translate(KANA)


def article_length(folded: str) -> int:
    """How many characters a leading article and its space take; 0 where there is none or nothing follows."""
    first, space, rest = folded.partition(" ")
    return len(first) + 1 if space and rest and first in ARTICLES else 0


def initials(folded: str) -> str:
    """First letters of the words; a word of digits gives all its digits."""
    return "".join(word if word.isdigit() else word[0] for word in folded.split())


def digits_of(text: str) -> str:
    """The decimal digits of any script as ASCII."""
    return "".join(str(unicodedata.digit(char)) for char in text if char.isdecimal())


def number_key(text: str) -> str:
    """A catalogue number or barcode without spaces, dashes and stops: ``TW 1041-B`` is ``tw1041b``."""
    return fold(text).replace(" ", "")


def number_form(text: str) -> str:
    """A number as it is looked up: the letter O and the figure 0 are one, for they look alike on a label."""
    return number_key(text).replace("o", "0")


def without_zeros(form: str) -> str:
    """The number without the zeros that fill up its groups: ``qm0041`` is ``qm41``."""
    return _FILLED.sub("", form)


def number_keys(catalogue: str) -> list[str]:
    """All that a catalogue number may be typed as: whole, and from each of its groups of letters or digits
    on, with the zeros that fill a group up and without.

    Several numbers in one field are parted by a slash, comma or semicolon.
    """
    keys: list[str] = []
    for one in _SEVERAL.split(catalogue):
        key = number_key(one)
        begins = [0] + [found.start() for found in _GROUP.finditer(key) if found.start()]
        starts, at = set(begins), 0
        for word in fold(one).split():
            starts.add(at)
            at += len(word)
        forms = [key[start:].replace("o", "0") for start in sorted(starts) if key]
        keys += [form for form in forms if form == forms[0] or len(form) > 1 or form.isdigit()]
    return list(dict.fromkeys([*keys, *map(without_zeros, keys)]))


_JOINED = re.compile(
    "[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\U00020000-\U0003ffff]{2,}"
)


def word_starts(folded: str) -> list[str]:
    """The words, and for scripts that write no spaces every place within a run where a word may start."""
    words = folded.split()
    if folded.isascii():
        return words
    for word in list(words):
        for run in _JOINED.finditer(word):
            words += [run.group()[at : at + 8] for at in range(1, len(run.group()))]
    return words
