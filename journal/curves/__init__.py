"""Readings as curves: the plan against the log, alignment, bands, forecasts.

Here: what can be said of one make's traces, alone or beside others, as numpy arrays: the
planned line re-timed to the day, deviation, the company's band, the difference to another
make, the acidity forecast, and the reduction of a long trace to what a screen can show.
Not here: where readings are kept (keeping), how they are drawn (desk), scores (findings).
"""

from journal.message import MessageError


class CurveError(MessageError):
    """A curve that cannot be drawn or compared."""
