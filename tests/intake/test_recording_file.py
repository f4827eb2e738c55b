"""Reading recordings: what is guessed and echoed, what is wrong and what can still be said."""

import math
import wave

import numpy as np
import pytest

from advisor.errors import InputProblems
from advisor.intake.recording_columns import Columns
from advisor.intake.recording_file import SpeedSource, read_recording

RATE_HZ = 100
TIME_S = np.arange(3000) / RATE_HZ
RNG = np.random.default_rng(0)
SIDE = 0.02 * RNG.standard_normal(3000)
UP = 0.3 * np.cos(2 * np.pi * 8 * TIME_S) + 0.01 * RNG.standard_normal(3000)
HEAD = "time_s,ax (g),ay (g),az (g)"


def table(time=TIME_S, up=None, head=HEAD, sep=",", base=1.0, side=SIDE):
    """A recording as text; `up` is the vertical axis without gravity."""
    up = UP if up is None else up
    lines = [
        sep.join((f"{t:.6f}", f"{s:.5f}", f"{-s:.5f}", f"{base + u:.5f}"))
        for t, s, u in zip(time, side, up, strict=False)
    ]
    return "\n".join([head.replace(",", sep), *lines] if head else lines) + "\n"


@pytest.fixture
def read(tmp_path):
    def read(text, *, encoding="utf-8", name="ride.csv", **options):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return read_recording(str(path), **options)

    return read


def says(recording, words):
    return [f for f in recording.findings if words in f.what]


def test_a_plain_table_is_read_to_the_last_digit(read):
    found = read(table())
    raw = np.loadtxt(table().splitlines(), delimiter=",", skiprows=1)
    np.testing.assert_allclose(found.acceleration, raw[:, 1:].T * 9.80665, rtol=1e-12)
    assert (found.sample_rate_hz, found.unit, found.vertical) == (pytest.approx(100), "m/s2", 2)
    assert found.findings == () and found.valid is None
    assert any('"ax (g)", "ay (g)", "az (g)"' in guess for guess in found.guesses)


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        (table(sep=";"), "utf-8-sig"),
        (table(sep="\t"), "utf-16"),
        (table(sep=" ", head=""), "utf-8"),
        (table(sep=";", head="").replace(".", ","), "utf-8"),
        (table(head="# from the bay\n\ntime_s,ax (g),ay (g),az (g)"), "utf-8"),
        (table(head="time,ax,ay,az\ns,g,g,g"), "utf-8"),
        (table(time=TIME_S * 1000, head="time,x,y,z"), "utf-8"),
        (table(time=1.95e9 + TIME_S, head="time,x,y,z"), "utf-8"),
        (table(head="time_s,ax (m/s²),ay (m/s²),az (m/s²)", base=9.8), "latin-1"),
    ],
)
def test_other_ways_of_writing_give_the_same_recording(read, text, encoding):
    found = read(text, encoding=encoding)
    scale = 1.0 if encoding == "latin-1" else 9.80665
    assert found.sample_rate_hz == pytest.approx(100, rel=1e-4)
    assert found.vertical == 2
    wanted = UP * scale
    np.testing.assert_allclose(found.acceleration[2] - (9.8 if scale == 1 else scale), wanted,
                               atol=1e-3)  # fmt: skip


def test_a_clock_column_and_a_sparse_speed_column(read):
    rows = [
        f"2031-04-12T10:00:{t:09.6f},{9.8 + u:.4f},{50 + t if k % 100 == 0 else ''}"
        for k, (t, u) in enumerate(zip(TIME_S, UP, strict=True))
    ]
    found = read("\n".join(["time,az,speed_mph", *rows]))
    assert found.sample_rate_hz == pytest.approx(100)
    np.testing.assert_allclose(found.speed_time_s, np.arange(30), atol=1e-6)
    np.testing.assert_allclose(found.speed_m_s, (50 + np.arange(30)) * 0.44704, atol=1e-3)
    assert found.findings == ()


def test_a_speed_log_is_aligned_by_the_clock(read, tmp_path):
    log = tmp_path / "gps.csv"
    fixes = "\n".join(f"2031-04-12T10:00:{k:02d},1.0,2.0,{80 + k}" for k in range(30))
    log.write_text(f"time,latitude,longitude,speed (km/h)\n{fixes}\n")
    rows = (
        f"2031-04-12T10:00:{5 + t:09.6f},{9.8 + u:.4f}"
        for t, u in zip(TIME_S[:2000], UP[:2000], strict=True)
    )
    source = SpeedSource(path=str(log))
    found = read("\n".join(["time,az", *rows]), speed=source)
    assert np.interp(0, found.speed_time_s, found.speed_m_s) == pytest.approx(85 / 3.6)
    assert says(read(table(), speed=source), "share no clock")


