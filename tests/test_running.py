"""How the tests themselves are run: elsewhere, and with a record for a build server."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tests.elsewhere import IN_SHORT, SIX
from tests.locales import LOCALES, environment

ROOT = Path(__file__).resolve().parents[1]
ASKS = """\
import locale, time
locale.setlocale(locale.LC_ALL, "")
from journal.records.instants import local, now_ms, system_zone
at = local(now_ms(), system_zone())
began = time.perf_counter()
time.sleep(0.05)
assert 0.04 < time.perf_counter() - began < 30
print(f"{at:%Y-%m-%d} {at:%A} {system_zone()}")
"""


def test_a_record_for_a_build_server_makes_no_errors(tmp_path):
    """What a test notes down goes into the record: some forms of it refuse that."""
    (tmp_path / "test_noting.py").write_text(
        "def test_it(record_property):\n    record_property('kept', '3')\n"
    )
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-c", ROOT / "pyproject.toml", "--rootdir", tmp_path,
         "-p", "no:cacheprovider", f"--junitxml={tmp_path / 'x.xml'}", tmp_path / "test_noting.py"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
    noted = ET.parse(tmp_path / "x.xml").find(".//property[@name='kept']")
    assert noted is not None
    assert noted.get("value") == "3"


@pytest.mark.parametrize(
    ("name", "output"),
    [
        ("leap", "2028-02-29 Dienstag Pacific/Auckland"),
        ("new-year", "2026-12-31 木曜日 Pacific/Auckland"),
        ("autumn", "2027-10-31 Sunday UTC"),
    ],
)
def test_elsewhere_is_another_day_language_and_zone(name, output):
    there = SIX[name]
    if environment(there.locale) is None:
        pytest.skip(f"no locale {there.locale} here")
    done = subprocess.run(
        [sys.executable, "-c", ASKS], cwd=ROOT, env=there.environment(), capture_output=True,
        encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.stdout.strip() == output, done.stderr


def test_the_six_are_in_three_languages_and_zones_and_so_is_the_short_form():
    for names in (SIX, IN_SHORT):
        assert {SIX[name].locale for name in names} == {*LOCALES, "en_US.UTF-8"}
        assert len({SIX[name].day for name in names}) == len(names)
    assert len({there.zone for there in SIX.values()}) == 3
