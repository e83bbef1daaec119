"""True running by other methods: arrows as complex numbers, geometry drawn point by point, finite elements."""

import hashlib
from functools import cache

import numpy as np
from scipy import stats
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, MeshQuad, condense, solve

from outside import agrees, claim, source
from springpass import true_running as true
from springpass.core import tables
from springpass.fits import pressing


@source("400,000 pairs of arrows as complex numbers", basis="method")
def test_left_to_chance():
    dice = np.random.default_rng(11)
    first, second = (np.exp(2j * np.pi * dice.random(400_000)) * size for size in (0.030, 0.045))
    agrees("root mean square", true.chance_run_out(0.030, 0.045), np.sqrt(np.mean(np.abs(first + second) ** 2)),
           rel=0.004, unit="mm", of=true.chance_run_out)


@source("400,000 grips as complex numbers, numpy's own generator", basis="hand")
def test_turned_round_by_dice():
    """The 90 % range 80 mm out of the jaws, all ways."""
    dice = np.random.default_rng(5)
    for way in true.ways():
        grip, tilt = (tables.fact("true_running_ways", way=way, what=what) for what in ("grip", "tilt"))
        size, lean = (fact.value * np.exp(np.log(fact.high / fact.value) / 2 * dice.standard_normal(400_000))
                      for fact in (grip, tilt))
        swing = np.abs(size + 80 * lean * np.exp(2j * np.pi * dice.random(400_000)))
        found = true.turned_round(way, 80.0)
        agrees(f"{way}", (found.run_out.low, found.run_out.value, found.run_out.high),
               np.quantile(swing, (0.05, 0.5, 0.95)), rel=0.06, unit="mm", of=true.turned_round)


@source("a circle drawn point by point, turned before an indicator", basis="method")
def test_what_an_indicator_shows_of_an_axis_to_the_side():
    """A disc Ø40 turned about a point 20 µm off its middle, its outline found along the indicator's line."""
    turned = np.linspace(0, 2 * np.pi, 3600, endpoint=False)
    centre = 0.020 * np.exp(1j * turned)
    outline = centre.real + np.sqrt(20.0**2 - centre.imag**2)
    agrees("full swing", true.swing(0.020), np.ptp(outline), rel=1e-4, unit="mm", of=true.swing)


@source("a tilted face, its height at every place of a circle", basis="hand")
def test_what_an_indicator_shows_of_a_face():
    turned = np.linspace(0, 2 * np.pi, 3600, endpoint=False)
    lean = 0.0004
    normal = np.array([np.sin(lean), 0, np.cos(lean)])
    height = -(normal[0] * 13 * np.cos(turned)) / normal[2]
    agrees("swing of the face at Ø26", true.face_run_out(lean, 26.0), np.ptp(height), rel=1e-6, unit="mm",
           of=true.face_run_out)
    axis = np.array([np.sin(lean), 0, np.cos(lean)]) * 70
    agrees("run-out 70 mm along", true.tilt_run_out(lean, 70.0), 2 * np.hypot(axis[0], axis[1]), rel=1e-6, unit="mm",
           of=true.tilt_run_out)


@source("a lobed outline in two flats, its tangents found point by point", basis="method")
def test_a_lobed_journal_in_a_vee():
    """The axis of a journal of mean Ø30 with lobes 20 µm high, turned through one lobe in three vees."""
    around = np.linspace(0, 2 * np.pi, 72_001)
    for vee, lobes in ((60, 3), (90, 3), (90, 4), (90, 5), (120, 5), (90, 2)):
        flank = np.radians(vee / 2)
        normals = [np.pi + flank, 2 * np.pi - flank]        # where the two flats touch, seen from the axis
        rises = []
        for turned in np.linspace(0, 2 * np.pi / lobes, 37):
            radius = 15 + 0.020 * np.cos(lobes * (around - turned))
            reach = [np.max(radius * np.cos(around - n)) for n in normals]
            matrix = np.array([[np.cos(n), np.sin(n)] for n in normals])
            rises.append(np.linalg.solve(matrix, -np.array(reach))[1])
        agrees(f"{lobes} lobes, {vee}°", 2 * abs(float(true.vee_rise(lobes, vee))), np.ptp(rises) / 0.020, abs=0.015,
               of=true.vee_rise)


