"""What is beside the causes of a defect: the photo of the cut, and the scores of the last session
beside those of the session before and of the best wheel."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from journal.keeping import Journal
from journal.records import id_of
from journal.records.kinds import ATTRIBUTES
from journal.records.whole import ScoreGiven, WholeMake
from journal.reports.rinds import WheelPhoto, photos_of

MeanScores = dict[str, float]


@dataclass(frozen=True)
class SessionStrip:
    """One attribute: its mean in the last session, in the one before, and of the best wheel; None
    where there is none."""

    attribute: str
    here: float
    before: float | None
    best: float | None


@dataclass(frozen=True)
class CutAndScores:
    """The newest photo of a cut (None: there is none) and the strips; `best` names the best wheel,
    "" where it is this one or there is no other."""

    cut: WheelPhoto | None
    strips: tuple[SessionStrip, ...]
    best: str = ""


def nothing_beside() -> CutAndScores:
    """Neither photo nor scores."""
    return CutAndScores(None, ())


def cut_and_scores(
    journal: Journal, whole: WholeMake, wheel: str, wholes: Sequence[WholeMake]
) -> CutAndScores:
    """Of a wheel, or of every wheel of a make where `wheel` is ""."""
    mine = [one for one in whole.wheels if wheel in ("", one.code)]
    cuts = [photo for one in mine for photo in photos_of(journal, id_of(one))
            if photo.note_id is None]  # fmt: skip
    own = [one for one in whole.scores if wheel in ("", one.wheel_code)]
    sessions = sorted({one.tasting_id: one.at_ms for one in own}.items(), key=_when)
    if not sessions:
        return CutAndScores(max(cuts, key=_at, default=None), ())
    here = _means(one for one in own if one.tasting_id == sessions[-1][0])
    before = (
        {} if len(sessions) < 2 else _means(one for one in own if one.tasting_id == sessions[-2][0])
    )
    best, of_best = _best(wholes, {one.code for one in mine})
    strips = tuple(
        SessionStrip(name, here[name], before.get(name), of_best.get(name))
        for name in ATTRIBUTES if name in here
    )  # fmt: skip
    return CutAndScores(max(cuts, key=_at, default=None), strips, best)


def _best(wholes: Sequence[WholeMake], without: set[str]) -> tuple[str, MeanScores]:
    """The wheel of the best overall score in its last session, and that session's scores."""
    found: list[tuple[float, str, MeanScores]] = []
    for whole in wholes:
        for wheel in {one.wheel_code for one in whole.scores} - without:
            own = [one for one in whole.scores if one.wheel_code == wheel]
            last = max(own, key=_given).tasting_id
            means = _means(one for one in own if one.tasting_id == last)
            if "overall" in means:
                found.append((means["overall"], wheel, means))
    if not found:
        return "", {}
    _, wheel, means = max(found, key=_score)
    return wheel, means


def _means(scores: Iterable[ScoreGiven]) -> MeanScores:
    values: dict[str, list[float]] = {}
    for one in scores:
        values.setdefault(one.attribute, []).append(one.value)
    return {name: float(np.mean(given)) for name, given in values.items()}


def _when(session: tuple[int, int]) -> tuple[int, int]:
    return session[1], session[0]


def _at(photo: WheelPhoto) -> int:
    return photo.at_ms


def _given(score: ScoreGiven) -> tuple[int, int]:
    return score.at_ms, score.tasting_id


def _score(one: tuple[float, str, MeanScores]) -> tuple[float, str]:
    return one[0], one[1]
