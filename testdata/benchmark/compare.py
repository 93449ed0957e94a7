"""Compares the answers of region.py with those of swardcast region --format csv.

    python3 compare.py region.py's-windows.csv swardcast's-windows.csv

It prints how many stations and dates are the same, and each that is not.
"""

import csv
import sys

theirs = list(csv.DictReader(open(sys.argv[1])))
ours = {r["file"]: r for r in csv.DictReader(open(sys.argv[2])) if r["species"] == "perennial-ryegrass"}
cells = different = 0
for row in theirs:
    for column, value in row.items():
        cells += 1
        if ours[row["file"]][column] != value:
            different += 1
            print(row["file"], column, "companion", value, "swardcast", ours[row["file"]][column])
print(f"{len(theirs)} stations, {len(ours)} of swardcast, {cells} cells, {different} different")
sys.exit(different > 0 or len(theirs) != len(ours))
