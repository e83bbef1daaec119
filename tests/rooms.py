"""The house counted from its imports: rooms, floors, arrows, and characters by room.

    python tests/rooms.py            this tree
    python tests/rooms.py FOLDER     another one, an older one with every module in one folder too

A module is a Python file of the library, an arrow an import of one module by another (in a function's body too), each
pair counted once. A room is a folder directly under springpass/; where there are layers, the topics are one room. A
floor is a step of the longest chain of arrows, where modules (or rooms) that import each other in a ring share one.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterable
from functools import cache
from pathlib import Path

LAYERS = ["core", "topics", "job", "teaching", "screen", "printing", "pages"]
TEXT = {".py", ".css", ".js", ".html"}
Arrows = set[tuple[str, str]]


def named(path: Path, lib: Path) -> str:
    """A module by its path below springpass/, with dots; a package by its folder's."""
    return ".".join(path.relative_to(lib).with_suffix("").parts).removesuffix("__init__").rstrip(".")


def room(path: Path, lib: Path) -> str:
    """The room a file stands in."""
    parts = path.relative_to(lib).parts
    if not (lib / "core").is_dir():
        return parts[0] if len(parts) > 1 else "one folder"
    if parts == ("__init__.py",):
        return "front door"
    return parts[0] if parts[0] in LAYERS else "topics" if path.suffix == ".py" and parts[0] != "data" else parts[0]


@cache
def statements(path: Path) -> list[ast.AST]:
    """A module's import statements, wherever they stand."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom)]


def arrows(modules: dict[str, Path]) -> Arrows:
    """Who imports whom, as pairs of names."""
    found: Arrows = set()
    for name, path in modules.items():
        package = name.split(".") if path.name == "__init__.py" else name.split(".")[:-1]
        for node in statements(path):
            if isinstance(node, ast.Import):
                used = [alias.name.removeprefix("springpass.") for alias in node.names
                        if alias.name.startswith("springpass.")]
            elif isinstance(node, ast.ImportFrom) and (node.level or (node.module or "").startswith("springpass")):
                base = [part for part in package if part][: len(package) - node.level + 1] if node.level else []
                below = [part for part in (node.module or "").split(".") if part and part != "springpass"]
                used = [".".join([*base, *below, alias.name]) for alias in node.names]
            else:
                continue
            for target in used:   # the longest name that is a module: `from .cutting import forces` or `… import Force`
                while target and target not in modules:
                    target = target.rpartition(".")[0]
                if target and target != name:
                    found.add((name, target))
    return found


def rings(nodes: Iterable[str], pairs: Arrows) -> dict[str, frozenset[str]]:
    """Every node's ring: those it reaches and is reached by, itself among them."""
    after: dict[str, set[str]] = {node: set() for node in nodes}
    for one, other in pairs:
        after[one].add(other)
    reach: dict[str, set[str]] = {}
    for node in after:
        seen, waiting = {node}, [node]
        while waiting:
            new = after[waiting.pop()] - seen
            seen |= new
            waiting += new
        reach[node] = seen
    return {node: frozenset(other for other in reach[node] if node in reach[other]) for node in after}


def floors(nodes: Iterable[str], pairs: Arrows) -> int:
    """How many floors the house has: the longest chain of arrows, a ring counted as one."""
    ring = rings(nodes, pairs)
    below: dict[frozenset[str], set[frozenset[str]]] = {one: set() for one in ring.values()}
    for one, other in pairs:
        if ring[one] != ring[other]:
            below[ring[one]].add(ring[other])
    height: dict[frozenset[str], int] = {}

    def high(one: frozenset[str]) -> int:
        if one not in height:
            height[one] = 1 + max((high(other) for other in below[one]), default=0)
        return height[one]

    return max(high(one) for one in below)


def survey(tree: Path) -> str:
    """Everything counted, as text to print. Raises FileNotFoundError where the tree has no library."""
    lib = tree / "lib" / "springpass"
    if not (lib / "__init__.py").is_file():
        raise FileNotFoundError(f"{tree} holds no lib/springpass.")
    files = sorted(path for path in lib.rglob("*") if path.suffix in TEXT and "__pycache__" not in path.parts)
    modules = {named(path, lib): path for path in files if path.suffix == ".py"}
    pairs = arrows(modules)
    inside = {name for name, path in modules.items() if path != lib / "__init__.py"}
    rooms = {name: room(path, lib) for name, path in modules.items()}
    between = {(rooms[one], rooms[other]) for one, other in pairs if one in inside} - {(r, r) for r in rooms.values()}
    ringed = {ring for ring in rings(modules, pairs).values() if len(ring) > 1}
    crossing = sum(rooms[one] != rooms[other] for one, other in pairs)
    below = sum(rooms[one] != "pages" for one, _ in pairs)
    text = {path: path.read_text(encoding="utf-8") for path in files}
    there = sorted({room(path, lib) for path in files},
                   key=lambda r: (LAYERS.index(r) if r in LAYERS else len(LAYERS), r))
    said = [
        f"modules {len(modules)}, the most in one folder {max(map(len, by_folder(modules).values()))}",
        f"arrows between modules {len(pairs)} ({crossing} from room to room, {below} without those from the pages), "
        f"floors of modules {floors(modules, pairs)}, rings {len(ringed)}",
        f"rooms {len(set(rooms.values()) - {'front door'})}, arrows between rooms {len(between)}, floors of rooms "
        f"{floors(set(rooms.values()), between)}",
        *(f"  ring: {', '.join(sorted(ring))}" for ring in sorted(ringed, key=sorted)),
        "",
        f"{'room':<12}{'files':>7}{'lines':>9}{'characters':>12}   leads down to",
    ]
    for one in there:
        mine = [path for path in files if room(path, lib) == one]
        down = sorted({other for above, other in between if above == one})
        said.append(f"{one:<12}{len(mine):>7}{sum(text[p].count(chr(10)) for p in mine):>9,}"
                    f"{sum(len(text[p]) for p in mine):>12,}   {', '.join(down)}".rstrip())
    said.append(f"{'all':<12}{len(files):>7}{sum(t.count(chr(10)) for t in text.values()):>9,}"
                f"{sum(map(len, text.values())):>12,}")
    return "\n".join(said)


def by_folder(modules: dict[str, Path]) -> dict[Path, list[str]]:
    """The modules of each folder."""
    found: dict[Path, list[str]] = {}
    for name, path in modules.items():
        found.setdefault(path.parent, []).append(name)
    return found


if __name__ == "__main__":
    print(survey(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parents[1]))
