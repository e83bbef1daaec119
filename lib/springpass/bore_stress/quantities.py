"""Stress in the bar: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Numbers, Quantity

StockRadius = Annotated[Numbers, Quantity("R", "mm", low=2, high=60, usual=10,
    says="outside radius of the bar as supplied")]
PlaceRadius = Annotated[Numbers, Quantity("r", "mm", low=0.1, high=60, usual=9, says="radius of the place looked at")]
BoredRadius = Annotated[Numbers, Quantity("a", "mm", low=0, high=50, usual=5, says="radius of the bore as it is now")]
TurnedRadius = Annotated[Numbers, Quantity("b", "mm", low=1, high=60, usual=9, says="outside radius as it is now")]
SkinAxialStress = Annotated[Numbers, Quantity("S_z", "MPa", low=-800, high=800, usual=275, step=5,
    says="stress along the bar at its skin")]
SkinHoopStress = Annotated[Numbers, Quantity("T_h", "MPa", low=-800, high=800, usual=180, step=5,
    says="stress around the bar at its skin")]
AxialSteepness = Annotated[Numbers, Quantity("m", "1", low=0.5, high=40, usual=2,
    says="how steeply the axial stress rises to the skin")]
HoopSteepness = Annotated[Numbers, Quantity("n", "1", low=0.5, high=40, usual=2,
    says="how steeply the hoop stress rises to the skin")]
AxialStress = Annotated[Numbers, Quantity(r"\sigma_z", "MPa", low=-1500, high=1500, usual=100,
    says="stress along the bar")]
HoopStress = Annotated[Numbers, Quantity(r"\sigma_\theta", "MPa", low=-1500, high=1500, usual=100,
    says="stress around the bar")]
RadialStress = Annotated[Numbers, Quantity(r"\sigma_r", "MPa", low=-1500, high=1500, usual=-50,
    says="stress across the bar")]
InnerRadialStress = Annotated[Numbers, Quantity(r"\sigma_{ra}", "MPa", low=-1500, high=1500, usual=-50,
    says="radial stress of the uncut bar where the bore now is")]
OuterRadialStress = Annotated[Numbers, Quantity(r"\sigma_{rb}", "MPa", low=-1500, high=1500, usual=-20,
    says="radial stress of the uncut bar where the outside now is")]
RingMeanStress = Annotated[Numbers, Quantity(r"\bar\sigma_z", "MPa", low=-1500, high=1500, usual=75,
    says="mean axial stress of what is still there")]
EvenRelease = Annotated[Numbers, Quantity("A", "MPa", low=-1500, high=1500, usual=30,
    says="even part of the stress that cutting adds")]
WallRelease = Annotated[Numbers, Quantity("B", "N", low=-1e6, high=1e6, usual=1e3,
    says="part that falls off with the square of the radius")]
AxialRelease = Annotated[Numbers, Quantity("C", "MPa", low=-1500, high=1500, usual=-75,
    says="axial stress that cutting adds")]
RadialShift = Annotated[Numbers, Quantity("u", "mm", low=-0.1, high=0.1, usual=-0.001, shown="µm",
    says="how far a place moves outwards")]
LengthStrain = Annotated[Numbers, Quantity(r"\varepsilon_z", "1", low=-0.01, high=0.01, usual=-1e-4, shown="µm/m",
    says="change of length for each unit of length")]
SkinStrain = Annotated[Numbers, Quantity(r"\varepsilon_\theta", "1", low=-0.01, high=0.01, usual=-1e-4, shown="µm/m",
    says="change of the outside diameter for each unit of diameter")]
BoredShare = Annotated[Numbers, Quantity("f", "1", low=0.01, high=0.99, usual=0.25,
    says="share of the bar's section bored away")]
AxialReading = Annotated[Numbers, Quantity(r"\Lambda", "1", low=-0.01, high=0.01, usual=-3e-4, shown="µm/m",
    says="length strain plus Poisson's ratio times the strain of the outside")]
HoopReading = Annotated[Numbers, Quantity(r"\Theta", "1", low=-0.01, high=0.01, usual=-2e-4, shown="µm/m",
    says="strain of the outside plus Poisson's ratio times the length strain")]
AxialSlope = Annotated[Numbers, Quantity(r"\Lambda'", "1", low=-0.02, high=0.02, usual=-1e-3, shown="µm/m",
    says="how fast the axial reading changes with the bored share")]
HoopSlope = Annotated[Numbers, Quantity(r"\Theta'", "1", low=-0.02, high=0.02, usual=-1e-3, shown="µm/m",
    says="how fast the hoop reading changes with the bored share")]
RingBefore = Annotated[Numbers, Quantity("D_0", "mm", low=5, high=200, usual=19,
    says="mean diameter of the ring before the slit")]
RingAfter = Annotated[Numbers, Quantity("D_1", "mm", low=5, high=200, usual=19.1,
    says="mean diameter of the ring after the slit")]
SlitOpening = Annotated[Numbers, Quantity("g", "mm", low=-20, high=20, usual=0.3, step=0.01,
    says="how much wider the slit is than what was sawn out")]
