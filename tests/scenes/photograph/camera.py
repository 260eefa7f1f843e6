"""A camera made of numbers, which photographs scenes made of numbers.

It shares no code with what it tests. Its curve and primaries are those of the published standards,
by colour-science: IEC 61966-2-1 (sRGB) and the P3 primaries of SMPTE EG 432-1 with D65.
"""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass

import colour
import numpy as np
from PIL import Image
from scipy import ndimage

SRGB = colour.RGB_COLOURSPACES["sRGB"]
P3 = colour.RGB_COLOURSPACES["Display P3"]
TO_P3 = np.linalg.inv(P3.matrix_RGB_to_XYZ) @ SRGB.matrix_RGB_to_XYZ

MARGIN = 0.08
"""How much of the scene lies beyond each edge of the picture, as a share of its width."""


@dataclass(frozen=True)
class Camera:
    """How one photograph is taken.

    seconds, iso, f_number : exposure; 1/30 s at ISO 100 and f/2 takes light 1 as code 255
    white : gains of red, green and blue
    shift : right and down, in widths of the picture; turn : degrees clockwise
    noise : standard deviation of the sensor in light at ISO 100; photons : at full light, 0 for no
        shot noise
    blur_px : of the lens
    p3 : whether it saves Display P3
    quality : of the JPEG; None for PNG
    exif : whether it writes its exposure
    """

    seconds: float = 1 / 30
    iso: int = 100
    f_number: float = 2.0
    white: tuple[float, float, float] = (1.0, 1.0, 1.0)
    shift: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    noise: float = 0.0
    photons: float = 0.0
    blur_px: float = 0.0
    p3: bool = False
    quality: int | None = 95
    exif: bool = True

    @property
    def gain(self) -> float:
        """How many times the light of a scene is that of the picture."""
        return self.seconds * 30 * self.iso / 100 * (2 / self.f_number) ** 2

    def light(self, scene: np.ndarray, size: tuple[int, int], rng: np.random.Generator):
        """Linear light [3, h, w] that reaches the picture of `size` (w, h), not yet clipped."""
        width, height = size
        angle = np.deg2rad(self.turn)
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        middle = (np.array([height, width]) - 1) / 2
        shift = np.array([self.shift[1], self.shift[0]]) * width
        whole = (np.array(scene.shape[1:]) - 1) / 2
        seen = [
            ndimage.affine_transform(
                plane, turn, whole + shift - turn @ middle, (height, width), order=3, mode="nearest"
            )
            for plane in scene
        ]
        planes = np.maximum(np.stack(seen), 0)
        if self.blur_px:
            planes = ndimage.gaussian_filter(planes, (0, self.blur_px, self.blur_px))
        planes = planes * self.gain * np.array(self.white)[:, None, None]
        variance = (self.noise * self.iso / 100) ** 2
        if self.photons:
            variance = variance + planes * (self.iso / 100) / self.photons
        return planes + np.sqrt(variance) * rng.standard_normal(planes.shape)

    def picture(self, scene, size, rng) -> Image.Image:
        """The photograph of a scene [3, H, W] as 8-bit codes."""
        light = self.light(scene, size, rng)
        if self.p3:
            light = np.einsum("ij,jhw->ihw", TO_P3, light)
        signal = SRGB.cctf_encoding(np.clip(light, 0, 1))
        return Image.fromarray(np.rint(255 * signal).astype(np.uint8).transpose(1, 2, 0))

    def file(self, scene, size, rng) -> bytes:
        """The file that the camera writes."""
        image = self.picture(scene, size, rng)
        return packed(image, self)


def packed(image: Image.Image, camera: Camera, **tags: object) -> bytes:
    """A picture as the camera's file; `tags` are further tags at the top of its EXIF by number."""
    exif = Image.Exif()
    if camera.exif:
        inside = exif.get_ifd(0x8769)
        inside[0x829A], inside[0x8827], inside[0x829D] = camera.seconds, camera.iso, camera.f_number
    for number, value in tags.items():
        exif[int(number.lstrip("t"))] = value
    file = io.BytesIO()
    settings = {"exif": exif, "icc_profile": profile(P3) if camera.p3 else profile(SRGB)}
    if camera.quality is None:
        image.save(file, "PNG", **settings)
    else:
        image.save(file, "JPEG", quality=camera.quality, subsampling=0, **settings)
    return file.getvalue()


