"""The numbers of a finding beside each other, and the notes under them."""

from __future__ import annotations

import math

import numpy as np

from journal.findings import (
    AGE_KEY,
    CLEAR,
    LEAST_MAKES,
    NEVER,
    UNKNOWN,
    Finding,
    FindingError,
    Scatter,
    ScoreTable,
    Study,
)
from journal.findings.answer import StudyAnswer
from journal.findings.curve import BestValue
from journal.findings.evidence import HARDLY, MOST_MORE
from journal.findings.predict import PredictionBase, predict
from journal.findings.residuals import MakeResidual
from journal.message import Message
from journal.records.dates import MONTH_DAYS
from journal.records.kinds import ATTRIBUTES
from journal.wording import text_of
from journal.wording.counts import counted, listed
from journal.wording.findings import at_best
from journal.wording.keys import with_keys
from journal.wording.letters import capital
from journal.wording.numbers import NOTHING, number, signed

FAR = 0.5  # of the span of the makes: a value further outside is not predicted
MANY = 120  # points of a picture: more are drawn small
SURE = "Clear: by chance alone, even one looks clear less than 5 times in 100."
ONLY_DESIGNED = (
    "What moves with habit and season only changes made on purpose can tell apart "
    "({key:show_series}): in "
    "simulated journals of 40 makes 0.7 points became clear in 73 of 100 tidy ones, in 17 of 100 "
    "untidy ones."
)
_DESIGNED = 10  # makes from which it is said
SPREADS, RANGES = "findings.spreads", "findings.ranges-begin"  # notes with a place of their own


def chance(p: float) -> str:
    """A p or q: three decimals, never zero."""
    if not math.isfinite(p):
        return NOTHING
    if p < 0.001:
        return "under 0.001"
    return f"{p:.3f}" if p < 0.1 else f"{p:.2f}"


def step_words(finding: Finding) -> str:
    """The typical change: "+10 min"."""
    if finding.step_label is not None:
        return text_of(finding.step_label)
    if not math.isfinite(finding.step):
        return ""
    sign = "−" if finding.step < 0 else "+"
    return f"{sign}{abs(finding.step):.3g} {finding.unit}".rstrip()


def range_words(finding: Finding) -> str:
    """The effect with both ranges, for a reader that cannot see the bars."""
    if not math.isfinite(finding.effect):
        return "no range yet"
    return (
        f"{signed(finding.effect)} points, 8 in 10 between {signed(finding.low80)} and "
        f"{signed(finding.high80)}, 95 in 100 between {signed(finding.low95)} and "
        f"{signed(finding.high95)}"
    )


def beside(finding: Finding) -> list[tuple[str, str, str]]:
    """The rows of the comparison: what, on its own, beside all others."""
    own = finding.evidence not in (NEVER, UNKNOWN)
    step = step_words(finding) or "a typical change"
    joint = signed(finding.effect)
    if math.isfinite(finding.low80):
        joint += f"   8 in 10: {signed(finding.low80)} to {signed(finding.high80)}"
    odds = finding.chance_positive
    return [
        (
            f"{step} gives",
            signed(finding.slope * finding.step) if own else NOTHING,
            joint,
        ),
        (
            "correlation",
            f"ρ {signed(finding.rho)}" if own else NOTHING,
            f"partial r {signed(finding.partial_r)}" if joint != NOTHING else NOTHING,
        ),
        (
            "how sure",
            f"p {chance(finding.p)}, q {chance(finding.q)}" if own else NOTHING,
            f"{_percent(odds)} that it raises the score" if math.isfinite(odds) else NOTHING,
        ),
    ]


def settle_words(finding: Finding) -> str:
    """Where it is best, how many more makes would settle it, and what it changed together with."""
    parts = [f"{capital(best_words(finding))}."] if finding.best is not None else []
    if finding.moved_with:
        others = listed(finding.moved_with)
        parts.append(f"Changed together with {others}: the effect is of all of them together.")
    if finding.evidence == UNKNOWN:
        there = f", at {value_words(finding)}" if finding.known and finding.unit else ""
        parts.append(
            f"Known for {text_of(finding.known_of)}{there}: too few to learn from. "
            "Write it down in more makes."
        )
    elif finding.evidence == HARDLY:
        parts.append(
            "It hardly varied: by less than a fifth of a typical change, too little to see an "
            "effect. Make a typical change in a make to learn about it."
        )
    elif finding.evidence == NEVER:
        where = f" in {text_of(finding.known_of)}" if finding.makes else ""
        there = f": it was always {value_words(finding)}" if finding.unit else ""
        parts.append(
            f"It never changed{where}{there}, so its effect cannot be seen. "
            "Change it in a make to learn about it."
        )
    elif finding.makes_to_settle is not None:
        more = finding.makes_to_settle
        count = f"{more:,} or more" if more >= MOST_MORE else "About"
        makes = "more makes" if more >= MOST_MORE else counted(more, "more make")
        parts.append(f"{count} {makes} like these would settle it{_settling_range(finding)}.")
    elif finding.evidence == CLEAR:
        parts.append(SURE)
    elif math.isfinite(finding.low95):
        parts.append("If it has an effect, it is too small ever to become clear.")
    return " ".join(parts)


