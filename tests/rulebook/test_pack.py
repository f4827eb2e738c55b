"""The shipped pack holds together, and every kind of defect in a pack is found at its line."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
import yaml

from advisor.errors import AdvisorError, InputProblems, Problem
from advisor.intake.merge_write_up import reader_of
from advisor.intake.raw_case import RawCase
from advisor.model.pack import Overlay, PackInfo
from advisor.rulebook.check import TRUST, check
from advisor.rulebook.load import TABLES, content_hash, default_rules_folder, load_folder
from advisor.rulebook.lock import check_lock, lock_text
from advisor.rulebook.overlay import apply_overlay
from advisor.schemas import schema_text
from advisor.try_wording import check_wording
from tests.conftest import ROOT, WORKED_CASES

CAUSES_TEXT = """
imbalance packed_debris balancing_media hub_or_drum_imbalance out_of_round_tire out_of_round_wheel
flat_spot tire_separation off_center_mounting bead_not_seated bent_wheel tilted_mounting
wheel_end_ringing frame_or_cab_resonance loose_fastening foreign_material_on_mounting_face
wrong_or_mixed_parts mismatched_duals wheel_bearing brake_drum_or_rotor steering_play
shock_or_suspension_wear alignment_or_pressure driveline_imbalance universal_joint engine_or_mounts
contact_or_loose_accessory normal_condition
"""  # the 28 of the contract
FAMILIES_TEXT = """
imbalance radial_runout_type_1 radial_runout_type_2 lateral_runout modal_ringing fitment_fault
rotating_neighbors chassis driveline other
"""
TIRES_TEXT = """
295/75R22.5 275/80R22.5 285/75R24.5 11R22.5 11R24.5 255/70R22.5 315/80R22.5 385/65R22.5 425/65R22.5
445/50R22.5 225/70R19.5 245/70R19.5 265/70R19.5 235/80R22.5 305/70R22.5 LT225/75R16 LT245/75R17
215/75R17.5
"""
CAUSES, FAMILIES, TIRES = (text.split() for text in (CAUSES_TEXT, FAMILIES_TEXT, TIRES_TEXT))


# The shipped pack


def test_the_shipped_pack_has_no_problem(loaded):
    assert [str(p) for p in check(loaded)] == []


def test_the_lock_ties_the_version_to_the_content(loaded):
    assert [str(p) for p in check_lock(loaded, ROOT / "rules")] == []


def test_at_least_150_rules_each_with_reason_source_and_example(pack):
    assert len(pack.rules) >= 150
    for rule in pack.rules:
        assert len(rule.because.split()) >= 5, rule.id
        assert len(rule.mistaken_when.split()) >= 4, rule.id
        assert rule.source in pack.sources, rule.id
        assert rule.examples, rule.id


def test_all_causes_and_families_of_the_contract_and_the_leak(pack):
    assert sorted(pack.causes) == sorted([*CAUSES, "none_of_these"])
    assert sorted(pack.families) == sorted(FAMILIES)
    assert {pack.causes[c].family for c in CAUSES} == set(FAMILIES)


@pytest.mark.parametrize("cause", CAUSES)
def test_a_cause_has_rules_for_and_against_a_remedy_and_a_way_to_confirm(pack, cause):
    info = pack.causes[cause]
    named = [
        (word, rule)
        for rule in pack.rules
        for word, names in rule.shows.items()
        for name in names
        if cause in pack.causes_named(name)
    ]
    speaking = {rule.symptom for word, rule in named if word in ("usually", "often", "sometimes")}
    assert len(speaking) >= 3
    assert any(s.startswith("found.") for s in speaking), "no inspection shows it"
    assert len(info.remedy.steps) >= 2
    assert info.remedy.verify and info.remedy.if_it_comes_back
    assert len(info.confirm.split()) >= 5
    shown_by = {rule.symptom.removeprefix("found.") for _, rule in named}
    assert set(info.confirmed_by) & shown_by, "the check that confirms it is not known to show it"


def test_every_vehicle_type_can_have_wheel_end_causes_at_each_axle(pack):
    for vehicle in pack.vehicles.values():
        for axle in vehicle.axle_groups:
            prior = pack.causes["imbalance"].prior
            prior = pack.causes["imbalance"].prior_by_vehicle.get(vehicle.id, prior)
            assert getattr(prior, axle.group), (vehicle.id, axle.group)


def test_figures_are_never_better_known_than_their_source(pack):
    """Limits, tires and mode bands: published > secondary > ... > memory > invented."""
    graded = [(x.id, x.seen, x.source) for x in pack.limits.values()]
    graded += [(x.size, x.seen, x.source) for x in pack.tires.values()]
    graded += [(m.mode, m.seen, m.source) for v in pack.vehicles.values() for m in v.modes]
    assert len(graded) > 150
    for name, seen, source in graded:
        assert TRUST.index(seen) >= TRUST.index(pack.sources[source].seen), name


def test_sources_that_are_no_texts_claim_no_address(pack):
    for source in pack.sources.values():
        if source.seen in ("memory", "judgement", "invented", "common practice"):
            assert not source.url, source.id


def test_a_text_that_was_read_can_be_found_again(pack):
    """Title with section, year, address or a note of what was read."""
    lost = [
        source.id
        for source in pack.sources.values()
        if source.seen in ("published", "secondary")
        and not any([source.section, source.url, source.year, source.note])
        and ":" not in source.title
    ]
    assert lost == []


@pytest.mark.parametrize("size", TIRES)
def test_tires_that_must_be_tabulated(pack, size):
    assert size in pack.tires


def test_the_default_folder_is_the_one_of_this_checkout():
    assert default_rules_folder() == ROOT / "rules"


# Broken packs


class Copy:
    """A copy of the shipped rules that can be spoiled."""

    def __init__(self, root: Path):
        self.root = root
        shutil.copytree(ROOT / "rules", root)

    def edit(self, file: str, old: str, new: str) -> None:
        path = self.root / file
        text = path.read_text(encoding="utf-8")
        assert old in text, f"{old!r} is not in {file}"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    def add(self, file: str, text: str) -> None:
        path = self.root / file
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        path.write_text(before + text, encoding="utf-8")

    def place(self, file: str, text: str, after: str = "") -> str:
        """path:line:column of a text in a file, the first one after another text."""
        whole = (self.root / file).read_text(encoding="utf-8")
        at = whole.index(text, whole.index(after))
        line, column = whole.count("\n", 0, at) + 1, at - whole.rfind("\n", 0, at)
        return f"{self.root / file}:{line}:{column}"

    def problems(self) -> list[Problem]:
        try:
            return check(load_folder(self.root))
        except InputProblems as error:
            return list(error.problems)

    def only(self) -> str:
        found = [str(p) for p in self.problems()]
        assert len(found) == 1, found
        return found[0]


@pytest.fixture
def copy(tmp_path) -> Copy:
    return Copy(tmp_path / "rules")


def rule(id_: str, **keys: str) -> str:
    given = {
        "symptom": "sensation.hop",
        "shows": "{usually: [flat_spot]}",
        "because": "A reason that is long enough to count.",
        "mistaken_when": "When it is quite another thing.",
        "source": "judgement",
        "since": '"1.0.0"',
        "examples": "[{say: {}, moves: nothing}]",
    } | keys
    return f"\n- id: {id_}\n" + "".join(f"  {key}: {value}\n" for key, value in given.items())


def test_a_copy_that_is_not_spoiled_has_no_problem(copy):
    assert copy.problems() == []


@pytest.mark.parametrize(
    ("key", "value", "expected"),
    [
        ("shows", "{usually: [flatspot, imbalance]}",
         '"flatspot" is not a known cause or family; did you mean "flat_spot"?'),
        ("source", "judgment", '"judgment" is not a known source; did you mean "judgement"?'),
        ("symptom", "sensation.hopp", '"sensation.hopp" is not a known symptom; did you mean '
                                      '"sensation.hop"?'),
        ("examples", "[{say: {}, raises: flat_spott}]", '"flat_spott" is not a known cause; did '
                                                        'you mean "flat_spot"?'),
    ],
)  # fmt: skip
def test_an_unknown_id_in_a_rule(copy, key, value, expected):
    copy.add("evidence/extra.yaml", rule("extra-rule", given="{place: [tag]}", **{key: value}))
    where = copy.place("evidence/extra.yaml", f"{key}:")
    assert copy.only() == f"{where}: [0].{key}: {expected}"


@pytest.mark.parametrize(
    ("file", "old", "new", "field"),
    [
        ("safety.yaml", "checks: [wheel-nut-check, parts-match, mounting-face-look, pilot-check]",
         "checks: [wheel-nut-chek]", "checks"),
        ("safety.yaml", "any_of: [danger.cracked_wheel]", "any_of: [danger.cracked_weel]",
         "any_of"),
        ("causes/lateral_runout.yaml", "confirmed_by: [lateral-runout, bare-wheel-runout]",
         "confirmed_by: [lateral-runoff]", "confirmed_by"),
        ("access.yaml", "cautions: [chock-and-stands, one-stop-finding-no-roll]",
         "cautions: [chock-and-stand]", "cautions"),
        ("symptoms.yaml", "settled_by: [growth.slowly, onset.since_new]",
         "settled_by: [growth.slowli]", "settled_by"),
        ("inspections/safety.yaml", "limits: [wheel-nuts-loose", "limits: [wheel-nuts-lose",
         "limits"),
    ],
)  # fmt: skip
def test_an_unknown_id_anywhere_else(copy, file, old, new, field):
    copy.edit(file, old, new)
    found = copy.only()
    assert found.startswith(copy.place(file, new))
    assert f".{field}: " in found
    assert "is not a known" in found and "did you mean" in found


def test_a_rule_that_can_never_fire(copy):
    """Trailers have no steering and no engine."""
    text = rule("extra-rule", given="{vehicle: [trailer]}", shows="{usually: [steering_play]}")
    copy.add("evidence/extra.yaml", text)
    where = copy.place("evidence/extra.yaml", "given:")
    what = "no vehicle has these causes at these places: the rule cannot fire"
    assert copy.only() == f"{where}: [0].given: {what}"


def test_a_cause_nothing_speaks_for(copy):
    text = (copy.root / "causes/lateral_runout.yaml").read_text(encoding="utf-8")
    entry = text[text.index("- id: bent_wheel") : text.index("- id: tilted_mounting")]
    copy.add(
        "causes/extra.yaml",
        entry.replace("bent_wheel", "gremlin").replace("family: lateral_runout", "family: lonely"),
    )
    copy.add("families.yaml", "\n- {id: lonely, name: lonely, what: nothing speaks for it}\n")
    where = copy.place("causes/extra.yaml", "id: gremlin")
    assert copy.only() == f"{where}: [0].id: no rule speaks for this cause"


def test_a_cause_nothing_confirms(copy):
    copy.edit(
        "causes/lateral_runout.yaml",
        "confirmed_by: [lateral-runout, bare-wheel-runout]",
        "confirmed_by: []",
    )
    assert copy.only().endswith("confirmed_by: no inspection confirms this cause")


def test_a_dangerous_cause_says_why_and_a_wheel_end_cause_has_axles(copy):
    copy.edit("causes/lateral_runout.yaml", "danger_because: >-", "specialist_too: >-")
    copy.edit("causes/lateral_runout.yaml", "at_wheel_end: true", "at_wheel_end: perhaps")
    found = [str(p) for p in copy.problems()]
    assert any('unknown key "specialist_too"' in text for text in found)
    assert any('at_wheel_end: "perhaps" does not fit; allowed: yes or no' in text for text in found)


LIMIT = """
- id: extra-limit
  what: an extra limit
  value: 0.1
  unit: in
  applies_to: tests
  source: from-memory
  seen: memory
  checked_on: "2031-01-01"
