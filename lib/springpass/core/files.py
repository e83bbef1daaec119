"""The user's own files, saved safely: written whole or not at all, the one before kept, a damaged one set aside.

A file is written beside the old one, flushed, then renamed over it, and the old one is kept as
`<name>.previous.json`; so a power cut leaves either the old file or the new one, whole. A damaged file is set aside
under another name and reported by `notices`, never overwritten; where a file is gone and the one before it is there,
that one is taken. A file that a newer workbook wrote is left alone and said to be so. Two notebooks may write at once:
each write reads the file afresh under a lock. They lie in the user's folder: `spring_pass` in the home folder, or where
SPRINGPASS_SHOP says.
"""

from __future__ import annotations

import contextlib
import errno
import glob
import hashlib
import json
import math
import os
import re
import shutil
import stat
import sys
import time
import unicodedata
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from .quantity import Refused

VERSION = 1
LARGEST = 20_000_000   # bytes; a log of a lifetime is far below
SETTLED = 60.0         # s, after which a half-written file is nobody's any more
_notices: list[str] = []
_ours: dict[Path, bytes] = {}   # of each whole file that this kernel wrote: the digest of what it wrote


def folder() -> Path:
    """Where the user's files lie. Raises Refused where there is no home folder and none is named."""
    named = os.environ.get("SPRINGPASS_SHOP")
    try:
        if not named and os.name != "nt" and os.environ.get("HOME") == "":
            raise RuntimeError   # else it would be the root of the disk
        return Path(named).expanduser() if named else Path.home() / "spring_pass"
    except RuntimeError:
        raise Refused("Your home folder is not known to the system, so there is no place for your files. "
            "Name one in SPRINGPASS_SHOP, such as SPRINGPASS_SHOP=/a/folder/of/yours.") from None


def stamp() -> tuple[tuple[str, int, int], ...]:
    """Another one whenever a file of the user's own has changed: a key for what was worked out from them."""
    try:
        return tuple(sorted((entry.name, (facts := entry.stat()).st_mtime_ns, facts.st_size)
            for entry in os.scandir(folder()) if entry.name.endswith(".json")))
    except OSError:   # no folder yet
        return ()


def notices() -> list[str]:
    """Sentences about files that had to be set aside since the last call; asking clears them."""
    told = list(_notices)
    _notices.clear()
    return told


def _anything(data: Any) -> bool:
    return True


def load(name: str, empty: Any, sound: Callable[[Any], bool] = _anything) -> Any:
    """The user's file <name>.json, or a copy of `empty` where there is none.

    A damaged file (not JSON, or not `sound`) is set aside, the previous one taken if it is
    whole, and a notice left. Raises Refused where it cannot be read or a newer workbook wrote it.
    """
    path = _path(name)
    try:
        return _read(path, sound)
    except FileNotFoundError:
        if not _previous(path).exists():
            return _copy(empty)
    except _Damaged:
        pass
    except OSError as mishap:
        raise _unreadable(path, mishap) from None
    try:
        with _locked(path):
            return _rescue(path, empty, sound)
    except Refused:
        with contextlib.suppress(OSError, _Damaged, Refused):
            old = _read(_previous(path), sound)
            _notices.append(f"Your file {path.name} is missing or damaged and {path.parent} cannot be written to. "
                "The copy before it was whole and is used instead.")
            return old
        raise


def save(name: str, data: Any, sound: Callable[[Any], bool] = _anything) -> None:
    """Write the user's file <name>.json whole, keeping the one before. Raises Refused; nothing old is lost."""
    change(name, lambda old: data, None, sound)


def change(name: str, edit: Callable[[Any], Any], empty: Any, sound: Callable[[Any], bool] = _anything) -> Any:
    """Read, edit and write <name>.json in one go under its lock, so that two notebooks never lose each other's."""
    path = _path(name)
    with _locked(path):
        try:
            old = _read(path, sound)
        except (FileNotFoundError, _Damaged):
            old = _rescue(path, empty, sound)
        except OSError as mishap:
            raise _unreadable(path, mishap) from None
        new = edit(old)
        _write(path, new)
    return new


