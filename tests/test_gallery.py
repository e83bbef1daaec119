"""The gallery shows every page's picture, and no letter of one is too small on a phone."""

import gallery
import pytest

from springpass.pages import catalogue


def test_the_gallery_holds_every_page_in_four_looks():
    whole = gallery.gallery()
    assert whole.count("<svg ") >= 4 * len(catalogue.pages())
    assert all(f'id="{name}"' in whole for name in catalogue.pages()) and ".phone .sp{font-size" in whole


@pytest.mark.parametrize("name", list(catalogue.pages()))
def test_letters_are_large_enough_on_a_phone(name):
    assert gallery.smallest(catalogue.page_named(name).answer().svg) >= gallery.SMALLEST - 0.01


def test_small_letters_are_seen():
    assert gallery.smallest('<svg viewBox="0 0 732 9"><text class="small">a</text></svg>') == 7.5
