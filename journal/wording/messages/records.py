"""The sentences of `records` that no template can write: what is typed into a plan's cells and
how it was read, and the load of a press."""

from __future__ import annotations

from journal.quantities.typed import Typed
from journal.wording.care import understood_ages, understood_care
from journal.wording.doses import amount_words, rate_words
from journal.wording.sentences import Messages, Values, understood, worded
from journal.wording.stages import load_words


def _dose(values: Values) -> str:
    """A dose for the milk and for each litre, its kind where the name does not say it."""
    per_litre, unit = values["per_litre"], values["unit"]
    total = amount_words(per_litre * values["litres"], unit, spoons=values["spoons"])
    parts = [f"{values['name']} {total}", values["kind"], rate_words(per_litre, unit)]
    parts.append(worded("wording.new-ingredient") if values["new"] else "")
    return ", ".join(part for part in parts if part)


def _value(values: Values) -> str:
    """A value in the unit that is stored: "88 °F is 31.1 °C"."""
    return understood(Typed(values["value"], values["unit"], values["kept"], values["quantity"]))


def _turn_then_load(values: Values) -> str:
    """A turn and the load after it, on the mould or as a pressure."""
    load = load_words(values["kpa"], values["load_kg"])
    turn, turns = values["turn"], values["turns"]
    return worded("wording.turn-then-load", turn=turn, turns=turns, load=load)


MESSAGES: Messages = {
    "records.read-ages": understood_ages,
    "records.read-care": understood_care,
    "records.read-dose": _dose,
    "records.read-value": _value,
    "records.turn-then-load": _turn_then_load,
}
