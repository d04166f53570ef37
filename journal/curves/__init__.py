"""Readings as curves: the plan against the log, alignment, bands, forecasts."""

from journal.message import MessageError


class CurveError(MessageError):
    """A curve that cannot be drawn or compared."""
