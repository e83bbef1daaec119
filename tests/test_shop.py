"""Nothing the user measured is ever lost."""

import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest

from springpass.core import files
from springpass.core.quantity import Refused
from springpass.job import shop


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    files.notices()
    return tmp_path / "shop"


def test_a_record_comes_back(own_folder):
    made = shop.add("holder", name="tool post", stiffness=31000.0)
    assert shop.latest("holder", name="tool post")["stiffness"] == 31000.0
    assert made["id"] == 1
    assert shop.latest("holder", name="other") is None
    assert shop.records("reamed hole") == []


def test_forgetting_is_reversible():
    number = shop.add("holder", name="a")["id"]
    shop.add("holder", name="b")
    shop.forget(number)
    assert [r["name"] for r in shop.records("holder")] == ["b"]
    shop.restore(number)
    assert [r["name"] for r in shop.records("holder")] == ["a", "b"]
    with pytest.raises(Refused, match="no record number 99"):
        shop.forget(99)


def test_the_file_before_is_kept(own_folder):
    shop.add("holder", name="a")
    shop.add("holder", name="b")
    before = json.loads((own_folder / "shop.previous.json").read_text(encoding="utf-8"))
    assert [r["name"] for r in before["records"]] == ["a"]


@pytest.mark.parametrize(
    "rubbish", [b"", b"{", b"\x00\xff\x80", b"[1, 2]", b'{"records": 3}', b'{"records": [{"id": "x"}]}']
)
def test_a_damaged_file_is_set_aside_and_the_previous_one_used(own_folder, rubbish):
    shop.add("holder", name="a")
    shop.add("holder", name="b")
    (own_folder / "shop.json").write_bytes(rubbish)
    assert [r["name"] for r in shop.records("holder")] == ["a"]
    [aside] = own_folder.glob("shop.damaged-*.json")
    assert aside.read_bytes() == rubbish
    [notice] = files.notices()
    assert "set aside" in notice and aside.name in notice
    shop.add("holder", name="c")
    assert [r["name"] for r in shop.records("holder")] == ["a", "c"]
    assert aside.read_bytes() == rubbish


def test_a_full_disk_loses_nothing(own_folder, monkeypatch):
    shop.add("holder", name="a")
    kept = (own_folder / "shop.json").read_bytes()

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Refused, match="No space left"):
        shop.add("holder", name="b")
    assert (own_folder / "shop.json").read_bytes() == kept
    assert not list(own_folder.glob("*.new"))


def test_stopped_between_write_and_rename_loses_nothing(own_folder, monkeypatch):
    shop.add("holder", name="a")

    def cut(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", cut)
        with pytest.raises(KeyboardInterrupt):
            shop.add("holder", name="b")
    assert [r["name"] for r in shop.records("holder")] == ["a"]
    shop.add("holder", name="c")
    assert [r["name"] for r in shop.records("holder")] == ["a", "c"]


def test_a_folder_that_cannot_be_written_is_said(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "file" / "shop"))
    with pytest.raises(Refused, match="cannot be written"):
        shop.add("holder", name="a")


def test_values_that_cannot_be_kept_are_refused(own_folder):
    shop.add("holder", name="a")
    with pytest.raises(Refused, match="cannot be saved"):
        shop.add("holder", stiffness=float("nan"))
    assert len(shop.records("holder")) == 1


def test_two_notebooks_writing_at_once_lose_nothing(own_folder):
    code = ("from springpass.core import files; from springpass.job import shop\nfor i in range(20): shop.add('hole', "
            "size=i, who={who})")
    writers = [subprocess.Popen([sys.executable, "-c", code.format(who=who)]) for who in range(3)]
    assert [writer.wait(60) for writer in writers] == [0, 0, 0]
    found = shop.records("hole")
    assert len(found) == 60
    assert len({r["id"] for r in found}) == 60


@pytest.mark.parametrize("name", ["", "../x", "a/b", "a\\b", "."])
def test_a_file_name_cannot_leave_the_folder(name):
    with pytest.raises(Refused):
        files.save(name, {})


KILLED = """
import sys
from springpass.core import files; from springpass.job import shop
for i in range(100_000):
    shop.add("hole", size=i, padding="x" * 2000)
    files.save("tools", {"version": 1, "name": str(i), "padding": ["y"] * 3000})
    print(i, flush=True)
"""


@pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL")
@pytest.mark.parametrize("after", [0.0, 0.0007, 0.0031, 0.0113])
def test_a_kernel_killed_in_the_middle_of_saving_loses_nothing_it_said_was_saved(own_folder, after):
    """Really killed, at some moment of a save; whatever had been reported as saved is there, and saving goes on."""
    for _ in range(3):
        writer = subprocess.Popen([sys.executable, "-c", KILLED], stdout=subprocess.PIPE, encoding="utf-8")
        before = len(shop.records("hole"))
        said = [writer.stdout.readline() for _ in range(6)]
        assert len(said) == 6 and said[-1], "the writer never got going"
        time.sleep(after)
        writer.send_signal(signal.SIGKILL)
        said += writer.stdout.readlines()
        assert writer.wait(30) == -signal.SIGKILL
        saved = 1 + int([line for line in said if line.endswith("\n")][-1])
        for name in ("shop", "tools"):
            json.loads((own_folder / f"{name}.json").read_text(encoding="utf-8"))
            json.loads((own_folder / f"{name}.previous.json").read_text(encoding="utf-8"))
        found = shop.records("hole")
        assert len(found) - before in (saved, saved + 1)   # one more may have been saved but not yet reported
        assert [r["id"] for r in found] == list(range(1, len(found) + 1))
        assert int(files.load("tools", {})["name"]) in (saved - 1, saved)
        assert files.notices() == []
        shop.add("hole", size=-1)                          # the dead writer's lock is gone with it
        files.change("tools", dict, {})
        assert not [*own_folder.glob("*.new"), *own_folder.glob("*.old")], "and so is what it left half written"
        assert len(shop.records("hole")) == len(found) + 1


@pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL")
@pytest.mark.parametrize("moment", ["os.replace", "os.fsync", "shutil.copy2"])
def test_killed_at_each_step_of_a_save(own_folder, moment):
    """Killed by its own hand just before the flush, the copy of the old file, or the rename."""
    shop.add("holder", name="a")
    shop.add("holder", name="b")
    module, name = moment.split(".")
    code = (f"import os, shutil, signal; from springpass.core import files; from springpass.job import shop\n"
            f"{module}.{name} = lambda *a, **k: os.kill(os.getpid(), signal.SIGKILL)\n"
            "shop.add('holder', name='c')")
    assert subprocess.run([sys.executable, "-c", code]).returncode == -signal.SIGKILL
    assert [r["name"] for r in shop.records("holder")] == ["a", "b"]
    assert files.notices() == []
    shop.add("holder", name="d")
    assert [r["name"] for r in shop.records("holder")] == ["a", "b", "d"]


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full")
def test_a_disk_that_is_full_while_writing(own_folder, monkeypatch):
    """The write itself fails, not only the flush: the new file goes to a device that is always full."""
    shop.add("holder", name="a")
    kept = (own_folder / "shop.json").read_bytes()
    truly = Path.open

    def full(path, *rest, **more):
        return open("/dev/full", "wb") if path.name.endswith(".new") else truly(path, *rest, **more)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "open", full)
        with pytest.raises(Refused, match="No space left"):
            shop.add("holder", name="b")
    assert (own_folder / "shop.json").read_bytes() == kept
    shop.add("holder", name="c")
    assert [r["name"] for r in shop.records("holder")] == ["a", "c"]


READ_ONLY = """
import os
from springpass.core import files; from springpass.job import shop
from springpass.core.quantity import Refused
if os.geteuid() == 0:
    os.setuid(65534)      # an administrator may write anywhere, so be none
print([r["name"] for r in shop.records("holder")])
for write in (lambda: shop.add("holder", name="b"), lambda: files.save("shop", {}),
              lambda: files.put("sheet.html", "x")):
    try:
        write()
    except Refused as refusal:
        print(refusal)
"""


@pytest.mark.skipif(os.name == "nt", reason="folders are locked another way there")
def test_a_read_only_folder_keeps_what_it_has(monkeypatch):
    """In a process of its own that is no administrator."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "shop"
        monkeypatch.setenv("SPRINGPASS_SHOP", str(folder))
        shop.add("holder", name="a")
        kept = {p.name: p.read_bytes() for p in folder.iterdir()}
        os.chmod(place, 0o755)
        for path in folder.iterdir():
            os.chmod(path, 0o444)
        os.chmod(folder, 0o555)
        try:
            tried = subprocess.run([sys.executable, "-c", READ_ONLY], capture_output=True, encoding="utf-8")
        finally:
            os.chmod(folder, 0o755)
        first, *refused = tried.stdout.splitlines()
        assert first == "['a']", tried.stderr
        assert len(refused) == 3 and all("Permission denied" in line for line in refused)
        assert {p.name: p.read_bytes() for p in folder.iterdir()} == kept


@pytest.mark.parametrize("call", ["replace", "fsync"])
@pytest.mark.parametrize(
    "refusal", [(30, "Read-only file system"), (13, "Permission denied"), (5, "Input/output error")]
)
def test_whatever_the_system_refuses_nothing_is_lost(own_folder, monkeypatch, call, refusal):
    shop.add("holder", name="a")
    kept = (own_folder / "shop.json").read_bytes()

    def refuse(*_):
        raise OSError(*refusal)

    with monkeypatch.context() as patch:
        patch.setattr(os, call, refuse)
        with pytest.raises(Refused, match=refusal[1]):
            shop.add("holder", name="b")
    assert (own_folder / "shop.json").read_bytes() == kept
    assert not list(own_folder.glob("*.new"))


def test_two_notebooks_changing_one_file_lose_nothing(own_folder):
    """Each adds its own entries to the same list, read and written in one go."""
    code = (
        "from springpass.core import files; from springpass.job import shop\nfor i in range(25): files.change('parts', "
        "lambda d: {{**d, '{who}-' + str(i): "
        "i}}, {{}})"
    )
    writers = [subprocess.Popen([sys.executable, "-c", code.format(who=who)]) for who in "ab"]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    assert len(files.load("parts", {})) == 50


def test_a_reader_never_sees_half_a_file(own_folder):
    """Read again and again while another notebook writes: always whole, and no notice of a damaged file."""
    writer = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "from springpass.core import files; from springpass.job import shop\nfor i in range(60): files.save('log', "
            "list(range(3000 + i)))",
        ]
    )
    lengths = set()
    while writer.poll() is None:
        lengths.add(len(files.load("log", [])))
    assert writer.returncode == 0
    assert lengths <= {0, *range(3000, 3060)}
    assert len(files.load("log", [])) == 3059
    assert files.notices() == []


def test_a_text_file_is_written_whole_or_not_at_all(own_folder, monkeypatch):
    place = files.put("sheet.md", "first")

    def cut(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", cut)
        with pytest.raises(Refused, match="No space left"):
            files.put("sheet.md", "second")
    assert place.read_text(encoding="utf-8") == "first"
    assert [p.name for p in own_folder.iterdir()] == ["sheet.md"]
    for name in ("", "../x.md", "a/b.md", ".hidden", "shop.json"):
        with pytest.raises(Refused):
            files.put(name, "x")
