"""Hostile input, counted: python tests/hostile_counts.py prints calls tried, answered and refused, module by module."""

import os
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import hostile


def main() -> int:
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["SPRINGPASS_SHOP"] = scratch
        os.chdir(scratch)
        calls = hostile.first_calls()
        for name, function in hostile.functions().items():
            if name in calls:
                for fault in hostile.spoiled(name, function, calls[name], "deep" in sys.argv):
                    print(fault)
        print(hostile.table())
        os.chdir("/")
    return int(any(count.wrong for count in hostile.COUNTS.values()))


if __name__ == "__main__":
    sys.exit(main())
