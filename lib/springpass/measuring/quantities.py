"""Measuring: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity

LobedRadius = Annotated[Numbers, Quantity("R", "mm", low=1, high=100, usual=10, says="mean radius of the part")]
HalfSpread = Annotated[Numbers, Quantity("a", "mm", low=0.0001, high=0.1, usual=0.004, shown="µm", log=True,
    says="half the width within which a value lies")]
TopShare = Annotated[Numbers, Quantity(r"\beta", "1", low=0, high=1, usual=0.33,
    says="flat top of a trapezoid as a share of its base")]
StandardUncertainty = Annotated[Numbers, Quantity("u", "mm", low=0, high=0.2, usual=0.003, shown="µm",
    says="standard uncertainty")]
ReadingSpread = Annotated[Numbers, Quantity("s", "mm", low=0.0001, high=0.05, usual=0.002, shown="µm", log=True,
    says="standard deviation of one reading")]
ReadingCount = Annotated[Counts, Quantity("n", "1", low=1, high=50, usual=3, whole=True,
    says="readings that are averaged")]
AbbeOffset = Annotated[Numbers, Quantity("h", "mm", low=0, high=80, usual=0, step=1,
    says="distance from the scale to the line measured")]
TiltAngle = Annotated[Numbers, Quantity(r"\varphi", "deg", low=0, high=10, usual=1, step=0.1,
    says="how far the gauge stands askew")]
MeasuredLength = Annotated[Numbers, Quantity("L", "mm", low=0.5, high=200, usual=20, step=0.5,
    says="length or diameter measured")]
MeasuringError = Annotated[Numbers, Quantity("e", "mm", low=-1, high=1, usual=0.002, shown="µm",
    says="error of a reading")]
LobeHeight = Annotated[Numbers, Quantity("a", "mm", low=0, high=0.05, usual=0.003, shown="µm", step=0.5,
    says="how far a lobe stands above the mean radius")]
LobeCount = Annotated[Counts, Quantity("n", "1", low=2, high=12, usual=3, whole=True, says="lobes round the part")]
VeeAngle = Annotated[Numbers, Quantity(r"\alpha", "deg", low=30, high=150, usual=60,
    says="angle between the sides of a vee block")]
VeeGain = Annotated[Numbers, Quantity("K", "1", low=-5, high=5, usual=3,
    says="movement of an indicator over a vee, in lobe heights")]
ReadingAngle = Annotated[Numbers, Quantity(r"\theta", "deg", low=0, high=360, usual=0,
    says="direction in which the part is measured")]
MeanRange = Annotated[Numbers, Quantity(r"\overline{R}", "mm", low=0, high=1, usual=0.003, shown="µm",
    says="mean step from one reading to the next")]
RangeFactor = Annotated[Numbers, Quantity("d_2", "1", low=1, high=4, usual=1.128,
    says="mean range of so many readings over their standard deviation")]
ChartReach = Annotated[Numbers, Quantity("A", "mm", low=0, high=5, usual=0.008, shown="µm",
    says="distance of the control limits from the centre line")]
DriftAllowed = Annotated[Numbers, Quantity("d", "mm", low=-0.01, high=0.01, usual=0, shown="µm", step=0.1,
    says="change of the size from one part to the next that the chart allows for; minus where it gets smaller")]
