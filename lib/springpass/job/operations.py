"""A route run on the simulated workpiece: setup by setup, operation by operation; then the numbers to dial."""

from __future__ import annotations

from dataclasses import replace

from ..core import tables
from . import checks, drilled, outside
from .drafting import Draft
from .gripping import Grip, grip
from .machine import free_length, rule, slenderness
from .part import KNURL, RECESS, THREAD
from .results import BETWEEN_CENTRES, BY_HAND, CALLIPER, FOUR_JAWS, MANDREL, NEAR, Craft, Missing
from .sequence import cool, finish_all, inside_all, inside_finish, inside_rough, part_off
from .setups import OUTSIDE_FIRST, ROUGHED_FIRST, Route, Stage
from .workpiece import Outline


def run(route: Route, order: str) -> Draft:
    """Every operation of a route, as far as it is possible; what is not is said in `missing` and `cannot`."""
    made = _run(route, order, frozenset())
    wanting = {made.holdings[-1].end} if any(c.kind == "no centre hole" for c in made.cannot) else set()
    return _run(route, order, frozenset(wanting)) if wanting else made      # centred while the work is short, then


def _run(route: Route, order: str, centred: frozenset[str]) -> Draft:
    d = Draft.begin(route)
    d.order, d.holes_wait = (OUTSIDE_FIRST, False) if order == ROUGHED_FIRST else (order, True)
    d.wanted = centred
    _limits(d)
    d.sawn = part_sawn(route)
    for i, stage in enumerate(route.stages):
        d.ahead = route.stages[i + 1:]
        _stage(d, stage)
    late = next((s for s in route.stages if not s.between and s.rough and _waits(d, s)), None)
    if order == OUTSIDE_FIRST and late and any(s.between for s in route.stages):
        _stage(d, Stage(late.side, rough=True, finish=True, follows=True))
    _chamfers_left(d)
    last = d.operations[-1].holding if d.operations else 0
    d.holdings = d.holdings[:max(last, 1)]
    return d


def part_sawn(route: Route) -> float:
    """Length to which the blank is sawn first; 0 where it is used as it is."""
    whole = route.part.length + sum(route.spare)
    return round(whole, 1) if whole < route.part.blank.length - 1e-6 else 0.0


def _limits(d: Draft) -> None:
    """Does the work go into the lathe at all?"""
    lathe, blank = d.route.shop.lathe, d.route.part.blank
    if blank.diameter > lathe.swing.value:
        d.refuses("swing", "", blank.diameter, lathe.swing.value)
    if blank.length > lathe.between_centres.value + rule("jaw length"):
        d.refuses("too long", "", blank.length, lathe.between_centres.value)


# ---- holding the work -----------------------------------------------------------------------------


def _reach(d: Draft, stage: Stage) -> float:
    """How far the cuts of a stage go along the axis."""
    side, part = stage.side, d.route.part
    inward, face = 1.0 if side.end == NEAR else -1.0, _face_of(d, stage)
    places = [face + inward * 1.0]
    cuts = stage.rough or (stage.finish and (not stage.follows or any(d.open(s) for s in side.outs)))
    if side.outs and cuts:
        places.append(side.split)
    for s, z, into in outside.edges(d, side):
        if stage.finish:
            places.append(z + into * (s.chamfer + max(d.work.outside_by(z, into) - s.at(z) / 2, 0.0)))
    places += [g.end if side.end == NEAR else g.start for g in side.grooves if not g.inside]
    far = max(places) if side.end == NEAR else min(places)
    if stage.part_off:
        far = part.length + stage.parted_long + d.route.blade + rule("clear of the blade") - rule("clear of the jaws")
    elif not d.holdings and d.route.stub:
        far = (part.length + rule("parted long") + d.route.blade + rule("clear of the blade")
            - rule("clear of the jaws"))
    return far


def _face_of(d: Draft, stage: Stage) -> float:
    """Where a stage's free face stands when it is faced."""
    return 0.0 if stage.side.end == NEAR else d.route.part.length + stage.driven


def _target(d: Draft, stage: Stage) -> Outline:
    """The work as this stage leaves it."""
    work = d.work
    if stage.face:
        work = work.faced(stage.side.end, _face_of(d, stage))
    for s in stage.side.outs:
        work = work.turned(s.start, s.end, s.at(s.start) / 2, s.at(s.end) / 2)
    for s in stage.side.bores:
        work = work.bored(s.start, s.end, s.at(s.start) / 2, s.at(s.end) / 2)
    return work


