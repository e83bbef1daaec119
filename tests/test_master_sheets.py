"""Three sheets, printed and looked at, each line defended by the reason a master would give.

Where no more is said the reason is common practice: what apprentices are taught and every shop does.
"""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from virtual_lathe import replay

from springpass import job
from springpass.job import part, tools
from springpass.printing import sheet

PARTS = Path(__file__).parent / "plan_parts"
SHOP = tools.default_shop()

WORM_SHAFT = (
    # Setup 1, the bar through the spindle and 7 mm out: a clean face, the datum of this end's lengths.
    ("face", ""),
    # The centre is drilled in the same setting as the face: it will carry every later cut.
    ("centre drill", ""),
    # Setup 2: drawn out on to the centre, for three diameters and more hang out. Everything is roughed before anything
    # is finished: roughing heats the work and lets the bar stress out. The larger diameter first: it stays stiff.
    ("rough turn", "worm land"),
    ("rough turn", "far seat"),
    # Setup 3: gripped on what is only roughed, where a jaw's mark comes off later; under three diameters out, so the
    # second face, which makes the length, and its centre need no support.
    ("turn round", ""),
    ("face", ""),
    ("centre drill", ""),
    ("rough turn", "collar"),
    ("rough turn", "clamp thread"),
    ("rough turn", "near seat"),
    # Setup 4: the two seats must run true to each other within 10 µm and no chuck of the shop repeats to that, so both
    # are finished between the same two centres. The tailstock's offset is twice itself in the taper: set it first.
    ("indicate", ""),
    # Coolant first, hours last: what is finished warm is small tomorrow.
    ("cool", ""),
    # The thread's blank, the collar and the thread before the seat beside them: threading pushes hard and raises burrs.
    ("finish turn", "clamp thread"),
    ("finish turn", "collar"),
    ("thread", "clamp thread"),
    # The chamfer before the last cut: its burr is taken off with the last cut, and the bearing starts on its edge.
    ("chamfer", "near seat"),
    # Two like cuts with the micrometer between them: what the first left is what the second leaves.
    ("finish turn", "near seat"),
    ("deburr", ""),
    # Setup 5: the same centres, driven on the other end (a sleeve under the dog's screw).
    ("turn round", ""),
    # The plain land before the seat: the tool is proved and the work settled when the micrometer counts.
    ("finish turn", "worm land"),
    ("chamfer", "far seat"),
    ("finish turn", "far seat"),
    ("deburr", ""),
)

TWO_SEAT_HOUSING = (
    # Setup 1, the long end of the blank in the jaws: the flange stands out 14 mm and is roughed with its seat.
    ("face", ""),
    ("centre drill", ""),
    ("rough turn", "flange"),
    # In two steps: 25 mm at once take more than the spindle has, and a large drill follows a hole of half its size.
    # Right through, so that no cone is left anywhere.
    ("drill", "between"),
    ("drill", "between"),
    # The step in front is opened first: the stout bar then passes it to the bore behind.
    ("rough bore", "near seat"),
    ("rough bore", "between"),
    # Setup 2: turned round on the roughed flange; jaw marks there come off with its last cut.
    ("turn round", ""),
    ("face", ""),
    ("rough turn", "body"),
    ("rough bore", "far seat"),
    # Both ends are roughed before anything is finished; a seat is bored cold: aluminium grows twice as much as steel.
    ("cool", ""),
    # Two like cuts and a spring pass, measured between; the stop stands in the middle of the depth's tolerance.
    ("bore", "far seat"),
    # The body after its bore: what the bore lets out is in it already, and soft jaws will grip it.
    ("finish turn", "body"),
    ("deburr", ""),
    # Setup 3: soft jaws bored to the body: true within 10 µm, light cuts only, and the thin side is held all round.
    ("turn round", ""),
    ("cool", ""),
    # The smaller bore is the shoulder of the seat: finished in one setting with it.
    ("bore", "between"),
    ("bore", "near seat"),
    ("finish turn", "flange"),
    ("deburr", ""),
)

TEN_BUSHES = (
    # One setup from the bar: bore and outside run true to each other without any thought.
    ("face", ""),
    ("centre drill", ""),
    # The outside is roughed first: the hole comes into work that has moved already.
    ("rough turn", "outside"),
    # Right through, so that drill and reamer leave no bottom where the bush is parted.
    ("drill", "bore"),
    # The bar makes the hole straight where the drill has wandered: a reamer follows what it finds.
    ("rough bore", "bore"),
    ("cool", ""),
    ("bore", "bore"),
    # The reamer makes ten holes alike; a bar would have to be dialled ten times.
    ("ream", "bore"),
    ("chamfer", "outside"),
    # The outside after the bore: what the bore lets out is in it already.
    ("finish turn", "outside"),
    ("deburr", ""),
    # Last, and at half speed: the bush falls, on a rod or into a tray.
    ("part off", ""),
    # Parted half a millimetre long; in soft jaws faced to length, then the edge at the cut-off.
    ("turn round", ""),
    ("face", ""),
    ("chamfer", "outside"),
    ("deburr", ""),
)
SHEETS = {"worm_shaft": WORM_SHAFT, "two_seat_housing": TWO_SEAT_HOUSING, "batch_of_bushes": TEN_BUSHES}


@pytest.fixture(scope="module", params=SHEETS)
def made(request):
    file = PARTS / f"{request.param}.toml"
    return request.param, job.plan(part.read_text(file.read_text(encoding="utf-8"), file.name), SHOP)


def test_each_line_is_one_a_master_would_sign(made):
    name, plan = made
    assert replay(plan) == ()
    assert tuple((o.kind, o.surface) for o in plan.operations) == SHEETS[name]


def test_the_sheet_prints_on_few_pages(made, tmp_path):
    browser = next((b for b in ("chromium", "chromium-browser", "google-chrome") if shutil.which(b)), None)
    if browser is None:
        pytest.skip("no browser to print with")
    name, plan = made
    page, printed = tmp_path / f"{name}.html", tmp_path / f"{name}.pdf"
    page.write_text(sheet.html(sheet.of_plan(plan)), encoding="utf-8")
    subprocess.run([browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
        f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={printed}", page.as_uri()], check=True,
        capture_output=True, timeout=120)
    assert 1 <= len(re.findall(rb"/Type\s*/Page[^s]", printed.read_bytes())) <= 3
