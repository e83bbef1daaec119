"""Measure your own: a holder from weights, a bar from a tap."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import boring_bar
from ..boring_bar import bending as bar_bending
from ..boring_bar import tap_test
from ..boring_bar.quantities import Stickout
from ..core.quantity import Refused, Say, but, number, plain
from ..core.shared import GRAVITY, BarDiameter
from ..job import shop
from ..screen.draw import WIDTH, Chart, Drawing, room
from ..screen.page import Choose, Load, Page, Press, Slide, Write
from .boring_bar import BAR_MATERIAL, bar_facts

EXAMPLE_WEIGHTS = "0  0\n1  5.9\n2  12.1\n3  17.8\n4  24.1"


@dataclass(frozen=True)
class Weighed:
    """A holder's stiffness from weights, with the readings and the line through them."""

    fit: boring_bar.HolderFit
    mass: np.ndarray
    moved: np.ndarray
    own: np.ndarray
    stickout: float


def readings(text: str, columns: tuple[int, ...], example: str) -> list[tuple[float, ...]]:
    """Rows of numbers as typed, one row a line. Raises Refused naming the line."""
    rows = []
    for count, line in enumerate(text.replace(";", " ").replace("\t", " ").splitlines(), 1):
        if not line.strip():
            continue
        parts = line.split()
        if len(parts) not in columns:
            raise Refused(f"Line {count} (“{line.strip()[:40]}”) has {len(parts)} numbers; it needs "
                f"{' or '.join(map(str, columns))}, like: {example}.")
        try:
            rows.append(tuple(number(part) for part in parts))
        except Refused as refusal:
            raise Refused(f"Line {count}: {refusal}") from None
    return rows


def weigh(weights: str, bar_material: str, bar_diameter: float, stickout: float) -> Weighed:
    rows = readings(weights, (2, 3), "2  12.1")
    e, nu, _ = bar_facts(bar_material)
    fit = boring_bar.holder_from_weights([(row[0], row[1] / 1000, *row[2:]) for row in rows], bar_diameter, e, nu,
        stickout)
    mass, moved = np.array([row[0] for row in rows]), np.array([row[1] for row in rows]) / 1000
    place = np.array([row[2] if len(row) == 3 else stickout for row in rows])
    own = np.array(
        [GRAVITY * m * bar_bending.compliance([(x, bar_diameter)], e, nu) for m, x in zip(mass, place, strict=True)])
    return Weighed(fit, mass, moved, own, stickout)


def weigh_picture(m: Weighed, say: Say) -> str:
    to = say.fine_number
    low, high = room(to(m.moved), to(m.own), floor=0.0)
    c = Chart("Indicator against weight", weigh_words(m, say), x=("weight", "kg", 0.0, float(m.mass.max()) * 1.45),
        y=("indicator", say.fine_unit, low, high))
    for x, y in zip(m.mass, m.moved, strict=True):
        c.mark(x, to(y), "", "a")
    order = np.argsort(m.mass)
    c.curve(m.mass[order], to(m.own[order]), "bar alone", "b")
    c.curve(m.mass[order],
        to(m.own[order] + GRAVITY * m.mass[order] * m.fit.compliance + m.moved.min() * (m.mass.min() == 0)),
        "bar and holder", "a")
    return c.svg()


def weigh_words(m: Weighed, say: Say) -> str:
    f = m.fit
    tilt = f", and {plain(f.rotation / 1e6, 2)} N m for a milliradian of tilt" if np.isfinite(f.rotation) else ""
    doubt = ("" if f.believable else
        f"No lathe we know is so soft: this is {plain(f.softer, 2)} times as soft as the softest holder of the table. "
        "Before you believe it, look at the bar's diameter and the distance set above, at the readings' unit (µm) and "
        "at the screws.\n")
    push, share = (0.0254 if say.inch else 0.001) / f.compliance, 200 * f.compliance_error / f.compliance
    return (f"{doubt}The holder deflects 1 {say.fine_unit} for {plain(push, 2)} N at the tip (±{share:.0f} %, k = 2). "
        f"Its stiffness is {plain(f.stiffness / 1000, 2)} N/µm{tilt}. {f.note} The worst reading lies "
        f"{say.fine(f.worst)} off the line.")


def keep_holder(**values: Any) -> str:
    m = weigh(**values)
    f = m.fit
    facts = {"stiffness": f.stiffness, "stiffness_error": f.stiffness_error, "stickout": m.stickout}
    if np.isfinite(f.rotation):
        facts |= {"rotation": f.rotation, "rotation_error": f.rotation_error}
    made = shop.add("holder", **facts)
    return f"Saved as record {made['id']} in your shop file. On the stickout page tick “use what I measured”."


