"""Depth off a carriage stop, and gauge blocks."""

from .depth import (
    EACH_OTHER,
    GRADES,
    ONE_ZERO,
    Chain,
    Link,
    between_two,
    chain,
    depth_budget,
    from_each_other,
    from_one_zero,
    grade_limits,
    names_of,
    root_of_squares,
    shoulder_chain,
    shoulder_links,
    spread_of,
    stack_budget,
)
from .gauge_blocks import Split, gauge_set, gauge_stack, read_set, set_names, split
