"""Files and kernels abused: whatever happens, what the user typed or measured is still there, whole.

`test_shop.py` holds the rules one by one; here they are tried at every byte, by chance, by the hundred and by two at
once.
"""

import contextlib
import csv
import importlib
import json
import os
import pkgutil
import random
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import springpass.pages
from springpass.core import files, tables
from springpass.core.quantity import Refused
from springpass.job import learning, part, shop, tools
from springpass.pages import my_shop, own_bar
from springpass.screen import page
from springpass.screen.page import Live
from springpass.teaching import exercises, practice, progress

POSIX = pytest.mark.skipif(os.name == "nt", reason="not so on Windows")


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    files.notices()
    return tmp_path / "shop"


def fill() -> None:
    """A shop in use: tools described, things measured, exercises done; each file with one before it."""
    for name in ("first", "second"):
        tools.keep({**tools.default_shop().description, "name": name})
        shop.add("holder", name=name, stiffness=31000.0, stiffness_error=900.0)
        progress.call_me("ash", "7b")
        progress.note("exercises", f"01_heat/{name}", "ash", "7b", typed="12,5", value=12.5, right=True, tries=1)


def answers() -> dict[str, object]:
    """What the library reads out of the three files."""
    return {"shop": [r["name"] for r in shop.records("holder")], "tools": tools.own_shop().name,
            "progress": sorted(progress.pages("ash", "7b")["exercises"])}


NOW = {"shop": ["first", "second"], "tools": "second", "progress": ["01_heat/first", "01_heat/second"]}
BEFORE = {"shop": ["first"], "tools": "first", "progress": ["01_heat/first"]}


# ---- damaged --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name, step", [("shop", 1), ("tools", 23), ("progress", 1)])
def test_cut_off_at_every_byte(own_folder, name, step):
    """The copy before it is taken, the cut file kept to the byte, and saving goes on."""
    fill()
    whole = (own_folder / f"{name}.json").read_bytes()
    before = (own_folder / f"{name}.previous.json").read_bytes()
    for length in range(0, len(whole), step):
        (own_folder / f"{name}.json").write_bytes(whole[:length])
        (own_folder / f"{name}.previous.json").write_bytes(before)
        assert answers() == {**NOW, name: BEFORE[name]}, f"cut to {length} of {len(whole)} bytes"
        [aside] = own_folder.glob(f"{name}.damaged-*.json")
        assert aside.read_bytes() == whole[:length]
        assert len(files.notices()) == 1
        aside.unlink()
    assert json.loads((own_folder / f"{name}.json").read_bytes()) == json.loads(before)


@settings(max_examples=150)
@given(st.binary(max_size=300))
def test_any_bytes_at_all(tmp_path_factory, rubbish):
    folder = tmp_path_factory.mktemp("any")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SPRINGPASS_SHOP", str(folder))
        fill()
        (folder / "shop.json").write_bytes(rubbish)
        assert answers() == {**NOW, "shop": BEFORE["shop"]}
        assert [p.read_bytes() for p in folder.glob("shop.damaged-*.json")] == [rubbish]
        shop.add("holder", name="third")
        assert [r["name"] for r in shop.records("holder")] == ["first", "third"]


@settings(max_examples=150)
@given(st.data())
def test_one_byte_changed_anywhere(tmp_path_factory, data):
    """Either the change is inside a text and shows, or the file is set aside; no record is lost either way."""
    folder = tmp_path_factory.mktemp("one")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SPRINGPASS_SHOP", str(folder))
        fill()
        files.notices()
        whole = bytearray((folder / "shop.json").read_bytes())
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
        (folder / "shop.json").write_bytes(bytes(whole))
        try:
            shop.records("holder")
        except Refused as refusal:     # the byte that says which version it is
            assert "newer workbook" in str(refusal)
            assert (folder / "shop.json").read_bytes() == bytes(whole)
            return
        kept = [json.loads((folder / "shop.json").read_bytes())["records"]] if not files.notices() else []
        asides = [p.read_bytes() for p in folder.glob("shop.damaged-*.json")]
        assert asides == [bytes(whole)] if not kept else len(kept[0]) == 2


NOT_OURS = {
    "two of one key": b'{"version": 1, "records": [{"id": 1, "kind": "holder", "name": "x"}], "records": []}',
    "two of one key deep inside": b'{"version": 1, "records": [{"id": 1, "kind": "holder", "name": "x", "name": "y"}]}',
    "not a number": b'{"version": 1, "records": [{"id": 1, "kind": "holder", "stiffness": NaN}]}',
    "past every number": b'{"version": 1, "records": [{"id": 1, "kind": "holder", "stiffness": 1e999}]}',
    "brackets without end": b"[" * 200_000,
    "too many digits": b'{"version": 1, "records": [], "n": ' + b"9" * 10_000 + b"}",
    "latin-1": '{"version": 1, "records": [{"id": 1, "kind": "Bügel"}]}'.encode("latin-1"),
    "utf-16": '{"version": 1, "records": []}'.encode("utf-16"),
    "zeros, as after a power cut": b"\0" * 4096,
    "another program's picture": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20,
    "a list": b"[]",
    "a text": b'"records"',
    "nothing": b"null",
    "a record without a kind": b'{"version": 1, "records": [{"id": 1}]}',
}


