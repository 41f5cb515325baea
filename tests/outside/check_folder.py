"""Checks a folder that `layfigure build` left, with other people's libraries only.

    python tests/outside/check_folder.py FOLDER...

Nothing here knows how the program works: it reads the files, measures them with trimesh, shapely,
ezdxf, svgelements and pypdf, and compares them with each other and with what form.json says.
"""

import cmath
import json
import math
import re
import sys
import xml.etree.ElementTree
from pathlib import Path

import ezdxf
import numpy as np
import pypdf
import shapely
import shapely.affinity
import svgelements
import trimesh
from shapely.geometry import Point, Polygon

import tally
from tally import check, near

# A cut outline in a file is drawn in arcs; it may differ from the outline in form.json by this much, mm.
FILE_MM = 0.02
# Height of a capital over the size of the type, of the face that the files name first (its OS/2 table).
CAPITALS = 1462 / 2048
SVG = "{http://www.w3.org/2000/svg}"
# A girth off the STL (32-bit coordinates, our own hull) may differ from form.json by this much, mm.
GIRTH_MM = 0.1
# The core is lofted through eroded cuts: between them it may stray by this much, mm.
CORE_MM = 0.3
# Our own padding of the layers is a ball rolled over steps; the program smooths between them, mm.
BUILT_MM = 2.5
# Acceptance of the finished form, mm: common practice, no source.
BROAD_MM, NARROW_MM = 10.0, 5.0
# Readings that are a level cut of the solid: measure, level, band of the finished form.
LEVELS = [
    ("hip", "hip", BROAD_MM),
    ("top_hip", "top_hip", BROAD_MM),
    ("abdomen", "abdomen", BROAD_MM),
    ("waist", "waist_tape", NARROW_MM),
    ("underbust", "underbust", NARROW_MM),
    ("bust", "bust", BROAD_MM),
    ("upper_chest", "armpit", BROAD_MM),
]

def cuts(mesh, z):
    """Polygons of a level cut, in the solid's own x and y."""
    section = mesh.section(plane_origin=[0, 0, z], plane_normal=[0, 0, 1])
    if section is None:
        return []
    loops = [Polygon(loop[:, :2]) for loop in section.discrete if len(loop) > 3]
    return sorted(loops, key=lambda p: -p.area)


def level_of(form, name):
    levels = form["levels"]
    return levels.get(name, levels.get("waist") if name == "waist_tape" else None)


def solids(folder, form):
    outer = trimesh.load_mesh(folder / "solid/outer.stl")
    core = trimesh.load_mesh(folder / "solid/core.stl")
    for name, mesh in (("outer", outer), ("core", core)):
        check(mesh.is_watertight, f"{name}.stl is not watertight")
        check(mesh.is_winding_consistent, f"{name}.stl: triangles wind both ways")
        check(mesh.volume > 0, f"{name}.stl is inside out")
        check(mesh.body_count == 1, f"{name}.stl falls into {mesh.body_count} parts")
    check(core.volume < outer.volume, "the core is not smaller than the outer solid")
    measures = {m["key"]: m for m in form["measures"]}
    scale = form["scale"]
    compared = 0
    for measure, level, _ in LEVELS:
        z = level_of(form, level)
        if z is None:
            continue
        trunk = cuts(outer, z)[0]
        x0, y0, x1, y1 = trunk.bounds
        for kind, value in (
            ("girth", trunk.convex_hull.length),
            ("breadth", x1 - x0),
            ("depth", y1 - y0),
        ):
            m = measures.get(f"{kind}.{measure}")
            if m and m["solid"] is not None:
                near(value / scale, m["solid"], GIRTH_MM, f"{kind}.{measure} off outer.stl")
                compared += 1
        inner = cuts(core, z)[0]
        padding = form["workshop"]["padding"]
        check(
            trunk.buffer(CORE_MM - padding).contains(inner),
            f"at the {level} level the core comes nearer than {padding} mm to the outer surface",
        )
    check(compared >= 7, f"only {compared} readings could be compared with outer.stl")
    x = outer.bounds
    near(x[1][2], form["totals"]["height"], form["workshop"]["pitch"], "top of outer.stl")


