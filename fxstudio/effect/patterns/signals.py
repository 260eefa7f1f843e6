"""Signals that are periodic over a loop by construction: noise, and the lag of a filament."""

from __future__ import annotations

from functools import lru_cache
from statistics import NormalDist

import numpy as np

from fxstudio.arrays import Bools, Floats


def circular_ar1(
    rng: np.random.Generator, count: int, step_s: float, time_constant_s: float
) -> Floats:
    """Unit-variance AR(1) noise [count] that is periodic over `count` steps.

    White noise filtered in a circle by 1 / (1 - a/z), a = exp(-step/time constant).
    Source: Box, Jenkins & Reinsel, "Time Series Analysis", AR(1); from memory.
    """
    a = np.exp(-step_s / time_constant_s)
    white = rng.standard_normal(count)
    turn = np.exp(-2j * np.pi * np.fft.rfftfreq(count))
    noise = np.fft.irfft(np.fft.rfft(white) / (1 - a * turn), n=count)
    # The circle repeats its own past, which lifts the variance by (1 + a^n) / (1 - a^n).
    wrap = a**count
    answer: Floats = noise * np.sqrt((1 - a**2) * (1 - wrap) / (1 + wrap))
    return answer


@lru_cache(maxsize=1)
def normal_to_beta22() -> tuple[Floats, Floats]:
    """Table that maps a normal variate to the beta(2, 2) value of the same quantile."""
    z = np.linspace(-4.5, 4.5, 1801)
    quantile = np.array([NormalDist().cdf(value) for value in z])
    return z, beta22_quantile(quantile)


def beta22_quantile(share: Floats) -> Floats:
    """The value of beta(2, 2) below which `share` 0..1 of it lies, same shape.

    The distribution function is the integral of 6 x (1 - x), 3 x^2 - 2 x^3; this is the root in
    0..1 of that cubic by its trigonometric solution (Viete).
    """
    return 0.5 - np.sin(np.arcsin(1 - 2 * share) / 3)


def lag(lit: Bools, step_s: float, rise_s: float, fall_s: float) -> Floats:
    """First-order answer [n] to `lit`, periodic: the end of the loop meets its beginning."""
    edges = np.flatnonzero(lit != np.roll(lit, 1))
    if edges.size == 0:
        return lit.astype(float)
    lengths = np.diff(np.append(edges, edges[0] + len(lit)))
    constants_s = np.where(lit[edges], max(rise_s, 1e-9), max(fall_s, 1e-9))
    answer = np.empty(len(lit))

    def once_round(state: float) -> float:
        for start, length, constant_s in zip(edges, lengths, constants_s, strict=True):
            target = float(lit[start])
            age = np.arange(length + 1) * step_s
            course = target + (state - target) * np.exp(-age / constant_s)
            answer[np.arange(start, start + length) % len(lit)] = course[:-1]
            state = course[-1]
        return state

    # Once round is linear in the state it began with: solve for the state that returns.
    kept = np.exp(-np.sum(lengths * step_s / constants_s))
    once_round(once_round(0.0) / (1 - kept))
    return answer
