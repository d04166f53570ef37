"""What a kilogram of cheese costs: milk, what goes in, work; fresh and after the loss of ageing."""

from __future__ import annotations

from journal.reckoning.bounds import Numbers, above, at_least, within


def whole_cost(
    milk: Numbers,
    milk_price: Numbers,
    other: Numbers = 0.0,
    hours: Numbers = 0.0,
    wage: Numbers = 0.0,
) -> Numbers:
    """Milk × its price + other costs + hours × wage, in the prices' own money. Exact.

    `milk` and `milk_price` go by the same unit, L or kg.
    """
    above(milk, 0, "reckoning.milk")
    at_least(milk_price, 0, "reckoning.price-of-milk")
    at_least(other, 0, "reckoning.other-costs")
    at_least(hours, 0, "reckoning.time", "h")
    at_least(wage, 0, "reckoning.wage")
    return milk * milk_price + other + hours * wage


def cost_per_kg(cost: Numbers, cheese_kg: Numbers, loss_pct: Numbers = 0.0) -> Numbers:
    """What a kg costs after so much of its weight is lost in the room: cost / (kg × (1 − loss)).

    Exact.
    """
    at_least(cost, 0, "reckoning.cost")
    above(cheese_kg, 0, "reckoning.weight-of-cheese", "kg")
    within(loss_pct, 0, 90, "reckoning.loss", "%")
    return cost / (cheese_kg * (1 - loss_pct / 100))
