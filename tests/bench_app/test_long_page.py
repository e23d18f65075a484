"""A page of thousands of rows holds those in sight; by key and by wheel every row is in its place."""

from textual.app import App, ComposeResult

from benchtui.bench.looks import NO_THEME, Styles
from benchtui.bench.pieces import FANCY
from benchtui.bench.widgets.listed import Listed, held
from benchtui.bench.widgets.page import Page, Scrolled
from benchtui.desk.core.page_parts import Column, PageView, Row, Table, says

WIDTH, HEIGHT, ROWS = 80, 24, 2_000


class Paged(App[None]):
    """Nothing but a page, as the bench's app shows one."""

    styles_now, plain = Styles(NO_THEME), False

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return NO_THEME

    def compose(self) -> ComposeResult:
        yield Page()

    def put(self, marked: int) -> None:
        rows = [
            Row(f"row:{n}", ((("row", "dim"),), ((str(n), "bold"),)), marked=n == marked) for n in range(ROWS)
        ]
        view = PageView(
            (("Rows", "bold"),),
            facts=(says("a fact"),),
            sections=(Table((Column("name"), Column("no", right=True)), rows, (("all", ""),)),),
        )
        self.top = self.query_one(Page).show(view, WIDTH - 4, HEIGHT - 2, FANCY, Scrolled())

    def seen(self) -> list[str]:
        """The numbers of the rows in sight, by where each row's cells are drawn."""
        body, table = self.query_one(Page).body, self.query_one(Listed)
        found = []
        for n in range(table.row_count):
            y = table.content_region.y + 1 + n  # under the row of the columns' names
            if body.region.y <= y < body.region.bottom:
                found.append(str(table.get_row_at(n)[2]).strip())
        return found


def test_a_long_table_holds_whole_chunks_about_what_is_in_sight() -> None:
    assert held(100, range(20)) == (0, 100)
    assert held(2_000, range(20)) == (0, 80)
    assert held(2_000, range(1_000, 1_020)) == (960, 1_080)
    assert held(2_000, range(1_985, 2_005)) == (1_920, 2_000)


async def test_the_marked_row_of_two_thousand_is_in_sight_and_its_neighbours_stand_about_it() -> None:
    app = Paged()
    async with app.run_test(size=(WIDTH, HEIGHT)) as pilot:
        for marked in (0, 1_000, 1_001, 1_999, 41):
            app.put(marked)
            await pilot.pause()
            seen = app.seen()
            assert str(marked) in seen
            assert seen == [str(n) for n in range(int(seen[0]), int(seen[-1]) + 1)]
            assert app.query_one(Listed).row_count < 200
            assert app.query_one(Listed).region.height == ROWS + 1


async def test_the_wheel_brings_rows_into_sight_that_were_not_held() -> None:
    app = Paged()
    async with app.run_test(size=(WIDTH, HEIGHT)) as pilot:
        app.put(0)
        await pilot.pause()
        body = app.query_one(Page).body
        for y in (500, 1_200, 300):
            body.scroll_to(y=y, animate=False, force=True)
            await pilot.pause()
            assert app.seen()[0] == str(y - 2)  # the heading and the names scroll away with the rows
        body.scroll_end(animate=False, force=True)
        await pilot.pause()
        assert app.seen()[-1] == str(ROWS - 1)
