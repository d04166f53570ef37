"""What a plan wants after the vat, in a few words: care, room, tastings, where it comes from."""

from __future__ import annotations

from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import heading, paragraph
from journal.records.care_written import AgeLine, care_lines
from journal.records.plans import Plan
from journal.wording import worded
from journal.wording.care import age_line_words, care_words, room_words


def after_blocks(paper: Paper, plan: Plan, points: float) -> list[Block]:
    """The care of the wheels, the room, the ages to taste at, the plan's note and source."""
    parts = [care_words(rule) for rule in plan.care]
    room = room_words(plan)
    if room:
        parts.append(room)
    parts += [age_line_words(line) for line in care_lines(plan) if isinstance(line, AgeLine)]
    blocks = [heading(paper, "Afterwards", points + 1, before=3.0)] if parts else []
    if parts:
        blocks.append(paragraph(paper, " ".join(parts), points))
    if plan.note:
        blocks.append(paragraph(paper, worded("desk.note-is", note=plan.note.split()), points))
    if plan.source:
        source = worded("desk.from-source", source=plan.source.split())
        blocks.append(paragraph(paper, source, points - 0.5, quiet=True))
    return blocks
