"""Reads lines, holes and words back from `templates.pdf` of a folder that `layfigure build` left, and compares
them with form.json: can a maker who has only this paper trace a layer wrong?

    python tests/outside/check_templates.py FOLDER...

Other people's libraries only (pypdf, numpy, shapely). A line belongs to a layer when it is that layer's outline
in form.json, whole or its right half, turned and shifted: nothing is taken from how the program draws.
"""

import json
import math
import re
import sys
from pathlib import Path

import numpy as np
import pypdf
import shapely
from shapely.geometry import LineString, Point, Polygon

import tally
from tally import check

POINT = 25.4 / 72
# Height of a capital over the size of the type, of the face in the file (its OS/2 table: 714 of 1000).
CAPITALS = 0.714
# Widths of strokes in the file, mm: thick lines are cut, thinner ones drawn, hair lines join pages.
THICK, HAIR = 0.3, 0.15
# A line may lie this far off the outline in form.json, mm: both are rounded to 0.001 mm.
SAME = 0.03
# Room between two lines of one template, mm, as README has it, less the rounding.
ROOM = 2.0 - SAME
# Of a form whose sides differ by less than this the right half is drawn, mm; README has it.
EVEN = 0.3
# Strokes of the crosses in the corners of a page, mm.
CORNER = 3.0
# Words by which a hole is known stand at most so far from it, mm: a hand's breadth (common practice, no source).
HAND = 100.0
# The number of a line stands at most so far from it, mm, and that of an edge mark from the mark (our choice).
BESIDE = 12.0
EDGE_MARK = 17.0
# A word keeps clear of strokes and other words, mm: half of a thick line.
CLEAR = 0.15
# A hole keeps so far from the lines of other layers, mm (our choice: a punch needs paper round it).
PUNCH = 1.0
# Words of a template that is smaller than this may stand outside its line, each with a leader to it, at most so far,
# mm, and it needs fewer of them.
SMALL = 60.0
OUTSIDE = 25.0
# Among the holes of one that is smaller than this UP alone says which side is up, mm.
CROWDED = 90.0
TURNS = range(0, 360, 5)