@source("a face drawn point by point: a plane that leans, and a movement along the axis in step", basis="hand")
def test_lean_and_cam_of_a_face():
    turned = np.linspace(0, 2 * np.pi, 3600, endpoint=False)
    swings = [np.ptp(0.5 * d * 3e-4 * np.cos(turned) + 0.004 * np.cos(turned)) for d in (60.0, 20.0)]
    agrees("movement along the axis", true.axial_swing(*swings, 60.0, 20.0), 0.008, rel=1e-5, unit="mm",
           of=true.axial_swing)


@source("tool at a fixed place, work turned in small steps under a force that turns with it", basis="method")
def test_a_one_tailed_dog_cuts_a_true_round_beside_the_axis():
    """The outline left is fitted by a circle: round, and off the centres' axis by what the head's spring gives."""
    pull, stiff, radius = 45.0, 28e3, 10.0
    turned = np.linspace(0, 2 * np.pi, 721)[:-1]
    shift = pull / stiff * np.cos(turned)                 # of the axis towards the tool; the force turns with it
    left = radius - shift                                 # from the work's own axis to the tool's tip
    x, y = left * np.cos(-turned), left * np.sin(-turned)
    (a, b, _), *_ = np.linalg.lstsq(np.c_[x, y, np.ones_like(x)], x**2 + y**2, rcond=None)
    agrees("run-out at the driven end", true.dog_run_out(pull, stiff, 85.0, 85.0), 2 * np.hypot(a / 2, b / 2), rel=1e-3,
           unit="mm", of=true.dog_run_out)
    agrees("and at 60 of 85 mm", true.dog_run_out(pull, stiff, 60.0, 85.0), 2 * np.hypot(a / 2, b / 2) * 60 / 85,
           rel=1e-3, unit="mm", of=true.dog_run_out)


@source("400,000 draws as complex numbers, numpy's own generator", basis="hand")
def test_between_centres_by_dice():
    dice = np.random.default_rng(8)

    def drawn(what):
        fact = tables.fact("true_running_facts", what=what)
        size = fact.value * np.exp(np.log(fact.high / fact.value) / 2 * dice.standard_normal(400_000))
        return size * np.exp(2j * np.pi * dice.random(400_000))

    for head, tail, hole in (("trued in place", "dead", "as drilled"), ("put into its taper", "live", "as drilled")):
        stiff = tables.fact("workholding_stiffness", what="headstock centre")
        springs = stiff.low + (stiff.high - stiff.low) * dice.random(400_000)
        dog = 2 * 200 * 20 / (2 * 35.0) / springs * 70 / 85 * np.exp(2j * np.pi * dice.random(400_000))
        swings = [drawn({"trued in place": "headstock centre trued in place"}.get(head,
            "headstock centre put into its taper")) * 70 / 85, drawn(f"{tail} tailstock centre") * 15 / 85,
            drawn("centre hole as drilled out of round"), dog]
        total = np.abs(sum(swings))
        found = true.between_centres(head, tail, hole, "one tail", 200.0, 20.0, 35.0, 70.0, 85.0)
        agrees(f"{head}, {tail}", (found.run_out.low, found.run_out.value, found.run_out.high),
               np.quantile(total, (0.05, 0.5, 0.95)), rel=0.06, unit="mm", of=true.between_centres)
        for (_, part), swing in zip(found.parts, swings, strict=True):
            agrees("part", (part.low, part.value, part.high), np.quantile(np.abs(swing), (0.05, 0.5, 0.95)), rel=0.03,
                   unit="mm", of=true.between_centres)
        agrees("pull of the dog", found.pull, 57.142857, rel=1e-6, unit="N", of=true.between_centres)   # 200·20/70