def _stage(d: Draft, stage: Stage) -> None:
    side, end, part = stage.side, stage.side.end, d.route.part
    if stage.between:
        _between(d, stage)
        return
    whole = d.work
    d.work = _sawn(d, stage)
    reach = _reach(d, stage)
    turns_round = bool(d.holdings) and d.holdings[-1].end != end
    light = stage.lightly or (stage.follows and (not stage.rough or d.order == OUTSIDE_FIRST))
    held = grip(d.work, part, d.route.shop, end, reach, d.touched, light)
    if held is None:
        held = _otherwise(d, stage, reach, light)
        if held is None:
            d.work = whole
            return
    inner = bool(side.bores) and (stage.rough or stage.finish)
    out = [s for s in side.outs if d.open(s)] if stage.rough or stage.finish else []
    long = slenderness(d.work, end, held.edge) > free_length()
    if long and (stage.face or inner):
        short = _short(d, stage, held)
        if short is None:
            d.work = whole
            d.refuses("long to face", "", 2 * held.radius, abs(held.edge - (d.work.start if end == NEAR else
                d.work.end)))
            return
        grip_short, steady = short
        d.hold(end, grip_short, steady=steady)
        if steady is not None:
            d.edge = steady
        _saw(d, whole)
        _begin(d, turns_round)
        _faces(d, stage, True)
        if inner and d.order == OUTSIDE_FIRST and _waits(d, stage):
            if stage.rough and not d.holes_wait:
                inside_rough(d, stage)
        elif inner:
            inside_all(d, stage)
            inner = False
        if not out:
            return
        turns_round = False
        whole = d.work
        stage = replace(stage, face=False)
        held = grip(d.work, part, d.route.shop, end, reach, d.touched, light) or held
    slim = slenderness(_target(d, stage), end, held.edge) if out else 0.0
    centre = slim > free_length() or (slim > rule("long overhang") and not inner and _there(d, end))
    d.hold(end, held)
    d.weak += stage.lightly
    if stage.rough and stage.follows and any(part.surface(name).toleranced for name in d.finished):
        d.weak += 2          # what is finished is let go and gripped again for roughing
    _saw(d, whole)
    _begin(d, turns_round)
    _faces(d, stage, centre or _later(d, end))
    if centre:
        d.support = _centre(d, end)
    early = inner and not (d.order == OUTSIDE_FIRST and _waits(d, stage))
    if stage.rough:
        roughed = early or (inner and not d.holes_wait)
        if roughed and centre:
            inside_rough(d, stage)
        outside.rough(d, side)
        if roughed and not centre:
            inside_rough(d, stage)
        if early and any(s.between for s in d.route.stages):
            cool(d, [b for b in side.bores if b.toleranced])
            inside_finish(d, stage)
            _seat(d)
        for s in side.outs:
            if s.kind == KNURL:
                outside.finish(d, s)
                outside.knurl(d, s)
        if not stage.finish:
            _threads_early(d, stage)
    if stage.finish:
        finish_all(d, stage, inner, early)
    if stage.part_off:
        part_off(d, stage.parted_long)
    elif d.route.stub and stage is d.route.stages[0] and d.edge > part.length and d.free():
        part_off(d, rule("parted long"), True)


def _threads_early(d: Draft, stage: Stage) -> None:
    """Threads beside a seat of the other side that is finished before this side is: cut while the seat has stock."""
    order = [s.side.end for s in d.ahead if s.finish]
    if not order or order[0] == stage.side.end:
        return
    other = next(s.side for s in d.ahead if s.side.end == order[0])
    for s in stage.side.outs:
        beside = any(o.toleranced and (abs(o.start - s.end) < checks.BESIDE or abs(o.end - s.start) < checks.BESIDE)
            for o in other.outs)
        if s.kind == THREAD and d.open(s) and beside:
            outside.finish(d, s)
            for g in stage.side.grooves:
                if g.kind == RECESS and d.open(g) and g.start < s.end + 1e-6 and g.end > s.start - 1e-6:
                    outside.plunge(d, "recess", g, g.start, g.end, g.diameter / 2, True)
            for one, z, inward in outside.edges(d, stage.side):
                if one is s or one.name == s.name:
                    outside.chamfer(d, one, z, inward)
            outside.thread(d, s)