class Page:
    """Strokes and words of a page, mm, each with the window that it is seen through."""

    def __init__(self, page):
        self.width, self.height = (float(v) * POINT for v in page.mediabox[2:])
        self.paths = []  # points, closed, width, grey, dashed, window, circle
        self.words = []  # text, box, window
        fonts = {k: (v.get_object()) for k, v in page["/Resources"]["/Font"].items()}
        self.read(page.get_contents().operations, {k: glyphs(v) for k, v in fonts.items()})

    def read(self, operations, fonts):
        state = {"cm": np.eye(3), "width": 1.0, "grey": 0.0, "dashed": False, "window": None}
        stack, parts, closed, curves, wanted = [], [], False, 0, False
        font, em, tm = None, 0.0, np.eye(3)
        for operands, operator in operations:
            op = operator.decode()
            number = [float(v) for v in operands] if op in ("cm", "re", "m", "l", "c", "w", "G", "Tm") else []
            at = lambda x, y: tuple((state["cm"] @ [x, y, 1.0])[:2] * POINT)
            if op == "q":
                stack.append(dict(state))
            elif op == "Q":
                state = stack.pop()
            elif op == "cm":
                a, b, c, d, e, f = number
                state["cm"] = state["cm"] @ np.array([[a, c, e], [b, d, f], [0, 0, 1]])
            elif op == "w":
                state["width"] = number[0] * state["cm"][0, 0] * POINT
            elif op == "G":
                state["grey"] = number[0]
            elif op == "d":
                state["dashed"] = len(operands[0]) > 0
            elif op == "re":
                x, y, w, h = number
                parts = [[at(x, y), at(x + w, y + h)]]
            elif op == "W":
                wanted = True
            elif op == "n":
                if wanted:
                    (x0, y0), (x1, y1) = parts[0]
                    box = shapely.box(x0, y0, x1, y1)
                    state["window"] = box if state["window"] is None else box.intersection(state["window"])
                parts, wanted = [], False
            elif op == "m":
                parts, closed, curves = [[at(*number)]], False, 0
            elif op == "l":
                parts[0].append(at(*number))
            elif op == "c":
                curves += 1
                p0, p1, p2, p3 = (np.array(p) for p in (parts[0][-1], at(*number[:2]), at(*number[2:4]), at(*number[4:])))
                for t in np.linspace(0.1, 1, 10):
                    p = (1 - t) ** 3 * p0 + 3 * t * (1 - t) ** 2 * p1 + 3 * t**2 * (1 - t) * p2 + t**3 * p3
                    parts[0].append(tuple(p))
            elif op == "h":
                closed = True
            elif op == "S":
                points = np.array(parts[0])
                if len(points) > 1:
                    self.paths.append((points, closed, dict(state), curves == 4))
                parts = []
            elif op == "Tf":
                font, em = fonts[operands[0]], float(operands[1])
            elif op == "Tm":
                a, b, c, d, e, f = number
                tm = np.array([[a, c, e], [b, d, f], [0, 0, 1]])
            elif op == "Tj":
                raw = operands[0]
                raw = raw.original_bytes if hasattr(raw, "original_bytes") else bytes(raw)
                codes = [raw[k] << 8 | raw[k + 1] for k in range(0, len(raw), 2)]
                text = "".join(font[0].get(c, "?") for c in codes)
                wide = sum(font[1].get(c, 0.0) for c in codes) / 1000 * em
                corners = [(0, 0), (wide, 0), (wide, CAPITALS * em), (0, CAPITALS * em)]
                placed = [(state["cm"] @ tm @ [x, y, 1.0])[:2] * POINT for x, y in corners]
                if text.strip():
                    self.words.append((text, Polygon(placed), state["window"]))

    def shown(self):
        """Every stroke as far as it is seen, with its width and grey."""
        for points, closed, state, _ in self.paths:
            line = LineString([*points, points[0]] if closed else points)
            if state["window"] is not None:
                line = line.intersection(state["window"])
            if not line.is_empty:
                yield line, state

    def list_of(self):
        """What the foot says is on the page: outermost first, as numbers or names; nothing on the first pages."""
        said = [(box.centroid.y, text) for text, box, window in self.words if window is None]
        said.sort(reverse=True)
        texts = [t for _, t in said]
        start = next((k for k, t in enumerate(texts) if re.match(r"layers? [\dL]", t)), None)
        if start is None or any(t.startswith("how to print") for t in texts):
            return "", []
        text = texts[start]
        for more in texts[start + 1 :]:
            if re.search(r"^[\d(LwW][\dLW,;–() a-z.]*$", more) and not re.search(r"\d (mm|in)$", more):
                text += " " + more
        numbers = []
        for a, b in re.findall(r"(\d+)(?:–(\d+))?", re.sub(r" of \d+| piece \d+|W\d+[a-z]", "", text)):
            numbers += range(int(a), int(b or a) + 1)
        return text, numbers


def glyphs(font):
    """What the codes of a font mean and how wide they are, in thousandths of its size."""
    meaning, widths = {}, {}
    table = font["/ToUnicode"].get_data().decode("latin-1")
    for code, to in re.findall(r"<([0-9A-Fa-f]{4})>\s*<([0-9A-Fa-f]+)>", table):
        meaning[int(code, 16)] = bytes.fromhex(to).decode("utf-16-be")
    run = list(font["/DescendantFonts"][0].get_object()["/W"])
    while run:
        first, each = int(run.pop(0)), run.pop(0)
        for k, w in enumerate(each.get_object() if hasattr(each, "get_object") else each):
            widths[first + k] = float(w)
    return meaning, widths


def turned(points, turn):
    s, c = math.sin(math.radians(turn)), math.cos(math.radians(turn))
    return points @ np.array([[c, s], [-s, c]])


def half_of(polygon):
    """The right half of an outline as an open line; nothing where it meets the fold more than twice."""
    x0, y0, x1, y1 = polygon.bounds
    cut = polygon.exterior.intersection(shapely.box(0, y0 - 1, x1 + 1, y1 + 1))
    cut = shapely.line_merge(cut) if cut.geom_type != "LineString" else cut
    return cut if cut.geom_type == "LineString" else None


