"""A shop whose books may be changed, and tables to take into them."""

import shutil
import sys
from pathlib import Path

import pytest

from benchtui.books.library import Library
from benchtui.knowledge.asked import target_of
from benchtui.knowledge.plan import Decisions, Plan
from benchtui.knowledge.put import put
from benchtui.knowledge.rows import read_table
from benchtui.knowledge.take import plan_of

sys.path.insert(0, str(Path(__file__).parent))  # for untidy.py beside this file
DEMO = Path(__file__).parents[2] / "demo" / "shop"


class Field:
    """A shop's folder with its books, and what is done to them here."""

    def __init__(self, shop: Path) -> None:
        self.shop = shop
        (shop / "books").mkdir(parents=True, exist_ok=True)

    @property
    def library(self) -> Library:
        return Library.open([self.shop / "books"], cache=self.shop / "cache")

    def texts(self) -> dict[str, str]:
        return {path.name: path.read_text() for path in sorted((self.shop / "books").glob("*.toml"))}

    def table(self, text: str, name: str = "table.csv") -> Path:
        path = self.shop / name
        path.write_text(text, encoding="utf-8")
        return path

    def plan(
        self, file: Path, into: str = "own", decisions: Decisions | None = None, fixed=None, **more
    ) -> Plan:
        target = target_of(self.shop / "books", into, **more)
        return plan_of(
            read_table(file, fixed), self.library, target.head, decisions, more.get("currency", "")
        )

    def take(
        self, file: Path, into: str = "own", decisions: Decisions | None = None, fixed=None, **more
    ) -> Plan:
        target = target_of(self.shop / "books", into, **more)
        plan = self.plan(file, into, decisions, fixed, **more)
        put(plan, self.shop, target.path, target.text)
        return plan


@pytest.fixture
def field(tmp_path):
    return Field(tmp_path / "shop")


@pytest.fixture
def demo_field(tmp_path):
    shutil.copytree(DEMO / "books", tmp_path / "shop" / "books")
    return Field(tmp_path / "shop")
