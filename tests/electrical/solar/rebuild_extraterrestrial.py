"""Write the table `extraterrestrial` anew: python tests/electrical/solar/rebuild_extraterrestrial.py"""

import csv
import math
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
TABLES = ROOT / "service" / "ohmstead" / "reference" / "tables"
DECIMALS = 6


def rows():
    """Latitude and twelve monthly means, rounded as in the table."""
    from ohmstead.electrical.solar.almanac import month_means
    from ohmstead.reference.tables import load_tables

    constant = load_tables()["constants"].cell("solar_constant", "value")
    for latitude in range(-90, 91):
        yield latitude, [round(mean, DECIMALS) + 0.0 for mean in month_means(float(latitude), constant)]


def write():
    """Table and certificate."""
    from ohmstead.electrical.solar.model import MONTHS

    made = list(rows())
    with (TABLES / "extraterrestrial.csv").open("w", encoding="utf-8", newline="") as stream:
        table = csv.writer(stream, lineterminator="\n")
        table.writerow(["latitude_deg", *MONTHS])
        table.writerows([latitude, *means] for latitude, means in made)
    lines = [
        'title = "Radiation a day above the atmosphere on the horizontal, by latitude, mean over all days of the month"',
        'citation = "spencer-1971"',
        'clause = "Declination and distance by Fourier series; daily radiation by Duffie and Beckman, equation 1.10.3"',
        'basis = "computed"',
        f"rows = {len(made)}",
        'note = "Solar constant 1367 W/m2, year of 365 days. Made by tests/electrical/solar/rebuild_extraterrestrial.py."',
        "",
        "[columns.latitude_deg]",
        'term = "latitude_deg"',
        'unit = "deg"',
        "sum = 0.0",
        'monotone = "rising"',
        'between = "straight line; off by at most 0.007 kWh/m2, at the edge of the polar night"',
    ]
    for position, month in enumerate(MONTHS):
        total = math.fsum(means[position] for _, means in made)
        lines += ["", f"[columns.{month}]", 'term = "extraterrestrial_kwh_m2"', 'unit = "kWh/m2"', f"sum = {total!r}"]
    (TABLES / "extraterrestrial.toml").write_text("\n".join(lines) + "\n", "utf-8")


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT / "service"))
    write()
