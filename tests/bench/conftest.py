"""A complaint nobody has looked at yet, and the answers that lead to its cause."""

from __future__ import annotations

import pytest

OPEN_CASE = """\
# Demo case of an invented fleet.
case: q40-wobble-after-a-curb  # kept as it is
unit: Q-40
vehicle: {type: refuse_truck, tire: 315/80R22.5, axle_ratio: 5.38, wheel: steel_disc}
write_up: >
  Wobbles left and right at 15 to 40.

  # not a comment, the driver wrote this
symptoms:
  sensation: [wobble, shimmy]   # both words fell
  felt_at: [steering_wheel]
  speed: {low_mph: 15, high_mph: 40}
  onset: [after_impact]
  growth: steady
inspections:
  - {id: pressure-check, place: all, result: clear}   # yesterday

# the end
"""

SAFETY = ["ready", "clear", "ready", "clear", "ready", "clear"]


@pytest.fixture
def open_case() -> str:
    return OPEN_CASE


def to_the_end(session, most=60):
    """Walk a session as a truck with a bent right front wheel would answer; the lines said."""
    said = []
    while session.step.kind not in ("settled", "specialist") and len(said) < most:
        line = answer_for(session.step)
        session.say(line)
        said.append(line)
    return said


def answer_for(step) -> str:
    """What a bent right front wheel shows at a step."""
    if step.kind == "question":
        return {"sensation.hop": "no"}.get(step.id, "skip")
    if step.confirm:
        return "ready"
    if step.inspection.id == "lateral-runout" and step.inspection.place.startswith("steer"):
        return "left 0.02 right 0.24" if step.inspection.place == "steer" else (
            "0.24 in" if step.inspection.place == "steer_right" else "0.02 in"
        )  # fmt: skip
    return "clear"
