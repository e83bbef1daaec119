"""Between centres and on a mandrel: what a centre, a dog and a tapered mandrel add to the run-out.

Places are counted from the tailstock's centre, whose axis is taken as the truth; mm, N, MPa.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import fits
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, positive
from ..core.shared import CuttingForce
from ..core.spread import Likely, between, likely, odds, sample
from ..fits import pressing
from ..workholding.quantities import HeadCentreStiffness
from .quantities import (
    BushLength,
    CentreDistance,
    CentreRunOut,
    DogPull,
    DogRadius,
    DrivenOn,
    MandrelBore,
    MandrelTaper,
    PlaceFromTail,
    RunOut,
    SeatPlace,
    SmallEnd,
    TurnedDiameter,
)
from .vectors import marked_run_out

TABLE = "true_running_facts"
TRUED, IN_TAPER = "headstock centre trued in place", "headstock centre put into its taper"
HEADS = {"trued in place": TRUED, "put into its taper": IN_TAPER}
TAILS = {"dead": "dead tailstock centre", "live": "live tailstock centre"}
HOLES = {"lapped or scraped": "centre hole lapped or scraped out of round",
    "as drilled": "centre hole as drilled out of round"}
ONE_TAIL, TWO_TAILS = "one tail", "two tails, even pull"
DOGS = (TWO_TAILS, ONE_TAIL)
BUSHES = {"bearing bronze C93200 / SAE 660": "bronze in steel oiled", "carbon steel C45 / 1045": "steel oiled",
    "aluminium 6082": "aluminium on steel oiled"}
MANDREL = "bearing steel 100Cr6 / 52100"


# ---- between centres ------------------------------------------------------------------------------------------------


@formula(source="plane geometry: an axis that swings about the tailstock's centre", basis="computed",
    holds="work stiff, tailstock's centre true")
def carried_run_out(centre: CentreRunOut, place: PlaceFromTail, length: CentreDistance) -> RunOut:
    """Run-out that a headstock centre leaves at a place: all of it at its own end, none at the other."""
    return centre * place / length


@formula(source="moments about the axis: driving pin against the cut", basis="computed",
    holds="one pin, no friction at the centres")
def dog_pull(cutting_force: CuttingForce, diameter: TurnedDiameter, dog_radius: DogRadius) -> DogPull:
    """Side pull of a dog with one tail: the cut's moment over the pin's lever."""
    return cutting_force * diameter / (2 * dog_radius)


@formula(source="a spring under a force that turns with the work: the axis is shifted the same way all round",
    holds="dog at the headstock's end, stiff work, light dead weight", basis="computed")
def dog_run_out(pull: DogPull, head_stiffness: HeadCentreStiffness, place: PlaceFromTail,
        length: CentreDistance) -> RunOut:
    """Run-out to the centres that a one-tailed dog leaves, because its pull turns with the work."""
    return 2 * pull / head_stiffness * place / length


@dataclass(frozen=True)
class BetweenCentres:
    """What each cause leaves between two ends that are turned one after the other between centres; run-out in mm."""

    run_out: Likely              # of one end to the other, at the driven end
    parts: tuple[tuple[str, Likely], ...]
    pull: float                  # of the dog, N
    samples: np.ndarray


def between_centres(head: str = "trued in place", tail: str = "dead", hole: str = "lapped or scraped",
        dog: str = TWO_TAILS, cutting_force: float = 100.0, diameter: float = 20.0, dog_radius: float = 35.0,
        place: float = 70.0, length: float = 85.0, head_run_out: float | None = None) -> BetweenCentres:
    """Run-out between two ends turned one after the other between the same centres, with its 90 % range.

    place: from the tailstock's centre to the cut; head_run_out: the headstock centre's run-out as it was read, mm.
    Each cause points where it likes; what a centre hole is out of round is counted in full, the worst case. Raises
    Refused for a choice or a length that cannot be.
    """
    for name, given, known in (("headstock's centre", head, HEADS), ("tailstock's centre", tail, TAILS),
            ("centre hole", hole, HOLES), ("dog", dog, DOGS)):
        if given not in known:
            raise Refused(f"“{given}” is no {name} that is known here. Choose one of: {', '.join(known)}.")
    length = positive(length, "length between the centres")
    if not 0 <= positive(place, "place of the cut", zero=True) <= length:
        raise Refused(f"The cut lies {place:g} mm from the tailstock's centre, but the work is only {length:g} mm "
            "long. Bring the place inside the work.")
    facts = {name: tables.fact(TABLE, what=what).range for name, what in
        (("head", HEADS[head]), ("tail", TAILS[tail]), ("hole", HOLES[hole]))}
    if head_run_out is not None:
        facts["head"] = between(*[positive(head_run_out, "run-out of the headstock's centre", zero=True)] * 2)
    stiff = tables.fact("workholding_stiffness", what="headstock centre").range
    drawn = sample(head=facts["head"], tail=facts["tail"], hole=facts["hole"], stiff=stiff,
        one=between(0, 180), two=between(0, 180), three=between(0, 180))
    pull = float(dog_pull(positive(cutting_force, "cutting force", "N", zero=True), positive(diameter, "diameter"),
        positive(dog_radius, "the pin's lever"))) if dog == ONE_TAIL else 0.0
    swings = {"headstock centre": carried_run_out(drawn["head"], place, length),
        "tailstock centre": carried_run_out(drawn["tail"], length - place, length), "centre holes": drawn["hole"],
        "dog": dog_run_out(pull, drawn["stiff"], place, length)}
    total = np.asarray(swings["headstock centre"])
    for name, angle in (("tailstock centre", "one"), ("centre holes", "two"), ("dog", "three")):
        total = np.asarray(marked_run_out(total, swings[name], drawn[angle]))
    return BetweenCentres(likely(total), tuple((name, likely(np.asarray(one))) for name, one in swings.items()),
        pull, total)


# ---- on a tapered mandrel -------------------------------------------------------------------------------------------


@formula(source="plane geometry: a straight taper", basis="computed", holds="round bore, straight taper, hand pressure")
def seat_place(bore: MandrelBore, small_end: SmallEnd, taper: MandrelTaper) -> SeatPlace:
    """How far from the mandrel's small end a bore first touches."""
    return (bore - small_end) / taper


