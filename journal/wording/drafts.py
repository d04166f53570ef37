"""A plan that is being written: where it comes from, and what a new one says."""

from __future__ import annotations

from journal.message import Message
from journal.records.drafts import PlanDraft
from journal.wording import worded
from journal.wording.shown import size, unit_label, write


def new_caution() -> str:
    """The caution of a new plan, which is the maker's own to change from then on."""
    return worded("wording.new-caution")


def litres_text(litres: float) -> str:
    """Milk with the digits that a jug shows: "11.4 L", "250 ml"."""
    return (
        write(litres, "volume", digits=1 if litres % 1 else 0)
        if litres >= 1
        else (write(1000 * litres, "volume_ml", digits=0))
    )


def mould_text(mould_mm: float | None) -> str:
    """A mould's width for its field, with the digits that a rule shows."""
    return "" if mould_mm is None else size(mould_mm).removesuffix(f" {unit_label('length')}")


def draft_name(draft: PlanDraft) -> str:
    """A draft's name in the list, with the make it comes from."""
    return f"{draft.from_make}, {draft.name}" if draft.from_make else draft.name


def draft_about(
    draft: PlanDraft, of_series: bool, is_saved: bool, is_changed: bool, has_newer: bool
) -> str:
    """What a plan is and where it comes from."""
    style = f" · {draft.head.style}" if draft.head.style else ""
    if not draft.from_name:
        return worded("wording.plan-not-saved")
    if of_series or draft.from_make:
        which = "wording.plan-of-series" if of_series else "wording.plan-from-make"
    elif is_changed:
        which = "wording.plan-from-version" if is_saved else "wording.plan-from-ours"
    else:
        which = "wording.plan-here" if is_saved else "wording.plan-ours"
    newer = Message("wording.plan-newer") if has_newer else ""
    version, make = draft.from_version, draft.from_make
    return worded(which, make=make, version=version, newer=newer, style=style)
