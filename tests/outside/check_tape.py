"""Checks `layfigure tape` on solids that other people's libraries make and measure.

    python tests/outside/check_tape.py PROGRAM

Solids with a closed form are made here and written by trimesh as binary STL, text STL and OBJ; what
the program reads is compared with scipy's elliptic integral and quadrature. A lumpy solid without a
closed form is cut by trimesh and taped by shapely's convex hull.
"""

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import scipy.integrate
import scipy.special
import shapely
import trimesh

import tally
from tally import check, near

# Sides of the polygons that stand for round sections: they fall short by (pi/n)²/6 of the girth.
SIDES = 1440
# A girth may differ by this share (chords, 32-bit coordinates) and this length (three decimals), mm.
SHARE, ROUNDING = 5e-6, 2e-3


def ellipse(a, b):
    """4 a E(m), m = 1 - b²/a²: Abramowitz & Stegun 17.3.3, by scipy."""
    a, b = max(a, b), min(a, b)
    return 4 * a * scipy.special.ellipe(1 - (b / a) ** 2)


def superellipse(a, b, n):
    """Length of |x/a|^n + |y/b|^n = 1 by quadrature, in two pieces so that no slope is infinite."""
    turn = 2 ** (-1 / n)

    def piece(a, b):
        def speed(x):
            y = (1 - x**n) ** (1 / n)
            slope = (x / y) ** (n - 1)
            return math.hypot(a, b * slope)

        return scipy.integrate.quad(speed, 0, turn, epsabs=1e-10, epsrel=1e-12, limit=200)[0]

    return 4 * (piece(a, b) + piece(b, a))


def prism(outline, height):
    ends = [np.column_stack([outline, np.full(len(outline), z)]) for z in (0, height)]
    return trimesh.convex.convex_hull(np.concatenate(ends))


def round_outline(a, b, n):
    # Even steps of the angle of a circle; corners of square sections get points of their own.
    t = np.arange(SIDES) * math.tau / SIDES
    c, s = np.cos(t), np.sin(t)
    r = (np.abs(c) ** n + np.abs(s) ** n) ** (-1 / n)
    return np.column_stack([a * r * c, b * r * s])


def tape(program, path, *args):
    out = subprocess.run([program, "tape", path, "--json", "--quiet", *args], capture_output=True, text=True)
    check(out.returncode == 0, f"{path.name}: {out.stderr}")
    return json.loads(out.stdout) if out.returncode == 0 else {"rounds": []}


def main(program):
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        count = 0

        def read(mesh, heights, *args, scale=1.0):
            nonlocal count
            kind = ("stl", "stl_ascii", "obj")[count % 3]
            path = folder / f"solid-{count}.{kind[:3]}"
            count += 1
            mesh.apply_scale(1 / scale)
            data = mesh.export(file_type=kind)
            path.write_bytes(data if isinstance(data, bytes) else data.encode())
            found = tape(program, path, "--unit", "mm", *args, "--at", *(repr(float(z)) for z in heights))
            check(len(found["rounds"]) == len(heights), f"{path.name}: {len(found['rounds'])} heights read")
            return found

        # Ellipses of torsos and extremes.
        for a, b in [(100, 100), (150, 100), (200, 100), (170, 113.5), (300, 100), (60, 45)]:
            found = read(prism(round_outline(a, b, 2), 300), [1, 77, 299])
            for row in found["rounds"]:
                wanted = ellipse(a, b)
                near(row["girth"], wanted, SHARE * wanted + ROUNDING, f"ellipse {a} {b}")
                near(row["breadth"], 2 * a, ROUNDING, f"breadth of ellipse {a} {b}")
                near(row["depth"], 2 * b, ROUNDING, f"depth of ellipse {a} {b}")
        # Superellipses: exponents about those of torsos; all of them convex.
        for a, b, n in [(170, 110, 2.2), (170, 110, 2.5), (145, 102, 3.0), (120, 100, 1.8), (180, 120, 4.0)]:
            found = read(prism(round_outline(a, b, n), 300), [150], "--solid-unit", "in", scale=25.4)
            wanted = superellipse(a, b, n)
            for row in found["rounds"]:
                # Even steps are longer near the corners: a little more is lost.
                near(row["girth"], wanted, 4 * SHARE * wanted + ROUNDING, f"superellipse {a} {b} {n}")
        check(abs(superellipse(150, 100, 2) - ellipse(150, 100)) < 1e-6, "the two formulas disagree")
        # Bodies of revolution: cone, ball, ring.
        cone = trimesh.creation.cone(radius=200, height=800, sections=SIDES)
        for row in read(cone, [0.5, 100, 700])["rounds"]:
            wanted = math.tau * 200 * (1 - row["height"] / 800)
            near(row["girth"], wanted, 2 * SHARE * wanted + ROUNDING, "cone")
        ball = trimesh.creation.icosphere(subdivisions=6, radius=250)
        for row in read(ball, [-200, 0, 123], "--solid-unit", "cm", scale=10)["rounds"]:
            wanted = math.tau * math.sqrt(250**2 - row["height"] ** 2)
            near(row["girth"], wanted, 2e-4 * wanted, "ball")
        ring = trimesh.creation.torus(major_radius=300, minor_radius=80, major_sections=SIDES, minor_sections=180)
        for row in read(ring, [-40, 0, 60])["rounds"]:
            wanted = math.tau * (300 + math.sqrt(80**2 - row["height"] ** 2))
            near(row["girth"], wanted, 2e-4 * wanted, "ring")
            check(len(row["parts"]) == 1, "a ring is one part")
        # Two legs, bars apart, measured by shapely's hull of both.
        legs = []
        for radius, x in ((90, -100), (80, 95)):
            leg = trimesh.creation.cylinder(radius=radius, height=600, sections=SIDES)
            leg.apply_translation([x, 0, 300])
            legs.append(leg)
        for row in read(trimesh.util.concatenate(legs), [10, 590])["rounds"]:
            circles = [shapely.Point(x, 0).buffer(r, quad_segs=2000) for r, x in ((90, -100), (80, 95))]
            both = shapely.union_all(circles).convex_hull.length
            near(row["all_round"], both, SHARE * both + 2 * ROUNDING, "round two legs")
            near(row["girth"], math.tau * 90, SHARE * 600 + ROUNDING, "the thicker leg")
        # A lumpy solid, lying on its back: trimesh cuts it, shapely tapes it.
        lump = trimesh.creation.icosphere(subdivisions=5, radius=1)
        x, y, z = lump.vertices.T
        swell = 1 + 0.15 * np.sin(3 * x + 1) * np.cos(4 * y) + 0.1 * np.sin(5 * z + 2 * x)
        lump.vertices = lump.vertices * swell[:, None] * [180, 120, 400]
        heights = np.linspace(-330, 330, 23)
        wanted = []
        for h in heights:
            loops = lump.section(plane_origin=[0, 0, h], plane_normal=[0, 0, 1]).discrete
            wanted.append(max(shapely.MultiPoint(loop[:, :2]).convex_hull.length for loop in loops))
        lump.apply_transform(trimesh.transformations.rotation_matrix(-math.pi / 2, [1, 0, 0]))
        found = read(lump, heights, "--up", "y", "--front=-z")
        for row, girth in zip(found["rounds"], wanted):
            near(row["girth"], girth, 0.01, f"lump at {row['height']}")
        near(found["volume"], lump.volume, 1e-5 * lump.volume, "volume of the lump")
    tally.say("tape")
    return tally.finish()


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