WEIGH = Page("weigh_the_holder", "How stiff is my holder? Weights and an indicator",
    (BAR_MATERIAL, Slide("bar_diameter", but(BarDiameter, high=40), "tool"),
    Slide("stickout", but(Stickout, high=250), "tool", "weights hung at, from the holder"),
    Write("weights", EXAMPLE_WEIGHTS, "holder", "a line each: kg, indicator in µm (a third number: hung at, mm)",
    rows=7)), weigh, weigh_picture, weigh_words,
    presses=(Press("remember this holder", keep_holder, "saves the stiffness in your shop file"),))


@dataclass(frozen=True)
class Tapped:
    """What a recording of taps tells."""

    ring: tap_test.Ring
    made_up: bool


@lru_cache(maxsize=4)
def _demo(frequency: float, damping: float) -> tap_test.Ring:
    return tap_test.listen(tap_test.made_up_taps(frequency, damping))


@lru_cache(maxsize=4)
def _heard(recording: bytes) -> tap_test.Ring:
    return tap_test.listen(tap_test.read_wav(recording))


def tap(recording: bytes | None, demo: str) -> Tapped:
    if recording is None:
        return Tapped(_demo(*(2950.0, 0.03) if demo == DEMOS[0] else (1180.0, 0.012)), True)
    return Tapped(_heard(recording), False)


def tap_picture(t: Tapped, say: Say) -> str:
    r = t.ring
    d = Drawing("What the tap tells", tap_words(t, say), WIDTH, 430)
    decibels = 20 * np.log10(np.maximum(r.spectrum, 1e-3))
    c = Chart("", "", x=("frequency", "Hz", float(r.spectrum_frequency[0]), float(r.spectrum_frequency[-1])),
        y=("loudness", "dB", -60.0, 5.0), height=215)
    c.curve(r.spectrum_frequency, decibels)
    c.upright(r.frequency, f"{plain(r.frequency, 3)} Hz")
    d.inset(c.layers(), 0, 0)
    ms = 1000 * r.time
    env = r.envelope / max(r.envelope.max(), 1e-12)
    e = Chart("", "", x=("time after the tap", "ms", 0.0, float(ms[-1])),
        y=("loudness, share of the peak", "", 0.0, 1.1), height=215)
    e.curve(ms, env)
    dies = np.exp(-2 * np.pi * r.frequency * r.damping * r.time)
    rings = (np.arange(len(env)) >= env.argmax()) & (env > 0.1)   # from the loudest to a tenth of it
    e.curve(ms[env.argmax():], float(np.median(env[rings] / dies[rings])) * dies[env.argmax():], "fitted", "b")
    d.inset(e.layers(), 0, 215)
    return d.svg()


def tap_words(t: Tapped, say: Say) -> str:
    r = t.ring
    made = "This sample is synthesised; load a recording of your own tap. " if t.made_up else ""
    note = f" {r.note}" if r.note else ""
    also = f" Another tone stands at {plain(r.second, 2)} Hz." if np.isfinite(r.second) else ""
    return (f"{made}The bar's natural frequency is {plain(r.frequency, 3)} Hz "
        f"(±{plain(max(2 * r.frequency_scatter, 1), 2)} Hz, k = 2). Its damping ratio is {plain(100 * r.damping, 2)} % "
        f"(±{plain(100 * 2 * r.damping_scatter, 1)} %). {r.strikes} strikes were heard.{note}{also}")


def keep_ring(**values: Any) -> str:
    t = tap(**values)
    if t.made_up:
        raise Refused("This is the synthesised sample. Load your own recording first; then it can be remembered.")
    made = shop.add("bar ring", frequency=t.ring.frequency, frequency_scatter=t.ring.frequency_scatter,
        damping=t.ring.damping, damping_scatter=t.ring.damping_scatter, strikes=t.ring.strikes)
    return f"Saved as record {made['id']} in your shop file. On the stickout page tick “use what I measured”."


DEMOS = ("sample: 8 mm steel bar, 40 mm out", "sample: 12 mm steel bar, 90 mm out, hardly damped")
TAP = Page("tap_test", "What is my bar's natural frequency? A tap and a phone",
    (Load("recording", ".wav", "tool", "load a WAV recording"),
    Choose("demo", DEMOS, DEMOS[0], "view", "without a recording, listen to")), tap, tap_picture, tap_words,
    presses=(Press("remember this bar", keep_ring, "saves frequency and damping in your shop file"),))
