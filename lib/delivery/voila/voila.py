"""The pages without code, for the phones on the room's network: the engine is Voilà, this is only its settings.

It answers on this computer alone until `--Voila.ip=0.0.0.0` opens it to the network; the steps and the warning
are in the README. Phones may move sliders and type into boxes, nothing else: no message that runs code is let through.
"""

import asyncio
import os
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

IDLE = 600                              # seconds after which the kernel of a page nobody has open is stopped
TOGETHER = (os.cpu_count() or 2) + 1    # pages that start at the same time; the others wait their turn
PATIENCE = 30                           # seconds after which a page that is still starting no longer holds up the next

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
_turns = asyncio.Semaphore(TOGETHER)


class InTurn(AsyncMappingKernelManager):
    """Starts a few kernels at a time, each with a folder of its own.

    When a whole class opens a page in the same second, twenty kernels that all start at once make so little headway that
    none is ready before patience ends; a few at a time, the first page is there at once and the last soon after.
    """

    async def start_kernel(self, **asked):
        env = dict(asked.pop("env", None) or os.environ, SPRINGPASS_SHOP=tempfile.mkdtemp(dir=_shops.name))
        await _turns.acquire()
        try:
            kernel_id = await super().start_kernel(env=env, **asked)
        except BaseException:
            _turns.release()
            raise
        self._under_way = getattr(self, "_under_way", set())
        task = asyncio.get_running_loop().create_task(self._until_quiet(kernel_id))
        self._under_way.add(task)
        task.add_done_callback(self._under_way.discard)
        return kernel_id

    async def _until_quiet(self, kernel_id):
        """Give the turn back once the page's cells have run: the kernel has been busy, and is quiet for a second."""
        begun, worked = time.monotonic(), False
        try:
            while kernel_id in self and time.monotonic() - begun < PATIENCE:
                await asyncio.sleep(0.2)
                kernel = self.get_kernel(kernel_id)
                worked = worked or kernel.execution_state == "busy"
                quiet = (datetime.now(UTC) - kernel.last_activity).total_seconds()
                if worked and kernel.execution_state == "idle" and quiet > 1:
                    break
        except KeyError:   # stopped meanwhile
            pass
        finally:
            _turns.release()


c.VoilaConfiguration.multi_kernel_manager_class = InTurn
