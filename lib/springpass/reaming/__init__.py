"""Reaming: which teeth cut, what size the hole comes out, and your own log of reamed holes."""

from .teeth import (
    CornerChip,
    Pattern,
    ReamerLimits,
    TeethCutting,
    checked_teeth,
    corner_chip,
    cutting_share,
    edge_cutting,
    edge_in_contact,
    entry_angle,
    lead_chip,
    lead_width,
    least_chip,
    least_chip_stagnation,
    reamer_limits,
    teeth_cutting,
    tooth_chip,
    tooth_pattern,
    which_holes,
)
