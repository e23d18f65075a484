"""Under a line that takes dates: how what is typed is read, before it is taken."""

from collections.abc import Callable, Iterable

from benchtui.base.errors import BenchError
from benchtui.books.dated_words import DatedWords, HalfDateError, answers_apart, read_dated, states_in_turn
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.model.span import dots_text

READ_AS = "read as "


def shows(read: Callable[[Desk, OpenLine], str]) -> Callable[[Desk, OpenLine], None]:
    """What a line does at each key: it says what ``read`` gives, and what it is for where that is nothing or
    raises ValueError or BenchError; of a date that would be read by half, that it is not read.
    """

    def typed(desk: Desk, line: OpenLine) -> None:
        about = str(line.data.setdefault("about", line.about))
        try:
            told = read(desk, line) if line.text.strip() else ""
        except HalfDateError as error:
            line.about = str(error)
            return
        except (ValueError, BenchError):
            told = ""
        line.about = f"{READ_AS}{told}" if told else about

    return typed


def dates_read(texts: Iterable[str]) -> str:
    """``red, made ..1964, soft; ring, of any time``: those with a time typed. ValueError: a wrong one."""
    told = [(read_dated(text), " ".join(text.split())) for text in texts]
    return "; ".join(_dated(one) for one, typed in told if one.span is not None or one.words != typed)


def _dated(said: DatedWords) -> str:
    if said.span is None:
        return f"{said.words}, of any time"
    why = f" ({said.why})" if said.why else ""
    return ", ".join(filter(None, (said.words, f"made {dots_text(said.span)}", said.hardness))) + why


def states_read(desk: Desk, line: OpenLine) -> str:
    """Of a line that tells a lane: every state with its dates, also one of any time."""
    told = [one for one in states_in_turn(line.text.partition("/")[2]) if one.words]
    return "; ".join(map(_dated, told))


def answers_read(desk: Desk, line: OpenLine) -> str:
    """Of a line of several answers; what tells of the question itself stands before the first slash."""
    head, _, rest = line.text.partition("/")
    return dates_read(answers_apart(rest if ":" in head else line.text))


def answer_read(desk: Desk, line: OpenLine) -> str:
    """Of a line of one answer; nothing of words that the bench proposed."""
    return "" if line.text == line.opened else dates_read([line.text.strip().removeprefix("+")])