class Shape:
    """The outline of a piece, to be found on the pages."""

    def __init__(self, piece, layer):
        self.id, self.layer = piece["id"], layer
        self.polygon = Polygon(piece["outline"])
        self.openings = [r for r in piece["holes"] if not round_hole(r)]
        self.lines = {False: self.polygon.exterior, True: half_of(self.polygon)}
        self.boxes = {}
        for half, line in self.lines.items():
            if line is not None:
                points = np.array(line.coords)
                for turn in TURNS:
                    p = turned(points, turn)
                    self.boxes[half, turn] = (p.min(axis=0), p.max(axis=0))

    def pose(self, points, closed):
        """Turn and shift that bring it on to a stroke; nothing when it is another's."""
        half = not closed
        if self.lines[half] is None:
            return None
        low, high = points.min(axis=0), points.max(axis=0)
        for turn in TURNS:
            a, b = self.boxes[half, turn]
            if np.abs((b - a) - (high - low)).max() > SAME:
                continue
            shift = low - a
            line = LineString(turned(np.array(self.lines[half].coords), turn) + shift)
            stroke = LineString([*points, points[0]] if closed else points)
            if line.hausdorff_distance(stroke) < SAME * 3 and apart(line, stroke) < SAME:
                return turn, shift, half
        return None


def apart(a, b):
    return max(shapely.distance(shapely.points(shapely.get_coordinates(x)), y).max() for x, y in ((a, b), (b, a)))


def round_hole(ring):
    p = np.array(ring)
    r = np.linalg.norm(p - (p.min(axis=0) + p.max(axis=0)) / 2, axis=1)
    return len(p) > 8 and np.ptp(r) < 0.02


class Template:
    """The lines of some layers with what is drawn inside them, over one page or several."""

    def __init__(self, half):
        self.half, self.shapes = half, {}
        self.seen, self.circles, self.words, self.marks, self.pages = [], [], [], {}, set()
        self.leaders, self.thin = [], []

    def own(self, polygon):
        """A shape as it is drawn: of a half template the right half."""
        x0, y0, x1, y1 = polygon.bounds
        return polygon.intersection(shapely.box(0, y0 - 1, x1 + 1, y1 + 1)) if self.half else polygon


def back(points, pose):
    turn, shift, _ = pose
    return turned(np.asarray(points, dtype=float) - shift, -turn)


def read(folder, form):
    """All templates of a folder, by the layers on them."""
    shapes = {}
    for layer in form["layers"][form["first_to_cut"] - 1 :]:
        for piece in layer["pieces"]:
            shapes.setdefault(layer["index"], []).append(Shape(piece, layer["index"]))
    templates = {}
    for n, page in enumerate(pypdf.PdfReader(folder / "templates.pdf").pages, 1):
        page = Page(page)
        said, listed = page.list_of()
        collisions(page, n)
        within_frame(page, n)
        if not listed:
            continue
        found, strange, others = {}, 0, []
        for points, closed, state, circle in page.paths:
            if state["width"] < THICK or circle or len(points) < 12:
                continue
            # A list that ends in dots has more than it can say.
            candidates = shapes if said.endswith("...") else listed
            for shape in [s for k in candidates for s in shapes.get(k, [])]:
                pose = shape.pose(points, closed)
                if pose:
                    key = (pose[0], *np.round(pose[1], 1), pose[2])
                    near = next((k for k in found if k[0] == key[0] and k[3] == key[3]
                                 and abs(k[1] - key[1]) < 0.15 and abs(k[2] - key[2]) < 0.15), key)
                    found.setdefault(near, (pose, state["window"], {}))[2][shape.id] = shape
                    break
            else:
                strange += 1
                others.append(Polygon(points))
        # Words may be those of a plate that lies on the same page.
        outers = [outer_on_page(pose, own) for pose, _, own in found.values()] + others
        for k, (pose, window, own) in enumerate(found.values()):
            words = [w for w in page.words if w[2] is not None or near_to(w[1], outers) == k]
            words = [w for w in words if w[2] is not None or outers[k].distance(w[1]) < OUTSIDE]
            one_page(page, words, n, (said, listed), (pose, window, own), templates)
        rings = any(s.openings for _, _, own in found.values() for s in own.values())
        plates = re.search(r"board|plate|W\d+[a-z]", " ".join(t for t, _, w in page.words if w is None))
        check(not strange or rings or plates, f"page {n}: {strange} thick lines are no layer's outline ({said})")
        on = {s.layer for _, _, own in found.values() for s in own.values()}
        check(on == set(listed) or said.endswith("...") and on >= set(listed), f"page {n}: it says {said}, and has the complete lines of {sorted(on)}")
    return shapes, templates