@pytest.mark.parametrize("content", NOT_OURS.values(), ids=NOT_OURS)
def test_a_file_that_cannot_be_ours_is_kept_and_said(own_folder, content):
    fill()
    (own_folder / "shop.json").write_bytes(content)
    assert answers() == {**NOW, "shop": BEFORE["shop"]}
    [aside] = own_folder.glob("shop.damaged-*.json")
    assert aside.read_bytes() == content
    assert aside.name in files.notices()[0]
    assert shop.add("holder", name="third")["id"] == 2


@pytest.mark.parametrize(
    "content", [b"\xef\xbb\xbf%s", b"%s\r\n\r\n", b" \n%s"], ids=["byte order mark", "CRLF behind", "space before"]
)
def test_what_an_editor_may_add_does_no_harm(own_folder, content):
    fill()
    for name in ("shop", "tools", "progress"):
        path = own_folder / f"{name}.json"
        path.write_bytes(content % path.read_bytes().replace(b"\n", b"\r\n"))
    assert answers() == NOW
    assert files.notices() == []
    shop.add("holder", name="third")
    assert [r["name"] for r in shop.records("holder")] == ["first", "second", "third"]


def test_a_huge_file_is_set_aside_unread(own_folder, monkeypatch):
    """100 MB, sparse: its size is enough."""
    fill()
    with (own_folder / "shop.json").open("r+b") as file:
        file.truncate(100_000_000)
    assert answers() == {**NOW, "shop": BEFORE["shop"]}
    [aside] = own_folder.glob("shop.damaged-*.json")
    assert aside.stat().st_size == 100_000_000


def test_a_file_never_grows_past_what_can_be_read_again(own_folder, monkeypatch):
    fill()
    kept = (own_folder / "shop.json").read_bytes()
    monkeypatch.setattr(files, "LARGEST", len(kept) + 50)
    with pytest.raises(Refused, match="would grow past"):
        shop.add("holder", name="x" * 60)
    assert (own_folder / "shop.json").read_bytes() == kept
    assert len(shop.records("holder")) == 2


def test_both_copies_damaged_both_kept(own_folder):
    fill()
    (own_folder / "shop.json").write_bytes(b"now")
    (own_folder / "shop.previous.json").write_bytes(b"before")
    assert shop.records("holder") == []
    [notice] = files.notices()
    assert "damaged too" in notice
    for name in "abc":
        shop.add("holder", name=name)
    assert sorted(p.read_bytes() for p in own_folder.glob("*.damaged-*.json")) == [b"before", b"now"]


def test_a_missing_file_comes_back_from_the_copy_before_it(own_folder):
    """Such as when a kernel dies between setting a damaged file aside and writing it anew."""
    fill()
    (own_folder / "shop.json").unlink()
    assert [r["name"] for r in shop.records("holder")] == ["first"]
    assert "missing" in files.notices()[0]
    shop.add("holder", name="third")
    assert [r["name"] for r in shop.records("holder")] == ["first", "third"]
    assert files.notices() == []


def test_saving_over_a_damaged_file_keeps_it_and_the_copy_before(own_folder):
    fill()
    (own_folder / "tools.json").write_bytes(b"{ half")
    tools.keep({**tools.default_shop().description, "name": "third"})
    assert [p.read_bytes() for p in own_folder.glob("tools.damaged-*.json")] == [b"{ half"]
    assert json.loads((own_folder / "tools.previous.json").read_bytes())["name"] == "first"
    assert tools.own_shop().name == "third"


@pytest.mark.parametrize("name", ["shop", "tools", "progress"])
def test_a_newer_workbooks_file_is_left_alone(own_folder, name):
    fill()
    path = own_folder / f"{name}.json"
    newer = json.dumps({"version": 2, "rows": [1, 2, 3]}).encode()
    path.write_bytes(newer)
    before = (own_folder / f"{name}.previous.json").read_bytes()
    for use in {
        "shop": (lambda: shop.records("holder"), lambda: shop.add("holder", name="x"), lambda: shop.forget(1)),
        "tools": (tools.own_shop, lambda: tools.keep(tools.default_shop().description)),
        "progress": (
            progress.who,
            lambda: progress.call_me("birch"),
            lambda: progress.note("predictions", "x", "ash", tries=1),
        ),
    }[name]:
        with pytest.raises(Refused, match="newer workbook"):
            use()
    assert path.read_bytes() == newer
    assert (own_folder / f"{name}.previous.json").read_bytes() == before
    assert not list(own_folder.glob("*.damaged-*"))


def test_records_of_another_time_are_carried_along(own_folder):
    """Facts, fields and kinds this version knows nothing of come out of a save as they went in."""
    own_folder.mkdir()
    odd = {
        "version": 1,
        "later": {"a": [1, None, True]},
        "records": [{"id": 7, "kind": "not known", "x": "ü µ 直径", "deep": {"y": [1.5, -0.0]}}],
    }
    (own_folder / "shop.json").write_text(json.dumps(odd), encoding="utf-8")
    made = shop.add("holder", name="a")
    kept = json.loads((own_folder / "shop.json").read_text(encoding="utf-8"))
    assert made["id"] == 8
    assert kept.pop("records") == [*odd.pop("records"), made]
    assert kept == odd


def test_a_record_cannot_take_anothers_number(own_folder):
    shop.add("holder", name="a")
    assert shop.add("holder", **{"name": "b", "id": 1, "when": "2020-01-01"})["id"] == 2
    assert [r["id"] for r in shop.records("holder")] == [1, 2]


