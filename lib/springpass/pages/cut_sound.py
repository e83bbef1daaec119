"""Listen to the cut: is it chatter, at which frequency, and is it the bar or the work?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..boring_bar import cut_sound, tap_test
from ..boring_bar.cut_sound import BAR, CHATTERS, FORCED, QUIET, WORK, CutSound
from ..boring_bar.quantities import Frequency
from ..core.quantity import Say, but, plain
from ..core.shared import SpindleSpeed
from ..screen.draw import Chart
from ..screen.page import Choose, Load, Page, Slide

SAMPLES = {"sample: a quiet cut": (QUIET, 1300.0, 3150.0), "sample: the bar chatters": (CHATTERS, 1300.0, 3330.0),
    "sample: the work chatters": (CHATTERS, 1300.0, 940.0), "sample: the spindle hums": (FORCED, 1300.0, 3150.0)}


@dataclass(frozen=True)
class Heard:
    """What a recording of a cut tells, and whether it is a synthesised sample."""

    sound: CutSound
    sample: bool
    bar: float
    work: float


@lru_cache(maxsize=8)
def _recorded(recording: bytes | None, sample: str) -> tap_test.Recording:
    return cut_sound.made_up_cut(*SAMPLES[sample]) if recording is None else tap_test.read_wav(recording)


def listen(spindle: float, work_frequency: float, bar_frequency: float, recording: bytes | None, sample: str) -> Heard:
    """Judge a recording of a cut; Hz, rpm. Raises Refused for what cannot be read."""
    sound = cut_sound.hear(_recorded(recording, sample), spindle, bar_frequency, work_frequency)
    return Heard(sound, recording is None, bar_frequency, work_frequency)


def picture(h: Heard, say: Say) -> str:
    s = h.sound
    step = max(1, len(s.frequency) // 500)
    size = len(s.frequency) // step * step
    # of every few lines the loudest is drawn, so that no tone is lost
    level = s.level[:size].reshape(-1, step).max(axis=1)
    at = s.frequency[:size].reshape(-1, step)[np.arange(size // step), s.level[:size].reshape(-1, step).argmax(axis=1)]
    c = Chart("Spectrum of the cut", words(h, say), x=("frequency", "Hz", float(at[0]), float(at[-1])),
        y=("loudness", "dB", -70.0, 6.0), log_x=True, height=300)
    c.curve(at, np.maximum(level, -70))
    c.curve(s.frequency[::step], np.maximum(s.floor[::step] + cut_sound.STANDS_OUT, -70), "threshold", "limit")
    if np.isfinite(s.tone):
        c.upright(s.tone, f"{plain(s.tone, 3)} Hz")
    for own, name in ((h.bar, "bar"), (h.work, "work")):
        if at[0] < own < at[-1]:
            c.upright(own, name, "faint", low=True)
    return c.svg()


TO_DO = {"stickout": "let the bar stick out less", "speed": "cut more slowly",
    "support the work": "support the work or let it stick out less",
    "look for what turns unevenly": "look for what turns unevenly: a jaw, a belt or a gear",
    "infeed": "take a lighter cut", "feed": "feed more", "nose_radius": "take a smaller nose radius"}


def words(h: Heard, say: Say) -> str:
    s = h.sound
    first = "This sample is synthesised; load a recording of your own cut. " if h.sample else ""
    if s.kind == QUIET:
        return f"{first}The cut is quiet: no single tone stands out of the noise and carries the sound."
    if s.kind == FORCED:
        return (f"{first}This is not chatter: the tones lie on multiples of the spindle speed. "
            f"{_sentence(TO_DO[s.advice[0]])}.")
    whose = {BAR: "It lies on the bar's natural frequency or a little above it, so the bar vibrates.",
        WORK: "It lies on the work's natural frequency or a little above it, so the work vibrates."}.get(s.whose,
        "It lies on neither natural frequency given here: tap the bar and the work to find out which it is.")
    todo = ", then ".join(TO_DO[kind] for kind in s.advice[:2])
    return (f"{first}The cut chatters at {plain(s.tone, 3)} Hz (±{plain(max(2 * s.tone_error, 1), 1)}). {whose} "
        f"First {todo}.")


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


LISTEN = Page("listen_to_the_cut", "Is it chatter, and whose? Listen to the cut",
    (Slide("spindle", but(SpindleSpeed, usual=1300), "work", "spindle speed, rpm"),
    Slide("work_frequency", but(Frequency, usual=900, high=12e3), "work", "work's natural frequency"),
    Slide("bar_frequency", but(Frequency, usual=3150, high=12e3), "tool", "bar's natural frequency"),
    Load("recording", ".wav", "cut", "load a WAV recording of the cut"),
    Choose("sample", tuple(SAMPLES), "sample: the bar chatters", "view", "without a recording, listen to")), listen,
    picture, words)
