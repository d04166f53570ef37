"""pip's failures, each as what happened and what to do."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

import pytest

PACKAGING = Path(__file__).resolve().parents[2] / "packaging"

# The words are pip's own, as it prints them.
FAILURES = {
    "no network": (
        "ERROR: No matching distribution found for pyqtgraph==0.14.*",
        "Could not fetch URL: connection error: HTTPSConnectionPool: Max retries exceeded "
        "(Caused by NameResolutionError: [Errno -3] Temporary failure in name resolution)",
    ),
    "date and its network": (
        "ERROR: No matching distribution found for numpy",
        "SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED]'))",
    ),
    "disk is full": ("ERROR: Could not install packages: [Errno 28] No space left on device", ""),
    "There is no PySide6 in the pinned version": (
        "ERROR: Cannot install PySide6 because these package versions have conflicting "
        "dependencies.\nERROR: ResolutionImpossible: for help visit",
        "",
    ),
    "There is no scipy==1.17.1 in the pinned version": (
        "ERROR: Could not find a version that satisfies the requirement scipy==1.17.1\n"
        "ERROR: No matching distribution found for scipy==1.17.1",
        "",
    ),
    "could not be installed: ERROR: the wheel is damaged": (
        "Collecting numpy\nERROR: the wheel is damaged\n\n",
        "",
    ),
}


@pytest.fixture
def fetching(monkeypatch):
    """The module, as start.py finds it: beside itself."""
    monkeypatch.syspath_prepend(str(PACKAGING))
    yield importlib.import_module("fetching")
    for name in ("fetching", "trouble"):
        sys.modules.pop(name, None)


@pytest.mark.parametrize("sentence", FAILURES)
def test_a_failure_is_told_in_a_sentence(fetching, sentence):
    output, log = FAILURES[sentence]
    assert sentence in fetching.why(output, output + "\n" + log)


@pytest.mark.parametrize(
    ("line", "report"),
    [
        (
            "Downloading pyside6-6.10.3-cp39-abi3-manylinux.whl (563 kB)",
            ["  pyside6 6.10.3 (563 kB)"],
        ),
        ("Downloading numpy-2.4.6-cp311-cp311-linux.whl.metadata (62 kB)", []),
        ("Installing collected packages: numpy, pyqtgraph", ["Installing."]),
        ("Requirement already satisfied: numpy", []),
    ],
)
def test_only_what_a_person_waits_for_is_shown(fetching, line, report):
    assert list(fetching._worth_telling(line)) == report
