"""What is typed at the vat and not kept yet, of one make: it outlives the window."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field, replace

from PySide6.QtCore import QSettings

_GROUP = "vat/half typed"


@dataclass(frozen=True)
class HalfTyped:
    """The texts of the two fields with the acidity that is read and the time of a late reading;
    the reading that is being corrected (kind, instant, value); the question that is open, by its
    act, with what was answered so far; answers to others that wait; the weights of the wheels."""

    temp: str = ""
    acid: str = ""
    acid_kind: str = ""
    at: str = ""
    corrects: tuple[str, int, float] | None = None
    act: str = ""
    answers: tuple[str, ...] = ()
    photo: str = ""
    waiting: dict[str, tuple[str, ...]] = field(default_factory=dict)
    weights: str = ""
    weighing: bool = False

    @property
    def empty(self) -> bool:
        """True when nothing is typed."""
        readings = self.temp or self.acid or self.at
        return not (readings or self.act or self.waiting or self.weights)

    @property
    def words(self) -> str:
        """What was answered to the open question, to be said where it cannot be asked again."""
        return ", ".join(answer for answer in self.answers if answer)


def half_typed_of(settings: QSettings, uuid: str) -> HalfTyped:
    """What was typed for a make and not kept, as it was written down."""
    text = str(settings.value(f"{_GROUP}/{uuid}", "", type=str))
    try:
        half = HalfTyped(**json.loads(text)) if text else HalfTyped()
        kind, at_ms, value = half.corrects or ("", 0, 0.0)
        corrects = (str(kind), int(at_ms), float(value)) if half.corrects else None
        waiting = {act: tuple(map(str, texts)) for act, texts in half.waiting.items()}
        answers = tuple(map(str, half.answers))
        return replace(half, corrects=corrects, answers=answers, waiting=waiting)
    except (ValueError, TypeError, AttributeError):
        return HalfTyped()  # of another program's making


def write_half_typed(settings: QSettings, uuid: str, half: HalfTyped) -> None:
    """Write down what is typed for a make, on the disk at once; nothing typed leaves no trace."""
    key = f"{_GROUP}/{uuid}"
    if half.empty:
        if not settings.contains(key):
            return
        settings.remove(key)
    else:
        settings.setValue(key, json.dumps(asdict(half)))
    settings.sync()
