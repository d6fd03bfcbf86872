"""Twenty random rigs, worked out a second time by other means than the ones of `calc`.

Lines by nodal analysis (a matrix of conductances, solved as a whole) instead of the ladder's
recursion; limiters as "set so, what would the box get?"; phases by trying every plan. Rules as
docs/glossary.md has them; figures of conductors: IEC 60228 class 5 (READ). All else MATH.
"""

import itertools
import math
import random

import numpy as np
import pytest

from calc.check import check
from calc.system import AmplifierPlace, Choices, DriveLine, Link, RackFeed, Supply
from tests.calc.builders import (
    amplifier,
    cable,
    known,
    loudspeaker,
    placement,
    processor,
    system,
    way,
)

OHM_PER_KM = {1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30}
WATTS = {2: 1900.0, 4: 1300.0, 8: 750.0, 16: 400.0}
NO_OHM = 1e-6  # "no cable", as small as the matrix bears
DAMPING, GAIN_DB, MAINS_V, POWER_FACTOR = 250.0, 32.0, 230.0, 0.7


class Rig:
    """A random rig in the plainest form: lines of (ohm, watts, loop, after, in series)."""

    def __init__(self, seed: int) -> None:
        draw = random.Random(seed)
        self.warm_c = draw.choice([20.0, 40.0, 60.0])
        self.crest_db = draw.choice([6.0, 7.0, 8.0, 10.0, 12.0, 16.0])
        self.lines = [self._line(draw) for _ in range(4)]
        self.phases = [draw.choice([1, 2, 3]) for _ in self.lines]
        self.idle = [draw.uniform(40, 120) for _ in self.lines]
        self.eighth = [draw.uniform(300, 900) for _ in self.lines]
        self.third = [None if draw.random() < 0.3 else e * 2.1 for e in self.eighth]
        self.mains = [(draw.uniform(5, 60), draw.choice([1.5, 2.5, 6.0])) for _ in self.lines]

    def _line(self, draw: random.Random) -> dict:
        mode = draw.choice(["per channel", "bridged", "parallel"])
        boxes = []
        for row in range(draw.randint(1, 4)):
            boxes.append(
                {
                    "ohm": draw.choice([8.0, 16.0]),
                    "minimum": draw.choice([0.7, 0.8, 0.9]),
                    "watts": draw.uniform(150, 900),
                    "area": draw.choice(list(OHM_PER_KM)),
                    "length": draw.uniform(1, 40),
                    "pieces": draw.randint(1, 2),
                    "star": row == 0 or draw.random() < 0.3,
                    "series": row > 0 and draw.random() < 0.3,
                }
            )
            if boxes[-1]["series"]:
                boxes[-1]["star"] = False
        return {"mode": mode, "boxes": boxes, "level": draw.choice([0.0, -6.0, -13.5])}

    def loop(self, box: dict) -> float:
        """Copper there and back, at its temperature by (234.5 + T) / (254.5)."""
        return (
            2 * box["length"] * box["pieces"] * OHM_PER_KM[box["area"]] / 1000
            * (1 + 0.00393 * (self.warm_c - 20))
        )  # fmt: skip

    def described(self):
        boxes = [
            (i, j, b) for i, line in enumerate(self.lines) for j, b in enumerate(line["boxes"])
        ]
        lines = [
            DriveLine(
                f"L{i}", "FOH", i + 1, f"A{i}", 1, line["mode"], line["level"],
                tuple(
                    Link(f"P{i}{j}", "full", f"C{i}{j}", b["pieces"], b["star"], b["series"])
                    for j, b in enumerate(line["boxes"])
                ),
            )
            for i, line in enumerate(self.lines)
        ]  # fmt: skip
        return system(
            choices=Choices(crest_factor_db=self.crest_db, cable_temperature_c=self.warm_c),
            loudspeakers=tuple(
                loudspeaker(
                    f"S{i}{j}",
                    ways=(way(impedance=b["ohm"], minimum=b["ohm"] * b["minimum"],
                              power=b["watts"], peak=4 * b["watts"]),),
                )
                for i, j, b in boxes
            ),
            placements=tuple(placement(f"P{i}{j}", f"S{i}{j}") for i, j, _ in boxes),
            cables=tuple(cable(f"C{i}{j}", b["area"], b["length"]) for i, j, b in boxes),
            processors=(processor(step=None, top=None),),
            amplifiers=tuple(self._amplifier(i) for i in range(len(self.lines))),
            amplifier_places=tuple(
                AmplifierPlace(f"A{i}", f"R{i}", f"Amp {i}") for i in range(len(self.lines))
            ),
            drive_lines=tuple(lines),
            areas=(),
            supplies=(Supply("Board", 3, known(32), known(MAINS_V), False),),
            rack_feeds=tuple(
                RackFeed(f"R{i}", "Board", self.phases[i], known(length), known(area))
                for i, (length, area) in enumerate(self.mains)
            ),
        )  # fmt: skip

    def _amplifier(self, i: int):
        third = self.third[i]
        return amplifier(
            f"Amp {i}", WATTS, modes=(), damping_factor=known(DAMPING), gain_db=known(GAIN_DB),
            idle_w=known(self.idle[i]), eighth_power_w=known(self.eighth[i]),
            power_factor=known(POWER_FACTOR), mains_v=known(MAINS_V),
            **({} if third is None else {"third_power_w": known(third)}),
        )  # fmt: skip

    def nodes(self, line: dict, cables: bool = True):
        """Volts across every box for 1 V at the terminals, by nodal analysis, and the current."""
        edges, spans, head, count = [], [], 0, 1
        for box in line["boxes"]:
            loop = self.loop(box) if cables else NO_OHM
            if box["series"]:
                # Cut the return of the box before: the new box goes between it and 0 V.
                before = spans[-1]
                middle, end = count, count + 1
                count += 2
                edges = [
                    (a, middle if e == before[2] and b == -1 else b, r, e) for a, b, r, e in edges
                ]
                spans[-1] = (before[0], middle, before[2])
                edges += [(middle, end, loop, None), (end, -1, box["ohm"], len(spans))]
                spans.append((end, -1, len(spans)))
                continue
            start = 0 if box["star"] else head
            edges += [(start, count, loop, None), (count, -1, box["ohm"], len(spans))]
            spans.append((count, -1, len(spans)))
            head = count
            count += 1
        matrix = np.zeros((count, count))
        for a, b, ohm, _ in edges:
            for one, other in ((a, b), (b, a)):
                if one >= 0:
                    matrix[one, one] += 1 / ohm
                    if other >= 0:
                        matrix[one, other] -= 1 / ohm
        volts = np.zeros(count)
        volts[0] = 1.0
        if count > 1:
            volts[1:] = np.linalg.solve(matrix[1:, 1:], -matrix[1:, 0])
        across = [volts[a] - (volts[b] if b >= 0 else 0.0) for a, b, _ in spans]
        return across, float(matrix[0] @ volts)


