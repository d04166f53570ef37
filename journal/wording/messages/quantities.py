"""The sentences of `quantities` that no template can write."""

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
    "quantities.too-high": _beyond("high"),
    "quantities.too-low": _beyond("low"),
    "quantities.two-clocks": _two_clocks,
    "quantities.two-readings": _two_readings,
}