def _settling_range(finding: Finding) -> str:
    """How few and how many it may be, 4 times in 5."""
    low, high = finding.makes_to_settle_low, finding.makes_to_settle_high
    if low is None or high is None or low == high:
        return ""
    most = f"{high:,} or more" if high >= MOST_MORE else f"{high:,}"
    return f", 4 times in 5 between {low:,} and {most}"


def best_words(finding: Finding) -> str:
    """Where a curve is best: "best near 1.8 % (1.6 to 2.0)"; "" where there is no such value."""
    return "" if finding.best is None else best_range_words(finding.best, finding.unit)


def best_range_words(best: BestValue, unit: str) -> str:
    """A best value with its range: "best near 1.8 % (1.6 to 2.0)"."""
    value, low, high = (f"{v:.3g}" for v in (best.value, best.low80, best.high80))
    there = f"pH {value}" if unit == "pH" else f"{value} {unit}".rstrip()
    return f"best near {there} ({low} to {high})"


def value_words(finding: Finding) -> str:
    """The only value a variable had, with its unit."""
    number = f"{finding.always:.3g}"
    return f"pH {number}" if finding.unit == "pH" else f"{number} {finding.unit}"


def looked_words(answer: StudyAnswer) -> str:
    """How many wheels, makes, assessors and variables were looked at."""
    study = answer.study
    parts = [f"{counted(study.wheels, 'wheel')} from {counted(study.makes, 'make')}"]
    if study.assessors is not None:
        parts.append(counted(study.assessors, "assessor"))
    first, last = (day / MONTH_DAYS for day in answer.ages())
    if math.isfinite(first):
        months = f"{first:.0f} to {last:.0f}" if round(first) != round(last) else f"{last:.0f}"
        parts.append(f"{months} {'month' if months == '1' else 'months'}")
    looked = counted(study.variables_tried, "variable")
    return f"{', '.join(parts)}. {looked} looked at."


def footnotes(answer: StudyAnswer) -> list[str]:
    """What holds for the whole table."""
    study = answer.study
    notes = []
    if study.makes >= LEAST_MAKES and study.joint is not None:
        notes.append("Thick: the true value is inside 8 times in 10. Thin: 95 times in 100.")
    if study.makes >= _DESIGNED and study.joint is not None and answer.makes:
        notes.append(with_keys(ONLY_DESIGNED))
    names = [v.name for v in answer.table.variables]
    for note in study.notes:
        elsewhere = _is_about(note, names) or note.id in (RANGES, SPREADS)
        if not elsewhere:
            notes.append(capital(text_of(note)))
    return [note for note in notes if note]


def residual_words(answer: StudyAnswer) -> str:
    """Which makes lie far off what their variables say, and what the answer is without them."""
    study = answer.study
    if not study.residuals:
        return "Of so few makes, and of a defect, nothing is said make by make."
    far = [one for one in study.residuals if one.is_far]
    if not far:
        return "No make lies far off what its variables say, so none weighs more than it should."
    return " ".join(weight_words(study, one, answer.table) for one in far)


def weight_words(study: Study, one: MakeResidual, table: ScoreTable) -> str:
    """One make that lies far off, and what it weighs."""
    side = "above" if one.off > 0 else "below"
    head = f"{one.make} lies {abs(one.off):.1f} points {side} what its variables say"
    if study.entries is None or not one.weighs:
        return f"{head}; without it the answer is nearly the same."
    member = study.entries.entries[one.entry].members[0]
    finding = study.finding(table.variables[member].key)
    if not math.isfinite(finding.effect):
        return f"{head}; without it the answer is nearly the same."
    index, _ = study.entries.of(member) or (0, 1)
    assert study.joint is not None
    whole = float(study.joint.mean[1 + index])
    share = one.moves / whole if abs(whole) > 1e-9 else 0.0
    without = finding.effect * (1 + share) if share else finding.effect
    return (
        f"{head}; without it {finding.variable} ({step_words(finding)}) would be "
        f"{signed(without, 1)} points instead of {signed(finding.effect, 1)}. Look at what "
        "happened in that make."
    )


