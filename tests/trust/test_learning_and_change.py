"""Learning cannot ruin the pack; a changed pack is described; rankings say what they hang on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.errors import AdvisorError
from advisor.model.case import Confirmed, ConfirmedCause
from advisor.model.place import Place
from advisor.pipeline import assess, fit_of, weights_of
from advisor.rulebook.overlay import apply_overlay
from advisor.trust.compare import compare, pack_folder, released
from advisor.trust.learn import learn, overlay_data
from advisor.trust.sensitivity import sensitivity


def closed(case, cause, group):
    found = ConfirmedCause(cause, Place(group) if group else None)
    return replace(case, confirmed=Confirmed((found,), "test", None))


def test_twenty_cases_of_one_cause_move_its_share_as_a_beta_mean_does(pack, cases):
    """(100 x share + 20) / 120, share of all priors: the mean of Beta after 20 of 20."""
    tractor = next(c for c in cases if c.vehicle.type == "linehaul_tractor")
    same = [closed(tractor, "bent_wheel", "steer")] * 20
    moved = {(p.cause, p.where): p for p in learn(same, pack).priors}
    change = moved[("bent_wheel", "steer")]
    total = sum(p.before for p in moved.values())
    share = change.before / total
    assert change.after / total == pytest.approx((100 * share + 20) / 120)
    assert change.after < 0.25
    other = moved[("imbalance", "steer")]
    assert other.after == pytest.approx(other.before * 100 / 120)


def test_learned_overlay_keeps_the_worked_cases_near_the_top(pack, cases, tmp_path):
    """Twenty closed cases of one odd cause must not push the right cause out of the first five."""
    import yaml

    tractor = next(c for c in cases if c.vehicle.type == "linehaul_tractor")
    data = overlay_data(learn([closed(tractor, "bent_wheel", "steer")] * 20, pack))
    file = tmp_path / "shop.yaml"
    file.write_text(yaml.safe_dump(data))
    changed = apply_overlay(pack, file)
    for case in cases:
        posterior = assess(case, changed).now.cause
        ranking = sorted(posterior, key=lambda c: -posterior[c])
        assert any(c.id in ranking[:5] for c in case.confirmed.causes), case.id
    assert changed.overlay.startswith("learned from 20 closed cases")


def test_overlay_leaves_impossible_causes_impossible(pack, tmp_path):
    file = tmp_path / "shop.yaml"
    file.write_text("priors: {driveline_imbalance: {vehicle: 0.2}}\n")
    changed = apply_overlay(pack, file)
    before = pack.causes["driveline_imbalance"].prior_by_vehicle["trailer"]
    assert changed.causes["driveline_imbalance"].prior_by_vehicle["trailer"] == before
    assert changed.causes["driveline_imbalance"].prior.vehicle == 0.2


def test_comparing_a_pack_with_itself_finds_nothing(pack, cases):
    found = compare(pack, pack, [(c, c) for c in cases[:4]])
    assert (found.entries, found.cases, found.needs) == ((), (), "none")


def test_a_changed_word_is_named_with_the_cases_it_moves(pack, cases):
    rule = next(r for r in pack.rules if r.symptom == "trigger.rough_road_only")
    stripped = rule.model_copy(update={"shows": {"rarely": ["imbalance"]}})
    rules = tuple(stripped if r.id == rule.id else r for r in pack.rules)
    found = compare(pack, pack.model_copy(update={"rules": rules}), [(c, c) for c in cases])
    assert [(e.table, e.id, e.kind) for e in found.entries] == [("rules", rule.id, "changed")]
    assert "shows" in found.entries[0].fields[0]
    assert not found.logged  # same version, other content
    assert all(m.why for m in found.cases)


def test_what_the_newer_pack_no_longer_reads_is_named(pack, cases):
    """One answer gone between the readings: it is the reason, by its name."""
    case = next(c for c in cases if c.id == "t60-bead-line")
    less = case.with_changes(inspections=())
    (moved,) = compare(pack, pack, [(case, less)]).cases
    assert any("no longer read" in text for text in moved.why)


def test_a_released_pack_is_the_same_bytes_twice_and_loads(pack):
    from advisor.rulebook.load import default_rules_folder, load_folder

    first, second = released(default_rules_folder()), released(default_rules_folder())
    assert first == second
    with pytest.raises(AdvisorError, match="cannot read"), pack_folder("no-such.zip"):
        pass
    assert load_folder().pack.sha256 == pack.sha256


def test_a_released_pack_that_climbs_out_is_refused(tmp_path):
    import zipfile

    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(bad, "w") as archive:
        archive.writestr("../pack.yaml", "x")
    with pytest.raises(AdvisorError, match="climbs out"), pack_folder(bad):
        pass


def test_sensitivity_counts_tries_and_names_rivals(pack, cases):
    firm = next(c for c in cases if c.id.startswith("x112"))
    close = next(c for c in cases if c.id.startswith("t60"))
    sure, unsure = (sensitivity(assess(c, pack), draws=60) for c in (firm, close))
    assert sure.share > unsure.share
    assert unsure.share + sum(unsure.rivals.values()) == pytest.approx(1.0)
    assert sensitivity(assess(close, pack), draws=60) == unsure  # seeded


def test_answers_of_one_fault_fit_together_and_strange_ones_do_not(pack, cases):
    """Jensen and others 1990 (from memory): log P(each) / P(all) is negative when they agree."""
    for case in cases:
        assessed = assess(case, pack)
        assert fit_of(assessed, weights_of(assessed)).log10_ratio < 0.3, case.id
