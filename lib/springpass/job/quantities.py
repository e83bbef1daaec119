"""The whole job: the quantities of batches and rescue, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Counts, Numbers, Quantity

BatchCount = Annotated[Counts, Quantity("n", "1", low=2, high=50, usual=10, whole=True, step=1,
    says="parts to make, all alike")]
Interval = Annotated[Counts, Quantity("m", "1", low=1, high=50, usual=5, whole=True, step=1,
    says="parts from one measurement to the next; as many as the batch or more: none is measured after the first")]
LikeCuts = Annotated[Numbers, Quantity("2s", "mm", low=0, high=0.03, usual=0.003, shown="µm", step=0.5,
    says="how far like cuts at one dial setting differ on diameter, 19 times in 20")]
ReadingOff = Annotated[Numbers, Quantity("U", "mm", low=0, high=0.03, usual=0.002, shown="µm", step=0.5,
    says="uncertainty of one reading, k = 2")]
DialOff = Annotated[Numbers, Quantity("U_d", "mm", low=0, high=0.05, usual=0.003, shown="µm", step=0.5,
    says="how far a correction by the dial misses on diameter, 19 times in 20")]
WarmUp = Annotated[Numbers, Quantity("e_1", "mm", low=0, high=0.05, usual=0.005, shown="µm", step=1,
    says="movement of the spindle against the tool in its first hour, on radius, either way; zero: the lathe is warm")]
PartTime = Annotated[Numbers, Quantity("t_1", "s", low=30, high=7200, usual=600, shown="min", step=0.5,
    says="time from one part to the next")]
OffNear = Annotated[Numbers, Quantity("e_1", "mm", low=-0.6, high=0.6, usual=-0.021, shown="µm", step=1,
    says="measured size less nominal at the free end, on diameter; minus is smaller")]
OffMiddle = Annotated[Numbers, Quantity("e_2", "mm", low=-0.6, high=0.6, usual=-0.018, shown="µm", step=1,
    says="measured size less nominal half way along, on diameter")]
OffFar = Annotated[Numbers, Quantity("e_3", "mm", low=-0.6, high=0.6, usual=-0.012, shown="µm", step=1,
    says="measured size less nominal at the other end, on diameter")]
SeatLength = Annotated[Numbers, Quantity("l", "mm", low=2, high=150, usual=20, step=1,
    says="length of the seat or bore")]
WallBehind = Annotated[Numbers, Quantity("w", "mm", low=0.5, high=150, usual=20, log=True,
    says="metal behind the surface, on radius; at a seat half the diameter or more is a solid shaft")]