def put(name: str, text: str) -> Path:
    """Write a file of text, such as a table or a sheet to print, into the user's folder, as `write` does.

    Returns its place. Raises Refused, also for a name that would leave the folder or hide the file.
    """
    if not name or any(mark in name for mark in "/\\\0") or name[0] == "." or name.endswith((".json", ".lock")):
        raise Refused(f"“{name}” cannot be a file's name here.")
    place = folder() / name
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError as mishap:
        raise _unsaved(place, mishap) from None
    return write(place, text)


def write(place: str | os.PathLike[str], content: str | bytes) -> Path:
    """Write a file of text or bytes whole or not at all, at any place; returns the place, links followed.

    A file there that this kernel did not write, or that was changed since, such as a key into which the teacher has
    typed, is kept beside it under another name and reported by `notices`; one that holds the same is simply left, and
    what was kept before is not kept twice. Raises Refused where it cannot be written; what was there stays.
    """
    path = Path(os.path.realpath(place))
    data = _encoded(content) if isinstance(content, str) else content
    try:
        if path.exists() and not path.is_file():
            raise OSError(errno.EINVAL, "something that is no file stands there")
        there = path.read_bytes() if path.exists() else None
        if there is not None and there != data and _ours.get(path) != _digest(there):
            _notices.append(f"There was a {path.name} from before; it is kept as {_kept(path, there).name}.")
    except OSError as mishap:
        raise _unsaved(path, mishap) from None
    if there != data:
        _replace(path, data)
    _ours[path] = _digest(data)
    return path


def csv_cell(text: str) -> str:
    """Text that no spreadsheet takes for a formula, whatever blank or invisible letters stand before it: quoted, unless
    it is a number. `csv_text` reads it back.
    """
    first = unicodedata.normalize("NFKC", next((c for c in text if c.isprintable() and not c.isspace()), ""))
    if text[:1] not in ("\t", "\r", "\n") and (not first or first not in "=+-−@"
            or re.fullmatch(r"[+\-−]?\d+(?:[.,]\d+)?", text)):
        return text
    return f"'{text}"


def csv_text(cell: str) -> str:
    """A cell as it was before `csv_cell`."""
    return cell[1:] if cell[:1] == "'" and csv_cell(cell[1:]) == cell else cell


