"""Rolling bearings: ISO 492 bores and outsides, and the fits that come of them, against published tables."""

import pytest

from outside import agrees, source
from springpass import fits

ISO492 = "ISO 492 tolerance tables (secondary copies)"

# class: {up to and including: lower deviation in µm}; read unless noted
BORES = {"Normal": {10: 8, 18: 8, 30: 10, 50: 12, 80: 15, 120: 20, 180: 25, 250: 30, 315: 35, 400: 40, 500: 45},
         "P6": {10: 7, 18: 7, 30: 8, 50: 10, 80: 12, 120: 15, 150: 18, 180: 18, 250: 22},
         "P5": {2.5: 5, 10: 5, 18: 5, 30: 6, 50: 8, 80: 9, 120: 10, 180: 13, 250: 15, 315: 18, 400: 23, 500: 28}}


@pytest.mark.parametrize("cls", BORES)
@source("ISO 492 tolerance tables (secondary copies)", place="bores, deviation of the mean diameter", basis="read")
def test_bores(cls):
    for size, lower in BORES[cls].items():
        found = fits.bearing_bore(size, cls)
        agrees("lower, upper", (found.lower, found.upper), (-lower / 1000, 0.0), of=fits.bearing_bore)


OUTSIDES = {"P5": {18: 5, 30: 6, 50: 7, 80: 9, 120: 10, 150: 11, 180: 13, 250: 15, 315: 18, 400: 20, 500: 23},
            "Normal": {18: 8, 30: 9, 50: 11}, "P6": {18: 7, 30: 8, 50: 9, 120: 13}}   # P6 at 120: from memory


@pytest.mark.parametrize("cls", OUTSIDES)
@source("ISO 492 tolerance tables (secondary copies)", place="outside diameters (P6 at 120: from memory)", basis="read")
def test_outsides(cls):
    for size, lower in OUTSIDES[cls].items():
        found = fits.bearing_outside(size, cls)
        agrees("lower, upper", (found.lower, found.upper), (-lower / 1000, 0.0), of=fits.bearing_outside)


# An inch edition of the same tables, rounded to 0.00005 or 0.0001 inch (read): outer rings, {up to: ten-thousandths of
# an inch}
INCH = {"Normal": {18: 3, 30: 3.5, 50: 4, 80: 5, 120: 6, 150: 7, 180: 10, 250: 12, 315: 14, 400: 16, 500: 18},
        "P6": {18: 3, 30: 3, 50: 3.5, 80: 4, 120: 5, 150: 6, 180: 7, 250: 8, 315: 10, 400: 11, 500: 13}}


@pytest.mark.parametrize("cls", INCH)
@source("ISO 492, an inch edition of its tables", place="outer rings, ten-thousandths of an inch", basis="read")
def test_outsides_against_an_inch_edition(cls):
    for size, tenths in INCH[cls].items():
        agrees("bearing outside, lower", -fits.bearing_outside(size, cls).lower / 0.00254, tenths, abs=0.5,
               of=fits.bearing_outside)


# Published theoretical fits, Normal class (read): seat class: {up to: (most clearance, most interference) in µm}
ON_SHAFT = {
    "g6": {6: (12, 4), 10: (14, 3), 18: (17, 2), 30: (20, 3), 50: (25, 3), 80: (29, 5), 120: (34, 8)},
    "g5": {6: (9, 4), 10: (11, 3), 18: (14, 2), 30: (16, 3), 50: (20, 3), 80: (23, 5), 120: (27, 8)},
    "h6": {6: (8, 8), 10: (9, 8), 18: (11, 8), 30: (13, 10), 50: (16, 12), 80: (19, 15), 120: (22, 20)},
    "h5": {6: (5, 8), 10: (6, 8), 18: (8, 8), 30: (9, 10), 50: (11, 12), 80: (13, 15), 120: (15, 20)},
    "j5": {6: (2, 11), 10: (2, 12), 18: (3, 13), 30: (4, 15), 50: (5, 18), 80: (7, 21), 120: (9, 26)},
    "j6": {6: (2, 14), 10: (2, 15), 18: (3, 16), 30: (4, 19), 50: (5, 23), 80: (7, 27), 120: (9, 33)},
    "js6": {6: (4, 12), 10: (4.5, 12.5), 18: (5.5, 13.5), 30: (6.5, 16.5), 50: (8, 20), 80: (9.5, 24.5), 120: (11, 31)},
    "k6": {30: (-2, 25)},
    "m6": {30: (-8, 31)},
}


