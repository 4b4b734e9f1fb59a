"""How far the bin's place is off its usual temperature, from thermometer readings: a slow and a fast wander, fading.

A season moves a garage for months; a sunny day moves it for hours. Both fade back to the site's usual temperature, so
that one old reading is not believed for ever. A small exact filter in two numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, sqrt
from typing import Final

SLOW_DAYS: Final = 90.0
SLOW_SD_C: Final = 4.0
FAST_DAYS: Final = 4.0
FAST_SD_C: Final = 1.2
READING_SD_C: Final = 1.0


@dataclass(slots=True)
class Warmth:
    """Slow and fast offsets from the site's usual temperature, K, and their variances and covariance, K2."""

    slow: float = 0.0
    fast: float = 0.0
    var_slow: float = SLOW_SD_C**2
    var_fast: float = FAST_SD_C**2
    both: float = 0.0

    @property
    def offset_c(self) -> float:
        """How far the site is off its usual temperature, K."""
        return self.slow + self.fast

    @property
    def sd_c(self) -> float:
        """Standard deviation of the offset, K."""
        return sqrt(max(0.0, self.var_slow + self.var_fast + 2.0 * self.both))

    def age(self, days: float) -> None:
        """Let time pass: both offsets fade, and doubt comes back up to what it was before any reading."""
        slow, fast = exp(-days / SLOW_DAYS), exp(-days / FAST_DAYS)
        self.slow *= slow
        self.fast *= fast
        self.var_slow = SLOW_SD_C**2 + slow * slow * (self.var_slow - SLOW_SD_C**2)
        self.var_fast = FAST_SD_C**2 + fast * fast * (self.var_fast - FAST_SD_C**2)
        self.both *= slow * fast

    def doubt(self, off: float) -> None:
        """Doubt what was believed until readings that lie ``off`` standard deviations away are no wonder."""
        times = max(1.0, off * off)
        self.var_slow, self.var_fast, self.both = self.var_slow * times, self.var_fast * times, self.both * times

    def read(self, innovation: float, variance: float) -> None:
        """Take a reading in that lies ``innovation`` K over what was expected, with an error variance in K2."""
        with_slow, with_fast = self.var_slow + self.both, self.var_fast + self.both
        whole = with_slow + with_fast + variance
        self.slow += with_slow * innovation / whole
        self.fast += with_fast * innovation / whole
        self.var_slow -= with_slow * with_slow / whole
        self.var_fast -= with_fast * with_fast / whole
        self.both -= with_slow * with_fast / whole

    def copy(self) -> Warmth:
        """The same, free to go another way."""
        return Warmth(self.slow, self.fast, self.var_slow, self.var_fast, self.both)
