"""Stops: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity

StackLength = Annotated[Numbers, Quantity("L", "mm", low=0.5, high=500, usual=32, step=0.001,
    says="length to build up")]
WarmerBy = Annotated[Numbers, Quantity(r"\Delta T", "K", low=-20, high=60, usual=0, step=0.5,
    says="how much warmer it is than the other")]
ZeroSpread = Annotated[Numbers, Quantity("z", "mm", low=0.001, high=0.1, usual=0.01, shown="µm", log=True,
    says="how far a touch-off may be out, plus or minus")]
StopSpread = Annotated[Numbers, Quantity("s", "mm", low=0.001, high=0.1, usual=0.008, shown="µm", log=True,
    says="how far a stop may be out, plus or minus")]
ShoulderCount = Annotated[Counts, Quantity("n", "1", low=1, high=8, usual=4, whole=True,
    says="shoulders, counted from the face")]
LengthSpread = Annotated[Numbers, Quantity("e", "mm", low=0, high=0.5, usual=0.013, shown="µm",
    says="how far a length may be out, plus or minus")]
ShopRise = Annotated[Numbers, Quantity("T", "K", low=-15, high=20, usual=2, step=0.5,
    says="how far the shop is above 20 °C")]