def layers(form):
    bottom = 0.0
    polygons = {}
    for i, layer in enumerate(form["layers"]):
        check(layer["index"] == i + 1, f"layer {i + 1} is called {layer['index']}")
        near(layer["bottom"], bottom, 0.002, f"underside of layer {i + 1}")
        # A pile that is there already may be higher or lower than its layers should make it.
        glue = form["workshop"]["pitch"] - form["workshop"]["thickness"]
        if form["first_to_cut"] == 1 and layer["thickness"] == form["workshop"]["thickness"]:
            near(layer["top"] - layer["bottom"], layer["thickness"] + glue, 0.002, f"height of layer {i + 1}")
        check(layer["top"] > layer["bottom"], f"layer {i + 1} has no height")
        bottom = layer["top"]
        for piece in layer["pieces"]:
            name = piece["id"]
            check(name not in polygons, f"{name} is there twice")
            ring = shapely.LinearRing(piece["outline"])
            check(ring.is_simple and ring.is_valid, f"{name}: its outline crosses itself")
            check(ring.is_ccw, f"{name}: its outline is not counter-clockwise")
            check(piece["outline"][0] != piece["outline"][-1], f"{name} repeats its first point")
            shape = Polygon(piece["outline"], piece["holes"])
            check(shape.is_valid, f"{name}: {shapely.is_valid_reason(shape)}")
            near(shape.area, piece["area"], 1e-4 * shape.area + 0.1, f"area of {name}")
            polygons[name] = shape
    # What is bought and cut: not the layers of a pile that is there already.
    anew = [polygons[p["id"]] for layer in form["layers"][form["first_to_cut"] - 1 :] for p in layer["pieces"]]
    near(len(anew) + len(form["wedges"]), form["totals"]["pieces"], 0, "number of pieces")
    area = sum(p.area for p in anew) + sum(w["area"] for w in form["wedges"])
    near(area, form["totals"]["used_area"], 1e-4 * area, "area of all pieces")
    cuts = [[p.exterior, *p.interiors] for p in anew] + [
        [shapely.LinearRing(r) for r in [w["outline"], *w["holes"]]] for w in form["wedges"]
    ]
    length = sum(r.length for piece in cuts for r in piece)
    near(length, form["totals"]["cut_length"], 1e-4 * length, "length of all cuts")
    weight = sum(
        polygons[p["id"]].area * layer["thickness"] * layer["density"] / 1e9
        for layer in form["layers"]
        for p in layer["pieces"]
    )
    near(weight, form["totals"]["layer_weight"], 0.002 * weight + 0.001, "weight of the layers")
    by_index = {layer["index"]: layer for layer in form["layers"]}
    for wedge in form["wedges"]:
        shape = Polygon(wedge["outline"], wedge["holes"])
        check(shape.is_valid, f"{wedge['id']} is not a simple shape")
        near(shape.area, wedge["area"], 0.01 * wedge["area"] + 0.01, f"area of {wedge['id']}")
        below, above = (
            shapely.unary_union([Polygon(p["outline"]) for p in by_index[k]["pieces"]])
            for k in (wedge["on_layer"], wedge["on_layer"] + 1)
        )
        check(below.buffer(0.05).contains(shape), f"{wedge['id']} overhangs the layer it lies on")
        over = above.buffer(-0.05).intersection(shape).area
        check(over < 0.5, f"{wedge['id']} lies under the layer above")
        polygons[wedge["id"]] = shape
    return polygons


