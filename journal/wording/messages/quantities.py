"""The sentences of `quantities`."""

from __future__ import annotations

from journal.quantities.units import quantity_named, stored_unit
from journal.wording.amounts import EXAMPLES, a_quantity, quoted
from journal.wording.sentences import Messages, Values, Writer


def _two_readings(values: Values) -> str:
    """Both readings of "1,234 kg", with the unit where one was typed."""
    digits, unit = values["digits"], f" {values['rest']}".rstrip()
    one, other = digits.replace(",", "."), digits.replace(",", "")
    return (
        f"“{digits}{unit}” can be read as {one} or as {other}; write {one}{unit} or {other}{unit}."
    )


def _two_clocks(values: Values) -> str:
    """Both readings of "1:30", in hours and in minutes."""
    first, second = values["first"], values["second"]
    ways = [
        f"{first} {large} {second} {small}" if first else f"{second} {small}"
        for large, small in (("h", "min"), ("min", "s"))
    ]
    return f"{quoted(values['typed'])} can be read in two ways; write {' or '.join(ways)}."


def _different(values: Values) -> str:
    """Two units by their labels; a plain number has none."""
    first, second = (values[name] or "a plain number" for name in ("first", "second"))
    return f"{first} and {second} measure different things; give both in units of one quantity."


def _beyond(word: str) -> Writer:
    """The bound of a quantity that was passed, "low" or "high"."""

    def text(values: Values) -> str:
        found = quantity_named(values["quantity"])
        bound = f"{getattr(found, word):.15g} {stored_unit(found.key).label}".strip()
        return (
            f"That is too {word} for {a_quantity(found.key)}: the {word}est here is {bound}. "
            f"Write for example {EXAMPLES[found.key]}."
        )

    return text


MESSAGES: Messages = {
    "quantities.different-things": _different,
    "quantities.divides-by-nothing": ("{typed:quoted} divides by zero; write a fraction like 1/2."),
    "quantities.exponent": "{typed:quoted} has an exponent; write the number in full.",
    "quantities.mixed-number": "{typed:quoted} is not a usual mixed number; write it like 1 1/2 or "
    "1.5.",
    "quantities.no-number": "{typed:quoted} does not begin with a number.",
    "quantities.no-quantity": "There is no quantity to read this as.",
    "quantities.no-such-quantity": "There is no quantity called “{key}”; there are {known:commas}.",
    "quantities.no-such-unit": "There is no unit called “{unit:.30}”.",
    "quantities.no-sum": "{typed:quoted} cannot be added up; {quantity:offer}",
    "quantities.not-finite": "That is not {quantity:a-quantity}; {quantity:offer}",
    "quantities.not-its-unit": "“{unit:.30}” is not a unit of {quantity:quantity} here; "
    "{quantity:offer}",
    "quantities.not-of-quantity": "{why} For {quantity:a-quantity} {quantity:offer}",
    "quantities.not-one-number": "{typed:quoted} is not one number; write one number and its unit.",
    "quantities.nothing-to-write": "There is no {quantity:quantity} to write: it is not a number.",
    "quantities.nothing-typed": "No {quantity:quantity} was typed: {quantity:offer}",
    "quantities.spoon-measure": "A spoon measures more than 0 ml.",
    "quantities.too-high": _beyond("high"),
    "quantities.too-long": "That is too long for one value; write one number and its unit.",
    "quantities.too-low": _beyond("low"),
    "quantities.two-clocks": _two_clocks,
    "quantities.two-marks": "{typed:quoted} has two marks and could be read in two ways; write it "
    "with one decimal mark and nothing between thousands.",
    "quantities.two-readings": _two_readings,
}
