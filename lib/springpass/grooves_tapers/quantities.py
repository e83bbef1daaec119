"""Grooves, tapers and inside threads: the quantities of this chapter, each with its symbol, unit, span and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity

# ---- grooving and parting ----------------------------------------------------------------------------------

BladeWidth = Annotated[Numbers, Quantity("w", "mm", low=0.5, high=8, usual=2, step=0.1,
    says="width of the blade, and of the groove it cuts")]
BladeHeight = Annotated[Numbers, Quantity("h_b", "mm", low=3, high=40, usual=14, step=0.5, says="height of the blade")]
Overhang = Annotated[Numbers, Quantity("L", "mm", low=2, high=80, usual=16, step=0.5,
    says="blade standing out of its holder")]
BladeMoment = Annotated[Numbers, Quantity("I_b", "mm⁴", low=0.1, high=50e3, usual=457,
    says="second moment of area of the blade's section")]
BladeDrop = Annotated[Numbers, Quantity(r"\delta_b", "mm", low=0, high=1, usual=0.003, shown="µm",
    says="how far the blade's end drops")]
BladeSideways = Annotated[Numbers, Quantity(r"\delta_q", "mm", low=0, high=5, usual=0.01, shown="µm",
    says="how far the blade's end is pushed sideways")]
InwardBlade = Annotated[Numbers, Quantity("C_b", "mm/N", low=1e-7, high=1e-2, usual=9e-6, log=True,
    says="movement of the edge into the work for one newton on the blade")]
InwardPost = Annotated[Numbers, Quantity("C_p", "mm/N", low=1e-7, high=1e-2, usual=1e-4, log=True,
    says="movement of the edge into the work for one newton, from post and slides")]
Inward = Annotated[Numbers, Quantity("C_i", "mm/N", low=1e-7, high=1e-2, usual=1.1e-4, log=True,
    says="movement of the edge into the work for one newton, all together")]
PostReach = Annotated[Numbers, Quantity("X", "mm", low=10, high=200, usual=60,
    says="from the point about which the post tilts to the edge, along the cross slide")]
PostHeight = Annotated[Numbers, Quantity("H", "mm", low=5, high=200, usual=50,
    says="height of the edge above the point about which the post tilts")]
PostTilt = Annotated[Numbers, Quantity(r"k_\theta", "N mm/rad", low=1e6, high=1e10, usual=3e7, log=True,
    says="moment that tilts the post and its slides by one radian")]
GrabRatio = Annotated[Numbers, Quantity("g", "1", low=0, high=5, usual=0.5,
    says="how much chip a chip's own force draws in: at one the tool grabs")]
ChipGrowth = Annotated[Numbers, Quantity("q", "1", low=1, high=100, usual=2,
    says="first revolution's chip over the feed")]
Backlash = Annotated[Numbers, Quantity("b_s", "mm", low=0, high=1, usual=0.1, step=0.01,
    says="backlash of the cross slide")]
ForceJump = Annotated[Numbers, Quantity("F_2/F_1", "1", low=1, high=100, usual=2.6,
    says="cutting force after the backlash is taken up over the force before")]
PipDiameter = Annotated[Numbers, Quantity("d_p", "mm", low=0, high=20, usual=0.4,
    says="diameter of the pip that a low tip leaves")]
BelowCentre = Annotated[Numbers, Quantity("e_b", "mm", low=0, high=5, usual=0.2, step=0.05,
    says="tip below centre height")]
FaceOutside = Annotated[Numbers, Quantity("D_a", "mm", low=4, high=300, usual=40, step=0.5,
    says="outside diameter of the groove in the face")]
BladeHeel = Annotated[Numbers, Quantity("t_h", "mm", low=0.5, high=30, usual=6, step=0.5,
    says="height of the blade below its edge")]
SideClearance = Annotated[Numbers, Quantity(r"\alpha_s", "deg", low=0.5, high=40, usual=8, step=0.5,
    says="side clearance of the blade's outer flank")]

# ---- tapers --------------------------------------------------------------------------------------------------

LargeEnd = Annotated[Numbers, Quantity("D", "mm", low=1, high=300, usual=17.78, step=0.01,
    says="diameter at the large end of the taper")]
SmallEnd = Annotated[Numbers, Quantity("d", "mm", low=0.1, high=299, usual=14.583, step=0.01,
    says="diameter at the small end of the taper")]
TaperLength = Annotated[Numbers, Quantity("L_k", "mm", low=1, high=500, usual=64, step=0.5,
    says="length of the taper along its axis")]
HalfAngle = Annotated[Numbers, Quantity(r"\alpha/2", "deg", low=0.02, high=60, usual=1.43,
    says="half the taper's angle: what the slide is set over to")]
ConeRatio = Annotated[Numbers, Quantity("C", "1", low=0.001, high=2, usual=0.05,
    says="change of diameter for a unit of length")]
SineBar = Annotated[Numbers, Quantity("B", "mm", low=20, high=300, usual=100, step=1,
    says="distance between a sine bar's rollers, or travel of the slide along the taper")]
Rise = Annotated[Numbers, Quantity("E", "mm", low=0, high=300, usual=2.5, step=0.001,
    says="height of blocks under a sine bar, or what the indicator shows after such a travel")]
AngleError = Annotated[Numbers, Quantity(r"\varepsilon", "deg", low=0, high=5, usual=0.1, step=0.01,
    says="error of the half angle")]
SizeError = Annotated[Numbers, Quantity(r"\Delta_k", "mm", low=0, high=20, usual=0.22, shown="µm",
    says="error of the diameter at the taper's other end")]
BetweenCentres = Annotated[Numbers, Quantity("L_c", "mm", low=10, high=1500, usual=200, step=1,
    says="length of the work between the centres' points")]
SetOver = Annotated[Numbers, Quantity("S", "mm", low=0, high=60, usual=5, step=0.01,
    says="how far the tailstock is set over")]
TaperMade = Annotated[Numbers, Quantity(r"\Delta_D", "mm", low=0, high=100, usual=3.2,
    says="difference of the two diameters")]
BlueLayer = Annotated[Numbers, Quantity("t_b", "mm", low=0.0003, high=0.02, usual=0.002, shown="µm",
    says="thickness of the film of blue")]
RubbedLength = Annotated[Numbers, Quantity("l_b", "mm", low=0.5, high=500, usual=20, step=0.5,
    says="length over which the blue has rubbed off")]
StandOut = Annotated[Numbers, Quantity("z", "mm", low=0, high=200, usual=0.5, step=0.05,
    says="how far the plug stands out of its gauge")]
OnDiameter = Annotated[Numbers, Quantity(r"\Delta_d", "mm", low=0, high=10, usual=0.025, shown="µm",
    says="what must come off the diameter")]
TipOffHeight = Annotated[Numbers, Quantity("e_h", "mm", low=0, high=3, usual=0.3, step=0.05,
    says="tip above or below centre height")]
TaperLost = Annotated[Numbers, Quantity(r"\Delta_h", "mm", low=0, high=3, usual=0.001, shown="µm",
    says="how much the taper falls short on diameter")]

# ---- threads inside ---------------------------------------------------------------------------------------------

ThickestBar = Annotated[Numbers, Quantity("d_{max}", "mm", low=0.5, high=170, usual=14.7,
    says="thickest bar that enters the bore and can be withdrawn from the thread")]
ThreadGap = Annotated[Numbers, Quantity("g_t", "mm", low=0.05, high=5, usual=0.5, step=0.1,
    says="gap that must stay free on each side")]
RunOut = Annotated[Numbers, Quantity("l_r", "mm", low=0.1, high=50, usual=3, step=0.1,
    says="width of the relief in which the tool must be stopped")]
ReactionTime = Annotated[Numbers, Quantity("t_r", "s", low=0.05, high=5, usual=0.7, step=0.1,
    says="time from seeing the mark to a standing carriage")]
LeadError = Annotated[Numbers, Quantity(r"\delta_P", "mm", low=0, high=1, usual=0.01, shown="µm",
    says="error of the lead over the length that meets")]
LeadCost = Annotated[Numbers, Quantity(r"\Delta_{2}", "mm", low=0, high=2, usual=0.0173, shown="µm",
    says="what the lead's error takes off the fit, on the pitch diameter")]
DialTeeth = Annotated[Counts, Quantity("z_d", "1", low=8, high=80, usual=32, whole=True, step=1,
    says="teeth of the thread dial's gear")]
DialMarks = Annotated[Counts, Quantity("m_d", "1", low=1, high=16, usual=8, whole=True, step=1,
    says="marks round the thread dial")]
MarksLate = Annotated[Counts, Quantity("n_m", "1", low=0, high=15, usual=1, whole=True, step=1,
    says="marks after the first one at which the half-nuts close")]
