"""Page and camera: metres and newtons to lengths on the page. The only place where y turns over."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from simlab.pictures.marks import Point, Points

HEIGHT = 1080.0  # [page units] of every page: a unit is one pixel of a 1920 x 1080 screen
Rect = tuple[float, float, float, float]  # left, top, right, bottom on the page [page units]
Bounds = tuple[float, float, float, float]  # left, bottom, right, top of a frame [m]


@dataclass(frozen=True)
class Page:
    """A page of any size, 1080 units high if nothing is said; x to the right, y down from the top left.

    >>> Page.of(1280, 720).width, Page.of(1920, 1080).width
    (1920.0, 1920.0)
    """

    width: float
    height: float = HEIGHT

    @classmethod
    def of(cls, width: float, height: float) -> Page:
        """The page whose sides are in the ratio width : height (pixels, millimetres)."""
        return cls(HEIGHT * width / height)

    @classmethod
    def screen(cls, width: float, height: float) -> Page:
        """The page of a film of that shape, whose shorter side is 1080 units: a telephone's is 1920 high.

        >>> Page.screen(1080, 1920), Page.screen(4, 3).width
        (Page(width=1080.0, height=1920.0), 1440.0)
        """
        return cls.of(width, height) if width >= height else cls(HEIGHT, HEIGHT * height / width)

    @property
    def is_tall(self) -> bool:
        """Whether it is higher than wide, so that things stand below one another."""
        return self.height > self.width

    def upwards(self, ratio: float) -> tuple[float, float, float, float, float, float]:
        """The affine map (a, b, c, d, e, f) from page units to a renderer's own axes.

        x' = a x + c y + e,  y' = b x + d y + f, with `ratio` pixels a unit: renderers count y upwards.
        """
        return (ratio, 0.0, 0.0, -ratio, 0.0, ratio * self.height)


SCREEN = Page.of(16, 9)
PAPER = Page.of(297, 210)  # A4, landscape


@dataclass(frozen=True)
class Camera:
    """Where the frame is seen on the page.

    `focus` [m] falls on `middle` [page units]; `scale` [page units/m]; `per_newton` [page units/N]
    is the one scale of all force arrows of a picture.
    """

    focus: Point
    middle: Point
    scale: float
    per_newton: float = 0.0

    @classmethod
    def fit(cls, bounds: Bounds, rect: Rect, per_newton: float = 0.0) -> Camera:
        """The camera that shows the bounds as large as the rectangle of the page allows, centred.

        >>> Camera.fit((0, 0, 2, 1), (0, 0, 200, 300)).to_page(np.array([0.0, 0.0])).tolist()
        [0.0, 200.0]
        """
        left, bottom, right, top = bounds
        x0, y0, x1, y1 = rect
        wide, high = right - left, top - bottom
        scale = min((x1 - x0) / wide if wide > 0 else np.inf, (y1 - y0) / high if high > 0 else np.inf)
        scale = float(scale) if np.isfinite(scale) else 1.0
        return cls(
            ((left + right) / 2, (bottom + top) / 2), ((x0 + x1) / 2, (y0 + y1) / 2), scale, per_newton
        )

    @property
    def grain(self) -> float:
        """How many metres a page unit shows [m/page unit]."""
        return 1 / self.scale

    def to_page(self, points: Points) -> Points:
        """Points of the frame [m], shape (..., 2), on the page [page units]."""
        focus, scales, middle = self._arrays
        return (points - focus) * scales + middle

    @cached_property
    def _arrays(self) -> tuple[Points, Points, Points]:
        """Focus, scales and middle as arrays: made once, not for every mark."""
        return np.array(self.focus), np.array((self.scale, -self.scale)), np.array(self.middle)

    def point(self, point: Point) -> Point:
        """One point of the frame [m] on the page [page units]."""
        (x, y), (x0, y0), (u0, v0) = point, self.focus, self.middle
        return (u0 + (x - x0) * self.scale, v0 - (y - y0) * self.scale)

    def to_frame(self, points: Points) -> Points:
        """Points of the page [page units], shape (..., 2), in the frame [m]."""
        return (points - self.middle) / (self.scale, -self.scale) + self.focus

    def length(self, vector: Point) -> Point:
        """A vector of the frame [m] as lengths on the page [page units]."""
        return (vector[0] * self.scale, -vector[1] * self.scale)

    def arrow(self, vector: Point) -> Point:
        """A force [N] as a length on the page [page units]."""
        return (vector[0] * self.per_newton, -vector[1] * self.per_newton)

    def towards(self, other: Camera, share: float) -> Camera:
        """The camera a `share` (0 to 1) of the way to another; zooms by equal ratios in equal shares."""

        def mix(a: Point, b: Point) -> Point:
            return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))

        scale = self.scale ** (1 - share) * other.scale**share
        per_newton = self.per_newton + share * (other.per_newton - self.per_newton)
        return Camera(mix(self.focus, other.focus), mix(self.middle, other.middle), scale, per_newton)

    def with_forces(self, per_newton: float) -> Camera:
        """The same view with another scale of the force arrows [page units/N]."""
        return replace(self, per_newton=per_newton)
