"""What grows with the length of a film is kept on disk, so that memory does not grow with it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from tempfile import SpooledTemporaryFile, TemporaryFile
from typing import IO, Any
from weakref import finalize

import numpy as np
from numpy.typing import NDArray

from fxstudio.errors import WriteError

IN_MEMORY_BYTES = 4_000_000
"""As much of what is kept stays in memory."""


@contextmanager
def _room_on_disk() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno is None:  # what Pillow says of a picture that it cannot read
            raise
        raise WriteError(
            f"the folder for passing files cannot be written: {error.strerror or error}",
            remedy="make room on that disk, or set TMPDIR to a folder on another",
        ) from error


@contextmanager
def passing_file() -> Iterator[IO[bytes]]:
    """A file to write and to read again, which is gone after the block.

    Raises WriteError where there is no room for it.
    """
    with _room_on_disk(), TemporaryFile() as file:
        yield file


class OnDisk:
    """Arrays of one shape and kind [n], put down one by one, and read as often as one likes.

    Those that are read cannot be written to. `append` raises WriteError where the disk is full.
    """

    def __init__(self) -> None:
        self._file: IO[bytes] = SpooledTemporaryFile(IN_MEMORY_BYTES)  # noqa: SIM115
        finalize(self, self._file.close)
        self._count, self._bytes = 0, 0
        self._shape: tuple[int, ...] = ()
        self._kind: np.dtype[Any] = np.dtype(np.uint8)

    def append(self, array: NDArray[Any]) -> None:
        """Put down one more."""
        self._shape, self._kind, self._bytes = array.shape, array.dtype, array.nbytes
        with _room_on_disk():
            self._file.seek(self._count * self._bytes)
            self._file.write(np.ascontiguousarray(array).data)
        self._count += 1

    def __len__(self) -> int:
        return self._count

    def __iter__(self) -> Iterator[NDArray[Any]]:
        return map(self.__getitem__, range(self._count))

    def __getitem__(self, number: int) -> NDArray[Any]:
        if not 0 <= number < self._count:
            raise IndexError(number)
        self._file.seek(number * self._bytes)
        return np.frombuffer(self._file.read(self._bytes), self._kind).reshape(self._shape)
