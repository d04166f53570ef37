"""What a new empty plan says before anything is typed."""

from __future__ import annotations


def new_caution() -> str:
    """The caution of a new plan, which is the maker's own to change from then on."""
    return (
        "Use pasteurised milk, or follow your local code for raw milk; raw milk and soft cheese "
        "are a risk in pregnancy, for the very young, the old and the ill. When the culture stalls "
        "or the acid comes late, harmful bacteria may have grown: do not taste it, throw it away."
    )
