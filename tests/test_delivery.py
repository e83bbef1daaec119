"""Delivery, as far as it can be tested without a server: settings, recipes, and the one wheel with its data.

The rehearsals under tests/rehearsals measure the rest on real servers."""

import ast
import asyncio
import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import SimpleNamespace

import pytest
from tornado import web

ROOT = Path(__file__).resolve().parents[1]
DELIVERY = ROOT / "lib/delivery"
SCRIPTS = sorted([*DELIVERY.rglob("*.py"), *(ROOT / "tests/rehearsals").glob("*.py")])


class Settings(dict):
    """What a settings file sets: every name it asks for is there."""

    def __getattr__(self, name):
        return self.setdefault(name, Settings())

    __setattr__ = dict.__setitem__


def settings(path: Path) -> tuple[Settings, dict]:
    """Run a settings file as the server would, and what it set."""
    c = Settings()
    names = {"get_config": lambda: c, "__file__": str(path), "__name__": "settings"}
    exec(compile(path.read_text(encoding="utf-8"), str(path), "exec"), names)
    return c, names


@pytest.fixture
def hub(monkeypatch, tmp_path):
    """The hub's settings, with a stand-in for the one class they build on, in an empty folder."""
    class Spawner:
        def make_preexec_fn(self, name):
            return lambda: None

    class Login:
        """The computer's own login, with ann in the group and bob gone."""

        def check_allowed_groups(self, name):
            return {"ann": True, "eve": False}[name]

    monkeypatch.setitem(sys.modules, "jupyterhub", SimpleNamespace())
    monkeypatch.setitem(sys.modules, "jupyterhub.auth", SimpleNamespace(PAMAuthenticator=Login))
    monkeypatch.setitem(sys.modules, "jupyterhub.spawner", SimpleNamespace(LocalProcessSpawner=Spawner))
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_script_compiles_and_says_what_it_is(path):
    assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("path", sorted([*DELIVERY.rglob("requirements.txt"), ROOT / ".binder/requirements.txt"]),
                         ids=lambda p: str(p.relative_to(ROOT)))
def test_every_requirement_has_a_ceiling(path):
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    assert lines
    for line in lines:
        assert re.fullmatch(r"-r \.\./requirements\.txt|[a-z-]+(==[\d.]+|>=[\d.]+,<[\d.]+)", line), line


def test_binder_gets_the_requirements_of_the_readme_and_a_python_new_enough():
    include = (ROOT / ".binder/requirements.txt").read_text(encoding="utf-8").split()
    assert (
        include == ["-r", "../requirements.txt"]
        and (ROOT / ".binder" / include[1]).resolve() == ROOT / "requirements.txt"
    )
    version = re.fullmatch(r"python-3\.(\d+)\s*", (ROOT / ".binder/runtime.txt").read_text(encoding="utf-8"))
    needed = re.search(r'requires-python = ">=3\.(\d+)"', (ROOT / "lib/pyproject.toml").read_text(encoding="utf-8"))
    assert version and needed and int(version[1]) >= int(needed[1])


# ---- the hub

@pytest.mark.skipif(sys.platform == "win32", reason="the hub is for Linux")
def test_the_hub_lets_nobody_in_without_a_password_and_stays_at_home_without_a_certificate(hub):
    c, names = settings(DELIVERY / "hub/jupyterhub_config.py")
    assert c.JupyterHub.authenticator_class is names["Members"]
    assert c.LocalAuthenticator.allowed_groups == {"learners"} and "allow_all" not in c.Authenticator
    assert c.JupyterHub.bind_url.startswith("http://127.0.0.1:")
    for name in ("hub.crt", "hub.key"):
        (hub / name).touch()
    c, _ = settings(DELIVERY / "hub/jupyterhub_config.py")
    assert c.JupyterHub.bind_url.startswith("https://:") and Path(c.JupyterHub.ssl_key) == (hub / "hub.key").resolve()
    assert Path(c.Spawner.cmd[1]).exists()


