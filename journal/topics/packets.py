"""The topic of direct-set culture: units, packets, grams, and the bulk starter they stand for."""

from __future__ import annotations

from journal.reckoning import culture_units
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import DENSITY, MILK, Input, Topic, answer, percent
from journal.topics.vat import slow_acid

_CELLS = (11.0, 13.0)


def work_out_culture_units(asked: Inputs) -> SumAnswer:
    """Units, packets and grams of a direct-set culture for a milk."""
    milk, left = asked.litres(), asked.or_assume("strength", 100.0, "a packet at its full strength")
    values: dict[str, object] = dict.fromkeys(("activity_units", "packets", "g", "bulk_pct"))
    dose, count = _dose(asked, milk, left)
    if dose is not None:
        values["activity_units"] = milk * dose / 100
        asked.warn(culture_units.units_warnings(dose))
    values["packets"] = count
    grams = _grams(asked, count, milk)
    if grams is not None:
        values["g"] = grams
        asked.warn(culture_units.weighing_warnings(grams))
    if asked.has("bulk_units") and dose is not None:
        one = asked.need("bulk_units")
        values["bulk_pct"] = float(culture_units.bulk_pct_by_units(dose, one))
    elif grams is not None:
        sure = asked.number("log_cells")
        ends = _CELLS if sure is None else (sure, sure)
        share = grams * left / 100
        low, high = (float(culture_units.bulk_pct_by_cells(share, milk, one)) for one in ends)
        values["ranges"] = {"bulk_pct": (low, high)}
        if sure is not None:
            values["bulk_pct"] = low
        else:
            asked.assume(
                "10^11 to 10^13 cells in a g of the culture (Mullan); cells are not activity: "
                "dried ones wake later"
            )
    formula = (
        "units = litres / 100 × dose; packets = units / units of a packet × 100 / strength left; "
        "bulk starter: dose / what the maker says stands for 1 %, or as many cells at 10⁹ in a ml"
    )
    caution, limits = slow_acid(asked)
    source = (
        "the packet; makers' sheets as dealers restate them (2 to 20 units for 100 L); cells: "
        f"Mullan, dairyscience.info; limits of acid: {limits}"
    )
    cautions = ("The units of two makers are not the same: go by the packet at hand.", caution)
    return answer(asked, values, formula, source, cautions=cautions)


def _dose(asked: Inputs, milk: float, left: float) -> tuple[float | None, float | None]:
    """Units for 100 L and packets, as far as the packet's words tell them."""
    dose, inside = asked.number("dose"), asked.number("packet_units")
    if asked.has("packet_milk"):
        each = asked.litres("packet_milk")
        count = float(culture_units.packets(milk, each, left))
        return (dose if inside is None else inside / each * 100), count
    if dose is None and asked.has("bulk_pct", "bulk_units"):
        dose = asked.need("bulk_pct") * asked.need("bulk_units")
    if dose is None:
        if asked.has("bulk_pct", "log_cells"):
            return None, None
        raise TopicError(
            "“culture-units” needs dose in units for 100 L, or packet_milk, the milk one packet is "
            "for, or bulk_pct with bulk_units or log_cells."
        )
    units = float(culture_units.units_for_milk(milk, dose))
    if inside is None:
        return dose, None
    return dose, float(culture_units.packets(units, inside, left))


def _grams(asked: Inputs, count: float | None, milk: float) -> float | None:
    """Grams by the packet's weight, or for the cells of a bulk starter."""
    weight = asked.number("packet_g")
    if count is not None and weight is not None:
        return count * weight
    if count is None and asked.has("bulk_pct", "log_cells"):
        one = float(culture_units.bulk_pct_by_cells(1.0, milk, asked.need("log_cells")))
        return asked.need("bulk_pct") / one
    return None


TOPICS = (
    Topic(
        "culture-units",
        "direct-set culture by units, packets or grams, and the bulk starter it stands for",
        (
            MILK,
            DENSITY,
            Input("dose", "units for 100 L of milk", tags=("/100 l", "u/100 l", "u")),
            Input("packet_units", "units in the packet", tags=("u", "units")),
            Input("packet_milk", "the milk that one packet is for", ("volume", "mass")),
            Input("packet_g", "what the packet weighs", ("mass_g",)),
            percent("strength", "strength that an old packet has left"),
            percent("bulk_pct", "a dose of bulk starter to stand for"),
            Input("bulk_units", "units for 100 L that the maker says stand for 1 % of bulk starter",
                tags=("/100 l", "u/100 l", "u")),
            Input("log_cells", "cells in a g as a power of ten, like 11"),
        ),
        ("activity_units", "packets", "g", "bulk_pct"),
        work_out_culture_units,
        tables=("acid_limits",),
    ),
)  # fmt: skip
