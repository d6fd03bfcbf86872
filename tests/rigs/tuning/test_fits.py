"""Fits: what is asked, what comes back, and that nothing is set before somebody takes it."""

import numpy as np
import pytest
from celery import current_app

from calc.signals.equalise.answers import Limits
from calc.signals.equalise.equalise import equalise
from calc.signals.equalise.spots import SpotResponse, grid_hz
from calc.signals.equalise.targets import FLAT
from rigs.jobs.claims import claim
from rigs.systems.faults import NotSaved
from rigs.systems.plans import FilterPlan, OutputPlan, plans_of
from rigs.systems.queries import current_revision
from rigs.tuning import fits
from rigs.tuning.actions.equalisations import ask_fit, take
from rigs.tuning.analyse import fitting
from rigs.tuning.models import Equalisation
from rigs.tuning.tasks import requeue_fits
from tests import factories

NULL_HZ = 900.0


def bump(hz, middle, gain, octaves):
    """A round hill or hole in dB over the logarithm of frequency."""
    return gain * np.exp(-((np.log2(hz / middle) / octaves) ** 2))


def spots(null=False):
    """Four spots with a 6 dB hill at 160 Hz, and a narrow deep hole where asked."""
    hz = grid_hz()
    level = bump(hz, 160.0, 6.0, 0.4) + (bump(hz, NULL_HZ, -15.0, 0.12) if null else 0)
    names = ("Mix", "Left", "Right", "Back")
    return [SpotResponse(name, tuple((level + n * 0.2).tolist())) for n, name in enumerate(names)]


@pytest.fixture
def place(db, monkeypatch):
    monkeypatch.setattr("rigs.tuning.tasks.enqueue_fit", lambda pk: None)
    event = factories.event()
    sheet = factories.processor(
        filters_per_output=4,
        dials={"filter_gain_db": {"least": -12, "most": 6, "step": 0.5}},
    )
    return factories.processor_place(event, sheet)


def fitted(place, part="venue", heard=None, outputs=(1,)):
    frozen = fitting.inputs(heard or spots(), FLAT, place.processor, Limits())
    row = ask_fit(place, list(outputs), part, frozen, None)
    fits.work(claim(Equalisation, row.pk))
    row.refresh_from_db()
    return row


def test_the_job_finds_what_calc_finds(place):
    row = fitted(place)
    direct = equalise(spots(), FLAT, fitting.processor(place.processor).abilities, Limits())
    assert row.state == "done"
    assert [part.frequency_hz for part in fitting.filters_of(row.result)] == [
        part.frequency_hz for part in direct.filters
    ]
    assert direct.filters
    assert direct.residual_after_db < direct.residual_before_db / 2


def test_gains_stand_on_the_processors_steps(place):
    gains = [part.gain_db for part in fitting.filters_of(fitted(place).result)]
    assert gains
    assert all((gain * 2).is_integer() for gain in gains)


def test_a_null_is_left_alone_and_said(place):
    result = fitted(place, heard=spots(null=True)).result
    left = [part for part in result["left_alone"] if part["reason"] == "null"]
    assert any(part["low_hz"] < NULL_HZ < part["high_hz"] for part in left)
    at = min(range(120), key=lambda n: abs(result["frequency_hz"][n] - NULL_HZ))
    assert result["equaliser_db"][at] < 0.5


def test_nothing_is_set_before_it_is_taken(place):
    row = fitted(place)
    assert current_revision(place.event) is None
    assert row.accepted_as is None


def test_taking_it_adds_the_filters_behind_the_outputs_own(place):
    own = FilterPlan("high-pass", 40.0, family="Butterworth", order=4)
    factories.revise(
        place.event, OutputPlan(place.pk, 1, inputs=(1,), gain_db=-3.0, filters=(own,))
    )
    row = fitted(place)
    revision = take(row, seen=1, reason="Hill at 160 Hz", person=None)
    plan = plans_of(revision)[(place.pk, 1)]
    assert plan.filters == (own, *fitting.filters_of(row.result))
    assert (plan.gain_db, plan.inputs) == (-3.0, (1,))
    row.refresh_from_db()
    assert row.accepted_as == revision
    with pytest.raises(NotSaved, match="already"):
        take(row, seen=2, reason="again", person=None)


def test_no_room_is_refused_in_words_and_nothing_is_saved(place):
    full = tuple(FilterPlan("peak", hz, gain_db=-3.0, q=2.0) for hz in (100.0, 200.0, 400.0, 800.0))
    factories.revise(place.event, OutputPlan(place.pk, 1, gain_db=0.0, filters=full))
    row = fitted(place)
    with pytest.raises(NotSaved, match=r"All 4 filters of .* are in use"):
        take(row, seen=1, reason="more", person=None)
    assert current_revision(place.event).number == 1


def test_a_reason_is_asked_for(place):
    with pytest.raises(NotSaved, match="Say why"):
        take(fitted(place), seen=0, reason=" ", person=None)


def test_the_same_question_is_one_row(place):
    frozen = fitting.inputs(spots(), FLAT, place.processor, Limits())
    first = ask_fit(place, [2, 1], "venue", frozen, None)
    assert ask_fit(place, [1, 2], "venue", frozen, None) == first
    assert ask_fit(place, [1], "venue", frozen, None) != first


def test_a_spot_that_hears_nothing_fails_in_words(place):
    deaf = [SpotResponse("Deaf", (None,) * 120)]
    row = fitted(place, heard=deaf)
    assert row.state == "failed"
    assert "Deaf hears nothing to believe" in row.fault


def test_a_later_measurement_is_compared_filter_by_filter(place):
    row = fitted(place)
    lift = np.array(row.result["equaliser_db"])
    after = [
        SpotResponse(spot.name, tuple((np.array(spot.level_db) + lift).tolist()))
        for spot in spots()
    ]
    done = fitting.check_again(row.inputs, row.result, after)
    assert done["off_prediction_db"] < 0.1
    untouched = fitting.check_again(row.inputs, row.result, spots())
    assert any("does nothing" in part["says"] for part in untouched["filters"])


def test_the_worker_takes_up_waiting_fits():
    wanted = current_app.conf.beat_schedule["requeue-fits"]["task"]
    assert requeue_fits.name == wanted
