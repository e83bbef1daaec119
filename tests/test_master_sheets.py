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
from springpass.core.quantity import Say
from springpass.job import part, tools
from springpass.printing import operation_words, sheet

PARTS = Path(__file__).parent / "plan_parts"
SHOP = tools.default_shop()

# ---- every kind of line on the sheet ------------------------------------------------------------------

HEAD = (
    # Ten pieces are set up otherwise than one: the number stands on top.
    "pieces",
    # Speeds and coolant go by it, and the wrong bar is the dearest mistake.
    "material",
    # What to fetch from the rack and saw, state and all: a drawn bar moves when it is cut open.
    "blank",
    # The numbers hold for this lathe and these tools.
    "shop",
)
SETUPS = {
    # Hard jaws on the blank or on what is only roughed: they hold best, and their marks come off later.
    ("three jaws", "roughed or blank"),
    # A finished diameter is gripped lightly, in jaws bored to it in place: they run true to what they were bored for.
    ("soft jaws", "finished"),
    # What must run true from end to end: the centres repeat when the work is taken out and turned round.
    ("between centres", "roughed or blank"), ("between centres", "finished"),
}
FACTS = (
    # How the work is held stands once over its setup, with what stands out: nobody measures it from a picture.
    "held",
    # The tool by its name in the rack.
    "tool",
    # Of a boring bar: no longer than the hole asks, for it bends by the cube.
    "sticks out",
    # A speed that the lathe has, the nearest below what edge and work bear.
    "spindle",
    # Power feed as the gear box is set; by hand where tailstock or compound slide feeds.
    "feed",
    # Passes counted and like: the last two alike, so that what the first leaves is what the second leaves.
    "cuts",
    # Where to stop: by the carriage's dial, by blocks where the length has limits; roughing 0.2 mm short of a shoulder.
    "stop",
    # A chamfer has no stop but a knack.
    "how",
    # Coolant first, hours last.
    "cool",
    # A second or a minute until cut and gauge are of one temperature.
    "wait",
    # What to measure with, and where: both ends show a taper, a turn shows three lobes.
    "measure",
)
SIZES = {
    # The number to come to, with the limits at the lathe in this room and a line for what was measured.
    "diameter", "length",
    # A thread is right by its flanks, over wires.
    "pitch diameter",
    # What is only seen or done by hand: broken edges, a cooled part, work that is turned round.
    "",
}
CAUTIONS = (
    # Long bright chips are the commonest cut; facing, roughing and boring make them.
    "face", "rough turn", "rough bore", "bore",
    # A pilot of 3 mm breaks in the hole, and the part is lost.
    "centre drill",
    # Chips pack in the flutes and the drill jams.
    "drill",
    # Turned backwards, chips wedge behind the lands and break them.
    "ream",
    # Measuring on turning work spoils gauge and fingers; cloth takes the hand along.
    "finish turn", "chamfer",
    # The part is as hot as the chips.
    "cool",
    # The carriage is as fast as the pitch: the hand must know the lever before the tool is in.
    "thread",
    # Burrs cut like knives.
    "deburr",
    # It falls; a centre would close the cut on the blade.
    "part off",
    # A new grip: the key, the dog, how short and how gently it is held.
    "turn round", "indicate",
)
REASONS = (
    # Setup and face: how far it stands out, in diameters; what comes off; from where lengths count.
    "face", "turn round", "centre drill",
    # How much is left, and for which cuts.
    "rough turn", "rough bore", "DrillCutsOver",
    # Why a centre before the drill: how far it wanders.
    "DrillStarts",
    # Why two drills: what the spindle can drive.
    "step drill",
    # How far the part would be out when it is cold, and how long cooling takes.
    "Warm",
    # What the bar or the work bends away, and that a trial cut shows it: so nobody dials it in twice.
    "BarGivesWay", "WorkGivesWay",
    # A reamer's hole is not the reamer's size.
    "ReamerCutsOver",
    # Why the bore comes first: what boring would move later.
    "OrderReason",
    # No limits on the drawing: how much is enough, so that nobody spends an hour on it.
    "finish turn",
    # How long the hand has for the half-nuts.
    "run-out",
    # Before the last cut, or lightly after it.
    "chamfer",
    # A micrometre of tailstock is two of taper.
    "tailstock",
    # What stays on, and where the rest of the bar goes.
    "stub",
    # Burrs spoil the next grip.
    "deburr",
)


def kind_of_reason(o):
    why = o.reason
    return o.kind if why is None else getattr(why, "kind", "") if type(why).__name__ == "Craft" else type(why).__name__


# ---- the sheets, line by line -----------------------------------------------------------------------

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
    # second face, which makes the length, and its centre need no support. Then the centre is there: it is brought in.
    # Every roughing cut stops 0.2 mm short of its shoulder: the finishing cut faces it clean.
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
    # The smaller bore is the shoulder of the seat: finished in one setup with it. One cut: it has no limits.
    ("bore", "between"),
    ("bore", "near seat"),
    ("finish turn", "flange"),
    ("deburr", ""),
)

TEN_BUSHES = (
    # One setup from the bar: bore and outside run true to each other without any thought. The bar passes through the
    # spindle and gives all ten; it is drawn out against a stop after each, and 16.5 mm of it are left in the end.
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


def plan_of(name):
    file = PARTS / f"{name}.toml"
    return job.plan(part.read_text(file.read_text(encoding="utf-8"), file.name), SHOP)


@pytest.fixture(scope="module", params=SHEETS)
def made(request):
    return request.param, plan_of(request.param)


def test_each_line_is_one_a_master_would_sign(made):
    name, plan = made
    assert replay(plan) == ()
    assert tuple((o.kind, o.surface) for o in plan.operations) == SHEETS[name]


def test_every_kind_of_line_is_defended(made):
    """No fact, size, caution or reason is printed on the three sheets that is not defended above."""
    _, plan = made
    page = sheet.of_plan(plan)
    assert {(h.kind, "finished" if h.grips else "roughed or blank") for h in plan.holdings} <= SETUPS
    for o, step in zip(plan.operations, page.steps, strict=True):
        assert {name for name, _ in sheet._facts(step, Say())} <= set(FACTS), step.what
        assert step.of in SIZES
        assert not step.cautions or o.kind in CAUTIONS, step.what
        assert not step.reason or kind_of_reason(o) in REASONS, step.what
    assert all(f"<b>{name}</b>" in sheet.html(page) for name in HEAD if name != "pieces" or plan.count > 1)


def test_nothing_is_defended_that_is_not_printed():
    facts, sizes, cautions, reasons, setups = set(), set(), set(), set(), set()
    for name in SHEETS:
        plan = plan_of(name)
        setups |= {(h.kind, "finished" if h.grips else "roughed or blank") for h in plan.holdings}
        for o, step in zip(plan.operations, sheet.of_plan(plan).steps, strict=True):
            facts |= {name for name, _ in sheet._facts(step, Say())}
            sizes.add(step.of)
            cautions |= {o.kind} if step.cautions or operation_words.cautions(plan, o, Say()) else set()
            reasons |= {kind_of_reason(o)} if step.reason else set()
    assert (facts, sizes, cautions, reasons, setups) == (set(FACTS), SIZES, set(CAUTIONS), set(REASONS), SETUPS)


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
