"""Listen to a bar: frequency and damping from a short sound recording of a tap.

Strike the bar's end lightly with a small hard thing, the holder clamped as for the cut, and
record with any phone a hand's breadth away. The ring after each strike is a dying sine:
its pitch is the frequency, and how fast it dies is the damping.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core.quantity import Refused, positive

SHORTEST, LONGEST = 0.05, 120.0   # s of recording


@dataclass(frozen=True)
class Recording:
    """A sound: samples from −1 to 1, and how many a second."""

    samples: np.ndarray
    rate: float


@dataclass(frozen=True)
class Ring:
    """What the strikes tell: means over the strikes and their scatter, frequency in Hz, damping as share of critical.
    """

    frequency: float
    frequency_scatter: float
    damping: float
    damping_scatter: float
    strikes: int
    second: float          # the next strongest frequency, Hz; nan where there is none
    note: str
    time: np.ndarray       # of the first strike's envelope, s, for the picture
    envelope: np.ndarray
    spectrum_frequency: np.ndarray
    spectrum: np.ndarray   # relative to its peak


def read_wav(content: bytes) -> Recording:
    """A WAV file's sound, all channels averaged. Raises Refused with a sentence for anything else.

    Uncompressed PCM of 8, 16, 24, 32 bits and 32 or 64 bit floating point, as phones and computers save it.
    """
    if not isinstance(content, (bytes, bytearray, memoryview)):
        raise Refused("Pick a sound file: a WAV recording of the tap.")
    data = bytes(content)
    if not data:
        raise Refused("The file is empty. Record the tap again and save it as WAV.")
    if data[:4] != b"RIFF" or data[8:12] != b"WAVE":
        raise Refused("This is not a WAV file. Save the recording as WAV (uncompressed), not as MP3, M4A or OGG.")
    shape: tuple[Any, ...] | None = None
    body = b""
    at = 12
    while at + 8 <= len(data):
        name, size = data[at:at + 4], struct.unpack_from("<I", data, at + 4)[0]
        chunk = data[at + 8:at + 8 + size]
        if name == b"fmt " and len(chunk) >= 16:
            kind, channels, rate, _, _, bits = struct.unpack_from("<HHIIHH", chunk)
            if kind == 0xFFFE and len(chunk) >= 26:   # the extensible form names the real kind further on
                kind = struct.unpack_from("<H", chunk, 24)[0]
            shape = (kind, channels, rate, bits)
        elif name == b"data":
            body = chunk
        at += 8 + size + size % 2
    if shape is None or not body:
        raise Refused("The WAV file is broken off: its sound is missing. Copy it from the phone again.")
    kind, channels, rate, bits = shape
    if channels < 1 or rate < 1000 or (kind, bits) not in ((1, 8), (1, 16), (1, 24), (1, 32), (3, 32), (3, 64)):
        raise Refused("This WAV is packed in a way that is not read here. Save it as uncompressed PCM, 16 bit.")
    width = bits // 8 * channels
    body = body[:len(body) // width * width]
    if kind == 3:
        sound = np.frombuffer(body, f"<f{bits // 8}").astype(float)
    elif bits == 8:
        sound = (np.frombuffer(body, np.uint8).astype(float) - 128) / 128
    elif bits == 24:
        three = np.frombuffer(body, np.uint8).reshape(-1, 3).astype(np.int32)
        value = three[:, 0] | three[:, 1] << 8 | three[:, 2] << 16
        sound = np.where(value >= 1 << 23, value - (1 << 24), value) / float(1 << 23)
    else:
        sound = np.frombuffer(body, f"<i{bits // 8}").astype(float) / float(1 << (bits - 1))
    sound = sound.reshape(-1, channels).mean(axis=1)
    if not np.isfinite(sound).all():
        raise Refused("The recording holds values that are not numbers. Record the tap again.")
    if len(sound) > LONGEST * rate:
        raise Refused(f"The recording is {len(sound) / rate:.0f} s long. Cut it to the taps: two minutes at most.")
    return Recording(sound, float(rate))


def write_wav(recording: Recording) -> bytes:
    """A 16 bit WAV file of a recording, for the demonstration sounds."""
    body = (np.clip(recording.samples, -1, 1) * 32767).astype("<i2").tobytes()
    rate = int(recording.rate)
    return (b"RIFF" + struct.pack("<I", 36 + len(body)) + b"WAVEfmt "
        + struct.pack("<IHHIIHH", 16, 1, 1, rate, 2 * rate, 2, 16) + b"data" + struct.pack("<I", len(body)) + body)


def made_up_taps(frequency: float, damping: float, strikes: int = 4, rate: float = 44100.0, noise: float = 0.003,
        second: tuple[float, float, float] | None = None, seed: int = 1) -> Recording:
    """A synthetic recording of taps for demonstrations and tests: dying sines in noise.

    second: (frequency, damping, strength) of another mode. Raises Refused for values that cannot be.
    """
    positive(frequency, "frequency", "Hz")
    if not 0 < damping < 1:
        raise Refused(
            f"Damping is {damping} of critical, but must lie between zero and 1. Metal bars have 0.002 to 0.1.")
    if not (1 <= strikes <= 100 and 1000 <= rate <= 400_000 and seed >= 0):
        raise Refused(
            "A made-up recording has 1 to 100 strikes, 1000 to 400000 samples a second, and a seed of zero or more.")
    dice = np.random.default_rng(seed)
    sound = noise * dice.standard_normal(int(rate * (0.3 + 0.5 * strikes)))
    t = np.arange(int(0.45 * rate)) / rate
    for strike in range(strikes):
        at = int(rate * (0.2 + 0.5 * strike))
        ring = np.exp(-2 * np.pi * frequency * damping * t) * np.sin(
            2 * np.pi * frequency * np.sqrt(1 - damping**2) * t)
        if second:
            f2, z2, strength = second
            ring = ring + strength * np.exp(-2 * np.pi * f2 * z2 * t) * np.sin(2 * np.pi * f2 * t)
        room = min(len(t), len(sound) - at)
        sound[at:at + room] += 0.6 * (1 - 0.1 * strike % 0.4) * ring[:room]
    return Recording(np.clip(sound, -1, 1), rate)


def listen(recording: Recording, lowest: float = 80.0, highest: float = 12000.0) -> Ring:
    """Frequency and damping of a tapped bar.

    Finds the strikes, takes the strongest frequency between lowest and highest (Hz) of the ring after each, filters
    it out, and fits a straight line to the logarithm of its envelope. Raises Refused for a recording that is silent,
    clipped, too short, or has no ring in it.
    """
    sound, rate = np.asarray(recording.samples, float), float(recording.rate)
    if len(sound) < SHORTEST * rate:
        raise Refused(
            f"The recording is only {1000 * len(sound) / rate:.0f} ms long. Record a second or more, with a few taps.")
    sound = sound - sound.mean()
    loudest = np.abs(sound).max()
    if loudest < 1e-3:
        raise Refused("The recording is silent. Hold the phone nearer and tap again.")
    if (np.abs(recording.samples) > 0.985).mean() > 0.002:
        raise Refused(
            "The recording is clipped: the tap was too loud for the microphone. Tap more lightly or move the phone "
            "away.")
    starts = _strikes(sound, rate)
    if not starts:
        raise Refused("No tap stands out from the noise. Tap in a quiet room, with a second between taps.")
    highest = min(highest, 0.45 * rate)
    rings = [ring for ring in (_one(sound, rate, start, stop, lowest, highest) for start,
        stop in zip(starts, [*starts[1:], len(sound)], strict=True)) if ring]
    if not rings:
        raise Refused(
            "The taps do not ring long enough to read. Tap the bar itself, near its end, with something small and hard."
        )
    f = np.array([ring[0] for ring in rings])
    z = np.array([ring[1] for ring in rings])
    middle = float(np.median(f))
    same = np.abs(f - middle) < 0.05 * middle
    f, z = f[same], z[same]
    note = "" if same.all() else f"{(~same).sum()} of {len(same)} strikes rang at another pitch and were left out. "
    if len(f) == 1:
        note += "One strike only: tap three times or more to see the scatter."
    scatter = (float(f.std(ddof=1)), float(z.std(ddof=1))) if len(f) > 1 else (0.01 * middle, 0.3 * float(z[0]))
    first = rings[int(np.flatnonzero(same)[0])]
    return Ring(float(f.mean()), scatter[0], float(z.mean()), scatter[1], len(f), first[2], note, *first[3:])


def _strikes(sound: np.ndarray, rate: float) -> list[int]:
    """Where the loudness jumps: the starts of the strikes, as sample numbers."""
    width = max(int(0.002 * rate), 1)
    count = len(sound) // width
    loud = np.sqrt((sound[:count * width].reshape(count, width) ** 2).mean(axis=1))
    floor = np.percentile(loud, 20) + 1e-6
    level = max(6 * floor, 0.12 * loud.max())
    starts: list[int] = []
    for i in np.flatnonzero(loud > level):
        before = loud[max(i - 5, 0):i]
        jump = not len(before) or loud[i] > 2.5 * before.mean()
        if jump and (not starts or i * width - starts[-1] > 0.12 * rate):
            starts.append(int(i * width))
    return starts


def _one(
    sound: np.ndarray, rate: float, start: int, stop: int, lowest: float, highest: float
) -> tuple[Any, ...] | None:
    """Frequency, damping, second frequency, envelope and spectrum of one strike; None where it does not ring."""
    knock = np.abs(sound[start:start + int(0.01 * rate)])
    begin = start + int(np.argmax(knock > 0.3 * knock.max())) + max(int(0.0005 * rate), 1)   # past the knock itself
    piece = sound[begin:min(stop - int(0.004 * rate), begin + int(0.6 * rate))]
    if len(piece) < 0.02 * rate:
        return None
    # a window that dies away by itself keeps the end from leaking; its own share is taken off again
    time = np.arange(len(piece)) / rate
    extra = 6.0 / time[-1]
    size = 1 << int(np.ceil(np.log2(4 * len(piece))))
    lines = np.fft.rfft(piece * np.exp(-extra * time), size)
    frequency, spectrum = np.fft.rfftfreq(size, 1 / rate), np.abs(lines)
    wanted = (frequency >= lowest) & (frequency <= highest)
    if not wanted.any():
        return None
    peak = int(np.flatnonzero(wanted)[spectrum[wanted].argmax()])
    if spectrum[peak] < 5 * np.median(spectrum[wanted]):
        return None
    f, decay = float(frequency[peak]), 0.05 * 2 * np.pi * float(frequency[peak])
    for _ in range(4):
        near = np.abs(frequency - f) <= np.clip(4 * decay / (2 * np.pi), 4 * rate / size, 0.25 * f)
        pole = _pole(2 * np.pi * frequency[near], lines[near])
        if not (np.isfinite(pole) and lowest < pole.imag / (2 * np.pi) < highest and pole.real > 0):
            return None
        f, decay = pole.imag / (2 * np.pi), pole.real
    decay -= extra
    damping = float(decay / np.hypot(decay, 2 * np.pi * f))
    if not 1e-5 < damping < 0.5:
        return None
    half = max(0.15 * f, 60.0)
    rest = np.where(wanted & (np.abs(frequency - f) > 2 * half), spectrum, 0)
    other = int(rest.argmax())
    second = float(frequency[other]) if rest[other] > 0.15 * spectrum[peak] and 0 < other < len(rest) - 1 \
        and rest[other - 1] > 0 and rest[other + 1] > 0 else float("nan")
    # for the picture: a band around the pitch, shifted to zero, is the envelope
    all_lines = np.fft.fftfreq(size, 1 / rate)
    wide = min(max(half, 2 * decay), 0.6 * f)
    band = np.exp(-0.5 * ((all_lines - f) / (wide / 2)) ** 4)
    envelope = 2 * np.abs(np.fft.ifft(np.fft.fft(piece, size) * band))[:len(piece)]
    end = max(int(min(6 / max(decay, 1.0), time[-1]) * rate), 20)
    thin, shown = max(1, end // 200), wanted & (frequency < min(3 * f, highest))
    coarse = max(1, int(shown.sum()) // 300)
    return (f, damping, second, time[:end:thin], envelope[:end:thin], frequency[shown][::coarse],
        spectrum[shown][::coarse] / spectrum[peak])


def _pole(omega: np.ndarray, lines: np.ndarray) -> complex:
    """Decay (real part) and angular frequency (imaginary) of the dying sine whose spectrum these lines are.

    X = A/(iω + p) + B near the peak, made linear: X p − A′ − B iω = −iω X; least squares.
    """
    middle = omega.mean()
    o = omega - middle   # shifted, so that the equations are well scaled
    matrix = np.stack([lines, -np.ones_like(lines), -1j * o], axis=1)
    scale = np.abs(matrix).max(axis=0)
    solution, *_ = np.linalg.lstsq(matrix / scale, -1j * o * lines, rcond=None)
    p = solution[0] / scale[0]
    return complex(p.real, middle - p.imag)
