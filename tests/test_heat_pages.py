"""The heat chapter's pages: what the words and the picture say is what was computed."""

import re

import numpy as np
import pytest

from springpass import heat
from springpass.core.quantity import Refused, Say
from springpass.core.spread import EDGE, FAILS, HOLDS
from springpass.pages import heat as pages

ALL = [pages.READ, pages.CUT, pages.COOL, pages.FIT, pages.WARM]


@pytest.mark.parametrize("page", ALL, ids=lambda p: p.name)
def test_inch_readers_get_inch_and_thou(page):
    words = page.answer(Say(inch=True)).words
    assert "µm" not in words and "thou" in words


def test_like_gauge_and_like_temperature_leave_next_to_nothing():
    together = pages.READ.answer(part=32.0, gauge=32.0).result
    apart = pages.READ.answer(part=32.0, gauge=20.0).result
    assert abs(together.error.value) < 0.1 * apart.error.value


def test_reading_words_carry_the_numbers():
    a = pages.READ.answer(material="aluminium 6082", size=42.0, part=30.0, gauge=22.0)
    wanted = 42 + 42 * (23.4 * 10 - 11.5 * 2) * 1e-6
    assert a.result.wanted == pytest.approx(wanted, abs=1e-9) and "42.0089 mm" in a.words and "too large" in a.words
    cold = pages.READ.answer(part=5.0, gauge=20.0)
    assert "too small" in cold.words and cold.result.error.value < 0


def test_finishing_cuts_warm_less_and_fast_cuts_keep_less():
    usual = pages.CUT.answer().result
    assert pages.CUT.answer(depth=0.05).result.rise.value < usual.rise.value
    fast = pages.CUT.answer(speed=200.0).result
    assert fast.share.value < usual.share.value
    assert 0.35 < usual.share.value < 0.6                  # slow and fine: about half; a tenth is for fast heavy cuts
    assert usual.share.low < usual.share.value < usual.share.high
    assert usual.left < usual.rise.value                   # some leaves while cutting
    assert pages.CUT.answer(passes=3.0).result.rise.value == pytest.approx(3 * usual.rise.value)


def test_wait_of_the_page_is_the_librarys():
    a = pages.COOL.answer()
    steel = heat.properties(pages.STEEL)
    wait = heat.time_to_size(20, 85, 25, 0.001, material=pages.STEEL, emissivity=steel.emissivity)
    assert a.result.wait.value == pytest.approx(wait, rel=1e-3)
    assert a.result.wait.low < wait < a.result.wait.high
    assert f"{round(wait / 60)} min" in a.words
    # the picture's line passes through the mark, and the band holds the line
    line = np.interp(a.result.wait.value, a.result.usual_seconds, a.result.usual)
    assert line == pytest.approx(0.001, rel=0.02)
    low, high = (np.interp(wait, a.result.seconds, a.result.band[i]) for i in (0, 2))
    assert low < 0.001 < high


def test_band_is_that_of_the_samples_worked_one_by_one():
    """Percentiles along the times give the same band as percentiles of sizes at one time."""
    factors = np.linspace(0.8, 1.25, 41)
    many = heat.cooling(20, 85, 25, 1.0, convection=factors)
    seconds, band = many.band(np.full(41, 20 * 12e-6))
    at = 1800.0
    sizes = [20 * 12e-6 * np.interp(at, c.seconds.ravel(), c.rise.ravel()) for c in
             (heat.cooling(20, 85, 25, 1.0, convection=f) for f in factors)]
    wanted = np.partition(sizes, [2, 20, 38])[[2, 20, 38]]
    assert [np.interp(at, seconds, row) for row in band] == pytest.approx(wanted, rel=0.01)


def test_help_shortens_the_wait_on_the_page():
    usual = pages.COOL.answer().result.wait.value
    for change in ({"hold": pages.GRIPPED}, {"draught": 5.0}, {"flooded": True}):
        assert pages.COOL.answer(**change).result.wait.value < usual
    assert "chuck" in pages.COOL.answer(hold=pages.GRIPPED).words


def test_biot_warns_where_core_and_skin_differ():
    air = pages.COOL.answer().result
    assert air.biot < 0.01
    thick = pages.COOL.answer(material="stainless 304", diameter=60.0, flooded=True)
    assert thick.result.biot > 0.1 and "The core is warmer than the skin" in thick.words


def test_already_cold_enough():
    a = pages.COOL.answer(rise=1.0, within=0.02)
    assert a.result.wait.value == 0 and "measure now" in a.words


def test_a_room_off_twenty_is_said():
    assert "not at 20 °C" in pages.COOL.answer(air=30.0).words and "not at 20 °C" not in pages.COOL.answer().words


def test_winter_closes_steel_in_aluminium_and_verdict_follows():
    a = pages.FIT.answer()
    assert a.result.at_cold.value < a.result.clearance < a.result.at_hot.value
    assert a.result.at_cold.value * 1e3 == pytest.approx(12 - 42 * 11.4e-3 * 35, abs=1e-6)
    assert a.result.verdict == FAILS and "interference" in a.words
    assert pages.FIT.answer(clearance=0.03).result.verdict == HOLDS
    assert pages.FIT.answer(clearance=0.017).result.verdict == EDGE
    assert pages.FIT.answer(clearance=-0.03, wanted=pages.TIGHT).result.verdict == HOLDS


def test_two_steels_hardly_care_for_the_weather():
    assert "nearly alike" in pages.FIT.answer(pair="sleeve Ø20 in bearing bore").words


def test_own_materials_are_used_when_asked_for():
    own = pages.FIT.answer(pair=pages.OWN, size=50.0, hole="FeNi36", shaft="aluminium 6082").result
    assert own.size == 50.0 and own.slope == pytest.approx(50 * (1.6 - 23.4) * 1e-6)


def test_touching_temperature_is_where_the_line_crosses():
    r = pages.FIT.answer().result
    assert np.interp(r.zero, r.temperatures, r.curve) == pytest.approx(0, abs=1e-9)


def test_warm_housing_says_how_hot_how_long_and_that_it_burns():
    a = pages.WARM.answer()
    assert a.result.needed == pytest.approx(20 + 27.47, abs=0.01) and "47 °C" in a.words
    assert re.search(r"open for \d+ min", a.words) and "burns" in a.words and "common practice" in a.words
    hot = pages.WARM.answer(housing=140.0)
    assert "hotter than the 120 °C" in hot.words and "burns" in hot.words
    tight = pages.WARM.answer(interference=0.06, housing=40.0)
    assert "does not open" in tight.words and "burns" not in tight.words
    assert pages.WARM.answer(bearing=-20.0).result.play.value > a.result.play.value


@pytest.mark.parametrize(
    "page, typed",
    [
        (pages.READ, {"size": "abc"}),
        (pages.READ, {"part": "900"}),
        (pages.COOL, {"diameter": "-3"}),
        (pages.COOL, {"rise": "nan"}),
        (pages.CUT, {"material": "cheese"}),
        (pages.WARM, {"housing": ""}),
        (pages.FIT, {"clearance": "1/0"}),
    ],
)
def test_what_a_person_may_type_wrongly_is_refused(page, typed):
    with pytest.raises(Refused):
        page.answer(**typed)


def test_a_decimal_comma_is_understood():
    assert pages.COOL.answer(diameter="12,5").result.diameter == 12.5
