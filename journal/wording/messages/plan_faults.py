"""The sentences of `curves` about what cannot work in a plan, and what may harm who eats it."""

from __future__ import annotations

from journal.wording.messages.plan_kinds import KINDS
from journal.wording.sentences import Messages

FAULTS: Messages = {
    # Temperature
    "curves.cook-colder-than-set": (
        "The {stage} at {target_c:temperature.1} is colder than the set at {set_c:temperature.1}: "
        "curd is heated to drive the whey out."
    ),
    "curves.set-without-temperature": "The {stage} has no temperature: rennet needs one.",
    "curves.set-too-warm": (
        "At {target_c:temperature.1} rennet hardly works: it is at its best near 41 °C."
    ),
    "curves.culture-temperature": (
        "No {culture} culture works at {target_c:temperature.1}: it needs "
        "{lowest_c:temperature.0} to {highest_c:temperature.0}."
    ),
    "curves.ramp-at-once": (
        "To reach {target_c:temperature.1} in time the {stage} would warm at once, faster "
        "than its limit of {limit:.2g}."
    ),
    "curves.ramp-too-steep": (
        "To reach {target_c:temperature.1} in time the {stage} would warm {rate:.2g} °C a "
        "minute, faster than its limit of {limit:.2g}."
    ),
    "curves.wash-too-cold": (
        "Water at {water_c:temperature.0} brings the curd to about {ends_c:temperature.1}, not to "
        "{target_c:.1f}: use more or warmer water, or heat the vat too."
    ),
    # Acid
    "curves.gate-after-stage": (
        "The acid target begins after {minutes:duration}, when the {stage} is over."
    ),
    "curves.gate-too-late": (
        "Any {culture} culture is below pH {ph:.2f} long before, after "
        "{minutes:duration}: the acid target comes too late."
    ),
    "curves.gate-never-reached": (
        "No {culture} culture reaches pH {ph:.2f} in the {minutes:duration} until "
        "then, nor ever at these temperatures."
    ),
    "curves.gate-too-soon": (
        "No {culture} culture reaches pH {ph:.2f} in the {minutes:duration} until "
        "then: the fastest takes about {quickest:duration}."
    ),
    "curves.acid-too-late": (
        "The acid comes too late: no {culture} culture is below pH {ph:.2f} by then; {limit}."
    ),
    "curves.gate-too-sweet": "This acid target leaves the curd too sweet; {limit}.",
    "curves.gates-at-once": (
        "The acid target is pH {low:.2f} to {high:.2f} at the very moment at which "
        "the {stage} still asks for {first_low:.2f} to {first_high:.2f}: leave time "
        "between them."
    ),
    # What is added
    "curves.no-rennet": ("No rennet is added before or at the {stage}: the milk will not set."),
    "curves.culture-in-none": (
        "A culture is added at the {stage}, but the plan says that it has none: name its type."
    ),
    "curves.no-culture-before-set": ("No culture is added before the set: there will be no acid."),
    "curves.no-salt": "The {stage} has no salt.",
    "curves.brine-without-strength": "The {stage} has no strength: write brine 20 %.",
    "curves.brine-too-long": (
        "A wheel {high_mm:.0f} mm high takes up about {salt_g:.0f} g of salt for 100 "
        "g of its water in {minutes:duration}; the saltiest published cheese has "
        "{most_g:.0f}. About {would_do:duration} would be enough."
    ),
    "curves.much-calcium": (
        "{percent:.3f} % of calcium chloride (of a 30 % solution) is more than the legal 0.02 % of "
        "the milk."
    ),
    "curves.much-rennet": (
        "This is {imcu_per_kg:.3g} IMCU/kg of rennet at single strength. {why:sentences}"
    ),
    "curves.much-culture": (
        "Culture of {percent:.3g} % of the milk is more than the {most:.0f} % published for any of "
        "these cheeses."
    ),
    "curves.much-colour": (
        "Colour of {ml_per_1000_kg:.3g} ml for 1000 kg of milk: an orange cheese "
        "takes about 100 ml, others 1 to 2; follow the maker's sheet."
    ),
    "curves.much-salt": "Salt of {percent:.3g} % of the curd. {why:sentences}",
    # The curd
    "curves.before-the-set": "The {stage} comes before the set: there is no curd yet.",
    "curves.pieces-grow": (
        "The curd was cut to {smallest_mm:size} before: pieces do not grow to {size_mm:size}."
    ),
    "curves.much-whey": (
        "That is {percent:.0f} % of the milk drawn off as whey, more than the curd leaves."
    ),
    "curves.much-pressure": (
        "{kpa:.0f} kPa is more than the 195 kPa (28 psi) published for any of these cheeses, and "
        "more than a kitchen's mould takes."
    ),
    "curves.much-load": (
        "{kg:.0f} kg is {times:.0f} times the wheel's own weight; the old rule is 10 "
        "to 20 times, and a kitchen's mould is made for that. Check that it is not a "
        "factory's pressure."
    ),
    "curves.little-milk": (
        "With {litres:g} L the wheel is too thin for the plan's load: in a mould of "
        "{mould_mm:size} the plan works from {least_l:g} L of milk on. Take a narrower mould, "
        "or more milk."
    ),
    "curves.tower-of-curd": (
        "{cheese_kg:mass.1} of curd would stand {high_mm:.0f} mm high in one mould "
        "of {mould_mm:size}, more than one and a half times its width: press it in "
        "{moulds} moulds, each under the load of one, or in one of {wider_mm} mm."
    ),
    # What may harm who eats it
    "curves.raw-in-soft": (
        "{treatment:first} milk in a soft cheese: Listeria grows in it even in the cold, and "
        "ripened with mould it carries 50 to 160 times the risk of pasteurised milk (draft "
        "assessment of the US and Canadian authorities). Use pasteurised milk; your local code "
        "decides."
    ),
    "curves.raw-in-butter": (
        "{treatment:first} cream in butter: what is in it lives on for weeks in the cold. Use "
        "pasteurised cream; your local code decides."
    ),
    "curves.raw-too-young": (
        "{treatment:first} milk, tasted after {days:day|days}: where raw milk is "
        "allowed, the law mostly asks for at least 60 days, and even those prove "
        "nothing. Taste it later, or use pasteurised milk."
    ),
    "curves.culture-killed": (
        "At {target_c:temperature.1} the {stage} kills a {culture} culture: there is no "
        "acid after it. Stay below {below_c:temperature.0}, or use another type of culture."
    ),
    "curves.pressed-unsalted": (
        "This cheese is pressed and aged without any salt: bacteria that salt would "
        "hold back can grow in it. Salt the curd with 1.5 to 2.5 % of its weight, or "
        "brine the wheel."
    ),
    "curves.soft-kept-warm": (
        "A soft cheese would stand {days:day|days} at {warmest_c:temperature.1}: Listeria "
        "and mould grow on it. Move it to {cold_c:temperature.0} or colder within "
        "{allowed:day|days}."
    ),
    **KINDS,
}
