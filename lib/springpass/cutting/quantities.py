"""Cutting: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Numbers, Quantity

DepthOfCut = Annotated[Numbers, Quantity("a", "mm", low=0.002, high=3, usual=0.1, log=True,
    says="depth of cut, on radius")]
Power = Annotated[Numbers, Quantity("P", "kW", low=0.001, high=20, usual=0.3, says="power at the edge")]
UnitChip = Annotated[Numbers, Quantity("h_0", "mm", low=1, high=1, usual=1, says="the 1 mm chip the tables refer to")]
MainForceValue = Annotated[Numbers, Quantity("k_{c1.1}", "MPa", low=300, high=4000, usual=1500,
    says="specific cutting force of a 1 mm by 1 mm chip")]
MainForceExponent = Annotated[Numbers, Quantity("m_c", "1", low=0.05, high=0.5, usual=0.22,
    says="how the specific force rises as the chip gets thinner")]
Roughness = Annotated[Numbers, Quantity("R_t", "mm", low=0, high=0.1, usual=0.001, shown="µm",
    says="height of the feed marks")]
MeanRoughness = Annotated[Numbers, Quantity("R_a", "mm", low=0, high=0.02, usual=0.0003, shown="µm",
    says="mean roughness")]
TurnLength = Annotated[Numbers, Quantity("l", "mm", low=1, high=400, usual=40, step=1,
    says="length of the cut along the work")]
CutTime = Annotated[Numbers, Quantity("t_c", "s", low=0.1, high=36000, usual=60, says="time in cut")]
RemovalRate = Annotated[Numbers, Quantity("Q", "mm³/s", low=0.001, high=2000, usual=20,
    says="metal removed in a second")]
MotorPower = Annotated[Numbers, Quantity("P_m", "kW", low=0.1, high=15, usual=0.75, log=True,
    says="power on the motor's nameplate")]
Efficiency = Annotated[Numbers, Quantity(r"\eta", "1", low=0.3, high=1, usual=0.75, shown="%",
    says="share of the motor's power that reaches the edge")]
WantedMark = Annotated[Numbers, Quantity("R_w", "mm", low=0.0001, high=0.05, usual=0.0063, shown="µm", log=True,
    says="height of marks that is allowed")]
MinorAngle = Annotated[Numbers, Quantity(r"\kappa'", "deg", low=1, high=60, usual=15, step=1,
    says="angle between minor edge and finished surface")]
EdgeRadius = Annotated[Numbers, Quantity("r_n", "mm", low=0.001, high=0.1, usual=0.01, shown="µm", log=True,
    says="rounding of the cutting edge itself")]
LeastChipRatio = Annotated[Numbers, Quantity("c_h", "1", low=0.05, high=0.6, usual=0.3, step=0.05,
    says="minimum chip thickness over edge radius")]
ThinningRatio = Annotated[Numbers, Quantity("r_c", "1", low=0.15, high=1, usual=0.45,
    says="uncut thickness over chip thickness")]
RakeAngle = Annotated[Numbers, Quantity(r"\gamma", "deg", low=-20, high=35, usual=8, step=1,
    says="rake of the tool's face")]
ChipShearAngle = Annotated[Numbers, Quantity(r"\phi", "deg", low=3, high=60, usual=25,
    says="angle of the plane on which the chip shears off")]
ShearStrain = Annotated[Numbers, Quantity(r"\varepsilon_s", "1", low=0.5, high=12, usual=2.4,
    says="shear strain of the chip")]
CutChipThickness = Annotated[Numbers, Quantity("h_{ch}", "mm", low=0.002, high=3, usual=0.15, log=True,
    says="thickness of the chip that comes off")]
CurlRadius = Annotated[Numbers, Quantity("R_{ch}", "mm", low=0.3, high=30, usual=3, log=True,
    says="radius to which the chip is curled")]
CurlStrain = Annotated[Numbers, Quantity(r"\varepsilon_b", "1", low=0, high=1, usual=0.03, shown="%",
    says="strain of the chip's skin as it curls")]
StringLength = Annotated[Numbers, Quantity("l_{ch}", "mm", low=1, high=1e6, usual=3000, shown="m",
    says="length of the chip if it never breaks")]
ChipSlenderness = Annotated[Numbers, Quantity("a/f", "1", low=0.01, high=300, usual=5,
    says="depth over feed: how flat the chip is")]
FlankLand = Annotated[Numbers, Quantity("V_B", "mm", low=0, high=2, usual=0.1, step=0.01,
    says="height of the land worn on the flank")]
EndLand = Annotated[Numbers, Quantity("V_{Be}", "mm", low=0.05, high=2, usual=0.3,
    says="flank land that ends the tool's life")]
ToolLife = Annotated[Numbers, Quantity("T", "s", low=10, high=1e6, usual=900, shown="min",
    says="time in the cut until the tool is worn")]
TableSpeed = Annotated[Numbers, Quantity("v_0", "m/min", low=2, high=1000, usual=60,
    says="cutting speed of the table, for which the tool life holds")]
TaylorExponent = Annotated[Numbers, Quantity("n", "1", low=0.05, high=0.8, usual=0.25,
    says="Taylor's exponent: how steeply tool life falls with speed")]
WearRate = Annotated[Numbers, Quantity("w", "1", low=1e-10, high=1e-4, usual=1e-7, shown="µm/m",
    says="growth of the flank land for each unit of length cut")]
CutLength = Annotated[Numbers, Quantity("l_c", "mm", low=1, high=1e9, usual=40e3, shown="m",
    says="length of metal that passes the edge")]
ClearanceOfTool = Annotated[Numbers, Quantity(r"\alpha", "deg", low=1, high=30, usual=7, step=1,
    says="clearance angle of the tool's flank")]
SizeDrift = Annotated[Numbers, Quantity(r"\Delta D", "mm", low=0, high=1, usual=0.003, shown="µm",
    says="change of the size on diameter")]
