"""A plan that is being written: where it comes from, and what a new one says."""

from __future__ import annotations

from journal.records.drafts import PlanDraft
from journal.wording.shown import size, unit_label, write


def new_caution() -> str:
    """The caution of a new plan, which is the maker's own to change from then on."""
    return (
        "Use pasteurised milk, or follow your local code for raw milk; raw milk and soft cheese "
        "are a risk in pregnancy, for the very young, the old and the ill. When the culture stalls "
        "or the acid comes late, harmful bacteria may have grown: do not taste it, throw it away."
    )


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
    version = f"version {draft.from_version}"
    if not draft.from_name:
        return "Plan · a draft, not saved yet"
    if of_series:
        return f"Plan · a draft for {draft.from_make} of a series, from {version}{style}"
    if draft.from_make:
        return f"Plan · a draft from {draft.from_make}, made with {version}{style}"
    if is_changed:
        where = f"a draft, from {version if is_saved else 'the one that comes with Vatside'}"
    else:
        where = f"{version}, in this journal" if is_saved else "comes with Vatside"
    return f"Plan · {where}{'; Vatside has a newer one' * has_newer}{style}"
