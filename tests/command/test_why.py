"""Why a wheel is so, by command: likely, ruled out, not known, next time; health before taste."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from journal.keeping import Journal
from tests.command.conftest import Run, fingerprint

KEYS = ["make", "wheel", "defect", "named", "samples_scored", "family", "other_makes", "health",
        "likely", "ruled_out", "not_known", "next_time", "composition", "disagree"]  # fmt: skip
LIKELY = ["cause", "variable", "here", "usual", "books", "trials", "family", "source",
          "own_evidence", "standing", "outside", "planned", "published", "remedy",
          "rows"]  # fmt: skip


def asked(run: Run, file: Path, *words: str) -> dict:
    done = run("why", file, *words, "--json")
    assert (done.code, done.err) == (0, ""), done
    return done.data


def rows_of(found: dict) -> dict[str, list[str]]:
    """The rows of the tables an answer rests on, by variable."""
    parts = (*found["likely"], *found["ruled_out"], *found["not_known"])
    return {one["variable"]: one["rows"] for one in parts}


def rennet_of(file: Path, code: str) -> tuple[float, float]:
    """How much went into a make, and into how much milk, as its record has it."""
    with Journal.open(file, read_only=True) as journal:
        whole = journal.whole(journal.makes.by_code(code).id or 0)
    return sum(a.amount for a in whole.additions if a.kind == "rennet"), whole.make.milk.litres


def test_a_bitter_wheel_is_explained_by_what_was_done(sample: Path, run: Run):
    """0.227 ml/l of rennet, the plan has 0.20. Sources: Soodam and others 2015 (abstract): more
    coagulant, more soluble nitrogen; a home cheesemaking page: too much rennet. Salt, drain,
    milling and the room: as usual there, or rather the other way."""
    before = fingerprint(sample)
    found = asked(run, sample, "HL-0018-A", "--defect", "Bitter")
    assert list(found) == KEYS
    assert (found["make"], found["wheel"], found["defect"]) == ("HL-0018", "HL-0018-A", "bitter")
    assert found["named"]["bitter"] >= 2
    assert found["family"] == "cheddar-type"
    [one] = found["likely"]
    assert list(one) == LIKELY
    assert (one["variable"], one["books"], one["standing"]) == ("rennet_dose", "more", "likely")
    used, litres = rennet_of(sample, "HL-0018")
    assert one["here"]["value"] == pytest.approx(used / litres)
    assert one["usual"]["high80"] < one["here"]["value"]
    assert one["planned"] == pytest.approx(0.20)
    assert one["outside"] == ["usual", "plan"]
    assert (one["trials"], one["rows"]) == (1, ["C046", "C057"])
    assert one["family"] == "cheddar-type (reduced fat)"
    assert "Soodam" in one["source"]
    # the truth of this kitchen: rennet makes it bitter
    assert one["own_evidence"]["says"] == "same"
    assert one["own_evidence"]["evidence"] in ("clear", "leaning")
    # Line by line, the rows of the books on a bitter cheddar: Moller and others 2013, Schroeder
    # 1988, Banks 1993 (salt); Emmons 1962 (acid, strains); Soodam (rennet); Hicks 1986 (milk age).
    assert rows_of(found) == {
        "ph_at_drain": ["C043"],
        "salt_in_curd": ["C037", "C038", "C039"],
        "salt_in_moisture": ["C036"],
        "ph_at_milling": ["C041"],
        "rennet_dose": ["C046", "C057"],
        "moisture": ["C051"],
        "room_temperature": ["C052"],
        "culture_kind": ["C040", "C042"],
        "treatment_pasteurised": ["C050"],
        "adjunct_culture": ["C049"],
        "milk_age": ["C044"],
        "milk_hygiene": ["C053", "C054"],
    }
    out = {one["variable"]: one["reason"] for one in found["ruled_out"]}
    assert out["salt_in_curd"] == "rather the other way"  # the series had it at 2.8 %
    assert out["ph_at_milling"] == "as usual"
    steps = [(one["do"], one["variable"]) for one in found["next_time"]]
    assert steps[0] == ("keep", "rennet_dose")
    assert ("note", "milk_age") in steps
    assert found["health"] == []
    moisture = found["composition"][0]
    assert (moisture["name"], moisture["published"][0]["high"]) == ("moisture_pct", 37.0)
    assert all(one["source"] and one["row"] for one in moisture["published"])
    assert any("73 graded" in output for output in found["disagree"])
    assert fingerprint(sample) == before
    again = asked(run, sample, "HL-0018-A", "--defect", "bitter")
    assert json.dumps(again) == json.dumps(found)


def test_the_own_makes_speak_beside_the_books(sample: Path, run: Run):
    """In this kitchen rennet makes bitter, by the simulator's own truth."""
    found = asked(run, sample, "HL-0016")
    assert (found["wheel"], found["defect"]) == (None, "bitter")
    first = found["likely"][0]
    assert (first["variable"], first["rows"]) == ("rennet_dose", ["C046", "C057"])
    own = first["own_evidence"]
    assert (own["about"], own["says"]) == ("bitter", "same")
    assert own["evidence"] in ("clear", "leaning")
    assert found["family"] == "washed-curd"
    assert all(one["family"] for one in found["likely"])
    text = run("why", sample, "HL-0016").out
    assert "not your kind" in text
    assert "the same way" in text


