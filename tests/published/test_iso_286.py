"""ISO 286 limit deviations against published tables; sources and basis stand in iso286_values.csv beside this file."""

import csv
from pathlib import Path

import pytest

from outside import agrees, claim, source
from springpass import fits

with (Path(__file__).parent / "iso286_values.csv").open(encoding="utf-8", newline="") as file:
    VALUES = list(csv.DictReader(file))


@source("ISO 286-1:2010 and ISO 286-2 limit tables (secondary copies)", place="iso286_values.csv", basis="read")
def test_there_are_many():
    claim("number of VALUES", len(VALUES) > 700)


@pytest.mark.parametrize("cls", sorted({row["class"] for row in VALUES}))
@source("ISO 286-1:2010 and ISO 286-2 limit tables (secondary copies)", place="iso286_values.csv", basis="read")
def test_every_printed_value(cls):
    for row in (r for r in VALUES if r["class"] == cls):
        size, wanted = float(row["size"]), (float(row["lower_um"]) / 1000, float(row["upper_um"]) / 1000)
        if cls.startswith("IT"):
            agrees(
                "grade",
                fits.grade(size, int(cls[2:])),
                wanted[1],
                source=row["source"],
                basis=row["basis"],
                of=fits.grade,
            )
        else:
            found = fits.limits(size, cls)
            agrees("lower, upper", (found.lower, found.upper), wanted, count=1, source=row["source"],
                   basis=row["basis"], of=fits.limits)


# worked fits. (size, fit, least clearance, most clearance in µm, source)
FITS = [
    (25, "H7/k6", -15, 19, "from the ISO 286-2 limits 25 H7 +21/0 and k6 +15/+2"),
    (40, "K7/h6", -18, 23, "from the ISO 286-2 limits 40 K7 +7/-18 and h6 0/-16"),
    (40, "P7/h6", -42, -1, "from the ISO 286-2 limits 40 P7 -17/-42 and h6 0/-16"),
    (80, "H8/f7", 30, 106, "from the ISO 286-2 limits 80 H8 +46/0 and f7 -30/-60"),
    (50, "H8/f7", 25, 89, "encyclopaedia article on engineering fits, close-running fit on 50 mm"),
]


@pytest.mark.parametrize(("size", "code", "least", "most", "source"), FITS)
@source("ISO 286-2 limits; an encyclopaedia's article on engineering fits", place="five fits", basis="read")
def test_fits(size, code, least, most, source):
    found = fits.fit(size, code)
    agrees(
        "least clearance, most clearance",
        (found.least_clearance, found.most_clearance),
        (least / 1000, most / 1000),
        of=fits.fit,
    )


@source("ISO 286-2, table for M", place="M7 to 3 and over 3 mm", basis="read")
def test_first_step_is_its_own():
    """M7: -2/-12 to 3 mm without delta, 0/-12 over 3 to 6 mm with it (ISO 286-2 table for M)."""
    agrees("limits, upper, limits, lower", (fits.limits(3, "M7").upper, fits.limits(3, "M7").lower), (-0.002, -0.012),
           of=fits.limits)
    agrees(
        "limits, upper, limits, lower",
        (fits.limits(3.001, "M7").upper, fits.limits(3.001, "M7").lower),
        (0.0, -0.012),
        of=fits.limits,
    )
