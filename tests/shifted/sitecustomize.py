"""Python runs this first when its folder is on PYTHONPATH: it shifts the wall clock of a process.

The clocks that only count stay as they are, so what waits still waits as long as it should.
"""

import os
import time

_SHIFT_NS = int(os.environ.get("VATSIDE_SHIFT_S", "0")) * 1_000_000_000
_wall_ns = time.time_ns


def _time_ns() -> int:
    return _wall_ns() + _SHIFT_NS


def _time() -> float:
    return _time_ns() / 1e9


time.time_ns, time.time = _time_ns, _time
