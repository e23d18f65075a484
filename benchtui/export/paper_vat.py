"""What an invoice or a credit note says of VAT, from the shop's entries: what is printed is what is booked.

Outside the margin scheme it shows net, rate, VAT for each rate and gross (Directive 2006/112/EC, article 226,
points 8 to 10); within it the wording of the scheme and no VAT (article 226, point 14; article 325).
VAT is rounded for each record by the shop's rule and then added up.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, NamedTuple

from benchtui.export.page import shown, tag
from benchtui.model.money import Money
from benchtui.money.consign import percent_words
from benchtui.money.dated import value_on
from benchtui.money.entries import Entry
from benchtui.money.notice import TAX_ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.scheme import vat_in

MARGIN_WORDS = "Margin scheme - Second-hand goods"
"""Directive 2006/112/EC, article 226(14): what an invoice of second-hand goods under the scheme says. The
shop's setting ``margin_wording`` goes before it, in the language of the place."""
_SCHEMES = {"item by item": "margin", "period": "margin", "outside": "ordinary", "to be asked": "to be asked"}
Facts = Mapping[str, Mapping[str, int]]


class Taxed(NamedTuple):
    """One record's sale or refund. ``kind``: margin, ordinary, to be asked, or "" where there is no VAT of
    the shop's; ``gross`` is what of it is taxed, ``vat`` in it, in minor units; ``rate`` a share of one, None
    where none is set for the day of the sale. ``answered``: what was to be asked then is answered now."""

    stock: str
    sold_on: str
    kind: str = ""
    gross: int = 0
    vat: int = 0
    rate: Fraction | None = None
    answered: bool = False

    @property
    def ordinary(self) -> bool:
        """Whether its VAT is shown."""
        return self.kind == "ordinary" and self.rate is not None


def booked_vat(entries: Iterable[Entry]) -> Facts:
    """Key of a sale or refund -> figures for the VAT return, with all that corrected it since."""
    corrects: dict[str, str] = {}
    found: dict[str, dict[str, int]] = {}
    for entry in entries:
        root = corrects.get(entry.corrects, entry.corrects) or entry.key
        corrects[entry.key] = root
        mine = found.setdefault(root, {})
        for name, minor in entry.memo:
            mine[name] = mine.get(name, 0) + minor
    return found


def taxed(
    record: Mapping[str, Any], event: Mapping[str, Any], sold_on: str, facts: Facts, rates: Rates
) -> Taxed:
    """The VAT of a sale, or of what was given back (then as amounts above 0)."""
    figures = facts.get(f"{record['id']}:{event['n']}", {})
    sign = 1 if event["what"] == "sold" else -1
    for scheme, kind in _SCHEMES.items():
        if gross := figures.get(f"{scheme} takings", 0):
            vat, rate = figures.get(f"{scheme} VAT", 0), rates.on(sold_on).vat_rate
            shown_vat = sign * vat if kind == "ordinary" else 0
            return Taxed(str(record["stock"]), sold_on, kind, sign * gross, shown_vat, rate)
    return Taxed(str(record["stock"]), sold_on)


def marks(mine: Sequence[Taxed]) -> list[str]:
    """What stands in the line of each: ``20 %``, ``margin scheme``; nothing where no VAT is shown at all."""
    if not any(one.ordinary for one in mine):
        return [""] * len(mine)
    return [
        f"{percent_words(one.rate)} %"
        if one.ordinary and one.rate is not None
        else "margin scheme"
        if one.kind == "margin"
        else ""
        for one in mine
    ]


def net_of(amount: Money, vat: Taxed, rates: Rates) -> Money | None:
    """Without VAT, by the rate and rounding of the sale; None where none is shown."""
    if not vat.ordinary or vat.rate is None:
        return None
    return amount - vat_in(amount, vat.rate, rates.on(vat.sold_on).vat_rounding)


class Beside(NamedTuple):
    """What stands beside the prices of a paper: of all records of one rate. ``net`` is None where no VAT of
    it is shown."""

    label: str
    mark: str
    amount: Money
    net: Money | None


