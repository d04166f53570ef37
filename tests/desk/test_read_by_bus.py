"""What a screen reader finds on the accessibility bus itself (AT-SPI 2), by place: a window in a
process of its own, on a display and a session's bus made for the test. Where these cannot be had
it is skipped; `test_spoken.py` asks Qt's own tree the same."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from journal.desk.places import PLACES
from tests.desk.bus_reader import CONTROLS, SAYS

_TOOLS = ("dbus-run-session", "xvfb-run", "Xvfb")
_LAUNCHERS = ("/usr/libexec/at-spi-bus-launcher", "/usr/lib/at-spi2-core/at-spi-bus-launcher")


def _lacking() -> str:
    lacking = [tool for tool in _TOOLS if shutil.which(tool) is None]
    if not any(Path(one).exists() for one in _LAUNCHERS):
        lacking.append("at-spi2-core")
    return ", ".join(lacking)


@pytest.mark.skipif(bool(_lacking()), reason=f"no accessibility bus: {_lacking()} is not here")
def test_each_place_is_read_by_the_bus_with_names_and_roles_and_what_is_said_is_heard(
    sample_file, tmp_path
):
    journal, out = tmp_path / "read.vatside", tmp_path / "read.json"
    shutil.copy(sample_file, journal)
    places = [entry.key for entry in PLACES]
    environment = {
        **os.environ, "QT_LINUX_ACCESSIBILITY_ALWAYS_ON": "1", "QT_QPA_PLATFORM": "xcb",
        "XDG_RUNTIME_DIR": str(tmp_path),
    }  # fmt: skip
    done = subprocess.run(
        ["xvfb-run", "-a", "dbus-run-session", "--", sys.executable, "-m",
         "tests.desk.bus_reader", str(journal), str(out), *places],
        env=environment, capture_output=True, text=True, timeout=400, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-3000:]
    found: dict[str, list[dict[str, Any]]] = json.loads(out.read_text(encoding="utf-8"))
    announced = found.pop("announced")
    assert any(SAYS in str(part) for part in announced)
    assert list(found) == places
    for place, nodes in found.items():
        assert len(nodes) > 20, place
        nameless = [
            one for one in nodes
            if (one["focusable"] or one["role"] in CONTROLS) and not one["name"].strip()
            and one["role"] not in ("panel", "filler", "scroll pane", "list item")
        ]  # fmt: skip
        assert nameless == [], place
        pictures = [one for one in nodes if one["role"] in ("chart", "image", "graphic")]
        assert [one for one in pictures if not one["about"].strip()] == [], place
    assert any(one["role"] == "chart" for one in found["vat"] + found["makes"])
    assert any("table" in one["role"] for one in found["makes"])
