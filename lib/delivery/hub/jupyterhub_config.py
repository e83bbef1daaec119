"""A class on one Linux server: the engine is JupyterHub, this is only its settings.

Who may in: whoever has an account on this computer (checked by PAM, the computer's own login) and
is in the group `learners`. Each learner's server runs as that account, in that account's home: what
keeps learners apart is the operating system's own file and process rights. Nobody is let in without
a password, and without a certificate the hub answers on this computer alone.

Change the numbers below, nothing else. The steps are in the README.
"""

import os
import resource
import sys
from pathlib import Path

from jupyterhub.auth import PAMAuthenticator
from jupyterhub.spawner import LocalProcessSpawner

MEMORY = 1_500_000_000    # bytes of address space one process may take; a page needs a tenth of it
PROCESSES = 200           # processes and threads of one learner
FILE = 200_000_000        # bytes of the largest file a learner may write
IDLE = 3600               # seconds without use after which a kernel, then a server, is stopped
LOGIN = 8                 # hours after which a login must be given again: computers are shared
CHECK = 60                # seconds after which it is asked again whether a learner still belongs to the group
PORT = 8443

here = Path(__file__).resolve().parent
started = "jupyterhub" in Path(sys.argv[0]).parts[-2:]   # by the hub itself, as a script or as a module
c = get_config()  # noqa: F821


def closed_to_learners(place):
    """The first folder on the way to a file that learners may not enter, or None."""
    return next(
        (folder for folder in reversed(Path(place).resolve().parents) if not folder.stat().st_mode & 0o001), None
    )


def open_to_others(place):
    """The file or folder on the way to a place that others than its owner may write, or None; a folder in which each
    may remove only what is their own, as /tmp is, counts as closed.
    """
    return next((one for one in (Path(place).resolve(), *Path(place).resolve().parents)
        if one.stat().st_mode & 0o022 and not one.stat().st_mode & 0o1000), None)


# what the hub trusts must not be another's to change: its keys and cookies here, and these settings
for place in (".", __file__, *Path(".").glob("hub.*"), *Path(".").glob("jupyterhub*")):
    if started and (loose := open_to_others(place)):
        sys.exit(f"The hub does not start: others may write in {loose}. Take that right away (chmod go-w), or start it "
            "from a folder of its own, as the README says.")

# learners' servers run this Python and read this project as the learners' own accounts: say at once where that cannot
# be
for place in (sys.executable, __file__):
    if started and (shut := closed_to_learners(place)):
        sys.exit(
            f"No learner could start a server: {Path(place).resolve()} lies in {shut}, which is closed to them. "
            "Put the project where everyone may read it, and make the environment with /usr/bin/python3, as the README "
            "says."
        )


class Bounded(LocalProcessSpawner):
    """Runs a learner's server as that learner, within limits that every process it starts inherits."""

    def make_preexec_fn(self, name):
        become = super().make_preexec_fn(name)

        def prepare():
            become()
            os.umask(0o077)   # what a learner writes is that learner's alone
            os.nice(5)  # the hub itself goes first
            for what, most in (
                (resource.RLIMIT_AS, MEMORY),
                (resource.RLIMIT_NPROC, PROCESSES),
                (resource.RLIMIT_FSIZE, FILE),
            ):
                resource.setrlimit(what, (most, most))

        return prepare


class Members(PAMAuthenticator):
    """The computer's own login; who has left the group since is out, without waiting for the login's end."""

    async def refresh_user(self, user, handler=None):
        try:
            return self.check_allowed_groups(user.name)
        except KeyError:   # the account is gone
            return False


# ---- who may in
c.JupyterHub.authenticator_class = Members
c.Authenticator.auth_refresh_age = CHECK
c.Authenticator.refresh_pre_spawn = True
c.LocalAuthenticator.allowed_groups = {"learners"}
c.Authenticator.delete_invalid_users = True
c.JupyterHub.cookie_max_age_days = LOGIN / 24

# ---- where it answers: on the network only with a certificate, for passwords go over it
if Path("hub.crt").exists() and Path("hub.key").exists():
    c.JupyterHub.ssl_cert, c.JupyterHub.ssl_key = str(Path("hub.crt").resolve()), str(Path("hub.key").resolve())
    c.JupyterHub.bind_url = f"https://:{PORT}"
else:
    c.JupyterHub.bind_url = "http://127.0.0.1:8000"

# ---- a learner's server: a copy of the workbook in the learner's own home
c.JupyterHub.spawner_class = Bounded
c.Spawner.cmd = [sys.executable, str(here / "learner.py")]
c.Spawner.default_url = "/lab/tree/00_start_here.ipynb"
c.Spawner.notebook_dir = "~/workbook"
c.Spawner.environment = {"OPENBLAS_NUM_THREADS": "1"}   # thirty learners share the cores
c.Spawner.start_timeout = c.Spawner.http_timeout = 180
# kernels behind files of the learner's own, not behind ports: thirty servers that pick ports at once pick the same one
# now and then
c.Spawner.args = [
    "--KernelManager.transport=ipc",
    f"--MappingKernelManager.cull_idle_timeout={IDLE}",
    "--MappingKernelManager.cull_connected=True",
    f"--MappingKernelManager.cull_interval={max(IDLE // 12, 2)}",
    "--ServerApp.terminals_enabled=False",   # what nobody needs here costs every learner's server its memory
    "--ServerApp.jpserver_extensions=jupyter_lsp=False",
    "--ServerApp.jpserver_extensions=jupyter_server_terminals=False",
]

# ---- servers nobody uses are stopped; the notebooks stay
c.JupyterHub.services = [
    {
        "name": "idle",
        "command": [
            sys.executable,
            "-m",
            "jupyterhub_idle_culler",
            f"--timeout={IDLE}",
            f"--cull-every={max(IDLE // 12, 2)}",
        ],
    }
]
c.JupyterHub.load_roles = [{"name": "idle", "services": ["idle"],
                            "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"]}]
