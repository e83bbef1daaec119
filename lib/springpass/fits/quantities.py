"""Fits: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity, but
from ..core.shared import Modulus, Poisson

FitSize = Annotated[Numbers, Quantity("D", "mm", low=0.05, high=500, usual=20, step=0.5,
    says="nominal size of the fit")]
StepMean = Annotated[Numbers, Quantity("D_m", "mm", low=1.5, high=500, usual=23.2,
    says="geometric mean of the step's two ends")]
ToleranceUnit = Annotated[Numbers, Quantity("i", "mm", low=0.0005, high=0.005, usual=0.0013, shown="µm",
    says="tolerance unit of the grades")]
UnitsWide = Annotated[Numbers, Quantity("m", "1", low=7, high=2500, usual=16,
    says="width of the grade in tolerance units")]
GradeWidth = Annotated[Numbers, Quantity("T", "mm", low=0.0005, high=6, usual=0.021, shown="µm",
    says="width of the grade")]
LetterFactor = Annotated[Numbers, Quantity("a", "1", low=0.5, high=20, usual=2.5, says="the letter's factor")]
LetterPower = Annotated[Numbers, Quantity("b", "1", low=0.3, high=0.5, usual=0.34, says="the letter's power")]
ZoneShift = Annotated[Numbers, Quantity("e", "mm", low=0, high=2, usual=0.007, shown="µm",
    says="distance of the zone from the nominal line")]
HandSpread = Annotated[Numbers, Quantity(r"\pm x", "mm", low=0.001, high=0.05, usual=0.01, shown="µm", step=1,
    says="how closely you hit a size, nineteen times in twenty")]
MateDoubt = Annotated[Numbers, Quantity("u", "mm", low=0, high=0.03, usual=0.004, shown="µm", step=1,
    says="uncertainty of the measured size, k = 2")]
MateOff = Annotated[Numbers, Quantity("e", "mm", low=-0.1, high=0.1, usual=0.008, shown="µm", step=1,
    says="deviation of the finished part from nominal; minus is smaller")]
OuterWall = Annotated[Numbers, Quantity("w_a", "mm", low=0.5, high=100, usual=10, log=True,
    says="wall of the outer part, on radius")]
InnerWall = Annotated[Numbers, Quantity("w_i", "mm", low=0.5, high=100, usual=3, log=True,
    says="wall of the inner part, on radius; half the diameter or more is solid")]
Tries = Annotated[Counts, Quantity("n", "1", low=1, high=4, usual=1, whole=True, step=1,
    says="cuts you allow yourself, measuring between")]
FitDiameter = Annotated[Numbers, Quantity("d", "mm", low=1, high=300, usual=20, step=0.5,
    says="diameter at which the parts meet")]
HubOutside = Annotated[Numbers, Quantity("D_a", "mm", low=1.5, high=600, usual=40, step=0.5,
    says="outside diameter of the outer part")]
ShaftBore = Annotated[Numbers, Quantity("d_i", "mm", low=0, high=280, usual=0, step=0.5,
    says="bore of the inner part; zero for a solid one")]
HubModulus = Annotated[Numbers, but(Modulus, symbol="E_a", says="modulus of elasticity of the outer part")]
ShaftModulus = Annotated[Numbers, but(Modulus, symbol="E_i", says="modulus of elasticity of the inner part")]
HubPoisson = Annotated[Numbers, but(Poisson, symbol=r"\nu_a",
    says="Poisson's ratio of the outer part")]
ShaftPoisson = Annotated[Numbers, but(Poisson, symbol=r"\nu_i",
    says="Poisson's ratio of the inner part")]
HubGive = Annotated[Numbers, Quantity("g_a", "1/MPa", low=1e-6, high=1e-2, usual=1e-5, shown="µm/(m MPa)",
    says="compliance of the outer part, per diameter and pressure")]
ShaftGive = Annotated[Numbers, Quantity("g_i", "1/MPa", low=1e-7, high=1e-2, usual=4e-6, shown="µm/(m MPa)",
    says="compliance of the inner part, per diameter and pressure")]
PressInterference = Annotated[Numbers, Quantity("I", "mm", low=0.001, high=0.3, usual=0.025, shown="µm", step=1,
    says="interference before joining, on diameter")]
GripLength = Annotated[Numbers, Quantity("l", "mm", low=1, high=200, usual=20, step=1,
    says="length over which the parts meet")]
JointPressure = Annotated[Numbers, Quantity("p", "MPa", low=0, high=1000, usual=60, says="pressure between the parts")]
JointFriction = Annotated[Numbers, Quantity(r"\mu", "1", low=0.02, high=0.4, usual=0.12, step=0.01,
    says="coefficient of friction between the parts")]
JointTorque = Annotated[Numbers, Quantity("M", "N mm", low=0, high=1e9, usual=50e3, shown="N m",
    says="torque at which the joint slips")]
JointForce = Annotated[Numbers, Quantity("F", "N", low=0, high=1e7, usual=5e3, shown="kN",
    says="force along the axis at which the joint slips")]
HubStress = Annotated[Numbers, Quantity(r"\sigma_\varphi", "MPa", low=0, high=3000, usual=150,
    says="tension round the bore of the outer part")]
PeakToValley = Annotated[Numbers, Quantity("R_z", "mm", low=0, high=0.05, usual=0.004, shown="µm",
    says="height of the surface's peaks over its valleys")]
HubPeaks = Annotated[Numbers, Quantity("R_{za}", "mm", low=0, high=0.05, usual=0.004, shown="µm",
    says="peak to valley height of the hole's surface")]
ShaftPeaks = Annotated[Numbers, Quantity("R_{zi}", "mm", low=0, high=0.05, usual=0.004, shown="µm",
    says="peak to valley height of the shaft's surface")]
PeaksLost = Annotated[Numbers, Quantity(r"\Delta I", "mm", low=0, high=0.1, usual=0.006, shown="µm",
    says="interference lost as the peaks are pressed flat")]
DiameterChange = Annotated[Numbers, Quantity(r"\Delta d", "mm", low=0, high=1, usual=0.005, shown="µm",
    says="change of the diameter")]
BondStrength = Annotated[Numbers, Quantity(r"\tau", "MPa", low=0.1, high=80, usual=18,
    says="shear strength of the cured compound")]
TurnedDown = Annotated[Numbers, Quantity("d_1", "mm", low=1, high=300, usual=17,
    says="diameter to which the shaft is turned down")]
StrengthLeft = Annotated[Numbers, Quantity("s", "1", low=0, high=1, usual=0.6, shown="%",
    says="share of the shaft's strength in torsion that is left")]
