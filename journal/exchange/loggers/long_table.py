"""Tables with a row for each value and a column that says which sensor it is from: made wide, a
column for each sensor."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from journal.exchange.loggers.cells import NUMBER, TIME, WORDS, mostly, spread
from journal.exchange.loggers.decoding import refuse_more_cells
from journal.exchange.loggers.headers import is_counting, says_time

ELSEWHERE = "\x1f"  # the cell of a row that holds another sensor's value; shows as nothing
_MOST_SENSORS = 32
_FEWEST_TURNS = 6
_LOOKED_AT = 400
_SENSOR = re.compile(
    r"\b(sensor|probe|channel|chan|device|location|position|thermometer|metric|measurement"
    r"|parameter|topic|node|point|entity|tag)s?\b",
    re.IGNORECASE,
)
_VALUE = re.compile(r"(?:the )?(?:values?|readings?|data|results?|measured)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Sensors:
    """How a long table was made wide: its own header, the place of the column that names the
    sensor, the indices of the values, and the sensors in the order of their columns."""

    header: tuple[str, ...]
    label: int
    values: tuple[int, ...]
    names: tuple[str, ...]

    @property
    def others(self) -> tuple[int, ...]:
        """The indices of the columns that stay as they are."""
        gone = (self.label, *self.values)
        return tuple(index for index in range(len(self.header)) if index not in gone)


def sensors_of(header: Sequence[str], columns: Sequence[list[str]]) -> Sensors | None:
    """How to make a table wide; None where each row holds all that was read at its time."""
    looks = [mostly(spread(column, _LOOKED_AT)) for column in columns]
    times = [
        index
        for index, look in enumerate(looks)
        if look == TIME or (look == NUMBER and says_time(header[index]))
    ]
    labels = [p for p in range(len(header)) if p not in times and _may_name(header[p], looks[p])]
    for label in sorted(labels, key=lambda index: not _SENSOR.search(header[index])):
        names = _names(header[label], columns[label])
        values = tuple(
            p
            for p, look in enumerate(looks)
            if look == NUMBER and p not in (label, *times) and not is_counting(header[p])
        )
        sure = bool(_SENSOR.search(header[label])) and looks[label] == WORDS
        if len(names) > 1 and values and times and (sure or _takes_turns(columns, times, label)):
            return Sensors(tuple(header), label, values, names)
    return None


def widened(
    sensors: Sensors, columns: Sequence[list[str]]
) -> tuple[tuple[str, ...], tuple[list[str], ...]]:
    """The header and the columns with one for each sensor and value, the rows as they were."""
    header = [sensors.header[index] for index in sensors.others]
    wide = [columns[index] for index in sensors.others]
    labels = [cell.strip() for cell in columns[sensors.label]]
    refuse_more_cells(len(labels), len(sensors.names) * len(sensors.values))
    for name in sensors.names:
        for index in sensors.values:
            header.append(_name(name, sensors.header[index]))
            cells = zip(labels, columns[index], strict=True)
            wide.append([cell if label == name else ELSEWHERE for label, cell in cells])
    return tuple(header), tuple(wide)


def _may_name(name: str, look: str) -> bool:
    return look == WORDS or (look == NUMBER and bool(_SENSOR.search(name)))


def _names(header: str, cells: Sequence[str]) -> tuple[str, ...]:
    """The sensors a column names; none where they are too many, or most stand there only once."""
    counts = Counter(cell.strip() for cell in cells)
    for no_sensor in ("", header):
        counts.pop(no_sensor, None)
    often = sum(count for count in counts.values() if count > 1)
    if not 1 < len(counts) <= _MOST_SENSORS or often < 0.9 * counts.total():
        return ()
    return tuple(counts)


def _takes_turns(columns: Sequence[list[str]], times: Sequence[int], label: int) -> bool:
    """Whether the sensors take turns: most instants stand there for several of them, or nearly
    each row is from another than the one before."""
    stamps = list(zip(*(columns[index] for index in times), strict=True))
    pairs = set(zip(stamps, columns[label], strict=True))
    if len(pairs) > 0.9 * len(stamps) and len(set(stamps)) <= 0.6 * len(stamps):
        return True
    turns = sum(a != b for a, b in pairwise(columns[label]))
    return len(stamps) >= _FEWEST_TURNS and turns > 0.6 * len(stamps)


def _name(sensor: str, value: str) -> str:
    """A column's name: "vat" of "Value", "vat (°C)" of "Value (°C)", "vat Temp" of "Temp"."""
    rest = _VALUE.sub("", value, count=1).strip(" _-:") if _VALUE.match(value) else value
    return f"{sensor} {rest}".strip()
