"""Counting of checks that hold and checks that fail, shared by the outside checks."""

failures = []
passed = 0


def check(good, what):
    global passed
    if good:
        passed += 1
    else:
        failures.append(what)


def near(a, b, by, what):
    check(a is not None and b is not None and abs(a - b) <= by, f"{what}: {a} against {b}, allowed {by}")


def say(of):
    print(f"{of}: {passed} checks passed, {len(failures)} failed so far", flush=True)


def finish():
    """Prints what failed; 0 when something was checked and nothing failed."""
    for f in failures:
        print("FAILED", f)
    return 1 if failures or not passed else 0