def load_of(line: dict, key) -> float:
    """Series boxes added, then conductances."""
    groups: list[float] = []
    for box in line["boxes"]:
        if box["series"]:
            groups[-1] += key(box)
        else:
            groups.append(key(box))
    return 1 / sum(1 / ohm for ohm in groups)


def channel_volts(ohm: float) -> tuple[float, float] | None:
    """What one channel surely and possibly gives: limited by volts above, by amps below."""
    for load, watts in WATTS.items():
        if abs(load - ohm) < 1e-9:
            return math.sqrt(watts * load), math.sqrt(watts * load)
    lower = max((load for load in WATTS if load < ohm), default=None)
    higher = min((load for load in WATTS if load > ohm), default=None)
    if lower is None or higher is None:
        return None
    volts = [math.sqrt(WATTS[lower] * lower), math.sqrt(WATTS[higher] / higher) * ohm]
    most = [math.sqrt(WATTS[higher] * higher), math.sqrt(WATTS[lower] / lower) * ohm]
    return max(volts), min(most)


SEES = {"per channel": 1.0, "bridged": 0.5, "parallel": 2.0}


@pytest.mark.parametrize("seed", range(20))
def test_lines(seed: int) -> None:
    rig = Rig(seed)
    for line, found in zip(rig.lines, check(rig.described()).lines, strict=True):
        rated = load_of(line, lambda box: box["ohm"])
        assert found.rated_load_ohm == pytest.approx(rated)
        assert found.minimum_load_ohm == pytest.approx(
            load_of(line, lambda box: box["ohm"] * box["minimum"])
        )
        assert found.channel_rated_load_ohm == pytest.approx(SEES[line["mode"]] * rated)
        with_cable, amps = rig.nodes(line)
        without, _ = rig.nodes(line, cables=False)
        losses = [20 * math.log10(b / a) for a, b in zip(with_cable, without, strict=True)]
        for box, loss in zip(found.boxes, losses, strict=True):
            assert box.cable_loss_db == pytest.approx(loss, abs=1e-4)
        # Damping: E - V over the current, for boxes that stand alone.
        source = 8 / DAMPING * {"per channel": 1, "bridged": 2, "parallel": 0.5}[line["mode"]]
        emf = 1 + source * amps
        boxes = line["boxes"]
        for row, (box, volts) in enumerate(zip(boxes, with_cable, strict=True)):
            alone = not box["series"] and (row + 1 == len(boxes) or not boxes[row + 1]["series"])
            if alone:
                effective = (emf - volts) / (volts / box["ohm"])
                assert found.boxes[row].damping_factor == pytest.approx(box["ohm"] / effective)
        # Volts, headroom: the bridge is two channels, each at half of the load.
        sees = channel_volts(SEES[line["mode"]] * rated)
        times = 2 if line["mode"] == "bridged" else 1
        ratings = [math.sqrt(box["watts"] * box["ohm"]) for box in boxes]
        if sees is None:
            assert found.voltage_low_v is None and found.headroom_db is None
        else:
            assert found.voltage_low_v == pytest.approx(times * sees[0])
            assert found.voltage_high_v == pytest.approx(times * sees[1])
            least = min(
                times * sees[0] * share / volts
                for share, volts in zip(with_cable, ratings, strict=True)
            )
            assert found.headroom_db == pytest.approx(20 * math.log10(least))
            assert found.peak_margin_db == pytest.approx(
                20 * math.log10(
                    max(math.sqrt(2) * times * sees[1] * share / (2 * volts)
                        for share, volts in zip(without, ratings, strict=True))
                ), abs=1e-4,
            )  # fmt: skip
        # Limiter: a signal of that level, through level control, gain and mode, no cable.
        volts = math.sqrt(0.6) * 10 ** (
            (found.limiter_rms_dbu + line["level"] + GAIN_DB) / 20
        ) * times  # fmt: skip
        hottest = max(
            volts * share / rating for share, rating in zip(without, ratings, strict=True)
        )
        assert hottest == pytest.approx(1)
        assert found.limiter_peak_dbu - found.limiter_rms_dbu == pytest.approx(20 * math.log10(2))
        # Powers at the drive volts balance: what the terminals give is boxes and cables.
        if found.cable_loss_w is not None and found.drive_v is not None:
            given = found.drive_v**2 * amps
            assert found.cable_loss_w + sum(box.power_w for box in found.boxes) == pytest.approx(
                given
            )
            assert found.cable_loss_share == pytest.approx(found.cable_loss_w / given)


