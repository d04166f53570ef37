"""Loading Qt's binding so that imports go on as Python does them by itself."""

from __future__ import annotations

import builtins


def load_qt() -> None:
    """Load Qt's binding, and take back what it does to imports.

    The binding has imports go by a function that reads the source of every module, for it could
    choose features of the binding (`from __feature__ import …`). None does here, and to read some
    hundred files took a fifth of the start. The binding does without on PyPy too.
    """
    plain = builtins.__import__
    import PySide6.QtCore  # noqa: F401

    builtins.__import__ = plain
