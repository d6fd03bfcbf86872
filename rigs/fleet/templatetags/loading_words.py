"""How a judged figure reads in a cell."""

from django import template

from rigs.fleet.loading import Judged

register = template.Library()
LABELS = {
    "load": "load",
    "power": "rated power",
    "peak": "peaks",
    "headroom": "headroom",
    "damping": "damping",
}


@register.filter
def figure(judged: Judged) -> str:
    """'2.67 ohm', '-1.2 dB', '14'; 'unknown' without a value."""
    if judged.value is None:
        return "unknown"
    if judged.check in ("headroom", "peak"):
        return f"{judged.value:+.1f} dB".replace("-0.0", "0.0").replace("+0.0", "0.0")
    if judged.check == "power":
        return f"{judged.value:.2g} x"
    if judged.check == "damping":
        return f"{judged.value:.0f}" if judged.value >= 10 else f"{judged.value:.1f}"
    return f"{judged.value:.3g} ohm"


@register.filter
def against(judged: Judged) -> str:
    """What the figure is, and what it is held against: 'load; minimum 4'."""
    if judged.limit is None:
        return f"{LABELS[judged.check]}; limit unknown"
    if judged.check == "load":
        return f"load; minimum {judged.limit:.3g}"
    if judged.check == "headroom":
        return f"headroom; {judged.limit:.2g} is usual"
    if judged.check == "power":
        return f"rated power; {judged.limit:.2g} is usual"
    if judged.check == "peak":
        return f"peaks over the rating; at most {judged.limit:.2g}"
    return f"damping; {judged.limit:g} is wished"
