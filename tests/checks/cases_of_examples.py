"""Examples with a line or two changed: for checks that the bench has no parts for, and for those that only advise."""

from tests.checks.bench import Bench
from tests.checks.edited import Edited
from tests.support.orchard import HOLDS_END, JOINT, ROLLING

SPLIT, CLAMP, CORNER = "forwarder-split-mount", "quarry-clamped-seat", "quarry-screen-corner"
SEAT = "vineyard-drag-link-seat"
EARS = "sprayer-kicked-rail"
STRAIGHT, LOW, BOLTED = "quarry-straight-rail", "height = 8", "forestry-bolted-channel"
FORMED, ACROSS = "hay-rake-formed-bracket", 'rolled = "across"'
FORMED_FAR = ('inline_offset = "1 5/8"', 'inline_offset = "2 1/8"')
FORMED_THICK = 'thickness = "3/8"\nsteel'


def _edited(profile: str, *changes: tuple[str, str]) -> Edited:
    return Edited(profile, changes)


def _steered(*changes: tuple[str, str]) -> Edited:
    """The orchard sprayer with its cylinder beside the drag link, whose end is told to hold it from rolling."""
    return Edited(ROLLING.name, ((JOINT, JOINT + HOLDS_END), *changes))


HANDS = '[steering.hands]\nwheel_diameter = 18\nvehicle = "tractor"\n'
RAIL_EDGE = "from = [-60, 17, 26]\nto = [-40, 17, 26]"
PITCH = 'pitch = "1/13"'


def _stop(changes: tuple[tuple[str, str], ...] = (), pad: str = "") -> Edited:
    """The steering's left stop with a bolt and tab that carry it, and what is changed of them."""
    bolt = (
        'bolt = { diameter = 1, out = "3/4", yield = "92 ksi", tab_width = 4, tab_thickness = "1 1/2", '
        'tab_height = "1 1/2", leg = "3/8" }'
    )
    for old, new in changes:
        assert old in bolt
        bolt = bolt.replace(old, new)
    return _steered((PITCH, f"{PITCH}\n{bolt}"), ("pad = {", f"pad = {{{pad}"))


def _second(stroke: str, closed: str, *changes: tuple[str, str]) -> Edited:
    """The same with a second cylinder on the right spindle, and what is changed of both."""
    text = (
        '[[steering.cylinder]]\nname = "right cylinder"\npushes = "right spindle"\nfixed_pin = [-6, "-7 3/4", 14]\n'
        f'moving_pin = [-6, "-24 1/2", 14]\nbore = "1 1/2"\nrod = "3/4"\nstroke = {stroke}\n'
        f'closed_length = "{closed}"\n\n[steering.tyre]'
    )
    return _steered(("[steering.tyre]", text), *changes)


SMALL_BLOW = ('tolerance = "1 deg"', 'tolerance = "1 deg"\nstrike = "100 lbf"')
LEFT_BOLT = (
    '[[steering.stops.stop]]\nname = "left spindle bolt"\nlever = "left spindle"\nturn = "left"\nat = "35 deg"\n'
    'contact_radius = "4 1/2"\npitch = "1/13"\n'
)
DRAG_LINK_MM = (42.0**2 + 2.0**2 + 4.0**2) ** 0.5 * 25.4
RADIUS_1_1_8 = 'eye_radius = "1 1/8"'
ROD_END = 'eye_radius = "1 1/8"\nkind = "rod_end"\nhead_width = "1 3/16"'

GAUGED = "\nbend_radius = 10             # by a radius gauge: neither straightedge reads the bend\n"
STEPPED = "station,offset\n" + "".join(f"{k / 2},{0.75 if k < 14 else 1.0}\n" for k in range(25))
"""A radius that is told, and a trace with a step of a quarter inch where the profile's is straight."""

BESIDE = ("bolt = 16", 'bolt = 16\npattern = "beside"')


def on_rail(kind: str, station: float, plane: float, size: float, more: str) -> tuple[str, str]:
    """Something put on the straight rail's face."""
    text = f'[[rail.feature]]\nkind = "{kind}"\nstation = {station}\nplane = {plane}\nsize = {size}\n{more}\n'
    return "[cylinder]\n", f"{text}\n[cylinder]\n"