def test_a_constant_speed(read):
    found = read(table(), speed=SpeedSource(constant_m_s=27.0))
    assert found.speed_m_s.tolist() == [27.0]
    assert says(read(table(), speed=SpeedSource(constant_m_s=0.0)), "zero")


def test_named_columns_override_the_guess(read):
    columns = Columns(axes=("ay (g)",), acceleration_unit="m/s2")
    found = read(table(), columns=columns)
    np.testing.assert_allclose(found.acceleration[0], -SIDE, atol=1e-5)


def test_uneven_stamps_are_interpolated_and_their_scatter_told(read):
    rng = np.random.default_rng(1)
    stamps = np.sort(TIME_S + 0.002 * rng.standard_normal(3000))
    found = read(table(time=stamps, up=0.3 * np.cos(2 * np.pi * 8 * stamps)))
    even = np.arange(found.acceleration.shape[1]) / found.sample_rate_hz
    true = 0.3 * np.cos(2 * np.pi * 8 * (even + stamps[0])) * 9.80665
    middle = slice(50, -50)
    error = (found.acceleration[2] - 9.80665 - true)[middle]
    assert np.std(error) < 0.02 * np.std(true)
    assert found.jitter_s == pytest.approx(0.002, rel=0.1)
    assert says(found, "scatter")


def test_a_gap_is_left_open(read):
    kept = (TIME_S < 10) | (TIME_S > 12.5)
    found = read(table(time=TIME_S[kept], up=UP[kept], side=SIDE[kept]))
    assert found.duration_s == pytest.approx(29.99)
    assert (~found.valid).sum() == pytest.approx(250, abs=2)
    np.testing.assert_allclose(
        found.acceleration[2][found.valid], 9.80665 * (1 + UP[kept]), atol=1e-3
    )
    assert says(found, "gaps: 1")


def test_doubled_unsorted_and_broken_lines_cost_only_themselves(read):
    lines = table().splitlines()
    doubled = read("\n".join([*lines[:50], lines[49], *lines[50:]]))
    assert says(doubled, "repeat the time")
    shuffled = read("\n".join([*lines[:50], *lines[60:70], *lines[50:60], *lines[70:]]))
    assert says(shuffled, "backward")[0].line == 61
    broken = read("\n".join([*lines[:50], "0.49,abc,1,2", *lines[51:], "30.0,0.1"]))
    assert (says(broken, "no number")[0].line, says(broken, "no number")[0].column) == (51, 2)
    missing = read("\n".join([*lines[:50], "0.49,nan,1,2", *lines[51:]]))
    assert says(missing, "hold no number")[0].line == 51
    whole = read(table()).acceleration[2]
    for found in (doubled, shuffled, broken, missing):
        assert found.sample_rate_hz == pytest.approx(100, rel=1e-6)
        np.testing.assert_allclose(found.acceleration[2][100:2900], whole[100:2900], atol=1e-3)


@pytest.mark.parametrize("absurd", ["1e308", "-1e200", "9" * 40])
@pytest.mark.parametrize("column", [0, 3])
def test_an_absurd_number_costs_only_its_own_line(read, absurd, column):
    """Its square would be beyond every number there is, and would drown the rest."""
    lines = table().splitlines()
    cells = lines[50].split(",")
    cells[column] = absurd
    found = read("\n".join([*lines[:50], ",".join(cells), *lines[51:]]))
    (said,) = says(found, "absurd")
    assert (said.line, said.column) == (51, column + 1)
    sound = read(table())
    np.testing.assert_allclose(found.sample_rate_hz, sound.sample_rate_hz, rtol=1e-6)
    np.testing.assert_allclose(found.acceleration, sound.acceleration, atol=0.5)
    with pytest.raises(InputProblems, match="0 usable samples"):
        read(table(up=np.full(3000, 1e300)))


@pytest.mark.parametrize("mark", ["\x0b", "\x0c", "\x1c", "\x85", "\u2028"])
def test_a_mark_in_the_header_that_some_count_as_a_line_end(read, mark):
    found = read(table(head=HEAD.replace("time_s", f"time_s{mark}")))
    assert found.acceleration.shape == (3, 3000)


def test_stamps_in_whole_seconds_are_spread(read):
    rows = (f"2031-04-12T10:00:{int(t):02d},{9.8 + u:.4f}" for t, u in zip(TIME_S, UP, strict=True))
    found = read("\n".join(["time,az", *rows]))
    assert found.sample_rate_hz == pytest.approx(100, rel=1e-3)
    assert says(found, "steps of 1 s")


