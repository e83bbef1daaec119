"""Listen to the cut itself: is it chatter, at which frequency, and is it the bar or the work that sings?

A quiet cut is noise with the spindle's own hum under it. Chatter is one tone that stands far above the noise, a little
above the natural frequency of what swings, with side tones one spindle revolution apart. Hum at multiples of the
spindle's revolutions is forced (a jaw, a belt, a gear) and is not chatter.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core.quantity import Refused, positive
from .tap_test import Recording

QUIET, CHATTERS, FORCED = "quiet", "chatter", "forced"
BAR, WORK, UNKNOWN = "bar", "work", "unknown"
STANDS_OUT, LOUD = 18.0, 0.2  # dB above the noise round it, and share of all the sound, from which a tone is chatter
ABOVE = (0.95, 1.30)  # chatter lies there, over the natural frequency of what swings
HUM = 12  # revolutions' multiples up to which a tone is taken for forced
SHORTEST, LONGEST = 0.4, 120.0  # s


@dataclass(frozen=True)
class CutSound:
    """What a recording of a cut tells. Hz, dB."""

    kind: str  # QUIET, CHATTERS or FORCED
    tone: float  # strongest tone, Hz; nan where none stands out
    tone_error: float  # its standard uncertainty
    whose: str  # BAR, WORK or UNKNOWN
    advice: tuple[str, ...]  # kinds of change, the first first
    frequency: np.ndarray  # of the spectrum, for the picture
    level: np.ndarray  # dB over its loudest
    floor: np.ndarray


def hear(recording: Recording, spindle_speed: float, bar_frequency: float = 0.0, work_frequency: float = 0.0, *,
        lowest: float = 60.0, highest: float = 9000.0) -> CutSound:
    """Judge a recording of a cut.

    spindle_speed: rpm; bar_frequency and work_frequency: natural frequencies in Hz from a tap or from the model, 0
    where not known. Raises Refused for a recording that is silent, clipped or too short.
    """
    positive(spindle_speed, "spindle speed", "rpm")
    for value, name in ((bar_frequency, "the bar's frequency"), (work_frequency, "the work's frequency")):
        positive(value, name, "Hz", zero=True)
    sound, rate = np.asarray(recording.samples, float), float(recording.rate)
    if len(sound) < SHORTEST * rate:
        raise Refused(f"The recording is only {len(sound) / rate:.1f} s long. Record two seconds or more of the cut.")
    if len(sound) > LONGEST * rate:
        raise Refused(
            f"The recording is {len(sound) / rate:.0f} s long. Cut it to the cut itself: two minutes at most.")
    if np.abs(sound).max() < 1e-3:
        raise Refused("The recording is silent. Hold the phone nearer and record again.")
    if (np.abs(sound) > 0.985).mean() > 0.002:
        raise Refused("The recording is clipped: it was too loud for the microphone. Move the phone away.")
    sound = sound - sound.mean()
    frequency, power = _spectrum(sound, rate)
    step = frequency[1]
    shown = (frequency >= lowest) & (frequency <= min(highest, 0.45 * rate))
    frequency, power = frequency[shown], power[shown]
    floor = _floor(power)
    turn = spindle_speed / 60
    over = 10 * np.log10(power / floor)
    order = frequency / turn
    hum = (order < HUM + 0.5) & (np.abs(order - np.round(order)) * turn <= 1.5 * step)
    forced = bool((over[hum] > STANDS_OUT).any()) if hum.any() else False
    free = np.where(hum, -np.inf, over + 10 * np.log10(power / power.max()) * 1e-3)
    # of the tones that stand out, the loudest
    clear = np.where(np.isfinite(free) & (over > STANDS_OUT), power, 0.0)
    peak = int(clear.argmax())
    kind, tone = (FORCED if forced else QUIET), float("nan")
    if clear[peak] > 0:
        tone = _between(frequency, np.log(power), peak)
        near = np.abs(np.abs(frequency - tone)[:, None] - turn * np.arange(4)).min(axis=1) <= 2 * step
        if power[near].sum() >= LOUD * power[~hum].sum():   # in the tone and its side tones
            kind = CHATTERS
    whose = _whose(tone, bar_frequency, work_frequency) if kind == CHATTERS else UNKNOWN
    level = 10 * np.log10(power / power.max())
    return CutSound(kind, tone, step / np.sqrt(12), whose, _advice(kind, whose), frequency, level,
        10 * np.log10(floor / power.max()))


def _whose(tone: float, bar: float, work: float) -> str:
    """What swings: whose natural frequency the tone lies on or a little above; the nearer one where both fit."""
    near = {name: abs(np.log(tone / own / 1.05)) for name, own in ((BAR, bar), (WORK, work))
        if own > 0 and ABOVE[0] <= tone / own <= ABOVE[1]}
    return min(near, key=lambda name: near[name]) if near else UNKNOWN


def _advice(kind: str, whose: str) -> tuple[str, ...]:
    """Kinds of change that are worth trying, by the name of the setting, the cheapest first."""
    if kind == FORCED:
        return ("look for what turns unevenly",)
    if kind == QUIET:
        return ()
    first = {BAR: ("stickout", "speed"), WORK: ("support the work", "speed"), UNKNOWN: ("speed", "stickout")}[whose]
    return (*first, "infeed", "feed", "nose_radius")


def _spectrum(sound: np.ndarray, rate: float) -> tuple[np.ndarray, np.ndarray]:
    """Mean power spectrum of overlapping pieces of about a fifth of a second (Welch's way)."""
    size = 1 << int(np.clip(np.round(np.log2(0.19 * rate)), 10, np.floor(np.log2(len(sound)))))
    window = np.hanning(size)
    starts = range(0, len(sound) - size + 1, size // 2)
    power = np.mean([np.abs(np.fft.rfft(sound[i : i + size] * window)) ** 2 for i in starts], axis=0)
    return np.fft.rfftfreq(size, 1 / rate), np.maximum(power, 1e-20)


def _floor(power: np.ndarray) -> np.ndarray:
    """The noise under the tones: the median over a fifth of an octave and more on either side."""
    n = len(power)
    at = np.unique(np.geomspace(1, n, 60).astype(int) - 1)
    wide = np.maximum((0.25 * at).astype(int), 25)
    middle = [np.median(power[max(i - w, 0) : i + w + 1]) for i, w in zip(at, wide, strict=True)]
    return np.exp(np.interp(np.arange(n), at, np.log(middle)))


def _between(frequency: np.ndarray, log_power: np.ndarray, peak: int) -> float:
    """The top of a parabola through the peak and its neighbours."""
    if not 0 < peak < len(frequency) - 1:
        return float(frequency[peak])
    left, top, right = log_power[peak - 1 : peak + 2]
    shift = 0.5 * (left - right) / min(left - 2 * top + right, -1e-12)
    return float(frequency[peak] + np.clip(shift, -0.5, 0.5) * (frequency[1] - frequency[0]))


def made_up_cut(kind: str = QUIET, spindle_speed: float = 1300.0, tone: float = 1500.0, *, seconds: float = 2.0,
        rate: float = 22050.0, loud: float = 0.5, seed: int = 1) -> Recording:
    """A synthetic recording of a cut, for demonstrations and tests: noise and hum, and for chatter a tone on top.

    kind: QUIET, CHATTERS or FORCED; tone: Hz of the chatter. Raises Refused for values that cannot be.
    """
    if kind not in (QUIET, CHATTERS, FORCED):
        raise Refused(f"A made-up cut is {QUIET}, {CHATTERS} or {FORCED}; it was “{kind}”.")
    for value, name, unit in ((spindle_speed, "spindle speed", "rpm"), (tone, "tone", "Hz"), (seconds, "time", "s"),
            (loud, "loudness", "")):
        positive(value, name, unit)
    if not (SHORTEST <= seconds <= 20 and 8000 <= rate <= 200_000 and seed >= 0 and loud <= 1):
        raise Refused("A made-up cut lasts 0.4 to 20 s at 8000 to 200000 samples a second, with a loudness up to 1.")
    dice = np.random.default_rng(seed)
    t = np.arange(int(seconds * rate)) / rate
    white = dice.standard_normal(len(t))
    shaped = np.fft.rfft(white)
    f = np.fft.rfftfreq(len(t), 1 / rate)
    noise = np.fft.irfft(shaped / np.sqrt(1 + (f / 900.0) ** 2), len(t))
    sound = 0.06 * noise / noise.std()
    turn = spindle_speed / 60
    strong = 0.25 if kind == FORCED else 0.01
    for n in (1, 3, 6, 9, 12):
        sound = sound + strong / np.sqrt(n) * np.sin(2 * np.pi * n * turn * t + n)
    if kind == CHATTERS:
        swell = 1 + 0.35 * np.sin(2 * np.pi * turn * t)
        wobble = 2 * np.pi * tone * t + 0.8 * np.cumsum(dice.standard_normal(len(t))) / np.sqrt(rate)
        sound = sound + loud * swell * np.sin(wobble) / 1.4
    return Recording(np.clip(0.9 * sound, -0.98, 0.98), float(rate))
