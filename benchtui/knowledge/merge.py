"""Another dealer's book taken into mine: what is new comes with its source, what differs is kept beside."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from benchtui.books.as_table import (
    answer_table,
    book_title_table,
    clue_table,
    pressing_table,
    words_value,
)
from benchtui.books.from_bench import new_id
from benchtui.books.library import Library
from benchtui.books.shape import BookHead, Clue, Pressing, Word
from benchtui.knowledge.asked import Target
from benchtui.knowledge.one_pressing import passing, taken_over
from benchtui.knowledge.other import ClueMatch, Comparison, PressingMatch, TitleMatch
from benchtui.knowledge.put import Books, journalled


class _Merge:
    """One comparison written into the shop's books."""

    def __init__(
        self, found: Comparison, mine: Library, theirs: BookHead, target: Target, books: Books
    ) -> None:
        self.found, self.mine, self.theirs, self.books = found, mine, theirs, books
        self.book = books.book(target.path, target.text)
        self.head = target.head
        self.clue_ids: dict[str, str] = {}
        self.answers: dict[str, dict[str, str]] = {}

    def write(self) -> None:
        """All of it, into the books that are open."""
        for clue in self.found.clues:
            self._clue(clue)
        for title in self.found.titles:
            if title.how == "new":
                self._title(title)
        for pressing in self.found.pressings:
            if pressing.how == "new":
                self._new_pressing(pressing.title, pressing.theirs)
            elif pressing.how == "same" and pressing.takes_grown:
                self._in_place(pressing)
            elif pressing.how == "same":
                self._beside(pressing)
        strangers = self.book.head().get("strangers", [])
        self.book.put_head({"strangers": list(dict.fromkeys([*strangers, self.found.source]))})

    def _clue(self, match: ClueMatch) -> None:
        if match.how == "new":
            taken = {clue.id for clue in self.mine.clues()} | set(self.book.ids("clue"))
            made = match.theirs.id
            if made in taken:
                made = new_id(f"{self.theirs.id}-{made}", taken)
            self.clue_ids[match.theirs.id] = made
            clue = match.theirs._replace(id=made, titles=(), source=match.theirs.source or self.found.source)
            self.book.put_clue(clue_table(clue, self.head))
        elif match.how == "same" and match.mine is not None:
            self.clue_ids[match.theirs.id] = match.mine.id
            self._answers(match, match.mine)

    def _answers(self, match: ClueMatch, mine: Clue) -> None:
        """Their answers that mine does not have, with their source; as far as there are digits."""
        named = {theirs: own for theirs, own in match.answers.items() if own is not None}
        for answer, digit in match.added()[0]:
            made = new_id(answer.text, [one.id for one in mine.answers] + list(named.values()))
            named[answer.id] = made
            source = answer.source or self.found.source
            self.book.put_answer(mine.id, answer_table(answer._replace(id=made, digit=digit, source=source)))
        self.answers[match.theirs.id] = named

    def _expect(self, pressing: Pressing) -> dict[str, dict[str, Word]]:
        """What theirs expects in my ids; what stands on a question that was skipped is left out."""
        made: dict[str, dict[str, Word]] = {}
        skipped = {one.theirs.id for one in self.found.clues if one.how in ("doubtful", "skipped")}
        for clue_id, words in pressing.expect.items():
            if clue_id in skipped:
                continue
            named = self.answers.get(clue_id)
            kept = {
                answer if named is None else named[answer]: word
                for answer, word in words.items()
                if named is None or answer in named
            }
            target = self.clue_ids.get(clue_id, clue_id)
            if kept and (target in self.book.ids("clue") or self.mine.clue(target) is not None):
                made[target] = kept
        return made

    def _title(self, match: TitleMatch) -> None:
        taken = {row.id for row in self.mine.titles()} | set(self.book.ids("title"))
        title_id = match.theirs.id if match.theirs.id not in taken else new_id(match.theirs.id, taken)
        known = self.mine.cipher(match.theirs.cipher) is not None
        title = replace(match.theirs, id=title_id, cipher=match.theirs.cipher if known else "", clues=())
        self.book.put_title(book_title_table(title, self.head))
        for pressing in match.theirs.pressings:
            self._put(title_id, pressing, ())

    def _new_pressing(self, match: TitleMatch, pressing: Pressing) -> None:
        assert match.mine is not None
        self._put(match.mine.id, pressing, [one.id for one in match.mine.pressings])

    def _in_place(self, match: PressingMatch) -> None:
        """Theirs was written down, mine grew here: theirs is put in, and mine passes to it."""
        mine, title = match.mine, match.title.mine
        assert mine is not None
        assert title is not None
        home = self.books.home_of(title.id, mine.id)
        if home is None:
            return
        made = self._put(title.id, match.theirs, [one.id for one in title.pressings])
        given, put = home.pressing(title.id, mine.id) or {}, self.book.pressing(title.id, made) or {}
        same_money = home.head().get("currency", "") == self.book.head().get("currency", "")
        self.book.change_pressing(title.id, made, taken_over(put, given, same_money))
        home.change_pressing(title.id, mine.id, passing(made, match.theirs.name))

    def _put(self, title_id: str, pressing: Pressing, taken: Any) -> str:
        slug = pressing.id.rpartition("/")[2]
        used = {one.removeprefix(f"{title_id}/") for one in taken}
        pressing_id = f"{title_id}/{new_id(slug, used)}"
        same_money = self.theirs.currency == (self.book.head().get("currency") or "")
        made = replace(
            pressing,
            id=pressing_id,
            price=pressing.price if same_money else None,
            imitates=None if taken else pressing.imitates,
            source=pressing.source or self.found.source,
            expect=self._expect(pressing),
            said=(),
        )
        self.book.put_pressing(title_id, pressing_table(made, self.theirs.currency))
        return pressing_id

    def _beside(self, match: PressingMatch) -> None:
        """What mine is silent of is filled in; what theirs says otherwise is kept beside it."""
        mine, title = match.mine, match.title.mine
        assert mine is not None
        assert title is not None
        theirs = self._expect(match.theirs)
        fills = {clue: words for clue, words in theirs.items() if not mine.expect.get(clue)}
        other = {clue: words for clue, words in theirs.items() if dict(mine.expect.get(clue, {})) != words}
        said: dict[str, Any] = {"source": self.found.source}
        if match.theirs.period.known and match.theirs.period != mine.period:
            said["period"] = match.theirs.period.edtf()
        if other:
            said["expect"] = _values(other)
        home = self.books.home_of(title.id, mine.id) if len(said) > 1 else None
        if home is None:
            return
        table = home.pressing(title.id, mine.id) or {}
        kept = [one for one in table.get("said", []) if one.get("source") != self.found.source]
        expect = {**table.get("expect", {}), **_values(fills)}
        home.change_pressing(title.id, mine.id, {"said": [*kept, said], "expect": expect or None})


def _values(expect: Mapping[str, Mapping[str, Word]]) -> dict[str, Any]:
    return {clue: words_value(words) for clue, words in expect.items()}


def merge(found: Comparison, mine: Library, theirs: BookHead, shop: Path, target: Target) -> None:
    """Writes the comparison: nothing of mine is overwritten. BenchError: nothing is written."""
    with journalled(shop, f"{found.source} merged into {target.path.stem}", target.head.currency) as books:
        _Merge(found, mine, theirs, target, books).write()
