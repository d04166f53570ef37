"""Tastings: who tasted which wheel when, and what they said."""

from __future__ import annotations

from dataclasses import dataclass, field

from journal.records import RecordError
from journal.records.kinds import ATTRIBUTES
from journal.records.plans import new_uuid

SCORE_TOP = 10.0
STRENGTHS = ("slight", "definite", "pronounced")


@dataclass(frozen=True)
class Assessor:
    """Someone who tastes."""

    name: str
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("An assessor needs a name.")


@dataclass(frozen=True)
class Tasting:
    """One sitting."""

    at_ms: int
    zone: str = "UTC"
    note: str = ""
    lifted_ms: int | None = None  # when the cloth was lifted; None while blind
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)


@dataclass(frozen=True)
class Sample:
    """A wheel at a tasting, with its blind code (three digits; empty where it was open)."""

    tasting_id: int
    wheel_id: int
    blind_code: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)


@dataclass(frozen=True)
class Score:
    """What one assessor gave one sample for one attribute: 0 to 10."""

    sample_id: int
    assessor_id: int
    attribute: str
    value: float
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.attribute.strip():
            raise RecordError("A score needs the attribute it is for.")
        if not 0 <= self.value <= SCORE_TOP:
            raise RecordError(f"A score goes from 0 to 10; {self.value:g} does not fit.")


@dataclass(frozen=True)
class DefectMark:
    """A defect an assessor found in a sample, in trade terms."""

    sample_id: int
    assessor_id: int
    group: str  # flavour, body_texture, colour, finish
    term: str
    strength: str = "definite"
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)


@dataclass(frozen=True)
class SampleNote:
    """An assessor's own words on a sample."""

    sample_id: int
    assessor_id: int
    text: str
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)


def half_point(value: float, attribute: str = "overall") -> float:
    """A score as a person may give it: 0 to 10 in halves.

    Raises
    ------
    RecordError
        When the value lies outside the scale or between two halves.
    """
    if not 0 <= value <= SCORE_TOP or (value * 2) % 1:
        known = attribute if attribute in ATTRIBUTES else f"“{attribute}”"
        raise RecordError(f"{known}: give 0 to 10 in halves, like 7 or 7.5; not {value:g}.")
    return value
