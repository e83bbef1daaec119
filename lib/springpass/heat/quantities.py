"""Heat: the quantities of this chapter, each with its symbol, unit, span, usual value and meaning."""

from typing import Annotated

from ..core.quantity import Numbers, Quantity, but
from ..core.shared import GRAVITY

Temperature = Annotated[Numbers, Quantity("T", "°C", low=-40, high=200, usual=20, step=0.5, says="temperature")]
SizeAtTwenty = Annotated[Numbers, Quantity("D", "mm", low=0.1, high=2000, usual=20, step=0.5, says="size at 20 °C")]
Expansion = Annotated[Numbers, Quantity(r"\alpha", "1/K", low=0, high=2e-4, usual=12e-6, shown="µm/(m K)",
    says="coefficient of thermal expansion: growth of each metre for each degree")]
GaugeExpansion = Annotated[Numbers, Quantity(r"\alpha_g", "1/K", low=0, high=2e-4, usual=11.5e-6, shown="µm/(m K)",
    says="coefficient of thermal expansion of the gauge")]
HoleExpansion = Annotated[Numbers, Quantity(r"\alpha_h", "1/K", low=0, high=2e-4, usual=23.4e-6, shown="µm/(m K)",
    says="coefficient of thermal expansion of the part with the hole")]
ShaftExpansion = Annotated[Numbers, Quantity(r"\alpha_s", "1/K", low=0, high=2e-4, usual=12e-6, shown="µm/(m K)",
    says="coefficient of thermal expansion of the part in the hole")]
Rise = Annotated[Numbers, Quantity(r"\Delta T", "K", low=-80, high=200, usual=10, step=0.5, says="rise in temperature")]
GaugeRise = Annotated[Numbers, Quantity(r"\Delta T_g", "K", low=-80, high=200, usual=0,
    says="how much warmer than 20 °C the gauge is")]
CoolRise = Annotated[Numbers, Quantity(r"\theta", "K", low=0.01, high=200, usual=10,
    says="how much warmer than its surroundings")]
StartRise = Annotated[Numbers, Quantity(r"\theta_0", "K", low=0.1, high=150, usual=25, step=1,
    says="how much warmer at the start")]
ReadingError = Annotated[Numbers, Quantity("e", "mm", low=-5, high=5, usual=0.001, shown="µm",
    says="reading less the size at 20 °C")]
Clearance = Annotated[Numbers, Quantity("c", "mm", low=-0.3, high=0.5, usual=0.02, shown="µm", step=1,
    says="clearance on diameter; less than zero is interference")]
ClearanceAtTwenty = Annotated[Numbers, Quantity("c_{20}", "mm", low=-0.3, high=0.5, usual=0.02, shown="µm", step=1,
    says="clearance on diameter at 20 °C; less than zero is interference")]
EasyPlay = Annotated[Numbers, Quantity("j", "mm", low=0, high=0.1, usual=0.015, shown="µm", step=1,
    says="clearance on diameter that lets it drop in")]
ExpansionDoubt = Annotated[Numbers, Quantity(r"u_\alpha", "1/K", low=0, high=2e-5, usual=5e-7, shown="µm/(m K)",
    says="standard uncertainty of the difference of the two coefficients")]
TemperatureDoubt = Annotated[Numbers, Quantity("u_T", "K", low=0, high=10, usual=0.5, step=0.1,
    says="standard uncertainty of the temperature")]
DifferenceDoubt = Annotated[Numbers, Quantity(r"u_\delta", "K", low=0, high=10, usual=0.3, step=0.1,
    says="standard uncertainty of the difference between part and gauge")]
SizeDoubt = Annotated[Numbers, Quantity("u_D", "mm", low=0, high=1, usual=0.0003, shown="µm",
    says="standard uncertainty of the size")]
SpecificHeat = Annotated[Numbers, Quantity("c_p", "J/(kg K)", low=100, high=2000, usual=470,
    says="specific heat: for each kilogram and degree")]
Conductivity = Annotated[Numbers, Quantity("k", "W/(m K)", low=0.1, high=420, usual=48,
    says="thermal conductivity of the material")]
ThermalNumber = Annotated[Numbers, Quantity("x", "1", low=0.01, high=300, usual=1, log=True,
    says="heat carried by the chip over heat that runs ahead into the work")]
ShearAngle = Annotated[Numbers, Quantity(r"\varphi", "deg", low=10, high=40, usual=22, step=1,
    says="angle of the shear plane")]
