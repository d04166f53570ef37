"""What is new in a plan against another: stage by stage, as it was and as it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher

from journal.records.care_written import care_lines
from journal.records.plans import Plan, Stage
from journal.records.stage_written import milk_parts, stage_parts
from journal.wording import worded
from journal.wording.care import care_line_words
from journal.wording.shown import write

SAME, CHANGED, ADDED, GONE, MOVED = "same", "changed", "added", "gone", "moved"


@dataclass(frozen=True)
class Difference:
    """A stage of two plans side by side: its place in the older and the newer one (None: not
    there; -1: the milk's line), what it is called, and what differs as it was and as it is."""

    how: str
    label: str
    old: int | None
    new: int | None
    was: str = ""
    now: str = ""


def differences(old: Plan, new: Plan) -> list[Difference]:
    """Every stage of both plans in the order of the newer one, the milk's line first where it
    differs."""
    out = _heads(old, new)
    for before, after in _paired(old.stages, new.stages):
        out.append(_difference(old, new, before, after))
    return [*_with_moves(out, old, new), *_cares(old, new)]


def count_words(found: Sequence[Difference]) -> str:
    """How much differs, in words."""
    news = [d for d in found if d.how != SAME]
    if not news:
        return worded("wording.nothing-differs")
    return worded("wording.one-differs" if len(news) == 1 else "wording.lines-differ", n=len(news))


def _heads(old: Plan, new: Plan) -> list[Difference]:
    was, now = _only(_head_parts(old), _head_parts(new))
    return [Difference(CHANGED, worded("reckoning.milk"), -1, -1, was, now)] if was or now else []


def _cares(old: Plan, new: Plan) -> list[Difference]:
    """What the one or the other wants after the vat, alone."""
    was, now = _only(*([care_line_words(one) for one in care_lines(plan)] for plan in (old, new)))
    return (
        [Difference(CHANGED, worded("wording.title-care"), -1, -1, was, now)] if was or now else []
    )


def _head_parts(plan: Plan) -> list[str]:
    alone = replace(plan, stages=plan.stages[:1])  # what the stages say is said with them
    parts = [write(plan.milk_c, "temperature"), *(part.text for part in milk_parts(alone))]
    mould = plan.mould_mm
    return parts + ([worded("wording.mould-wide", mould=mould)] if mould is not None else [])


def _paired(old: Sequence[Stage], new: Sequence[Stage]) -> list[tuple[int | None, int | None]]:
    """Places that belong together, in the order of the newer; None where there is no other."""
    matcher = SequenceMatcher(None, [s.label for s in old], [s.label for s in new], autojunk=False)
    out: list[tuple[int | None, int | None]] = []
    for tag, i0, i1, j0, j1 in matcher.get_opcodes():
        if tag == "equal":
            out.extend(zip(range(i0, i1), range(j0, j1), strict=True))
            continue
        left = list(range(i0, i1))
        for j in range(j0, j1):
            alike = next((i for i in left if old[i].kind == new[j].kind), None)
            if alike is not None:
                out.extend((i, None) for i in left if i < alike)
                left = [i for i in left if i > alike]
            out.append((alike, j))
        out.extend((i, None) for i in left)
    return out


def _difference(old: Plan, new: Plan, before: int | None, after: int | None) -> Difference:
    if before is None and after is not None:
        stage = new.stages[after]
        return Difference(ADDED, stage.label, None, after, "", "; ".join(_message(new, stage)))
    if after is None and before is not None:
        stage = old.stages[before]
        return Difference(GONE, stage.label, before, None, "; ".join(_message(old, stage)), "")
    assert before is not None
    assert after is not None
    was, now = old.stages[before], new.stages[after]
    if was == now:
        return Difference(SAME, now.label, before, after)
    words = _only(_message(old, was), _message(new, now))
    if words == ("", ""):
        words = (worded("wording.other-amounts"),) * 2
    return Difference(CHANGED, now.label, before, after, *words)


def _message(plan: Plan, stage: Stage) -> list[str]:
    """Everything a stage says, a part each; amounts are for the plan's own milk."""
    parts = [f"{stage.kind}: {stage.name}"] if stage.name else [stage.kind]
    there = stage.target_c
    parts.append(worded("wording.no-temperature") if there is None else write(there, "temperature"))
    parts.append(write(stage.minutes, "duration"))
    parts += [part.text for part in stage_parts(plan, stage, plan.milk_l)]
    parts += [stage.instruction] if stage.instruction else []
    return parts + ([worded("wording.until", until=stage.until)] if stage.until else [])


def _only(old: list[str], new: list[str]) -> tuple[str, str]:
    """What only the one says, and what only the other."""
    was = "; ".join(part for part in old if part not in new)
    now = "; ".join(part for part in new if part not in old)
    return was, now


def _with_moves(found: list[Difference], old: Plan, new: Plan) -> list[Difference]:
    """A stage that is gone here and new there, unchanged, has moved."""
    out = list(found)
    for gone in [d for d in found if d.how == GONE]:
        added = next((d for d in out if d.how == ADDED and _alike(old, new, gone.old, d.new)), None)
        if added is None:
            continue
        was = worded("wording.was-line", line=(gone.old or 0) + 1)
        words = was, worded("wording.is-line", line=(added.new or 0) + 1)
        out[out.index(added)] = Difference(MOVED, added.label, gone.old, added.new, *words)
        out.remove(gone)
    return out


def _alike(old: Plan, new: Plan, before: int | None, after: int | None) -> bool:
    return before is not None and after is not None and old.stages[before] == new.stages[after]
