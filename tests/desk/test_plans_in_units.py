"""Plans written in the units that are chosen: what is typed is read in the unit shown, with a unit
or without; what nobody types over stays exactly as it is kept."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.desk.preferences import choose
from journal.quantities.typed import parse
from journal.records.plan_text import builtin_plan
from journal.wording import written_in
from journal.wording.plan_lines import titles, with_unit_shown
from journal.wording.shown import shown_figure
from journal.wording.style import Style
from tests.desk.test_plan_writing import K, Writer, _clock

US = Style(temperature="F", volume="gal")


@given(st.floats(-5, 110), st.sampled_from([Style(), US]), st.sampled_from(["", "shown", "other"]))
def test_a_temperature_typed_in_either_unit_is_the_one_meant(celsius, style, written):
    with written_in(style):
        shown = style.temperature
        unit = {"": "", "shown": f" {shown}", "other": " C" if shown == "F" else " F"}[written]
        in_f = (shown == "F") != (written == "other")
        text = f"{celsius * 9 / 5 + 32 if in_f else celsius:.2f}{unit}"
        read = parse(with_unit_shown("temp", text), "temperature", default_unit="degC").stored
        assert read == pytest.approx(celsius, abs=0.01)
        assert titles()[1] == f"°{shown}"


@given(st.floats(-5, 110))
def test_what_is_shown_reads_back_within_what_is_seen_of_it(celsius):
    for style in (Style(), US):
        with written_in(style):
            text = with_unit_shown("temp", shown_figure(celsius, "temperature", 1))
            read = parse(text, "temperature", default_unit="degC").stored
            assert read == pytest.approx(celsius, abs=0.051)


@pytest.fixture
def writer(window_on, journal, saved) -> Writer:
    choose(saved, "temperature", "F")
    choose(saved, "volume", "gal")
    made = Writer(window_on(journal, place="plans", clock=_clock))
    made.place.show_plan("cheddar type")
    return made


def test_a_plan_is_written_in_the_units_chosen_and_kept_in_its_own(writer: Writer):
    known = builtin_plan("cheddar type")
    cook = next(at for at, stage in enumerate(known.stages) if stage.kind == "cook")
    assert writer.line(cook).temp == "102.2"  # 39.0 °C
    assert writer.place.page.milk.litres() == known.milk_l
    assert writer.place.page.milk.line.text() == "3.17"
    writer.at(cook, 1)
    writer.presses(K.Key_Return)  # opens the cell, and nothing is typed
    writer.presses(K.Key_Return)
    assert writer.place.author.settled.plan().stages[cook].target_c == known.stages[cook].target_c
    writer.at(cook, 1)
    writer.types("104")
    writer.presses(K.Key_Return)
    assert writer.place.author.settled.plan().stages[cook].target_c == pytest.approx(40.0)
    writer.at(cook, 1)
    writer.types("38 C")
    writer.presses(K.Key_Return)
    assert writer.place.author.settled.plan().stages[cook].target_c == 38.0
    assert writer.line(cook).temp == "100.4"
