"""Two cards for the wall beside the lathe: what they say up to a length is the bench page's own, and one sheet each."""

import math
import re

import pytest

from springpass import boring_bar, fits
from springpass.core.quantity import Say
from springpass.cutting import forces
from springpass.pages.bench_cards import FIRST_AID, PAGE
from springpass.printing import bench_cards


@pytest.mark.parametrize("material", forces.named_materials()[:4])
def test_what_is_printed_holds_and_is_rounded_down(material):
    for row in bench_cards.stickouts(material):
        zone = fits.limits(row.bore, "H7")
        for kind, longest in row.longest.items():
            if math.isnan(longest):
                continue
            printed = float(re.match(r"[\d.]+", bench_cards.longest_text(longest, row.bar, Say()))[0])
            assert printed <= longest
            again = boring_bar.check_stickout(printed, row.bar, row.bore, zone.upper - zone.lower, material=material,
                                              bar_material=kind)
            assert again.verdict == "holds", (material, row.bar, kind, printed)


def test_carbide_is_never_shorter_and_the_trades_rule_is_near():
    for row in bench_cards.stickouts("carbon steel C45 / 1045"):
        assert row.longest["cemented carbide"] >= row.longest["steel"]
        assert 3 <= row.longest["steel"] / row.bar <= 5.5, "four diameters in steel, give or take one (common practice)"


def test_first_aid_names_every_trouble_a_lathe_gives_and_begins_with_the_cheapest():
    names = [one.name for one in bench_cards.troubles()]
    assert names == ["Chatter", "Taper", "Bell mouth", "Out of round", "Hole too large"]
    for one in bench_cards.troubles():
        assert 4 <= len(one.steps) <= 6 and all(step.endswith(".") and len(step) < 170 for step in one.steps)
        assert "Buy" not in one.steps[0] and "carbide" not in one.steps[0]


def test_the_page_writes_both(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    for values in ({}, {"card": FIRST_AID}):
        assert "Written" in PAGE.presses[0].does(**PAGE.values(**values))
    assert {p.name for p in tmp_path.glob("*.html")} == {"card_stickout.html", "card_first_aid.html"}
