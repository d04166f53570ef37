"""What is said about one make: how far it was off its plan, what came of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from journal.curves.deviation import Delay, Deviation
from journal.keeping import MakeRow
from journal.message import Instant, Message
from journal.records.instants import DAY_MS, local
from journal.records.makes import Make, StageRun
from journal.records.verdicts import Verdict
from journal.records.wheels import Weighing, Wheel
from journal.records.whole import WholeMake
from journal.wording.counts import reasons_words
from journal.wording.dates import clock, format_day, short_day
from journal.wording.sentences import worded
from journal.wording.shown import YIELD, apart, figure, rate, shown_figure, write
from journal.wording.variable_values import figure_words, label_shown

_DELAY_WORTH_A_WORD = 5.0  # min


def make_heading(whole: WholeMake) -> str:
    """ "Hollow Lane hard, 12.3 L · 11 October 2026, 09:04"."""
    make = whole.make
    day = local(make.started_ms, make.zone)
    name = make.name or whole.plan.name
    milk = write(make.milk.litres, "volume", digits=1)
    return f"{name}, {milk} · {format_day(day)}, {clock(make.started_ms, make.zone)}"


def strayed_words(whole: WholeMake, found: Deviation) -> str:
    """How the day compares with its plan, in two or three sentences."""
    parts = [_temperature(whole, found), _cook(found), _latest(whole, found)]
    words = " ".join(part for part in parts if part)
    return words or worded("wording.make-no-temperature")


def imported_words(
    rows: int, makes: int, updated: int, reasons: Mapping[str, int], codes: Sequence[str]
) -> str:
    """What came of a table of past makes: "12 rows read, 10 makes imported, 2 skipped: …"."""
    which = "wording.make-rows-updated" if updated else "wording.make-rows-imported"
    skipped, why = sum(reasons.values()), reasons_words(reasons)
    parts = [worded(which, rows=rows, makes=makes, updated=updated, skipped=skipped, why=why)]
    if codes:
        one = codes[0] == codes[-1]
        they = "wording.make-import-is" if one else "wording.make-imports-are"
        parts.append(worded(they, first=codes[0], last=codes[-1]))
    return " ".join(parts)


def make_state_words(make: Make | MakeRow, verdict: Verdict | None) -> str:
    """ "running", "failed", "do not eat", or "" when it came to its end."""
    if make.failed:
        return worded("wording.make-failed")
    if verdict is not None:
        return worded("wording.make-do-not-eat")
    return worded("wording.make-running") if make.finished_ms is None else ""


def wheel_weight(whole: WholeMake, wheel: Wheel) -> str:
    """A wheel's green weight and its last: "1.24 → 1.12 kg"."""
    last = [w for w in whole.weighings if w.wheel_id == wheel.id]
    green = wheel.green_weight_kg
    newest = max(last, key=_at).weight_kg if last else green
    if newest is None:
        return ""
    if green is None or abs(newest - green) < 0.0005:
        return write(newest, "mass")
    return f"{shown_figure(green, 'mass', 2)} → {write(newest, 'mass', digits=2)}"


def wheel_scores(whole: WholeMake, wheel: Wheel) -> str:
    """The mean overall score at each session: "6.5 at 62 days, 7.2 at 118 days"."""
    sessions: dict[int, list[float]] = {}
    ages: dict[int, int] = {}
    for given in whole.scores:
        if given.wheel_code == wheel.code and given.attribute == "overall":
            sessions.setdefault(given.tasting_id, []).append(given.value)
            ages[given.tasting_id] = round((given.at_ms - whole.make.started_ms) / DAY_MS)
    means = [worded("wording.make-score-at", score=sum(v) / len(v), days=ages[key])
             for key, v in sessions.items()]  # fmt: skip
    return ", ".join(means)


def score_lines(whole: WholeMake) -> list[str]:
    """The mean overall score of each wheel that was tasted: "HL-0031-A scored 6.5 at 62 d."."""
    found = [(wheel.code, wheel_scores(whole, wheel)) for wheel in whole.wheels]
    return [worded("wording.make-scored", code=code, scores=scores)
            for code, scores in found if scores]  # fmt: skip


def whey_lines(whole: WholeMake) -> list[str]:
    """Where a whey cheese came from, and what came of this make's whey."""
    lines = []
    if whole.whey_from is not None:
        litres, code = round(whole.make.whey_l or 0.0, 1), whole.whey_from.code
        lines.append(worded("wording.make-of-whey", litres=litres, code=code))
    for cheese in whole.whey_cheeses:
        litres = round(cheese.whey_l or 0.0, 1)
        lines.append(
            worded("wording.make-whey-became", litres=litres, code=cheese.code, name=cheese.name)
        )
    return lines


