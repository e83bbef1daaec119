"""Spring Pass: what moves the size in precision turning, in numbers.

Each topic is one module or package that reads like a handbook chapter. Nothing is imported here, so that
`import springpass` costs next to nothing.
"""

from typing import Any

__version__ = "0.2.0"


def __getattr__(name: str) -> Any:
    """`from springpass import part`: the part described lies with the job; its short path stands."""
    if name == "part":
        from .job import part

        return part
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
