"""The pages without code, for the phones on the room's network: the engine is Voilà, this is only its settings.

It answers on this computer alone until `--Voila.ip=0.0.0.0` opens it to the network; the steps and the warning
are in the README. Phones may move sliders and type into boxes, nothing else: no message that runs code is let through.
"""

import os
import tempfile
from pathlib import Path

import nbformat

IDLE = 600   # seconds after which the kernel of a page nobody has open is stopped

c = get_config()  # noqa: F821

# our template takes away the stylesheets that the usual one asks of an outside host
here = Path(__file__).resolve().parent
os.environ["JUPYTER_PATH"] = os.pathsep.join(filter(None, [str(here.parent), os.environ.get("JUPYTER_PATH", "")]))
c.VoilaConfiguration.template = "springpass"
c.VoilaConfiguration.strip_sources = True
c.VoilaConfiguration.theme = "light"
c.VoilaConfiguration.classic_tree = True   # the list of notebooks as plain links
c.Voila.open_browser = False

c.MappingKernelManager.cull_idle_timeout = IDLE
c.MappingKernelManager.cull_interval = max(IDLE // 10, 1)
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")   # many kernels share the cores

# what a phone saves goes to a folder of its own that lasts as long as this server: never to your own shop
_shops = tempfile.TemporaryDirectory(prefix="spring_pass_phones_")
_OWN_SHOP = """import os, tempfile
os.environ["SPRINGPASS_SHOP"] = tempfile.mkdtemp(dir={folder!r})"""


def own_shop(request, notebook, cwd):
    """Put a cell before the first, so that the page's kernel keeps its files apart from everybody's."""
    notebook.cells.insert(0, nbformat.v4.new_code_cell(_OWN_SHOP.format(folder=_shops.name)))


c.VoilaConfiguration.prelaunch_hook = own_shop