STOPS: dict[str, tuple[str, Edited]] = {
    "thin gusset": ("gusset at its foot", _edited(STRAIGHT, ("[weld]\n", "[gusset]\nthickness = 1.5\n\n[weld]\n"))),
    "gusset that reaches far": (
        "free edge of a gusset",
        _edited(STRAIGHT, ("[weld]\n", "[gusset]\nthickness = 2.5\nreach = 170\n\n[weld]\n")),
    ),
    "thin crosshead": (
        "crosshead between the ears",
        _edited(STRAIGHT, ("[weld]\n", "[crosshead]\nthickness = 0.4\n\n[weld]\n")),
    ),
    "thin doubler": (
        "doubler in bending",
        _edited(STRAIGHT, ("[weld]\n", "[doubler]\nthickness = 6\n\n[weld]\n")),
    ),
    "thin base": ("base at its bolts, with prying", _edited(BOLTED, ("base = 20", "base = 8"))),
    "thin wall under a base": (
        "rail wall at the bolts",
        _edited(BOLTED, ("wall = 9", "wall = 2"), ("backing = 12\n", "")),
    ),
    "thin box that its bolts squeeze": (
        "box section squeezed by its bolts",
        _edited(BOLTED, ("wall = 9", "wall = 5"), ("backing = 12", "depth = 100")),
    ),
    "thin tube under a pad": (
        "tube wall under its welds",
        _edited(SEAT, ('wall = "5/16"', 'wall = "0.06"'), ('pressure = "1200 psi"', 'pressure = "2400 psi"')),
    ),
    "tight bend": ("inside radius of the bend", _edited(FORMED, (ACROSS, f'{ACROSS}\nradius = "1/2"'))),
    "tall ears bent up": ("room for the punch at the last bend", _edited(FORMED, FORMED_FAR)),
    "thick plate on a wide die": (
        "leg that lies on the die",
        _edited(
            FORMED,
            (FORMED_THICK, 'thickness = "5/8"\nsteel'),
            ('inline_offset = "1 5/8"', 'inline_offset = "2 7/16"'),
            (ACROSS, f"{ACROSS}\nthroat = 3"),
        ),
    ),
    "pin low over its bend": (
        "hole beside the bend",
        _edited(
            FORMED,
            (FORMED_THICK, 'thickness = "7/16"\nsteel'),
            ('inline_offset = "1 5/8"', 'inline_offset = "1 3/8"'),
            ('pin = "1 1/4"', "pin = 1"),
            ('"1 5/8"  ', '"1 1/4"  '),
            ("pretensioned = true", 'pretensioned = true\npin_steel = "4140-HT"'),
        ),
    ),
    "push that leans on a bend": (
        "steel of the bend",
        _edited(
            FORMED,
            FORMED_FAR,
            ("pretensioned = true", "pretensioned = true\nskew = 4.6"),
            (ACROSS, f"{ACROSS}\nthroat = 3"),
        ),
    ),
    "nuts within a box": ("nuts within a box section", _edited(BOLTED, ('"channel"', '"box"'))),
    "base on a flange": ("new holes in a flange", _edited(BOLTED, ('face = "web"', 'face = "flange"'))),
    "low web": (
        "hole to the flange",
        _edited(BOLTED, ("face_from = -140", "face_from = -95"), BESIDE),
    ),
    "large hole where a bolt is wanted": (
        "steel between holes of the rail",
        _edited(BOLTED, on_rail("hole", 142, -60, 160, "")),
    ),
    "existing hole too large": ("existing hole to its bolt", _edited(BOLTED, ("size = 18", "size = 26"))),
    "burned hole": (
        "burned holes that a bolt goes through",
        _edited(BOLTED, ("use = true", 'use = true\nmade = "burned"')),
    ),
    "rivet under an ear's end": ("plate to what is on the rail", _edited(STRAIGHT, on_rail("rivet", 47, 45, 20, LOW))),
    "hole along all of a foot": (
        "bead to what is on the rail",
        _edited(STRAIGHT, on_rail("hole", 150, -110, 200, ""), ("foot = [50, 250]", "foot = [80, 220]")),
    ),
    "tall step below the rod": (
        "cylinder to what is on the rail",
        _edited(STRAIGHT, on_rail("step", 290, 10, 10, "height = 70")),
    ),
    "ears welded from one side": (
        "run on one side alone",
        _edited(EARS, ('electrode = "E70"', 'electrode = "E70"\none_side = true')),
    ),
    "slot longer than 2.5 d": (
        "slot length",
        _edited(SPLIT, ('bolt = "3/4"', 'bolt = "1/2"'), ('row_spacing = "4"', "row_spacing = 5")),
    ),
    "swing that pushes bolts along their slots": (
        "force square to the slot",
        _edited(SPLIT, ('"A490"', '"A490"\nswing = 15')),
    ),
    "slots without pretension": ("bolt held along its slot", _edited(SPLIT, ("= true", "= false"))),
    "small clamp bolts": ("clamp slip on the tube", _edited(CLAMP, ("bolt = 16", "bolt = 10"))),
    "clamp far from the cylinder": (
        "clamp bolt tension",
        _edited(CLAMP, ("bolt = 16", "bolt = 12"), ("inline_offset = 105", "inline_offset = 600")),
    ),
    "thin clamp": ("clamp plate bending", _edited(CLAMP, ("thickness = 25", "thickness = 12"))),
    "large eye at the rail": ("boss to *", _edited(EARS, (RADIUS_1_1_8, 'eye_radius = "3 3/4"'))),
    "barrel that begins between the ears": (
        "swing clearance",
        _edited(CORNER, ("barrel_start = 75", "barrel_start = 45")),
    ),
    "rod end out of line": (
        "rod end tilt",
        _edited(EARS, (RADIUS_1_1_8, ROD_END), ("[cutting]", "[rules]\nskew = 4\n[cutting]")),
    ),
    "short stroke": ("stroke covers travel", _steered(("stroke = 8", "stroke = 6"))),
    "box that ends first with the axle rolled": (
        "wheels at their locks before the box's own stop, axle moved",
        _edited("bowser-leaf-axle", ('at = "42 deg"', 'at = "34 deg"')),
    ),
    "second cylinder with nothing in hand": ("further cylinder covers its travel", _second("6.6", "13 1/2")),
    "second cylinder with a rod like a wire": (
        "rod of a further cylinder buckling",
        _second("9", "12 1/2", ('bore = "1 1/2"\nrod = "3/4"\nstroke = 9', 'bore = "1 1/2"\nrod = "3/8"\nstroke = 9')),
    ),
    "second cylinder that ends first": (
        "spindle stop before a further cylinder's end",
        _second("6.8", "13.425", ('turn = "left"\nat = "35 deg"', 'turn = "left"\nat = "39.8 deg"')),
    ),
    "second cylinder beside the tie rod": (
        "moment that rolls a rod a further cylinder pushes",
        _second(
            "9",
            "12 1/2",
            (
                'pushes = "right spindle"\nfixed_pin = [-6, "-7 3/4", 14]',
                'pushes = "tie rod"\nfixed_pin = [-9, 12, 16]',
            ),
            ('moving_pin = [-6, "-24 1/2", 14]', "moving_pin = [-9, -5, 16]"),
        ),
    ),
    "drag link between two balls": ("moment that rolls the pushed rod", Edited(ROLLING.name, ())),
    "wheel's stop screwed in too far": (
        "spindle stop before the cylinder's end",
        _steered(SMALL_BLOW, ('turn = "left"\nat = "35 deg"', 'turn = "left"\nat = "43 deg"')),
    ),
    "drag link that rolls far": (
        "stroke covers travel, rod rolled",
        _steered(
            (HOLDS_END, 'holds_roll = "joints"\nroll_free = "75 deg"\n'),
            ('joint = "12 deg"', 'joint = "80 deg"'),
        ),
    ),
    "axle that goes far": (
        "stroke covers travel, axle moved",
        _steered(("[steering.sweep]", "[steering.axle]\nup = 6\ndown = 6\n[steering.sweep]")),
    ),
    "joint that tilts little": ("joint tilts far enough", _steered(('joint = "12 deg"', 'joint = "2 deg"'))),
    "weak drag link": ("driven rod bending", _steered(('yield = "60 ksi"', 'yield = "30 ksi"'))),
    "drag link of two sizes": (
        "driven rod sizes agree",
        _steered(("[weld]", f'[driven]\ndiameter = 2\nbore = "1 1/4"\nlength = "{DRAG_LINK_MM} mm"\n[weld]')),
    ),
    "thin tie rod": (
        "rod of the linkage buckling",
        _steered(
            ('to = "right spindle.tie"', 'to = "right spindle.tie"\ndiameter = "3/4"\nyield = "60 ksi"'),
        ),
    ),
    "hose too weak for relief": (
        "line carries its pressure",
        _steered(('hose = "2SN"', 'rated = "1000 psi"')),
    ),
    "relief over the cylinder's rating": (
        "relief within what the * is rated for",
        _steered(("cooler = 38", 'cooler = 38\ncylinder_rated = "1000 psi"')),
    ),
    "hose that bursts early": (
        "burst over working pressure",
        _steered(('hose = "2SN"', 'hose = "2SN"\nburst = "10000 psi"')),
    ),
    "hose hardly long enough": (
        "hose keeps slack",
        _steered(
            ('hose_to = [-50, 17, 27]\nbend_radius = "2 1/2"', "hose_to = [-50, 17, 27]"),
            (
                '[[steering.circuit.line]]\nname = "pump to box"',
                '[[steering.circuit.line]]\nname = "box to rod end"\nkind = "pressure"\ninside = "1/4"\n'
                'rated = "3000 psi"\nport = "rod"\nlength = 10\n\n[[steering.circuit.line]]\nname = "pump to box"',
            ),
        ),
    ),
    "return that chokes the box": (
        "return's back-pressure at the box",
        _steered(("cooler = 38", 'cooler = 38\nreturn_most = "3 psi"')),
    ),
    "steering held on its stops all day": (
        "oil no hotter than its hoses bear",
        _steered(("cooler = 38", "cooler = 38\nair_temperature = 40\nrelief_share = 1.0")),
    ),
    "pump over the oil": ("pump flooded", _steered(("pump = 30", "pump = 44"))),
    "no stop at the left spindle": ("spindle stops missing", _steered(SMALL_BLOW, (LEFT_BOLT, ""))),
    "box that is stopped first": (
        "spindle stop before the box's own",
        _steered(('kind = "box"\nat = "40 deg"', 'kind = "box"\nat = "20 deg"')),
    ),
    "long stop bolt": ("stop bolt, push and bending", _stop((('out = "3/4"', "out = 3"),))),
    "thin hard stop bolt": (
        "stop pad in bearing",
        _stop((("diameter = 1", 'diameter = "5/8"'), ('out = "3/4"', 'out = "1/4"'), ("92 ksi", "150 ksi"))),
    ),
    "stop pad hardly welded": ("weld of the stop pad", _stop((), ' leg = "1/128",')),
    "thin stop tab": ("stop tab bending", _stop((('"1 1/2", tab_height', '"7/8", tab_height'),))),
    "stop tab hardly welded": ("weld of the stop tab", _stop((('leg = "3/8"', 'leg = "1/16"'),))),
    "point read wrong": (
        "tape agrees with the points",
        _steered(
            (
                "[steering.sweep]",
                '[[steering.tape]]\nfrom = "left spindle.tie"\nto = "right spindle.tie"\nlength = 51\n[steering.sweep]',
            ),
        ),
    ),
    "narrow suction line": (
        "velocity in the * line",
        _steered(('kind = "suction"\ninside = "1"', 'kind = "suction"\ninside = "3/8"')),
    ),
    "fitting at the rail's edge": (
        "fitting clears *",
        _steered((RAIL_EDGE, "from = [-60, 21, 23]\nto = [-40, 21, 23]")),
    ),
    "stiff hose": (
        "hose bends no tighter than it may",
        _steered(('bend_radius = "2 1/2"', "bend_radius = 6")),
    ),
    "narrow stop pad": (
        "edge distance of the stop pad's hole",
        _steered(("pad = { width = 2,", 'pad = { width = "1 1/4",')),
    ),
    "pin that was not moved to mid stroke": (
        "bracket holds the pin where the study wants it",
        _steered(('pin = "study"', 'pin = "here"')),
    ),
    "bar within the tyre": (
        "tyre clears, deflected",
        _steered(("from = [-34, 12, 14]", "from = [-10, 27, 14]")),
    ),
}

