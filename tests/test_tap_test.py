"""Listening to a bar: made-up sounds with known answers, and recordings that cannot be used."""

import io
import struct
import wave

import numpy as np
import pytest
from scipy.io import wavfile

from springpass.boring_bar import tap_test as tt
from springpass.core.quantity import Refused


@pytest.mark.parametrize(
    ("frequency", "damping"),
    [(2950, 0.03), (1200, 0.01), (5200, 0.02), (800, 0.06), (3000, 0.1), (400, 0.005), (9000, 0.02)],
)
def test_a_dying_sine_in_noise_is_read(frequency, damping):
    ring = tt.listen(tt.made_up_taps(frequency, damping, noise=0.003))
    assert ring.frequency == pytest.approx(frequency, rel=0.005)
    assert ring.damping == pytest.approx(damping, rel=0.03)
    assert ring.strikes == 4


def test_two_modes_are_told_apart():
    ring = tt.listen(tt.made_up_taps(2000, 0.02, second=(3300, 0.015, 0.4)))
    assert ring.frequency == pytest.approx(2000, rel=0.003)
    assert ring.damping == pytest.approx(0.02, rel=0.05)
    assert ring.second == pytest.approx(3300, rel=0.02)


def test_several_strikes_give_the_scatter():
    noisy = tt.listen(tt.made_up_taps(2000, 0.02, strikes=6, noise=0.03))
    quiet = tt.listen(tt.made_up_taps(2000, 0.02, strikes=6, noise=0.001))
    assert noisy.damping_scatter > 3 * quiet.damping_scatter
    assert abs(noisy.damping - 0.02) < 3 * noisy.damping_scatter
    assert "One strike only" in tt.listen(tt.made_up_taps(2000, 0.02, strikes=1)).note


def test_the_ring_agrees_with_the_logarithmic_decrement():
    """Another way to the damping: heights of successive swings (textbook), on a clean sound."""
    recording = tt.made_up_taps(500, 0.01, strikes=1, noise=0.0)
    sound, rate = recording.samples, recording.rate
    swing = int(rate / 500)
    start = int(0.2 * rate)
    tops = [sound[start + i * swing:start + (i + 1) * swing].max() for i in range(30)]
    decrement = np.log(tops[2] / tops[22]) / 20
    assert decrement / np.sqrt(4 * np.pi**2 + decrement**2) == pytest.approx(0.01, rel=0.01)
    assert tt.listen(recording).damping == pytest.approx(0.01, rel=0.01)


def as_wav(samples, kind):
    stream = io.BytesIO()
    wavfile.write(stream, 44100, samples.astype(kind))
    return stream.getvalue()


@pytest.mark.parametrize("kind", ["int16", "int32", "float32", "float64", "uint8"])
def test_wav_files_written_by_another_library_are_read(kind):
    sound = tt.made_up_taps(2000, 0.02, noise=0.001).samples
    scaled = {
        "int16": sound * 32767,
        "int32": sound * 2147483000,
        "float32": sound,
        "float64": sound,
        "uint8": sound * 127 + 128,
    }[kind]
    got = tt.read_wav(as_wav(scaled, kind))
    assert got.rate == 44100
    assert np.abs(got.samples - sound).max() < (0.02 if kind == "uint8" else 1e-4)


def test_stereo_and_24_bit_are_read():
    sound = tt.made_up_taps(2000, 0.02, noise=0.001).samples
    stream = io.BytesIO()
    with wave.open(stream, "wb") as file:
        file.setparams((2, 3, 44100, 0, "NONE", ""))
        whole = (sound * 8388600).astype(np.int32)
        frames = np.stack([whole, whole], axis=1).reshape(-1)
        file.writeframes(b"".join(struct.pack("<i", v)[:3] for v in frames))
    assert np.abs(tt.read_wav(stream.getvalue()).samples - sound).max() < 1e-5


GOOD = tt.write_wav(tt.made_up_taps(2000, 0.02))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"ID3 an mp3", "not a WAV"),
        (b"RIFF", "not a WAV"),
        (GOOD[:40], "broken off"),
        (GOOD[:60], "ms long"),
        (tt.write_wav(tt.Recording(np.zeros(44100), 44100.0)), "silent"),
        (tt.write_wav(tt.Recording(np.clip(5 * np.sin(np.arange(44100)), -1, 1), 44100.0)), "clipped"),
        (tt.write_wav(tt.Recording(0.1 * np.ones(100), 44100.0)), "ms long"),
        (tt.write_wav(tt.Recording(0.05 * np.random.default_rng(1).standard_normal(44100), 44100.0)), "No tap"),
        (GOOD[:20] + b"\x55\x00" + GOOD[22:], "packed in a way"),
        ("text", "Pick a sound file"),
        (None, "Pick a sound file"),
    ],
)
def test_recordings_that_cannot_be_used_get_a_sentence(content, words):
    with pytest.raises(Refused, match="(?i)" + words):
        tt.listen(tt.read_wav(content))


@pytest.mark.parametrize("cut", range(0, 2000, 97))
def test_a_file_broken_off_anywhere_never_crashes(cut):
    try:
        tt.listen(tt.read_wav(GOOD[:cut]))
    except Refused as refusal:
        assert str(refusal).endswith(".")
