"""Measuring: uncertainty budgets, gauges, and when a reading proves a part good."""

from .budgets import (
    SHAPES,
    Budget,
    Input,
    Line,
    MonteCarlo,
    as_input,
    budget,
    effective_dof,
    exact,
    normal,
    rectangle_uncertainty,
    rectangular,
    symbolic_sensitivities,
    trapezoid,
    trapezoid_uncertainty,
    triangle_uncertainty,
    triangular,
    u_shape_uncertainty,
    u_shaped,
)
