"""Notebooks used as people use them: the whole twice in one kernel, each cell alone, and from the end to the beginning.

The opening cells (down to the one that asks for the units and the one that asks for the prediction) are run first, as
at
any sitting; after them every cell answers by itself, and always the same.
"""

import json
from pathlib import Path

import pytest
from jupyter_client.manager import start_new_kernel

WORKBOOK = Path(__file__).resolve().parents[1] / "workbook"
NOTEBOOKS = sorted(WORKBOOK.glob("*.ipynb"))


def code_of(path: Path) -> list[str]:
    return [
        "".join(cell["source"])
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]
        if cell["cell_type"] == "code"
    ]


def run(client, source: str) -> dict[str, str]:
    """What a cell puts out: kind -> text; the pictures, words and prints, without the widgets' own numbers."""
    out: dict[str, str] = {}

    def heard(message):
        content = message["content"]
        if message["msg_type"] == "stream":
            out[content["name"]] = out.get(content["name"], "") + content["text"]
        elif message["msg_type"] in ("display_data", "execute_result"):
            for kind, text in content["data"].items():
                if "widget" not in kind:
                    out[kind] = out.get(kind, "") + str(text)
        elif message["msg_type"] == "error":
            out["error"] = f"{content['ename']}: {content['evalue']}"

    client.execute_interactive(source, output_hook=heard, timeout=120, store_history=False)
    return out


@pytest.fixture
def client(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    monkeypatch.setenv("PYDEVD_DISABLE_FILE_VALIDATION", "1")
    manager, client = start_new_kernel(kernel_name="python3", cwd=str(WORKBOOK))
    yield client
    client.stop_channels()
    manager.shutdown_kernel(now=True)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_twice_alone_and_backwards(path, client):
    cells = code_of(path)
    opening = [source for source in cells[:2] if "import" in source]
    assert any("units()" in source for source in opening), "the tools stand in the first two cells"
    first = [run(client, source) for source in cells]
    assert not [out for out in first if "error" in out or "stderr" in out]
    assert [run(client, source) for source in cells] == first, "a second run in the same kernel"
    run(client, "%reset -f")
    for source in opening:
        run(client, source)
    for number in reversed(range(len(cells))):
        assert run(client, cells[number]) == first[number], f"cell {number}, from the end to the beginning"
    run(client, "%reset -f")
    for source in opening:
        run(client, source)
    run(client, "_kept = dict(globals())")
    for number, source in enumerate(cells):
        if source not in opening and "show(" not in source:     # a page needs nothing but the tools
            assert run(client, source) == first[number], f"cell {number}, alone"
            run(
                client,
                "for _n in list(globals()):\n    if _n not in _kept and _n not in ('_kept', '_n'):\n        del "
                "globals()[_n]\nglobals().update(_kept)",
            )
