"""Why a wheel is so, in words: one sentence a thing, for window, paper and command alike."""

from __future__ import annotations

import math

from journal.findings.grades import Graded
from journal.findings.literature import Literature, OwnFinding
from journal.findings.trade import EITHER, LESS, MORE, SAME, GradeRange, disagreements
from journal.findings.trade_values import ValueEstimate
from journal.findings.why import (
    ALONE,
    CHANGE,
    DOUBTFUL,
    KEEP,
    LIKELY,
    NOTE,
    PLAN,
    PUBLISHED,
    USUAL,
    NextTime,
    SuspectedCause,
    UsualRange,
    Why,
)
from journal.wording.counts import counted, listed
from journal.wording.evidence import evidence_words
from journal.wording.keys import key_words
from journal.wording.letters import capital, small
from journal.wording.numbers import short
from journal.wording.trade_words import (
    cause_words,
    disagreement_words,
    effect_words,
    grade_words,
    name_words,
    question,
    remedy_words,
    source_words,
    threshold_words,
)

FOOT = (
    "What the books say moves no number of yours; it is shown beside them, with the kind of "
    "cheese and how many trials there were."
)
COMPOSED = "Composition as the scale tells it, beside what goes with a grade"
WRITE_DOWN = "Write down what is not known above."
_NOTHING = "Nothing stands out, so there is nothing to draw."
_HIGH = {LESS: "low", MORE: "high", EITHER: "not as usual"}
_LONG = {LESS: "short", MORE: "long", EITHER: "not as usual"}
_DIGITS = {"pH": 2, "°C": 1, "min": 0, "days": 0, "°C/min": 2, "g/L": 3, "ml/L": 3, "kg": 2,
           "% lactic": 3, "a week": 1, "mm": 1, "kPa": 1}  # fmt: skip
_TIMES = ("min", "days")


def title_words(found: Why) -> str:
    """The question: "Why was it bitter?"."""
    return f"Why was it {found.defect}?" if found.defect else "Was anything unusual?"


def whose_words(found: Why) -> str:
    """Whose it is: "HL-0027-A"."""
    return found.wheel or found.make


def named_words(found: Why) -> str:
    """That it failed, how often the defect was named, and with how many makes it is compared."""
    parts = [found.reason or "It failed."] if found.failed else []
    if found.defect:
        named = found.named.get(found.defect, 0)
        of = counted(found.samples, "sample", "samples")
        parts.append(
            f"Named in {named} of {of} scored." if found.samples else "It was not scored yet."
        )
    others = counted(found.others, "other make", "other makes")
    parts.append(
        f"Compared with {others} of yours." if found.others else "There is no make like it yet."
    )
    return " ".join(parts)


def verdict_words(found: Why) -> str:
    """What is found, in one sentence."""
    likely, doubtful = found.of(LIKELY), found.of(DOUBTFUL)
    if not found.defect:
        if not likely:
            return f"Nothing {'else ' * found.failed}in this make was unusual."
        return f"Unusual here: {listed([name_words(one.key) for one in likely])}."
    if likely:
        return f"Look first at {listed([name_words(one.key) for one in likely[:2]])}."
    if doubtful:
        return "Nothing the books name was unusual here; several small things may have added up."
    return f"Nothing that the books name as a cause of “{found.defect}” was unusual here."


def heading(one: SuspectedCause) -> str:
    """What was so: "pH at drain was low"."""
    name = capital(name_words(one.key))
    if one.here is not None and one.here.kind:
        return f"{name}: {one.here.kind}"
    if one.here is None:
        return name
    if one.direction == EITHER:
        way = _way(one)
        return f"{name} was {way}"
    words = _LONG if _unit(one) in _TIMES and "age" not in one.key else _HIGH
    return f"{name} was {words[one.direction]}"


def _way(one: SuspectedCause) -> str:
    words = _LONG if _unit(one) in _TIMES else _HIGH
    if one.usual is None or one.here is None or not math.isfinite(one.usual.middle):
        return words[EITHER]
    return words[MORE if one.here.value > one.usual.middle else LESS]


def _unit(one: SuspectedCause) -> str:
    return "" if one.read is None or one.read.variable is None else one.read.variable.unit


def amount_words(value: float, unit: str) -> str:
    """A value with its unit: "6.07", "2.48 %", "52 min"."""
    return _figure(value, unit) if unit == "pH" else f"{_figure(value, unit)} {unit}".rstrip()