def plays(form):
    """How far layers twist on their dowels, by brute force over small motions."""
    for run in form["play"]:
        at = [(d["x"], d["y"]) for d in form["dowels"] if d["name"] in run["rods"]]
        if "pole" in run["rods"]:
            at.append((form["pole"]["x"], form["pole"]["y"]))
        at = np.array(at)
        half = run["shift"]
        hole = form["dowels"][0]["hole"] - form["dowels"][0]["diameter"]
        near(2 * half, hole, 0.0015, f"play of layers {run['first_layer']} to {run['last_layer']}")

        def fits(twist):
            # The turned places must lie in a circle of half the clearance: the smallest circle round
            # them is found by minimising the largest distance.
            turned = twist * np.column_stack([-at[:, 1], at[:, 0]])
            centre = turned.mean(axis=0)
            step = np.ptp(turned, axis=0).max()
            for _ in range(4000):
                away = turned - centre
                far = away[np.argmax(np.linalg.norm(away, axis=1))]
                centre = centre + far * 0.5 * step / max(np.ptp(turned, axis=0).max(), 1e-12)
                step *= 0.995
            return np.linalg.norm(turned - centre, axis=1).max() <= half * 1.02

        twist = math.radians(run["twist"])
        check(fits(twist * 0.97), f"layers {run['first_layer']} cannot twist by {run['twist']} degrees")
        check(not fits(twist * 1.05), f"layers {run['first_layer']} twist by more than {run['twist']} degrees")