def note_lines(whole: WholeMake) -> list[str]:
    """Where its whey came from or went, what was noted that day with its time, then the remark
    and what an imported table said."""
    make = whole.make
    lines = whey_lines(whole)
    lines += [f"{clock(at_ms, make.zone)}  {words}" for at_ms, words in day_notes(whole)]
    lines += [
        f"{wheel.code}, {short_day(note.at_ms, make.zone)}: {note.text}"
        for wheel in whole.wheels
        for note in whole.notes
        if note.wheel_id == wheel.id and note.text
    ]
    if make.remark:
        lines.append(make.remark)
    entered = [_entered_text(e.name, e.value, e.text, e.unit) for e in whole.entered]
    return lines + ([worded("wording.make-from-a-table", entries=entered)] if entered else [])


def day_notes(whole: WholeMake) -> list[tuple[int, str]]:
    """What was noted that day, by its time: the notes, and each stage that was not as planned,
    with the reason: "set: 10 min longer: the break is soft"."""
    own = [note for note in whole.notes if note.wheel_id is None]
    found = [(note.at_ms, note.text or worded("wording.make-photo")) for note in own]
    for stage, run in zip(whole.plan.stages, whole.runs, strict=False):
        words = _otherwise(run)
        if words:
            at_ms = run.planned_begin_ms if run.began_ms is None else run.began_ms
            found.append((at_ms, f"{stage.label}: {words}"))
    return sorted(found)


def _otherwise(run: StageRun) -> str:
    """The reason for a stage that was not as planned; without one, what was done."""
    if run.reason:
        return run.reason
    if run.skipped:
        return worded("wording.make-skipped")
    done = []
    if run.again_ms:
        done.append(worded("wording.make-restarted", times=len(run.again_ms)))
    if round(run.extra_min):
        longer = run.extra_min > 0
        side = "wording.make-longer" if longer else "wording.make-shorter"
        done.append(worded(side, minutes=abs(run.extra_min)))
    return ", ".join(done)


def _temperature(whole: WholeMake, found: Deviation) -> str:
    if found.worst_c is None or found.worst_at_ms is None:
        return ""
    above = found.worst_c > 0
    worst = Message(
        "wording.make-above-plan" if above else "wording.make-below-plan",
        apart=apart(abs(found.worst_c)),
        at=Instant(found.worst_at_ms, whole.make.zone),
    )
    if found.rms_c is None:
        return worded("wording.make-at-most", worst=worst)
    inside = (found.minutes_outside or 0.0) < 0.5
    return worded(
        "wording.make-never-outside" if inside else "wording.make-outside",
        apart=apart(found.rms_c),
        outside=round(found.minutes_outside or 0.0),
        worst=worst,
    )


def _cook(found: Deviation) -> str:
    real, planned = found.cook_rate_c_per_min, found.planned_cook_rate_c_per_min
    if real is None:
        return ""
    if planned is None:
        return worded("wording.make-cook", rate=rate(real))
    return worded("wording.make-cook-planned", rate=rate(real), planned=rate(planned))


def _latest(whole: WholeMake, found: Deviation) -> str:
    if not found.delay_min:
        return ""
    delay = max(found.delay_min, key=_size)
    if abs(delay.minutes) < _DELAY_WORTH_A_WORD:
        return ""
    side = "wording.make-stage-late" if delay.minutes > 0 else "wording.make-stage-early"
    label = whole.plan.stages[delay.position].label
    return worded(side, stage=label, minutes=abs(round(delay.minutes)))


def _entered_text(name: str, value: float | None, text: str, unit: str) -> str:
    if value is None:
        return f"{name} {text}"
    return f"{name} {figure_words(value, unit, 'g')} {label_shown(unit)}".rstrip()


def _at(weighing: Weighing) -> int:
    return weighing.at_ms


def _size(delay: Delay) -> float:
    return abs(delay.minutes)


def joined(lines: Iterable[str]) -> str:
    """Lines under each other."""
    return "\n".join(lines)


def shortened(text: str, most: int) -> str:
    """A text of at most so many characters, cut at a word."""
    if len(text) <= most:
        return text
    return text[:most].rsplit(" ", 1)[0] + " …"


def make_row_words(row: MakeRow) -> str:
    """A make of a list in a line: its day, plan, score and yield."""
    plan = worded("wording.make-plan-version", plan=row.plan, version=row.plan_version)
    parts = [row.code, short_day(row.started_ms, row.zone), plan]
    if row.failed:
        parts.append(worded("wording.make-failed"))
    elif row.best_score is not None:
        parts.append(worded("wording.compare-score", score=row.best_score))
    parts += [] if row.yield_pct is None else [figure(row.yield_pct, YIELD, 1).whole]
    return ", ".join(parts)