def profile(space, gamma: float | None = None) -> bytes:
    """An ICC profile (ICC.1:2010) of a space's primaries and the curve of sRGB, or a gamma."""
    d50 = np.array([0.9642, 1.0, 0.8249])
    white = colour.xy_to_XYZ(space.whitepoint)
    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(white, d50, transform="Bradford")
    columns = (adapt @ space.matrix_RGB_to_XYZ).T

    def fixed(*numbers: float) -> bytes:
        return struct.pack(f">{len(numbers)}i", *(round(number * 65536) for number in numbers))

    def text(words: str) -> bytes:
        written = words.encode("utf-16-be")
        return (
            b"mluc" + struct.pack(">IIIHHII", 0, 1, 12, 0x656E, 0x5553, len(written), 28) + written
        )

    if gamma is None:
        curve = b"para\0\0\0\0\0\3\0\0" + fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    else:
        curve = b"para\0\0\0\0\0\0\0\0" + fixed(gamma)
    tags = {"desc": text("own"), "cprt": text("none"), "wtpt": b"XYZ \0\0\0\0" + fixed(*d50)}
    for name, column in zip("rgb", columns, strict=True):
        tags[f"{name}XYZ"] = b"XYZ \0\0\0\0" + fixed(*column)
        tags[f"{name}TRC"] = curve
    table, body, at = b"", b"", 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        table += name.encode() + struct.pack(">II", at + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    head = struct.pack(
        ">I4sI4s4s4s", at + len(body), b"\0\0\0\0", 0x04300000, b"mntr", b"RGB ", b"XYZ "
    )
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28 + fixed(*d50)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


@dataclass(frozen=True)
class Model:
    """A scene to be photographed: light [3, H, W] by room light, and of each lamp at full."""

    size: tuple[int, int]
    room: np.ndarray
    lamps: dict[str, np.ndarray]

    def state(self, **brightness: float) -> np.ndarray:
        """Light [3, H, W] with lamps so bright."""
        return self.room + sum(b * self.lamps[name] for name, b in brightness.items())

    def seen(self, planes: np.ndarray) -> np.ndarray:
        """What lies inside the picture that a camera takes that has not moved."""
        width, height = self.size
        top, left = ((n - m) // 2 for n, m in zip(planes.shape[1:], (height, width), strict=True))
        return planes[:, top : top + height, left : left + width]


COLOURS = {"bed": (1.0, 0.32, 0.03), "flames": (1.0, 0.55, 0.12), "lamp": (1.0, 0.78, 0.5)}
"""Linear sRGB of the lamps; a choice of looks."""


def random_model(rng: np.random.Generator, size=(320, 240), lamps=("bed", "flames")) -> Model:
    """Walls, boxes and rods of many colours in uneven room light, and lamps among them.

    A lamp lights what lies in its own compartment, by the inverse square of the distance, and a
    little of the rest.
    """
    width, height = size
    margin = int(np.ceil(MARGIN * width))
    rows, columns = height + 2 * margin, width + 2 * margin
    y, x = (np.mgrid[:rows, :columns] - margin) / width
    albedo = np.repeat(0.25 + 0.1 * _cloud(rng, rows, columns, 24)[None], 3, axis=0)
    for _ in range(60):
        cx, cy, angle = rng.uniform(-0.1, 1.1), rng.uniform(-0.1, 0.85), rng.uniform(0, np.pi)
        long, short = rng.uniform(0.03, 0.25), rng.uniform(0.01, 0.1)
        u = (x - cx) * np.cos(angle) + (y - cy) * np.sin(angle)
        v = (y - cy) * np.cos(angle) - (x - cx) * np.sin(angle)
        inside = (abs(u) < long) & (abs(v) < short)
        tint = rng.uniform(0.04, 0.7) * rng.uniform(0.5, 1.0, 3)
        albedo[:, inside] = tint[:, None]
    albedo = albedo * (
        1 + 0.15 * _cloud(rng, rows, columns, 4) + 0.1 * _cloud(rng, rows, columns, 9)
    )
    albedo = ndimage.gaussian_filter(np.clip(albedo, 0.01, 0.9), (0, 0.6, 0.6))
    side = rng.uniform(0, 2 * np.pi)
    slope = (x - 0.5) * np.cos(side) + (y - 0.4) * np.sin(side)
    room = np.exp(rng.uniform(np.log(0.06), np.log(0.9))) * (1 + 0.5 * slope)
    warm = np.array([1.0, 1.0, 1.0]) * rng.uniform(0.85, 1.15, 3)
    light = {}
    for name in lamps:
        lx, ly = rng.uniform(0.25, 0.75), rng.uniform(0.2, 0.55)
        power, radius = rng.uniform(0.004, 0.012), rng.uniform(0.02, 0.04)
        box = rng.uniform(0.15, 0.3, 4)
        walls = np.minimum.reduce(
            [x - lx + box[0], lx + box[1] - x, y - ly + box[2], ly + box[3] - y]
        )
        stray = rng.uniform(0.002, 0.02)
        opened = stray + (1 - stray) / (1 + np.exp(-walls / 0.008))
        distance = np.hypot(x - lx, y - ly)
        falling = power / (distance**2 + 0.05**2) * opened
        core = rng.uniform(0.6, 1.2) * np.exp(-((distance / radius) ** 4))
        tint = np.array(COLOURS[name])[:, None, None]
        light[name] = tint * (albedo * falling + core)
    return Model(size, albedo * room * warm[:, None, None], light)


def _cloud(rng, rows, columns, grain):
    cloud = ndimage.gaussian_filter(rng.standard_normal((rows, columns)), grain, mode="wrap")
    return cloud / cloud.std()


def photographed(folder, model: Model, cameras: dict[str, Camera], seed: int = 1, dim=None):
    """Write a photograph of the dark scene (`off`) and one of each lamp; gives their paths."""
    rng = np.random.default_rng(seed)
    paths = {}
    for name, camera in cameras.items():
        scene = model.room if name == "off" else model.state(**{name: (dim or {}).get(name, 1.0)})
        paths[name] = folder / f"{name}.{'png' if camera.quality is None else 'jpg'}"
        paths[name].write_bytes(camera.file(scene, model.size, rng))
    return paths
