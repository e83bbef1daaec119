"""From the user's folder into the user's hand.

    return Saved(f"Written: {place.name}, in {place.parent}.", place)   # what a page's button returns

`Saved` is the sentence itself, and knows the files it speaks of. A page puts a link for each under its button, so that
the
file is in hand with one click where the folder is out of reach: on a server, on a phone, or in a file browser that
cannot
leave the folder it was started in. The file travels in the link itself; nothing is asked of any network.
"""

from __future__ import annotations

import base64
from html import escape
from pathlib import Path

LARGEST = 6_000_000   # bytes of one file that goes into a link
KINDS = {".html": "text/html", ".pdf": "application/pdf", ".csv": "text/csv", ".md": "text/markdown",
    ".toml": "text/plain", ".txt": "text/plain"}


class Saved(str):
    """A sentence about files that were written; `files` are their places."""

    files: tuple[Path, ...]

    def __new__(cls, says: str, *files: Path) -> Saved:
        self = super().__new__(cls, says)
        self.files = files
        return self

    def links(self) -> str:
        """HTML: a link for each of the files, which holds all of it; nothing for a file too large or no longer there.
        """
        made = []
        for place in self.files:
            try:
                data = place.read_bytes() if place.stat().st_size <= LARGEST else None
            except OSError:
                continue
            if data is not None:
                kind = KINDS.get(place.suffix.lower(), "application/octet-stream")
                made.append(f'<a download="{escape(place.name)}" '
                    f'href="data:{kind};base64,{base64.b64encode(data).decode()}">{escape(place.name)}</a>')
        return f'<div class="sp-links">Download: {" ".join(made)}</div>' if made else ""
