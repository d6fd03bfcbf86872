"""Loops from recorded sweeps: the rings of the loop itself, and what can't be believed."""

import math

import numpy as np
import pytest
from scipy.signal import butter, oaconvolve, sosfilt

from calc.signals.feedback.grids import on_the_same_lines, together
from calc.signals.feedback.loop import Loop, loop_of
from calc.signals.feedback.notches import NotchAsk, notches_for
from calc.signals.feedback.rings import Ring, rings_of
from calc.signals.measuring.played import exponential_sweep
from calc.signals.measuring.sweep import Response, deconvolved, divided, response_of
from tests.reference.recordings import SPORTS_HALL, recording

RATE = 16_000


def path(seed: int, decay_s: float = 0.5, late: int = 150) -> np.ndarray:
    rng = np.random.default_rng(seed)
    times = np.arange(round(2 * decay_s * RATE)) / RATE
    row = rng.standard_normal(len(times)) * 10 ** (-3 * times / decay_s)
    row = sosfilt(butter(2, [120, 5000], "band", fs=RATE, output="sos"), row)
    row = np.concatenate([np.zeros(late), row])
    return 0.5 * row / np.abs(np.fft.rfft(row, 1 << 17)).max()


def heard(row: np.ndarray, noise: float = 1e-6, rest_s: float = 3.0) -> np.ndarray:
    sent = np.concatenate([SWEEP.samples, np.zeros(round(rest_s * RATE))])
    back = oaconvolve(sent, row)[: len(sent)]
    return back + noise * np.random.default_rng(1).standard_normal(len(back))


def true_rings(row: np.ndarray, rate: float = RATE) -> tuple[Ring, ...]:
    size = 4 << math.ceil(math.log2(len(row)))
    return rings_of(np.fft.rfftfreq(size, 1 / rate), np.fft.rfft(row, size))


def rings_in(loop: Loop) -> tuple[Ring, ...]:
    return rings_of(loop.frequency_hz, loop.as_set, believed=loop.believed)


def demand_alike(found: tuple[Ring, ...], true: tuple[Ring, ...], count: int = 4) -> None:
    """The same rings, within 1 Hz and 0.1 dB."""
    for wanted in true[:count]:
        got = min(found, key=lambda ring: abs(ring.frequency_hz - wanted.frequency_hz))
        assert got.frequency_hz == pytest.approx(wanted.frequency_hz, abs=1.0)
        assert got.margin_db == pytest.approx(wanted.margin_db, abs=0.1)
    assert found[0].margin_db == pytest.approx(true[0].margin_db, abs=0.1)


SWEEP = exponential_sweep(4.0, RATE, 60.0, 7000.0)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("ours", [True, False], ids=["our sweep", "any signal"])
def test_a_measured_sweep_gives_the_loops_own_rings(seed: int, ours: bool) -> None:
    row = path(seed)
    if ours:
        response = deconvolved(heard(row), SWEEP)[0]
    else:
        response = divided(heard(row), SWEEP.samples, RATE)[0]
    loop = loop_of("lectern", response, 0.0)
    demand_alike(rings_in(loop), true_rings(row))
    assert loop.cut_off_db == 0


def test_a_room_that_sounds_long_is_heard_for_long() -> None:
    """Of 4 s decay: the first 1.3 s alone would promise far more margin than there is."""
    row = path(1, decay_s=4.0)
    padded = np.concatenate([row, np.zeros(round(2 * RATE))])
    loop = loop_of("lectern", response_of(padded, RATE), 0.0)
    demand_alike(rings_in(loop), true_rings(row))


def test_a_recording_that_ends_too_soon_says_how_much_sooner_it_may_ring() -> None:
    sooner = []
    for seed in range(6):
        row = path(seed, decay_s=8.0)
        cut = response_of(row[: round(2.5 * RATE)], RATE)
        loop = loop_of("lectern", cut, 0.0)
        sooner.append(rings_in(loop)[0].margin_db - true_rings(row)[0].margin_db)
        assert sooner[-1] < loop.cut_off_db
        plan = notches_for([loop], NotchAsk("speech", 0))
        assert any("while the room still sounds" in one for one in plan.says)
    assert max(sooner) > 0.2


def test_the_rings_of_a_real_hall() -> None:
    """6.5 s decay: against the whole response, by a transform of all of it."""
    row, rate = recording(SPORTS_HALL)
    row = sosfilt(butter(4, [100, 6000], "band", fs=rate, output="sos"), row)
    loop = loop_of("stage", response_of(row, rate), 0.0)
    demand_alike(rings_in(loop), true_rings(row, rate))


def test_lines_ruled_by_noise_are_no_rings() -> None:
    """White noise far above what a dark path gives at the top."""
    row = sosfilt(butter(6, 1000, fs=RATE, output="sos"), path(2))
    loop = loop_of("lectern", deconvolved(heard(row, noise=3e-4), SWEEP)[0], 0.0)
    high = loop.frequency_hz > 4000
    assert loop.believed[high].mean() < 0.5 < loop.believed[~high].mean()
    plan = notches_for([loop], NotchAsk("speech", 2, low_hz=100, high_hz=6000))
    assert plan.loops[0].hidden_db is not None
    assert all(ring.frequency_hz < 4000 for ring in plan.loops[0].rings[:3])


def test_loops_heard_for_different_times_come_to_the_same_lines() -> None:
    rows = [path(1), path(2, decay_s=6.0)]
    loops = [
        loop_of(f"mic {at}", response_of(np.concatenate([row, np.zeros(8 * RATE)]), RATE), 0.0)
        for at, row in enumerate(rows)
    ]
    assert len(loops[0].frequency_hz) < len(loops[1].frequency_hz)
    same = on_the_same_lines(loops)
    assert np.array_equal(same[0].frequency_hz, same[1].frequency_hz)
    for loop, row in zip(same, rows, strict=True):
        demand_alike(rings_in(loop), true_rings(row))
    whole = np.zeros(max(map(len, rows)))
    for row in rows:
        whole[: len(row)] += row
    demand_alike(rings_in(together("both", loops)), true_rings(whole))


def response(samples: np.ndarray) -> Response:
    return Response(np.asarray(samples, dtype=np.float64), RATE, 0, 0, -60.0)


@pytest.mark.parametrize(
    ("samples", "said"),
    [
        (np.ones(1), "ends too soon"),
        (path(1)[:8000], "ends too soon"),
        (np.zeros(4 * RATE), "hardly anything"),
        (np.full(4 * RATE, np.nan), "hardly anything"),
        (1e-3 * np.random.default_rng(1).standard_normal(4 * RATE), "hardly anything"),
    ],
)
def test_what_is_no_loop_is_refused_in_words(samples, said: str) -> None:
    with pytest.raises(ValueError, match=f"lectern: .*{said}"):
        loop_of("lectern", response(samples))


def test_a_loop_that_comes_too_late_is_refused_in_words() -> None:
    row = np.concatenate([np.zeros(RATE // 2), path(1), np.zeros(4 * RATE)])
    with pytest.raises(ValueError, match="ms late"):
        loop_of("lectern", response_of(row, RATE))


def test_loops_of_different_rates_are_refused_in_words() -> None:
    loops = [
        loop_of("a", response_of(np.concatenate([path(1), np.zeros(3 * rate)]), rate), 0.0)
        for rate in (RATE, 44_100)
    ]
    for refused in (on_the_same_lines, lambda both: together("both", both)):
        with pytest.raises(ValueError, match="different rates"):
            refused(loops)