ADVICE: dict[str, tuple[str, Edited | Bench]] = {
    "flanges of the rail not told": (
        "what is not asked is not known to fail",
        _edited(BOLTED, ('section = "channel"\n', "")),
    ),
    "base to the bend at the flange": (
        "a base on the bend rocks, and its bolts are felt to be loose",
        _edited(BOLTED, ("face_from = -140", "face_from = -100"), BESIDE),
    ),
    "hole in the rail": ("makers differ in how large a hole they allow", _edited(BOLTED, ("bolt = 16", "bolt = 20"))),
    "holes over each other, share of the web": (
        "makers differ in how much of a web they let be drilled",
        _edited(BOLTED, ("face_from = -140", "face_from = -70"), ("face_to = 140", "face_to = 70"), BESIDE),
    ),
    "holes over each other": ("the same", _edited(BOLTED, on_rail("hole", 136, 0, 14, ""))),
    "socket beside what is on the rail": (
        "room for tools is practice",
        _edited(BOLTED, on_rail("rivet", 158, 62, 16, LOW)),
    ),
    "socket beside the bend": (
        "room for tools is practice",
        _edited(
            FORMED,
            (FORMED_THICK, 'thickness = "1/4"\nsteel'),
            ('bolt = "5/8"', 'bolt = "3/4"'),
            (ACROSS, f'{ACROSS}\nrelief = "1/16"'),
            on_rail("hole", 5.35, 1.25, 0.8125, "use = true"),
        ),
    ),
    "movement at the pin, push": (
        "lost motion of the steering, which the driver feels and the strength does not",
        Bench(height=420.0, thickness=4.0, foot=60.0, nose=40.0),
    ),
    "movement at the pin, sideways": (
        "lost motion as well",
        Bench(height=300.0, thickness=8.0, pressure=14.0, rules={"skew_rad": 0.07}),
    ),
    "walls of the rail not judged": ("what is not asked is not known to fail", _steered()),
    "moment to hold the pushed rod against rolling": (
        "what holds it is told, not drawn: the moment is for whoever sizes it",
        _steered(('holds_roll = "end"', 'holds_roll = "lever"')),
    ),
    "bump steer, steering wheel held": (
        "springs and rubber give, and how much of it a driver bears depends on the speed",
        _steered(("[steering.sweep]", "[steering.axle]\nup = 6\ndown = 6\n[steering.sweep]")),
    ),
    "stroke left when the wheel's stop is met": (
        "the wheel's stop is met first; what is left is for the axle's travel and the marks",
        _steered(('turn = "left"\nat = "35 deg"', 'turn = "left"\nat = "36 deg"')),
    ),
    "greatest edge distance": (
        "water between the plates rusts them; it takes no strength today",
        _edited(SPLIT, ('thickness = "1/2"', 'thickness = "1/10"')),
    ),
    "greatest bolt spacing": (
        "water between the plates rusts them; it takes no strength today",
        _edited(SPLIT, ('thickness = "1/2"', 'thickness = "1/8"')),
    ),
    "play of the pin": (
        "BTH-1 takes more play and gives less strength for it; a worn hole knocks before it breaks",
        _edited(EARS, ("[weld]", 'pin_fit = "loose"\n[weld]')),
    ),
    "greatest leg": ("practice: it heats the plate, it does not weaken it", _edited(EARS, ('leg = "1/4"', "leg = 1"))),
    "preheat": (
        "steel is warmed before it is welded, which no number of the job can show",
        _edited(EARS, ('electrode = "E70"', 'electrode = "E6010"'), ('thickness = "3/8"', 'thickness = "7/8"')),
    ),
    "filler as strong as the steel": (
        "a weaker filler counts with its own strength",
        _edited(
            "quarry-straight-rail",
            ('electrode = "G42"', 'electrode = "E60"'),
            ('"S355"', '"S275"'),
            ('"S355"', '"S275"'),
        ),
    ),
    "bind to expect": (
        "a plate that binds is ground, or cut clear of the rail",
        _edited("quarry-straight-rail", ('file = "rail.csv"', 'file = "rail.csv"\nread_error = 3')),
    ),
    "rail as traced, *": (
        "the readings leave it open: it may lie as fitted",
        _edited(EARS, ('file = "front.csv"', 'file = "front.csv"\nread_error = "1/8"')),
    ),
    "torch access": (
        "practice: the order of welding may give the way in that the finished box has not",
        _edited(CORNER, ("eye_width = 50", "eye_width = 40")),
    ),
    "barrel beside the clamp's nuts": (
        "the line drawn straight; the swing clearance stops what would strike",
        _edited(CLAMP, ("body_diameter = 50", "body_diameter = 62")),
    ),
    "socket beside the bead": (
        "tool room is practice: other wrenches need less",
        _edited(
            SPLIT,
            ('adjust = "slots"\nreach = "1/2"', 'adjust = "recut"'),
            ('height = "2 1/2"', 'height = "3 3/8"'),
            ('leg = "5/16"', 'leg = "5/8"'),
        ),
    ),
    "socket beside the next nut": (
        "tool room is practice: other wrenches need less",
        _edited(SPLIT, ('row_spacing = "4"', 'row_spacing = "1 7/8"')),
    ),
    "head beside the eye": (
        "tool room is practice: a button head or a turned-round bolt needs less",
        _edited(SPLIT, ('eye_radius = "1 1/8"', 'eye_radius = "2 1/4"')),
    ),
    "heads between the ears": (
        "tool room is practice: the nuts may lie inside",
        _edited(SPLIT, ('eye_width = "1 1/2"', 'eye_width = "3/4"')),
    ),
    "bend between straightedges": (
        "a gap beside a bead that is there either way",
        _edited("quarry-screen-corner", *[(GAUGED, "\n")] * 2),
    ),
    "traces of unlike pieces": (
        "what lies between two traces may be as either of them",
        Edited("forwarder-rolled-channel", (), (("near_toe.csv", STEPPED),)),
    ),
    "transmission angle": (
        "practice: the linkage still turns",
        _steered(('tie = [-7, "25 1/8", 14]', 'tie = [-3, "25 1/8", 14]')),
    ),
    "turns the tyres standing": ("the driver and the box help as well", _steered()),
    "cylinder bottomed: its pins, rod and balls": (
        "the order of the stops stops, and the bracket is judged for the same force",
        _steered(('turn = "left"\nat = "35 deg"', 'turn = "left"\nat = "43 deg"')),
    ),
    "force at the rim, rolling": (
        "computed, and a hard steering steers",
        _steered(("[steering.tyre]", f'{HANDS}valve_effort = "80 lbf"\n[steering.tyre]')),
    ),
    "force at the rim, rolling, assist dead": (
        "computed, and a hard steering steers",
        _steered(("[steering.tyre]", f"{HANDS}efficiency = 0.05\n[steering.tyre]")),
    ),
    "lock to lock in time": (
        "slow steering steers",
        _steered(('lock_to_lock = "3 s"', 'lock_to_lock = "0.5 s"')),
    ),
    "steering wheel before it goes heavy": (
        "slow steering steers",
        _steered(('flow = "3 gpm"', 'flow = "3 gpm"\nidle_flow = "1 gpm"')),
    ),
    "share of Ackermann at the lock": (
        "tyres scrub, and wear",
        _steered(('"25 1/8", 14]', '"28 7/8", 14]'), ('"-25 1/8", 14]', '"-28 7/8", 14]')),
    ),
    "in line with what it pushes": (
        "what being out of line does is judged by the joint's tilt and the rod's bending, which stop",
        _steered(('moving_pin = [-36, "21 3/4", "19 7/16"]', 'moving_pin = [-36, "23 3/4", "19 7/16"]')),
    ),
    "further cylinder in line with the rod it pushes": (
        "what being out of line does is judged by the rod's bending, which stops",
        _second(
            "9",
            "12 1/2",
            (
                'pushes = "right spindle"\nfixed_pin = [-6, "-7 3/4", 14]',
                'pushes = "tie rod"\nfixed_pin = [-9, 12, 16]',
            ),
            ('moving_pin = [-6, "-24 1/2", 14]', "moving_pin = [-9, -5, 16]"),
        ),
    ),
    "port points up": ("air comes out by bleeding as well", _steered(('clock = "0 deg"', 'clock = "90 deg"'))),
    "box's own stop later than the marks may be out": (
        "the wheel's stop is still met first while the arm stands by its marks",
        _steered(('reading_error = "1/16"', 'reading_error = "1/4"')),
    ),
    "turns that a wheel has no stop of its own for": (
        "the tie rod passes a stop on to the other wheel",
        _steered(),
    ),
    "stops met together": (
        "one stop carries it until the other is set",
        _steered(('at = "34 deg"', 'at = "20 deg"')),
    ),
    "tyre clears, deflected hard": (
        "twice the deflection that the check beside it stops at",
        _steered(("from = [-34, 12, 14]", "from = [-10, 27, 14]")),
    ),
    "reservoir highest, so that air rises to it": (
        "air comes out by bleeding as well",
        _steered(("reservoir = 44", "reservoir = 38.5")),
    ),
    "places where air has to go down": (
        "air comes out by bleeding as well",
        _steered(("cylinder = 24", "cylinder = 43")),
    ),
    "lines without a rating": (
        "a rating that is not told may be high enough",
        _steered(('hose = "2SN"\n', "")),
    ),
    "oil stays as warm as it should": (
        "oil ages sooner, and the check beside it stops what hoses do not bear",
        _steered(("cooler = 38", "cooler = 38\nair_temperature = 45\nrelief_share = 0.35")),
    ),
    "cooler carries the heat": (
        "holding the steering on its stops is the driver's to leave",
        _steered(("cooler_kw = 0.6", "cooler_kw = 0.1")),
    ),
}
"""Findings that never say more than caution, why, and a trial in which each does."""
