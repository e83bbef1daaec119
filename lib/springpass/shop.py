"""The user's own tools and measured results, saved safely.

Everything a user measures or logs becomes a record in `shop.json` in their own folder
(`spring_pass` in the home folder, or where SPRINGPASS_SHOP says), outside version control:

    shop.add("holder", name="tool post", stiffness=31000.0)   # -> the record, with its number
    shop.latest("holder", name="tool post")                   # -> the record or None
    shop.records("reamed hole")                               # -> all of that kind, oldest first
    shop.forget(record["id"]); shop.restore(record["id"])     # nothing is ever erased

Other files of the user's go through `load` and `save`. A file is written beside the old one,
flushed, then renamed over it, and the old one is kept as `<name>.previous.json`; so a power cut
leaves either the old file or the new one, whole. A damaged file is set aside under another name
and reported by `notices`, never overwritten. Two notebooks may write at once: each write reads the
file afresh under a lock.
"""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import time
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from .quantities import Refused

VERSION = 1
LARGEST = 20_000_000   # bytes; a log of a lifetime is far below
_notices: list[str] = []


def folder() -> Path:
    """Where the user's files lie."""
    named = os.environ.get("SPRINGPASS_SHOP")
    return Path(named) if named else Path.home() / "spring_pass"


def notices() -> list[str]:
    """Sentences about files that had to be set aside since the last call; asking clears them."""
    told = list(_notices)
    _notices.clear()
    return told


# ---- records --------------------------------------------------------------------------------------


def add(kind: str, **facts: Any) -> dict[str, Any]:
    """Append one record and return it with its number and time. Raises Refused if it cannot be saved."""
    if not isinstance(kind, str) or not kind.strip():
        raise Refused("A record needs a kind, such as “reamed hole”.")
    made: dict[str, Any] = {}

    def append(shop: dict[str, Any]) -> dict[str, Any]:
        made.update({"id": 1 + max((r["id"] for r in shop["records"]), default=0), "kind": kind,
                     "when": datetime.now().isoformat(timespec="seconds"), **facts})
        shop["records"].append(made)
        return shop

    change("shop", append, {"version": VERSION, "records": []}, _sound_shop)
    return made


def records(kind: str, **facts: Any) -> list[dict[str, Any]]:
    """All records of a kind whose facts match, oldest first, without those forgotten."""
    shop = load("shop", {"version": VERSION, "records": []}, _sound_shop)
    return [r for r in shop["records"] if r["kind"] == kind and not r.get("forgotten")
            and all(r.get(name) == wanted for name, wanted in facts.items())]


def latest(kind: str, **facts: Any) -> dict[str, Any] | None:
    """The newest matching record, or None."""
    found = records(kind, **facts)
    return found[-1] if found else None


def forget(number: int) -> None:
    """Leave a record out from now on; `restore` brings it back. Raises Refused for an unknown number."""
    _mark(number, True)


def restore(number: int) -> None:
    """Take a forgotten record in again. Raises Refused for an unknown number."""
    _mark(number, False)


def _mark(number: int, forgotten: bool) -> None:
    def mark(shop: dict[str, Any]) -> dict[str, Any]:
        for r in shop["records"]:
            if r["id"] == number:
                r["forgotten"] = forgotten
                return shop
        raise Refused(f"There is no record number {number} in your shop file.")

    change("shop", mark, {"version": VERSION, "records": []}, _sound_shop)


def _sound_shop(data: Any) -> bool:
    return (isinstance(data, dict) and isinstance(data.get("records"), list)
            and all(isinstance(r, dict) and isinstance(r.get("id"), int) and isinstance(r.get("kind"), str)
                    for r in data["records"]))


# ---- files ----------------------------------------------------------------------------------------


def _anything(data: Any) -> bool:
    return True


def load(name: str, empty: Any, sound: Callable[[Any], bool] = _anything) -> Any:
    """The user's file <name>.json, or a copy of `empty` where there is none.

    A damaged file (not JSON, or not `sound`) is set aside, the previous one taken if it is
    whole, and a notice left.
    """
    path = _path(name)
    try:
        return _read(path, sound)
    except FileNotFoundError:
        return json.loads(json.dumps(empty))
    except PermissionError as refusal:
        raise Refused(f"Your file {path.name} cannot be read ({refusal.strerror}). Check who may read it, in {path.parent}.") from None
    except ValueError:
        with _locked(path):
            return _set_aside(path, empty, sound)


def save(name: str, data: Any) -> None:
    """Write the user's file <name>.json whole, keeping the one before. Raises Refused; nothing old is lost."""
    path = _path(name)
    with _locked(path):
        _write(path, data)