@source("400,000 draws, numpy's own generator", basis="hand")
def test_seat_and_shoulder_by_dice():
    dice = np.random.default_rng(3)
    for way in ("collet", "four jaws indicated at both places", "between centres"):
        grip, tilt = (tables.fact("true_running_ways", way=way, what=what) for what in ("grip", "tilt"))
        size, lean = (fact.value * np.exp(np.log(fact.high / fact.value) / 2 * dice.standard_normal(400_000))
                      for fact in (grip, tilt))
        swing = np.abs(size + 40 * lean * np.exp(2j * np.pi * dice.random(400_000)))
        found = true.seat_by_way(way, 40.0, 52.0, 40.0)
        agrees(f"{way}: chances", (found.chance_radial, found.chance_face),
               (np.mean(swing <= 0.0055), np.mean(lean / 2 * 52 <= 0.011)), abs=0.02, of=true.seat_by_way)
        agrees(f"{way}: allowed", (found.radial, found.axial), (0.0055, 0.011), unit="mm", of=true.seat_by_way)   # IT5
        agrees(f"{way}: both", found.chance, np.mean((swing <= 0.0055) & (lean / 2 * 52 <= 0.011)), abs=0.02,
               of=true.seat_by_way)
        agrees(f"{way}: run-out", (found.run_out.low, found.run_out.value, found.run_out.high),
               np.quantile(swing, (0.05, 0.5, 0.95)), rel=0.05, unit="mm", of=true.seat_by_way)
        agrees(f"{way}: range of the face", (found.face.low, found.face.high),
               np.quantile(lean / 2 * 52, (0.05, 0.95)), rel=0.03, unit="mm", of=true.seat_by_way)
        agrees(f"{way}: face", found.face.value, np.median(lean / 2 * 52), rel=0.02, unit="mm", of=true.seat_by_way)


def thrown(what, seed, count, part=""):
    """A miss of the hand, written out afresh: a value of the table from the digest of what it is for."""
    digest = hashlib.sha256(f"{what}|{seed}|{count}|{part}".encode()).digest()
    share = (int.from_bytes(digest[:7], "big") + 0.5) / 2**56
    fact = tables.fact("true_running_facts", what=what)
    if fact.kind == "flat":
        return fact.low + share * (fact.high - fact.low)
    return fact.value + (fact.high - fact.value) / 2 * stats.norm.ppf(share)


@source("the four jaws played again with matrices and another search for the swing", basis="hand")
def test_four_jaws_played_again():
    """Start, moves and the rule, written out afresh for forty starts: same readings, same number of moves."""
    for seed in range(1, 41):
        size = thrown("run-out set by the rings on the chuck's face", seed, 0) / 2
        way = 2 * np.pi * int.from_bytes(hashlib.sha256(f"direction|{seed}".encode()).digest()[:7], "big") / 2**56
        at = np.array([size * np.cos(way), size * np.sin(way)])
        moves = 0
        agrees("swing at the start", true.follow(seed)[0].run_out, 2 * size, rel=1e-3, unit="mm", of=true.follow)
        stands = true.by_the_rule(seed, 0.02)
        while 2 * np.hypot(*at) > 0.02 and moves < 40:
            low = -np.hypot(*at)
            dial = [round((np.dot(at, jaw) - low) / 0.01) * 0.01 for jaw in ((0, 1), (1, 0), (0, -1), (-1, 0))]
            agrees("readings", stands[moves].readings(0.01), dial, abs=0.0101, unit="mm", of=true.follow)
            pairs = (dial[0] - dial[2], dial[1] - dial[3])
            pair = int(np.argmax(np.abs(pairs)))
            if abs(pairs[pair]) / 2 <= 0.004:
                break
            by = abs(pairs[pair]) / 2
            jaw = pair if pairs[pair] > 0 else pair + 2
            moves += 1
            found = true.advised(stands[moves - 1])
            agrees("the move", found.by, by, abs=0.0051, unit="mm", of=true.advised)
            towards = -np.array(((0, 1), (1, 0), (0, -1), (-1, 0))[found.jaw - 1], dtype=float)
            side = np.array([-towards[1], towards[0]])
            at = at + towards * found.by * thrown("jaw moved over jaw meant", seed, moves)
            at = at + side * found.by * thrown("other pair moved over jaw moved", seed, moves)
            at = at + np.array([thrown("shift when the jaws are drawn tight", seed, moves, part) for part in "xy"])
            agrees("swing after the move", stands[moves].run_out, 2 * np.hypot(*at), abs=2e-4, unit="mm",
                   of=true.by_the_rule)
            claim("the jaw", found.jaw - 1 == jaw or abs(abs(pairs[0]) - abs(pairs[1])) < 0.0101, of=true.advised)
        agrees("moves", len(stands) - 1, moves, of=true.by_the_rule)


