"""The pages without code, for the phones on the room's network: the engine is Voilà, this is only its settings.

It answers on this computer alone until `--Voila.ip=0.0.0.0` opens it to the network; the steps and the warning
are in the README. Phones may move sliders and type into boxes, nothing else: no message that runs code is let through.
A derivation by SymPy is not run there. The first page is 00_start_here. SPRINGPASS_PHONES says how many phones the
class has (30 where it says nothing): no more pages than that are open at a time. SPRINGPASS_READY="check_stickout 20"
keeps twenty pages of that notebook run and ready before anybody asks.
"""

import os
import sys
import tempfile
from pathlib import Path

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado import web

IDLE = 600   # seconds after which the kernel of a page nobody has open is stopped
APART = ("for_teachers",)   # notebooks that are not for the room

c = get_config()  # noqa: F821

# our template takes away the stylesheets that the usual one asks of an outside host
here = Path(__file__).resolve().parent
os.environ["JUPYTER_PATH"] = os.pathsep.join(filter(None, [str(here.parent), os.environ.get("JUPYTER_PATH", "")]))
c.VoilaConfiguration.template = "springpass"
c.VoilaConfiguration.strip_sources = True
c.VoilaConfiguration.theme = "light"
c.VoilaConfiguration.classic_tree = True   # our own first page leads to 00_start_here, and so to all the others
c.VoilaConfiguration.file_allowlist = []   # no file of the folder, not even a picture, beside the pages themselves
c.Voila.open_browser = False

c.MappingKernelManager.cull_idle_timeout = IDLE
c.MappingKernelManager.cull_interval = max(IDLE // 10, 1)
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")   # many kernels share the cores

# what a phone saves goes to a folder of its own that lasts as long as this server: never to your own shop
_shops = tempfile.TemporaryDirectory(prefix="spring_pass_phones_")


class OwnShop(AsyncMappingKernelManager):
    """Gives every page's kernel a folder of its own, so that it keeps its files apart from everybody's."""

    started = 0

    async def start_kernel(self, **asked):
        page = Path((asked.get("env") or {}).get("SCRIPT_NAME", "")).stem
        if page in APART:
            raise web.HTTPError(404)
        if len(self.list_kernel_ids()) >= max(phones, sum(ready.values())):
            raise web.HTTPError(503, reason=f"All {phones} pages are in use. Try again in a minute")
        env = dict(asked.pop("env", None) or os.environ, SPRINGPASS_SHOP=tempfile.mkdtemp(dir=_shops.name))
        kernel_id = await super().start_kernel(env=env, **asked)
        self.started += 1
        if ready and self.started >= sum(
            ready.values()
        ):  # a page given away is not replaced: the class has its cores to itself
            self.kernel_pools_config = {"default": {"pool_size": 0}}
        return kernel_id


c.VoilaConfiguration.multi_kernel_manager_class = OwnShop


phones = os.environ.get("SPRINGPASS_PHONES", "30")
if not phones.isdigit() or not int(phones):
    sys.exit(f"SPRINGPASS_PHONES is “{phones}”; give the number of phones, such as 20.")
phones = int(phones)


def kept_ready(text):
    """{notebook: how many pages of it} of "check_stickout 20" or "01_heat 12, 06_fits 12"."""
    pairs = [part.split() for part in text.split(",") if part.strip()]
    if any(len(pair) != 2 or not pair[1].isdigit() for pair in pairs):
        sys.exit(f"SPRINGPASS_READY is “{text}”; name a notebook and a number, such as check_stickout 20.")
    return {f"{name.removesuffix('.ipynb')}.ipynb": int(number) for name, number in pairs}


# a class that opens a page in the same second finds it run already; whoever comes later waits as usual
ready = kept_ready(os.environ.get("SPRINGPASS_READY", ""))
if ready:
    c.VoilaConfiguration.preheat_kernel = True
    c.VoilaKernelManager.kernel_pools_config = {
        "default": {"pool_size": 0},
        **{name: {"pool_size": number} for name, number in ready.items()},
    }
