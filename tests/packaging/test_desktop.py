"""The desktop entry and the kind of file that opens with it agree with each other."""

from __future__ import annotations

import configparser
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SPACE = "{http://www.freedesktop.org/standards/shared-mime-info}"


def test_a_journal_file_opens_with_the_command():
    from defusedxml import ElementTree

    entry = configparser.ConfigParser(interpolation=None, strict=True)
    entry.optionxform = str
    entry.read(ROOT / "packaging" / "vatside.desktop", encoding="utf-8")
    desktop = entry["Desktop Entry"]
    kind = ElementTree.parse(ROOT / "packaging" / "vatside-mime.xml").find(f"{SPACE}mime-type")
    assert kind.find(f"{SPACE}glob").get("pattern") == "*.vatside"
    assert desktop["MimeType"].rstrip(";").split(";") == [kind.get("type")]
    command, file = desktop["Exec"].split()
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert command in scripts["scripts"]
    assert file == "%f"
