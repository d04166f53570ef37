"""Tastings: who tasted which wheel when, and what they said."""

from __future__ import annotations

from dataclasses import dataclass, field

from journal.records import RecordError
from journal.records.kinds import ATTRIBUTES, check_one_of
from journal.records.plans import new_uuid

SCORE_TOP = 10.0
STRENGTHS = ("slight", "definite", "pronounced")
# How the samples of a session are told apart: by name; by one code a sample, the same for all; by
# codes of each assessor's own; or by the place on the board after a helper has shuffled the cups.
OPEN, BY_SAMPLE, BY_ASSESSOR, SHUFFLED = "open", "sample", "assessor", "shuffle"
CODINGS = (OPEN, BY_SAMPLE, BY_ASSESSOR, SHUFFLED)


# Whose scores are that came without a name, in a table of past makes: nobody who tastes again.
NOBODY = "from the table"


@dataclass(frozen=True)
class Assessor:
    """Someone who tastes."""

    name: str
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("records.assessor-name")


@dataclass(frozen=True)
class Tasting:
    """One session. `attributes` are those of its sheet, in order; none stand for the usual ones."""

    at_ms: int
    zone: str = "UTC"
    note: str = ""
    lifted_ms: int | None = None  # when it was revealed; None while blind
    coding: str = OPEN
    attributes: tuple[str, ...] = ()
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        check_one_of(self.coding, CODINGS, "records.no-such-coding")
        if len(set(self.attributes)) != len(self.attributes) or not all(self.attributes):
            raise RecordError("records.sheet-attributes")

    @property
    def coded(self) -> bool:
        """Its samples stand under codes; an open session is one that is not coded."""
        return self.coding != OPEN

    @property
    def hidden(self) -> bool:
        """What its samples are is not revealed yet."""
        return self.coded and self.lifted_ms is None

    @property
    def sheet(self) -> tuple[str, ...]:
        """The attributes to be scored."""
        return self.attributes or ATTRIBUTES


@dataclass(frozen=True)
class Sample:
    """A wheel at a tasting, or a cheese from elsewhere under a name (`reference`).

    `blind_code` is the code on the sample itself, the same for everyone (three digits; empty
    where the session was open or each assessor has codes of their own). The same wheel may stand
    there twice: each is a sample.
    """

    tasting_id: int
    wheel_id: int | None
    blind_code: str = ""
    reference: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if (self.wheel_id is None) == (not self.reference.strip()):
            raise RecordError("records.sample-cheese")


@dataclass(frozen=True)
class Serving:
    """A sample as one assessor gets it: at which place of their order, under which code."""

    sample_id: int
    assessor_id: int
    position: int  # from 0
    code: str
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)


@dataclass(frozen=True)
class ScaleWord:
    """What a score means for an attribute, in a kitchen's own words."""

    attribute: str
    value: float
    words: str
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not 0 <= self.value <= SCORE_TOP:
            raise RecordError("records.scale-value", value=self.value)


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
            raise RecordError("records.score-attribute")
        if not 0 <= self.value <= SCORE_TOP:
            raise RecordError("records.score-value", value=self.value)


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
    """An assessor's own words on a sample; `photo` names a file in the journal's photo folder."""

    sample_id: int
    assessor_id: int
    text: str
    photo: str = ""
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
        if attribute in ATTRIBUTES:
            raise RecordError("records.score-halves", attribute=attribute, value=value)
        raise RecordError("records.own-score-halves", attribute=attribute, value=value)
    return value
