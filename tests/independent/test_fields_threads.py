"""Threads field by field: the profile drawn, ISO 68-1 and ISO 724 by hand, DIN 76-1 from memory."""

import numpy as np

from outside import agrees, claim, source
from springpass import threads
from springpass.threads import single_point, sizes


@source("ISO 724 and ISO 68-1 worked by hand", place="M10: H = 1.299038", basis="hand")
def test_basic_sizes():
    """10, 10 − 3/4 H = 9.025722, 10 − 5/4 H = 8.376202, rounded root 10 − 17/12 H = 8.159696."""
    found = sizes.basic("M10")
    agrees("sizes", tuple(found), (1.299038, 10.0, 9.025722, 8.376202, 8.159696), abs=1e-6, unit="mm", of=sizes.basic)


@source("names of threads", place="ISO 261 and ASME B1.1", basis="memory")
def test_names_are_read():
    """M10 has 1.5; 1/4-20 is 6.35 by 1.27."""
    metric, inch = threads.read("M10"), threads.read("1/4-20 UNC")
    agrees("M10", (metric.major, metric.pitch), (10.0, 1.5), unit="mm", of=threads.read)
    agrees("1/4-20", (inch.major, inch.pitch), (6.35, 1.27), rel=1e-9, unit="mm", of=threads.read)
    claim("inch or not", inch.inch and not metric.inch, of=threads.read)


@source("ISO 68-1: five eighths of the triangle's height, by hand", place="M10 6H, 8.376 to 8.676", basis="hand")
def test_bore_of_a_nut():
    """The middle is 8.526; with the smallest bore (10 − 8.376)/(1.25·1.299038) = 1.000125 of the height is left."""
    found = threads.bore_for("M10", "6H")
    agrees("aim", found.aim, 8.526, unit="mm", of=threads.bore_for)
    agrees("most engagement", found.most_engagement, 1.000125, abs=1e-5, of=threads.bore_for)


@source("DIN 76-1", place="pitch 1.5, form A: d − 2.3, 3.2 to 5.2 wide, radius 0.8", basis="memory")
def test_relief_of_m10():
    found = threads.relief("M10")
    agrees("groove, shortest, longest, radius", (found.groove, found.shortest, found.longest, found.radius),
           (7.7, 3.2, 5.2, 0.8), unit="mm", of=threads.relief)


@source("two grooves drawn, one laid into the other", place="pitch 1.5, six passes at 29°", basis="method")
def test_passes_drawn():
    """The tool's V of 60° stands at each pass's depth and shift; its flanks lie a chip further out than the last's."""
    pitch, angle, flat = 1.5, 29.0, 0.15
    found = single_point.infeed_schedule(pitch, 6, flat, angle)
    agrees("steps", found.step, [found.depth[0], *np.diff(found.depth)], rel=1e-12, unit="mm",
           of=single_point.infeed_schedule)
    # the slide runs at the angle to the square: straight in it goes depth, sideways shift, along itself slide
    agrees("along the slide", found.slide, [abs(complex(d, s)) for d, s in zip(found.depth, found.shift, strict=True)],
           rel=1e-12, unit="mm", of=single_point.infeed_schedule)
    way = np.angle(found.depth + 1j * found.shift, deg=True)
    agrees("sideways", way, np.full(6, angle), rel=1e-9, unit="°", of=single_point.infeed_schedule)
    # distance between two parallel flanks: of a corner of the new V from the old V's line
    out = np.array([np.cos(np.radians(30)), np.sin(np.radians(30))])   # square to the leading flank, (sideways, down)
    corner = np.stack([found.shift + flat / 2, found.depth], axis=1)
    other = np.stack([found.shift - flat / 2, found.depth], axis=1)
    leading = np.diff(corner @ out)
    trailing = np.diff(other @ (out * [-1, 1]))
    agrees("leading flank", found.leading[1:], leading, rel=1e-9, unit="mm", of=single_point.infeed_schedule)
    agrees("trailing flank", found.trailing[1:], trailing, rel=1e-6, abs=1e-9, unit="mm",
           of=single_point.infeed_schedule)


@source("worked by hand, in the docstring of the nut spread by its load", place="M10, outside 13, 8 long, 5000 N",
        basis="hand")
def test_overlap_of_a_thin_nut():
    """12.726 MPa; growth 1.7657 µm of an overlap of 2·5/8·1.299038 = 1.623798 mm on diameter: 0.998913 kept.

    A thousand times the load leaves 1 − 1.7657/1.623798 = −0.08739: pulled through.
    """
    found = single_point.thin_nut("M10", 13.0, 8.0, 5000.0)
    agrees("pressure", found.pressure, 12.726, abs=1e-3, unit="MPa", of=single_point.thin_nut)
    agrees("overlap", found.overlap, 0.9989126, abs=1e-6, of=single_point.thin_nut)
    agrees("overlap at a thousand times", single_point.thin_nut("M10", 13.0, 8.0, 5e6).overlap, -0.0874, abs=1e-3,
           of=single_point.thin_nut)