@source("an oval drawn round its own middle, turned under the indicator", basis="hand")
def test_an_oval_in_four_jaws():
    """Work 30 µm out of round, its long axis where the digest lays it, at the start and after the rule's moves."""
    for seed in (3, 8):
        share = int.from_bytes(hashlib.sha256(f"direction|{seed}".encode()).digest()[:7], "big") / 2**56
        lie = np.pi * (7 * share % 1)
        for stands, of in ((true.follow(seed, (), 0.030), true.follow),
                           (true.by_the_rule(seed, 0.05, 0.030), true.by_the_rule)):
            one = stands[-1]
            for turned in (0.0, 35.0, 90.0, 200.0):
                top = np.radians(90 - turned)       # of the work, what lies under the indicator
                axis = complex(one.right, one.up) * np.exp(1j * (np.pi / 2 - top))
                agrees("height", float(one.height(turned)), axis.imag + 0.015 * np.cos(2 * (top - lie)), abs=1e-9,
                       unit="mm", of=of)


@source("readings worked out by Fourier's sums and by turning the drawn outline", basis="method")
def test_what_two_planes_show():
    turned = np.radians(np.arange(0.0, 360.0, 0.5))
    near = np.array([0.012, 0.0])
    far = near + 0.0002 * 70 * np.array([np.cos(np.radians(60)), np.sin(np.radians(60))])
    direction = np.array([np.cos(turned), np.sin(turned)])
    for lobes in (2, 3):
        wave = 0.004 * np.cos(lobes * turned)
        found = true.shown(0.012, 0.0002, 60.0, 70.0, 0.004, lobes)
        agrees("swings", (found.near_swing, found.far_swing), (np.ptp(near @ direction + wave),
               np.ptp(far @ direction + wave)), rel=0.01, unit="mm", of=true.shown)
        at = slice(None, None, 2)   # every degree
        agrees("near", found.near, (near @ direction + wave)[at], abs=1e-9, unit="mm", of=true.shown)
        agrees("far", found.far, (far @ direction + wave)[at], abs=1e-9, unit="mm", of=true.shown)
        agrees("lean", found.lean, 0.0002, of=true.shown)
        agrees("axes", (found.near_true, found.far_true), (2 * np.hypot(*near), 2 * np.hypot(*far)), rel=1e-6,
               unit="mm", of=true.shown)
        agrees("form", found.form, np.ptp(wave), rel=0.01, unit="mm", of=true.shown)
        agrees("across", found.across, 0.0 if lobes == 3 else 4 * 0.004, abs=1e-6, unit="mm", of=true.shown)


@source("Lamé's rings and friction by hand, the grip thrown with dice", place="bronze Ø20 H7 in the middle, outside 32",
        basis="hand")
def test_on_a_mandrel_field_by_field():
    """Small end 20 − 0.0127; a bore of 20.0105 touches 0.0232/0.0005 = 46.4 mm on. Driven 15 of 25 mm it sits on 15,
    and 0.0005·10 = 5 µm of lean are left. At the tight end it is 7.5 µm too large for the bore, on average 3.75 µm.
    """
    bush, core = ([tables.fact("materials", material=name, property=what).value for what in ("E", "nu")]
                  for name in ("bearing bronze C93200 / SAE 660", "bearing steel 100Cr6 / 52100"))
    bore, ring = 20.0105, (32**2 + 20.0105**2) / (32**2 - 20.0105**2)
    give = (ring + bush[1]) / bush[0] + (1 - core[1]) / core[0]      # of hub and solid shaft, per MPa and mm
    mean, tight = (gap / (bore * give) for gap in (0.00375, 0.0075))
    fact = tables.fact("press_friction", pair="bronze in steel oiled")
    grip = fact.low + (fact.high - fact.low) * np.random.default_rng(2).random(400_000)
    torque = grip * mean * np.pi * bore * 15 * bore / 2
    middle = float(np.quantile(torque, 0.3))
    found = true.on_mandrel(cutting_force=middle / 16)
    agrees("small end", found.small_end, 19.9873, rel=1e-9, unit="mm", of=true.on_mandrel)
    agrees("touches", found.here, 46.4, rel=1e-6, unit="mm", of=true.on_mandrel)
    agrees("contact, lean", (found.contact, found.lean), (15.0, 0.005), rel=1e-9, unit="mm", of=true.on_mandrel)
    agrees("torque", (found.torque.low, found.torque.value, found.torque.high), np.quantile(torque, (0.05, 0.5, 0.95)),
           rel=0.01, unit="N mm", of=true.on_mandrel)
    agrees("needed", found.needed, middle, rel=1e-9, unit="N mm", of=true.on_mandrel)
    agrees("chance", found.chance, 0.7, abs=0.01, of=true.on_mandrel)
    agrees("stress", found.stress, tight * ring, rel=1e-6, unit="MPa", of=true.on_mandrel)


