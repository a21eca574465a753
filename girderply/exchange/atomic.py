"""Writing that leaves the old file or the new one, never half of one.

A file is written beside its target and moved over it. A folder is built beside its target and
put in its place as a whole; what people laid into the old folder moves along.
"""

from __future__ import annotations

import contextlib
import glob
import hashlib
import os
import platform
import shutil
import time
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path

from girderply.errors import OutputError

CONTENTS = "contents.sha256"
LITTER_AGE = 3600.0  # s; longer than any run takes
LOCK_WAIT = 30.0  # s; a folder is put in place in a fraction of one


def write_bytes(target: Path, data: bytes) -> None:
    """Put `data` at `target`; on any failure what was there before is untouched.

    Raises:
        OutputError: the file cannot be written there.
    """
    part = _beside(target, "part")
    with as_output_error(target):
        if target.is_dir():
            raise IsADirectoryError(21, "is a folder", str(target))
        try:
            _write_synced(part, data)
            os.replace(part, target)
        finally:
            part.unlink(missing_ok=True)


def write_text(target: Path, text: str, *, encoding: str = "utf-8") -> None:
    """Put `text` at `target` as it is (no change of line ends); see `write_bytes`."""
    write_bytes(target, text.encode(encoding))


def write_folder(target: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Make `target` a folder of exactly these files and those that people laid into it.

    A list of the files with their sha256 is written with them; by this list a later run knows
    its own files from those of people, and its own that people have changed since (a filled
    tick-off list, a marked-up sheet): these are kept beside the new ones.

    Args:
        target: the folder, or a link to one; its parents are made if they are missing.
        files: relative path with `/` -> content.

    Returns:
        Names under which files that were changed by hand are kept, sorted.

    Raises:
        OutputError: it cannot be written, or `target` is there and is not such a folder.
    """
    target = _linked(target)
    part, old = _beside(target, "part"), target.with_name(f".{target.name}.old")
    with as_output_error(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with _alone(target):  # while nobody moves it
            _foreign_files(target)  # somebody else's folder is told before the work
        try:
            _fill(part, files)
            with _alone(target):
                _recover(target, old)
                _clear_litter(target)
                for name in _foreign_files(target):
                    _copy(target / name, part / name)
                kept = _keep_changed(target, part)
                _swap(part, target, old)
        finally:
            shutil.rmtree(part, ignore_errors=True)
    return kept


def _linked(target: Path) -> Path:
    """The folder itself where a link names it, so that the link stays and its folder is renewed.

    Raises:
        OutputError: a link that leads nowhere.
    """
    if not target.is_symlink():
        return target
    with as_output_error(target):
        try:
            return target.resolve(strict=True)
        except (FileNotFoundError, RuntimeError):
            raise OutputError(f"{target} is a link that leads nowhere; remove it") from None


def _keep_changed(target: Path, part: Path) -> tuple[str, ...]:
    """Lay files of the old folder that people have changed beside the new ones; their names."""
    kept = []
    for name, digest in sorted(listed(target).items()):
        file, new = target / name, part / name
        if not file.is_file():
            continue
        data = file.read_bytes()
        if hashlib.sha256(data).hexdigest() == digest:
            continue
        if new.is_file() and new.read_bytes() == data:
            continue
        beside = _free_name(new)
        _copy(file, beside)
        kept.append(beside.relative_to(part).as_posix())
    return tuple(kept)


def _free_name(path: Path) -> Path:
    """`tick-off.by-hand.csv` for tick-off.csv, with a number where that is taken."""
    name, n = path.with_name(f"{path.stem}.by-hand{path.suffix}"), 1
    while name.exists():
        n += 1
        name = path.with_name(f"{path.stem}.by-hand-{n}{path.suffix}")
    return name


def listed(folder: Path) -> dict[str, str]:
    """Name -> sha256 of the files that a folder's own list names; empty where it has none.

    Another run may be putting the folder in place.
    """
    try:
        lines = (folder / CONTENTS).read_text("utf-8").splitlines()
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError):
        return {}
    return {line[66:]: line[:64] for line in lines if line[64:66] == "  "}


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    for name, data in files.items():
        path = folder / name
        if not path.resolve().is_relative_to(folder.resolve()):
            raise OutputError(f"{name!r} would leave the folder")
        path.parent.mkdir(parents=True, exist_ok=True)
        _write_synced(path, data)
    lines = (
        f"{hashlib.sha256(data).hexdigest()}  {name}\n" for name, data in sorted(files.items())
    )
    _write_synced(folder / CONTENTS, "".join(lines).encode())


def _foreign_files(target: Path) -> list[str]:
    """Files in an earlier folder that are not on its list; OutputError if it has no list."""
    if not target.exists():
        return []
    listing = target / CONTENTS
    present = [p for p in target.rglob("*") if p.is_file()] if target.is_dir() else None
    if present is None or (present and not listing.is_file()):
        raise OutputError(f"{target} exists and is not a pack; choose another folder with --out")
    own = {CONTENTS, *listed(target)}
    names = (p.relative_to(target).as_posix() for p in present)
    return sorted(name for name in names if name not in own)


def _copy(source: Path, target: Path) -> None:
    if target.exists():
        raise OutputError(f"{source} is in the way of a file of the pack; move it elsewhere")
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy2(source, target)


@contextlib.contextmanager
def _alone(target: Path) -> Iterator[None]:
    """Let no other run put a folder in place beside the target meanwhile.

    The lock is on the folder above, so no file is left behind; the system frees it when a run
    ends, however it ends. Where folders cannot be locked (Windows, some network drives) two runs
    are not kept apart, and the slower one fails or replaces the other's whole folder.

    Raises:
        OutputError: another run holds it for longer than any run should.
    """
    try:
        import fcntl

        handle = os.open(target.parent, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        until = time.monotonic() + LOCK_WAIT
        while not _taken(fcntl.flock, handle, fcntl.LOCK_EX | fcntl.LOCK_NB):
            if time.monotonic() >= until:
                raise OutputError(f"{target} is being written by another run; try again later")
            time.sleep(0.02)
        yield
    finally:
        os.close(handle)


def _taken(lock: Callable[[int, int], None], handle: int, how: int) -> bool:
    """Try to take a lock; a drive that has no locks counts as taken."""
    try:
        lock(handle, how)
    except BlockingIOError:
        return False
    except OSError:
        return True
    return True


def recover(folder: Path) -> None:
    """Put back what runs killed between the two moves of a swap left aside in a folder.

    Raises:
        OutputError: it cannot be moved.
    """
    with as_output_error(folder):
        for old in sorted(folder.glob(".*.old")) if folder.is_dir() else ():
            if (old / CONTENTS).is_file():
                _recover(folder / old.name[1:-4], old)


def _recover(target: Path, old: Path) -> None:
    """Undo a swap that was killed between its two moves."""
    if not old.exists():
        return
    if target.exists():
        shutil.rmtree(old)
    else:
        old.rename(target)


def _clear_litter(target: Path) -> None:
    """Remove what killed runs left beside the target: at once where it is known that they ended.

    On a shared folder the run may be another machine's; then only its age tells.
    """
    for part in target.parent.glob(f".{glob.escape(target.name)}.*.part"):
        if part.is_dir() and (_ended(part) or time.time() - part.stat().st_mtime > LITTER_AGE):
            shutil.rmtree(part, ignore_errors=True)


def _ended(part: Path) -> bool:
    """Whether the run whose part this is was on this machine and is there no more."""
    host, _, number = part.name.split(".")[-2].partition("-")
    if host != _host() or not number.isdigit() or os.name != "posix":
        return False
    try:
        os.kill(int(number), 0)  # asks, and sends nothing
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False


@cache
def _host() -> str:
    """This machine in a few letters, which are the same in every run on it."""
    return hashlib.sha256(platform.node().encode()).hexdigest()[:8]


def _swap(part: Path, target: Path, old: Path) -> None:
    if not target.exists():
        part.rename(target)
        return
    target.rename(old)
    try:
        part.rename(target)
    except OSError:
        old.rename(target)
        raise
    shutil.rmtree(old)


def _beside(target: Path, ending: str) -> Path:
    return target.with_name(f".{target.name}.{_host()}-{os.getpid()}.{ending}")


def _write_synced(path: Path, data: bytes) -> None:
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


@contextlib.contextmanager
def as_output_error(target: Path) -> Iterator[None]:
    """Turn what the system says of a failed write into an `OutputError` naming the target."""
    try:
        yield
    except OutputError:
        raise
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise OutputError(f"cannot write {target}: {reason}") from fault
