"""How fast the program is beside general-purpose libraries that do the same work.

    python benches/side_by_side.py TARGET        (TARGET: folder with release/, usually `target`)

Prints three tables as Markdown.

Cuts: one solid is cut at the middle of every layer, and the tape is pulled round each cut (length of
its convex hull). The same solid, the same heights, and the girths must agree to 0.01 mm, or the
times mean nothing. trimesh: `section` at each height, hull by shapely. manifold3d: `slice`, hull by
itself. Each library runs in a process of its own with its file already read; the fastest of the
repeats counts, so that a busy machine does not.

Sheets: 10, 100 and 1000 of them through one `check --json`, with one thread and with all. Peak memory
is that of the process. The sheets differ (their readings are those of tests/sheets/contralto.toml, moved
by up to 2 %, with a fixed seed).

Layers: the 120 of benches/data are laid on a roll, gap 4 mm, 2 mm at the edges, quarter turns, by
`cargo bench --bench nesting` with rising numbers of tries, and each time by spyrrow, a general strip
packer, in the same number of seconds, whole ones and at least two, both with every core. Its margin
of 2 mm at either end of the roll is added, and shapely looks whether gaps and edges are kept.

Needs numpy, trimesh, networkx, rtree, shapely, as in tests/outside/requirements.txt, and manifold3d
(3.5.4 was used) and spyrrow (0.9.0).
"""

import json
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parent
LIKE_MM = 0.01


def measured(command, threads):
    """Runs a command; seconds, peak memory in MiB, what it printed."""
    with tempfile.TemporaryFile() as out:
        start = time.perf_counter()
        child = subprocess.Popen(
            [str(c) for c in command],
            stdout=out,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "RAYON_NUM_THREADS": str(threads), "OMP_NUM_THREADS": str(threads)},
        )
        _, status, usage = os.wait4(child.pid, 0)
        seconds = time.perf_counter() - start
        out.seek(0)
        text = out.read().decode()
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        sys.exit(f"{command} ended with {status}")
    return seconds, usage.ru_maxrss / 1024, text


def heights(mesh, layers):
    low, high = mesh.bounds[0][2], mesh.bounds[1][2]
    return [low + (i + 0.5) * (high - low) / layers for i in range(layers)]


def with_trimesh(path, layers):
    import shapely
    import trimesh

    mesh = trimesh.load_mesh(path)
    best, girths = float("inf"), []
    for _ in range(2):
        start = time.perf_counter()
        girths = []
        for z in heights(mesh, int(layers)):
            cut = mesh.section(plane_origin=[0, 0, z], plane_normal=[0, 0, 1])
            girths.append(shapely.MultiPoint(cut.vertices[:, :2]).convex_hull.length)
        best = min(best, time.perf_counter() - start)
    return {"seconds": best, "girths": girths}


def with_manifold(path, layers):
    import manifold3d
    import numpy as np
    import trimesh

    mesh = trimesh.load_mesh(path)
    solid = manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=np.asarray(mesh.vertices, dtype=np.float64),
            tri_verts=np.asarray(mesh.faces, dtype=np.uint64),
        )
    )
    if solid.is_empty():
        sys.exit(f"manifold3d does not take {path}: {solid.status()}")
    best, girths = float("inf"), []
    for _ in range(3):
        start = time.perf_counter()
        girths = []
        for z in heights(mesh, int(layers)):
            ring = solid.slice(z).hull().to_polygons()[0]
            girths.append(float(np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1).sum()))
        best = min(best, time.perf_counter() - start)
    return {"seconds": best, "girths": girths}


def finer(path, twice):
    """The same solid with every triangle cut into four; says how many there are."""
    import trimesh

    mesh = trimesh.load_mesh(path)
    if twice == "1":
        mesh = mesh.subdivide()
    mesh.export(path)
    return len(mesh.faces)


def cuts(target, folder):
    """Nothing large is loaded here: a child's peak memory begins with that of its parent."""
    subprocess.run(
        [target / "release/layfigure", "build", HERE.parent / "tests/sheets/contralto.toml", "-o", folder / "form", "--quiet"],
        check=True,
        stdout=subprocess.DEVNULL,
    )
    print("| triangles | cuts | layfigure, 1 thread | layfigure, all | manifold3d | trimesh | memory, MiB |")
    print("|---|---|---|---|---|---|---|")
    path = folder / "solid.stl"
    path.write_bytes((folder / "form/solid/outer.stl").read_bytes())
    for twice in "01":
        triangles = json.loads(measured([sys.executable, __file__, "finer", path, twice], 1)[2])
        for layers in (30, 120, 480):
            runs = [
                measured([target / "release/examples/cuts", path, layers, 5], threads)
                for threads in (1, os.cpu_count())
            ]
            runs += [
                measured([sys.executable, __file__, how, path, layers], 1) for how in ("manifold3d", "trimesh")
            ]
            found = [json.loads(text) for _, _, text in runs]
            for other in found[1:]:
                apart = max(abs(a - b) for a, b in zip(found[0]["girths"], other["girths"], strict=True))
                if apart > LIKE_MM:
                    sys.exit(f"{layers} cuts: girths {apart:.3f} mm apart")
            times = " | ".join(f"{1000 * f['seconds']:.1f} ms" for f in found)
            memory = ", ".join(f"{m:.0f}" for _, m, _ in runs[1:])
            print(f"| {triangles:,} | {layers} | {times} | {memory} |", flush=True)