def _centre(d: Draft, end: str) -> bool:
    """Can the tailstock centre carry this end? Says why not."""
    lathe = d.route.shop.lathe
    if not (lathe.live_centre and d.route.settings.centre):
        d.refuses("long without a centre", "", abs(d.edge - d.face), slenderness(d.work, end, d.edge))
        return False
    mouth = 2 * d.work.inside_by(d.face, outside.inward_of(end))
    if mouth > rule("centre in a bore"):
        d.refuses("centre in a wide bore", "", mouth, rule("centre in a bore"))
        return False
    if mouth > rule("centre drill") + 1e-6 and d.held.kind != MANDREL:   # a mandrel has centre holes of its own
        _seat(d)
    return True


def _there(d: Draft, end: str) -> bool:
    """Will this end bear a centre hole anyway, so that the centre is brought up at once?"""
    lathe, free = d.route.shop.lathe, d.work.start if end == NEAR else d.work.end
    return bool(_later(d, end) and lathe.live_centre and d.route.settings.centre
        and 2 * d.work.inside_by(free, outside.inward_of(end)) <= rule("centre drill"))


def _seat(d: Draft) -> None:
    """A bore's edge broken at 60 degrees, for the centre to sit in."""
    turns, real = d.turns(outside.speed_of(d.route.group, outside.SLOW, 0.5), 2 * d.work.inside_by(d.face,
        outside.inward_of(d.end)))
    d.add("centre drill", centre=False, reason=Craft("bore's edge"), tool="60° countersink", spindle=turns, speed=real)


def _later(d: Draft, end: str) -> bool:
    """Will a later stage want a centre in this end?"""
    if end in d.wanted or any(s.between for s in d.ahead):
        return True
    part = d.route.part
    work = Outline.bar(0.0, part.length, part.blank.diameter / 2)
    for s in part.outsides:
        work = work.turned(s.start, s.end, s.at(s.start) / 2, s.at(s.end) / 2)
    for stage in d.route.stages:
        if stage.side.end == end and stage.follows and stage.side.outs:
            edge = stage.side.split + (1.0 if end == NEAR else -1.0) * rule("clear of the jaws")
            if slenderness(work, end, edge) > 0.75 * free_length():
                return True
    return False


def _waits(d: Draft, stage: Stage) -> bool:
    """Where the outside is asked for first, the hole waits for a seat that lies over it, if a later stage can make it.
    """
    return any(s.toleranced and b.start < s.end and b.end > s.start for s in stage.side.outs
        for b in stage.side.bores)


def _sawn(d: Draft, stage: Stage) -> Outline:
    """The work without a surplus that nobody would face away."""
    end, face = stage.side.end, _face_of(d, stage)
    surplus = -d.work.start if end == NEAR else d.work.end - face
    if not stage.face or surplus <= rule("faced at most"):
        return d.work
    left = rule("left by the saw")
    return d.work.faced(end, -left if end == NEAR else face + left)


def _saw(d: Draft, whole: Outline) -> None:
    """The surplus sawn off in the vice, before the work is gripped."""
    if whole is d.work:
        return
    sawn, d.work = d.work, whole
    first, last = (whole.start, sawn.start) if d.end == NEAR else (sawn.end, whole.end)
    d.add("saw", "", sawn, Craft("saw", last - first, abs(sawn.end - sawn.start)), centre=False, start=first, end=last,
        target=sawn.end - sawn.start, measure=CALLIPER, minutes=rule("sawing") / 60)


def _begin(d: Draft, turns_round: bool) -> None:
    """What is done with the work before the first cut of a setup."""
    if turns_round:
        d.add("turn round", centre=False, measure=BY_HAND)
    if d.held.kind == FOUR_JAWS:
        d.add("indicate", centre=False, reason=Craft("indicate", d.held.runout or 0.0), measure=BY_HAND)


def _faces(d: Draft, stage: Stage, centre: bool) -> None:
    if not stage.face:
        return
    outside.face(d, _face_of(d, stage), stage.driven)
    bores = bool(stage.side.bores) and (stage.rough or stage.finish)
    if not d.work.inside_by(d.face, outside.inward_of(d.end)) and (centre or bores):
        drilled.centre_drill(d, bool(stage.side.bores))


