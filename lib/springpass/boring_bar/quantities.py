"""Boring bars: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Numbers, Quantity

Stickout = Annotated[Numbers, Quantity("L", "mm", low=5, high=400, usual=40, step=1,
    says="bar standing out of its holder")]
NeckLength = Annotated[Numbers, Quantity("L_n", "mm", low=0, high=60, usual=0, step=1,
    says="length of the thinner front of the bar; 0 for none")]
NeckDiameter = Annotated[Numbers, Quantity("d_n", "mm", low=1, high=40, usual=6, step=0.5,
    says="diameter of the thinner front of the bar")]
TipOffsetShare = Annotated[Numbers, Quantity("e/d", "1", low=0.1, high=2, usual=0.6, step=0.05,
    says="distance of the tip from the bar's axis, in bar diameters")]
ShearModulus = Annotated[Numbers, Quantity("G", "MPa", low=1e3, high=300e3, usual=79e3, shown="GPa",
    says="stiffness in shear")]
SecondMoment = Annotated[Numbers, Quantity("I", "mm⁴", low=0.1, high=1e6, usual=201,
    says="second moment of area of the section")]
PolarMoment = Annotated[Numbers, Quantity("J", "mm⁴", low=0.1, high=1e6, usual=402,
    says="polar second moment of a round section")]
SectionArea = Annotated[Numbers, Quantity("A", "mm²", low=1, high=5e3, usual=50, says="area of the section")]
ShearFactor = Annotated[Numbers, Quantity(r"\kappa_s", "1", low=0.8, high=1, usual=0.89,
    says="share of the section that carries shear")]
TipOffset = Annotated[Numbers, Quantity("e", "mm", low=0, high=30, usual=4, step=0.5,
    says="distance of the tip from the bar's axis")]
CentreError = Annotated[Numbers, Quantity("e_c", "mm", low=0.02, high=2, usual=0.2, step=0.02,
    says="distance of the tip above or below centre height")]
GrowthOffCentre = Annotated[Numbers, Quantity(r"\Delta_c", "mm", low=0, high=3, usual=0.007, shown="µm",
    says="how much larger than it was set the bore comes out")]
TipMass = Annotated[Numbers, Quantity("m_t", "kg", low=0, high=0.5, usual=0.003, shown="g",
    says="mass of head and insert at the bar's end")]
HolderStiffness = Annotated[Numbers, Quantity("k_t", "N/mm", low=1e3, high=1e6, usual=30e3, shown="N/µm", log=True,
    says="side force that shifts the holder by a unit of length")]
HolderRotation = Annotated[Numbers, Quantity(r"k_\theta", "N mm/rad", low=1e5, high=1e10, usual=2e7, log=True,
    says="moment that tilts the holder by one radian")]
Damping = Annotated[Numbers, Quantity(r"\zeta", "1", low=0.001, high=0.4, usual=0.03, log=True,
    says="share of critical damping: how fast the ringing dies away")]
StockTaper = Annotated[Numbers, Quantity(r"\Delta_0", "mm", low=0, high=0.3, usual=0.02, shown="µm", step=5,
    says="taper or unevenness of the bore before this cut, on diameter")]
Deflection = Annotated[Numbers, Quantity(r"\delta", "mm", low=0, high=1, usual=0.007, shown="µm",
    says="how far the end moves")]
ShearDeflection = Annotated[Numbers, Quantity(r"\delta_s", "mm", low=0, high=1, usual=0.0002, shown="µm",
    says="deflection from shear")]
HolderDeflection = Annotated[Numbers, Quantity(r"\delta_h", "mm", low=0, high=1, usual=0.004, shown="µm",
    says="deflection of the holder")]
WholeDeflection = Annotated[Numbers, Quantity(r"\delta_{tip}", "mm", low=0, high=1, usual=0.012, shown="µm",
    says="movement of the tip, bar and holder together")]
Frequency = Annotated[Numbers, Quantity("f_1", "Hz", low=10, high=50e3, usual=2000, says="natural frequency")]
SlendernessRatio = Annotated[Numbers, Quantity("L/d", "1", low=0.5, high=20, usual=4, says="stickout in bar diameters")]
KnownSlenderness = Annotated[Numbers, Quantity("(L/d)_1", "1", low=0.5, high=20, usual=4,
    says="stickout of the first bar, in diameters")]
OtherModulus = Annotated[Numbers, Quantity("E_2", "MPa", low=2e3, high=700e3, usual=600e3, shown="GPa",
    says="modulus of elasticity of the other bar")]
BoreAsSet = Annotated[Numbers, Quantity("D_0", "mm", low=2, high=200, usual=12, step=0.1,
    says="diameter to which the bar was set")]
CriticalStiffness = Annotated[Numbers, Quantity("K_{lim}", "N/mm", low=0.1, high=1e5, usual=100,
    says="cutting stiffness at which chatter begins")]
Overlap = Annotated[Numbers, Quantity(r"\mu", "1", low=0.05, high=1, usual=0.9,
    says="share of the chip's back that the last revolution left")]
DampingInTheCut = Annotated[Numbers, Quantity(r"\zeta_c", "1", low=0.001, high=5, usual=0.05, log=True,
    says="share of critical damping with the flank's rubbing")]
RubbingConstant = Annotated[Numbers, Quantity("C_i", "N/mm", low=5, high=700, usual=150, log=True,
    says="how hard the flank resists riding over the wave it left")]
EdgeLength = Annotated[Numbers, Quantity("b", "mm", low=0.01, high=3, usual=0.3, log=True,
    says="length of edge in the cut")]
Drop = Annotated[Numbers, Quantity("u_t", "mm", low=0, high=1, usual=0.02, shown="µm",
    says="how far the tip drops below centre")]
RadialPush = Annotated[Numbers, Quantity("u_r", "mm", low=0, high=1, usual=0.007, shown="µm",
    says="how far the tip is pushed off the wall")]
TipHeight = Annotated[Numbers, Quantity("e_t", "mm", low=-2, high=2, usual=0, step=0.05,
    says="height of the tip above the spindle axis; below zero it is too low")]
ClearanceAngle = Annotated[Numbers, Quantity(r"\alpha", "deg", low=1, high=20, usual=7, step=1,
    says="clearance angle of the tool")]
ClearanceInBore = Annotated[Numbers, Quantity(r"\alpha_e", "deg", low=0.5, high=40, usual=7,
    says="clearance angle in the cut")]
DialShare = Annotated[Numbers, Quantity("c_x", "1", low=0.1, high=1, usual=1,
    says="change of the radius over the step dialled")]
HeelHeight = Annotated[Numbers, Quantity("h_h", "mm", low=0.01, high=60, usual=1,
    says="distance below the tip at which a flat flank touches the bore")]
LeastGap = Annotated[Numbers, Quantity("g", "mm", low=0, high=5, usual=0.3, step=0.1,
    says="gap that must stay behind the bar's back")]
SmallestBore = Annotated[Numbers, Quantity("D_{min}", "mm", low=1, high=200, usual=10,
    says="smallest bore that a bar enters")]
BoreDepth = Annotated[Numbers, Quantity("l_b", "mm", low=0, high=250, usual=0, step=1,
    says="depth of the bore; 0 where it does not matter")]
