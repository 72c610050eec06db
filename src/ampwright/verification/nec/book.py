"""The tables of the code, read a second time: sizes, ratings, currents, factors."""

import math
from collections.abc import Iterator, Mapping

from ampwright.verification.ledger import Ledger
from ampwright.verification.notation import horsepower

CIRCULAR_MIL_MM2 = math.pi / 4 * 0.0254**2
ROUNDING = 1e-9
SAME_POWER = 0.02
SAME_NUMBER = 0.005  # 3.73 kW is 5 hp, rounded


class Book:
    """Looks things up in the region's own tables; ``None`` where a table has no answer."""

    def __init__(self, ledger: Ledger) -> None:
        self.ledger = ledger
        self._ratings: dict[str, list[float]] = {}

    def rows(self, table: str) -> Iterator[Mapping[str, str]]:
        """Yield the rows of *table*, none if there is no such table."""
        return iter((self.ledger.table(table) or {}).values())

    def factor(self, name: str) -> float:
        """Return a factor that stands in the text of a rule."""
        return self._named("factors", name)

    def band(self, quantity: str) -> float:
        """Return a figure of the band in which breakers trip."""
        return self._named("breaker_band", quantity)

    def _named(self, table: str, name: str) -> float:
        found = self.ledger.cell(table, name, "value")
        if found is None:
            self.ledger.skipped("plan.table-cell", table, f"{name} of {table}")
            return math.nan
        return found

    # Ratings

    def ratings(self, kind: str = "breaker") -> list[float]:
        """Return the standard ratings of the edition in force, rising [A]: 240.6(A)."""
        if kind not in self._ratings:
            since = f"{kind}_since"
            edition = int(self.ledger.edition or 9999)
            self._ratings[kind] = sorted(
                float(row["rating_a"])
                for row in self.rows("standard_ratings")
                if row.get(since) and int(row[since]) <= edition
            )
        return self._ratings[kind]

    def rating_up(self, current: float) -> float:
        """Return the smallest standard rating that is not below *current*."""
        fitting = (one for one in self.ratings() if one >= current * (1 - ROUNDING))
        return next(fitting, math.inf)

    def rating_down(self, current: float) -> float:
        """Return the largest standard rating that is not above *current*; nought if none."""
        return max((one for one in self.ratings() if one <= current * (1 + ROUNDING)), default=0.0)

    def listed(self, table: str, least: float) -> float:
        """Return the smallest rating of *table* that is not below *least*."""
        all_of_them = sorted(float(row["rating_a"]) for row in self.rows(table))
        return next((one for one in all_of_them if one >= least * (1 - ROUNDING)), math.inf)

    # Conductors

    def sizes(self) -> list[str]:
        """Return the sizes that ampacity and impedance are tabulated for, rising."""
        known = self.ledger.table("conductor_impedance") or {}
        return [row["size"] for row in self.rows("ampacity") if row["size"] in known]

    def ampacity(self, size: str, material: str, celsius: float) -> float | None:
        """Return what Table 310.16 allows *size* in one temperature column [A]."""
        return self.ledger.cell("ampacity", size, f"{_metal(material)}_{celsius:.0f}c")

    def mils(self, size: str) -> float:
        """Return the area of *size* [cmil]; nought for a size that is not listed."""
        return self.ledger.cell("conductor_properties", size, "circular_mils") or 0.0

    def ambient_factor(self, ambient: float, celsius: float) -> float | None:
        """Return the factor of Table 310.15(B)(1) for an insulation of *celsius*."""
        for row in self.rows("ambient_factors"):
            if ambient <= float(row["to_c"]):
                cell = row.get(f"f_{celsius:.0f}c")
                return float(cell) if cell else None
        return None

    def adjustment(self, conductors: float) -> float | None:
        """Return the factor of Table 310.15(C)(1) for that many loaded conductors."""
        for row in self.rows("adjustment_factors"):
            if conductors <= float(row["to_n"]):
                return float(row["factor"])
        return None

    def grounding(self, rating: float, material: str) -> str | None:
        """Return the equipment grounding conductor of Table 250.122 behind a device."""
        for row in self.rows("grounding_conductor"):
            if rating <= float(row["ocpd_max_a"]):
                return row[_metal(material)] or None
        return None

    # Motors

    def motor_column(self, volts: float) -> str | None:
        """Return the column of the tables of motor currents for a rated voltage."""
        for row in self.rows("motor_voltages"):
            if float(row["lowest_v"]) <= volts <= float(row["highest_v"]):
                return row["column"]
        return None

    def motor_current(self, hp: float, volts: float, phases: int) -> float | None:
        """Return the current of Table 430.250 or 430.248 [A], between two rows in proportion."""
        column = self.motor_column(volts)
        return None if column is None else self._between(_currents(phases), column, hp)

    def locked_rotor_hp(self, amperes: float, volts: float, phases: int) -> float | None:
        """Return the smallest horsepower of Table 430.251 with at least this current."""
        table = "locked_rotor_three_phase" if phases == 3 else "locked_rotor_single_phase"
        return self._least_hp(table, amperes, volts)

    def full_load_hp(self, amperes: float, volts: float, phases: int) -> float | None:
        """Return the smallest horsepower of Table 430.248 or 430.250 with at least this current."""
        return self._least_hp(_currents(phases), amperes, volts)

    def locked_rotor_current(self, hp: float, volts: float, phases: int) -> float | None:
        """Return the locked-rotor current of the row of Table 430.251 not below *hp* [A].

        A power stated in kilowatts is taken for the horsepower that it stands for: 1.5 kW for 2 hp.
        """
        table = "locked_rotor_three_phase" if phases == 3 else "locked_rotor_single_phase"
        column = self.motor_column(volts)
        for row in self.rows(table):
            if column and row.get(column) and horsepower(row["hp"]) >= hp * (1 - SAME_POWER):
                return float(row[column])
        return None

    def _least_hp(self, table: str, amperes: float, volts: float) -> float | None:
        column = self.motor_column(volts)
        for row in self.rows(table):
            if column and row.get(column) and float(row[column]) >= amperes * (1 - ROUNDING):
                return horsepower(row["hp"])
        return None

    def _between(self, table: str, column: str, hp: float) -> float | None:
        below: tuple[float, float] | None = None
        for row in self.rows(table):
            if not row.get(column):
                continue
            here = horsepower(row["hp"]), float(row[column])
            if abs(hp - here[0]) <= SAME_NUMBER * here[0]:
                return here[1]
            if here[0] > hp:
                if below is None:
                    return None
                share = (hp - below[0]) / (here[0] - below[0])
                return below[1] + share * (here[1] - below[1])
            below = here
        return None


def _currents(phases: int) -> str:
    return "motor_current_three_phase" if phases == 3 else "motor_current_single_phase"


def _metal(material: str) -> str:
    return "cu" if material == "copper" else "al"
