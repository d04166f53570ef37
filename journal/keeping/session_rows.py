"""What the keeper of sessions answers: wheels to taste, sessions, samples as served, scores."""

from __future__ import annotations

from dataclasses import dataclass

from journal.keeping.scored_samples import ScoredSample
from journal.records.tastings import Tasting
from journal.records.verdicts import Verdict


@dataclass(frozen=True)
class WheelRow:
    """One line of the list of wheels to taste; `tasted` counts its sessions with scores."""

    id: int
    code: str
    make_id: int
    plan: str
    started_ms: int
    zone: str
    gone: bool
    tasted: int
    last_ms: int | None
    failed: bool = False
    verdict: Verdict | None = None  # that it is not to be eaten


@dataclass(frozen=True)
class SessionRow:
    """One session, with how many wheels were scored by how many assessors."""

    id: int
    at_ms: int
    wheels: int
    assessors: int


@dataclass(frozen=True)
class GivenRow:
    """One score with where, when and who."""

    tasting_id: int
    at_ms: int
    sample_id: int
    wheel_id: int
    wheel_code: str
    assessor: str
    attribute: str
    value: float


@dataclass(frozen=True)
class SessionMean:
    """What a wheel got for an attribute at a session: the plain mean of all who scored it."""

    tasting_id: int
    at_ms: int
    wheel_id: int
    wheel_code: str
    attribute: str
    mean: float


@dataclass(frozen=True)
class PanelScore:
    """One score as it counts for the panel; `cheese` is alike for samples of one cheese."""

    tasting_id: int
    at_ms: int
    sample_id: int
    cheese: str
    assessor: str
    value: float


@dataclass(frozen=True)
class SampleIdentity:
    """What a sample is: a wheel, or a cheese from elsewhere under a name."""

    wheel_id: int | None = None
    reference: str = ""


@dataclass(frozen=True)
class ServingRow:
    """A sample as an assessor gets it, without a word of what it is."""

    id: int
    sample_id: int
    assessor_id: int
    assessor: str
    position: int
    code: str
    given: int  # how many scores, defects and notes were kept


@dataclass(frozen=True)
class KeyRow:
    """For the helper alone: what a code is."""

    assessor: str  # "" where the code is the same for everyone
    code: str
    cheese: str


@dataclass(frozen=True)
class BlindSessionRow:
    """One blind session of the list, and how far it is; not a word of what was given."""

    tasting: Tasting
    samples: int
    people: tuple[str, ...]
    servings: int
    given: int  # servings with something kept


@dataclass(frozen=True)
class NextServing:
    """What a helper needs to serve one person more: nothing of it is for who tastes.

    `cheeses` has one a sample; `orders` the samples' numbers for each assessor; `labels` the
    codes on the samples themselves; `taken` every code in use.
    """

    cheeses: tuple[SampleIdentity, ...]
    orders: tuple[tuple[int, ...], ...]
    labels: tuple[str, ...]
    taken: tuple[str, ...]


@dataclass(frozen=True)
class RevealedRow:
    """A sample of a revealed session: what it was, and all that was given to it."""

    sample_id: int
    wheel_id: int | None
    name: str
    started_ms: int | None  # of its make
    codes: tuple[str, ...]
    all_scored: tuple[tuple[str, ScoredSample], ...]  # by assessor


@dataclass(frozen=True)
class OpenServing:
    """A wheel under its own name, as someone tastes it on a day; its session, its sample and its
    assessor begin with the first score where they are not there yet."""

    wheel_id: int
    assessor: str
    at_ms: int


ServingKey = int | OpenServing
"""A sample as an assessor gets it: of a coded session the id it was served under."""
