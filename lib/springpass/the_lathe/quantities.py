"""The lathe itself: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Numbers, Quantity

# ---- is it my lathe? ------------------------------------------------------------------------------

CollarNear = Annotated[Numbers, Quantity("d_1", "mm", low=1, high=300, usual=40,
    says="diameter of the collar near the headstock")]
CollarFar = Annotated[Numbers, Quantity("d_2", "mm", low=1, high=300, usual=40.008,
    says="diameter of the collar at the free end")]
BentAway = Annotated[Numbers, Quantity(r"b", "mm", low=-1, high=1, usual=0.002, shown="µm",
    says="how much larger bending alone leaves the far collar")]
CollarSpan = Annotated[Numbers, Quantity("s", "mm", low=5, high=1000, usual=80, step=1,
    says="distance between the two places measured")]
LatheTaper = Annotated[Numbers, Quantity("t", "1", low=-0.01, high=0.01, usual=0.0001, shown="µm/mm",
    says="growth of the diameter towards the free end, per length")]
LatheAngle = Annotated[Numbers, Quantity(r"\varphi", "1", low=-0.005, high=0.005, usual=0.00005, shown="µm/m",
    says="angle between spindle axis and carriage path, seen from above")]
PartLength = Annotated[Numbers, Quantity("l", "mm", low=1, high=1000, usual=30, step=1, says="length of the part")]
EndDifference = Annotated[Numbers, Quantity(r"\Delta d", "mm", low=-5, high=5, usual=0.003, shown="µm",
    says="how much larger the free end is than the other")]
FixingSpan = Annotated[Numbers, Quantity("a", "mm", low=20, high=2000, usual=250, step=5,
    says="distance along the bed over which it is moved: between the headstock's bolts, or the bed's feet")]
SideMove = Annotated[Numbers, Quantity("m", "mm", low=-2, high=2, usual=0.0125, shown="µm",
    says="how far one end is to be moved sideways")]
FootSpan = Annotated[Numbers, Quantity("w_f", "mm", low=40, high=1000, usual=150, step=5,
    says="distance between front and back foot")]
TipOverFeet = Annotated[Numbers, Quantity("h_f", "mm", low=40, high=1500, usual=250, step=5,
    says="height of the tool's tip above the feet")]
FootLift = Annotated[Numbers, Quantity("f_l", "mm", low=-5, high=5, usual=0.0075, shown="µm",
    says="how far the front foot at the tailstock end is to be raised")]
FirstReading = Annotated[Numbers, Quantity("r_0", "mm", low=-5, high=5, usual=0.006, shown="µm",
    says="indicator on the bar")]
HalfTurnReading = Annotated[Numbers, Quantity("r_{180}", "mm", low=-5, high=5, usual=-0.002, shown="µm",
    says="indicator at the same place, the spindle half a revolution on")]
AxisReading = Annotated[Numbers, Quantity("r", "mm", low=-5, high=5, usual=0.002, shown="µm",
    says="what the indicator says of the spindle axis")]
AxisNear = Annotated[Numbers, Quantity("r_1", "mm", low=-5, high=5, usual=0.0, shown="µm",
    says="reading of the axis near the headstock")]
AxisFar = Annotated[Numbers, Quantity("r_2", "mm", low=-5, high=5, usual=-0.004, shown="µm",
    says="reading of the axis at the far place")]
RunOut = Annotated[Numbers, Quantity(r"T_r", "mm", low=0, high=5, usual=0.008, shown="µm",
    says="full travel of the indicator in one revolution")]
TailOffset = Annotated[Numbers, Quantity("e_s", "mm", low=-10, high=10, usual=0.05, shown="µm", step=1,
    says="tailstock centre sideways of the spindle axis; + towards you")]
TailHeight = Annotated[Numbers, Quantity("e_h", "mm", low=-5, high=5, usual=0.1, shown="µm", step=5,
    says="tailstock centre above the spindle axis; below zero it is too low")]
CentresLength = Annotated[Numbers, Quantity("L_c", "mm", low=10, high=2000, usual=150, step=1,
    says="length between the centres")]
SeatDiameter = Annotated[Numbers, Quantity("d", "mm", low=1, high=300, usual=20, step=0.5,
    says="diameter that is turned")]
HeightGrowth = Annotated[Numbers, Quantity(r"\Delta_h", "mm", low=0, high=5, usual=0.0005, shown="µm",
    says="how much larger the tailstock end comes out")]

# ---- tool height ------------------------------------------------------------------------------------

TurnedDiameter = Annotated[Numbers, Quantity("D", "mm", low=0.5, high=300, usual=12, step=0.1,
    says="diameter being cut")]
TipHeight = Annotated[Numbers, Quantity("e", "mm", low=-3, high=3, usual=0.3, step=0.05,
    says="height of the tip above centre; below zero it is too low")]
DialledStep = Annotated[Numbers, Quantity(r"\Delta x", "mm", low=-5, high=5, usual=0.2, step=0.01,
    says="dialled in on diameter; below zero towards the axis")]
StepGot = Annotated[Numbers, Quantity(r"\Delta D", "mm", low=-8, high=8, usual=0.199,
    says="what the diameter changes by")]
RakeAngle = Annotated[Numbers, Quantity(r"\gamma", "deg", low=-15, high=30, usual=5, step=1,
    says="rake angle as ground")]
Relief = Annotated[Numbers, Quantity(r"\alpha", "deg", low=1, high=20, usual=7, step=1,
    says="clearance angle as ground")]
RakeInCut = Annotated[Numbers, Quantity(r"\gamma_e", "deg", low=-90, high=90, usual=8, says="rake angle in the cut")]
ReliefInCut = Annotated[Numbers, Quantity(r"\alpha_e", "deg", low=-90, high=90, usual=4,
    says="clearance angle in the cut")]
BehindTip = Annotated[Numbers, Quantity("x_b", "mm", low=0.001, high=100, usual=8,
    says="distance of a point of the bar behind the tip")]
AboveTip = Annotated[Numbers, Quantity("y_b", "mm", low=-60, high=60, usual=-2,
    says="distance of that point above the tip; below zero under it")]
BoreNeeded = Annotated[Numbers, Quantity("D_{min}", "mm", low=0, high=1e4, usual=9,
    says="smallest bore in which that point clears the wall")]

# ---- setting small moves ------------------------------------------------------------------------------

StaticFriction = Annotated[Numbers, Quantity(r"\mu_s", "1", low=0.01, high=0.6, usual=0.2, step=0.01,
    says="friction coefficient of the slide at rest")]
MovingFriction = Annotated[Numbers, Quantity(r"\mu_d", "1", low=0.005, high=0.6, usual=0.15, step=0.01,
    says="friction coefficient of the slide as it moves")]
SlideLoad = Annotated[Numbers, Quantity("W", "N", low=10, high=5000, usual=200, log=True,
    says="load on the slide's ways: its weight and the grip of the gib")]
DriveStiffness = Annotated[Numbers, Quantity("k_d", "N/mm", low=500, high=5e5, usual=15e3, shown="N/µm", log=True,
    says="stiffness from the hand wheel to the slide: screw, nut and bearing")]
SlipStep = Annotated[Numbers, Quantity("j", "mm", low=0, high=5, usual=0.0013, shown="µm",
    says="how far a slide that sticks jumps when it comes loose")]
LineStep = Annotated[Numbers, Quantity("q", "mm", low=0.0005, high=0.5, usual=0.01, step=0.005,
    says="one line of the dial, as travel of the slide")]
SetOver = Annotated[Numbers, Quantity(r"\theta", "deg", low=0.2, high=90, usual=5.74, step=0.01,
    says="angle of the compound slide to the spindle axis")]
RadiusStep = Annotated[Numbers, Quantity(r"\Delta r", "mm", low=0, high=5, usual=0.001, shown="µm",
    says="what the tip moves by on radius")]
MoveRatio = Annotated[Numbers, Quantity("i", "1", low=0.003, high=1, usual=0.1,
    says="movement on radius over movement of the slide")]
Wanted = Annotated[Numbers, Quantity("m_r", "mm", low=0.0005, high=0.2, usual=0.002, shown="µm", log=True,
    says="move wanted, on radius")]
Allowed = Annotated[Numbers, Quantity("A", "mm", low=0.0002, high=0.1, usual=0.001, shown="µm", log=True,
    says="error allowed, plus or minus, on radius")]

# ---- warm-up --------------------------------------------------------------------------------------------

FullDrift = Annotated[Numbers, Quantity("b", "mm", low=-1, high=1, usual=0.014, shown="µm",
    says="drift from cold until all is warm")]
RunTime = Annotated[Numbers, Quantity(r"\tau", "s", low=0, high=1e5, usual=3600, shown="min",
    says="time since the spindle was started")]
TimeConstant = Annotated[Numbers, Quantity("T_c", "s", low=10, high=1e5, usual=1500, shown="min",
    says="time constant: after it 63 % of the drift is done")]
Drift = Annotated[Numbers, Quantity("y", "mm", low=-1, high=1, usual=0.012, shown="µm", says="drift so far")]
JobTime = Annotated[Numbers, Quantity("w", "s", low=30, high=36000, usual=600, shown="min", step=1,
    says="time from setting the tool to the last cut")]
DriftAllowed = Annotated[Numbers, Quantity("c", "mm", low=0.0002, high=0.1, usual=0.001, shown="µm", log=True,
    says="drift allowed during that time, on radius")]
CalmAfter = Annotated[Numbers, Quantity(r"\tau_c", "s", low=-1e6, high=1e6, usual=3000, shown="min",
    says="time after which it drifts no more than that")]
