"""The pins: exact, complete, within the ranges, and what these tests run on."""

from __future__ import annotations

import tomllib
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def pins() -> dict[str, str]:
    lines = (ROOT / "packaging" / "pins.txt").read_text(encoding="utf-8").splitlines()
    exact = [line.split("==") for line in lines if not line.startswith("#")]
    assert all(len(parts) == 2 for parts in exact), "a pin is NAME==VERSION"
    return {canonicalize_name(name): version for name, version in exact}


@pytest.fixture(scope="module")
def asked() -> list[Requirement]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = project["dependencies"] + project["optional-dependencies"]["dev"]
    return [Requirement(line) for line in lines]


def test_each_dependency_is_pinned_within_its_range(pins, asked):
    for one in asked:
        assert one.specifier.contains(pins[canonicalize_name(one.name)]), str(one)


def test_all_that_the_dependencies_bring_along_is_pinned(pins, asked):
    waiting, seen = list(asked), set()
    while waiting:
        name = canonicalize_name(waiting.pop().name)
        if name in seen:
            continue
        seen.add(name)
        brought = [Requirement(line) for line in metadata.requires(name) or []]
        waiting += [one for one in brought if not one.marker or one.marker.evaluate({"extra": ""})]
    # pip itself comes with each Python, in the version that fits it.
    assert seen - {"pip"} <= set(pins)


def test_the_tests_run_on_the_pinned_versions(pins, asked):
    running = {name: metadata.version(name) for name in (canonicalize_name(a.name) for a in asked)}
    assert running == {name: pins[name] for name in running}