"""


def test_a_limit_without_a_source(copy):
    copy.add("limits.yaml", LIMIT.replace("  source: from-memory\n", ""))
    where = copy.place("limits.yaml", "id: extra-limit")
    assert re.fullmatch(
        re.escape(where) + r': \[\d+\]\.source: the key "source" is missing', copy.only()
    )


def test_a_limit_that_claims_more_than_its_source(copy):
    copy.add("limits.yaml", LIMIT.replace("seen: memory", "seen: published"))
    where = copy.place("limits.yaml", "seen: published", "id: extra-limit")
    what = 'seen: is marked "published", but its source was only seen as "memory"'
    assert copy.only().startswith(where) and copy.only().endswith(what)


def test_a_tire_that_claims_more_than_its_source(copy):
    copy.add(
        "tires.yaml",
        "\n- {size: 1R1, overall_diameter_in: 40, source: judgement, seen: computed}\n",
    )
    assert copy.only().endswith('is marked "computed", but its source was only seen as "judgement"')


def test_a_statement_made_twice(copy):
    copy.add("evidence/extra.yaml", rule("extra-a", given="{place: [steer, drive]}"))
    copy.add("evidence/extra.yaml", rule("extra-b", given="{place: [drive, steer]}"))
    found = copy.only()
    where = copy.place("evidence/extra.yaml", "shows:", "extra-b")
    first = copy.place("evidence/extra.yaml", "id: extra-a").rsplit(":", 1)[0]
    what = "sensation.hop with flat_spot is already stated by extra-a"
    assert found == f"{where}: [1].shows: {what}; see {first}"


def test_a_cause_said_twice_in_one_rule(copy):
    twice = rule(
        "extra-a", given="{place: [tag]}", shows="{usually: [flat_spot], seldom: [flat_spot]}"
    )
    copy.add("evidence/extra.yaml", twice)
    assert "already stated by extra-a" in copy.only()


def test_an_id_given_twice_in_two_files(copy):
    text = rule("cupping-from-bounce")
    copy.add("evidence/extra.yaml", text)
    where = copy.place("evidence/extra.yaml", "id:")
    first = copy.place("evidence/wear.yaml", "id: cupping-from-bounce")
    file, line, _ = first.rsplit(":", 2)
    assert copy.only() in (  # whichever file is read first
        f'{where}: [0]: "cupping-from-bounce" is already given in {file} on line {line}',
        f'{first}: [0]: "cupping-from-bounce" is already given in '
        f"{where.rsplit(':', 2)[0]} on line {where.rsplit(':', 2)[1]}",
    )


def test_rules_that_disagree_about_otherwise(copy):
    for name, word in (("extra-a", "often"), ("extra-b", "never")):
        place = "{place: [tag]}" if name == "extra-a" else "{place: [steer]}"
        copy.add("evidence/extra.yaml", rule(name, given=place, otherwise=word))
    found = copy.only()
    assert "rules of sensation.hop disagree about otherwise: " in found
    assert "often" in found


def test_access_states_that_run_in_a_circle(copy):
    copy.edit(
        "access.yaml",
        "  after: as_parked\n  open_minutes: 15",
        "  after: tire_off\n  open_minutes: 15",
    )
    found = [str(p) for p in copy.problems()]
    assert found
    assert all(text.endswith("after: its states of access run in a circle") for text in found)


def test_words_of_the_scale_must_fall(copy):
    copy.edit("pack.yaml", "often: 0.65", "often: 0.95")
    where = copy.place("pack.yaml", "scale:")
    assert copy.only().startswith(f"{where}: scale: the words must fall from usually to never")


def test_a_version_nobody_explained(copy):
    info = yaml.safe_load((copy.root / "pack.yaml").read_text(encoding="utf-8"))
    copy.edit("pack.yaml", f"version: {info['version']}", "version: 9.9.9")
    assert copy.only().endswith("changelog: version 9.9.9 has no entry in the changelog")


def test_a_pack_for_a_newer_program(copy):
    copy.edit("pack.yaml", "schema: 1", "schema: 99")
    where = copy.place("pack.yaml", "schema: 99")
    assert copy.only() == (
        f"{where}: schema: this pack needs schema 99, this program reads 1; install a newer advisor"
    )


def test_a_settled_rule_names_its_cases(copy):
    copy.add("evidence/extra.yaml", rule("extra-a", given="{place: [tag]}", status="settled"))
    assert copy.only().endswith("a settled rule names the cases that confirm it; add confirmed_by")


def test_a_rule_without_example_or_honest_doubt(copy):
    poor = rule("extra-a", given="{place: [tag]}", examples="[]", mistaken_when="never")
    copy.add("evidence/extra.yaml", poor)
    found = [str(p) for p in copy.problems()]
    assert [text.split(": ", 2)[2] for text in found] == [
        "say in a sentence when this sign misleads",
        "a rule needs an example",
    ]


@pytest.mark.parametrize("word", ["Usually", "mostly"])
def test_a_word_outside_the_scale(copy, word):
    copy.add("evidence/extra.yaml", rule("extra-a", shows=f"{{{word}: [flat_spot]}}"))
    assert f"shows.{word}" in copy.only()


def test_a_file_that_is_no_list(copy):
    (copy.root / "evidence" / "extra.yaml").write_text("id: x\n", encoding="utf-8")
    assert copy.only().endswith("a list of entries is expected ('- id: ...')")


def test_problems_of_several_files_come_in_one_go(copy):
    copy.edit("limits.yaml", "value: 0.095", "value: much")
    copy.edit("tires.yaml", "seen: secondary", "seen: yesterday")
    copy.edit("cautions.yaml", "- id: ", "- idd: ")
    (copy.root / "work.yaml").unlink()
    files = {Path(p.path).name for p in copy.problems()}
    assert files == {"limits.yaml", "tires.yaml", "cautions.yaml", "work.yaml"}


def test_no_rules_folder_at_all(tmp_path):
    with pytest.raises(InputProblems, match="the rules folder is missing; see --rules DIR"):
        load_folder(tmp_path / "nowhere")
    with pytest.raises(InputProblems, match=r"there is no pack\.yaml here"):
        load_folder(tmp_path)


# Version and content


def test_a_change_without_a_new_version_is_noticed(copy):
    version = load_folder(copy.root).pack.info.version
    (copy.root / "lock.yaml").write_text(lock_text(copy.root, version), encoding="utf-8")
    assert check_lock(load_folder(copy.root), copy.root) == []
    copy.edit("limits.yaml", "value: 0.095", "value: 0.096")
    (found,) = check_lock(load_folder(copy.root), copy.root)
    assert found.what == f"rules changed, but the version is still {version}"
    copy.edit("pack.yaml", f"version: {version}", "version: 9.0.0")
    (found,) = check_lock(load_folder(copy.root), copy.root)
    assert found.what == f"the lock is of version {version}, the pack is 9.0.0"


@pytest.mark.parametrize("text", [None, "- a list\n", "version: 1.0.0\n"])
def test_a_missing_or_useless_lock_is_noticed(copy, text):
    (copy.root / "lock.yaml").unlink(missing_ok=True)
    if text is not None:
        (copy.root / "lock.yaml").write_text(text, encoding="utf-8")
    assert len(check_lock(load_folder(copy.root), copy.root)) == 1


def test_the_content_hash_sees_names_and_text_but_not_line_ends(copy):
    before = content_hash(copy.root)
    file = copy.root / "work.yaml"
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert content_hash(copy.root) == before
    file.rename(copy.root / "work2.yaml")
    assert content_hash(copy.root) != before


# A shop's own figures


def overlay(tmp_path: Path, text: str) -> Path:
    file = tmp_path / "shop.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def test_an_overlay_changes_what_it_names_and_nothing_else(pack, tmp_path):
    file = overlay(
        tmp_path,
        "shop: North yard\n"
        "limits: {radial-runout-highway-steer: {value: 0.060, because: our coaches}}\n"
        "minutes: {tread-runout: 3}\nopen_minutes: {raised: 6}\n"
        "priors: {packed_debris: {drive: 0.2}}\n",
    )
    ours = apply_overlay(pack, file)
    limit = ours.limits["radial-runout-highway-steer"]
    assert (limit.value, limit.seen) == (0.060, "judgement")
    assert "our coaches" in limit.note
    assert ours.inspections["tread-runout"].minutes == 3
    assert ours.access["raised"].open_minutes == 6
    assert ours.causes["packed_debris"].prior.drive == 0.2
    assert ours.causes["packed_debris"].prior.steer == pack.causes["packed_debris"].prior.steer
    assert ours.overlay.startswith("North yard ")
    assert ours.sha256 == pack.sha256
    assert ours.rules is pack.rules
    assert pack.limits["radial-runout-highway-steer"].value == 0.095
    same = {k: v for k, v in ours.limits.items() if k != limit.id}
    assert same == {k: v for k, v in pack.limits.items() if k != limit.id}


def test_an_overlay_with_unknown_names_is_refused_all_at_once(pack, tmp_path):
    file = overlay(
        tmp_path,
        "limits: {radial-runout-highway-ster: {value: 1, because: x}}\nminutes: {tread-runot: 3}\n"
        "open_minutes: {lifted: 6}\npriors: {gremlins: {steer: 0.1}}\n",
    )
    with pytest.raises(InputProblems) as caught:
        apply_overlay(pack, file)
    assert [p.line for p in caught.value.problems] == [1, 2, 3, 4]
    assert 'did you mean "radial-runout-highway-steer"?' in str(caught.value)


@pytest.mark.parametrize(
    "text", ["minutes: {tread-runout: 0}\n", "priors: {imbalance: {steer: 2}}\n", "limit: {}\n",
             "limits: {radial-runout-highway-steer: {value: 0.1}}\n", "- a\n", ""],
)  # fmt: skip
def test_an_overlay_with_wrong_values_is_refused(pack, tmp_path, text):
    with pytest.raises(InputProblems):
        apply_overlay(pack, overlay(tmp_path, text))


# JSON Schemas for editors

KINDS: dict[str, Callable[[], list[object]]] = {
    "pack": lambda: [PackInfo.model_validate(_plain("pack.yaml"))],
    **{
        name: (lambda kind=kind, place=place: _entries(kind, place))
        for name, (kind, place) in TABLES.items()
    },
}


def _plain(file: str) -> object:
    return yaml.load((ROOT / "rules" / file).read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def _entries(kind, place: str) -> list[object]:
    files = sorted((ROOT / "rules" / place).rglob("*.yaml")) if "." not in place else [place]
    files = [Path(f).relative_to(ROOT / "rules") if Path(f).is_absolute() else f for f in files]
    return [kind.model_validate(item) for file in files for item in _plain(str(file))]


@pytest.mark.parametrize("name", KINDS)
def test_a_schema_accepts_the_shipped_files_and_refuses_unknown_keys(name):
    schema = json.loads(schema_text(name))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    plain = [
        entry.model_dump(mode="json", by_alias=True, exclude_unset=True) for entry in KINDS[name]()
    ]
    assert plain
    whole = plain[0] if name == "pack" else plain
    assert [e.message for e in validator.iter_errors(whole)] == []
    spoiled = {**plain[0], "no_such_key": 1}
    assert not validator.is_valid(spoiled if name == "pack" else [spoiled])


def test_the_schema_of_a_case_accepts_the_worked_cases():
    schema = json.loads(schema_text("case"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    files = WORKED_CASES
    assert files
    for file in files:
        raw = RawCase.model_validate(
            yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        )
        plain = raw.model_dump(mode="json", exclude_unset=True)
        assert [e.message for e in validator.iter_errors(plain)] == [], file.name
    assert not validator.is_valid({"case": "x", "vehicle": {"type": "coach"}, "symptom": {}})
    assert not validator.is_valid({"case": "two words", "vehicle": {"type": "coach"}})


def test_the_schema_of_an_overlay():
    schema = json.loads(schema_text("overlay"))
    jsonschema.Draft202012Validator.check_schema(schema)
    good = Overlay(minutes={"tread-runout": 3.0}).model_dump(mode="json", exclude_unset=True)
    assert jsonschema.Draft202012Validator(schema).is_valid(good)
    assert not jsonschema.Draft202012Validator(schema).is_valid({"minutes": {"a": -1}})


def test_a_schema_that_does_not_exist():
    with pytest.raises(AdvisorError, match='did you mean "causes"'):
        schema_text("cause")


@pytest.mark.parametrize(
    ("phrase", "said"),
    [("shakes (hard|badly", "bracket"), ("[]", "holds no word"), ("(a|b) " * 20, "too many")],
)
def test_a_phrase_of_the_wording_that_cannot_be_taken_apart(copy, phrase, said):
    """The check names its line; what needs the wording says it in one line, without a traceback."""
    copy.add(
        "wording/broken.yaml",
        "about: a test\nlayer: test\nsource: invented\nentries:\n"
        f'  - {{kind: sensation, value: hop, say: ["hops", "{phrase.strip()}"]}}\n',
    )
    (problem,) = check_wording(copy.root)
    assert str(problem).startswith(copy.place("wording/broken.yaml", f'"{phrase.strip()}'))
    assert said in problem.what
    with pytest.raises(AdvisorError, match="rules check"):
        reader_of(load_folder(copy.root).pack)
