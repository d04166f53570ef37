"""The trade's sums: floats in, floats out.

Here: each formula of milk, curd, press and brine, one file a subject, with the unit in every
parameter's name, its range of validity, its formula and its source. Floats and numpy arrays only;
a published table is passed in by whoever calls. Beside a sum stands a function `…_warnings` that
gives a message for each input outside what was published. Not here: how a sum is asked and answered
(topics), units as typed (quantities), files (records reads the tables), anything of Qt or SQL.
"""

from __future__ import annotations

from journal.message import MessageError


class ReckoningError(MessageError):
    """An input no sum can take."""
