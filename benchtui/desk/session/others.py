"""What other benches change in a shop on a server, seen while nobody touches a key."""

from benchtui.desk.book.outside import look_at_books
from benchtui.desk.core.desk import Desk
from benchtui.desk.session.resume import resume


def look_at_others(desk: Desk) -> bool:
    """Takes in what was heard of them; whether anything on the screen may have changed by it."""
    heard = desk.shop.home.heard()
    parcel = desk.work.parcel
    if parcel is not None and parcel.read_only and parcel.refresh():
        if desk.work.record_id not in [record["id"] for record in parcel.records]:
            resume(desk)
        heard = True
    return look_at_books(desk) or heard
