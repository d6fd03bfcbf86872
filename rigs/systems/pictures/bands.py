"""1/3-octave bands as people call them, ISO 266."""

THIRDS_HZ = (
    25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800,
    1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000, 10_000, 12_500, 16_000, 20_000,
)  # fmt: skip


def nominal_hz(exact_hz: float) -> float:
    """The nominal frequency of a band's exact middle."""
    return min(THIRDS_HZ, key=lambda hz: abs(hz / exact_hz - 1))


def hertz(value: float) -> str:
    """A frequency as people say it."""
    return f"{value / 1000:g} kHz" if value >= 1000 else f"{value:g} Hz"