def sheets(target, folder):
    """Readings without words or pairs are moved; the rest of the sheet stays."""
    text = (HERE.parent / "tests/sheets/contralto.toml").read_text()
    dice = random.Random(1)
    reading = re.compile(r"^(\w+\s*=\s*)(\d+(?:\.\d+)?)(\s*(?:#.*)?)$", re.M)
    paths = []
    for i in range(1000):
        # One factor for the whole body and a little for each reading, so that they agree.
        body = 1 + dice.uniform(-0.02, 0.02)
        moved = reading.sub(
            lambda m: f"{m[1]}{float(m[2]) * body * (1 + dice.uniform(-0.003, 0.003)):.1f}{m[3]}", text
        )
        path = folder / f"person-{i:04}.toml"
        path.write_text(moved)
        paths.append(path)
    print("\n| sheets | threads | seconds | peak memory, MiB | girths met |")
    print("|---|---|---|---|---|")
    for threads in sorted({1, os.cpu_count()}):
        for n in (10, 100, 1000):
            seconds, memory, out = measured(
                [target / "release/layfigure", "check", "--json", "--quiet", *paths[:n]], threads
            )
            answers = json.loads(out)
            if len(answers) != n:
                sys.exit(f"{n} sheets, {len(answers)} answers")
            met = sum(
                all(m["within_tolerance"] is not False for m in a["measures"] if m["key"].startswith("girth."))
                for a in answers
                if "measures" in a
            )
            print(f"| {n} | {threads} | {seconds:.1f} | {memory:.0f} | {met} |", flush=True)


def roll(turns, seconds):
    """Lays the layers by spyrrow; length of the roll, mm, and the seconds it took."""
    import shapely
    import shapely.affinity
    import spyrrow

    gap, margin, width = 4.0, 2.0, 1000.0
    lines = (HERE / "data/layers-120.txt").read_text().splitlines()
    shapes = [
        [tuple(map(float, pair.split(","))) for pair in line.split()] for line in lines if not line.startswith("#")
    ]
    items = [spyrrow.Item(f"{i}", shape, 1, [float(t) for t in turns.split(",")]) for i, shape in enumerate(shapes)]
    # It keeps half the gap from the edges too.
    instance = spyrrow.StripPackingInstance("layers", width - 2 * margin + gap, items)
    config = spyrrow.StripPackingConfig(
        early_termination=False, min_items_separation=gap, total_computation_time=int(seconds), seed=1
    )
    start = time.perf_counter()
    found = instance.solve(config)
    took = time.perf_counter() - start
    laid = []
    for item in found.placed_items:
        piece = shapely.affinity.rotate(shapely.Polygon(shapes[int(item.id)]), item.rotation, origin=(0, 0))
        laid.append(shapely.affinity.translate(piece, *item.translation))
    near = shapely.STRtree(laid).query(laid, predicate="dwithin", distance=gap - LIKE_MM)
    if len(laid) != len(shapes) or any(a != b for a, b in near.T):
        sys.exit("spyrrow lays pieces too near to each other, or not all")
    low, foot, high, top = shapely.total_bounds(shapely.MultiPolygon(laid))
    if top - foot > width - 2 * margin + LIKE_MM:
        sys.exit(f"spyrrow takes {top - foot} mm of the breadth")
    return {"length": high - low + 2 * margin, "seconds": took}


def layers(target):
    """Both nesters in one run, one after the other, so that a slow machine is slow for both."""
    ours = re.compile(r"^roll of 1 m +(\d+) tries +([\d.]+) m .* ([\d.]+) s$", re.M)
    print("\n| tries | layfigure, roll, m | seconds | spyrrow, roll, m | seconds |")
    print("|---|---|---|---|---|")
    for tries in (200, 4000, 20_000, 50_000, 150_000):
        text = subprocess.run(
            ["cargo", "bench", "--locked", "--quiet", "--bench", "nesting", "--", str(tries), "roll"],
            cwd=HERE.parent,
            env={**os.environ, "CARGO_TARGET_DIR": str(target.resolve())},
            check=True,
            stdout=subprocess.PIPE,
            text=True,
        ).stdout
        _, metres, seconds = ours.search(text).groups()
        allowed = max(2, round(float(seconds)))
        _, _, out = measured([sys.executable, __file__, "roll", "0,90,180,270", allowed], os.cpu_count())
        theirs = json.loads(out)
        print(
            f"| {tries:,} | {metres} | {seconds} | {theirs['length'] / 1000:.3f} | {theirs['seconds']:.1f} |",
            flush=True,
        )


def main(args):
    if len(args) == 3:
        how = {"trimesh": with_trimesh, "manifold3d": with_manifold, "finer": finer, "roll": roll}[args[0]]
        print(json.dumps(how(args[1], args[2])))
        return
    if len(args) != 1:
        sys.exit(__doc__)
    target = Path(args[0])
    with tempfile.TemporaryDirectory() as folder:
        cuts(target, Path(folder))
        sheets(target, Path(folder))
    layers(target)


if __name__ == "__main__":
    main(sys.argv[1:])
