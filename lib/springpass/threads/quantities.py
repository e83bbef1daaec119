"""Threads: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Numbers, Quantity

Infeed = Annotated[Numbers, Quantity("a_0", "mm", low=0.002, high=3, usual=0.1, log=True,
    says="infeed set on the dial, on radius")]
ThreadMajor = Annotated[Numbers, Quantity("d", "mm", low=1, high=180, usual=18, says="major diameter of the thread")]
ThreadPitch = Annotated[Numbers, Quantity("P", "mm", low=0.2, high=8, usual=1,
    says="distance from one thread to the next")]
ThreadLead = Annotated[Numbers, Quantity("P_h", "mm", low=0.2, high=16, usual=1,
    says="lead: how far the thread advances in one revolution")]
ThreadHeight = Annotated[Numbers, Quantity("H", "mm", low=0.1, high=7, usual=0.866,
    says="height of the sharp triangle the profile is cut from")]
PitchDiameter = Annotated[Numbers, Quantity("d_2", "mm", low=0.5, high=180, usual=17.35,
    says="diameter at which thread and groove are equally wide")]
MinorDiameter = Annotated[Numbers, Quantity("d_1", "mm", low=0.4, high=180, usual=16.917,
    says="minor diameter of the basic profile; the bore of a nut")]
RootDiameter = Annotated[Numbers, Quantity("d_3", "mm", low=0.3, high=180, usual=16.773,
    says="diameter at the rounded root of a screw")]
PitchTolerance = Annotated[Numbers, Quantity("T_{d2}", "mm", low=0.01, high=1, usual=0.118, shown="µm",
    says="tolerance of the pitch diameter")]
CrestTolerance = Annotated[Numbers, Quantity("T_d", "mm", low=0.01, high=2, usual=0.18, shown="µm",
    says="tolerance of the major diameter of a screw")]
BoreTolerance = Annotated[Numbers, Quantity("T_{D1}", "mm", low=0.01, high=2, usual=0.236, shown="µm",
    says="tolerance of the minor diameter of a nut")]
ThreadAllowance = Annotated[Numbers, Quantity("A_0", "mm", low=0.005, high=0.2, usual=0.026, shown="µm",
    says="gap that position g or G leaves")]
StepMiddle = Annotated[Numbers, Quantity("d_m", "mm", low=1, high=250, usual=15.84,
    says="geometric mean of the step of diameters")]
EngagedLength = Annotated[Numbers, Quantity("l_N", "mm", low=0.3, high=200, usual=5,
    says="length over which screw and nut meet")]
FlankAngle = Annotated[Numbers, Quantity(r"\alpha", "deg", low=20, high=30, usual=30,
    says="angle of a flank from square to the axis")]
WireDiameter = Annotated[Numbers, Quantity("W", "mm", low=0.1, high=5, usual=0.577, step=0.001,
    says="diameter of the measuring wires")]
OverWires = Annotated[Numbers, Quantity("M", "mm", low=1, high=190, usual=18.2, step=0.001,
    says="micrometer reading over the wires")]
LeadSlope = Annotated[Numbers, Quantity(r"t_\psi", "1", low=0.002, high=0.12, usual=0.018,
    says="tangent of the lead angle at the pitch diameter")]
WireLift = Annotated[Numbers, Quantity("c_w", "mm", low=0, high=0.1, usual=0.0002, shown="µm",
    says="how much the lead angle lifts the reading")]
ThreadDepth = Annotated[Numbers, Quantity("t", "mm", low=0.05, high=6, usual=0.61,
    says="depth of the groove, on radius")]
TipFlat = Annotated[Numbers, Quantity("b", "mm", low=0.01, high=1.5, usual=0.125,
    says="width of the flat on the threading tool's tip")]
GrooveArea = Annotated[Numbers, Quantity("A_g", "mm²", low=0.001, high=30, usual=0.3, says="section of the groove")]
InfeedAngle = Annotated[Numbers, Quantity(r"\beta", "deg", low=0, high=30, usual=29.5, step=0.5,
    says="angle of the infeed from square to the axis")]
InfeedStep = Annotated[Numbers, Quantity(r"\Delta t", "mm", low=0.001, high=1, usual=0.06,
    says="how much deeper one pass goes, on radius")]
FlankChip = Annotated[Numbers, Quantity("h_f", "mm", low=0, high=1, usual=0.05, shown="µm",
    says="thickness of the chip on a flank")]
Engagement = Annotated[Numbers, Quantity("x_e", "1", low=0, high=1.3, usual=0.8, shown="%",
    says="share of the full thread height that meets")]
Preload = Annotated[Numbers, Quantity("F_v", "N", low=10, high=200e3, usual=10e3, shown="kN", log=True,
    says="pull along the thread")]
FlankPressure = Annotated[Numbers, Quantity("p", "MPa", low=0, high=1000, usual=20,
    says="pressure with which the flanks spread the nut")]
NutOutside = Annotated[Numbers, Quantity("D_o", "mm", low=2, high=250, usual=24, step=0.5,
    says="outside diameter of the nut")]
NutGrowth = Annotated[Numbers, Quantity(r"\Delta D_2", "mm", low=0, high=1, usual=0.004, shown="µm",
    says="how much the nut's thread grows")]
NutRatio = Annotated[Numbers, Quantity("q", "1", low=1.4, high=1.9, usual=1.5,
    says="outside of the nut in thread diameters")]
NutFactor = Annotated[Numbers, Quantity("c_1", "1", low=0.7, high=1, usual=0.84,
    says="share of its strength a nut keeps as it spreads")]
InchDiameter = Annotated[Numbers, Quantity("D_u", "inch", low=0.06, high=4, usual=0.25,
    says="basic major diameter of an inch thread")]
InchPitch = Annotated[Numbers, Quantity("P_u", "inch", low=0.0125, high=0.25, usual=0.05,
    says="pitch of an inch thread")]
InchLength = Annotated[Numbers, Quantity("L_E", "inch", low=0.06, high=4, usual=0.25,
    says="length of engagement of an inch thread")]
InchTolerance = Annotated[Numbers, Quantity("T_u", "inch", low=0.001, high=0.1, usual=0.004,
    says="tolerance of the pitch diameter, class 2A")]
