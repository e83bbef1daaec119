"""The lathe itself: its own taper and run-out, tool height, small moves, warm-up."""

from .collars import (
    CENTRES,
    CHUCK,
    Collars,
    Found,
    collar_bending,
    collar_taper,
    end_difference,
    foot_lift,
    headstock_move,
    lathe_angle,
    two_collars,
)
from .small_moves import (
    BOTH,
    COMPOUND,
    DIAL,
    INDICATOR,
    WAYS,
    Move,
    Winding,
    move,
    set_over_angle,
    set_over_step,
    slip_step,
    winding,
)
from .tailstock import OffCentre, height_growth, off_centre, offset_taper
from .test_bar import (
    BarFound,
    NoseRunOut,
    axis_reading,
    bar_in_spindle,
    bar_runout,
    bar_taper,
    nose_runout,
    offset_from_taper,
)
from .tool_height import (
    IN_BORE,
    OUTSIDE,
    OWN,
    ROUND,
    SHAPES,
    SQUARE,
    Height,
    InBore,
    bore_for_point,
    clearance_outside,
    in_bore,
    outline,
    rake_in_bore,
    rake_outside,
    smallest_bore_for,
    step_got,
    tip_height,
)
from .warm_up import WarmUp, calm_after, drift_after, fit, wait