@pytest.mark.parametrize("cls", ON_SHAFT)
@source(
    "tables of theoretical bearing fits, Normal class (a bearing maker's catalogue)", place="shaft seats", basis="read"
)
def test_bearing_on_its_shaft(cls):
    for size, (loose, tight) in ON_SHAFT[cls].items():
        seat = fits.seat(size, size + 20, shaft=cls)
        agrees("on shaft", seat.on_shaft, (-tight / 1000, loose / 1000), of=fits.seat)


IN_HOUSING = {
    ("H7", 18): (26, 0),
    ("H7", 50): (36, 0),
    ("H7", 120): (50, 0),
    ("J7", 10): (16, -7),
    ("K7", 50): (18, -18),
    ("N7", 50): (3, -33),
    ("N7", 80): (4, -39),
    ("P7", 30): (-5, -35),
    ("P7", 50): (-6, -42),
}


@source("tables of theoretical bearing fits, Normal class (a bearing maker's catalogue)", place="housing seats",
        basis="read")
def test_bearing_in_its_housing():
    for (cls, size), (loose, tight) in IN_HOUSING.items():
        agrees("seat, in housing", fits.seat(size / 2, size, housing=cls).in_housing, (tight / 1000, loose / 1000),
               of=fits.seat)


@source("seat tables of bearing catalogues", place="seats by load", basis="read")
def test_seat_advice_by_load():
    """Seat tables (read): shaft js6 (j6) for light rotating load 18 to 100 mm; housing K7..M7, N7, P7 as the outer
    ring's load grows.
    """
    agrees(
        "seat, shaft, code, seat, shaft also",
        (fits.seat(20, 47, "inner", "light").shaft.code, fits.seat(20, 47, "inner", "light").shaft_also),
        ("js6", "j6"),
        of=fits.seat,
    )
    agrees("seat, shaft, code", fits.seat(20, 47, "inner", "normal").shaft.code, "k5", of=fits.seat)
    agrees("seat, shaft, code", fits.seat(120, 180, "inner", "normal").shaft.code, "m5", of=fits.seat)
    agrees("seat, housing, code", fits.seat(20, 47, "inner", "normal").housing.code, "H7", of=fits.seat)
    light = fits.seat(20, 47, "outer", "light")
    agrees("housing, code, housing also, shaft, code", (light.housing.code, light.housing_also, light.shaft.code),
           ("K7", "M7", "g6"), of=fits.seat)
    agrees("seat, housing, code", fits.seat(20, 47, "outer", "normal").housing.code, "N7", of=fits.seat)
    agrees("seat, housing, code", fits.seat(20, 47, "outer", "heavy").housing.code, "P7", of=fits.seat)


@source("seat tables of bearing catalogues", place="cylindricity and shoulders, as grades of ISO 286", basis="read")
def test_form_of_the_seat():
    """Cylindricity IT5/2 for Normal bearings (IT4/2 where running accuracy matters), IT2/2 for P5; shoulders IT5, IT4,
    IT2 (read).
    """
    usual, fine, p5 = fits.seat(20, 47), fits.seat(20, 47, demands="special"), fits.seat(20, 47, precision="P5")
    agrees("shaft form, housing form, shoulder", (usual.shaft_form, usual.housing_form, usual.shoulder),
           (0.0045, 0.0055, 0.009), of=fits.seat)  # IT5: 9 at 20, 11 at 47
    agrees("shaft form, shoulder", (fine.shaft_form, fine.shoulder), (0.003, 0.006), of=fits.seat)  # IT4: 6
    agrees("shaft form, shoulder", (p5.shaft_form, p5.shoulder), (0.00125, 0.0025), of=fits.seat)  # IT2: 2.5
