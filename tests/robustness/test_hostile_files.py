"""Files made to do harm: YAML that builds objects or grows, names that lead elsewhere on the
machine, numbers no instrument writes."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from advisor.errors import AdvisorError, InputProblems
from advisor.intake.case_file import read_case, read_case_bytes
from advisor.intake.readings import readings_from_bytes
from advisor.rulebook.load import load_folder
from advisor.rulebook.overlay import apply_overlay
from advisor.yaml_marks import read_document

ROOT = Path(__file__).resolve().parents[2]
CASE = "case: x\nvehicle: {type: coach, tire: 315/80R22.5}\n"
RUN = ROOT / "cases" / "readings" / "m23-run-up.csv"
LONGEST_S = 20.0  # a bomb that went off would take years


def of_case(text: str, pack, folder: Path) -> object:
    return read_case_bytes((CASE + text).encode(), pack, "case.yaml")


def of_readings(text: str, pack, folder: Path) -> object:
    return readings_from_bytes(f"kind: runout\n{text}".encode(), "r.yaml", pack)


def of_overlay(text: str, pack, folder: Path) -> object:
    (folder / "shop.yaml").write_text(f"shop: x\n{text}")
    return apply_overlay(pack, folder / "shop.yaml")


def of_rules(text: str, pack, folder: Path) -> object:
    """The shipped pack with the text at the end of one of its files."""
    for file in (ROOT / "rules").iterdir():
        (folder / file.name).symlink_to(file)
    info = folder / "pack.yaml"
    held = info.read_text()
    info.unlink()
    info.write_text(held + text)
    return load_folder(folder)


READERS: dict[str, Callable[..., object]] = {
    "case": of_case, "readings": of_readings, "overlay": of_overlay, "rules": of_rules,
}  # fmt: skip
BOMB = "a0: &a0 [x, x]\n" + "\n".join(
    f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 40)
)
HARMFUL = {
    "tag": ("extra: !!python/object/apply:os.system ['touch made-by-a-tag']\n", "tag"),
    "new object": ("extra: !!python/object/new:os.stat_result [[1]]\n", "tag"),
    "bomb": (f"{BOMB}\n", "alias"),
    "merge": ("b: &b {c: d}\nextra:\n  <<: *b\n", "alias"),
    "itself": ("extra: &e [*e]\n", "alias"),
}


TRIED = [(reader, harm) for reader in READERS for harm in HARMFUL]


# the rules take a second and a half to load, so only the worst two are tried on them
@pytest.mark.parametrize(
    ("reader", "harm"), [t for t in TRIED if t[0] != "rules" or t[1] in ("tag", "bomb")]
)
def test_yaml_builds_nothing_and_grows_nothing(reader, harm, pack, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    text, word = HARMFUL[harm]
    start = time.perf_counter()
    with pytest.raises(InputProblems) as caught:
        READERS[reader](text, pack, tmp_path)
    assert any(word in p.what for p in caught.value.problems)
    assert time.perf_counter() - start < LONGEST_S
    assert not Path("made-by-a-tag").exists()


def reading(file: str, kind: str) -> str:
    item = {"file": file} if kind == "dial" else {"kind": "recording", "file": file}
    if kind == "speed log":
        item = {"kind": "recording", "file": "run.csv", "speed_file": file}
    return yaml.safe_dump({"readings": [item]})


@pytest.fixture
def shop(tmp_path) -> Path:
    """A folder of cases with a recording, beside a file that is none of its business."""
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "run.csv").write_bytes(RUN.read_bytes()[:60_000])
    (tmp_path / "secret.csv").write_text("time_s,az\nthe,secret\n1,2\n2,3\n")
    return folder


def refused(shop: Path, pack, file: str, kind: str) -> str:
    (shop / "case.yaml").write_text(CASE + reading(file, kind))
    with pytest.raises(InputProblems) as caught:
        read_case(shop / "case.yaml", pack)
    (problem,) = caught.value.problems
    assert problem.line and "secret" not in problem.what.replace("secret.csv", "")
    return str(problem)


@pytest.mark.parametrize("kind", ["dial", "recording", "speed log"])
@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("../secret.csv", "climbs out"),
        ("a/../../secret.csv", "climbs out"),
        ("..\\secret.csv", "climbs out"),
        ("/etc/hostname", "is not a name beside the case"),
        ("/dev/zero", "is not a name beside the case"),
        ("C:\\secret.csv", "is not a name beside the case"),
        ("\\\\host\\share\\secret.csv", "is not a name beside the case"),
        ("linked.csv", "is a link out of"),
        ("linked/secret.csv", "is a link out of"),
        ("circle", "leads nowhere"),
        ("pipe", "is no ordinary file"),
        ("a\0b.csv", "holds a character"),
        ("a\nb.csv", "holds a character"),
    ],
)
def test_a_case_opens_nothing_outside_its_folder(shop, pack, name, said, kind):
    (shop / "linked.csv").symlink_to(shop.parent / "secret.csv")
    (shop / "linked").symlink_to(shop.parent)
    (shop / "circle").symlink_to("circle")
    os.mkfifo(shop / "pipe")
    assert said in refused(shop, pack, name, kind)


def test_names_and_links_inside_the_folder_are_fine(shop, pack):
    (shop / "below").mkdir()
    (shop / "below" / "link.csv").symlink_to(shop / "run.csv")
    (shop.parent / "elsewhere").symlink_to(shop)  # the folder itself may be reached by a link
    for folder in (shop, shop.parent / "elsewhere"):
        for name in ("run.csv", "./run.csv", "below/link.csv"):
            (shop / "case.yaml").write_text(CASE + reading(name, "recording"))
            assert len(read_case(folder / "case.yaml", pack).readings) == 1


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no such device here")
def test_a_device_that_never_ends_is_too_large():
    with pytest.raises(InputProblems, match="too large"):
        read_document("/dev/zero")


HUGE = ["1e308", "-1e308", "1e999", "9" * 400, "nan", "inf", "1e-320", "0x1p9", "1_0", "²", "٣"]


@pytest.mark.parametrize("number", HUGE)
@pytest.mark.parametrize(
    "text",
    [
        "vehicle: {{type: coach, axle_ratio: {0}}}",
        "vehicle: {{type: coach, revs_per_mile: {0}, odometer_miles: {0}}}",
        "vehicle: {{type: coach, tire: {0}}}",
        "vehicle: {{type: coach, studs: {0}, cylinders: {0}}}",
        "symptoms: {{speed: {{low_mph: {0}, high_kmh: {0}}}}}",
        "symptoms: {{speed: {{peak_mph: {0}}}, frequency: {{hz: {0}}}}}",
        "inspections: [{{id: tread-runout, place: steer_left, result: {{tir_in: {0}}}}}]",
        "readings: [{{kind: runout, of: tread, place: steer_left, unit: in, counted_from: valve, "
        "studs: {0}, readings: [{0}, 1, 2, 3, 4, 5]}}]",
        "readings: [{{kind: runout, of: tread, place: steer_left, unit: mm, counted_from: valve, "
        "readings: [{0}, {0}, {0}, {0}, {0}, -{0}]}}]",
        "readings: [{{kind: balance, method: measured, place: steer_left, unit: oz, "
        'readings: [{{amount: {0}, at: "3:00"}}]}}]',
        "readings: [{{kind: balance, method: two_speed, place: steer_left, unit: g, "
        "readings: [{{speed_mph: {0}, weight: {0}, weight_at: {0}, sd: {0}}}]}}]",
        "readings: [{{kind: recording, file: run.csv, speed: {0}, full_scale: {0}, time: {0}, "
        "sample_rate_hz: {0}, engine_rpm: {0}}}]",
    ],
)
def test_a_number_beyond_sense_is_refused_or_answered(shop, pack, text, number):
    """Never a traceback and never a number that is none (warnings are errors in these tests)."""
    from advisor.pipeline import assess

    vehicle = "" if text.startswith("vehicle") else "vehicle: {type: coach}\n"
    (shop / "case.yaml").write_text(f"case: x\n{vehicle}{text.format(number)}\n")
    try:
        found = assess(read_case(shop / "case.yaml", pack), pack).now.cause
    except AdvisorError as error:
        assert len(str(error)) < 5_000
        return
    assert all(0.0 <= p <= 1.0 for p in found.values())