@formula(source="plane geometry: a cylinder on a cone, held at one end", basis="computed",
    holds="pressed on less far than the bore is long; the free end may lean against one side")
def lean_run_out(length: BushLength, driven: DrivenOn, taper: MandrelTaper) -> RunOut:
    """Run-out that is left possible at the loose end, where the bore stands clear of the mandrel."""
    return taper * np.maximum(length - driven, 0)


@dataclass(frozen=True)
class OnMandrel:
    """A bush pressed on to a tapered mandrel; mm, MPa, N, N mm."""

    first: float                 # from the small end: where the smallest allowed bore touches
    last: float                  # and the largest
    here: float                  # this bore
    bore: float
    small_end: float
    contact: float               # length along which it sits
    lean: float                  # run-out possible at the loose end
    pressure: float              # mean over the contact
    torque: Likely               # it drives before it slips
    chance: float                # that this is enough for the cut
    needed: float                # the cut's torque
    stress: float                # tension round the bore at the tight end
    bears: float                 # what this metal stands before it stays stretched
    swell: float                 # growth of the outside at the tight end, gone again once pressed off


def on_mandrel(nominal: float = 20.0, tolerance: str = "H7", share: float = 0.5, outside: float = 32.0,
        length: float = 25.0, driven: float = 15.0, material: str = "bearing bronze C93200 / SAE 660",
        cutting_force: float = 100.0, small_end: float | None = None, taper: float | None = None) -> OnMandrel:
    """Where a bore sits on a solid mandrel and how well it is driven, pressed on by `driven` beyond the first touch.

    share: where in its tolerance the bore lies, 0 smallest to 1 largest. The mandrel is steel; its small end is
    under the nominal size by the table unless given. Each slice of the bush is taken as a thick ring. Raises Refused.
    """
    size = fits.limits(nominal, tolerance)
    if not fits.iso_limits.read_code(size.code).hole:
        raise Refused(f"A bore's class has a capital letter, such as H7; it was {tolerance}.")
    under = tables.fact(TABLE, what=f"mandrel under size at its small end {'to' if nominal <= 25 else 'over'} 25 mm")
    small = nominal - under.value if small_end is None else positive(small_end, "small end of the mandrel")
    cone = tables.fact(TABLE, what="taper of a solid mandrel").value if taper is None else positive(taper, "taper", "1")
    length, driven = positive(length, "length of the bore"), positive(driven, "way pressed on", zero=True)
    bore = nominal + size.lower + share * (size.upper - size.lower)
    if positive(outside, "outside diameter") <= bore:
        raise Refused(f"The outside, {outside:g} mm, must be larger than the bore, {bore:g} mm. Choose a thicker "
            "wall.")
    if material not in BUSHES:
        raise Refused(f"No grip is known for “{material}” on a mandrel. Choose one of: {', '.join(BUSHES)}.")
    contact = min(length, driven)
    tight, loose = cone * driven, cone * (driven - contact)
    bush, core = ([tables.fact("materials", material=name, property=what).value for what in ("E", "nu")] for name in
        (material, MANDREL))

    def squeeze(by: float) -> float:
        return float(pressing.grip_pressure(by, bore, outside, 0.0, *bush, *core))

    mean, most = squeeze((tight + loose) / 2), squeeze(tight)
    friction = tables.fact("press_friction", pair=BUSHES[material]).range
    drawn = sample(friction=friction)["friction"]
    torques = np.asarray(pressing.holding_torque(mean, drawn, bore, contact))
    needed = positive(cutting_force, "cutting force", "N", zero=True) * outside / 2
    first, last, here = (float(seat_place(at, small, cone)) for at in
        (nominal + size.lower, nominal + size.upper, bore))
    return OnMandrel(first, last, here, bore, small, contact, float(lean_run_out(length, driven, cone)), mean,
        likely(torques), odds(torques >= needed), needed,
        float(pressing.hub_stress(most, bore, outside)), tables.fact("workholding_yield", material=material).value,
        float(pressing.outside_growth(most, bore, outside, bush[0])))
