"""Which numbers may stand without a unit: those that can be meant in one unit only.

Bounds are in the key's own unit; outside them a unit is asked for. Where a likely number in
one unit is a likely one in another too (a load in kg or lb, a pressure in kPa or psi) and the
wrong one could do harm, none may. The bounds are what a kitchen meets (common practice, no source).
"""

from __future__ import annotations

import math

Bounds = tuple[float, float]

_NONE = (math.inf, -math.inf)
_CHEESE_KG = (0.0, 60.0)
_SALT_KG = (0.0, 0.5)
_WIDTH_MM = (30.0, 1000.0)
_BY_KEY: dict[str, Bounds] = {
    "brine": (0.0, 2000.0),
    "cheese": _CHEESE_KG,
    "coil": (5.0, 200.0),
    "curd": _CHEESE_KG,
    "diameter": _WIDTH_MM,
    "dry": (-10.0, 40.0),
    "error": (0.0, 5.0),
    "green_weight": _CHEESE_KG,
    "have": (0.0, 2000.0),
    "height": (15.0, 1000.0),
    "load": _NONE,
    "milk": (0.0, 2000.0),
    "mould": _WIDTH_MM,
    "mould_height": _WIDTH_MM,
    "packet_milk": (0.0, 50000.0),
    "rooms": (-2.0, 30.0),
    "salt": _SALT_KG,
    "salt_taken": _SALT_KG,
    "sinks": _NONE,
    "squeeze": _NONE,
    "tablet": (0.0, 500.0),
    "test_load": _NONE,
    "test_squeeze": _NONE,
    "thermometer": (0.0, 5.0),
    "to_mould": _WIDTH_MM,
    "to_temp": (-2.0, 30.0),
    "total": (0.0, 2000.0),
    "weight": _CHEESE_KG,
    "weight_now": _CHEESE_KG,
    "wet": (-10.0, 40.0),
    "wheel_weight": _CHEESE_KG,
    "whey_given": (0.0, 10.0),
    "wire": (1.0, 20.0),
}
_BY_TOPIC: dict[tuple[str, str], Bounds] = {
    ("acid-limits", "acidity"): (0.0, 2.0),
    ("acidity", "value"): (0.0, 2.0),
    ("air", "pressure"): (50.0, 110.0),
    ("brine", "temp"): (-5.0, 30.0),
    ("brine-recipe", "temp"): (-5.0, 30.0),
    ("calcium-chloride", "dose"): (0.02, 1.0),
    ("colour", "dose"): (0.0, 0.1),
    ("culture", "dose"): (0.1, 10.0),
    ("culture-units", "packet_g"): (0.0, 1000.0),
    ("density", "temp"): (0.0, 45.0),
    ("eyes", "temp"): (-2.0, 30.0),
    ("growth-limits", "temp"): (-40.0, 45.0),
    ("humidity-salts", "temp"): (0.0, 45.0),
    ("loss", "room"): (-2.0, 30.0),
    ("meter", "temp"): (0.0, 50.0),
    ("moulds", "height"): (15.0, 1000.0),
    ("pasteurise", "temp"): (0.0, 100.0),
    ("press", "pressure"): _NONE,
    ("ramp", "from"): (0.0, 60.0),
    ("ramp", "to"): (0.0, 60.0),
    ("rennet", "dose"): (10.0, 150.0),
    ("rennet", "temp"): (0.0, 50.0),
    ("set", "temp_from"): (0.0, 50.0),
    ("set", "temp_to"): (0.0, 50.0),
    ("yield", "actual"): (4.0, 40.0),
}
# A dose of salt of 5 is 5 % to one and 5 % of the water to another.
_TWO_MEANINGS: dict[tuple[str, str], Bounds] = {("salt", "target"): (4.0, 12.0)}
# How "12:30" is read where a key takes a time: minutes and seconds, or "" where both happen.
_CLOCKS = {
    ("pasteurise", "minutes"): "m:ss",
    ("set", "flocculation"): "m:ss",
    ("rennet", "minutes"): "m:ss",
    ("rennet", "clotting"): "m:ss",
    ("rennet", "fresh_clotting"): "m:ss",
    ("set", "minutes"): "",
    ("ramp", "minutes"): "",
    ("ramp", "first_minutes"): "",
    ("ramp", "every"): "",
}


def may_be_bare(topic: str, key: str, number: float) -> bool:
    """Whether that key takes that number without a unit; 0 needs none."""
    low, high = _TWO_MEANINGS.get((topic, key), _NONE)
    if low < number <= high:
        return False
    low, high = _BY_TOPIC.get((topic, key)) or _BY_KEY.get(key, (-math.inf, math.inf))
    return low <= number <= high or number == 0


def clock_of(topic: str, key: str) -> str:
    """How two numbers with a colon are read: "h:mm", "m:ss", or "" where they are asked about."""
    return _CLOCKS.get((topic, key), "h:mm")