@cache
def bush_by_finite_elements(inner, outer, length, driven, taper, share, modulus, poisson):
    """A bush opened along `driven` mm of its bore by a taper, the rest free: mean pressure over the contact, and how
    much the outside grows at the tight end. Axisymmetric, quadratic elements."""
    clear = length - driven
    along = np.unique(np.concatenate([np.linspace(0, clear, 17), np.linspace(clear, length, 25)]))
    basis = Basis(MeshQuad.init_tensor(np.linspace(inner, outer, 17), along), ElementVector(ElementQuad2()))
    lam, mu = modulus * poisson / (1 + poisson) / (1 - 2 * poisson), modulus / 2 / (1 + poisson)

    @BilinearForm
    def stiff(u, v, w):
        def strain(q):
            g = q.grad
            return g[0, 0], q[0] / w.x[0], g[1, 1], g[0, 1] + g[1, 0]

        (er, et, ez, g), (fr, ft, fz, h) = strain(u), strain(v)
        volume = lam * (er + et + ez)
        return ((volume + 2 * mu * er) * fr + (volume + 2 * mu * et) * ft + (volume + 2 * mu * ez) * fz
                + mu * g * h) * w.x[0]

    matrix = stiff.assemble(basis)
    opened = basis.get_dofs(lambda x: np.isclose(x[0], inner) & (x[1] >= clear - 1e-9)).all("u^1")
    still = basis.get_dofs(lambda x: np.isclose(x[0], inner) & np.isclose(x[1], length)).all("u^2")
    moved = basis.zeros()
    moved[opened] = share * taper * (basis.doflocs[1, opened] - clear) / 2
    found = solve(*condense(matrix, x=moved, D=np.union1d(opened, still)))
    outside = found[basis.get_dofs(lambda x: np.isclose(x[0], outer)).all("u^1")]
    return (matrix @ found)[opened].sum() / (inner * driven), 2 * outside.max()


@source("axisymmetric finite elements (scikit-fem)", place="a bronze bush Ø20/32 × 25 on a taper of 1:2000",
        basis="method")
def test_a_bush_on_a_mandrel_against_finite_elements():
    """Driven on over its whole length the slices are exact; over 15 of 25 mm the end that stands clear takes part of
    the load and the bush is some 6 % softer than the slices say."""
    modulus, poisson = (tables.fact("materials", material="bearing bronze C93200 / SAE 660", property=p).value
                        for p in ("E", "nu"))
    core = [tables.fact("materials", material="bearing steel 100Cr6 / 52100", property=p).value for p in ("E", "nu")]
    for driven, within in ((25.0, 0.002), (15.0, 0.065)):
        found = true.on_mandrel(driven=driven)
        hub = pressing.hub_give(found.bore, 32.0, modulus, poisson)
        share = hub / (hub + pressing.shaft_give(found.bore, 0.0, *core))
        pressure, swell = bush_by_finite_elements(found.bore / 2, 16.0, 25.0, driven, 0.0005, float(share), modulus,
                                                  poisson)
        agrees(f"pressure, driven {driven:g}", found.pressure, pressure, rel=within, unit="MPa", of=true.on_mandrel)
        agrees(f"swell, driven {driven:g}", found.swell, swell, rel=0.003, unit="mm", of=true.on_mandrel)
