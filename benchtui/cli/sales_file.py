"""Takes in a file of sales seen elsewhere and names the lines that are refused."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.signs import print_visible
from benchtui.books.library import Library
from benchtui.books.scales import load_scales
from benchtui.model.grade import Scale
from benchtui.money.learnt import learnt_factors
from benchtui.money.policy import policy_of
from benchtui.money.sales import read_sales
from benchtui.store import Shop


def take_in_sales(shop: Shop, path: Path, progress: Callable[[float], object] | None = None) -> int:
    """Take in what can be read and name the rest by line. 0 all in, 1 some lines refused.

    ``progress`` is called with the share done; what it raises stops it, and nothing is taken in.
    """
    library = Library.open([shop.path / "books"])
    titles = {title.id for title in library.titles()}
    scales = load_scales([shop.path / "books", shop.path])
    known = {str(sale["id"]) for sale in shop.sales_seen()}
    today = datetime.now().astimezone().date()
    read = read_sales(
        path,
        shop.settings,
        today,
        scales,
        known=known,
        title_of=lambda text: text if text in titles else None,
        progress=None if progress is None else lambda line, lines: progress(line / lines),
    )
    if not read.sales and read.bad and not read.again:
        raise BenchError(
            f"no line could be taken in: {read.bad[0].what}", path, read.bad[0].right, read.bad[0].line
        )
    shop.add_sales([dict(sale) for sale in read.sales])
    print(f"{len(read.sales)} sales taken in, {read.again} known already, {len(read.bad)} lines refused")
    for error in read.bad:
        print(error.one_line())
    for line in _learnt(shop, scales):
        print_visible(line)
    return 1 if read.bad else 0


def _learnt(shop: Shop, scales: dict[str, Scale]) -> list[str]:
    """What the sales entered so far teach about the grades."""
    settings = shop.settings
    found = learnt_factors(policy_of(settings), shop.sales_seen(), scales, settings)
    return [
        f"learnt from sales, {scales[scale].name} scale: {learnt.say(grade)}"
        for scale, grades in found.items()
        for grade, learnt in grades.items()
    ]
