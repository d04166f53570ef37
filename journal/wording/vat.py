"""What is said at the vat: how the milk stands to its ramp, when it arrives, what strays."""

from __future__ import annotations

from collections.abc import Sequence

from journal.curves.acidity import Forecast
from journal.curves.events import events, heard_until, last_read
from journal.curves.heating import Heating, Vessel, heating
from journal.curves.leaning import AcidFit
from journal.curves.standing import standing
from journal.curves.vessel import Advice
from journal.records.whole import WholeMake
from journal.wording.dates import clock
from journal.wording.letters import capital
from journal.wording.sentences import text_of
from journal.wording.style import PLAIN, Style

EARLY = "earlier than may be needed: this vessel's lag is not known yet"


def sentences(
    whole: WholeMake,
    now_ms: int,
    *,
    vessels: Sequence[Vessel] = (),
    past: Sequence[AcidFit] = (),
    fitted: AcidFit | None = None,
    style: Style = PLAIN,
) -> list[str]:
    """What there is to say of a make at a moment: how the milk stands to the plan, the ramp, and
    what strays now."""
    stands, out = standing(whole, now_ms), []
    if stands.is_old(now_ms):
        read = last_read(stands, now_ms, whole.make.zone)
        out.append("" if read is None else text_of(read, style))
    else:
        if stands.advice is not None:
            out.append(advice_text(stands.advice, style))
        ramp = heating(whole, heard_until(whole, now_ms), vessels)
        if ramp is not None:
            out.append(ramp_text(ramp, whole.make.zone, style))
    found = events(whole, now_ms, past, fitted=fitted)
    return out + [text_of(event.message, style) for event in found if event.lasts]


def advice_text(advice: Advice, style: Style = PLAIN) -> str:
    """The advice in a sentence: "0.6 °C behind the plan; let it run 4 min longer."."""
    head, rest = advice_head(advice, style), advice_rest(advice, style)
    between = ": " if advice.too_quick else "; "
    return f"{head}{between}{rest}." if rest else f"{head}."


def advice_head(advice: Advice, _style: Style = PLAIN) -> str:
    """How the milk stands: "0.6 °C behind the plan"."""
    if advice.on_plan:
        return "On the plan"
    return f"{abs(advice.behind_c):.1f} °C {_way(advice)} the plan"


def _way(advice: Advice) -> str:
    if advice.limit is None:
        return "below" if advice.behind_c > 0 else "above"
    return "behind" if advice.behind_c > 0 else "ahead of"


def advice_rest(advice: Advice, _style: Style = PLAIN) -> str:
    """What is to be done: "let it run 4 min longer"; "" for nothing."""
    if advice.on_plan or advice.limit is None:
        return ""
    if advice.too_quick:
        return f"turn the {'heat' if advice.rising else 'cooling'} down a little"
    longer = f"{max(advice.longer_min or 0.0, 1.0):.0f} min longer"
    if advice.rate_needed is None:
        return f"let it run {longer}"
    if round(advice.rate_needed, 2) <= round(advice.limit, 2):
        return f"to arrive on time {advice.rate_needed:.2f} °C/min"
    return f"at {advice.limit:.2f} °C/min, the most the plan allows, {longer}"


def ramp_text(ramp: Heating, zone: str, _style: Style = PLAIN) -> str:
    """When the milk arrives, when to turn the heat down, and the rate that lands on the plan."""
    said = []
    if ramp.arrives_ms is None:
        said.append(f"At this rate the milk does not come to {ramp.target_c:.1f} °C.")
    else:
        about, since = clock(ramp.arrives_ms, zone), clock(ramp.low or ramp.arrives_ms, zone)
        until = "no sure end" if ramp.high is None else clock(ramp.high, zone)
        said.append(f"At {ramp.target_c:.1f} °C about {about} ({since} to {until}).")
    if ramp.turn_down_ms is not None:
        said.append(
            f"Turn the heat down at {clock(ramp.turn_down_ms, zone)}, at {ramp.down_c:.1f} °C: "
            f"it coasts {ramp.coast_c:.1f} °C."
        )
        if ramp.early:
            said.append(f"{capital(EARLY)}.")
    if ramp.in_time:
        said.append(f"{ramp.rate:.2f} °C/min lands on the plan.")
    else:
        said.append(f"The plan allows {ramp.limit:.2f} °C/min at most: it arrives late.")
    return " ".join(said)


def doubt_text(found: Forecast, by: str, what: str = "it") -> str:
    """What is said of a pH that is rather not reached than reached, `by` its `by_at_ms` in words:
    "3 in 10 that it is reached by 14:00"."""
    if not found.tenths:
        return "will not be reached on this course"
    return f"{found.tenths} in 10 that {what} is reached by {by}"
