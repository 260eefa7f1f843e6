"""A small reader of GIF89a, independent of the writer, for tests only.

Written from the block layout of the GIF89a specification (1990): section 23 as quoted in the
project's collected facts; the other sections, and the code scheme of appendix F, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

HEADER = bytes.fromhex("47 49 46 38 39 61")
TRAILER = 0x3B


@dataclass
class Picture:
    """One image block with the graphic control extension before it."""

    left: int
    top: int
    width: int
    height: int
    local_table: bool
    interlaced: bool
    code_bits: int
    data: bytes
    control: bytes | None

    @property
    def disposal(self) -> int:
        return self.control[3] >> 2 & 7

    @property
    def transparent(self) -> int | None:
        return self.control[6] if self.control[3] & 1 else None

    @property
    def delay_cs(self) -> int:
        return int.from_bytes(self.control[4:6], "little")

    def numbers(self) -> np.ndarray:
        """Colour numbers [height, width], unpacked from the variable-length codes."""
        flat = unpack(self.data, self.code_bits)
        return np.frombuffer(flat, np.uint8).reshape(self.height, self.width)


@dataclass
class Gif:
    width: int
    height: int
    table: np.ndarray | None
    pictures: list[Picture] = field(default_factory=list)
    applications: list[bytes] = field(default_factory=list)
    comments: list[bytes] = field(default_factory=list)

    def frames(self):
        """What a viewer shows after each image, as colours [h, w, 3]; disposal 0 or 1 only."""
        canvas = np.zeros((self.height, self.width), np.uint8)
        for picture in self.pictures:
            assert picture.disposal in (0, 1)
            numbers = picture.numbers()
            part = canvas[
                picture.top : picture.top + picture.height,
                picture.left : picture.left + picture.width,
            ]
            keep = numbers == picture.transparent if picture.transparent is not None else False
            part[:] = np.where(keep, part, numbers)
            yield self.table[canvas]

    def shown_at(self, times_cs) -> np.ndarray:
        """What a viewer shows at these times, in 1/100 s from the start: [n, h, w, 3]."""
        ends = np.cumsum([picture.delay_cs for picture in self.pictures])
        frames = list(self.frames())
        return np.stack([frames[np.searchsorted(ends, at, side="right")] for at in times_cs])


def read(data: bytes) -> Gif:
    """Every block of a GIF89a stream; an AssertionError where it is not one."""
    assert data[:6] == HEADER
    width, height = (int.from_bytes(data[at : at + 2], "little") for at in (6, 8))
    packed, at, table = data[10], 13, None
    if packed & 0x80:
        size = 3 << ((packed & 7) + 1)
        table = np.frombuffer(data[at : at + size], np.uint8).reshape(-1, 3)
        at += size
    gif, control = Gif(width, height, table), None
    while data[at] != TRAILER:
        if data[at] == 0x21:
            start, label = at, data[at + 1]
            if label == 0xF9:
                assert control is None, "more than one control block for one image"
                control, at = data[at : at + 8], at + 8
                assert control[2] == 4
                assert control[7] == 0
            elif label == 0xFE:
                text, at = sub_blocks(data, at + 2)
                gif.comments.append(text)
            elif label == 0xFF:
                _, at = sub_blocks(data, at + 2)
                gif.applications.append(data[start:at])
            else:
                raise AssertionError(f"extension {label:#x} is not expected")
        else:
            assert data[at] == 0x2C, f"no block begins with {data[at]:#x}"
            place = [int.from_bytes(data[at + i : at + i + 2], "little") for i in (1, 3, 5, 7)]
            flags, code_bits = data[at + 9], data[at + 10]
            local = bool(flags & 0x80)
            assert not local, "a local colour table is not expected"
            packed_codes, at = sub_blocks(data, at + 11)
            picture = Picture(*place, local, bool(flags & 0x40), code_bits, packed_codes, control)
            gif.pictures.append(picture)
            control = None
    assert at == len(data) - 1, "bytes after the trailer"
    return gif


def sub_blocks(data: bytes, at: int) -> tuple[bytes, int]:
    """The joined data sub-blocks from `at`, and where the next block begins."""
    parts = []
    while data[at]:
        parts.append(data[at + 1 : at + 1 + data[at]])
        at += 1 + data[at]
    return b"".join(parts), at + 1


def unpack(data: bytes, code_bits: int) -> bytes:
    """Undo the variable-length LZW code of appendix F."""
    clear, end = 1 << code_bits, (1 << code_bits) + 1
    fresh = [bytes([n]) for n in range(clear)] + [b"", b""]
    strings, bits, before, out = list(fresh), code_bits + 1, None, []
    held, count = 0, 0
    for byte in data:
        held |= byte << count
        count += 8
        while count >= bits:
            code = held & ((1 << bits) - 1)
            held >>= bits
            count -= bits
            if code == end:
                return b"".join(out)
            if code == clear:
                strings, bits, before = list(fresh), code_bits + 1, None
                continue
            if before is None:
                text = strings[code]
            else:
                text = strings[code] if code < len(strings) else before + before[:1]
                if len(strings) < 4096:
                    strings.append(before + text[:1])
                    if len(strings) == 1 << bits and bits < 12:
                        bits += 1
            out.append(text)
            before = text
    raise AssertionError("the codes have no end")
