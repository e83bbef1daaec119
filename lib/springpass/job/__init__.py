"""The whole part: the shop and the part described, the plan, its sheet, and what came out."""

from .planning import TENTH, Virtual, plan, virtual_parts
from .setups import AUTO, BORE_FIRST, ORDERS, OUTSIDE_FIRST, Settings
