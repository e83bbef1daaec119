"""Nothing the user measured is ever lost."""

import json
import os
import subprocess
import sys

import pytest

from springpass import shop
from springpass.quantities import Refused


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    shop.notices()
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
    before = json.loads((own_folder / "shop.previous.json").read_text())
    assert [r["name"] for r in before["records"]] == ["a"]


@pytest.mark.parametrize("rubbish", [b"", b"{", b"\x00\xff\x80", b"[1, 2]", b'{"records": 3}', b'{"records": [{"id": "x"}]}'])
def test_a_damaged_file_is_set_aside_and_the_previous_one_used(own_folder, rubbish):
    shop.add("holder", name="a")
    shop.add("holder", name="b")
    (own_folder / "shop.json").write_bytes(rubbish)
    assert [r["name"] for r in shop.records("holder")] == ["a"]
    [aside] = own_folder.glob("shop.damaged-*.json")
    assert aside.read_bytes() == rubbish
    [notice] = shop.notices()
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
    (tmp_path / "file").write_text("not a folder")
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "file" / "shop"))
    with pytest.raises(Refused, match="cannot be written"):
        shop.add("holder", name="a")


def test_values_that_cannot_be_kept_are_refused(own_folder):
    shop.add("holder", name="a")
    with pytest.raises(Refused, match="cannot be saved"):
        shop.add("holder", stiffness=float("nan"))
    assert len(shop.records("holder")) == 1


def test_two_notebooks_writing_at_once_lose_nothing(own_folder):
    code = "from springpass import shop\nfor i in range(20): shop.add('hole', size=i, who={who})"
    writers = [subprocess.Popen([sys.executable, "-c", code.format(who=who)]) for who in range(3)]
    assert [writer.wait(60) for writer in writers] == [0, 0, 0]
    found = shop.records("hole")
    assert len(found) == 60
    assert len({r["id"] for r in found}) == 60


@pytest.mark.parametrize("name", ["", "../x", "a/b", "a\\b", "."])
def test_a_file_name_cannot_leave_the_folder(name):
    with pytest.raises(Refused):
        shop.save(name, {})
