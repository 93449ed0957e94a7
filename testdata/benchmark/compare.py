"""Compares the answers of region.py with those of swardcast region --format csv.

    python3 compare.py region.py's-windows.csv swardcast's-windows.csv

It prints how many stations and dates are the same, and each that is not.
"""

import csv
import sys

# Columns that swardcast calls otherwise.
NAMES = {"seasons_used": "season_count", "best_sowing": "best_sowing_date"}


def day(value):
    """A date without its year: the companion takes the season after the record's last, swardcast the next to come."""
    return value[5:] if value[4:5] == "-" else value


theirs = list(csv.DictReader(open(sys.argv[1])))
ours = {r["file"]: r for r in csv.DictReader(open(sys.argv[2])) if r["species_id"] == "perennial-ryegrass"}
cells = different = 0
for row in theirs:
    for column, value in row.items():
        cells += 1
        our = ours[row["file"]][NAMES.get(column, column)]
        if day(our) != day(value):
            different += 1
            print(row["file"], column, "companion", value, "swardcast", our)
print(f"{len(theirs)} stations, {len(ours)} of swardcast, {cells} cells, {different} different")
sys.exit(different > 0 or len(theirs) != len(ours))
