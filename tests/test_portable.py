"""The same on every system: text files and texts from other programs name their encoding; what one system lacks is
asked for first.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SCRIPTS = sorted([*(ROOT / "lib").rglob("*.py"), *(ROOT / "tests").rglob("*.py")])
OURS = {"part", "tools"}   # their read_text reads a text, not a file
UNIX = {"fcntl", "resource", "pwd", "grp", "termios"}
SIGNALS = {"SIGPROF", "SIGALRM", "SIGKILL", "setitimer", "fork", "ITIMER_PROF", "ITIMER_REAL"}
GUARDS = {"platform", "name", "hasattr", "POSIX"}


def mode(call: ast.Call, place: int) -> str | None:
    """The mode a file is opened in: by name, at its place among the arguments, or "r"; None if that is no mode."""
    named = [word.value for word in call.keywords if word.arg == "mode"]
    given = named[0] if named else call.args[place] if len(call.args) > place else ast.Constant("r")
    value = given.value if isinstance(given, ast.Constant) else None
    return value if isinstance(value, str) and set(value) <= set("rwaxbt+") else None


def without_encoding(tree: ast.AST) -> Iterator[ast.Call]:
    """Calls that read or write text and leave its encoding to the system."""
    for call in ast.walk(tree):
        if not isinstance(call, ast.Call) or any(word.arg in ("encoding", None) for word in call.keywords):
            continue
        name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
        method = isinstance(call.func, ast.Attribute)
        owner = call.func.value.id if method and isinstance(call.func.value, ast.Name) else ""
        told = {word.arg for word in call.keywords if getattr(word.value, "value", None) is True}
        if any((
            name in ("read_text", "write_text") and method and owner not in OURS,
            name == "open" and (opened := mode(call, 0 if method and owner != "io" else 1)) and "b" not in opened,
            name == "fdopen" and "b" not in (mode(call, 1) or "b"),
            name == "NamedTemporaryFile" and call.args and "b" not in (mode(call, 0) or "b"),
            name in ("run", "Popen", "check_output") and told & {"text", "universal_newlines"},
        )):
            yield call


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_text_names_its_encoding(path):
    lines = [call.lineno for call in without_encoding(ast.parse(path.read_text(encoding="utf-8")))]
    assert not lines, f'{path.name}: add encoding="utf-8" in lines {lines}'


def test_the_search_finds_what_it_should():
    found = {
        'open("a")': 1, 'open("a", "rb")': 0, 'open("a", "w", encoding="utf-8")': 0, "path.open()": 1,
        'path.open("w")': 1, 'path.open("wb")': 0, "os.open(place, flags)": 0, 'wave.open(stream, "wb")': 0,
        "path.read_text()": 1, 'path.write_text("a")': 1, "part.read_text(text)": 0, "run(words, text=True)": 1,
        "run(words)": 0, 'io.open("a")': 1, "NamedTemporaryFile()": 0, 'NamedTemporaryFile("w")': 1,
    }
    assert {source: len(list(without_encoding(ast.parse(source)))) for source in found} == found


def unguarded(tree: ast.Module) -> list[int]:
    """Lines that use what Windows lacks, outside every `if` and every skip that asks for the system first."""
    def asks(node: ast.AST) -> bool:
        words = {getattr(n, "attr", getattr(n, "id", "")) for n in ast.walk(node)}
        return bool(words & GUARDS)

    def within(node: ast.AST) -> Iterator[ast.AST]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.If) and asks(child.test):
                continue
            if isinstance(child, ast.FunctionDef) and any(asks(one) for one in child.decorator_list):
                continue
            yield child
            yield from within(child)

    return sorted({
        node.lineno for node in within(tree)
        if (isinstance(node, ast.Import) and {alias.name for alias in node.names} & UNIX)
        or (isinstance(node, ast.Attribute) and node.attr in SIGNALS)})


LINUX = {"lib/delivery/hub/jupyterhub_config.py", "lib/delivery/hub/learner.py",
         "tests/rehearsals/hub.py", "tests/rehearsals/measure.py"}


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_what_windows_lacks_is_asked_for_first(path):
    if path.relative_to(ROOT).as_posix() in LINUX:
        pytest.skip("this one is for Linux, and says so at its top")
    assert not unguarded(ast.parse(path.read_text(encoding="utf-8")))
