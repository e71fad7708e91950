"""Which of several orders leads."""

from datetime import date

from core.orders import Order, OrderKind
from core.programmes.ordered import own_plan

DAY = date(2026, 10, 5)


def test_of_two_plans_of_one_day_the_newest_leads() -> None:
    first = Order(DAY, "coach", OrderKind.SET, sets=5, reps=5, added_g=60_000)
    then = Order(DAY, "coach", OrderKind.SET, sets=3, reps=5, added_g=5_000)
    assert own_plan((first, then)) == then
    assert own_plan((then, first)) == first
    assert own_plan(()) is None
