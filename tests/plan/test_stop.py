"""What may be called confirmed: what a cause's own check has shown, never what is only likely."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.model.diagnosis import PlannedInspection
from advisor.model.network import Finding
from advisor.plan.stop import SURE_ENOUGH, stop_rule

CAUSE = "off_center_mounting"


def found(check, kind="present", lambda1=1.0):
    return Finding(f"found.{check}", None, kind, np.zeros(1), 0.01, lambda1=lambda1, lambda0=0.0)


def symptom():
    return Finding("sensation.hop", None, "present", np.zeros(1), 0.01)


def inspection(pack, chance):
    kind = next(i for i in pack.inspections.values() if not i.safety)
    return PlannedInspection(
        id=kind.id, name=kind.name, place="", access=kind.access, opens=[], minutes=5,
        minutes_with_access=5, tool="", how=[], limit=[], fields=[], tells=[], chance=chance,
        finds=[], safety=False, cautions=[], source=kind.source,
    )  # fmt: skip


@pytest.fixture
def others(pack):
    """A check that finds something else than this cause."""
    own = pack.causes[CAUSE].confirmed_by
    return [i for i in pack.inspections if i not in own]


@pytest.mark.parametrize("likely", [0.9, 0.97, 0.9999])
def test_symptoms_alone_never_confirm(pack, others, likely):
    said = [symptom(), *map(found, others)]
    for plan, state in (([inspection(pack, 0.5)], "continue"), ([], "specialist")):
        stop = stop_rule(pack, {CAUSE: likely, "imbalance": 0.05}, said, plan)
        assert stop.state == state
        assert "not confirmed" in stop.says and "is confirmed" not in stop.says


def test_its_own_check_confirms(pack):
    own = pack.causes[CAUSE].confirmed_by[0]
    causes = {CAUSE: SURE_ENOUGH, "imbalance": 0.05}
    stop = stop_rule(pack, causes, [found(own)], [inspection(pack, 0.5)])
    assert stop.state == "settled"
    assert "is confirmed by" in stop.says and pack.inspections[own].name in stop.says


def test_its_own_check_does_not_confirm_what_is_hardly_likely(pack):
    own = pack.causes[CAUSE].confirmed_by[0]
    stop = stop_rule(pack, {CAUSE: SURE_ENOUGH - 0.01}, [found(own)], [inspection(pack, 0.5)])
    assert stop.state == "continue" and "confirmed" not in stop.says


def test_a_reading_near_its_limit_does_not_confirm(pack):
    own = pack.causes[CAUSE].confirmed_by[0]
    stop = stop_rule(pack, {CAUSE: 0.95}, [found(own, "soft", 0.7)], [])
    assert stop.state == "specialist" and "not confirmed" in stop.says


def test_where_nothing_is_likely_it_goes_to_a_specialist(pack):
    stop = stop_rule(pack, {CAUSE: 0.4, "imbalance": 0.3}, [symptom()], [inspection(pack, 0.01)])
    assert stop.state == "specialist" and "confirmed" not in stop.says
    assert pack.causes[CAUSE].specialist in stop.says
