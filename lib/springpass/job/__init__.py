"""The whole part: the shop and the part described, the plan, its sheet, and what came out."""

from .holdings import AUTO, BORE_FIRST, ORDERS, OUTSIDE_FIRST, Settings
from .planning import TENTH, Virtual, plan, virtual_parts
