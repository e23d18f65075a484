"""Descriptions: a title line and one honest paragraph from the facts, and what becomes of edited ones."""

from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.base.reading import read_text
from benchtui.books.row import Problem
from benchtui.export.claim import Said
from benchtui.export.claims import CLAIMS, NO_FACTS, known_field, say
from benchtui.export.items import Item
from benchtui.export.table import Column
from benchtui.export.telling import Teller
from benchtui.export.template import Template, fill, parse_template
from benchtui.export.wording import Wording

SHIPPED = Path(__file__).parent / "templates"
DEFAULT = "long"
MOST_BYTES = 1_000_000


class Traced(NamedTuple):
    """One claim of a description: the field, its words, and the entries of the record they rest on."""

    field: str
    text: str
    entries: tuple[str, ...]


class Description(NamedTuple):
    """``over`` and ``title_over``: characters above the template's limit; nothing is ever cut off.

    ``edited``: the text is the dealer's own. ``changed`` then names the facts that are no longer what they
    were when it was edited.
    """

    title: str
    text: str
    template: str
    claims: tuple[Traced, ...] = ()
    over: int = 0
    title_over: int = 0
    edited: bool = False
    changed: tuple[str, ...] = ()

    @property
    def state(self) -> str:
        """``made``, ``edited``, or ``edited; changed since: grades, faults``."""
        if not self.edited:
            return "made"
        return "edited" + (f"; changed since: {', '.join(self.changed)}" if self.changed else "")


def load_templates(shop: Path | None = None) -> dict[str, Template]:
    """Every template by name: those shipped, then ``templates/*.txt`` of the shop, which win.

    BenchError with file, line and column for a template that names an unknown field or cannot be read.
    """
    folders = [SHIPPED] + ([shop / "templates"] if shop else [])
    files = [path for folder in folders for path in sorted(folder.glob("*.txt"))]
    return {path.stem: read_template(path) for path in files}


def check_templates(shop: Path) -> list[Problem]:
    """What is wrong with the shop's templates, for ``benchtui check``: the first fault of each file."""
    problems: list[Problem] = []
    for path in sorted((shop / "templates").glob("*.txt")):
        try:
            read_template(path)
        except BenchError as error:
            problems.append(Problem(error.where, error.line, "", error.what, error.right))
    return problems


def read_template(path: Path) -> Template:
    """One template file."""
    text = read_text(path, MOST_BYTES, "a template is a text file")
    return parse_template(text, path, known_field)


def template_named(templates: dict[str, Template], name: str) -> Template:
    """The template, or a BenchError that lists those there are."""
    if name not in templates:
        raise BenchError(
            f'there is no template "{name}"', "templates", "one of " + ", ".join(sorted(templates))
        )
    return templates[name]


def describe(item: Item, words: Wording, template: Template, name: str = "") -> Description:
    """The description as the facts make it, or as the dealer edited it."""
    said: dict[str, Said] = {}

    def text_of(field: str) -> str:
        if field not in said:
            said[field] = say(field, item, words)
        return said[field].text

    kept = item.record.get("description")
    if kept:
        return _edited(kept, item, words, template, name)
    title, body = (
        fill(template.title, text_of, template.title_limit),
        fill(template.body, text_of, template.limit),
    )
    fields = dict.fromkeys((*title.fields, *body.fields))
    claims = tuple(Traced(field, said[field].text, said[field].entries) for field in fields)
    return Description(title.text, body.text, name, claims, body.over, title.over)


def edit(item: Item, words: Wording, title: str, text: str, name: str, at: str) -> dict[str, Any]:
    """What the record keeps as ``description`` once the dealer has changed the words.

    The facts of that moment are kept beside them, so that the text can be marked when they change.
    """
    return {"title": title, "text": text, "template": name, "at": at, "facts": facts(item, words)}


def facts(item: Item, words: Wording) -> dict[str, str]:
    """Every field that says something, but for those that are no fact about the record (price, shelf ...)."""
    said = {field: say(field, item, words).text for field in CLAIMS if field not in NO_FACTS}
    return {field: text for field, text in said.items() if text}


def description_columns(template: Template, name: str) -> tuple[tuple[Column, Teller], ...]:
    """The columns the intake gains: ``text_title``, ``text_body``, ``text_state``, ``text_over``."""
    last: list[tuple[Item, Description]] = []

    def made(item: Item, words: Wording) -> Description:
        """Made once a record, not once a column."""
        if not last or last[0][0] is not item:
            last[:] = [(item, describe(item, words, template, name))]
        return last[0][1]

    def teller(pick: str) -> Teller:
        return lambda item, words: str(getattr(made(item, words), pick))

    return (
        (Column("text_title", "text", "title line of the description"), teller("title")),
        (Column("text_body", "text", "the description, one paragraph"), teller("text")),
        (Column("text_state", "text", "made, or edited, and which facts changed since"), teller("state")),
        (
            Column("text_over", "number", "characters over the template's limit; nothing is cut"),
            teller("over"),
        ),
    )


def _edited(kept: dict[str, Any], item: Item, words: Wording, template: Template, name: str) -> Description:
    now, then = facts(item, words), kept.get("facts", {})
    changed = tuple(
        field for field in CLAIMS if now.get(field, "") != then.get(field, "") and field not in NO_FACTS
    )
    title, text = str(kept["title"]), str(kept["text"])
    return Description(
        title,
        text,
        str(kept.get("template") or name),
        over=_over(text, template.limit),
        title_over=_over(title, template.title_limit),
        edited=True,
        changed=changed,
    )


def _over(text: str, limit: int | None) -> int:
    return max(0, len(text) - limit) if limit is not None else 0
