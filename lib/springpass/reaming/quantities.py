"""Reaming: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity

HoleSize = Annotated[Numbers, Quantity("D", "mm", low=1, high=100, usual=10, step=0.5,
    says="nominal size of the reamed hole")]
HoleWall = Annotated[Numbers, Quantity("D_a", "mm", low=1.5, high=300, usual=20, step=0.5,
    says="outside diameter of the part around the hole")]
ReamingStock = Annotated[Numbers, Quantity("s", "mm", low=0.005, high=1.2, usual=0.15, log=True,
    says="stock left for the reamer, on diameter")]
ReamerTeeth = Annotated[Counts, Quantity("z", "1", low=2, high=16, usual=6, whole=True, step=1,
    says="number of teeth")]
LeadAngle = Annotated[Numbers, Quantity(r"\kappa", "deg", low=0.5, high=60, usual=45, step=0.5,
    says="angle between the cutting lead and the axis")]
EntryAngle = Annotated[Numbers, Quantity(r"\kappa_e", "deg", low=0.1, high=60, usual=45,
    says="steepest edge angle that the stock reaches")]
CornerRounding = Annotated[Numbers, Quantity("r_c", "mm", low=0.005, high=0.5, usual=0.05, log=True,
    says="rounding of the corner between lead and land")]
EdgeRounding = Annotated[Numbers, Quantity("r_n", "mm", low=0.002, high=0.06, usual=0.01, shown="µm", log=True,
    says="rounding of the cutting edge")]
EdgeFriction = Annotated[Numbers, Quantity(r"\mu", "1", low=0, high=0.95, usual=0.3, step=0.05,
    says="coefficient of friction between chip and edge")]
ReamerOffset = Annotated[Numbers, Quantity("e", "mm", low=0, high=0.1, usual=0.01, shown="µm", step=1,
    says="distance between the reamer's axis and the axis of rotation")]
ReamingFeed = Annotated[Numbers, Quantity("f", "mm", low=0.02, high=1, usual=0.15, step=0.01, says="feed per "
    "revolution")]
ReamingSpeed = Annotated[Numbers, Quantity("v_c", "m/min", low=1, high=30, usual=8, step=0.5,
    says="cutting speed of the reamer")]
SpeedNorm = Annotated[Numbers, Quantity("v_0", "m/min", low=8, high=8, usual=8,
    says="the reaming speed the estimates refer to")]
SpeedTrend = Annotated[Numbers, Quantity("q", "1", low=0, high=1, usual=0.3,
    says="how strongly the built-up edge depends on speed")]
ToothChip = Annotated[Numbers, Quantity("h", "mm", low=0, high=0.5, usual=0.015, shown="µm",
    says="chip thickness of one tooth, square to the lead")]
LeadWidth = Annotated[Numbers, Quantity("b", "mm", low=0.001, high=40, usual=0.1, says="length of lead in the cut")]
LandLength = Annotated[Numbers, Quantity("l_l", "mm", low=0.01, high=0.5, usual=0.15,
    says="length of land that presses on the bore")]
EdgeInContact = Annotated[Numbers, Quantity("l_e", "mm", low=0.01, high=40, usual=0.3,
    says="length of edge that presses on the metal")]
PushLength = Annotated[Numbers, Quantity(r"\lambda", "mm", low=0.002, high=0.2, usual=0.02, shown="µm",
    says="chip thickness whose cutting force equals the edge force")]
CuttingShare = Annotated[Numbers, Quantity("c", "1", low=0, high=1, usual=0.4,
    says="share of the torque that cuts; the rest burnishes")]
FollowShare = Annotated[Numbers, Quantity("w", "1", low=0, high=1, usual=0.5,
    says="share of the offset that the holder forces on the hole")]
Opening = Annotated[Numbers, Quantity(r"\Delta_e", "mm", low=0, high=0.2, usual=0.005, shown="µm",
    says="opening of the hole by the offset")]
BuildUp = Annotated[Numbers, Quantity("b_u", "mm", low=0, high=0.02, usual=0.003, shown="µm",
    says="height of the built-up edge")]
BuildUpOpening = Annotated[Numbers, Quantity(r"\Delta_b", "mm", low=0, high=0.1, usual=0.004, shown="µm",
    says="opening of the hole by the built-up edge")]
EdgeLineForce = Annotated[Numbers, Quantity("K_e", "N/mm", low=1, high=100, usual=40,
    says="edge force per unit length of a rubbing edge")]
LandPressure = Annotated[Numbers, Quantity("p", "MPa", low=0.05, high=300, usual=8,
    says="pressure of all lands, spread round the bore")]
SpringShare = Annotated[Numbers, Quantity("k_r", "1", low=0, high=1, usual=0.3,
    says="share of the burnished layer that springs back")]
BoreClosing = Annotated[Numbers, Quantity(r"\Delta_p", "mm", low=0, high=0.5, usual=0.001, shown="µm",
    says="closing of the bore when the pressure is gone")]
LayerClosing = Annotated[Numbers, Quantity(r"\Delta_s", "mm", low=0, high=0.1, usual=0.002, shown="µm",
    says="closing of the hole as the burnished layer springs back")]
MarkHeight = Annotated[Numbers, Quantity("R_t", "mm", low=0, high=0.1, usual=0.006, shown="µm",
    says="height of the marks in the bore before reaming")]
MarksLeft = Annotated[Numbers, Quantity("R_l", "mm", low=0, high=0.1, usual=0.001, shown="µm",
    says="height of the old marks left after reaming")]
DrillOversize = Annotated[Numbers, Quantity("o", "mm", low=0, high=0.5, usual=0.05,
    says="oversize of the drilled hole")]
ReamerDeviation = Annotated[Numbers, Quantity("A_r", "mm", low=-0.06, high=0.12, usual=0.009, shown="µm", step=1,
    says="the reamer as measured over two opposite teeth, from the nominal size")]
HoleReading = Annotated[Numbers, Quantity("A_h", "mm", low=-0.1, high=0.2, usual=0.012, shown="µm", step=1,
    says="your finished hole as measured, from the nominal size")]
PartWall = Annotated[Numbers, Quantity("t", "mm", low=0.5, high=60, usual=5, log=True,
    says="wall around the hole")]
BarShare = Annotated[Numbers, Quantity("d/D", "1", low=0.25, high=0.85, usual=0.65, step=0.05,
    says="bar diameter as a share of the bore")]
DrillForReaming = Annotated[Numbers, Quantity("d_b", "mm", low=0.5, high=100, usual=9.75, says="drill before reaming")]