def fit_notes(answer: StudyAnswer) -> list[str]:
    """What so many makes could show at best, and what the fit of all is worth, for those who ask
    for numbers."""
    study = answer.study
    notes = [at_best(study.makes, study.variables_tried)]
    if math.isfinite(study.r2):
        notes.append(_fit_words(study.r2, study.r2_left_one_out))
    return [note for note in notes if note]


def _fit_words(r2: float, left_out: float) -> str:
    """What a fit of all variables is worth on the makes it has, and on new ones."""
    fit = (
        f"A fit of everything would {'look good' if r2 >= 0.5 else 'explain little'} (r² {r2:.2f})"
    )
    if left_out <= 0:
        return f"{fit} and predict new makes worse than their average does."
    return f"{fit}; on makes left out in turn r² is {number(left_out, 2)}."


def number_notes(answer: StudyAnswer, finding: Finding) -> str:
    """What stands under the numbers of a variable: its own notes, then those of the whole fit."""
    names = [v.name for v in answer.table.variables]
    own = [n for n in answer.study.notes if _is_about(n, names) == finding.variable]
    own += [note for note in answer.study.notes if note.id == SPREADS]
    words = " ".join(capital(text_of(note)) for note in own)
    return "\n".join(part for part in (words, *fit_notes(answer)) if part)


def _is_about(note: Message, names: list[str]) -> str:
    """The one variable a note is about, "" where it is about several or the whole table."""
    name = note.values.get("variable", "")
    return name if name in names else ""


def _percent(share: float) -> str:
    if share > 0.995:
        return "over 99 %"
    return f"{100 * share:.0f} %" if share >= 0.005 else "under 1 %"


def prediction_text(answer: StudyAnswer, finding: Finding, value: float) -> tuple[str, str]:
    """The score a value of the variable would give (for a defect: in how many samples it is named),
    and what to bear in mind.

    Raises
    ------
    FindingError
        When nothing can be predicted.
    """
    _check_near(answer, finding, value)
    ground = PredictionBase.of(answer.table, answer.newest)
    predicted = predict(answer.table, answer.study, ground, {finding.key: value})
    score, low80, high80 = (
        _on_scale(answer, v) for v in (predicted.score, predicted.low80, predicted.high80)
    )
    against = [predicted.against, predicted.against_low80, predicted.against_high80]
    if answer.is_defect:
        change, low, high = (signed(value, 0) for value in against)
        text = (
            f"A make like {answer.newest} would have {answer.table.score_name} named in "
            f"{score:.0f} of 100 samples scored, 8 times in 10 between {low80:.0f} and "
            f"{high80:.0f}; on average {change} compared with {answer.newest} itself, "
            f"between {low} and {high}."
        )
    else:
        change, low, high = (signed(value, 1) for value in against)
        text = (
            f"A make like {answer.newest} would score {score:.1f}, 8 times in 10 between "
            f"{low80:.1f} and {high80:.1f}; on average {change} points against {answer.newest} "
            f"itself, between {low} and {high}."
        )
    more = "The range includes the random effect of a make"
    more += "." if finding.key == AGE_KEY else "; the age is the median of the tastings."
    if predicted.outside:
        more = "No make was ever there, so this goes beyond what was seen. " + more
    return text, more


def _check_near(answer: StudyAnswer, finding: Finding, value: float) -> None:
    """Refuse a value further from all makes than these are from each other."""
    column = answer.table.x[:, answer.table.position(finding.variable)]
    known = column[np.isfinite(column)]
    low, high = float(known.min()), float(known.max())
    room = FAR * (high - low)
    if high > low and not low - room <= value <= high + room:
        unit = f" {finding.unit}".rstrip() if finding.unit != "pH" else ""
        raise FindingError(
            f"In {text_of(finding.known_of)} {finding.variable} was between {low:.3g} "
            f"and {high:.3g}{unit}: {value:g} is too far outside to predict anything."
        )


def _on_scale(answer: StudyAnswer, value: float) -> float:
    """A score as it can be given: the attributes' scale goes from 0 to 10."""
    return min(max(value, 0.0), 10.0) if answer.study.score in ATTRIBUTES else value


def axis_words(seen: Scatter, is_defect: bool) -> str:
    """What the vertical axis of the picture shows."""
    if is_defect:
        line = "; line: other things equal" if seen.line_x.size else ""
        return f"of 100 samples, with {seen.score}{line}"
    return "score, other things equal" if seen.line_x.size else f"score, {seen.score}"


def scatter_words(seen: Scatter) -> str:
    if not seen.x.size:
        return "nothing to show yet"
    described = f"{seen.x.size} points of {seen.variable} against {seen.score}"
    if seen.line_y.size:
        described += f"; the line goes from {seen.line_y[0]:.1f} to {seen.line_y[-1]:.1f}"
    if seen.best is not None:
        described += f"; {best_range_words(seen.best, seen.unit)}"
    return described
