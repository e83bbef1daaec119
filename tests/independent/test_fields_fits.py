"""Fits and joints field by field: limits printed in ISO 286-2, Lamé by hand, aims thrown with dice."""

import numpy as np
import pytest

from outside import agrees, source
from springpass import fits
from springpass.fits import fit_target, pressing


@pytest.mark.parametrize(("code", "hole", "shaft"), [("H7/g6", (0.0, 0.021), (-0.020, -0.007)),
                                                     ("K7/h6", (-0.015, 0.006), (-0.013, 0.0))])
@source("ISO 286-2, limits at 20 mm", place="H7, g6, K7, h6 over 18 to 30 mm", basis="memory")
def test_limits_of_a_fit(code, hole, shaft):
    found = fits.fit(20, code)
    agrees("hole", (found.hole.lower, found.hole.upper), hole, unit="mm", of=fits.fit)
    agrees("shaft", (found.shaft.lower, found.shaft.upper), shaft, unit="mm", of=fits.fit)


@source("ISO 286-2 and ISO 492, limits of a 20 by 47 bearing's seats", place="k5 and H7; Normal class", basis="memory")
def test_limits_of_a_seat():
    """k5 at 20: +11/+2. H7 at 47: +25/0. Bore of the bearing 0/−10, outside 0/−11; shoulder of the housing IT5: 11."""
    found = fits.seat(20, 47)
    agrees("shaft", (found.shaft.lower, found.shaft.upper), (0.002, 0.011), unit="mm", of=fits.seat)
    agrees("housing", (found.housing.lower, found.housing.upper), (0.0, 0.025), unit="mm", of=fits.seat)
    agrees("bore", (found.bore.lower, found.bore.upper), (-0.010, 0.0), unit="mm", of=fits.seat)
    agrees("outside", (found.outside.lower, found.outside.upper), (-0.011, 0.0), unit="mm", of=fits.seat)
    agrees("housing's shoulder", found.housing_shoulder, 0.011, unit="mm", of=fits.seat)


@source("decimal arithmetic by hand", place="20 h6", basis="hand")
def test_middle_in_inches():
    """The middle of 19.987 to 20 is 19.9935 mm: 0.78714567 inch, to four places 0.7871."""
    agrees("nearest", fits.inch(19.987, 20.0, 4).nearest, 0.7871, of=fits.inch)


@source("a million cuts thrown with dice", place="6 to 22 µm, cuts that miss by 20 µm", basis="method")
def test_aim_field_by_field():
    """The plan's second cut is the best of one try, found by trying aims half a micrometre apart."""
    least, most, spread, doubt = 0.006, 0.022, 0.020, 0.004
    throw = np.random.default_rng(15)
    off = np.hypot(throw.normal(0, spread / 2, 10**6), 0) * throw.choice([-1, 1], 10**6)
    off += throw.normal(0, doubt / 2, 10**6)
    aim = fit_target.best_aim(least, most, spread, doubt, tries=2)
    first = aim.clearance + off
    agrees("too loose", aim.too_loose, (first > most).mean(), abs=2e-3, of=fit_target.best_aim)
    agrees("again", aim.again, (first < least).mean(), abs=2e-3, of=fit_target.best_aim)
    # of one try the middle is the best; of two the first aim's chance, with the second for what is left tight
    tried = np.arange(0.004, 0.0181, 0.0005)
    once = [np.mean((a + off >= least) & (a + off <= most)) for a in tried]
    last = (least + most) / 2
    twice = [one + np.mean(a + off < least) * max(once) for a, one in zip(tried, once, strict=True)]
    # a chance within two in a thousand of the best will do, and of those the aim nearest to the middle
    enough = tried[np.array(twice) >= max(twice) - 0.002]
    agrees("plan", aim.plan, (enough[np.abs(enough - last).argmin()], last), rel=0.06, abs=0.0005, unit="mm",
           of=fit_target.best_aim)


@source("Lamé's ring and friction by hand", place="steel sleeve Ø40 on a tube Ø24/12, 20 long, 30 µm of interference",
        basis="hand")
def test_joint_by_hand():
    """Peaks of 3 and 2 µm lose 0.8·5 = 4 µm of 30: 26 µm act.

    Hub: (40² + 24²)/(40² − 24²) + 0.29 = 2176/1024 + 0.29 = 2.415; tube: (24² + 12²)/(24² − 12²) − 0.29 = 720/432 −
    0.29 = 1.376667. p = 0.026·205000/(24·3.791667) = 58.5714 MPa.
    Force 0.12·p·π·24·20 = 10 598.8 N, torque 12 of that. Pull round the bore p·2.125 = 124.464 MPa; von Mises there
    p √(3·40⁴ + 24⁴)/1024 = p·2.76625 … worked in the test. Tube's bore: 2·576/432 p = 156.190 MPa.
    Against 355 MPa in the sleeve and 300 in the tube the tube is the nearer: 0.520635.
    To drop over: (30 + 20 µm)/(24·11.7·10⁻⁶) = 178.06 K.
    """
    found = pressing.joint(0.030, 24.0, 40.0, 20.0, shaft_bore=12.0, hub_peaks=0.003, shaft_peaks=0.002, hub_yield=355,
                           shaft_yield=300)
    p = 0.026 * 205_000 / (24 * 3.7916667)
    agrees("interference", found.interference, 0.026, rel=1e-9, unit="mm", of=pressing.joint)
    agrees("pressure", found.pressure, 58.5714, rel=1e-4, unit="MPa", of=pressing.joint)
    agrees("force", found.force, 10_598.8, rel=1e-4, unit="N", of=pressing.joint)
    agrees("torque", found.torque, 12 * 10_598.8, rel=1e-4, unit="N mm", of=pressing.joint)
    agrees("pull round the bore", found.hub_stress, 124.464, rel=1e-4, unit="MPa", of=pressing.joint)
    hoop, radial = 2.125 * p, -p
    agrees("hub", found.hub_effort, np.sqrt(hoop**2 - hoop * radial + radial**2), rel=1e-6, unit="MPa",
           of=pressing.joint)
    agrees("tube", found.shaft_effort, 156.190, rel=1e-4, unit="MPa", of=pressing.joint)
    agrees("share", found.share, 0.520635, rel=1e-4, of=pressing.joint)
    agrees("rise", found.rise, 178.06, rel=1e-4, unit="K", of=pressing.joint)