@settings(max_examples=200)
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
        lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
        max_leaves=8,
    )
)
def test_any_value_is_kept_as_it_is_or_refused(tmp_path_factory, value):
    """Lone surrogates, huge numbers, nan: kept to the bit, or refused with what was there untouched."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SPRINGPASS_SHOP", str(tmp_path_factory.mktemp("value")))
        shop.add("note", value="first")
        try:
            shop.add("note", value=value)
        except Refused:
            assert [r["value"] for r in shop.records("note")] == ["first"]
        else:
            assert repr([r["value"] for r in shop.records("note")]) == repr(["first", value])
        assert files.notices() == []
        assert not list(files.folder().glob("*.new"))


# ---- odd places -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["shop", "tools", "progress"])
def test_a_folder_where_the_file_should_be(own_folder, name):
    (own_folder / f"{name}.json").mkdir(parents=True)
    for use in {"shop": (lambda: shop.records("holder"), lambda: shop.add("holder", name="x")),
                "tools": (tools.own_shop, lambda: tools.keep(tools.default_shop().description)),
                "progress": (progress.who, lambda: progress.call_me("birch"))}[name]:
        with pytest.raises(Refused, match="cannot be read"):
            use()


def test_a_file_where_the_folder_should_be(own_folder):
    own_folder.write_text("shopping list", encoding="utf-8")
    for use in (
        lambda: shop.records("holder"),
        lambda: shop.add("holder", name="x"),
        lambda: files.put("sheet.md", "x"),
        tools.own_shop,
        progress.who,
    ):
        with pytest.raises(Refused, match=r"cannot be|could not be"):
            use()
    assert own_folder.read_text(encoding="utf-8") == "shopping list"


@POSIX
def test_a_link_stays_a_link(own_folder, tmp_path):
    """Such as to a folder that is copied to another computer."""
    elsewhere = tmp_path / "synced"
    elsewhere.mkdir()
    own_folder.mkdir()
    for name in ("shop.json", "tools.json", "my shop.toml"):
        (own_folder / name).symlink_to(elsewhere / name)
    fill()
    my_shop.write_out(None, "everything")
    assert all((own_folder / name).is_symlink() for name in ("shop.json", "tools.json", "my shop.toml"))
    kept = json.loads((elsewhere / "shop.json").read_text(encoding="utf-8"))["records"]
    assert [r["name"] for r in kept] == ["first", "second"]
    assert json.loads((elsewhere / "shop.previous.json").read_text(encoding="utf-8"))["records"][0]["name"] == "first"
    assert answers() == NOW


@POSIX
def test_a_link_to_itself_is_said(own_folder):
    own_folder.mkdir()
    (own_folder / "shop.json").symlink_to(own_folder / "shop.json")
    for use in (lambda: shop.records("holder"), lambda: shop.add("holder", name="x")):
        with pytest.raises(Refused, match="cannot be"):
            use()


def test_no_home_and_no_name(monkeypatch):
    def none():
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv("SPRINGPASS_SHOP")
    monkeypatch.setattr(Path, "home", none)
    for use in (
        lambda: shop.records("holder"),
        lambda: shop.add("holder", name="x"),
        lambda: files.put("a.md", "x"),
        tools.own_shop,
    ):
        with pytest.raises(Refused, match="SPRINGPASS_SHOP"):
            use()


def test_the_home_sign_is_understood(monkeypatch, tmp_path):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    monkeypatch.setenv("SPRINGPASS_SHOP", "~/my shop")
    assert files.folder() == tmp_path / "my shop"


@POSIX
def test_locked_by_another_program(own_folder, monkeypatch):
    """The file is read as ever; a write waits, then says who is in the way; nothing is changed."""
    import fcntl

    fill()
    kept = (own_folder / "shop.json").read_bytes()
    with (own_folder / "shop.lock").open("a+", encoding="utf-8") as handle:
        fcntl.flock(handle, fcntl.LOCK_EX)
        monkeypatch.setattr(files.time, "monotonic", iter(range(0, 1000, 3)).__next__)   # patience without the waiting
        assert answers() == NOW
        with pytest.raises(Refused, match="busy"):
            shop.add("holder", name="x")
    monkeypatch.undo()
    assert (own_folder / "shop.json").read_bytes() == kept


@POSIX
def test_a_disk_that_cannot_lock_is_said(own_folder, monkeypatch):
    import errno
    import fcntl

    def none(*_):
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", none)
    with pytest.raises(Refused, match="cannot lock files"):
        shop.add("holder", name="x")


def test_a_read_only_file_is_replaced_and_kept(own_folder):
    fill()
    (own_folder / "shop.json").chmod(0o444)
    try:
        shop.add("holder", name="third")
    except Refused:      # Windows
        assert answers() == NOW
    else:
        kept = json.loads((own_folder / "shop.previous.json").read_text(encoding="utf-8"))["records"]
        assert [r["name"] for r in kept] == [
            "first",
            "second",
        ]


@pytest.mark.parametrize("call", ["open", "stat", "replace", "copy2", "mkdir"])
@pytest.mark.parametrize(
    "refusal",
    [
        (5, "Input/output error"),
        (13, "Permission denied"),
        (28, "No space left on device"),
        (30, "Read-only file system"),
    ],
)
def test_the_system_refuses_each_step(own_folder, monkeypatch, call, refusal):
    """Read or write, whatever step fails is said in a sentence, and all is there once the disk is well again."""
    fill()
    kept = {p.name: p.read_bytes() for p in own_folder.glob("*.json")}

    def refuse(*_, **__):
        raise OSError(*refusal)

    where = {
        "open": (Path, "open"),
        "stat": (Path, "stat"),
        "replace": (os, "replace"),
        "copy2": (files.shutil, "copy2"),
        "mkdir": (Path, "mkdir"),
    }[call]
    with monkeypatch.context() as patch:
        patch.setattr(*where, refuse)
        for use in (
            lambda: shop.add("holder", name="x"),
            lambda: tools.keep(tools.default_shop().description),
            lambda: progress.call_me("birch"),
            lambda: shop.forget(1),
            lambda: shop.records("holder"),
        ):
            try:
                use()
            except Refused as refused:
                assert refusal[1] in str(refused)
    assert {name: content for name, content in kept.items() if not name.endswith(".previous.json")} == {
        p.name: p.read_bytes() for p in own_folder.glob("*.json") if not p.name.endswith(".previous.json")}
    assert answers() == NOW
    assert not [*own_folder.glob("*.new"), *own_folder.glob("*.old")]


FULL = """
import json, resource, sys
from springpass.core import files
from springpass.job import shop
from springpass.core.quantity import Refused
path = files.folder() / "shop.json"
refused = 0
for most in range(0, 3 * path.stat().st_size, 7):       # how many bytes still fit on the disk
    kept = path.read_bytes()
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))
    try:
        shop.add("holder", name="x" * 40)
    except Refused:
        refused += 1
        assert path.read_bytes() == kept
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    assert not list(path.parent.glob("*.new"))
print(refused, len(shop.records("holder")), files.notices())
"""


@POSIX
def test_a_disk_that_fills_up_at_any_byte(own_folder):
    """A real limit of the system on a file's size: the write breaks off at that byte."""
    fill()
    tried = len(range(0, 3 * (own_folder / "shop.json").stat().st_size, 7))
    done = subprocess.run([sys.executable, "-c", FULL], capture_output=True, check=True, encoding="utf-8")
    refused, records, notices = done.stdout.split(maxsplit=2)
    assert int(refused) > 40
    assert int(records) == 2 + tried - int(refused)
    assert notices.strip() == "[]"


