"""Quantities that more than one topic needs: symbol, unit, span, usual value, meaning. Each said once."""

from typing import Annotated

from .quantity import Counts, Numbers, Quantity

GRAVITY = 9.80665   # m/s², the standard value (CGPM 1901)

Ratio = Annotated[Numbers, Quantity("x", "1", low=0, high=1, usual=0.5, says="a plain ratio")]
BoreDiameter = Annotated[Numbers, Quantity("D", "mm", low=2, high=200, usual=12, step=0.1, says="diameter of the bore")]
WorkDiameter = Annotated[Numbers, Quantity("D", "mm", low=1, high=300, usual=20, step=0.1,
    says="outside diameter of the work")]
Tolerance = Annotated[Numbers, Quantity("T", "mm", low=0.002, high=0.3, usual=0.018, shown="µm", log=True,
    says="width of the tolerance band on diameter")]
BarDiameter = Annotated[Numbers, Quantity("d", "mm", low=1.5, high=60, usual=8, step=0.5,
    says="diameter of the bar's shank")]
NoseRadius = Annotated[Numbers, Quantity("r", "mm", low=0.02, high=1.6, usual=0.4, step=0.05,
    says="radius of the tool's nose")]
Modulus = Annotated[Numbers, Quantity("E", "MPa", low=2e3, high=700e3, usual=205e3, shown="GPa",
    says="modulus of elasticity")]
Poisson = Annotated[Numbers, Quantity(r"\nu", "1", low=0, high=0.49, usual=0.29,
    says="Poisson's ratio")]
Density = Annotated[Numbers, Quantity(r"\rho", "kg/m³", low=500, high=20000, usual=7850, says="density")]
LeastChip = Annotated[Numbers, Quantity(r"h_{min}", "mm", low=0.0005, high=0.03, usual=0.004, shown="µm", step=0.5,
    says="minimum chip thickness: below it the edge rubs")]
Feed = Annotated[Numbers, Quantity("f", "mm", low=0.01, high=0.8, usual=0.05, step=0.01, says="feed per revolution")]
CuttingSpeed = Annotated[Numbers, Quantity("v_c", "m/min", low=2, high=400, usual=40, step=1, says="cutting speed")]
SpindleSpeed = Annotated[Numbers, Quantity("n", "1/min", low=20, high=6000, usual=800, says="spindle speed")]
Force = Annotated[Numbers, Quantity("F", "N", low=0.1, high=5e3, usual=15, says="force")]
CuttingForce = Annotated[Numbers, Quantity("F_c", "N", low=0.1, high=5e3, usual=15,
    says="cutting force, along the speed")]
FeedForce = Annotated[Numbers, Quantity("F_f", "N", low=0.1, high=5e3, usual=4,
    says="feed force, along the work's axis")]
ChipThickness = Annotated[Numbers, Quantity("h", "mm", low=0.001, high=0.8, usual=0.03, log=True,
    says="uncut chip thickness")]
SpecificForce = Annotated[Numbers, Quantity("k_c", "MPa", low=200, high=2e4, usual=2500,
    says="cutting force per area of chip")]
Passes = Annotated[Counts, Quantity("n", "1", low=1, high=8, usual=2, whole=True, step=1,
    says="passes at one dial setting")]
Stiffness = Annotated[Numbers, Quantity("k", "N/mm", low=10, high=1e6, usual=2000,
    says="stiffness at the tip: force for a unit of movement")]
Area = Annotated[Numbers, Quantity("A", "mm²", low=1e-5, high=10, usual=0.005, says="area of the uncut chip")]
RingWall = Annotated[Numbers, Quantity("t", "mm", low=0.2, high=10, usual=1, step=0.1, says="wall of the ring")]
Growth = Annotated[Numbers, Quantity(r"\Delta L", "mm", low=-5, high=5, usual=0.003, shown="µm", says="change of size")]
Reading = Annotated[Numbers, Quantity("D_r", "mm", low=0.1, high=2000, usual=20, says="what the gauge reads")]
Interference = Annotated[Numbers, Quantity("i", "mm", low=0, high=0.2, usual=0.012, shown="µm", step=1,
    says="interference of bearing and seat, cold")]
Torque = Annotated[Numbers, Quantity("M", "N mm", low=1, high=1e6, usual=3000, shown="N m",
    says="torque at the spindle")]