@pytest.mark.skipif(sys.platform == "win32", reason="the hub is for Linux")
def test_who_leaves_the_group_is_out_before_the_login_ends(hub):
    c, names = settings(DELIVERY / "hub/jupyterhub_config.py")
    assert c.Authenticator.refresh_pre_spawn and 0 < c.Authenticator.auth_refresh_age <= 60
    assert c.JupyterHub.cookie_max_age_days <= 0.5
    for name, stays in (("ann", True), ("eve", False), ("bob", False)):
        assert finished(names["Members"]().refresh_user(SimpleNamespace(name=name))) is stays


@pytest.mark.skipif(sys.platform == "win32", reason="the hub is for Linux")
@pytest.mark.parametrize(
    "code, refusal",
    [
        ("bytearray(4_000_000_000)", "MemoryError"),
        ("open('large', 'wb').truncate(400_000_000)", "OSError"),
        ("import os; print(oct(os.open('mine', os.O_CREAT) and os.stat('mine').st_mode & 0o077))", "0o0"),
    ],
)
def test_the_hubs_limits_hold_in_a_real_process(hub, code, refusal):
    """The very function that runs before a learner's server, before a plain Python."""
    _, names = settings(DELIVERY / "hub/jupyterhub_config.py")
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=hub,
        preexec_fn=names["Bounded"]().make_preexec_fn("someone"),
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    assert refusal in done.stdout + done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="the hub is for Linux")
def test_a_learners_own_notebook_is_never_overwritten(tmp_path):
    """The start script copies what is missing only; the server it then starts is a stand-in that says where it is."""
    fake = tmp_path / "lib/jupyterhub"
    fake.mkdir(parents=True)
    (fake / "__init__.py").touch()
    (fake / "singleuser.py").write_text("import os, sys; print(os.getcwd(), sys.argv[1:])", encoding="utf-8")
    own = tmp_path / "workbook"
    own.mkdir()
    (own / "check_stickout.ipynb").write_text("mine", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, DELIVERY / "hub/learner.py", "--port=1"],
        capture_output=True,
        text=True,
        check=True,
        env=dict(os.environ, HOME=str(tmp_path), PYTHONPATH=str(tmp_path / "lib")),
        encoding="utf-8",
    )
    assert str(own) in done.stdout and "--port=1" in done.stdout
    assert (own / "check_stickout.ipynb").read_text(encoding="utf-8") == "mine"
    shipped = {p.name for p in (ROOT / "workbook").glob("*.ipynb")}
    assert {p.name for p in own.glob("*.ipynb")} == shipped - {"for_teachers.ipynb"}, "the key stays with the teacher"
    assert tmp_path.stat().st_mode & 0o077 == 0, "homes are closed to each other"


@pytest.mark.skipif(sys.platform == "win32", reason="the hub is for Linux")
def test_the_hub_trusts_no_folder_that_others_may_write(hub):
    names = settings(DELIVERY / "hub/jupyterhub_config.py")[1]
    hub.chmod(0o700)
    assert names["open_to_others"](hub) != hub
    (hub / "hub.key").touch(0o666)
    (hub / "hub.key").chmod(0o666)
    assert names["open_to_others"](hub / "hub.key") == hub / "hub.key"
    hub.chmod(0o777)
    assert names["open_to_others"](hub) == hub
    (hub / "hub.key").chmod(0o600)
    assert names["open_to_others"](hub / "hub.key") == hub


def test_the_hub_says_where_learners_cannot_reach_it(hub, monkeypatch):
    names = settings(DELIVERY / "hub/jupyterhub_config.py")[1]
    modes = {"/srv/closed": 0o700}
    monkeypatch.setattr(Path, "stat", lambda self, **_: SimpleNamespace(st_mode=modes.get(str(self), 0o755)))
    assert names["closed_to_learners"]("/srv/open/project/config.py") is None
    assert names["closed_to_learners"]("/srv/closed/project/config.py") == Path("/srv/closed")