# ---- what the user edits --------------------------------------------------------------------------


def readable(content: bytes, read) -> bool:
    """Understood, or refused with one sentence; nothing else."""
    try:
        read(content)
    except Refused as refusal:
        assert str(refusal).strip()
        return False
    return True


SHOP_TEXT = (tables.folder() / "default_shop.toml").read_bytes()
PARTS = {name: (tables.folder() / "parts" / f"{name}.toml").read_bytes() for name in part.DEMOS}


def test_a_description_cut_off_at_any_byte():
    for cut in range(0, len(SHOP_TEXT), 41):
        readable(SHOP_TEXT[:cut], tools.read_text)
    assert readable(SHOP_TEXT, tools.read_text)
    for text in PARTS.values():
        for cut in range(0, len(text), 5):
            readable(text[:cut], lambda content: part.read_text(content.decode("utf-8", "replace")))


@settings(max_examples=150)
@given(st.binary(max_size=200), st.integers(0, 10**6))
def test_a_description_with_anything_in_it(rubbish, at):
    at %= len(SHOP_TEXT)
    readable(rubbish, tools.read_text)
    readable(SHOP_TEXT[:at] + rubbish + SHOP_TEXT[at:], tools.read_text)
    text = PARTS["bush"]
    at %= len(text)
    readable((text[:at] + rubbish + text[at:]), lambda content: part.read_text(content.decode("utf-8", "replace")))


@pytest.mark.parametrize(
    "change", [lambda b: b"\xef\xbb\xbf" + b, lambda b: b.replace(b"\n", b"\r\n")], ids=["byte order mark", "CRLF"]
)
def test_a_description_from_any_editor(change):
    assert tools.read_text(change(SHOP_TEXT)) == tools.read_text(SHOP_TEXT)
    for text in PARTS.values():
        assert part.read_text(change(text).decode()).surfaces == part.read_text(text.decode()).surfaces


@pytest.mark.parametrize(
    "content",
    [
        b"a = " + b"[" * 50_000,
        b"a = {" * 5_000,
        b"\0",
        b"a = 1\na = 2",
        b"x" * 3_000_000,
        "größe = 1".encode("utf-16"),
        'name = "Bügel"'.encode("latin-1"),
        b"name = 2026-01-01",
        b"version = inf",
        b"[[surface]]\n" * 3,
    ],
)
def test_a_description_that_is_none(content):
    assert not readable(content, tools.read_text)
    assert not readable(content, lambda text: part.read_text(text.decode("utf-8", "replace")))


def test_two_of_one_name_in_a_description():
    with pytest.raises(Refused, match=r"twice|called"):
        part.read_text(PARTS["bush"].decode().replace('name = "bore"', 'name = "outside"'))
    with pytest.raises(Refused):
        tools.read_text(SHOP_TEXT + b"\n[lathe]\nname = 'another'\n")


