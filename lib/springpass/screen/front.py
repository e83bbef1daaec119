"""The one widget: everything that a notebook shows live is a `Front`, drawn by page.js with page.css.

It knows no page and no question. What Python wants shown stands in its traits; what the reader does comes to `hear`, as
page.js sends it. The same two files serve JupyterLab, the phones' server, the site without installation, and, with a
model of its own, the pocket card (printing/pocket/card.js). Nothing else in the library imports widgets.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import anywidget
import traitlets

from . import look


class Front(anywidget.AnyWidget):
    """A page or a set of questions in the browser; page.js says what the traits hold."""

    _esm = look.JS
    _css = look.CSS
    kind = traitlets.Unicode("page").tag(sync=True)
    spec = traitlets.Dict().tag(sync=True)
    answer = traitlets.Dict().tag(sync=True)
    more = traitlets.Dict({"n": -1, "html": ""}).tag(sync=True)
    work = traitlets.Dict().tag(sync=True)

    def __init__(self, kind: str, hear: Callable[[dict[str, Any], list[Any]], None], **shown: Any) -> None:
        super().__init__(kind=kind, **shown)
        self.on_msg(lambda _, content, buffers: hear(content, buffers))

    def close(self) -> None:
        self.layout.close()   # ipywidgets would leave it behind
        super().close()

    def bundle(self, still: dict[str, str]) -> dict[str, Any]:
        """What a notebook's output holds: the live view, and the still for a viewer without a kernel."""
        view = {"version_major": 2, "version_minor": 0, "model_id": self.model_id}
        return {**still, "application/vnd.jupyter.widget-view+json": view}