ShearPlaneShare = Annotated[Numbers, Quantity(r"\beta", "1", low=0, high=1, usual=0.5,
    says="share of the shear plane's heat that enters the work")]
ShearPowerShare = Annotated[Numbers, Quantity("s", "1", low=0, high=1, usual=0.7,
    says="share of the power spent on the shear plane")]
FlankPowerShare = Annotated[Numbers, Quantity("w", "1", low=0, high=0.5, usual=0.06,
    says="share of the power rubbed off at the flank")]
HeatShare = Annotated[Numbers, Quantity(r"\Gamma", "1", low=0, high=1, usual=0.4, shown="%",
    says="share of the cutting power that heats the work")]
RemovedVolume = Annotated[Numbers, Quantity("V_c", "mm³", low=0.1, high=1e5, usual=280, says="metal cut away")]
PartVolume = Annotated[Numbers, Quantity("V", "mm³", low=10, high=1e7, usual=4500, says="metal in the part")]
RayleighNumber = Annotated[Numbers, Quantity(r"\mathrm{Ra}", "1", low=1e-2, high=1e9, usual=3000, log=True,
    says="Rayleigh number: what lifts warm air over what slows it")]
ReynoldsNumber = Annotated[Numbers, Quantity(r"\mathrm{Re}", "1", low=1, high=1e6, usual=1000, log=True,
    says="Reynolds number: what drives moving air over what slows it")]
PrandtlNumber = Annotated[Numbers, Quantity(r"\mathrm{Pr}", "1", low=0.5, high=1, usual=0.73,
    says="Prandtl number of air")]
NusseltNumber = Annotated[Numbers, Quantity(r"\mathrm{Nu}", "1", low=0.3, high=1e4, usual=4,
    says="Nusselt number: heat carried off over what still air conducts")]
AirViscosity = Annotated[Numbers, Quantity(r"\nu", "mm²/s", low=8, high=30, usual=16.1,
    says="kinematic viscosity of air")]
AirConductivity = Annotated[Numbers, Quantity("k_a", "W/(m K)", low=0.02, high=0.04, usual=0.0259,
    says="thermal conductivity of air")]
FilmTemperature = Annotated[Numbers, Quantity("T_f", "K", low=240, high=430, usual=303,
    says="mean of surface and air, counted from absolute zero")]
Surface = Annotated[Numbers, Quantity("T_s", "K", low=240, high=480, usual=313,
    says="the surface, counted from absolute zero")]
Surroundings = Annotated[Numbers, Quantity("T_a", "K", low=240, high=330, usual=293,
    says="the surroundings, counted from absolute zero")]
Gravity = Annotated[Numbers, Quantity("g", "mm/s²", low=1e3 * GRAVITY, high=1e3 * GRAVITY,
    usual=1e3 * GRAVITY, says="acceleration of free fall")]
Stefan = Annotated[Numbers, Quantity(r"\sigma", "W/(m² K⁴)", low=5.670374e-8, high=5.670374e-8, usual=5.670374e-8,
    says="Stefan-Boltzmann constant")]
Emissivity = Annotated[Numbers, Quantity(r"\varepsilon", "1", low=0.02, high=1, usual=0.24, step=0.01,
    says="emissivity: radiation as a share of a black body's")]
AirSpeed = Annotated[Numbers, Quantity("v", "m/s", low=0, high=30, usual=0, step=0.1,
    says="speed of the air over the part")]
SurfaceCoefficient = Annotated[Numbers, Quantity("h", "W/(m² K)", low=1, high=5000, usual=10, log=True,
    says="heat transfer coefficient: for each square metre and degree")]
SkinCoefficient = Annotated[Numbers, but(SurfaceCoefficient, symbol="h_0",
    says="heat transfer coefficient at the skin")]
ThicknessForHeat = Annotated[Numbers, Quantity("V/A", "mm", low=0.1, high=100, usual=3,
    says="volume over cooling surface")]
BiotNumber = Annotated[Numbers, Quantity(r"\mathrm{Bi}", "1", low=0, high=1e3, usual=1e-3,
    says="Biot number: resistance to heat inside the part over that at its skin")]
TimeConstant = Annotated[Numbers, Quantity(r"\tau", "s", low=0.1, high=1e6, usual=1000,
    says="time to lose 63 % at one coefficient")]
Wait = Annotated[Numbers, Quantity("t", "s", low=0, high=1e7, usual=900, shown="min", says="time to wait")]
CoolExponent = Annotated[Numbers, Quantity("n", "1", low=0.01, high=0.5, usual=0.25,
    says="how the coefficient falls as the part cools")]
