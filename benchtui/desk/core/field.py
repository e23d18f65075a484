"""The shop's field: the usual company and country of what it deals in, and what a number's prefix says."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from benchtui.books.library import Library, prefix_of
from benchtui.titles.values import channels_of

ABOUT = (
    "company; country; number prefixes and your own words for mono and stereo: "
    "Whelkin; XV; WK = mono, SWK = stereo, 1K = mono"
)


@dataclass(frozen=True)
class Field:
    """``country`` ISO 3166 alpha-2, ``prefixes``: letters a number begins with, and its channels."""

    company: str = ""
    country: str = ""
    prefixes: Mapping[str, str] = field(default_factory=dict)

    def channels(self, catalogue: str) -> str:
        """What the longest prefix that fits says of a number; "" where none does."""
        number = _letters(catalogue)
        fits = [one for one in self.prefixes if _letters(one) and number.startswith(_letters(one))]
        return self.prefixes[max(fits, key=len)] if fits else ""


def _letters(text: str) -> str:
    return "".join(char for char in text.upper() if char.isalnum())


def field_of(settings: Mapping[str, Any]) -> Field:
    """The shop's field as its settings have it; an empty one where they have none."""
    kept = settings.get("field")
    if not isinstance(kept, Mapping):
        return Field()
    prefixes = kept.get("prefixes")
    known = dict(prefixes) if isinstance(prefixes, Mapping) else {}
    return Field(str(kept.get("company") or ""), str(kept.get("country") or ""), known)


def facts_of_new(
    settings: Mapping[str, Any], library: Library, catalogue: str, company: str = ""
) -> dict[str, str]:
    """What a new title takes: company, country and channels of the field, the date by the books' rules.

    ``company``: the one that was typed with it, in place of the field's, whose prefixes say nothing of it. A
    number that begins as those of another company's titles alone is that company's; with a prefix of the
    field only where the books know the field's company by other numbers.
    """
    usual = field_of(settings)
    whose = library.company_by_prefix
    fields = usual.channels(catalogue) and usual.company not in whose.values()
    theirs = "" if fields else whose.get(prefix_of(catalogue), "")
    company = company or theirs or usual.company
    first = library.first_issued(catalogue, company) if catalogue else None
    facts = {
        "company": company,
        "country": usual.country,
        "channels": usual.channels(catalogue)
        if not usual.company or company in (usual.company, theirs)
        else "",
        "first": first.edtf() if first is not None and first.known else "",
    }
    return {key: value for key, value in facts.items() if value}


def read_field(text: str) -> dict[str, Any]:
    """``Whelkin; XV; WK = mono, SWK = stereo`` as the settings keep it. ValueError, in a sentence, else."""
    parts = [" ".join(part.split()) for part in text.split(";")]
    company, country, rest = [*parts, "", "", ""][:3]
    if len(parts) > 3:
        raise ValueError(f"three things, separated by semicolons: {ABOUT}")
    if country and not (len(country) == 2 and country.isalpha()):
        raise ValueError(f"'{country}' is no country code of two letters, such as GB, DE or XV")
    prefixes = {}
    for told in filter(None, (one.strip() for one in rest.split(","))):
        prefix, _, said = (part.strip() for part in told.partition("="))
        channels = channels_of(said)[0]  # as a list's column of channels is read
        if not prefix or not channels:
            raise ValueError(f"'{told}' does not say mono or stereo: WK = mono, SWK = stereo")
        prefixes[prefix.upper()] = channels
    return {"company": company, "country": country.upper(), "prefixes": prefixes}


def field_read(text: str) -> str:
    """The field as it is read, "" where it stands so already. ValueError, in a sentence, for what is none."""
    shown = show_field({"field": read_field(text)})
    return "" if _bare(shown) == _bare(text) else shown


def _bare(text: str) -> str:
    return "".join(text.casefold().split()).rstrip(";")


def show_field(settings: Mapping[str, Any]) -> str:
    """The field as it is typed; "" for none."""
    known = field_of(settings)
    told = ", ".join(f"{prefix} = {channels}" for prefix, channels in known.prefixes.items())
    parts = [known.company, known.country, told]
    return "; ".join(parts).rstrip("; ") if any(parts) else ""