def outer_on_page(pose, own):
    """The outermost line of a template where it lies on its page, closed."""
    turn, shift, half = pose
    shape = max(own.values(), key=lambda s: s.polygon.area)
    return Polygon(turned(np.array(shape.lines[half].coords), turn) + shift)


def near_to(box, outers):
    """Which template words belong to: the one whose line is nearest."""
    return min(range(len(outers)), key=lambda k: outers[k].distance(box.centroid))


def collisions(page, n):
    """No word crosses a stroke or another word, or is cut by the window; no join runs through a hole."""
    strokes = list(page.shown())
    lines = [line for line, _ in strokes]
    tree = shapely.STRtree(lines)
    boxes = [box.buffer(CLEAR - 0.05) for _, box, _ in page.words]
    for (text, box, window), wide in zip(page.words, boxes):
        check(window is None or window.buffer(0.01).contains(box), f"page {n}: “{text}” is cut by the edge of the page")
        hit = [k for k in tree.query(wide) if lines[k].intersects(wide)]
        check(not hit, f"page {n}: a line runs through “{text}”")
    for k in range(len(boxes)):
        for m in range(k):
            check(not boxes[k].intersects(boxes[m]), f"page {n}: “{page.words[k][0]}” on “{page.words[m][0]}”")
    hairs = [line for line, state in strokes if state["width"] < HAIR and line.length > 15]
    for points, _, _, circle in page.paths:
        if circle:
            hole = Polygon(points)
            # A leader to a hole ends at its rim.
            through = any(h.intersects(hole.buffer(-0.1)) for h in hairs)
            check(not through, f"page {n}: a join or a leader runs through a hole")


def within_frame(page, n):
    """Nothing but the foot and the strip at the side lies beyond the crosses in the corners, and no stroke runs along
    a join."""
    short = [(points, state) for points, _, state, _ in page.paths if len(points) == 2 and state["width"] < THICK]
    arms = [p for p, _ in short if abs(np.linalg.norm(p[1] - p[0]) - CORNER) < 0.01]
    centres = [p.mean(axis=0) for p in arms]
    crosses = np.array([c for k, c in enumerate(centres) if any(np.abs(c - o).max() < 0.01 for o in centres[:k])])
    # Crosses of holes may be as small: those in the corners are the outermost.
    low, high = crosses.min(axis=0), crosses.max(axis=0)
    frame = shapely.box(*(low - 0.3), *(high + CORNER / 2 + 0.3))
    for points, closed, state, circle in page.paths:
        line = LineString([*points, points[0]] if closed else points)
        if state["window"] is not None:
            line = line.intersection(state["window"])
        if state["width"] >= THICK or circle:
            check(line.is_empty or frame.contains(line), f"page {n}: a thick line or a hole runs past the frame")
    own = [box for text, box, window in page.words if window is not None]
    for box in own:
        check(frame.buffer(0.5).contains(box), f"page {n}: words of a template past the frame")
    # What is written in the foot and the strip is not written over: see the collisions. What is written above the
    # foot stands in the frame or in the strip.
    for text, box, window in page.words:
        x0, y0, x1, y1 = box.bounds
        check(x0 >= 0 and y0 >= 0 and x1 <= page.width and y1 <= page.height, f"page {n}: “{text}” runs off the paper")
        foot, strip = y1 < low[1] + 0.1, x1 < low[0] + 0.1
        check(foot or strip or frame.buffer(0.5).contains(box), f"page {n}: “{text}” runs past the frame")
    joins = [p for p, state in short if state["width"] < HAIR and np.linalg.norm(p[1] - p[0]) > 60
             and np.abs(p[1] - p[0]).min() < 0.01]
    for p, state in short:
        if not HAIR <= state["width"] or np.linalg.norm(p[1] - p[0]) > 20:
            continue
        for a, b in joins:
            across = 0 if abs(a[0] - b[0]) < 0.01 else 1
            along = 1 - across
            beside = np.abs(p[:, across] - a[across]).max()
            meets = min(p[:, along].max(), max(a[along], b[along])) - max(p[:, along].min(), min(a[along], b[along]))
            marks = np.linalg.norm(p[1] - p[0]) <= 8.01 and beside < 0.01
            check(beside > 1.0 or meets < 1.0 or marks, f"page {n}: a tick runs along a join")