def _figure(value: float, unit: str) -> str:
    """A value without its unit; a pH has all its digits, and its variable's name says the rest."""
    return f"{value:.2f}" if unit == "pH" else short(value, _DIGITS.get(unit, 2))


def here_words(one: SuspectedCause) -> str:
    """What this make had; of an estimate with its range."""
    here = one.here
    if here is None:
        return "not known"
    if here.kind:
        return here.kind
    return _known_words(here, _unit(one))


def _known_words(here: ValueEstimate, unit: str) -> str:
    value = amount_words(here.value, unit)
    if here.low == here.high:
        return value
    return f"about {short(here.value, 1)} ({short(here.low, 1)} to {short(here.high, 1)}) {unit}"


def usual_words(one: SuspectedCause) -> str:
    """What the kitchen's other makes had: "yours 6.18 to 6.35"."""
    usual = one.usual
    if usual is None:
        return ""
    if usual.kinds:
        return f"yours {listed(list(usual.kinds[:3]))}"
    return f"yours {_span(usual, _unit(one))}"


def _span(usual: UsualRange, unit: str) -> str:
    low, high = _figure(usual.low, unit), _figure(usual.high, unit)
    return low if low == high else f"{low} to {high}"


def literature_words(one: SuspectedCause) -> str:
    """What the books say: which way brings it, of how many trials, for which kind of cheese."""
    row = one.rows[0]
    if not row.id:
        return ""
    known = counted(one.trials, "trial") if one.trials > 1 else _EVIDENCE[row.evidence]
    kind = row.family if one.fits == SAME else f"{row.family}, not your kind"
    return f"Books: {small(cause_words(row.id))} ({known}; {kind})."


_EVIDENCE = {
    "trial": "one trial",
    "textbook": "textbook, no trial",
    "extension": "advice to farms, no trial",
    "case": "one outbreak",
    "practice": "practice, no trial",
}


def own_words(own: OwnFinding | None) -> str:
    """What the journal's own makes say of the same: "Your makes: may matter, the same way."."""
    if own is None:
        return "Your makes: not enough scores to tell."
    if not own.says:
        return f"Your makes: {evidence_words(own.evidence)}."
    way = "the same way" if own.says == "same" else "the opposite way"
    return f"Your makes: {evidence_words(own.evidence)}, {way}."


def reason_words(one: SuspectedCause) -> str:
    """Why a cause is ruled out, or is weighed as it is: "as usual", "as planned"."""
    words = {USUAL: "as usual", PLAN: "as planned", PUBLISHED: "inside the published range"}
    if one.departs <= -1.0:
        return "rather the other way"
    if one.here is not None and one.here.kind and one.usual is not None:
        return "as in other makes" if one.here.kind in one.usual.kinds else "not so here"
    return words.get(one.reasons[0], "nothing of yours to compare with")


def plan_words(one: SuspectedCause) -> str:
    """The plan's value beside the make's, where it settles one: "plan 6.29"."""
    return "" if one.planned is None else f"plan {_figure(one.planned, _unit(one))}"


def published_words(one: SuspectedCause) -> str:
    """The published range, where there is one: "published 5.1 to 5.4"."""
    found = one.published
    if found is None:
        return ""
    low, high = found.low, found.high
    if low is None:
        return f"published: at most {short(high or 0.0)}"
    return f"published: {'at least ' if high is None else ''}{short(low)}" + (
        "" if high is None else f" to {short(high)}"
    )


def out_words(one: SuspectedCause) -> str:
    """A cause that this make rules out: "Salt in curd 2.48 %: as usual."."""
    return f"{capital(name_words(one.key))} {here_words(one)}: {reason_words(one)}."


def open_words(one: SuspectedCause) -> str:
    """A cause of which nobody knows: what to ask."""
    if ALONE in one.reasons and one.here is not None:
        return f"{capital(name_words(one.key))} {here_words(one)}: nothing to compare it with yet."
    return question(one.variable)


def next_words(one: NextTime) -> str:
    """What to do next time, one sentence."""
    if one.do == NOTE:
        return question(one.suspect.variable)
    name, unit = name_words(one.suspect.key), _unit(one.suspect)
    value = amount_words(one.value, unit)
    if one.do == KEEP:
        return f"Keep the {name} as the plan has it: {value}."
    if one.do == CHANGE:
        return f"Plan the {name} at {value}, as is usual here."
    remedy = remedy_words(one.suspect.rows[0].id)
    return f"Aim at a {name} near {value}." + (f" The books: {small(remedy)}." if remedy else "")


