"""Measures swardcast region: the figures of docs/performance.md, in one run.

    /usr/bin/python3 testdata/benchmark/measure.py

from the root of the project, on a machine with Go, pandas and SciPy. It works in
a directory of its own. Times are wall and processor time (user and system); of
repeats the least and the middle one are told, since other work on the machine
only ever adds.
"""

import os
import re
import subprocess
import sys
import tempfile
import time

ROOT = os.getcwd()
ALL, ONE = "all", "perennial-ryegrass"


def run(args, cwd, out=os.devnull, env=None):
    """Returns wall time, processor time in s and the largest memory in MB."""
    start = time.time()
    with open(out, "w") as f:
        child = subprocess.Popen(args, cwd=cwd, stdout=f, env={**os.environ, **(env or {})})
        _, status, used = os.wait4(child.pid, 0)
    if status:
        sys.exit("%s: status %d" % (" ".join(args), status))
    return time.time() - start, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def told(name, runs):
    wall, cpu, memory = (sorted(x) for x in zip(*runs))
    mid = len(runs) // 2
    print("%-44s wall %6.3f (%6.3f) s  processor %6.3f (%6.3f) s  %4.0f MB" % (name, wall[0], wall[mid], cpu[0], cpu[mid], memory[-1]), flush=True)
    return wall[0], cpu[0]


def main():
    d = tempfile.mkdtemp()
    go = lambda *args: subprocess.run(["go", *args], cwd=ROOT, check=True, capture_output=True, text=True).stdout
    swardcast, weathergen = os.path.join(d, "swardcast"), os.path.join(d, "weathergen")
    go("build", "-o", swardcast, "./cmd/swardcast")
    go("build", "-o", weathergen, "./cmd/weathergen")
    for years in (10, 20, 30):
        run([weathergen, "--stations", "1000" if years == 30 else "250", "--years", str(years), "--output", "years%d" % years], d)
    names = sorted(os.listdir(os.path.join(d, "years30")))
    for n in (250, 500, 1000):
        with open(os.path.join(d, "list%d" % n), "w") as f:
            f.writelines("years30/%s\n" % name for name in names[:n])
    region = lambda what, species, *more: [swardcast, "region", *what, "--species", species, "--format", "csv", *more]

    print("least (middle) of 3 runs")
    told("1000 stations, 30 years, 11 species", [run(region(["years30"], ALL), d) for _ in range(3)])
    told("  the page, sown on a day", [run([swardcast, "region", "years30", "--species", ALL, "--sow", "Oct-10", "--format", "html"], d) for _ in range(3)])
    print("stations")
    for n in (250, 500, 1000):
        told("  %d stations, 30 years, 11 species" % n, [run(region(["--list", "list%d" % n], ALL), d) for _ in range(3)])
    print("years")
    for years in (10, 20, 30):
        what = ["--list", "list250"] if years == 30 else ["years%d" % years]
        told("  250 stations, %d years, 11 species" % years, [run(region(what, ALL), d) for _ in range(3)])
    print("species")
    several = "perennial-ryegrass,annual-ryegrass,intermediate-ryegrass,tall-fescue,meadow-fescue,red-fescue"
    for label, species in (("1", ONE), ("6", several), ("11", ALL)):
        told("  250 stations, 30 years, %s species" % label, [run(region(["--list", "list250"], species), d) for _ in range(3)])

    print("against the companions, 1000 stations, 30 years, one species, one job, in turns")
    with open(os.path.join(d, "species.csv"), "w") as f:
        f.write(subprocess.run([swardcast, "species", "--format", "csv"], check=True, capture_output=True, text=True).stdout)
    coefficients = os.path.join(ROOT, "forecast/soil/coefficients_gen.go")
    companion = lambda name: ["/usr/bin/python3", os.path.join(ROOT, "testdata/benchmark", name), "species.csv", coefficients, "years30"]
    one = {"OPENBLAS_NUM_THREADS": "1"}
    pandas, numpy, single, both = [], [], [], []
    for _ in range(5):
        single.append(run(region(["years30"], ONE, "--jobs", "1"), d, os.path.join(d, "ours.csv")))
        numpy.append(run(companion("region.py"), d, os.path.join(d, "numpy.csv"), one))
        pandas.append(run(companion("region_pandas.py"), d, os.path.join(d, "pandas.csv"), one))
        both.append(run(region(["years30"], ONE), d))
    told("  companion with pandas", pandas)
    told("  companion with NumPy", numpy)
    told("  swardcast --jobs 1", single)
    told("  swardcast, a job a processor", both)
    for name, runs in (("pandas", pandas), ("NumPy", numpy)):
        ratios = sorted(theirs[1] / ours[1] for theirs, ours in zip(runs, single))
        print("  processor time with %s by that of swardcast: %.1f (%.1f to %.1f)" % (name, ratios[len(ratios) // 2], ratios[0], ratios[-1]))
    same = open(os.path.join(d, "numpy.csv")).read() == open(os.path.join(d, "pandas.csv")).read()
    print("  the companions answer %s" % ("the same" if same else "DIFFERENTLY"))
    ours = subprocess.run(["/usr/bin/python3", os.path.join(ROOT, "testdata/benchmark/compare.py"), "numpy.csv", "ours.csv"], cwd=d, capture_output=True, text=True)
    print("  " + ours.stdout.strip().split("\n")[-1])

    print("single commands on a file of 30 years, in turns, 15 times")
    name = os.path.join("years30", names[0])
    commands = {"window": [], "window --format html": [], "hindcast": [], "outlook": [], "compare": []}
    for _ in range(15):
        for what, runs in commands.items():
            verb, *flags = what.split()
            runs.append(run([swardcast, verb, name, *flags], d))
    for what, runs in commands.items():
        told("  " + what, runs)

    print("reading the demo station, least of 5")
    least = {}
    for name, ns in re.findall(r"Benchmark(\w+)-?\d*\s+\d+\s+(\d+) ns/op", go("test", "./climate/recordfile", "-run", "^$", "-bench", ".", "-count", "5")):
        least[name] = min(int(ns), least.get(name, 1 << 60))
    for name, ns in least.items():
        print("  %-10s %.2f ms, %.2f times bare" % (name, ns / 1e6, ns / least["Bare"]))


main()
