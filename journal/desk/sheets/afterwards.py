"""What a plan wants after the vat, in a few words: care, room, tastings, where it comes from."""

from __future__ import annotations

from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import heading, paragraph
from journal.records.plans import CareRule, Plan
from journal.wording.letters import capital, small

# Care that is given once and then holds (common practice, no source).
_ONCE = ("bandage", "wax", "wrap", "move")


def after_words(paper: Paper, plan: Plan, points: float) -> list[Block]:
    """The care of the wheels, the room, the ages to taste at, the plan's note and source."""
    parts = [care_words(rule) for rule in plan.care]
    room = _room(plan)
    if room:
        parts.append(room)
    if plan.taste_at_days:
        ages = ", ".join(f"{days:g}" for days in plan.taste_at_days)
        parts.append(f"Taste at {ages} days.")
    blocks = [heading(paper, "Afterwards", points + 1, before=3.0)] if parts else []
    if parts:
        blocks.append(paragraph(paper, " ".join(parts), points))
    if plan.note:
        blocks.append(paragraph(paper, f"Note: {' '.join(plan.note.split())}", points))
    if plan.source:
        source = f"From: {' '.join(plan.source.split())}"
        blocks.append(paragraph(paper, source, points - 0.5, quiet=True))
    return blocks


def care_words(rule: CareRule) -> str:
    """A rule of care as a sentence: "Turn from day 1 to 14, every day."."""
    kind = capital(rule.kind)
    if rule.kind in _ONCE and rule.to_day > rule.from_day:
        message = f"{kind} once, from day {rule.from_day:g} to {rule.to_day:g}"
    elif rule.to_day - rule.from_day < rule.every_days:
        message = f"{kind} on day {rule.from_day:g}"
    else:
        every = "every day" if rule.every_days == 1 else f"every {rule.every_days:g} days"
        message = f"{kind} from day {rule.from_day:g} to {rule.to_day:g}, {every}"
    air = ", ".join(
        text.format(value)
        for text, value in (
            ("{:g} °C", rule.room_c),
            ("{:g} %", rule.room_humidity_pct),
        )
        if value is not None
    )
    message += f", to {air}" if air else ""
    note = rule.note.strip().rstrip(".")
    return f"{message}: {small(note)}." if note else f"{message}."


def _room(plan: Plan) -> str:
    parts = [f"{plan.room_c:g} °C"] if plan.room_c is not None else []
    parts += [f"{plan.room_humidity_pct:g} %"] if plan.room_humidity_pct is not None else []
    return f"The room: {', '.join(parts)}." if parts else ""