def dowels(form, polygons):
    """Every dowel finds an opening of its size in every layer it crosses, with wall around it."""
    dowels = [(d["name"], d) for d in form["dowels"]]
    if form["pole"]:
        dowels.append(("pole", form["pole"]))
    for name, d in dowels:
        at = Point(d["x"], d["y"])
        for layer in form["layers"][d["first_layer"] - 1 : d["last_layer"]]:
            where = f"dowel {name}, layer {layer['index']}"
            homes = [
                p["id"] for p in layer["pieces"] if Polygon(p["outline"]).contains(at.buffer(d["diameter"] / 2))
            ]
            check(len(homes) == 1, f"{where}: {len(homes)} pieces round it")
            if len(homes) != 1:
                continue
            shape = polygons[homes[0]]
            room = shape.distance(at)
            check(room >= d["diameter"] / 2 - 0.05, f"{where}: the opening is {room} mm from the axis to its edge")
            wall = shape.exterior.distance(at) - room
            check(wall >= 3.0, f"{where}: only {wall:.1f} mm of wall")
    if len(form["dowels"]) > 1:
        # Turned half round or over, the holes of the trunk must not meet.
        trunk = form["layers"][len(form["layers"]) // 3]["index"]
        holes = [
            (d["x"], d["y"])
            for _, d in dowels
            if d["first_layer"] <= trunk <= d["last_layer"]
        ]
        for turn in (lambda x, y: (-x, y), lambda x, y: (x, -y), lambda x, y: (-x, -y)):
            if len(holes) < 2:
                break
            moved = np.array([turn(*h) for h in holes])
            here = np.array(holes)
            moved += here.mean(axis=0) - moved.mean(axis=0)
            worst = max(np.min(np.linalg.norm(here - m, axis=1)) for m in moved)
            check(worst > 1.0, "a piece turned round or over would thread on the dowels")


def padded(form, polygons, z, padding, wedges=()):
    """Level cut of the stack with a ball of the padding's thickness rolled over it.

    A layer that the cut passes by at a distance d still pads it by the square root of p² - d². Wedges,
    where they are counted, are as thick as the layer beside them.
    """
    shapes = []
    for layer in form["layers"]:
        d = max(layer["bottom"] - z, z - layer["top"], 0.0)
        if d < padding:
            reach = math.sqrt(padding**2 - d**2)
            pieces = [p["id"] for p in layer["pieces"]]
            pieces += [w["id"] for w in wedges if w["on_layer"] + 1 == layer["index"]]
            shapes += [Polygon(polygons[id].exterior).buffer(reach, quad_segs=64) for id in pieces]
    return shapely.union_all(shapes)


def girths(form, polygons):
    """The stack as drawn, with padding and cover put back, against what was asked."""
    padding = form["workshop"]["padding"]
    measures = {m["key"]: m for m in form["measures"]}
    seen = 0
    for measure, level, band in LEVELS:
        m, z = measures.get(f"girth.{measure}"), level_of(form, level)
        if m is None or z is None:
            continue
        girth = padded(form, polygons, z, padding).convex_hull.length
        near(girth, m["asked"] * form["scale"], band, f"girth.{measure} of the padded layers")
        if m["built"] is not None:
            near(m["built"], m["asked"], band, f"girth.{measure} as built")
            # Wedges are pared: what they carry lies between nothing and all of their thickness.
            most = padded(form, polygons, z, padding, form["wedges"]).convex_hull.length
            built = m["built"] * form["scale"]
            check(
                girth - BUILT_MM <= built <= most + BUILT_MM,
                f"girth.{measure} as built: {built} is not between {girth} and {most}",
            )
        seen += 1
    check(seen >= 4, f"only {seen} levels could be read off the layers")


def placed(polygon, piece):
    turned = shapely.affinity.rotate(polygon, piece["turn"], origin=(0, 0))
    return shapely.affinity.translate(turned, piece["x"], piece["y"])


def rings(polygon):
    return [polygon.exterior, *polygon.interiors]


def between(a, b):
    """How far two fine outlines are apart: the farthest corner of either from the other."""
    if np.abs(np.subtract(a.bounds, b.bounds)).max() > 1.0:
        return math.inf
    return max(
        shapely.distance(shapely.points(shapely.get_coordinates(x)), y).max() for x, y in ((a, b), (b, a))
    )


def same_outline(found, wanted, what):
    """Every ring in the file runs along a ring of `wanted`, and none is missing."""
    lines = [shapely.LineString([*r.coords]) for r in rings(wanted)]
    check(len(found) == len(lines), f"{what}: {len(found)} closed cuts, {len(lines)} wanted")
    for line in lines:
        apart = min((between(line, f) for f in found), default=math.inf)
        check(apart <= FILE_MM + 0.004, f"{what}: a cut is {apart:.4f} mm away from where it should be")


def given_back(polygon, kerf):
    """What the blade's middle follows: outlines grown, openings shrunk by half of the cut."""
    return polygon.buffer(kerf / 2, quad_segs=64, join_style="round")


def svg_rings(path, height):
    out = {}
    svg = svgelements.SVG.parse(str(path), reify=True, ppi=25.4)
    for group in svg.select(lambda e: isinstance(e, svgelements.Group) and str(e.id or "").startswith("cut-")):
        lines = []
        for e in group.select(lambda e: isinstance(e, svgelements.Shape)):
            path_ = svgelements.Path(e)
            for sub in path_.as_subpaths():
                sub = svgelements.Path(sub)
                points = []
                for s in sub:
                    if isinstance(s, svgelements.Arc):
                        points += s.npoint(np.linspace(0, 1, 3 + int(s.length() / 0.4))).tolist()
                    elif s.end is not None:
                        points.append([s.end.x, s.end.y])
                xy = [(x, height - y) for x, y in points]
                if xy[0] != xy[-1]:
                    xy.append(xy[0])
                lines.append(shapely.LineString(xy))
        out[group.id.removeprefix("cut-")] = lines
    return out


def along(a, b, bulge):
    """Points along an arc from `a`, without `b`, chords within 0.001 mm; the bulge is the tangent of a
    quarter of the angle (DXF reference, LWPOLYLINE, group 42). Paths made of it by ezdxf are cubic
    curves, which stray from a quarter circle of 30 mm by 0.008 mm."""
    if bulge == 0:
        return [a]
    angle = 4 * math.atan(bulge)
    centre = a + (b - a) / 2 * (1 + 1j / math.tan(angle / 2))
    sides = max(2, math.ceil(abs(angle) / (2 * math.acos(1 - 0.001 / max(abs(a - centre), 0.002)))))
    return [centre + (a - centre) * cmath.exp(1j * angle * k / sides) for k in range(sides)]


def dxf_rings(path):
    doc = ezdxf.readfile(path)
    check(doc.header.get("$INSUNITS") == 4, f"{path.name}: the unit is not mm")
    lines = []
    for e in doc.modelspace():
        if not e.dxf.layer.lower().startswith("cut"):
            continue
        if e.dxftype() == "LWPOLYLINE":
            check(e.closed, f"{path.name}: an open cut")
            points = [(complex(x, y), bulge) for x, y, bulge in e.get_points("xyb")]
            following = points[1:] + points[:1]
            line = [z for (a, bulge), (b, _) in zip(points, following) for z in along(a, b, bulge)]
            xy = [(z.real, z.imag) for z in line]
        elif e.dxftype() == "CIRCLE":
            c, r = e.dxf.center, e.dxf.radius
            xy = [(c.x + r * math.cos(a), c.y + r * math.sin(a)) for a in np.linspace(0, math.tau, 721)[:-1]]
        else:
            check(False, f"{path.name}: a {e.dxftype()} among the cuts")
            continue
        lines.append(shapely.LineString([*xy, xy[0]]))
    return lines


def words(path, height):
    """The boxes of all words of a board, with the words, by the name of their group."""
    out = []
    for group in xml.etree.ElementTree.parse(path).getroot().iter(f"{SVG}g"):
        for e in group.findall(f"{SVG}text"):
            x, y = float(e.get("x")), -float(e.get("y"))
            long, tall = float(e.get("textLength")), float(e.get("font-size")) * CAPITALS
            from_x = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[e.get("text-anchor")] * long
            box = shapely.box(from_x, y, from_x + long, y + tall)
            turn = re.match(r"rotate\(([-0-9.]+)", e.get("transform") or "")
            if turn:
                box = shapely.affinity.rotate(box, -float(turn[1]), origin=(x, y))
            box = shapely.affinity.translate(box, 0, height)
            out.append((group.get("id").removeprefix("mark-"), "".join(e.itertext()).strip(), box))
    return out


def readable(name, written, shapes, sheet):
    """Words stand on their own piece, on no cut and on no other words."""
    tree = shapely.STRtree([box for *_, box in written])
    for k, (group, said, box) in enumerate(written):
        on = [i for i, s in shapes.items() if s.intersects(box)]
        if group in shapes:
            check(shapes[group].contains(box), f"{name}.svg: {said!r} is not all on {group}")
        else:
            check(not on or shapes[on[0]].contains(box), f"{name}.svg: {said!r} runs over a cut")
        check(len(on) <= 1, f"{name}.svg: {said!r} lies on {on}")
        check(sheet.contains(box), f"{name}.svg: {said!r} runs off the board")
        for j in tree.query(box):
            over = box.intersection(written[j][2]).area if j > k else 0.0
            check(over < 0.01, f"{name}.svg: {said!r} and {written[j][1]!r} lie on one another")
    named = {group for group, *_ in written}
    check(set(shapes) <= named, f"{name}.svg: {set(shapes) - named} carry no words")


def boards(folder, form, polygons):
    # Pieces larger than the stock are cut in parts, which together make the piece.
    polygons = dict(polygons)
    parted = {}
    for part in form["parts"]:
        polygons[part["id"]] = Polygon(part["outline"], part["holes"])
        parted.setdefault(part["of"], []).append(part["id"])
    for whole, parts in parted.items():
        together = shapely.union_all([polygons[p] for p in parts])
        lost = together.symmetric_difference(polygons[whole]).area
        check(lost < 1.0, f"the parts of {whole} are {lost:.2f} mm2 off the whole")
        area = sum(polygons[p].area for p in parts)
        near(area, polygons[whole].area, 1.0, f"area of the parts of {whole}")
    names = sorted(p.stem for p in (folder / "boards").glob("*.svg"))
    check(len(names) == len(form["boards"]), f"{len(names)} SVG files for {len(form['boards'])} boards")
    check(
        names == sorted(p.stem for p in (folder / "boards").glob("*.dxf")),
        "the DXF files are not the SVG files",
    )
    lying = []
    vertices = 0
    for board, name in zip(form["boards"], names):
        stock = form["workshop"]["stock"][board["stock"] - 1]
        sheet = shapely.box(0, 0, board["width"], board["length"])
        shapes = {p["id"]: placed(polygons[p["id"]], p) for p in board["pieces"]}
        lying += shapes
        usable = sheet.buffer(-stock["margin"] + 0.002, join_style="mitre")
        full = {i: Polygon(s.exterior) for i, s in shapes.items()}
        ids = list(full)
        tree = shapely.STRtree([full[i] for i in ids])
        for i, s in full.items():
            check(usable.contains(s), f"{name}: {i} reaches into the margin")
            for j in tree.query(s.buffer(stock["gap"])):
                if ids[j] > i:
                    # A piece may lie in an opening of another: measure the real shapes.
                    apart = shapes[i].distance(shapes[ids[j]])
                    check(apart >= stock["gap"] - 0.002, f"{name}: {i} and {ids[j]} are {apart:.3f} mm apart")
        left = board["offcut"]
        if left:
            x, y = left["x"], left["y"]
            box = shapely.box(x, y, x + left["width"], y + left["length"])
            check(sheet.buffer(0.002).contains(box), f"{name}: its off-cut lies off the board")
            apart = min(s.distance(box) for s in shapes.values())
            check(apart >= stock["gap"] - 0.002, f"{name}: its off-cut is {apart:.2f} mm from a piece")
            # No smaller than what plainly lies beside all pieces, cells of 5 mm apart.
            x1, y1 = (max(s.bounds[k] for s in shapes.values()) for k in (2, 3))
            off = stock["gap"] + stock["kerf"] + 5.0
            plain = max(
                (board["width"] - x1 - off) * (board["length"] - 5.0),
                (board["length"] - y1 - off) * (board["width"] - 5.0),
            )
            check(box.area >= plain, f"{name}: its off-cut has {box.area:.0f} mm2, {plain:.0f} lie free")
        used = sum(s.area for s in shapes.values())
        near(used, board["used_area"], 1e-4 * used, f"{name}: area used")
        readable(name, words(folder / f"boards/{name}.svg", board["length"]), shapes, sheet)
        in_svg = svg_rings(folder / f"boards/{name}.svg", board["length"])
        in_dxf = dxf_rings(folder / f"boards/{name}.dxf")
        for e in ezdxf.readfile(folder / f"boards/{name}.dxf").modelspace().query("LWPOLYLINE[layer=='CUT']"):
            vertices += len(e)
        check(set(in_svg) == set(shapes), f"{name}.svg: its cut groups are not its pieces")
        wanted = {i: given_back(s, stock["kerf"]) for i, s in shapes.items()}
        for i, shape in wanted.items():
            same_outline(in_svg.get(i, []), shape, f"{name}.svg {i}")
            # Without what lies in its openings.
            near_it = shapes[i].buffer(stock["gap"] / 2)
            same_outline([r for r in in_dxf if near_it.contains(r)], shape, f"{name}.dxf {i}")
        check(len(in_dxf) == sum(len(rings(s)) for s in wanted.values()), f"{name}.dxf: number of cuts")
    wanted = [p["id"] for layer in form["layers"][form["first_to_cut"] - 1 :] for p in layer["pieces"]]
    wanted = [p for w in wanted for p in parted.get(w, [w])]
    corners = sum(len(polygons[p].exterior.coords) - 1 for p in wanted)
    check(vertices < corners / 2, f"{vertices} vertices are cut for the {corners} corners in form.json")
    wanted += [w["id"] for w in form["wedges"]]
    check(sorted(lying) == sorted(wanted), "not every piece lies on exactly one board")


def strokes(page):
    """Straight strokes of a page, mm: how far each goes along x and y."""
    found, points = [], []

    def see(operator, operands, cm, _):
        if operator in (b"m", b"l"):
            x, y = map(float, operands)
            points.append((cm[0] * x + cm[2] * y + cm[4], cm[1] * x + cm[3] * y + cm[5]))
        if operator == b"S" and len(points) == 2:
            (ax, ay), (bx, by) = points
            found.append((abs(bx - ax) * 25.4 / 72, abs(by - ay) * 25.4 / 72))
        if operator in (b"S", b"f", b"B", b"n", b"b", b"s"):
            points.clear()

    page.extract_text(visitor_operand_before=see)
    return found


def pages(folder, form):
    pdf = pypdf.PdfReader(folder / "templates.pdf")
    preferences = pdf.trailer["/Root"]["/ViewerPreferences"]
    check(preferences["/PrintScaling"] == "/None", "printers are not asked to leave the scale alone")
    check(not {"/CreationDate", "/ModDate"} & set(pdf.metadata or {}), "the pages carry a date")
    check(len(pdf.pages) == form["pages"]["count"], "number of pages")
    paper = sorted((form["pages"]["width"], form["pages"]["height"]))
    drawn = []
    for i, page in enumerate(pdf.pages):
        size = sorted(float(v) * 25.4 / 72 for v in page.mediabox[2:])
        near(size[0], paper[0], 0.05, f"page {i + 1}: shorter side")
        check(size[1] <= paper[1] + 0.05, f"page {i + 1}: longer side {size[1]}")
        words = page.extract_text(visitor_text=lambda word, *_: drawn.append(word.strip()))
        check("100 mm" in words, f"page {i + 1}: no check bar of 100 mm")
        bars = strokes(page)
        for bar in (100, 101.6):
            level = any(abs(x - bar) < 0.005 and y < 0.001 for x, y in bars)
            upright = any(abs(y - n * bar) < 0.005 and x < 0.001 for x, y in bars for n in (1, 2))
            check(level and upright, f"page {i + 1}: no bars of {bar} mm both ways")
        check(size[1] < 250 or "200 mm" in words, f"page {i + 1}: no check bar of 200 mm")
    anew = form["first_to_cut"] > 1
    check((folder / "proof.pdf").exists() != anew, "a proof is there when layers are cut anew, or none when all are")
    for i, page in enumerate([] if anew else pypdf.PdfReader(folder / "proof.pdf").pages):
        size = sorted(float(v) * 25.4 / 72 for v in page.mediabox[2:])
        near(size[0], paper[0], 0.05, f"proof page {i + 1}: shorter side")
        check("100 mm" in page.extract_text(), f"proof page {i + 1}: no check bar of 100 mm")
    # A piece says "12 of 120" and how high it lies, in a list of several "2. 12 of 120", "12" alone where it is small,
    # or its name, "L012". Footers begin with words.
    count = len(form["layers"])
    found = {int(m[1]) for w in drawn if (m := re.fullmatch(rf"(?:\d+\.\s+)?L?(\d+)( of {count}\b.*)?", w))}
    wanted = form["layers"][form["first_to_cut"] - 1 :]
    missing = [layer["index"] for layer in wanted if layer["index"] not in found]
    check(not missing, f"pieces of the layers {missing} carry no number on the pages")


def main(folders):
    for folder in map(Path, folders):
        form = json.loads((folder / "form.json").read_text())
        check(next(iter(form)) == "format", "form.json does not begin with its format number")
        solids(folder, form)
        polygons = layers(form)
        dowels(form, polygons)
        plays(form)
        girths(form, polygons)
        boards(folder, form, polygons)
        pages(folder, form)
        missing = [m["key"] for m in form["measures"] if m["within_tolerance"] is False and m["origin"] == "given"]
        check(not missing, f"readings out of tolerance: {missing}")
        tally.say(folder)
    return tally.finish()


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1:]))