def _digest(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def _kept(path: Path, there: bytes) -> Path:
    """Where a copy of the file lies: one made before, if it holds the same, or a new one."""
    for copy in path.parent.glob(f"{glob.escape(path.stem)}.kept-*{glob.escape(path.suffix)}"):
        if copy.stat().st_size == len(there) and copy.read_bytes() == there:
            return copy
    copy = _free(path, "kept")
    shutil.copy2(path, copy)
    return copy


def _path(name: str) -> Path:
    if not name or not all(letter.isalnum() or letter in "-_ " for letter in name):
        raise Refused(f"“{name}” cannot be a file's name. Use letters, digits, - and _.")
    return Path(os.path.realpath(folder() / f"{name}.json"))   # where a link leads, so that it stays a link


def _copy(data: Any) -> Any:
    return json.loads(json.dumps(data))


# ---- reading --------------------------------------------------------------------------------------


class _Damaged(Exception):
    """The file does not hold what was saved."""


def _read(path: Path, sound: Callable[[Any], bool]) -> Any:
    """What the file holds. Raises OSError, _Damaged, and Refused where a newer workbook wrote it."""
    facts = path.stat()
    if not stat.S_ISREG(facts.st_mode):   # a pipe would keep us waiting for ever
        raise OSError(errno.EINVAL, "it is no file")
    if facts.st_size > LARGEST:
        raise _Damaged
    try:
        text = path.read_bytes().removeprefix(b"\xef\xbb\xbf").decode("utf-8")   # some editors mark their files so
        data = json.loads(text, object_pairs_hook=_once, parse_constant=_finite, parse_float=_finite)
    except (ValueError, RecursionError):
        raise _Damaged from None
    version = data.get("version") if isinstance(data, dict) else None
    if isinstance(version, int | float) and version > VERSION:
        raise Refused(
            f"Your file {path.name} was written by a newer workbook (version {version:g}; this one reads {VERSION}). "
            "It has not been touched. Fetch the newer workbook, or choose another folder with SPRINGPASS_SHOP.")
    if not sound(data):
        raise _Damaged
    return data


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A JSON object whose keys each stand there once; of two, one would be lost at the next save."""
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a key stands there twice")
    return found


def _finite(text: str) -> float:
    """A number that can be saved again."""
    value = float(text)
    if not math.isfinite(value):
        raise ValueError("not a finite number")
    return value


def _unreadable(path: Path, mishap: OSError) -> Refused:
    return Refused(f"Your file {path.name} cannot be read ({mishap.strerror or mishap}), so nothing was changed. "
        f"Check what it is and who may read it, in {path.parent}.")


def _rescue(path: Path, empty: Any, sound: Callable[[Any], bool]) -> Any:
    """With the lock held, of a file that is damaged or gone: move it away and give what the previous one holds."""
    gone = aside = None
    try:
        return _read(path, sound)  # another notebook has mended it meanwhile
    except FileNotFoundError:
        gone = path
    except _Damaged:
        aside = _put_by(path)
    except OSError as mishap:
        raise _unreadable(path, mishap) from None
    before = _previous(path)
    try:
        old, what = _read(before, sound), "The copy before it was whole and is used instead"
    except FileNotFoundError:
        old, what = _copy(empty), "There was no earlier copy, so it starts empty"
    except _Damaged:
        old, what = (_copy(empty),
            f"The copy before it is damaged too and lies beside it as {_put_by(before).name}, so it starts empty")
    except OSError as mishap:
        raise _unreadable(before, mishap) from None
    if aside:
        _notices.append(f"Your file {path.name} was damaged and has been set aside as {aside.name}. {what}.")
    elif gone and before.exists():
        _notices.append(f"Your file {path.name} was missing. {what}.")
    if old is not None and before.exists():
        with contextlib.suppress(Refused):
            _write(path, old)
    return old


def _put_by(path: Path) -> Path:
    """Rename a damaged file, so that nothing overwrites it. Raises Refused where that is not allowed."""
    aside = _free(path, "damaged")
    try:
        os.replace(path, aside)
    except OSError as mishap:
        raise Refused(
            f"Your file {path.name} is damaged and cannot be set aside in {path.parent} ({mishap.strerror or mishap}). "
            "Nothing was changed; free this folder or choose another.") from None
    return aside


def _free(path: Path, why: str) -> Path:
    """A name beside the file's that nothing has yet."""
    stamp = datetime.now().strftime("%Y%m%d-%H%M%S")
    found, count = path.with_name(f"{path.stem}.{why}-{stamp}{path.suffix}"), 1
    while found.exists():
        count += 1
        found = path.with_name(f"{path.stem}.{why}-{stamp}-{count}{path.suffix}")
    return found


def _previous(path: Path) -> Path:
    return path.with_name(f"{path.stem}.previous.json")


# ---- writing --------------------------------------------------------------------------------------


def _write(path: Path, data: Any) -> None:
    """With the lock held: write what can be read again, and keep the file before."""
    try:
        text = _text(data)
    except (TypeError, ValueError, RecursionError):
        raise Refused(
            "This cannot be saved: one of the values is not a number or a text. Check what was typed.") from None
    if len(text) > LARGEST // 4 and len(text.encode("utf-8", "replace")) > LARGEST:
        raise Refused(
            f"{path.name} would grow past {LARGEST / 1e6:.0f} MB. What was there before is untouched; begin a new "
            "folder with SPRINGPASS_SHOP.")
    _replace(path, _encoded(text), keep=True)


def _text(data: Any) -> str:
    """JSON, a record or an entry a line: easy to read, and quick where there are thousands."""
    if isinstance(data, list) and data:
        return "[\n" + ",\n".join(map(_line, data)) + "\n]"
    if isinstance(data, dict) and data and all(isinstance(key, str) for key in data):
        return ("{\n"
            + ",\n".join(f"{_line(key)}: {_text(value) if isinstance(value, list) else _line(value)}" for key,
            value in data.items()) + "\n}")
    return _line(data)


def _line(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, allow_nan=False)


def _encoded(text: str) -> bytes:
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        raise Refused(
            "This cannot be saved: one of the texts has a letter that is none. Check what was typed.") from None


def _replace(path: Path, data: bytes, keep: bool = False) -> None:
    """The bytes beside the file, flushed, then over it; with `keep` (and the lock held) the file before is kept."""
    new, old = (path.with_name(f"{path.name}.{os.getpid()}.{what}") for what in ("new", "old"))
    try:
        with new.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if keep and path.exists():
            shutil.copy2(path, old)
            _over(old, _previous(path))
        _over(new, path)
        _settle(path.parent)
        _sweep(path, 0 if keep else SETTLED)
    except OSError as mishap:
        for left in (new, old):
            with contextlib.suppress(OSError):
                left.unlink(missing_ok=True)
        raise _unsaved(path, mishap) from None


def _unsaved(path: Path, mishap: OSError) -> Refused:
    return Refused(f"{path.name} could not be saved in {path.parent} ({mishap.strerror or mishap}). What was there "
        "before is untouched. Free some space or choose another folder.")


def _over(new: Path, path: Path) -> None:
    """Rename over the old file. Windows refuses while another program has it open for a moment: try again."""
    for _ in range(50 if os.name == "nt" else 0):
        with contextlib.suppress(PermissionError):
            return os.replace(new, path)
        time.sleep(0.02)
    os.replace(new, path)


def _settle(place: Path) -> None:
    """The new name itself onto the disk, so that what was said to be saved outlives a power cut."""
    with contextlib.suppress(OSError):   # not every system can
        handle = os.open(place, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _sweep(path: Path, older: float) -> None:
    """Take away what kernels that died in the middle of a save have left half written: all of it where the lock is
    held, else what is older than so many seconds (or younger than now, by a clock that was set back).
    """
    for left in path.parent.iterdir():
        if left.name.startswith(f"{path.name}.") and left.suffix in (".new", ".old"):
            with contextlib.suppress(OSError):
                if abs(time.time() - left.stat().st_mtime) >= older:
                    left.unlink()


@contextlib.contextmanager
def _locked(path: Path, patience: float = 5.0) -> Iterator[None]:
    """Hold the file's lock; the system lets go of it by itself if the kernel dies."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = path.with_name(f"{path.stem}.lock").open("a+", encoding="utf-8")
    except OSError as mishap:
        raise Refused(f"Your folder {path.parent} cannot be written to ({mishap.strerror}). Nothing was changed; "
            "choose another folder or free this one.") from None
    with handle:
        give_up = time.monotonic() + patience
        while not _try_lock(handle):
            if time.monotonic() > give_up:
                raise Refused(
                    f"Another notebook is busy writing {path.name}. Nothing was changed; try again in a moment.")
            time.sleep(0.005)
        try:
            yield
        finally:
            _unlock(handle)


if os.name == "nt":
    import msvcrt

    def _try_lock(handle: Any) -> bool:
        handle.seek(0)
        try:
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
        except OSError:
            return False
        return True

    def _unlock(handle: Any) -> None:
        handle.seek(0)
        msvcrt.locking(handle.fileno(), msvcrt.LK_UNLCK, 1)  # type: ignore[attr-defined, unused-ignore]
elif sys.platform == "emscripten":   # a browser's own Python: one process alone, and no locks

    def _try_lock(handle: Any) -> bool:
        return True

    def _unlock(handle: Any) -> None:
        pass
else:
    import fcntl

    def _try_lock(handle: Any) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError as mishap:
            if mishap.errno in (errno.EACCES, errno.EINTR):
                return False
            raise Refused(
                f"Your files' folder is on a disk that cannot lock files ({mishap.strerror}), so two notebooks could "
                "lose each other's. Nothing was changed; choose another folder with SPRINGPASS_SHOP.") from None
        return True

    def _unlock(handle: Any) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)