def change(name: str, edit: Callable[[Any], Any], empty: Any, sound: Callable[[Any], bool] = _anything) -> Any:
    """Read, edit and write <name>.json in one go under its lock, so that two notebooks never lose each other's."""
    path = _path(name)
    with _locked(path):
        try:
            old = _read(path, sound)
        except FileNotFoundError:
            old = json.loads(json.dumps(empty))
        except PermissionError as refusal:
            raise Refused(f"Your file {path.name} cannot be read ({refusal.strerror}), so nothing was saved.") from None
        except ValueError:
            old = _set_aside(path, empty, sound)
        new = edit(old)
        _write(path, new)
    return new


def put(name: str, text: str) -> Path:
    """Write a file of text, such as a table or a sheet to print, into the user's folder; returns its place. Raises Refused."""
    if not name or "/" in name or "\\" in name or name.startswith(".") or name.endswith(".json"):
        raise Refused(f"“{name}” cannot be a file's name here.")
    path = folder() / name
    new = path.with_name(f"{name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        new.write_text(text, encoding="utf-8")
        os.replace(new, path)
    except OSError as mishap:
        with contextlib.suppress(OSError):
            new.unlink(missing_ok=True)
        raise Refused(f"{name} could not be saved in {path.parent} ({mishap.strerror or mishap}). Free some space or choose another folder.") from None
    return path


def _path(name: str) -> Path:
    if not name or not all(letter.isalnum() or letter in "-_ " for letter in name):
        raise Refused(f"“{name}” cannot be a file's name. Use letters, digits, - and _.")
    return folder() / f"{name}.json"


def _read(path: Path, sound: Callable[[Any], bool]) -> Any:
    if path.stat().st_size > LARGEST:
        raise ValueError("too large")
    data = json.loads(path.read_text(encoding="utf-8"))
    if not sound(data):
        raise ValueError("not what was saved")
    return data


def _set_aside(path: Path, empty: Any, sound: Callable[[Any], bool]) -> Any:
    """With the lock held: move a damaged file away and give what the previous one holds."""
    try:
        return _read(path, sound)  # another notebook has mended it meanwhile
    except FileNotFoundError:
        return json.loads(json.dumps(empty))
    except ValueError:
        pass
    stamp = datetime.now().strftime("%Y%m%d-%H%M%S")
    aside = path.with_name(f"{path.stem}.damaged-{stamp}.json")
    count = 1
    while aside.exists():
        count += 1
        aside = path.with_name(f"{path.stem}.damaged-{stamp}-{count}.json")
    with contextlib.suppress(OSError):
        os.replace(path, aside)
    before = _previous(path)
    try:
        old = _read(before, sound)
    except (OSError, ValueError):
        old = json.loads(json.dumps(empty))
        what = "There was no earlier copy, so it starts empty"
    else:
        what = "The copy before it was whole and is used instead"
    _notices.append(f"Your file {path.name} was damaged and has been set aside as {aside.name}. {what}.")
    if aside.exists():
        with contextlib.suppress(Refused):
            _write(path, old, keep=False)
    return old


def _previous(path: Path) -> Path:
    return path.with_name(f"{path.stem}.previous.json")


def _write(path: Path, data: Any, keep: bool = True) -> None:
    try:
        text = json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False)
    except (TypeError, ValueError):
        raise Refused("This cannot be saved: one of the values is not a number or a text. Check what was typed.") from None
    new = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with new.open("w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if keep and path.exists():
            old = path.with_name(f"{path.name}.{os.getpid()}.old")
            shutil.copy2(path, old)
            os.replace(old, _previous(path))
        os.replace(new, path)
        _sweep(path)
    except OSError as mishap:
        with contextlib.suppress(OSError):
            new.unlink(missing_ok=True)
        raise Refused(f"{path.name} could not be saved in {path.parent} ({mishap.strerror or mishap}). What was there "
                      "before is untouched, and what you typed is still on the page. Free some space or choose another folder.") from None


def _sweep(path: Path) -> None:
    """With the lock held: take away what kernels that died in the middle of a save have left half written."""
    for left in (*path.parent.glob(f"{path.name}.*.new"), *path.parent.glob(f"{path.name}.*.old")):
        with contextlib.suppress(OSError):
            left.unlink()


@contextlib.contextmanager
def _locked(path: Path, patience: float = 5.0) -> Iterator[None]:
    """Hold the file's lock; the system lets go of it by itself if the kernel dies."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = path.with_name(f"{path.stem}.lock").open("a+")
    except OSError as mishap:
        raise Refused(f"Your folder {path.parent} cannot be written to ({mishap.strerror}). Nothing was changed; "
                      "choose another folder or free this one.") from None
    with handle:
        give_up = time.monotonic() + patience
        while not _try_lock(handle):
            if time.monotonic() > give_up:
                raise Refused(f"Another notebook is busy writing {path.name}. Nothing was changed; try again in a moment.")
            time.sleep(0.02)
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
else:
    import fcntl

    def _try_lock(handle: Any) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True

    def _unlock(handle: Any) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)