def beside(
    vat: Sequence[Taxed], rates: Rates, lines: Sequence[Money], more: Sequence[tuple[str, Sequence[int]]]
) -> Iterator[Beside]:
    """``lines``: the amount of each record's line; ``more``: what stands beside them, with its minor units
    for each record. The last one of a rate takes what is left of its net, so that the column adds up.
    """
    code, marked = lines[0].currency, marks(vat)
    nets = [net_of(line, one, rates) for line, one in zip(lines, vat, strict=True)]
    found: list[Beside] = []
    for label, each in more:
        for mark in dict.fromkeys(marked):
            mine = [n for n, one in enumerate(marked) if one == mark]
            amount = Money(sum(each[n] for n in mine), code)
            if amount.minor:
                found.append(Beside(label, mark, amount, net_of(amount, vat[mine[0]], rates)))
    for mark in dict.fromkeys(one.mark for one in found if one.net is not None):
        mine = [n for n, one in enumerate(marked) if one == mark]
        rows = [n for n, one in enumerate(found) if one.mark == mark]
        gross = sum(lines[n].minor for n in mine) + sum(found[n].amount.minor for n in rows)
        if gross == sum(vat[n].gross for n in mine):
            told = sum(net.minor for n in mine if (net := nets[n])) + sum(_net(found[n]) for n in rows[:-1])
            rest = sum(vat[n].gross - vat[n].vat for n in mine) - told
            found[rows[-1]] = found[rows[-1]]._replace(net=Money(rest, code))
    yield from found


def _net(one: Beside) -> int:
    return one.net.minor if one.net else 0


def vat_table(
    mine: Sequence[Taxed], whole: int, currency: str, shop: Sequence[Taxed] = (), own: str = ""
) -> str:
    """Net, VAT and gross of each rate, then what has none: it adds up to ``whole``. "" without VAT.

    On a paper in another currency the VAT stands beside it in the shop's ``own``, from ``shop``.
    """
    if not any(one.ordinary for one in mine):
        return ""
    also = [f"VAT in {own}"] if shop else []
    rows = [tag("tr", _cells(f"VAT, in {currency}", "net", "VAT", "with VAT", *also), "head")]
    rest = whole
    for rate in sorted({one.rate for one in mine if one.ordinary and one.rate is not None}):
        gross, vat = _sums(mine, rate)
        rest -= gross
        amounts = [Money(minor, currency).plain() for minor in (gross - vat, vat, gross)]
        amounts += [Money(_sums(shop, rate)[1], own).plain()] if shop else []
        rows.append(tag("tr", _cells(f"{percent_words(rate)} %", *amounts)))
    if margin := sum(one.gross for one in mine if one.kind == "margin"):
        rest -= margin
        rows.append(tag("tr", _cells("margin scheme", "", "", Money(margin, currency).plain())))
    if rest:
        rows.append(tag("tr", _cells("no VAT shown", "", "", Money(rest, currency).plain())))
    return tag("table", "".join(rows), "vat")


def _sums(mine: Sequence[Taxed], rate: Fraction) -> tuple[int, int]:
    """Gross and VAT of one rate."""
    same = [one for one in mine if one.ordinary and one.rate == rate]
    return sum(one.gross for one in same), sum(one.vat for one in same)


def vat_words(mine: Sequence[Taxed], settings: Mapping[str, Any]) -> Iterator[str]:
    """The wording of the scheme, for which records where not for all."""
    if under := [one.stock for one in mine if one.kind == "margin"]:
        said = str(value_on(settings.get("margin_wording"), mine[0].sold_on) or MARGIN_WORDS)
        yield said if len(under) == len(mine) else f"{said}: {', '.join(under)}"


def vat_cautions(mine: Sequence[Taxed]) -> Iterator[str]:
    """What the dealer has to know of VAT on a paper, and no buyer reads: what is not known yet, and that
    figures of tax are estimates where some stand there."""
    if any(one.ordinary for one in mine):
        yield TAX_ESTIMATE
    if asked := [one.stock for one in mine if one.kind == "to be asked" and not one.answered]:
        said = "whether the margin scheme may be used is not answered yet"
        yield f"No VAT is shown for {', '.join(asked)}: {said}. Answer on the record's page."
    for one in mine:
        if one.kind == "ordinary" and one.rate is None:
            yield f"No VAT is shown for {one.stock}: the shop's rules have no VAT rate for {one.sold_on}."


def _cells(what: str, *amounts: str) -> str:
    return tag("td", shown(what)) + "".join(tag("td", shown(amount), "num") for amount in amounts)
