"""Boring bars: how far they deflect, what a spring pass leaves, when they chatter, how far they may stick out."""

from .bending import (
    bar_deflection,
    bar_materials,
    bore_cut,
    compliance,
    equal_slenderness,
    make_bar,
    spring_passes,
    stiffness_by_slenderness,
    tip_deflection,
)
from .bore_room import BoreRoom, bore_room
from .cut_sound import CutSound, hear
from .holder import HolderFit, holder_from_weights, holder_springs, holders
from .samples import force_factor, smooth_passes
from .stickout import (
    Change,
    Reason,
    Setup,
    StickoutCheck,
    chances,
    chatter_depths,
    check_stickout,
    cuts_that_hold,
    deepest_cut,
    longest_stickout,
    slimmest_bar,
    what_helps,
)
from .vibration import natural_frequency
