"""True running: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity

RunOut = Annotated[Numbers, Quantity("t", "mm", low=0, high=2, usual=0.02, shown="µm",
    says="run-out: full swing of the indicator over one revolution")]
FirstRunOut = Annotated[Numbers, Quantity("t_1", "mm", low=0, high=0.5, usual=0.03, shown="µm", step=1,
    says="run-out of the first cause alone")]
SecondRunOut = Annotated[Numbers, Quantity("t_2", "mm", low=0, high=0.5, usual=0.02, shown="µm", step=1,
    says="run-out of the second cause alone")]
Eccentricity = Annotated[Numbers, Quantity("e", "mm", low=0, high=1, usual=0.01, shown="µm", step=1,
    says="distance between two axes")]
MarkAngle = Annotated[Numbers, Quantity(r"\varphi", "deg", low=0, high=180, usual=180, step=5,
    says="angle between the two high spots")]
AxisTilt = Annotated[Numbers, Quantity(r"\vartheta", "1", low=0, high=0.02, usual=1e-4, shown="µm/m", step=10,
    says="angle between the two axes")]
EndDistance = Annotated[Numbers, Quantity("L", "mm", low=0, high=300, usual=60, step=1,
    says="distance from the jaws to the end that is turned now")]
FaceDiameter = Annotated[Numbers, Quantity("D", "mm", low=1, high=300, usual=26, step=0.5,
    says="diameter at which the indicator stands on the face")]
StartRunOut = Annotated[Numbers, Quantity("t_0", "mm", low=0.01, high=3, usual=0.5, step=0.01,
    says="run-out before the first move")]
WantedRunOut = Annotated[Numbers, Quantity("t_w", "mm", low=0.001, high=0.5, usual=0.02, shown="µm", log=True,
    says="run-out that is allowed")]
ShareLeft = Annotated[Numbers, Quantity("q", "1", low=0.02, high=0.95, usual=0.5, step=0.05,
    says="share of the run-out that a move leaves")]
MovesNeeded = Annotated[Numbers, Quantity("n", "1", low=0, high=500, usual=6, says="moves until it runs true")]
HighReading = Annotated[Numbers, Quantity("h_1", "mm", low=-3, high=3, usual=0.12, says="reading at one jaw")]
LowReading = Annotated[Numbers, Quantity("h_3", "mm", low=-3, high=3, usual=0.02,
    says="reading at the jaw straight opposite")]
JawMove = Annotated[Numbers, Quantity("m", "mm", low=-3, high=3, usual=0.05, says="how far a jaw is moved")]
CentreRunOut = Annotated[Numbers, Quantity("t_c", "mm", low=0, high=0.2, usual=0.01, shown="µm", step=1,
    says="run-out of the headstock's centre")]
PlaceFromTail = Annotated[Numbers, Quantity("s", "mm", low=0, high=400, usual=70, step=1,
    says="distance of the place turned from the tailstock's centre")]
CentreDistance = Annotated[Numbers, Quantity("L", "mm", low=10, high=400, usual=85, step=1,
    says="length between the centres")]
TurnedDiameter = Annotated[Numbers, Quantity("d", "mm", low=2, high=200, usual=20, step=0.5,
    says="diameter that is turned")]
DogRadius = Annotated[Numbers, Quantity("r_d", "mm", low=5, high=200, usual=35, step=1,
    says="distance of the driving pin from the axis")]
DogPull = Annotated[Numbers, Quantity("F_d", "N", low=0, high=5e3, usual=60,
    says="side pull of a dog with one tail")]
MandrelTaper = Annotated[Numbers, Quantity("c", "1", low=1e-4, high=0.02, usual=5e-4, shown="µm/mm", step=0.01,
    says="growth of the mandrel's diameter along its length")]
MandrelBore = Annotated[Numbers, Quantity("D", "mm", low=5, high=100, usual=20, step=1,
    says="bore that sits on the mandrel")]
SmallEnd = Annotated[Numbers, Quantity("d_0", "mm", low=4, high=100, usual=19.987,
    says="diameter of the mandrel at its small end")]
SeatPlace = Annotated[Numbers, Quantity("x", "mm", low=-500, high=500, usual=26,
    says="distance from the small end to where the bore first touches")]
BushLength = Annotated[Numbers, Quantity("l", "mm", low=3, high=150, usual=25, step=1, says="length of the bore")]
DrivenOn = Annotated[Numbers, Quantity("y", "mm", low=0, high=60, usual=15, step=1,
    says="how far the work is pressed on beyond the first touch")]
Lobes = Annotated[Counts, Quantity("n", "1", low=2, high=12, usual=3, whole=True, step=1,
    says="lobes round the journal")]
Vee = Annotated[Numbers, Quantity(r"\alpha", "deg", low=60, high=120, usual=90, step=1,
    says="angle between the sides of the vee")]
VeeRise = Annotated[Numbers, Quantity("K", "1", low=-5, high=5, usual=1,
    says="rise of the axis in the vee, in lobe heights on radius")]
OuterSwing = Annotated[Numbers, Quantity("f_1", "mm", low=0, high=1, usual=0.016, shown="µm",
    says="swing of the face at the outer diameter")]
InnerSwing = Annotated[Numbers, Quantity("f_2", "mm", low=0, high=1, usual=0.011, shown="µm",
    says="swing of the face at the inner diameter")]
OuterDiameter = Annotated[Numbers, Quantity("D_1", "mm", low=2, high=300, usual=50,
    says="outer diameter of the two readings")]
InnerDiameter = Annotated[Numbers, Quantity("D_2", "mm", low=1, high=290, usual=25,
    says="inner diameter of the two readings")]
AxialSwing = Annotated[Numbers, Quantity("c_a", "mm", low=-1, high=1, usual=0.006, shown="µm",
    says="swing that is the same at every diameter: the spindle's movement along its axis")]