def finished(work):
    """What a coroutine gives, run to its end in a thread of its own: the browser tests keep a loop in this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, work).result()


# ---- the phones


def test_phones_get_no_code_no_outside_stylesheet_and_no_shop_of_the_teachers(monkeypatch):
    monkeypatch.setenv("JUPYTER_PATH", "kept")
    c, names = settings(DELIVERY / "voila/voila.py")
    assert c.VoilaConfiguration.strip_sources and "ip" not in c.Voila
    assert os.environ["JUPYTER_PATH"] == os.pathsep.join([str(DELIVERY), "kept"])
    template = DELIVERY / "voila/templates" / c.VoilaConfiguration.template
    assert json.loads((template / "conf.json").read_text(encoding="utf-8"))["base_template"] == "lab"
    assert len((template / "index.html.j2").read_text(encoding="utf-8").splitlines()) == 2
    manager = names["OwnShop"]
    assert c.VoilaConfiguration.multi_kernel_manager_class is manager and "preheat_kernel" not in c.VoilaConfiguration
    started: list[dict] = []

    async def start(self, *, env, **_):
        started.append(env)

    monkeypatch.setenv("SPRINGPASS_SHOP", "the teacher's")
    monkeypatch.setattr(manager.__mro__[1], "start_kernel", start)
    for asked in ({"env": {"A": "1"}}, {"env": {"A": "1"}}, {}):
        finished(manager().start_kernel(**asked))
    folders = [env["SPRINGPASS_SHOP"] for env in started]
    assert (
        len(set(folders)) == 3
        and all(folder.startswith(names["_shops"].name) for folder in folders)
        and started[0]["A"] == "1"
    )
    names["_shops"].cleanup()
    assert not any(Path(folder).exists() for folder in folders)


def test_no_more_pages_than_phones_and_none_of_the_teachers(monkeypatch):
    monkeypatch.setenv("JUPYTER_PATH", "")
    monkeypatch.setenv("SPRINGPASS_PHONES", "2")
    c, names = settings(DELIVERY / "voila/voila.py")
    assert c.VoilaConfiguration.file_allowlist == []
    manager, running = names["OwnShop"], []

    async def start(self, **_):
        running.append("k")

    monkeypatch.setattr(manager.__mro__[1], "start_kernel", start)
    monkeypatch.setattr(manager, "list_kernel_ids", lambda self: running)
    one = manager()
    with pytest.raises(web.HTTPError) as refused:
        finished(one.start_kernel(env={"SCRIPT_NAME": "/voila/render/for_teachers.ipynb"}))
    assert refused.value.status_code == 404
    for _ in range(2):
        finished(one.start_kernel(env={"SCRIPT_NAME": "/voila/render/01_heat.ipynb"}))
    with pytest.raises(web.HTTPError) as refused:
        finished(one.start_kernel(env={}))
    assert refused.value.status_code == 503 and len(running) == 2
    names["_shops"].cleanup()
    monkeypatch.setenv("SPRINGPASS_PHONES", "many")
    with pytest.raises(SystemExit, match="the number of phones"):
        settings(DELIVERY / "voila/voila.py")


def test_pages_are_kept_ready_for_a_class_and_not_replaced(monkeypatch):
    monkeypatch.setenv("JUPYTER_PATH", "")
    monkeypatch.setenv("SPRINGPASS_READY", "check_stickout 2, 06_fits.ipynb 1")
    c, names = settings(DELIVERY / "voila/voila.py")
    pools = c.VoilaKernelManager.kernel_pools_config
    assert c.VoilaConfiguration.preheat_kernel and "prelaunch_hook" not in c.VoilaConfiguration
    assert pools == {
        "default": {"pool_size": 0},
        "check_stickout.ipynb": {"pool_size": 2},
        "06_fits.ipynb": {"pool_size": 1},
    }

    async def start(self, **_):
        return "k"

    monkeypatch.setattr(names["OwnShop"].__mro__[1], "start_kernel", start)
    one = names["OwnShop"]()
    one.kernel_pools_config = pools
    for number in range(3):
        assert one.kernel_pools_config is pools, number
        finished(one.start_kernel())
    assert one.kernel_pools_config == {"default": {"pool_size": 0}}
    names["_shops"].cleanup()
    with pytest.raises(SystemExit, match="name a notebook and a number"):
        names["kept_ready"]("twenty")


# ---- the site without installation

@pytest.fixture(scope="module")
def lite():
    spec = importlib.util.spec_from_file_location("lite_build", DELIVERY / "lite/build.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def wheel(lite, tmp_path_factory):
    return lite.wheel(tmp_path_factory.mktemp("wheel"))


def test_the_wheel_holds_every_module_and_every_table(wheel):
    with zipfile.ZipFile(wheel) as packed:
        inside = set(packed.namelist())
    assert {
        f"springpass/data/{p.relative_to(ROOT / 'data').as_posix()}" for p in (ROOT / "data").rglob("*") if p.is_file()
    } <= inside
    assert {
        f"springpass/{p.relative_to(ROOT / 'lib/springpass').as_posix()}"
        for p in (ROOT / "lib/springpass").rglob("*.py")
    } <= inside
    assert {f"springpass/screen/page.{kind}" for kind in ("js", "css")} <= inside
    shared = {name.split(".data/data/share/jupyter/")[1] for name in inside if ".data/data/share/jupyter/" in name}
    lab = ROOT / "lib/lab/springpass-lab"   # what opens a notebook live comes with the library
    files = {p.relative_to(lab).as_posix() for p in lab.rglob("*") if p.is_file()}
    assert {f"labextensions/springpass-lab/{name}" for name in files} <= shared
    assert "lab/settings/overrides.d/springpass.json" in shared
    assert wheel.name.endswith("py3-none-any.whl")


def test_the_site_brings_all_that_the_library_needs(lite):
    """numpy alone comes with the browser's own runtime."""
    project = tomllib.loads((ROOT / "lib/pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert {line for line in project["dependencies"] if not line.startswith("numpy>")} <= set(lite.PURE)


def test_the_library_from_the_wheel_answers_away_from_the_project(wheel, tmp_path):
    """The tables inside the wheel are the ones it reads."""
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(tmp_path)
    code = (
        "from springpass import fits; from springpass.core import tables; from springpass.job import part; "
        "from springpass.pages import check_stickout as p; "
        "print(tables.folder(), fits.limits(20, 'h6').lower, part.demo('drive_sleeve') is not None, "
        "len(p.PAGE.answer().words) > 20)"
    )
    env = {key: value for key, value in os.environ.items() if key != "SPRINGPASS_DATA"}
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True,
                          env=dict(env, PYTHONPATH=str(tmp_path)), encoding="utf-8")
    assert done.stdout.split() == [str(tmp_path / "springpass/data"), "-0.013", "True", "True"]


def test_the_sites_notebooks_bring_the_library_first(lite, tmp_path):
    notebooks = lite.contents(tmp_path / "contents")
    assert [p.name for p in notebooks] == sorted(p.name for p in (ROOT / "workbook").glob("*.ipynb"))
    for path in notebooks:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        stored = json.loads((ROOT / "workbook" / path.name).read_text(encoding="utf-8"))["cells"]
        assert "public network" in cells[0]["source"] and "stand still" in cells[0]["source"]
        assert "%pip install -q springpass" in cells[1]["source"] and "/drive/spring_pass" in cells[1]["source"]
        assert [c["source"] for c in cells[2:]] == ["".join(c["source"]) for c in stored]
        shown = [text for c in cells for o in c.get("outputs", []) for text in o.get("data", {}).values()]
        assert all(not isinstance(text, list) for text in shown), "texts whole, not as lists of lines"


def test_the_site_builds_with_all_inside(lite, tmp_path):
    pytest.importorskip("jupyterlite_core", reason="only with lib/delivery/lite/requirements.txt")
    pytest.importorskip("jupyterlite_pyodide_kernel")
    lite.build(tmp_path / "site")
    listed = json.loads((tmp_path / "site/api/contents/all.json").read_text(encoding="utf-8"))["content"]
    assert {p.name for p in (ROOT / "workbook").glob("*.ipynb")} <= {entry["name"] for entry in listed}
    wheels = json.loads((tmp_path / "site/pypi/all.json").read_text(encoding="utf-8"))
    assert {"springpass", "anywidget", "sympy"} <= set(wheels)


def test_the_site_runs_the_cell_that_brings_the_library_too(lite, tmp_path):
    listed = tmp_path / "extensions/springpass-lab/static/shipped.json"
    listed.parent.mkdir(parents=True)
    shutil.copy(ROOT / "lib/lab/springpass-lab/static/shipped.json", listed)
    lite.opens_live(tmp_path)
    lite.opens_live(tmp_path / "without")
    first = json.loads(lite.contents(tmp_path / "contents")[0].read_text(encoding="utf-8"))["cells"][1]["source"]
    assert hashlib.sha256(first.encode()).hexdigest() in json.loads(listed.read_text(encoding="utf-8"))


def test_a_distribution_is_looked_through_before_the_site_is_built(lite, tmp_path):
    """What is missing is named; the list that the site gets names nothing that is not there."""
    with pytest.raises(SystemExit, match=r"pyodide-lock\.json is missing"):
        lite.needed(tmp_path)
    names = ("micropip", "ssl", "openssl", "sqlite3", "ipython", "jedi", "traitlets", "packaging", "numpy", "sympy")
    listed = {"info": {"version": "0.1"}, "packages": {
        name: {"file_name": f"{name}.whl", "depends": ["openssl"] if name == "ssl" else []} for name in names}}
    lock = tmp_path / "pyodide-lock.json"
    lock.write_text(json.dumps(listed), encoding="utf-8")
    with pytest.raises(SystemExit, match=rf"holds Pyodide 0\.1; the site runs on {lite.PYODIDE}"):
        lite.needed(tmp_path)
    lock.write_text(json.dumps(listed | {"info": {"version": lite.PYODIDE}}), encoding="utf-8")
    for name in (*lite.CORE[:-1], *(f"{name}.whl" for name in names if name != "numpy")):
        (tmp_path / name).write_bytes(b"")
    with pytest.raises(SystemExit, match=r"lacks numpy\.whl\."):
        lite.needed(tmp_path)
    (tmp_path / "numpy.whl").write_bytes(b"")
    lite.own_runtime(tmp_path / "site", tmp_path, lite.needed(tmp_path))
    put = tmp_path / "site/static/pyodide"
    told = json.loads((put / "pyodide-lock.json").read_text(encoding="utf-8"))["packages"]
    assert set(told) == set(names) - {"sympy"} and all((put / one["file_name"]).exists() for one in told.values())
    settings = json.loads((tmp_path / "site/jupyter-lite.json").read_text(encoding="utf-8"))
    assert settings["jupyter-config-data"]["litePluginSettings"][lite.KERNEL]["disablePyPIFallback"] is True


def test_a_folder_that_is_no_site_is_left_alone(lite, tmp_path, monkeypatch):
    (tmp_path / "kept.txt").write_text("kept", encoding="utf-8")
    monkeypatch.setattr(lite.subprocess, "run", lambda *_, **__: None)
    monkeypatch.setattr(lite, "wheel", lambda scratch: scratch / "wheels/springpass.whl")
    with pytest.raises(SystemExit, match="Name another folder"):
        lite.build(tmp_path)
    assert (tmp_path / "kept.txt").exists()


# ---- the README

def test_the_readme_names_only_delivery_files_that_exist():
    named = set(
        re.findall(
            r"(?:lib/delivery|tests/rehearsals|\.binder)/[\w./-]*\w", (ROOT / "README.md").read_text(encoding="utf-8")
        )
    )
    assert not {name for name in named if not (ROOT / name).exists()}


def test_the_readmes_tables_are_the_rehearsals_own():
    """Each table of a rehearsal stands in the README as tests/rehearsals/figures.csv has it: no figure by hand."""
    spec = importlib.util.spec_from_file_location("measure", ROOT / "tests/rehearsals/measure.py")
    measure = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(measure)
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert set(measure.kept()) == set(measure.TABLES)
    assert measure.filled(text) == text, "run python tests/rehearsals/measure.py"
    assert measure.filled(text.replace("| none |", "| some |")) == text, "a figure changed by hand is put back"
    assert not [row for rows in measure.kept().values() for row in rows if "NOT" in row[1] or "LOST" in row[1]]
