"""The page of a correction: the whole paper as it was, as it is, and the difference, with the VAT of both."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from benchtui.export.issued import AMOUNTS, WORDS, Correction, Kind
from benchtui.export.page import aside, shown, tag
from benchtui.export.paper_money import PaperMoney, paper_money
from benchtui.export.paper_then import Shown
from benchtui.export.paper_vat import Taxed, vat_cautions, vat_words
from benchtui.model.money import Money
from benchtui.money.book import description
from benchtui.money.consign import percent_words
from benchtui.money.deal import extra

_VAT_SHOWN = {"margin": "margin scheme", "to be asked": "not shown", "": "none"}
_SUMS: Mapping[Kind, str] = {"invoice": "to pay", "credit note": "given back"}
_VOID: Mapping[Kind, str] = {
    "invoice": "The invoice is void: nothing of it is to pay.",
    "credit note": "The credit note is void: nothing was given back.",
}
Side = list[tuple[Shown | None, Taxed | None]]
"""Each record with its VAT in the currency of the paper."""


class CorrectionPage:
    """A correction of an invoice or a credit note, in the currency of the paper."""

    def __init__(self, made: Correction, currency: str) -> None:
        self.made = made
        both = [one for one in (*made.was, *made.now) if one is not None]
        given = [] if made.kind == "invoice" else [one.event for one in both]
        self.money: PaperMoney = paper_money([one.sale for one in both], currency, given)
        self.was, self.now = (self._side(one) for one in (made.was, made.now))

    def _side(self, states: Sequence[Shown | None]) -> Side:
        of = self.money.of_sale if self.made.kind == "invoice" else self.money.of_given
        return [(one, of(one.vat, one.event, one.rates) if one else None) for one in states]

    def html(self, heads: str, settings: Mapping[str, Any]) -> Iterator[str]:
        """``heads``: the rows of shop, day and buyer."""
        yield tag("h1", shown(self.made.name)) + heads
        was, now = (_known(side) for side in (self.was, self.now))
        shows_vat = [] if now else [one for one in was if one.ordinary]
        yield "".join(map(aside, vat_cautions([*shows_vat, *now])))
        rows = [_row("correction", "was", "is", "difference", css="head"), *self._words()]
        yield tag("table", "".join((*rows, *self._amounts(), *self._tax())), "lines change")
        yield "".join(tag("p", shown(said)) for said in (*self._void(), *self._who_gets()))
        yield "".join(tag("p", shown(said)) for said in vat_words(now, settings) if now)

    def _pairs(self) -> list[tuple[Shown, Shown]]:
        pairs = zip(self.made.was, self.made.now, strict=True)
        return [(was, now) for was, now in pairs if was is not None and now is not None]

    def _words(self) -> Iterator[str]:
        for name, label in WORDS[self.made.kind].items():
            yield from self._changed(label, _word(name))
        yield from self._changed("sold for", lambda one: "the owner" if one.consigned else "the shop")
        yield from self._changed("VAT", lambda one: _vat_shown(one.vat))

    def _changed(self, label: str, word: Callable[[Shown], str]) -> Iterator[str]:
        """A row where it is the same of all records, else one for each of which it changed."""
        told = [(str(was.record["stock"]), word(was), word(now)) for was, now in self._pairs()]
        of_all = len({(was, now) for _, was, now in told}) == 1
        for stock, was, now in told[:1] if of_all else told:
            if was != now:
                yield _row(label if of_all else f"{label}, {stock}", was, now, "")

    def _amounts(self) -> Iterator[str]:
        """As they stand on the paper: each record, what is beside them, the sum."""
        was, now = (self._of(side) for side in (self.made.was, self.made.now))
        last = _SUMS[self.made.kind]
        for label in was:
            if label == last or was[label] or now[label]:
                css = "sum" if label == last else ""
                code = f", in {self.money.currency}" if css else ""
                yield _figures(f"{label}{code}", was[label], now[label], self.money.currency, css)
        if words := self.money.rate_words():
            yield _figures(words, self._own(self.made.was), self._own(self.made.now), self.money.shop)

    def _of(self, side: Sequence[Shown | None]) -> dict[str, int]:
        """Label -> amount in minor units; what is taken off is below 0."""
        money, known = self.money, [one for one in side if one is not None]
        each = zip(self.made.issued, side, strict=True)
        lines = {f"{of.record['stock']}  {description(of.record)}": self._line(one) for of, one in each}
        if self.made.kind == "credit note":
            parts = [money.given_parts(one.record, one.sale, one.event)[1:] for one in known]
            beside = {
                "postage and packing": sum(one for one, _ in parts),
                "tax collected": sum(t for _, t in parts),
            }
            return lines | beside | {"given back": sum(lines.values()) + sum(beside.values())}
        sums = {name: sum(money.amount(one.event, name) for one in known) for name in AMOUNTS}
        beside = {
            "discount": -sums["discount"],
            "postage and packing": sums["postage"],
            "tax collected": sums["tax"],
            "taken in exchange": -sums["traded"],
            "credited for what came back": -sum(money.credited(one.event) for one in known),
        }
        return lines | beside | {"to pay": sum(lines.values()) + sum(beside.values())}

    def _line(self, one: Shown | None) -> int:
        """A record's own amount: its price before any discount, or what was given back of its price."""
        if one is None:
            return 0
        if self.made.kind == "credit note":
            return self.money.given_parts(one.record, one.sale, one.event)[0]
        return self.money.price(one.event) + self.money.amount(one.event, "discount")

    def _own(self, side: Sequence[Shown | None]) -> int:
        """The whole in the shop's own currency, as the paper has it."""
        beside = ("postage", "tax") if self.made.kind == "invoice" else ()
        known = [one.event for one in side if one is not None]
        return sum(int(one["minor"]) + sum(extra(one, name) for name in beside) for one in known)

    def _void(self) -> Iterator[str]:
        if not any(self.made.now):
            yield _VOID[self.made.kind]
            return
        gone = [
            str(of.record["stock"])
            for of, one in zip(self.made.issued, self.made.now, strict=True)
            if one is None
        ]
        if gone:
            what = "the sale is void" if self.made.kind == "invoice" else "nothing was given back"
            yield f"Of {', '.join(gone)} {what}."

    def _who_gets(self) -> Iterator[str]:
        """What is paid now, said to the buyer. Of what is void nothing is known to have been paid."""
        if None in (*self.made.was, *self.made.now):
            return
        label = _SUMS[self.made.kind]
        off = self._of(self.made.now)[label] - self._of(self.made.was)[label]
        amount = Money(abs(off), self.money.currency).show()
        if off and label == "to pay":
            yield f"Paid back to you: {amount}." if off < 0 else f"To pay: {amount} more."
        elif off:
            yield f"Paid back to you: {amount} {'less' if off < 0 else 'more'}."

    def _tax(self) -> Iterator[str]:
        """Net and VAT, where the paper showed VAT or would now; in the shop's own currency too."""
        was, now = ([one for one in _known(side) if one.ordinary] for side in (self.was, self.now))
        if not was and not now:
            return
        code, rates = self.money.currency, {one.rate for one in (*was, *now)}
        rate = next(iter(rates)) if len(rates) == 1 else None
        each = f"VAT {percent_words(rate)} %" if rate is not None else "VAT"
        net = sum(one.gross - one.vat for one in was), sum(one.gross - one.vat for one in now)
        shown_net = [(was or not _known(self.was)), (now or not _known(self.now))]
        if all(shown_net):
            yield _figures("without VAT", *net, code)
        else:
            cells = [Money(net[n], code).plain() if there else "-" for n, there in enumerate(shown_net)]
            yield _row("without VAT", *cells, "-")
        yield _figures(each, sum(one.vat for one in was), sum(one.vat for one in now), code)
        if self.money.paid_in is not None:
            own = self._own_vat(self.made.was), self._own_vat(self.made.now)
            yield _figures(f"{each}, in {self.money.shop}", *own, self.money.shop)

    def _own_vat(self, side: Sequence[Shown | None]) -> int:
        return sum(one.vat.vat for one in side if one is not None and one.vat.ordinary)


def _word(name: str) -> Callable[[Shown], str]:
    return lambda one: str(one.event.get(name) or "-")


def _known(side: Side) -> list[Taxed]:
    return [vat for _, vat in side if vat is not None]


def _vat_shown(one: Taxed) -> str:
    """What a paper says of VAT in a word or two."""
    if one.kind == "ordinary":
        return f"{percent_words(one.rate)} %" if one.rate is not None else "no rate set"
    return _VAT_SHOWN[one.kind]


def _figures(label: str, was: int, now: int, code: str, css: str = "") -> str:
    return _row(label, *(Money(minor, code).plain() for minor in (was, now, now - was)), css=css)


def _row(what: str, *cells: str, css: str = "") -> str:
    return tag(
        "tr", tag("td", shown(what), "what") + "".join(tag("td", shown(one), "num") for one in cells), css
    )