@pytest.mark.parametrize("seed", range(20))
def test_mains(seed: int) -> None:
    rig = Rig(seed)
    prediction = check(rig.described())
    share = min(1.0, 2 / 10 ** (rig.crest_db / 10)) if rig.crest_db < 12 else 0.125
    amps = []
    for idle, eighth, third in zip(rig.idle, rig.eighth, rig.third, strict=True):
        if share == 0.125:
            watts = eighth
        elif third is None:
            watts = idle + (eighth - idle) * share * 8
        else:
            slope = (third - eighth) / (5 / 24)
            watts = eighth + slope * (share - 0.125)
        amps.append(watts / (MAINS_V * POWER_FACTOR))
    assert [draw.programme_a for draw in prediction.draws] == pytest.approx(amps)
    (supply,) = prediction.supplies
    now = [sum(a for a, p in zip(amps, rig.phases, strict=True) if p == n) for n in (1, 2, 3)]
    assert [phase.programme_a for phase in supply.phases] == pytest.approx(now)
    plans = itertools.product((0, 1, 2), repeat=len(amps))
    best = min(max(np.bincount(plan, amps, 3)) for plan in plans)
    assert supply.highest_a == pytest.approx(max(now))
    assert supply.best_highest_a == pytest.approx(min(best, max(now)))
    # Three sines 120 degrees apart, sampled over one period.
    turn = np.linspace(0, 2 * np.pi, 3000, endpoint=False)
    neutral = sum(a * np.sin(turn - k * 2 * np.pi / 3) for k, a in enumerate(now))
    assert supply.neutral_a == pytest.approx(math.sqrt(2 * np.mean(neutral**2)), abs=1e-9)
    # Pulses that never overlap: their squares simply follow each other.
    pulses = np.zeros(3000)
    for k, a in enumerate(now):
        pulses[1000 * k : 1000 * k + 100] = a * math.sqrt(3000 / 100)
    assert supply.neutral_rectifier_a == pytest.approx(math.sqrt(np.mean(pulses**2)))
    for feed, a, (length, area) in zip(prediction.feeds, amps, rig.mains, strict=True):
        drops = [
            abs(2 * a * length * (0.0225 / area * c + 0.00008 * math.sqrt(1 - c * c)))
            for c in (0.8, 1.0)
        ]
        assert feed.drop_v == pytest.approx(max(drops))
        assert feed.drop_share == pytest.approx(max(drops) / MAINS_V)
