"""The topic of direct-set culture: units, packets, grams, and the bulk starter they stand for."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning import culture_units
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import DENSITY, MILK, Input, Topic, answer, percent
from journal.topics.vat import slow_acid

_CELLS = (11.0, 13.0)


def work_out_culture_units(asked: Inputs) -> SumAnswer:
    """Units, packets and grams of a direct-set culture for a milk."""
    milk, left = (
        asked.litres(),
        asked.or_assume("strength", 100.0, "topics.assumed-packet-strength"),
    )
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
            asked.assume("topics.assumed-cells")
    formula = "topics.culture-units-formula"
    caution, limits = slow_acid(asked)
    source = Message("topics.culture-units-source", limits=limits)
    cautions = ("topics.culture-units-caution", caution)
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
        raise TopicError("topics.culture-units-needs")
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
        "topics.culture-units-is-for",
        (
            MILK,
            DENSITY,
            Input("dose", "topics.input-culture-units-dose", tags=("/100 l", "u/100 l", "u")),
            Input("packet_units", "reckoning.units-of-packet", tags=("u", "units")),
            Input("packet_milk", "topics.input-packet-milk", ("volume", "mass")),
            Input("packet_g", "topics.input-packet-g", ("mass_g",)),
            percent("strength", "topics.input-culture-units-strength"),
            percent("bulk_pct", "topics.input-bulk-pct"),
            Input("bulk_units", "topics.input-bulk-units",
                tags=("/100 l", "u/100 l", "u")),
            Input("log_cells", "topics.input-log-cells"),
        ),
        ("activity_units", "packets", "g", "bulk_pct"),
        work_out_culture_units,
        tables=("acid_limits",),
    ),
)  # fmt: skip
