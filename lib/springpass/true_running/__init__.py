"""True running: both ends of a part true to each other."""

from .centres import (
    BetweenCentres,
    OnMandrel,
    between_centres,
    carried_run_out,
    dog_pull,
    dog_run_out,
    lean_run_out,
    on_mandrel,
    seat_place,
)
from .four_jaws import (
    Move,
    Stand,
    advised,
    by_the_rule,
    follow,
    half_the_difference,
    moves_needed,
    read_moves,
)
from .seats import SeatByWay, seat_by_way, seat_limits
from .supports import Shown, shown, vee_rise
from .vectors import (
    TurnedRound,
    axial_swing,
    chance_run_out,
    face_run_out,
    marked_run_out,
    swing,
    tilt_run_out,
    turned_round,
    ways,
)
