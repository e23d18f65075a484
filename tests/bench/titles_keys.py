"""How many keys until the right title stands first, on the films of titles_films.py.

    python tests/bench/titles_keys.py [--sample 200] [--picks 3000]

First without any history: typing the title from its start, and the shortest of the forms a dealer may
choose (start of the title; letters of the maker's last name and of a title word; of two title words;
initials), beside the smallest possible: the shortest such form that only one title of the list answers to.

Then with a history: picks are drawn from a skewed distribution (weight 1/rank), as a few titles make most
of a dealer's stock; the next ones are typed with and without what was learnt.
"""

import argparse
import random
import statistics
from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import accumulate, permutations

from titles_films import bare, films, last_name

from benchtui.model.title import Title
from benchtui.titles.finder import Finder
from benchtui.titles.fold import fold, initials
from benchtui.titles.hit import Context

MOST = 4
"""Letters of each of two words in a form."""
LONGEST = 30


def forms(title: Title) -> Iterator[str]:
    """Everything a dealer may type to mean the title."""
    name, start = last_name(title), bare(title)
    yield from (start[:length] for length in range(1, len(start) + 1) if start[length - 1] != " ")
    words = list(dict.fromkeys(start.split()))
    pairs = [(name, word) for word in words if name] + list(permutations(words, 2))
    for one, two in pairs:
        for first in range(1, min(MOST, len(one)) + 1):
            for second in range(1, min(MOST, len(two)) + 1):
                yield f"{one[:first]} {two[:second]}"
    short = initials(fold(title.title))
    yield from (short[:length] for length in range(2, len(short) + 1))


def smallest(title: Title, counts: Counter[str]) -> int:
    """Keys of the shortest form that is this title's alone; a whole title's where none is."""
    return min((len(form) for form in forms(title) if counts[form] == 1), default=len(bare(title)))


def keys_from_start(finder: Finder, title: Title, context: Context | None = None) -> int:
    """Keys of the title from its start until it is first; the whole title and one to choose where it never
    is.
    """
    text = bare(title)[:LONGEST]
    for length in range(1, len(text) + 1):
        if text[length - 1] != " " and is_first(finder, text[:length], title, context):
            return length
    return len(text) + 1


def keys_best(finder: Finder, title: Title, most: int) -> int:
    """Keys of the shortest form that puts it first."""
    for form in sorted(set(forms(title)), key=len):
        if len(form) >= most:
            break
        if is_first(finder, form, title):
            return len(form)
    return most


def is_first(finder: Finder, typed: str, title: Title, context: Context | None = None) -> bool:
    """Whether the title stands first."""
    hits = [[], *finder.steps(typed, 1, context)][-1]
    return bool(hits) and hits[0].title.id == title.id


def without_history(finder: Finder, titles: list[Title], sample: list[Title]) -> None:
    """Prints the first table."""
    counts: Counter[str] = Counter()
    for title in titles:
        counts.update(set(forms(title)))
    started = [keys_from_start(finder, title) for title in sample]
    best = [keys_best(finder, title, most) for title, most in zip(sample, started, strict=True)]
    least = [smallest(title, counts) for title in sample]
    print(f"{len(sample)} titles, no history; mean keys until the title is first")
    print(f"  typed from its start          {statistics.fmean(started):5.2f}")
    print(f"  shortest form that will do    {statistics.fmean(best):5.2f}")
    print(f"  smallest possible (unique)    {statistics.fmean(least):5.2f}")


def with_history(finder: Finder, titles: list[Title], picks: int, sample: int, rng: random.Random) -> None:
    """Prints the second table."""
    stock = rng.sample(titles, len(titles))
    weights = list(accumulate(1 / rank for rank in range(1, len(stock) + 1)))
    drawn = rng.choices(stock, cum_weights=weights, k=picks + sample)
    seen: dict[str, tuple[int, str]] = {}
    for no, title in enumerate(drawn[:picks]):
        when = date(2026, 1, 1) + timedelta(days=no * 300 // picks)
        seen[title.id] = (seen.get(title.id, (0, ""))[0] + 1, when.isoformat())
    context = Context(picks=seen)
    for _ in finder.warm(context):
        pass
    asked = drawn[picks:]
    plain = [keys_from_start(finder, title) for title in asked]
    learnt = [keys_from_start(finder, title, context) for title in asked]
    known = [(one, two) for one, two, title in zip(plain, learnt, asked, strict=True) if title.id in seen]
    print(
        f"{picks} picks of {len(seen)} titles learnt; the next {sample}, {len(known)} of titles picked before"
    )
    print(f"  without the history           {statistics.fmean(plain):5.2f}")
    print(f"  with it                       {statistics.fmean(learnt):5.2f}")
    print(
        f"  of those picked before        {statistics.fmean(one for one, _ in known):5.2f}", end=" without, "
    )
    print(f"{statistics.fmean(two for _, two in known):5.2f} with")


def main() -> None:
    """Prints both tables."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--sample", type=int, default=200)
    parser.add_argument("--picks", type=int, default=3000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    titles, rng = films(), random.Random(options.seed)
    finder = Finder(titles)
    without_history(finder, titles, rng.sample(titles, options.sample))
    with_history(finder, titles, options.picks, options.sample, rng)


if __name__ == "__main__":
    main()