def test_a_description_refused_leaves_the_one_before(own_folder):
    fill()
    kept = (own_folder / "tools.json").read_bytes()
    for cut in range(0, len(SHOP_TEXT) - 40, 997):
        try:
            tools.keep(SHOP_TEXT[:cut])
        except Refused:
            assert (own_folder / "tools.json").read_bytes() == kept
        else:
            kept = (own_folder / "tools.json").read_bytes()
    assert json.loads(kept)["version"] == 1


def test_writing_out_again_keeps_what_the_user_typed(own_folder):
    """The written file is for changing: a second “write it out” must not cost the changes."""
    my_shop.write_out(None, "everything")
    path = own_folder / my_shop.FILE
    typed = path.read_text(encoding="utf-8").replace("power = 0.75", "power = 1.1")
    assert "power = 1.1" in typed
    path.write_text(typed, encoding="utf-8")
    for _ in range(3):
        my_shop.write_out(None, "everything")
    [kept] = own_folder.glob("my shop.kept-*.toml")
    assert kept.read_text(encoding="utf-8") == typed
    assert kept.name in " ".join(files.notices())


def test_our_own_old_sheets_are_simply_replaced(own_folder):
    for text in ("first", "second", "second", "third"):
        files.put("sheet.md", text)
    assert [p.name for p in own_folder.iterdir()] == ["sheet.md"]


def test_a_recording_cut_off_anywhere():
    from springpass.boring_bar.tap_test import read_wav

    content = _recording()
    assert readable(content, read_wav)
    for cut in (*range(60), *range(60, len(content), 997)):
        readable(content[:cut], read_wav)
    rng = random.Random(5)
    for _ in range(200):
        spoiled = bytearray(content[:400])
        spoiled[rng.randrange(60)] = rng.randrange(256)
        readable(bytes(spoiled), read_wav)