def _short(d: Draft, stage: Stage, held: Grip) -> tuple[Grip, float | None] | None:
    """A hold close to the free end: through the spindle, or with a steady rest."""
    end, part, lathe = stage.side.end, d.route.part, d.route.shop.lathe
    inward = 1.0 if end == NEAR else -1.0
    face = 0.0 if end == NEAR else part.length
    close = grip(d.work, part, d.route.shop, end, face + inward * 3.0, d.touched, True)
    if close and slenderness(d.work, end, close.edge) <= free_length():
        return close, None
    if lathe.steady_rest:
        place = face + inward * max(10.0, 0.5 * part.blank.diameter)
        low, high = sorted((place - 6.0, place + 6.0))
        if abs(d.work.outside(low, high) - d.work.slimmest(low, high)) < 1e-6:
            return held, place
    return None


def _otherwise(d: Draft, stage: Stage, reach: float, light: bool) -> Grip | None:
    """Where no jaws find a good hold: a mandrel in a finished bore, a short hold; else it is said what is missing."""
    part, end = d.route.part, stage.side.end
    fills = any(d.open(s) for s in stage.side.bores) and (stage.rough or stage.finish)
    for s in sorted(part.bores, key=lambda s: -s.length):
        if (not fills and s.name in d.finished and s.toleranced and s.end_diameter is None
                and s.length >= 0.8 * s.diameter):
            run = tables.fact("true_running_ways", way="expanding mandrel", what="grip").value
            edge = s.end if end == NEAR else s.start
            return Grip("expanding mandrel", MANDREL, s.start, s.end, edge, s.diameter / 2, run, s.name, inside=True)
    if held := grip(d.work, part, d.route.shop, end, reach, d.touched, light, short=True):
        return held
    blank = part.blank
    if not any(c.smallest.value <= blank.diameter <= c.largest.value for c in d.route.shop.chucks):
        d.lacks(Missing("chuck", size=blank.diameter))
    elif not d.holdings:
        left = (d.work.end - reach if end == NEAR else reach - d.work.start) - rule("clear of the jaws")
        least = rule("least grip")
        d.lacks(Missing("grip", size=max(left, 0.0), length=max(least - left, 0.0) * 2 + 1))
    else:
        outs = [s for s in part.outsides if s not in stage.side.outs] or list(part.outsides)
        d.lacks(Missing("second grip", max(outs, key=lambda s: s.length).name))
    return None


def _between(d: Draft, stage: Stage) -> None:
    """Light cuts between centres: both ends must bear a centre."""
    part, end = d.route.part, stage.side.end
    turns_round = bool(d.holdings) and d.holdings[-1].end != end
    driver = rule("driver")
    far = d.work.end - driver if end == NEAR else driver
    mouths = [2 * d.work.inside_by(0.0, 1), 2 * d.work.inside_by(d.work.end, -1)]
    if max(mouths) > rule("centre in a bore"):
        d.refuses("centre in a wide bore", "", max(mouths), rule("centre in a bore"))
        return
    if d.work.end > d.route.shop.lathe.between_centres.value:
        d.refuses("too long", "", d.work.end, d.route.shop.lathe.between_centres.value)
        return
    if not d.route.shop.lathe.live_centre or not d.route.settings.centre:
        d.refuses("no centre")
        return
    run = tables.fact("true_running_ways", way="between centres", what="grip").value
    edge = d.work.end if end == NEAR else 0.0
    whole = Grip("between centres", BETWEEN_CENTRES, 0.0, 0.0, edge, d.work.outside(0, d.work.end), run)
    d.hold(end, whole, centre=True)
    driven = next((s.name for s in part.outsides if s.name in d.finished
        and (s.end > far + 1e-6 if end == NEAR else s.start < far - 1e-6)), "")
    d.holdings[-1] = replace(d.held, grips=driven)       # what the dog's screw would mark
    if (stage.side.split > far) if end == NEAR else (stage.side.split < far):
        d.refuses("driver in the way", "", driver)
    _begin(d, turns_round)
    if not any(isinstance(o.reason, Craft) and o.reason.kind == "tailstock" for o in d.operations):
        d.add("indicate", centre=True, reason=Craft("tailstock"), measure=BY_HAND)
    if stage.rough:
        outside.rough(d, stage.side)
    finish_all(d, stage, False)


def _chamfers_left(d: Draft) -> None:
    """Every surface made, every chamfer cut?"""
    part = d.route.part
    if d.missing or d.cannot:
        return
    for s in part.surfaces:
        if s.name not in d.finished:
            d.refuses("not made", s.name, s.diameter)