def one_page(page, near, n, listed, found, templates):
    """What one page shows of a template."""
    (said, numbers), (pose, window, own) = listed, found
    key = frozenset(own)
    half = pose[2]
    template = templates.setdefault((key, half), Template(half))
    template.shapes, first = own, not template.pages
    template.pages.add(n)
    drawn = {k: template.own(s.polygon) for k, s in own.items()}
    outer = max(drawn.values(), key=lambda p: p.area)
    view = Polygon(back(window.exterior.coords, pose)) if window else outer.buffer(1)
    template.seen.append(view)
    here = lambda p: outer.buffer(0.5).contains(Point(p))
    circles = []
    for points, _, _, circle in page.paths:
        points = np.asarray(points, dtype=float)
        if circle:
            # By the page's own axes: those of a turned template miss the extremes of its curves.
            wide = np.ptp(points[:, 1])
            centre = back((points.min(axis=0) + points.max(axis=0)) / 2, pose)
        elif len(points) > 20 and half:
            points = back(points, pose)
            # Half a circle, closed by the fold.
            centre = (points[0] + points[-1]) / 2
            r = np.linalg.norm(points - centre, axis=1)
            wide = 2 * r.mean()
            if np.ptp(r) > 0.02 or abs(points[0][0]) > 0.02 or abs(points[-1][0]) > 0.02:
                continue
        else:
            continue
        if here(centre) and view.contains(Point(centre)):
            circles.append((centre, wide, circle))
    for c in circles:
        if not any(np.linalg.norm(c[0] - o[0]) < 0.05 and abs(c[1] - o[1]) < 0.05 for o in template.circles):
            template.circles.append(c)
    for points, closed, state, _ in page.paths:
        if len(points) == 2 and state["width"] < HAIR:
            template.leaders.append(back(points, pose))
        elif len(points) == 2 and state["width"] < THICK:
            template.thin.append((back(points, pose), state["dashed"]))
    words = []
    for text, box, _ in near:
        words.append((text, Polygon(back(box.exterior.coords, pose))))
    for w in words:
        if not any(w[0] == o[0] and w[1].centroid.distance(o[1].centroid) < 0.1 for o in template.words):
            template.words.append(w)
    # Each line has its number on this page, or the page's list has it, outermost first.
    lines = {k: s.lines[half].intersection(view) for k, s in own.items()}
    by_size = sorted(own, key=lambda k: -drawn[k].area)
    order = [own[k].layer for k in by_size]
    places = [numbers.index(k) for k in order if k in numbers]
    check(len(places) == len(order) and places == sorted(places), f"page {n}: its list is not outermost first: {said}")
    for k, line in lines.items():
        if line.is_empty:
            continue
        names = {str(own[k].layer), own[k].id}
        beside = [b for t, b in words if t in names and b.distance(line) < BESIDE
                  and all(b.distance(line) < b.distance(o) for m, o in lines.items() if m != k and not o.is_empty)]
        check(bool(beside) or own[k].layer in numbers, f"page {n}: the line of {own[k].id} is not named")
        template.marks.setdefault(k, []).append(bool(beside))
    if window is not None and first:
        template.windows = [view]