def plan_button_words(found: Why) -> str:
    """What planning the next make does: "Plan it: salt in curd 2.5 %"; "" where there is nothing to
    plan or to write down."""
    if not found.next_time:
        return ""
    first = found.next_time[0]
    if first.do == NOTE:
        return "Plan it again, with what to write down"
    what = f"{name_words(first.suspect.key)} {amount_words(first.value, _unit(first.suspect))}"
    return f"Plan it again, keep {what}" if first.do == KEEP else f"Plan it: {what}"


def note_words(found: Why) -> str:
    """What to write down next time, as the note of a plan."""
    asks = [next_words(one) for one in found.next_time if one.do == NOTE]
    return f"To write down: {' '.join(asks)}" if asks else ""


def nothing_words(found: Why) -> str:
    """In the place of a picture, where no cause stands out: what would tell more next time."""
    if not found.defect:
        key = key_words("choose")
        return f"{_NOTHING} Name a defect when you score it, or ask about one here ({key})."
    asks = [next_words(one) for one in found.next_time if one.do == NOTE]
    if asks:
        return f"{_NOTHING} Write down next time: {' '.join(asks)}"
    return (
        f"{_NOTHING} What the books name was written down and was as usual: note what else was "
        "different at the next make."
    )


def disagree_words(found: Why) -> list[str]:
    """Where the books disagree about what departs here."""
    return [": ".join(disagreement_words(one)) for one in found.disagree]


def composition_words(one: Graded) -> str:
    """An estimate and what is published beside it, one sentence."""
    name = _PARTS[one.name]
    text = f"{name} about {short(one.value, 1)} % ({short(one.low80, 1)} to {short(one.high80, 1)})"
    rows = [_grade_words(one, row) for row in one.ranges]
    return f"{text}: {'; '.join(rows)}." if rows else f"{text}."


def _grade_words(one: Graded, row: GradeRange) -> str:
    low, high = row.low, row.high
    if low is None:
        span = f"at most {short(high or 0.0)}"
    elif high is None:
        span = short(low) if row.is_found else f"at least {short(low)}"
    else:
        span = f"{short(low)} to {short(high)}"
    where = {"below": ", below it", "above": ", above it", "inside": ", inside"}
    return f"{span} ({grade_words(row.row)}){where.get(one.beside(row), '')}"


_PARTS = {
    "moisture_pct": "Moisture",
    "fdm_pct": "Fat in dry matter",
    "fat_pct": "Fat",
    "salt_pct": "Salt",
    "s_m_pct": "Salt in moisture",
}


def beside_words(published: Literature, key: str) -> str:
    """What the books expect beside a finding of a variable: "The books expect the same (5 trials;
    cheddar-type).", or what they disagree about."""
    if published.says == "none":
        return "Nothing in the books."
    known = counted(published.trials, "trial") if published.trials else "no trial"
    about = f"({known}; {published.family})"
    if published.says == "disagree":
        what = [small(title) for title, _ in _disputes(key)]
        return f"The books disagree {about}{f': {listed(what)}' if what else ''}."
    if published.says == "open":
        return f"The books expect {_EXPECTS[published.expects]} {about}."
    return f"The books expect {'the same' if published.says == 'same' else 'the opposite'} {about}."


def rows_words(published: Literature) -> str:
    """What each row of the books says, a line each."""
    return "\n".join(cause_words(row) or effect_words(row) for row in published.rows)


def dispute_words(key: str) -> str:
    """Where the books disagree about a variable, "" where they do not."""
    return "\n".join(f"{title}: {text}" for title, text in _disputes(key))


def _disputes(key: str) -> list[tuple[str, str]]:
    return [disagreement_words(one.id) for one in disagreements() if key in one.variables]


_EXPECTS = {
    "more": "it to rise with this",
    "less": "it to fall with this",
    "middle": "a best value in the middle",
    "none_found": "no difference",
}


def causes_text(one: SuspectedCause) -> str:
    """Each row of a cause with its figure, what to do, and its source."""
    parts = []
    for row in one.rows:
        if not row.id:
            continue
        figure = threshold_words(row.id)
        remedy = remedy_words(row.id)
        words = cause_words(row.id) + (f" ({figure})" if figure else "") + "."
        words += f" What to do: {small(remedy)}." if remedy else ""
        parts.append(f"{words}\n{capital(row.evidence)}, {row.family}: {source_words(row.source)}")
    return "\n\n".join(parts)