def _recording() -> bytes:
    import io
    import wave

    import numpy as np

    t = np.arange(8000) / 8000
    stream = io.BytesIO()
    with wave.open(stream, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(8000)
        file.writeframes((2e4 * np.sin(2 * np.pi * 900 * t) * np.exp(-20 * t)).astype("<i2").tobytes())
    return stream.getvalue()


# ---- pages over a damaged shop --------------------------------------------------------------------

ODD = ("stiff", None, [], {}, -1, 0, True, 1e300)
FACTS = (
    "name",
    "stiffness",
    "stiffness_error",
    "stiffness_low",
    "rotation",
    "damping",
    "damping_scatter",
    "scatter",
    "dof",
    "step",
    "readings",
    "sizes",
    "unit",
    "hole",
    "reamer",
    "size",
    "expected",
    "features",
    "part",
    "value",
    "low",
    "high",
    "count",
    "frequency",
    "sheet",
)
KINDS = (
    "holder",
    "bar ring",
    "support",
    "repeatability",
    "gauge set",
    "reamed hole",
    "measured feature",
    "expected features",
    "learned",
)
NAMES = (
    "spindle and chuck",
    "tailstock and centre",
    "steady rest",
    "carriage stop",
    "micrometer on a shaft",
    "force factor",
    "holder stiffness",
)


def senseless() -> bytes:
    """Records of every kind with facts that no program of ours would save."""
    rng = random.Random(4)
    rows = [{"kind": kind, **{fact: rng.choice(ODD) for fact in FACTS if rng.random() < 0.8},
             **({"name": rng.choice(NAMES)} if rng.random() < 0.8 else {})} for kind in KINDS for _ in range(12)]
    return json.dumps(
        {"version": 1, "records": [{"id": i, **row} for i, row in enumerate(rows, 1)], "learner": 3}
    ).encode()


SPOILED = {"cut off": b'{"version": 1, "rec', "newer": b'{"version": 9}', "senseless": senseless()}


def pages_that_read_files():
    """Every page of a module that knows the shop file or the tools."""
    found = {}
    for _, name, _ in pkgutil.iter_modules(springpass.pages.__path__):
        inside = vars(importlib.import_module(f"springpass.pages.{name}"))
        for value in inside.values() if {"shop", "tools"} & set(inside) else ():
            if isinstance(value, page.Page):
                found.setdefault(value.name, value)
    return list(found.values())


@pytest.mark.parametrize("content", SPOILED.values(), ids=SPOILED)
@pytest.mark.parametrize("name", ["shop", "tools", "progress"])
def test_pages_open_over_a_spoiled_file_and_say_so(own_folder, monkeypatch, name, content):
    """Every page that reads the user's files is put into a notebook, live and as its still; none breaks."""
    shown = []
    monkeypatch.setattr("IPython.display.display", lambda data, **_: shown.append(data["text/plain"]))
    fill()
    (own_folder / f"{name}.json").write_bytes(content)
    lives = []
    put = page.put

    def kept(name, live, still):
        lives.append(live)
        put(name, live, still)

    monkeypatch.setattr(page, "put", kept)
    pages = pages_that_read_files()
    for one in pages:
        page.show(one)
        for what in one.inputs:
            if isinstance(what, page.Tick):
                lives[-1].set(what.name, not what.usual)
    from springpass.screen import questions

    questions.predict("01_heat")
    questions.practise("01_heat")
    assert len(pages) > 15
    assert len(shown) == len(pages) + 2 and all(shown)
    for live in lives:
        if isinstance(live, Live):
            assert live.answer["state"] != "broken", live.page.name
    said = " ".join(" ".join([live.answer["note"], *live.told]) for live in lives if isinstance(live, Live))
    if content == SPOILED["cut off"] and name != "progress":
        assert "set aside" in said
    if content == SPOILED["newer"] and name != "progress":
        assert "newer workbook" in said
        assert (own_folder / f"{name}.json").read_bytes() == content


# ---- two at once ----------------------------------------------------------------------------------

MANY = """
import sys
from springpass.core import files
from springpass.job import shop
from springpass.teaching import progress
who = sys.argv[1]
for i in range(700):
    progress.note("exercises", "01_heat/one", "ash", tries=1)
    files.change("list " + "ab"[i % 2], lambda d: {**d, who: d.get(who, 0) + 1}, {})
    if i % 3 == 0:
        shop.add("hole", size=i, who=who)
"""


def test_two_notebooks_write_thousands_of_times():
    writers = [subprocess.Popen([sys.executable, "-c", MANY, who]) for who in ("one", "two")]
    assert [writer.wait(240) for writer in writers] == [0, 0]
    assert progress.pages("ash")["exercises"]["01_heat/one"]["tries"] == 1400
    assert [files.load(f"list {x}", {}) for x in "ab"] == [{"one": 350, "two": 350}] * 2
    holes = shop.records("hole")
    assert len(holes) == len({r["id"] for r in holes}) == 2 * len(range(0, 700, 3))
    for who in ("one", "two"):
        assert [r["size"] for r in holes if r["who"] == who] == list(range(0, 700, 3))
    assert files.notices() == []


def test_two_threads_of_one_kernel():
    def write(who):
        for i in range(60):
            shop.add("hole", who=who, size=i)

    threads = [threading.Thread(target=write, args=(who,)) for who in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert len({r["id"] for r in shop.records("hole")}) == 120


def test_several_records_all_or_none(own_folder, monkeypatch):
    """A second try after a full disk counts nothing twice."""
    expected = learning.Expected("bore 10 H7", "bored", 10, 10.0, 9.99, 10.01)
    found = [learning.compare(expected, [10.004]), learning.compare(expected, [10.006])]

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(Refused):
            learning.keep_results(found)
    assert learning.kept_results() == ()
    assert learning.keep_results(found) == [1, 2]
    assert [r.measured for r in learning.kept_results()] == [10.004, 10.006]


# ---- killed ---------------------------------------------------------------------------------------

KILLED = """
import json, os, random, select, signal, sys, time
from springpass.core import files
from springpass.job import shop
from springpass.teaching import progress

folder, times = files.folder(), int(sys.argv[1])
rng = random.Random(int(sys.argv[2]))
moments = []
for i in (-1, -2):                                       # each file has one before it, from the first kill on
    shop.add("hole", size=i, turn=-1)
    files.save("log", {"turn": -1, "i": i})
    progress.note("exercises", "01_heat/one", "ash", tries=1)
for turn in range(times):
    before = len(shop.records("hole"))
    out, into = os.pipe()
    writer = os.fork()
    if writer == 0:
        for i in range(10_000):
            shop.add("hole", size=i, turn=turn, padding="x" * 1500)
            files.save("log", {"turn": turn, "i": i, "padding": ["y"] * 800})
            progress.note("exercises", "01_heat/one", "ash", tries=1)
            os.write(into, b".")
    os.close(into)
    select.select([out], [], [], 10)                    # its first round is through
    wait = rng.expovariate(1 / 0.004)
    time.sleep(wait)
    os.kill(writer, signal.SIGKILL)
    os.waitpid(writer, 0)
    said = 0
    while piece := os.read(out, 65536):
        said += len(piece)
    os.close(out)
    assert said, "the writer never got going"
    left = sorted(p.name for p in folder.iterdir())
    moments.append(any(name.endswith((".new", ".old")) for name in left))
    for name in ("shop", "log", "progress"):             # whole, and the one before it whole
        json.loads((folder / f"{name}.json").read_bytes())
        json.loads((folder / f"{name}.previous.json").read_bytes())
    holes = shop.records("hole")
    mine = [r["size"] for r in holes if r["turn"] == turn]
    assert mine == list(range(len(mine))) and len(mine) - said in (0, 1), (said, mine)
    earlier = json.loads((folder / "shop.previous.json").read_bytes())["records"]
    now = json.loads((folder / "shop.json").read_bytes())["records"]
    assert earlier in (now, now[:-1])
    log = files.load("log", {})
    assert log["turn"] == turn and log["i"] - (said - 1) in (0, 1)
    assert files.notices() == []
    if len(holes) > 150:                                 # begin a new file now and then, so that it stays quick
        for name in ("shop.json", "shop.previous.json"):
            (folder / name).unlink()
        shop.add("hole", size=-1, turn=-1)
        shop.add("hole", size=-2, turn=-1)
print(sum(moments))
"""


@POSIX
def test_killed_at_random_moments_by_the_hundred():
    """300 kernels killed with SIGKILL in the middle of saving three files over and over."""
    done = subprocess.run([sys.executable, "-c", KILLED, "300", "20"], capture_output=True, timeout=300,
                          encoding="utf-8")
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 20, "few of them were hit while a file was half written"


RESCUE = """
import os, signal, sys
from springpass.core import files
from springpass.job import shop
step, truly = int(sys.argv[1]), os.replace
def replace(*a):
    global step
    step -= 1
    if step == 0:
        os.kill(os.getpid(), signal.SIGKILL)
    truly(*a)
os.replace = replace
shop.records("holder")
"""


@POSIX
@pytest.mark.parametrize("step", [1, 2])
def test_killed_while_a_damaged_file_is_set_aside(own_folder, step):
    """Before and after the damaged file has its new name."""
    fill()
    (own_folder / "shop.json").write_bytes(b"{ half")
    assert subprocess.run([sys.executable, "-c", RESCUE, str(step)]).returncode < 0
    assert [r["name"] for r in shop.records("holder")] == ["first"]
    assert [p.read_bytes() for p in own_folder.glob("shop.damaged-*.json")] == [b"{ half"]
    shop.add("holder", name="third")
    assert [r["name"] for r in shop.records("holder")] == ["first", "third"]


# ---- a learner's pages ----------------------------------------------------------------------------


def test_answers_typed_on_a_full_disk_stay_in_their_boxes(own_folder, monkeypatch):
    from springpass.screen import questions

    sheet = questions.Practise(exercises.chapter("01_heat"), False)
    card = next(c for c in sheet.cards if not c.task.options)

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        card.answer("12,5")
        said = card.told + card.solution + sheet.said
        assert "No space left" in said
        assert card.typed == "12,5"
    card.answer("12,5")
    assert progress.pages(*sheet.who)["exercises"][card.exercise.name]["typed"] == "12,5"


def test_the_recording_page_takes_any_bytes():
    live = Live(
        own_bar.TAP
        if hasattr(own_bar, "TAP")
        else next(
            v
            for v in vars(own_bar).values()
            if isinstance(v, page.Page) and any(isinstance(i, page.Load) for i in v.inputs)
        )
    )
    for content in (b"", b"RIFF", b"\0" * 1000, _recording()[:300], SHOP_TEXT):
        live.set("recording", content)
        assert live.answer["state"] != "broken"
    live.set("recording", _recording())
    assert live.answer["picture"].startswith("<svg")


def test_a_word_is_one_word_whatever_the_file_says(own_folder):
    """A kept answer that no longer fits its exercise is passed over, not fatal."""
    name = exercises.chapter("01_heat").exercises[0].name
    progress.call_me("ash")
    for odd in (3, None, [], {}, "x" * 100_000, "nan", True):
        progress.note("exercises", name, "ash", typed=odd, tries=0)
        from springpass.screen import questions

        assert questions.Practise(exercises.chapter("01_heat"), False).cards
        assert practice.word("ash") == "ash"


# ---- what nobody types, and what stands where a file should ------------------------------------------

MUCH = 1_000_000
BOMBS = {
    "a dotted name without end": "a" + ".a" * (MUCH // 2) + " = 1",
    "a dotted heading without end": "[a" + ".a" * 80_000 + "]",
    "brackets within brackets": "a = " + "[" * 150_000,
    "tables within tables": "a = " + "{a=" * 50_000,
    "a dotted name in a table": "a = {a" + ".a" * 80_000 + " = 1}",
    "thousands of headings": "\n".join(f"[a{i}]" for i in range(20_000)),
    "a number of a hundred thousand figures": "a = " + "9" * 100_000,
    "a text without end": 'a = "' + "x" * 150_000,
    "lines and nothing on them": "\n" * 150_000,
    "a megabyte": "x" * MUCH,
}


@pytest.mark.parametrize("text", BOMBS.values(), ids=BOMBS)
@pytest.mark.parametrize("read", [part.read_text, tools.read_text], ids=["part", "shop"])
def test_a_description_that_is_a_bomb_is_answered_in_a_second(read, text):
    start = time.process_time()
    with pytest.raises(Refused):
        read(text)
    assert time.process_time() - start < 1.5


PASTES = {"words": "x" * MUCH, "lines": "\n" * MUCH, "numbers": "1 2\n" * (MUCH // 4), "commas": "," * MUCH,
          "tabs": "a\tb\n" * (MUCH // 4), "quotation marks": '"' * MUCH, "blanks": " " * MUCH}


def texts() -> list[tuple[page.Page, str, int]]:
    """Every box for free text on any page, with the most letters it takes."""
    found = []
    for module in pkgutil.iter_modules(springpass.pages.__path__):
        if module.name != "__main__":
            for thing in vars(importlib.import_module(f"springpass.pages.{module.name}")).values():
                if isinstance(thing, page.Page):
                    found += [(thing, what.name, what.longest) for what in thing.inputs if isinstance(what, page.Write)]
    return found


def test_a_pasted_megabyte_is_answered_in_a_second():
    """Into every box of every page, cut to the most it takes: an answer or a sentence."""
    asked = {(one.name, name): (one, name, most) for one, name, most in texts()}
    assert len(asked) > 10
    for one, name, most in asked.values():
        for what, text in PASTES.items():
            start = time.process_time()
            with contextlib.suppress(Refused):
                one.values(**{name: text})
            with contextlib.suppress(Refused):
                one.answer(**{name: text[:most]})
            spent = time.process_time() - start
            assert spent < 2.0, f"{one.name}, {name}: {what} took {spent:.1f} s"


TYPES = (None, True, 0, -1, 1e300, "", "abc", "12,5", [], [1, "a"], {}, {"a": {"b": []}})


def test_a_shop_file_edited_by_hand_with_any_type(own_folder, monkeypatch):
    """Each entry of each record in turn is made each type; whoever reads them gives an answer or a sentence."""
    expected = learning.Expected("bore 10 H7", "bored", 10, 10.0, 9.99, 10.01)
    learning.keep_results([learning.compare(expected, [10.004])])
    shop.add("holder", name="mine", holder="two screws in a block", bar_diameter=8.0, stiffness=31000.0,
             stiffness_error=900.0)
    shop.add("repeatability", instrument="bore gauge set in a ring", sd=0.001, count=11)
    whole = json.loads((own_folder / "shop.json").read_bytes())
    tried = 0
    for at, record in enumerate(whole["records"]):
        for key in record:
            for value in TYPES:
                changed = json.loads(json.dumps(whole))
                changed["records"][at][key] = value
                (own_folder / "shop.json").write_text(json.dumps(changed), encoding="utf-8")
                for read in (learning.kept_results, tools.own_shop, lambda: shop.records("holder"),
                             lambda: learning.lessons(learning.kept_results())):
                    with contextlib.suppress(Refused):
                        read()
                tried += 1
    assert tried > 200


@POSIX
@pytest.mark.parametrize("name", ["shop", "tools", "progress"])
def test_a_pipe_where_the_file_should_be(own_folder, name):
    """Nobody writes into it, so reading it would wait for ever."""
    own_folder.mkdir(exist_ok=True)
    os.mkfifo(own_folder / f"{name}.json")
    for use in (lambda: files.load(name, {}), lambda: files.save(name, {"version": 1}),
                lambda: files.write(own_folder / f"{name}.json", "text")):
        with pytest.raises(Refused):
            use()
    assert (own_folder / f"{name}.json").is_fifo()


@POSIX
def test_a_home_that_is_set_to_nothing(monkeypatch, tmp_path):
    """Files must not land in whatever folder the notebook stands in."""
    monkeypatch.delenv("SPRINGPASS_SHOP")
    monkeypatch.setenv("HOME", "")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Refused, match="SPRINGPASS_SHOP"):
        files.save("shop", {"version": 1, "records": []})
    assert not list(tmp_path.iterdir())


def test_a_clock_that_was_set_back(own_folder, monkeypatch):
    """Names made of the time do not meet, and a change is still seen."""
    fill()
    before = files.stamp()
    for _ in range(3):
        (own_folder / "shop.json").write_bytes(b"broken")
        shop.add("holder", name="third")
        for file in own_folder.glob("shop*.json"):
            os.utime(file, (1_000_000_000, 1_000_000_000))
    assert files.stamp() != before
    assert len(list(own_folder.glob("shop.damaged-*.json"))) == 3
    for count in range(3):
        (own_folder / "sheet.csv").write_text(f"typed {count}", encoding="utf-8")
        files.put("sheet.csv", f"ours {count}")
    assert len(list(own_folder.glob("sheet.kept-*.csv"))) == 3


def test_what_killed_writes_left_is_swept(own_folder):
    """Beside a sheet as beside the shop's file; what may still be someone's own write is left."""
    fill()
    for name in ("shop.json", "sheet.html"):
        for age, at in (("old", 1_000_000_000), ("later", time.time() + 9e6), ("fresh", time.time())):
            left = own_folder / f"{name}.{age}.new"
            left.write_bytes(b"half")
            os.utime(left, (at, at))
    shop.add("holder", name="third")
    files.put("sheet.html", "whole")
    assert sorted(p.name for p in own_folder.glob("*.new")) == ["sheet.html.fresh.new"]


FORMULAS = ("=1+1", "+1+1", "-1+1", "−1+1", "@SUM(A1)", "\t=1+1", " =1+1", "\u200b=1+1", "\ufeff=1+1", "\u00ad@x",
            "＝1+1", "\u2060−cmd", "\r=1")


@pytest.mark.parametrize("text", FORMULAS, ids=[repr(text) for text in FORMULAS])
def test_no_cell_is_a_formula(text):
    cell = files.csv_cell(text)
    assert cell == f"'{text}" and files.csv_text(cell) == text


@pytest.mark.parametrize("text", ["", "12.5", "-0.012", "−3,5", "ash", "'quoted'", "a=b", "½"])
def test_a_cell_that_is_none_stays(text):
    assert files.csv_cell(text) == text and files.csv_text(text) == text


def test_exported_tables_hold_no_formula(own_folder):
    progress.call_me("ash", "7b")
    for count, text in enumerate(FORMULAS):
        progress.note("exercises", f"01_heat/{count}", "ash", "7b", typed=text, value=1.0, right=False, tries=1)
    for row in csv.reader(progress.table("ash", "7b").splitlines()):
        for cell in row:
            bare = cell.lstrip("\u200b\ufeff\u00ad\u2060 \t")
            assert bare[:1] not in ("=", "+", "-", "−", "@", "＝") or cell[:1] == "'" or bare[1:].isdecimal(), cell


def test_the_same_results_are_kept_once(own_folder):
    """Pressed twice, in the same notebook or after a restart; a third part that differs counts."""
    expected = learning.Expected("bore 10 H7", "bored", 10, 10.0, 9.99, 10.01)
    found = [learning.compare(expected, [10.004]), learning.compare(expected, [10.006])]
    learning.keep_results(found, "bush")
    with pytest.raises(Refused, match="not counted a second time"):
        learning.keep_results(found, "bush")
    learning.keep_results(found, "second bush")
    learning.keep_results([learning.compare(expected, [10.005])], "bush")
    assert len(learning.kept_results()) == 5
