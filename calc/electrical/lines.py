"""From a drive line to its result."""

from dataclasses import replace

from calc.electrical.drive import BoxDrive, LineDrive, line_drive
from calc.electrical.findings import line_findings
from calc.electrical.findings.limiter import limiter_thresholds, times_of
from calc.electrical.findings.peak import crest_headroom_db, peak_margin_db
from calc.electrical.findings.power import worst_headroom
from calc.electrical.gain_ladder import gain_ladder
from calc.electrical.line_figures import BoxFigures, LineFigures, figures_of
from calc.electrical.loads import channels_of, per_channel_ohm
from calc.lookup import Lookup
from calc.prediction import SEVERITY, BoxResult, Finding, LineResult, State
from calc.system import Choices, DriveLine, Mode
from calc.words import number


def line_result(line: DriveLine, lookup: Lookup, choices: Choices) -> LineResult:
    """Figures and findings of one drive line."""
    figures = figures_of(line, lookup, choices)
    driven = line_drive(figures)
    findings = tuple(_with_drive(one, driven) for one in line_findings(figures))
    place = lookup.amplifier_places.get(line.amplifier)
    limiter, times = limiter_thresholds(figures), times_of(figures)
    headroom = worst_headroom(figures)
    drive = figures.drive_v
    return LineResult(
        name=line.name,
        amplifier=line.amplifier,
        amplifier_sheet="" if place is None else place.sheet,
        unit="" if place is None else place.unit,
        rack="" if place is None else place.rack,
        channels=tuple(range(line.first_channel, line.first_channel + channels_of(line.mode))),
        mode=line.mode,
        state=worst_state(findings),
        rated_load_ohm=figures.load.rated_ohm,
        minimum_load_ohm=figures.load.minimum_ohm,
        channel_rated_load_ohm=_channel(figures.load.rated_ohm, line.mode),
        channel_minimum_load_ohm=_channel(figures.load.minimum_ohm, line.mode),
        amplifier_minimum_ohm=None if figures.least is None else figures.least.ohm,
        voltage_low_v=figures.bounds.low_v,
        voltage_high_v=figures.bounds.high_v,
        power_low_w=figures.power_w(figures.bounds.low_v),
        power_high_w=figures.power_w(figures.bounds.high_v),
        rated_noise_power_w=figures.noise_power_w,
        rated_voltage_v=figures.rated_v,
        headroom_db=None if headroom is None else headroom[1],
        gain_db=figures.gain.db,
        limiter_rms_dbu=None if limiter is None else limiter.rms_dbu,
        limiter_peak_dbu=None if limiter is None else limiter.peak_dbu,
        drive_v=drive,
        worst_cable_loss_db=_worst_loss(figures),
        worst_damping_factor=_worst_damping(figures),
        boxes=tuple(
            _box_result(box, drive, flow)
            for box, flow in zip(figures.boxes, driven.boxes, strict=True)
        ),
        findings=findings,
        minimum_load_basis=figures.load.basis,
        minimum_load_hz=figures.load.minimum_hz,
        runs=driven.runs,
        cable_spread_db=_spread(figures),
        cable_tilt_db=max((b.tilt_db for b in driven.boxes if b.tilt_db is not None), default=None),
        cable_loss_w=driven.loss_w,
        cable_loss_share=driven.loss_share,
        peak_margin_db=peak_margin_db(figures),
        crest_headroom_db=crest_headroom_db(figures),
        limiter_attack_ms=None if limiter is None else times.attack_ms,
        limiter_release_ms=None if limiter is None else times.release_ms,
        limiter_basis=figures.limiter_basis,
        ladder=gain_ladder(figures, lookup),
        cautions=driven.cautions,
    )


def worst_state(findings: tuple[Finding, ...]) -> State:
    """The state to show for all of them together."""
    return min((f.state for f in findings), key=SEVERITY.index, default="holds")


def _with_drive(finding: Finding, driven: LineDrive) -> Finding:
    """What the line at full drive adds to the working of the loss in its cables."""
    if finding.check != "cable_loss":
        return finding
    steps = []
    if driven.loss_w is not None and driven.loss_share is not None:
        steps.append(
            f"At full drive the cables turn {number(driven.loss_w)} W into heat, "
            f"{number(100 * driven.loss_share)} % of what the amplifier gives."
        )
    for box in driven.boxes:
        if box.tilt_db is not None and box.loss_most_db is not None:
            steps.append(
                f"By its impedance curve the loss at box {driven.boxes.index(box) + 1} is "
                f"{box.loss_most_db:.2f} dB at most and bends the response by {box.tilt_db:.2f} dB."
            )
    return replace(
        finding,
        working=(*finding.working, *dict.fromkeys(steps)),
        assumed=finding.assumed + driven.assumed,
    )


def _channel(ohm: float | None, mode: Mode) -> float | None:
    return None if ohm is None else per_channel_ohm(ohm, mode)


def _worst_loss(figures: LineFigures) -> float | None:
    return max((b.loss_db for b in figures.boxes if b.loss_db is not None), default=None)


def _worst_damping(figures: LineFigures) -> float | None:
    return min((b.damping for b in figures.boxes if b.damping is not None), default=None)


def _spread(figures: LineFigures) -> float | None:
    losses = [box.loss_db for box in figures.boxes if box.loss_db is not None]
    return max(losses) - min(losses) if losses and len(losses) == len(figures.boxes) else None


def _box_result(box: BoxFigures, drive_v: float | None, flow: BoxDrive) -> BoxResult:
    volts = None if drive_v is None or box.share is None else drive_v * box.share
    return BoxResult(
        placement=box.placement,
        way=box.way.name,
        cable_loss_db=box.loss_db,
        damping_factor=box.damping,
        voltage_v=volts,
        current_a=flow.current_a,
        power_w=flow.power_w,
        tilt_db=flow.tilt_db,
        loss_most_db=flow.loss_most_db,
    )
