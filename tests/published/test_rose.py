"""J. Rose, Modern Machine-Shop Practice (1888), on turning tapers with the tailstock set over. Basis: read."""

from outside import agrees, source
from springpass import the_lathe


@source("Rose, Modern Machine-Shop Practice (1888)", place="turning tapers, set-over of the tailstock, in an excerpt")
def test_a_taper_of_an_inch_a_foot_three_feet_long():
    """“a taper of an inch per foot, the work being three feet long”: set over 1 1/2 inches; towards you is smaller."""
    agrees("taper", the_lathe.offset_taper(1.5 * 25.4, 36 * 25.4), -1 / 12, rel=1e-12, of=the_lathe.offset_taper)