def wanted_holes(form, template):
    """Every hole of the layers of a template, where it is drawn: place, diameters allowed, name, layers."""
    holes = {}
    for shape in template.shapes.values():
        if not re.fullmatch(r"L\d+", shape.id):
            continue
        rods = [(d["name"], d["x"], d["y"], d["hole"], d["hole"], d) for d in form["dowels"]]
        if form["pole"]:
            d = form["pole"]
            rods.append(("pole", d["x"], d["y"], d["diameter"], d["diameter"] + 2, d))
        for name, x, y, least, most, d in rods:
            if d["first_layer"] <= shape.layer <= d["last_layer"]:
                side = "left" if template.half and x < -EVEN else "right"
                at = (abs(x) if template.half and abs(x) > EVEN else x, y)
                holes.setdefault(name, (at, least, most, side, set()))[4].add(shape.layer)
    return holes


def name_in(text, names):
    """The holes that words name: `A`, `A LEFT dia. 8.3`, `B RIGHT, A LEFT dia. 8.3`, `pole dia. 25.3`."""
    first = re.match(r"(pole|[A-Z]{1,2})(?: RIGHT, ([A-Z]{1,2}) LEFT)?(?=$|[ :])", text)
    return {g for g in first.groups() if g} & names if first else set()


def judge(form, key, template):
    """What must hold of a whole template."""
    what = f"template {', '.join(sorted(key))}"
    half = template.half
    drawn = {k: template.own(s.polygon) for k, s in template.shapes.items()}
    union = shapely.union_all(template.seen).buffer(0.01)
    for k, shape in template.shapes.items():
        check(union.contains(shape.lines[half]), f"{what}: the line of {k} is not whole on its pages")
    order = sorted(drawn, key=lambda k: -drawn[k].area)
    for a, b in zip(order, order[1:]):
        outer, inner = template.shapes[a], template.shapes[b]
        check(outer.polygon.contains(inner.polygon), f"{what}: {b} does not lie inside {a}")
        room = outer.lines[half].distance(inner.lines[half])
        check(room >= ROOM, f"{what}: {room:.2f} mm between {a} and {b}")
    if half:
        for k, s in template.shapes.items():
            over = Polygon([(-x, y) for x, y in s.polygon.exterior.coords])
            check(apart(over.exterior, s.polygon.exterior) <= EVEN + SAME, f"{what}: {k} is not even, and by half")
    layers = {s.layer for s in template.shapes.values()}
    holes = wanted_holes(form, template)
    names = {d["name"] for d in form["dowels"]} | {"pole"}
    said = [(name_in(t, names), t, b) for t, b in template.words]
    said = [s for s in said if s[0]]
    owned = []
    for name, ((x, y), least, most, side, of) in holes.items():
        at = Point(x, y)
        own = [c for c in template.circles if np.hypot(c[0][0] - x, c[0][1] - y) <= EVEN + 0.01
               and least - 0.02 <= c[1] <= most + 0.02]
        check(bool(own), f"{what}: the hole of {name} is not there or not whole")
        owned += own
        if own and not own[0][2]:
            check(half and abs(x) <= EVEN, f"{what}: half a hole of {name}")
        for s in template.shapes.values():
            gap = s.lines[half].distance(at) - most / 2
            check(gap >= PUNCH, f"{what}: the hole of {name} is {gap:.1f} mm from the line of {s.id}")
        mine = [(at.distance(b), t) for n, t, b in said if name in n]
        others = [at.distance(b) for n, t, b in said if name not in n]
        check(bool(mine) and min(mine)[0] <= HAND, f"{what}: the hole of {name} is not named beside it")
        led = any(abs(np.hypot(*(a - (x, y))) - own[0][1] / 2) < 0.1 and any(b.distance(Point(z)) < 3 for n, _, b in said if name in n)
                  for a, z in template.leaders) if own else False
        if mine and others and not led:
            check(min(mine)[0] < min(others), f"{what}: the hole of {name} is nearer to another's name")
        if mine and of != layers:
            only = " ".join(t.partition(": ")[2] for _, t in mine)
            told = {int(v) for v in re.findall(r"\d+", only)}
            check(told == of, f"{what}: the hole of {name} is for {sorted(of)} only, and says {sorted(told)}")
        for other, ((ox, oy), _, wide, oside, _) in holes.items():
            far = math.hypot(x - ox, y - oy)
            if other < name and half and side != oside and min(abs(x), abs(ox)) > EVEN:
                check(far <= EVEN or far >= least + wide - 2.0, f"{what}: holes of {name} and {other} {far:.1f} mm apart")
    for c in template.circles:
        check(any(c is o for o in owned), f"{what}: a hole at {np.round(c[0], 1)} is of none of its layers")
    inner = min(drawn.values(), key=lambda p: p.area)
    _, low, _, high = inner.bounds
    found = {}
    for text, box in template.words:
        found.setdefault(text, box.centroid)
    left, _, right, _ = max(drawn.values(), key=lambda p: p.area).bounds
    small = not half and min(right - left, high - low) < SMALL
    crowded = not half and min(right - left, high - low) < CROWDED
    for word, front in (("FRONT", True), ("BACK", False)):
        at = found.get(word)
        # Among the holes of a small neck one of the two has room: it says where the other is.
        enough = small and word == "BACK" or crowded and ("FRONT" in found or "BACK" in found)
        check(at is not None or enough, f"{what}: no {word}")
        if at is not None:
            check((at.y > (low + high) / 2) == front, f"{what}: {word} is not on its side")
    up = [t for t in found if t.startswith("THIS SIDE UP") or crowded and t == "UP"]
    # A left and a right with a front or a back can be read from one side alone.
    sides = crowded and "LEFT" in found and "RIGHT" in found
    check(bool(up) or sides, f"{what}: no THIS SIDE UP")
    edge_marks(what, template)
    if len(template.shapes) == 1 and re.fullmatch(r"L\d+[a-z]?", order[0]):
        shape = template.shapes[order[0]]
        called = [b for t, b in template.words if re.fullmatch(rf"({shape.layer}|{shape.id})( of \d+)?( .*)?", t)]
        check(any(drawn[order[0]].contains(b) for b in called), f"{what}: its number is not inside its line")
    check(not half or "RIGHT HALF" in found, f"{what}: no RIGHT HALF")


