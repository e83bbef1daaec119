"""A slide on a spring, moved in time with friction at rest and on the move (scipy). Basis: computed."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from outside import agrees, source
from springpass import the_lathe as lathe


@pytest.mark.parametrize("static, moving, load, stiffness", [(0.2, 0.15, 200.0, 15e3), (0.3, 0.18, 90.0, 40e3)])
@source("the slide's motion solved in time (scipy)", place="mass on a spring, wound slowly", basis="method")
def test_the_jump_of_a_slide_that_sticks(static, moving, load, stiffness):
    """Wound at a tenth of a micrometre a second; mm, N, s, tonnes. It lets go at μs W and slides against μd W."""
    mass, speed = 8e-3, 1e-4
    wound_up = static * load / stiffness

    def motion(t, y):
        return [y[1], (stiffness * (wound_up + speed * t - y[0]) - moving * load) / mass]

    def stands(t, y):
        return y[1]

    stands.terminal, stands.direction = True, -1
    period = 2 * np.pi * np.sqrt(mass / stiffness)
    ran = solve_ivp(motion, (0, 3 * period), [0.0, 1e-12], events=stands, rtol=1e-10, atol=1e-14, max_step=period / 200)
    jump = ran.y[0, -1]
    agrees("jump", lathe.slip_step(static, moving, load, stiffness), jump, rel=2e-3, unit="mm", of=lathe.slip_step)
    # after the jump the spring pulls less than friction on the move, by as much as it pulled more before
    left = wound_up - jump
    stairs = lathe.winding(jump, 4 * jump, moving * load / stiffness)
    agrees("lag before and after a jump", (stairs.wound[1] - stairs.moved[1], stairs.wound[2] - stairs.moved[2]),
           (wound_up, left), rel=3e-3, unit="mm", of=lathe.winding)


@source("sums of even spreads drawn at random (numpy)", place="200 000 draws", basis="method")
def test_the_chain_of_a_move_by_dice():
    """By the dial, a line of 0.01 mm: ± 2 read, ± 2 screw, ± 0.667 stuck, ± 0.5 settling, all µm and even."""
    dice = np.random.default_rng(7)
    off = sum(dice.uniform(-half, half, 200_000) for half in (2.0, 2.0, 2 / 3, 0.5))
    found = lathe.move(lathe.DIAL, 0.01)
    agrees("nine in ten", found.reach * 1e3, np.quantile(np.abs(off), 0.9), rel=0.03, unit="µm", of=lathe.move)
    agrees("within 1 µm", found.chance(0.001), np.mean(np.abs(off) <= 1), abs=0.015, of=lathe.move)