def test_a_crumbly_wheel_is_explained(sample: Path, run: Run):
    """Guelph's list: excess salt and acid; Czulak 1969: acid in the whey; Thom and Fisk 1918: too
    little moisture; a handbook: pH under 5.0 within days."""
    found = asked(run, sample, "HL-0018-A", "--defect", "crumbly")
    assert found["named"]["crumbly"] >= 2
    assert rows_of(found) == {
        "ph_at_drain": ["C138", "C139"],
        "salt_in_moisture": ["C141"],
        "ph_at_milling": ["C142"],
        "moisture": ["C143"],
        "ph_day_3": ["C145"],
    }
    salt, moisture = found["likely"]
    assert (salt["variable"], salt["books"], salt["standing"]) == (
        "salt_in_moisture", "more", "likely",
    )  # fmt: skip
    assert salt["here"]["value"] > salt["usual"]["high80"]
    assert salt["published"]["row"] == "G016"
    assert (moisture["variable"], moisture["books"], moisture["standing"]) == (
        "moisture", "less", "less likely",
    )  # fmt: skip
    assert {one["variable"] for one in found["ruled_out"]} == {"ph_at_drain", "ph_at_milling"}
    assert found["next_time"][0]["do"] == "aim"  # no plan settles it
    assert found["next_time"][0]["value"] < salt["here"]["value"]


def test_what_a_session_under_way_hears_is_not_told(sample: Path, run: Run):
    board = ("--wheel", "HL-0018-A", "--assessor", "Orla", "--at", "2026-11-20T18:00")
    set_up = run("session-set-up", sample, *board, "--json").data
    code = run("session-key", sample, "latest", "--helper", "--json").data[0]["code"]
    gave = ("overall=4", "--defect", "gassy", "--assessor", "Orla")
    assert run("session-score", sample, "latest", code, *gave).code == 0
    hidden = asked(run, sample, "HL-0018-A")
    assert "gassy" not in hidden["named"]
    assert (
        run("session-reveal", sample, str(set_up["sitting"]), "--at", "2026-11-20T19:00").code == 0
    )
    assert asked(run, sample, "HL-0018-A")["named"]["gassy"] == 1


def test_a_gassy_wheel_is_a_matter_of_health_first(sample: Path, run: Run):
    """Thom and Fisk 1918, Russell and Hastings: dirty milk, little matting, a warm room; the French
    farm guides: curd sweet for long. It was milled after half an hour, and thrown out."""
    found = asked(run, sample, "HL-0001-A")
    assert (found["defect"], found["named"]["gassy"]) == ("gassy", 3)
    assert len(found["health"]) == 1
    first, *rest = run("why", sample, "HL-0001-A").out.splitlines()
    assert "gassy" in first
    assert rest[0] == found["health"][0]
    assert "throw it away" in rest[0]
    assert "local food authority" in rest[0]
    assert rows_of(found) == {
        "cheddaring": ["C164", "C165"],
        "room_temperature": ["C163"],
        "ph_day_1": ["C166"],
        "milk_hygiene": ["C161", "C162"],
    }
    [likely] = found["likely"]
    assert (likely["variable"], likely["books"]) == ("cheddaring", "less")
    assert likely["outside"] == ["usual", "plan"]
    assert likely["here"]["value"] < likely["planned"] / 2
    out = {one["variable"]: one["reason"] for one in found["ruled_out"]}
    assert out == {"room_temperature": "rather the other way", "ph_day_1": "as usual"}
    with Journal.open(sample, read_only=True) as journal:
        assert journal.wheel_by_code("HL-0001-A").gone_why == "thrown out"
    ask = next(one for one in found["not_known"] if one["variable"] == "milk_hygiene")
    assert not ask["measured_here"]
    assert ask["ask"].endswith("?")


def test_a_make_with_nothing_unusual_is_told_so(sample: Path, run: Run):
    found = asked(run, sample, "HL-0024")
    assert (found["defect"], found["likely"], found["next_time"]) == (None, [], [])
    assert "Nothing in this make was unusual." in run("why", sample, "HL-0024").out
    odd = asked(run, sample, "HL-0023")
    assert "press_pressure" in [one["variable"] for one in odd["likely"]]
    assert all(one["books"] is None for one in odd["likely"])


def test_a_make_that_failed_is_said_to_have_failed_before_all_else(sample: Path, run: Run):
    text = run("why", sample, "HL-0014").out
    assert text.startswith("HL-0014: Was anything unusual? Failed: Slow acid.")
    assert "Nothing else in this make was unusual." in text


def test_a_first_make_has_nothing_to_be_held_beside(finished: Path, run: Run):
    found = asked(run, finished, "HL-0001", "--defect", "bitter")
    assert found["other_makes"] == 0
    assert found["likely"] == []
    assert all(one["usual"] is None for one in found["ruled_out"])
    assert {"salt_in_curd", "milk_age"} <= {one["variable"] for one in found["not_known"]}


def test_what_cannot_be_asked_is_refused_with_what_can(sample: Path, refused):
    assert "bitter" in refused("why", sample, "HL-0018-A", "--defect", "biter")
    assert "HL-0099" in refused("why", sample, "HL-0099-A")
