"""True running: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Numbers, Quantity

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
