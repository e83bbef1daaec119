"""The obvious alternative, for comparison: `interact` with a new matplotlib figure at every change."""

from __future__ import annotations

import io
from typing import Any

import numpy as np


def draw_bend(result: Any) -> bytes:
    """The stickout page's chart as a matplotlib picture, PNG, as a notebook would send it."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    figure, axes = plt.subplots(2, 1, figsize=(6.6, 7.2))
    x = np.linspace(0, 1, 40)
    axes[0].fill_between(x, -1, 1, alpha=0.3)
    axes[0].plot(x, x**2)
    axes[0].annotate("push", (1, 1))
    axes[1].fill_between(result.stickouts, 1e3 * result.error_low, 1e3 * result.error_high, alpha=0.3)
    axes[1].plot(result.stickouts, 1e3 * result.error_middle)
    axes[1].axhline(-9, ls="--")
    axes[1].set_xlabel("stickout, mm")
    axes[1].set_ylabel("error of the bore, µm")
    stream = io.BytesIO()
    figure.savefig(stream, format="png")
    plt.close(figure)
    return stream.getvalue()
