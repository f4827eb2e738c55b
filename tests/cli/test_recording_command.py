"""The recording command: plain words, four formats, and a clear message for whatever is wrong."""

import json
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.errors import AdvisorError
from advisor.recordings.comfort import _reaction
from tests.evidence.recorded import short_run, vertical, write_csv

DEMO = Path(__file__).parent.parent.parent / "cases" / "readings" / "m23-run-up.csv"
TIRE = ["--tire", "295/75R22.5", "--axle-ratio", "3.36"]


def run(*args):
    result = CliRunner().invoke(app, ["recording", *map(str, args)])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        assert isinstance(result.exception, AdvisorError), result.exception
        return 2, str(result.exception)
    return result.exit_code, " ".join(result.output.split())


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    made = short_run(seconds=45)
    return write_csv(tmp_path_factory.mktemp("rec") / "run.csv", made, vertical(made, {1: 0.3}))


def changed(file, tmp_path, change):
    """A copy whose lines went through `change`."""
    lines = change(file.read_text().splitlines())
    copy = tmp_path / "copy.csv"
    copy.write_text("\n".join(lines) + "\n")
    return copy


def test_text_says_what_was_read_guessed_and_found(file):
    code, text = run(file, *TIRE)
    assert code == 0
    for expected in (
        "45 s, 3 axes (vertical_m_s2, lateral_m_s2, fore_aft_m_s2, vertical_m_s2 is vertical)",
        'guessed: time taken from column 1, "time_s"',
        'guessed: speed taken from column 5, "speed_mph"',
        "goes through zero. It is wheel order 1.",
        "slope 0.142",
        "9 times likelier (wheel order 1)",
        "no exposure assessment",
        "The driver does not touch or watch the recorder",
        "This one is 45 s, which is short",
    ):
        assert expected in text, expected


def test_json_and_html(file, tmp_path):
    code, text = run(file, *TIRE, "--format", "json")
    data = json.loads(text)
    assert code == 0 and data["verdict"]["kind"] == "order"
    assert data["orders"][0]["amplitude"] == pytest.approx(0.3, rel=0.03)
    assert data["evidence"][0]["symptom"] == "found.road-recording-wheel-order"
    page = tmp_path / "page.html"
    code, _ = run(file, *TIRE, "-o", page)
    html = page.read_text("utf-8")
    assert code == 0 and html.count("<svg") == 2 and len(html) < 250_000
    assert "<script" not in html and "http" not in html.replace("http-equiv", "")


def clipped(lines):
    cells = [row.split(",") for row in lines[1:]]
    for row in cells:
        row[1] = f"{np.clip(float(row[1]), 9.66, 9.96):.4f}"
    return [lines[0], *(",".join(row) for row in cells)]


def with_nan(lines):
    return [*lines[:400], *(row.replace(row.split(",")[1], "NaN") for row in lines[400:403]),
            *lines[403:]]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (clipped, "is clipped"),
        (with_nan, "3 of 9000 lines hold no number"),
        (lambda lines: [lines[0], *lines[1::4]], "samples a second: whatever is faster than 25"),
        (lambda lines: [",".join(row.split(",")[:4]) for row in lines], "check one point"),
        (lambda lines: [*lines[:3000], *lines[5000:]], "gaps: 1"),
        (lambda lines: [lines[0], *(row.rsplit(",", 1)[0] + ",0" for row in lines[1:])],
         "is zero throughout"),
        (lambda lines: lines[:400], "too short"),
    ],
)  # fmt: skip
def test_flawed_recordings_still_say_something(file, tmp_path, change, said):
    code, text = run(changed(file, tmp_path, change), *TIRE)
    assert code == 0 and said in text
    assert "What was read" in text and "Traceback" not in text


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--axes", "vertikal_m_s2"], 'did you mean "vertical_m_s2"?'),
        (["--time", "lateral_m_s2"], "the time column does not rise"),
        (["--speed", "fast"], "allowed: 62, 62 mph, 100 km/h, 28 m/s, or from-ridge"),
        (["--speed", "62", "--speed-file", "x.csv"], "one of the two"),
        (["--unit", "lbs"], "allowed: g, mg, m/s2"),
        (["--axle-ratio", "99"], "allowed: 1.2 to 20"),
        (["--tire", "295/75R"], "is not a tire size"),
    ],
)
def test_what_cannot_be_meant_is_refused(file, args, said):
    code, text = run(file, *args)
    assert code == 2 and said in text


@pytest.mark.parametrize(("content", "said"), [("", "empty"), ("hello\nthere\n", "no line of num")])
def test_what_is_no_recording_is_refused(tmp_path, content, said):
    path = tmp_path / "no.csv"
    path.write_text(content)
    code, text = run(path)
    assert code == 2 and said in text
    assert run(tmp_path / "missing.csv")[0] == 2


def test_speed_may_be_zero_given_or_in_a_second_file(file, tmp_path):
    assert "the speed given is zero" in run(file, *TIRE, "--speed", "0")[1]
    assert "Road speed 100 km" not in run(file, *TIRE, "--speed", "100km/h")[1]
    log = tmp_path / "log.csv"
    made = short_run(seconds=45)
    np.savetxt(log, np.column_stack([made.log_s, made.log_m_s * 3.6]), "%.3f", ",",
               header="time_s,speed_kmh", comments="")  # fmt: skip
    code, text = run(file, *TIRE, "--speed-file", log)
    assert code == 0 and "from the speed log" in text and "It is wheel order 1" in text


def test_wave_files_say_what_is_missing(tmp_path):
    from scipy.io import wavfile

    made = short_run(seconds=45, mph=(62, 62.2))
    path = tmp_path / "run.wav"
    wavfile.write(path, 200, (vertical(made, {1: 0.3}) / 40).astype(np.float32))
    code, text = run(path, *TIRE, "--speed", "62 mph")
    assert code == 0 and "uncalibrated" in text and "in parts of full scale" in text
    code, text = run(path, *TIRE, "--speed", "62 mph", "--full-scale", "40 m/s2", "-f", "json")
    assert json.loads(text)["orders"][0]["amplitude"] == pytest.approx(0.3, rel=0.03)


def test_the_demo_recording_is_labeled_and_reads():
    assert DEMO.read_text("utf-8").startswith("# Demo: simulated")
    assert DEMO.stat().st_size < 400_000
    code, text = run(DEMO, "--vehicle", "motorhome", "--tire", "255/70R22.5")
    assert code == 0 and "the ridge stays at 8.2" in text and "passes it at 52 mph" in text


def test_overlapping_comfort_ranges_are_both_named():
    # ISO 2631-1:1997 Annex C as quoted in open-source code (secondary): 0.315 to 0.63 a little,
    # 0.5 to 1 fairly uncomfortable.
    said = _reaction(0.55)
    assert "a little uncomfortable (0.315 to 0.63 m/s2)" in said
    assert "fairly uncomfortable (0.5 to 1 m/s2)" in said and "overlap" in said
    assert "overlap" not in _reaction(0.2)