def test_clipping_is_found_and_rounding_is_not_mistaken_for_it(read):
    clipped = read(table(up=np.clip(2 * UP, -0.4, 0.4)))
    assert says(clipped, '"az (g)" is clipped')
    assert not says(read(table()), "clipped")
    coarse = read(table(up=np.round(UP * 10) / 10))
    assert not says(coarse, "clipped")


def test_slow_sampling_is_told(read):
    found = read(table(time=TIME_S * 2))
    assert says(found, "folds down")
    assert found.sample_rate_hz == pytest.approx(50)


@pytest.mark.parametrize(
    ("head", "values", "words"),
    [
        ("time_s,az_g,speed_kmh", "0", "zero throughout"),
        ("time_s,az_g,speed", "20", "says no unit"),
        ("time_s,az_g,speed_m_s", "500", "wrong unit"),
        ("time_s,az_g,speed_m_s", "nan", "holds no number"),
    ],
)
def test_a_useless_speed_leaves_the_frequencies(read, head, values, words):
    rows = (f"{t:.3f},{1 + u:.4f},{values}" for t, u in zip(TIME_S, UP, strict=True))
    found = read("\n".join([head, *rows]))
    assert says(found, words)[0].still.startswith("the speed is not used")
    assert len(found.speed_m_s) == 0


def test_acceleration_without_unit_or_gravity_stays_uncalibrated(read):
    found = read(table(head="time_s,ax,ay,az", base=0.0))
    assert found.unit == "unknown" and says(found, "no unit")


def test_a_tilted_recorder_is_told(read):
    found = read(table(side=SIDE + 0.5, base=0.7))
    assert says(found, "tilted")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"", "empty"),
        (b"\n\n", "empty"),
        (b"hello\nworld\n", "no line of numbers"),
        (b"\x00\x01\x02\x03" * 50, "not a text table"),
        (table(side=0 * SIDE, up=0 * UP), "never changes"),
        (table(time=0 * TIME_S), "time never changes"),
        (table(time=-TIME_S), "does not rise"),
        ("az\n" + "\n".join(f"{u:.4f}" for u in UP), "no time column"),
        (table(time=TIME_S[:10]), "10 usable samples"),
        ("a,b,c,d,e\n" + "1,2,3,4,5\n" * 50, "acceleration columns"),
    ],
)
def test_what_says_nothing_is_refused_with_a_reason(read, text, words):
    with pytest.raises(InputProblems, match=words):
        read(text)


def test_a_misspelled_column_gets_a_suggestion(read):
    with pytest.raises(InputProblems, match=r'did you mean "az \(g\)"'):
        read(table(), columns=Columns(axes=("aq (g)",)))
    with pytest.raises(InputProblems, match="does not rise"):
        read(table(), columns=Columns(time="az (g)", axes=("ax (g)",)))


def test_a_missing_file_is_a_problem_not_a_crash(tmp_path):
    for name in ("none.csv", "none.wav"):
        with pytest.raises(InputProblems, match="cannot be read"):
            read_recording(str(tmp_path / name))


@pytest.mark.parametrize(("width", "full"), [(1, 127), (2, 32767), (3, 2**23 - 1), (4, 2**31 - 1)])
def test_wav_files_of_every_width(tmp_path, width, full):
    path = tmp_path / "ride.wav"
    whole = np.round(UP * full).astype(np.int64) + (128 if width == 1 else 0)
    data = b"".join(int(v).to_bytes(width, "little", signed=width > 1) for v in whole)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(width)
        file.setframerate(1000)
        file.writeframes(data)
    bare = read_recording(str(path))
    assert bare.unit == "full scale" and says(bare, "uncalibrated")
    scaled = read_recording(str(path), full_scale_m_s2=20.0)
    assert (scaled.unit, scaled.sample_rate_hz) == ("m/s2", 1000)
    np.testing.assert_allclose(scaled.acceleration[0], 20 * UP, atol=20 * 1.1 / full)


def test_a_broken_wav_is_refused(read):
    with pytest.raises(InputProblems, match="no readable WAV"):
        read("nope", name="ride.wav")
    riff = b"RIFF\x04\x00\x00\x00WAVE"  # as long as it says, and nothing in it
    with pytest.raises(InputProblems, match="without samples"):
        read(riff, name="ride.wav")


def test_a_wav_of_absurd_numbers_is_refused(tmp_path):
    from scipy.io import wavfile

    for value in (1e300, math.nan, math.inf):
        wavfile.write(tmp_path / "ride.wav", 200, np.append(UP, value))
        with pytest.raises(InputProblems, match="no numbers"):
            read_recording(str(tmp_path / "ride.wav"))
