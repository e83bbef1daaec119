"""True running: both ends of a part true to each other."""

from .vectors import (
    TurnedRound,
    chance_run_out,
    face_run_out,
    marked_run_out,
    swing,
    tilt_run_out,
    turned_round,
    ways,
)
