"""Checks the girths of 507 people: each person's sheet is fitted, and the solid must measure like them.

    python tests/outside/check_people.py PROGRAM BODY.RData

The data are the 507 active adults of G. Heinz, L. J. Peterson, R. W. Johnson and C. J. Kerk,
"Exploring Relationships in Body Dimensions", Journal of Statistics Education 11(2), 2003, as
distributed in the R package gclus (data set `body`, cm). None of them was seen by any expectation of
the program.

What their columns are, after the paper, and the keys that stand for them:

* WaistG, "narrowest part of the torso below the rib cage": `girth.waist`, waist "natural".
* HipG, at the level of the bitrochanteric diameter: `girth.hip`.
* ChestG, "nipple line in males": `girth.bust`; "just above breast tissue in females":
  `girth.upper_chest`. A sheet must say a bust, so women's is expected from the two girths that were
  read, with a half-width; the regression was worked out for this check from the 2108 women of the
  1988 US Army survey (NATICK/TR-89/044), whose residual has a standard deviation of 24 mm.
* Height: `height.stature`.
* ShoulderG, Biacrom, ThighG: `girth.shoulder`, `breadth.biacromial`, `girth.thigh`, which the form does
  not have but which tell what to expect.

Left out: AbdG (at the navel, a level the natural waist does not fix), BicepG (flexed), and breadths and
depths taken on the bones with firm pressure.
"""

import json
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import rdata

import tally
from tally import check, near

PEOPLE = 507
# Bust of a woman from upper chest and waist, mm, and its 95 % half-width: see above.
BUST = (9.3, 0.713, 0.366, 48.0)
# What the README promises for readings of a sheet that agrees with itself, mm.
MET_MM = 0.5


def sheet(i, p):
    man = p["Gender"] == 1
    mm = {k: float(p[k]) * 10 for k in ("ChestG", "WaistG", "HipG", "Height", "ShoulderG", "ThighG", "Biacrom")}
    lines = [f'name = "person {i + 1}"', 'unit = "mm"', f'figure = "{"man" if man else "woman"}"', "[girth]"]
    asked = {"girth.waist": mm["WaistG"], "girth.hip": mm["HipG"]}
    if man:
        asked["girth.bust"] = mm["ChestG"]
    else:
        asked["girth.upper_chest"] = mm["ChestG"]
        base, chest, waist, within = BUST
        bust = base + chest * mm["ChestG"] + waist * mm["WaistG"]
        lines.append(f"bust = {{ value = {bust:.1f}, within = {within} }}")
    lines += [f"{k.split('.')[1]} = {v:.1f}" for k, v in asked.items()]
    lines += [f"shoulder = {mm['ShoulderG']:.1f}", f"thigh = {mm['ThighG']:.1f}"]
    lines += ["[breadth]", f"biacromial = {mm['Biacrom']:.1f}", "[height]", f"stature = {mm['Height']:.1f}"]
    return "\n".join(lines) + "\n", asked


def main(program, data):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        people = rdata.read_rda(data)["body"]
    check(len(people) == PEOPLE, f"{len(people)} people, not {PEOPLE}")
    with tempfile.TemporaryDirectory() as folder:
        names, wanted = [], []
        for i, (_, p) in enumerate(people.iterrows()):
            text, asked = sheet(i, p)
            name = Path(folder) / f"person-{i + 1:03}.toml"
            name.write_text(text)
            names.append(name)
            wanted.append(asked)
        out = subprocess.run(
            [program, "check", "--json", "--quiet", *names], capture_output=True, text=True
        )
    found = json.loads(out.stdout)
    check(len(found) == len(names), f"{len(found)} answers to {len(names)} sheets")
    worst = 0.0
    for i, (one, asked) in enumerate(zip(found, wanted)):
        who = f"person {i + 1}"
        if one.get("refused"):
            check(False, f"{who} is refused: {one['findings'][-1]['message']}")
            continue
        check(one["name"] == who, f"{who} was answered as {one['name']}")
        solid = {m["key"]: m["solid"] for m in one["measures"]}
        for key, value in asked.items():
            worst = max(worst, abs(solid[key] - value))
            near(solid[key], value, MET_MM, f"{who}: {key}")
    print(f"{PEOPLE} people: every girth within {worst:.2f} mm of theirs")
    tally.say("people")
    return tally.finish()


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
