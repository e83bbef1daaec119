"""Workholding: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity, but
from ..core.shared import BoreDiameter

ThrustForce = Annotated[Numbers, Quantity("F_p", "N", low=0.1, high=5e3, usual=10,
    says="thrust force, which pushes tool and work apart")]
BoreError = Annotated[Numbers, Quantity(r"\Delta D", "mm", low=-1, high=1, usual=0.01, shown="µm",
    says="error of the diameter")]
RingOutside = Annotated[Numbers, Quantity("D_o", "mm", low=5, high=200, usual=62, step=0.5,
    says="outside diameter of the ring")]
RingBore = Annotated[Numbers, Quantity("D_b", "mm", low=2, high=190, usual=42, step=0.5, says="bore of the ring")]
GripWidth = Annotated[Numbers, Quantity("w", "mm", low=2, high=80, usual=14, step=0.5,
    says="length of work that the jaws cover")]
JawCount = Annotated[Counts, Quantity("n", "1", low=2, high=12, usual=3, whole=True, step=1, says="number of jaws")]
JawLoad = Annotated[Numbers, Quantity("P", "N", low=20, high=15000, usual=1500, log=True, says="clamping force "
    "per jaw")]
TubeBore = Annotated[Numbers, but(BoreDiameter, symbol="d_i", says="bore down the middle of the work")]
LoadBefore = Annotated[Numbers, Quantity("P_0", "N", low=20, high=15000, usual=1500, log=True,
    says="clamping force per jaw before boring")]
PadHalfAngle = Annotated[Numbers, Quantity(r"\beta", "deg", low=0, high=58, usual=6, step=1,
    says="half the angle one jaw's face covers")]
RingRadius = Annotated[Numbers, Quantity("R", "mm", low=2, high=100, usual=26, says="radius of the middle of the wall")]
WallSecondMoment = Annotated[Numbers, Quantity("I_w", "mm⁴", low=0.1, high=1e5, usual=1200,
    says="second moment of the ring's wall")]
JawSpacing = Annotated[Numbers, Quantity(r"\alpha", "1", low=0.25, high=1.58, usual=1.05,
    says="half the angle between jaws, radians")]
RadialMove = Annotated[Numbers, Quantity("u", "mm", low=-1, high=1, usual=0.003, shown="µm",
    says="how far the ring's radius moves")]
RingWallStress = Annotated[Numbers, Quantity(r"\sigma", "MPa", low=0, high=2000, usual=60,
    says="bending stress in the wall under a jaw")]
RawGive = Annotated[Numbers, Quantity("c_0", "mm/N", low=0, high=1e-2, usual=1e-6, shown="µm/kN",
    says="compliance of the ring at a jaw, before boring")]
FinishedGive = Annotated[Numbers, Quantity("c_1", "mm/N", low=0, high=1e-2, usual=2e-6, shown="µm/kN",
    says="compliance of the ring at a jaw, after boring")]
JawGive = Annotated[Numbers, Quantity("c_j", "mm/N", low=0, high=1e-2, usual=5e-6, shown="µm/kN",
    says="compliance of one jaw, its scroll and the chuck's body")]
GripDiameter = Annotated[Numbers, Quantity("d_g", "mm", low=3, high=200, usual=62, says="diameter the jaws grip")]
CutDiameter = Annotated[Numbers, Quantity("d_c", "mm", low=1, high=200, usual=42, says="diameter being cut")]
GripFriction = Annotated[Numbers, Quantity(r"\mu", "1", low=0.03, high=0.6, usual=0.1, step=0.01,
    says="coefficient of friction of the grip between jaw and work")]
Safety = Annotated[Numbers, Quantity("S", "1", low=1, high=6, usual=2.5, step=0.1, says="safety factor against "
    "slipping")]
GripForce = Annotated[Numbers, Quantity(r"\Sigma P", "N", low=10, high=1e5, usual=5000, log=True,
    says="clamping force of all jaws together")]
HandPull = Annotated[Numbers, Quantity("F_h", "N", low=5, high=500, usual=100, step=5,
    says="pull of each hand on the key")]
KeySpan = Annotated[Numbers, Quantity("l_k", "mm", low=40, high=300, usual=160,
    says="distance between the hands on the key's bar")]
ScrollRatio = Annotated[Numbers, Quantity("i", "1", low=1, high=6, usual=3.5,
    says="turns of the key for one turn of the scroll")]
ScrollPitch = Annotated[Numbers, Quantity("p", "mm", low=3, high=12, usual=7,
    says="jaw travel for one turn of the scroll")]
ScrollYield = Annotated[Numbers, Quantity(r"\eta", "1", low=0.03, high=0.6, usual=0.2,
    says="efficiency from key to jaws")]
GripPressure = Annotated[Numbers, Quantity("p_g", "MPa", low=0, high=2000, usual=10,
    says="pressure on the gripped surface")]
LineGive = Annotated[Numbers, Quantity("E^*", "MPa", low=500, high=400e3, usual=110e3,
    says="contact modulus of jaw and work together")]
DrawPull = Annotated[Numbers, Quantity("F_d", "N", low=100, high=30e3, usual=4000, log=True,
    says="drawbar pull that closes the collet")]
TaperHalfAngle = Annotated[Numbers, Quantity(r"\gamma", "deg", low=2, high=30, usual=8, says="half the angle of "
    "the taper")]
FrictionAngle = Annotated[Numbers, Quantity(r"\varrho", "deg", low=0, high=20, usual=7,
    says="friction angle of the taper")]
ClampForce = Annotated[Numbers, Quantity("F_a", "N", low=50, high=20e3, usual=2000, log=True,
    says="axial clamping force on the ring's faces")]
FaceRadius = Annotated[Numbers, Quantity("r_f", "mm", low=1, high=100, usual=26,
    says="mean radius of the clamped faces")]
WorkLength = Annotated[Numbers, Quantity("L", "mm", low=5, high=400, usual=60, step=1,
    says="length of work sticking out of the jaws")]
CutPlace = Annotated[Numbers, Quantity("z", "mm", low=0, high=400, usual=60, says="distance of the cut from the jaws")]
WorkSecondMoment = Annotated[Numbers, Quantity("I", "mm⁴", low=0.05, high=4e8, usual=7854,
    says="second moment of the shaft's section")]
SpindleStiffness = Annotated[Numbers, Quantity("k_s", "N/mm", low=2e3, high=1e6, usual=30e3, shown="N/µm", log=True,
    says="stiffness of spindle and chuck against a side force")]
SpindleRotation = Annotated[Numbers, Quantity(r"k_\vartheta", "N mm/rad", low=1e6, high=1e10, usual=1e8,
    shown="kN m/rad", log=True, says="stiffness of spindle, chuck and grip against tilting")]
CentreStiffness = Annotated[Numbers, Quantity("k_c", "N/mm", low=1e3, high=1e6, usual=10e3, shown="N/µm", log=True,
    says="stiffness of the tailstock centre against a side force")]
HeadCentreStiffness = Annotated[Numbers, Quantity("k_h", "N/mm", low=1e3, high=1e6, usual=30e3, shown="N/µm", log=True,
    says="stiffness of the headstock centre against a side force")]
WorkError = Annotated[Numbers, Quantity(r"\Delta d", "mm", low=-1, high=1, usual=0.003, shown="µm",
    says="error of the turned diameter")]
FreeLength = Annotated[Numbers, Quantity("L_f", "mm", low=1, high=1000, usual=40,
    says="longest free length for a given error")]
StockLeft = Annotated[Numbers, Quantity("s", "mm", low=0, high=10, usual=2, step=0.1,
    says="stock left to bore once it is clamped, on diameter")]
TurnedShare = Annotated[Numbers, Quantity("x", "1", low=0, high=0.9, usual=0.4, shown="%", step=5,
    says="share of the length, at the free end, that is the smaller step")]
SteadyPlace = Annotated[Numbers, Quantity("x_s", "1", low=0.1, high=0.9, usual=0.6, shown="%", step=5,
    says="place of the steady rest, as a share of the length from the jaws")]