def edge_marks(what, template):
    """Every edge mark, a stem on a line with a bar at its end, has the number of its layer, and on a half its side."""
    for stem, dashed in template.thin:
        for foot, end in (stem, stem[::-1]):
            on = [s for s in template.shapes.values() if s.lines[template.half].distance(Point(foot)) < 0.05]
            bar = [b for b, _ in template.thin if np.linalg.norm(b.mean(axis=0) - end) < 0.02
                   and np.linalg.norm(b[1] - b[0]) > 1 and abs(np.dot(b[1] - b[0], end - foot)) < 0.05]
            fold = template.half and abs(foot[0]) < 0.05
            if not on or not bar or fold or np.linalg.norm(end - foot) < 0.3:
                continue
            # On a piece by itself the number of the template is enough.
            if len(template.shapes) == 1 and not template.half:
                continue
            side = (" LEFT" if dashed else " RIGHT") if template.half else ""
            mark = shapely.union_all([LineString([foot, end]), LineString(bar[0])])
            names = [b for t, b in template.words if t in {f"{on[0].layer}{side}", f"{on[0].id}{side}"}]
            led = any(mark.distance(Point(a)) < 1.2 and b.distance(Point(z)) < 1.5
                      for b in names for pair in template.leaders for a, z in (pair, pair[::-1]))
            near = any(b.distance(mark) < EDGE_MARK for b in names)
            check(near or led, f"{what}: the edge mark of {on[0].id} at {np.round(foot, 1)} is not named as{side}")


def main(folders):
    for folder in map(Path, folders):
        form = json.loads((folder / "form.json").read_text())
        shapes, templates = read(folder, form)
        drawn = [k for key, _ in templates for k in key]
        wanted = [s.id for of in shapes.values() for s in of]
        missing = sorted(set(wanted) - set(drawn))
        check(not missing, f"no complete line of {', '.join(missing[:8])} ({len(missing)} pieces)")
        check(len(drawn) == len(set(drawn)), "a piece is on two templates")
        for (key, _), template in templates.items():
            judge(form, key, template)
        here = [b for t in templates.values() for of in t.marks.values() for b in of]
        if here:
            print(f"{folder}: {len(templates)} templates, {sum(here)} of {len(here)} lines with their number beside them")
        tally.say(folder)
    return tally.finish()


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1:]))
