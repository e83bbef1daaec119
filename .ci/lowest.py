"""The lowest versions the project says it works with, as a constraints file on standard output.

    python .ci/lowest.py > lowest.txt && pip install -c lowest.txt -r requirements.txt

Every range of requirements.txt and lib/pyproject.toml gives its lower end.
"""

import re
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def lowest() -> list[str]:
    """One line a package, such as numpy==2. Stops where the two files disagree or a range has no lower end."""
    listed = (ROOT / "requirements.txt").read_text(encoding="utf-8").splitlines()
    project = tomllib.loads((ROOT / "lib/pyproject.toml").read_text(encoding="utf-8"))["project"]
    found: dict[str, str] = {}
    for line in [*listed, *project["dependencies"]]:
        if not line.strip() or line.startswith(("#", "-")):
            continue
        match = re.fullmatch(r"([\w-]+)>=([\d.]+),<[\d.]+", line.strip())
        if not match:
            sys.exit(f"{line}: not a range with a lower end and a ceiling")
        if found.setdefault(match[1], match[2]) != match[2]:
            sys.exit(f"{match[1]} has two lower ends, {found[match[1]]} and {match[2]}")
    return [f"{name}=={version}" for name, version in sorted(found.items())]


if __name__ == "__main__":
    print("\n".join(lowest()))
