"""Checks the fit's own solver against scipy's.

    python tests/outside/check_fit.py RESIDUALS SHEET...

RESIDUALS is the example program `residuals`: it lays the least squares problem of a sheet open, and
says where the project's solver ended. scipy.optimize.least_squares (trust region reflective: Branch,
Coleman and Li 1999, with bounds) is set to the same problem, once from the same start and once from
where the project's solver ended.
"""

import json
import math
import subprocess
import sys

import numpy as np
import scipy.optimize

import tally
from tally import check

# The sum of squares is a chi-square; the solver may stop this much above the least, or at this share
# of it: less than a tenth of a millimetre in any reading. It promises half of it for its last step.
ABOVE, SHARE = 0.1, 2e-3


class Problem:
    def __init__(self, program, sheet):
        self.process = subprocess.Popen(
            [program, sheet], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        head = json.loads(self.process.stdout.readline())
        self.low = np.array([-math.inf if v is None else v for v in head["low"]])
        self.high = np.array([math.inf if v is None else v for v in head["high"]])
        self.solved = np.array(head["solved"])

    def misfits(self, parameters):
        self.process.stdin.write(" ".join(map(repr, map(float, parameters))) + "\n")
        self.process.stdin.flush()
        return np.array(self.process.stdout.readline().split(), dtype=float)

    def sum(self, parameters):
        return float(np.sum(self.misfits(parameters) ** 2))

    def scipy(self, start):
        found = scipy.optimize.least_squares(
            self.misfits,
            np.clip(start, self.low + 1e-9, self.high - 1e-9),
            bounds=(self.low, self.high),
            diff_step=1e-4,
            x_scale=1.0,
            ftol=1e-7,
            xtol=1e-7,
            max_nfev=40,
        )
        return found

    def close(self):
        self.process.stdin.close()
        self.process.wait()


def main(program, sheets):
    for sheet in sheets:
        problem = Problem(program, sheet)
        check(bool(np.all(problem.solved >= problem.low - 1e-9)), f"{sheet}: a parameter below its bound")
        check(bool(np.all(problem.solved <= problem.high + 1e-9)), f"{sheet}: a parameter above its bound")
        start = np.clip(np.zeros_like(problem.low), problem.low, problem.high)
        first, ours = problem.sum(start), problem.sum(problem.solved)
        check(np.isfinite(ours) and ours < first, f"{sheet}: the sum went from {first} to {ours}")
        for where, u in (("the same start", start), ("our end", problem.solved)):
            theirs = problem.scipy(u)
            least = 2 * theirs.cost
            allowed = least + max(ABOVE, SHARE * least)
            check(ours <= allowed, f"{sheet}: our sum {ours:.4f}, scipy's from {where} {least:.4f}")
            print(f"{sheet}: ours {ours:.4f}, scipy from {where} {least:.4f} in {theirs.nfev} steps")
        problem.close()
    tally.say("fit")
    return tally.finish()


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], sys.argv[2:]))
