"""The switching record of a run by tepid: instants, the heater's power from each on, and the water."""
import csv
from dataclasses import dataclass


@dataclass
class Record:
    t_s: list[float]
    heater_w: list[float]
    water_c: list[float]

    def stretches(self):
        """Index of the first and last row of each stretch without switching, and the heater's power in it."""
        first = 0
        for row in range(1, len(self.t_s)):
            if self.heater_w[row] != self.heater_w[first] or row == len(self.t_s) - 1:
                yield first, row, self.heater_w[first]
                first = row


def read(path):
    with open(path, newline="") as file:
        rows = [(float(row["t_s"]), float(row["heater_w"]), float(row["water_c"])) for row in csv.DictReader(file)]
    return Record(*map(list, zip(*rows)))
