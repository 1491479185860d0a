"""The ridge outpost (designs/ridge-outpost.ron) as a script: the model is assembled
here from tables and solved with HiGHS, as one would do it for this one design.

    outpost.py                                  prints the launch mass, kg
    outpost.py --length 500                     the same for a mission of 500 d
    outpost.py --sweep 230.5 0.5 1000 [--every 40]
                                                mission lengths from 230.5 d, a thousand
                                                by 0.5 d (or every 40th): length and mass

Numbers are those of the design: invented, except the crew's daily rates (after
NASA/TP-2015-218570/REV2, February 2022, Table 3-31, p. 58, second-hand). Masses are
kg, flows kg/d, times d, powers W, volumes m³, crew time h/yr, lives between failures h.
"""

import argparse
import math
from dataclasses import dataclass

import highspy
import numpy as np

YEAR = 365.25
HOURS = 24.0
FARADAY = 96485.33212  # C/mol
H, C, O = 1.008, 12.011, 15.999  # g/mol
H2, O2, H2O, CO2, CH4, C2H2 = 2 * H, 2 * O, 2 * H + O, C + 2 * O, C + 4 * H, 2 * C + 2 * H

# --- the mission -------------------------------------------------------------------

SHAKEDOWN, OPERATIONS = 0, 1
PHASES = (SHAKEDOWN, OPERATIONS)
SHAKEDOWN_DAYS = 45.0
LENGTH = 730.0
CREW = (2, 4)
OUTINGS = (0.0, 3.0 / 7.0)  # a day
WASH_DAYS = (0.0, 1.0 / 7.0)
RESUPPLY_DAYS = 0.5 * YEAR
PAYLOAD = 7000.0
CONFIDENCE = 0.995
POWER, VOLUME, CREW_TIME, STOWAGE = 5200.0, 3.2, 0.4, 6500.0
GAP = 1e-9

# --- what people and their work take and give, kg/d by phase --------------------------

PERSON_TAKES = {"oxygen": 0.895, "food": 1.56, "potable water": 3.217}
PERSON_GIVES = {
    "carbon dioxide": 1.085,
    "humidity": 2.946,
    "urine": 1.481,
    "faeces": 0.133,
    "skin solids": 0.027,
}
# rate by phase, substance and kg each time, what comes back as shares of it
WORK = {
    "hand washing": (CREW, "potable water", 0.9, {"grey water": 0.95, "humidity": 0.05}),
    "laundry": (WASH_DAYS, "potable water", 31.0, {"grey water": 0.88, "humidity": 0.12}),
    "suit cooling": (OUTINGS, "potable water", 4.4, {"lost vapour": 1.0}),
    "airlock": (OUTINGS, "oxygen", 0.7, {"lost air": 1.0}),
}
LEAK = {"oxygen": 0.03, "nitrogen": 0.09}  # of the cabin

# --- hardware ------------------------------------------------------------------------


@dataclass
class Unit:
    mass: float
    power: float
    capacity: float
    most: int
    least: int = 0
    volume: float = 0.0
    crew_time: float = 0.0
    spare: float = 0.0
    mtbf: float = math.inf
    cartridge: tuple[float, float] | None = None  # kg each, kg of feed it treats
    expendables: float = 0.0  # kg/kg
    upkeep: float = 0.0  # kg/yr
    start: int = SHAKEDOWN


UNITS = {
    "condenser": Unit(57, 370, 9.5, 3, least=1, volume=0.31, spare=11, mtbf=31000),
    "regenerable bed": Unit(108, 540, 4.8, 2, volume=0.42, spare=17, mtbf=14000),
    "one-way canisters": Unit(14, 35, 6, 1, volume=0.05, expendables=1.3),
    "cell stack": Unit(156, 110, 5.6, 2, volume=0.28, spare=26, mtbf=17000),
    "methanator": Unit(83, 95, 7, 1, volume=0.12, spare=12, mtbf=20000, start=OPERATIONS),
    "pyrolyser": Unit(
        118, 860, 3, 1, volume=0.2, upkeep=65, spare=31, mtbf=6000, start=OPERATIONS
    ),
    "drum still": Unit(121, 290, 7, 2, volume=0.38, crew_time=16, spare=34, mtbf=9000),
    "membrane still": Unit(
        74, 230, 3.6, 3, volume=0.22, crew_time=9, cartridge=(5.5, 420), spare=9, mtbf=16000
    ),
    "brine dryer": Unit(29, 60, 1.1, 2, volume=0.09, crew_time=22, cartridge=(1.9, 26)),
    "grey water filter": Unit(64, 130, 5, 2, volume=0.24, crew_time=12, cartridge=(7.5, 540)),
    "polisher": Unit(
        137, 220, 13 * 0.96, 3, volume=0.33, crew_time=18, cartridge=(13, 1250), spare=15, mtbf=22000
    ),
    "mineraliser": Unit(8, 10, 36, 1, expendables=0.25e-3),
}
CELL_POWER = 2 * FARADAY * 1.83 / (H2O * 1e-3) / 86400.0  # W per kg/d of water

# node, feed, yields by mass
TURNS = [
    ("condenser", "humidity", {"condensate": 1.0}),
    ("regenerable bed", "carbon dioxide", {"captured carbon dioxide": 1.0}),
    ("one-way canisters", "carbon dioxide", {"bound carbon dioxide": 1.0}),
    ("cell stack", "polished water", {"oxygen": O2 / (2 * H2O), "hydrogen": H2 / H2O}),
    ("drum still", "urine", {"distillate": 0.84, "still brine": 0.16}),
    ("membrane still", "urine", {"distillate": 0.76, "still brine": 0.24}),
    ("brine dryer", "still brine", {"humidity": 0.71, "dry residue": 0.29}),
    ("grey water filter", "grey water", {"condensate": 0.93, "reject": 0.07}),
    ("polisher", "condensate", {"polished water": 0.985, "reject": 0.015}),
    ("polisher", "distillate", {"polished water": 0.98, "reject": 0.02}),
    ("mineraliser", "polished water", {"potable water": 1.0}),
]
# node, shares of what reacts by mass, products by mass, conversion
FEED = CO2 + 4 * H2
REACTIONS = [
    (
        "methanator",
        {"captured carbon dioxide": CO2 / FEED, "hydrogen": 4 * H2 / FEED},
        {"methane": CH4 / FEED, "condensate": 2 * H2O / FEED},
        0.94,
    ),
    (
        "pyrolyser",
        {"methane": 1.0},
        {"acetylene": C2H2 / (2 * CH4), "hydrogen": 3 * H2 / (2 * CH4)},
        0.8,
    ),
]
EXCLUSIVE = [("drum still", "membrane still"), ("regenerable bed", "one-way canisters")]

# --- what is brought and kept -----------------------------------------------------------

# cargo: substance, packaging kg/kg; water comes in whole containers
CARGO = {
    "water cargo": ("potable water", 0.0),
    "oxygen cargo": ("oxygen", 0.42),
    "nitrogen cargo": ("nitrogen", 0.58),
    "food cargo": ("food", 0.18),
}
CONTAINER = {"water cargo": (27.0, 2.6)}  # holds, tare
# store: substance, days of reserve; whole tanks (holds, mass) or tare kg/kg
STORES = {"water tank": ("potable water", 20.0), "oxygen bottles": ("oxygen", 12.0)}
TANKS = {"water tank": (175.0, 24.0)}
TARE = {"oxygen bottles": 0.42}
PASSING = {"cabin", *STORES}
OVERBOARD, STOWED = "overboard", "stowage"

# --- streams: substance, from any of these, to any of these -----------------------------------

STREAMS = [
    ("oxygen", ["cell stack", "oxygen cargo"], ["oxygen bottles"]),
    ("oxygen", ["oxygen bottles"], ["cabin"]),
    ("oxygen", ["cabin"], ["crew", "airlock"]),
    ("nitrogen", ["nitrogen cargo"], ["cabin"]),
    ("lost air", ["airlock"], ["overboard"]),
    ("food", ["food cargo"], ["crew"]),
    ("carbon dioxide", ["crew"], ["cabin"]),
    ("carbon dioxide", ["cabin"], ["regenerable bed", "one-way canisters"]),
    ("bound carbon dioxide", ["one-way canisters"], ["stowage"]),
    ("captured carbon dioxide", ["regenerable bed"], ["methanator", "overboard"]),
    ("captured carbon dioxide", ["methanator"], ["overboard"]),
    ("hydrogen", ["cell stack", "pyrolyser"], ["methanator", "overboard"]),
    ("hydrogen", ["methanator"], ["overboard"]),
    ("methane", ["methanator"], ["pyrolyser", "overboard"]),
    ("methane", ["pyrolyser"], ["overboard"]),
    ("acetylene", ["pyrolyser"], ["overboard"]),
    ("humidity", ["crew", "hand washing", "laundry", "brine dryer"], ["cabin"]),
    ("humidity", ["cabin"], ["condenser"]),
    ("condensate", ["condenser", "methanator", "grey water filter"], ["polisher", "overboard"]),
    ("grey water", ["hand washing", "laundry"], ["grey water filter", "overboard"]),
    ("urine", ["crew"], ["drum still", "membrane still", "stowage"]),
    ("distillate", ["drum still", "membrane still"], ["polisher"]),
    ("still brine", ["drum still", "membrane still"], ["brine dryer", "stowage"]),
    ("dry residue", ["brine dryer"], ["stowage"]),
    ("reject", ["polisher", "grey water filter"], ["stowage"]),
    ("polished water", ["polisher"], ["mineraliser", "cell stack"]),
    ("potable water", ["water cargo", "mineraliser"], ["water tank"]),
    (
        "potable water",
        ["water tank"],
        ["crew", "hand washing", "laundry", "suit cooling", "overboard"],
    ),
    ("lost vapour", ["suit cooling"], ["overboard"]),
    ("faeces", ["crew"], ["stowage"]),
    ("skin solids", ["crew"], ["stowage"]),
]


def spares(mean: float) -> int:
    """The fewest spares that last with the wanted confidence, failures being Poisson."""
    number, term = 0, math.exp(-mean)
    total = term
    while total < CONFIDENCE:
        number += 1
        term *= mean / number
        total += term
    return number


class Model:
    """Columns and rows, collected and passed to the solver at once."""

    def __init__(self) -> None:
        self.cost: list[float] = []
        self.lower: list[float] = []
        self.upper: list[float] = []
        self.whole: list[bool] = []
        self.rows: list[tuple[float, float, list[tuple[int, float]]]] = []

    def column(self, cost=0.0, lower=0.0, upper=math.inf, whole=False) -> int:
        self.cost.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def at_most(self, right: float, terms: list[tuple[int, float]]) -> None:
        self.rows.append((-math.inf, right, terms))

    def equal(self, right: float, terms: list[tuple[int, float]]) -> None:
        self.rows.append((right, right, terms))

    def solve(self) -> float:
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.cost), len(self.rows)
        lp.col_cost_ = np.array(self.cost)
        lp.col_lower_ = np.array(self.lower)
        lp.col_upper_ = np.array(self.upper)
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[whole] for whole in self.whole]
        lp.row_lower_ = np.array([low for low, _, _ in self.rows])
        lp.row_upper_ = np.array([high for _, high, _ in self.rows])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.cumsum([0] + [len(terms) for _, _, terms in self.rows])
        lp.a_matrix_.index_ = np.array([at for _, _, terms in self.rows for at, _ in terms])
        lp.a_matrix_.value_ = np.array([by for _, _, terms in self.rows for _, by in terms])
        solver = highspy.Highs()
        solver.silent()
        solver.setOptionValue("mip_rel_gap", GAP)
        solver.setOptionValue("mip_abs_gap", 1e-9)
        solver.passModel(lp)
        solver.run()
        status = solver.getModelStatus()
        if status != highspy.HighsModelStatus.kOptimal:
            raise SystemExit(f"not solved: {solver.modelStatusToString(status)}")
        return solver.getInfo().objective_function_value


def launch_mass(length: float) -> float:
    """Launch mass of the lightest outpost for a mission of this length, kg."""
    model = Model()
    days = (SHAKEDOWN_DAYS, length - SHAKEDOWN_DAYS)
    flights = [0.0]
    while len(flights) * RESUPPLY_DAYS < length:
        flights.append(len(flights) * RESUPPLY_DAYS)
    ends = flights[1:] + [length]
    cuts = sorted({0.0, SHAKEDOWN_DAYS, *flights, length})
    intervals = list(zip(cuts, cuts[1:]))

    def phase_of(interval: tuple[float, float]) -> int:
        return SHAKEDOWN if interval[0] < SHAKEDOWN_DAYS else OPERATIONS

    def days_until(end: float, phase: int) -> float:
        if phase == SHAKEDOWN:
            return min(end, SHAKEDOWN_DAYS)
        return max(end - SHAKEDOWN_DAYS, 0.0)

    # Units, with their spares in a choice of how many units fly.
    units = {}
    for name, unit in UNITS.items():
        units[name] = model.column(unit.mass, unit.least, unit.most, whole=True)
        if unit.spare:
            service = sum(days[unit.start :])
            choices = [
                (number, model.column(unit.spare * spares(number * service * HOURS / unit.mtbf), 0, 1, True))
                for number in range(unit.least, unit.most + 1)
            ]
            model.equal(1.0, [(choice, 1.0) for _, choice in choices])
            terms = [(choice, float(number)) for number, choice in choices]
            model.equal(0.0, [*terms, (units[name], -1.0)])
    for group in EXCLUSIVE:
        chosen = [model.column(0, 0, 1, whole=True) for _ in group]
        for name, choice in zip(group, chosen):
            model.at_most(0.0, [(units[name], 1.0), (choice, -UNITS[name].most)])
        model.at_most(1.0, [(choice, 1.0) for choice in chosen])

    # Flows: what comes to and goes from every node, by substance and phase.
    into: dict[tuple, list[int]] = {}
    out: dict[tuple, list[int]] = {}
    for substance, sources, targets in STREAMS:
        for source in sources:
            for target in targets:
                starts = [UNITS[name].start for name in (source, target) if name in UNITS]
                for phase in PHASES[max(starts, default=SHAKEDOWN) :]:
                    flow = model.column()
                    out.setdefault((source, substance, phase), []).append(flow)
                    into.setdefault((target, substance, phase), []).append(flow)

    def total(flows: dict[tuple, list[int]], *key, by=1.0) -> list[tuple[int, float]]:
        return [(flow, by) for flow in flows.get(key, [])]

    for phase in PHASES:
        # People and their work.
        for substance, rate in PERSON_TAKES.items():
            model.equal(rate * CREW[phase], total(into, "crew", substance, phase))
        for substance, rate in PERSON_GIVES.items():
            model.equal(rate * CREW[phase], total(out, "crew", substance, phase))
        for name, (rates, substance, each, gives) in WORK.items():
            model.equal(rates[phase] * each, total(into, name, substance, phase))
            for product, share in gives.items():
                model.equal(rates[phase] * each * share, total(out, name, product, phase))
        # The cabin and the stores hand on.
        for name, substance, at in into:
            if name in PASSING and at == phase:
                leak = LEAK.get(substance, 0.0) if name == "cabin" else 0.0
                arriving = total(into, name, substance, phase)
                model.equal(leak, arriving + total(out, name, substance, phase, by=-1.0))

    # Conversions.
    levels: dict[tuple, list[int]] = {}
    made: dict[tuple, list[tuple[int, float]]] = {}
    for name, feed, yields in TURNS:
        for phase in PHASES:
            level = model.column()
            levels.setdefault((name, phase), []).append(level)
            model.equal(0.0, [*total(into, name, feed, phase), (level, -1.0)])
            for product, share in yields.items():
                made.setdefault((name, product, phase), []).append((level, -share))
    for name, feeds, products, conversion in REACTIONS:
        for phase in PHASES[UNITS[name].start :]:
            reacting = model.column()
            for feed, share in feeds.items():
                arriving = total(into, name, feed, phase)
                levels.setdefault((name, phase), []).extend(flow for flow, _ in arriving)
                model.at_most(
                    0.0, [(reacting, share), *((flow, -conversion) for flow, _ in arriving)]
                )
                left = [(flow, -1.0) for flow, _ in arriving]
                made.setdefault((name, feed, phase), []).extend([(reacting, share), *left])
            for product, share in products.items():
                made.setdefault((name, product, phase), []).append((reacting, -share))
    for key, terms in made.items():
        model.equal(0.0, total(out, *key) + terms)
    for name, unit in UNITS.items():
        for phase in PHASES[unit.start :]:
            feed = [(level, 1.0) for level in levels[name, phase]]
            model.at_most(0.0, [*feed, (units[name], -unit.capacity)])

    # Deliveries: what each flight carries, and what is aboard after each interval.
    payload: list[list[tuple[int, float]]] = [[] for _ in flights]
    for name, (substance, packaging) in CARGO.items():
        brought = []
        for flight in range(len(flights)):
            amount = model.column(1.0 + packaging)
            brought.append(amount)
            payload[flight].append((amount, 1.0 + packaging))
            if name in CONTAINER:
                holds, tare = CONTAINER[name]
                containers = model.column(tare, whole=True)
                payload[flight].append((containers, tare))
                model.at_most(0.0, [(amount, 1.0), (containers, -holds)])
        stock = None
        for start, end in intervals:
            drawn = total(out, name, substance, phase_of((start, end)), by=start - end)
            aboard = model.column()
            terms = [*drawn, (aboard, -1.0)]
            if start in flights:
                terms.append((brought[flights.index(start)], 1.0))
            if stock is not None:
                terms.append((stock, 1.0))
            model.equal(0.0, terms)
            stock = aboard

    # Cartridges, expendables and upkeep last until the next flight.
    def supply(mass: float, lasts: float, used: list, whole: bool) -> None:
        """`used` gives the terms of what is used until a day."""
        so_far = []
        for flight, end in enumerate(ends):
            number = model.column(mass, whole=whole)
            payload[flight].append((number, mass))
            so_far.append((number, -lasts))
            model.at_most(0.0, [*used(end), *so_far])

    for name, unit in UNITS.items():

        def fed(end: float, name=name, unit=unit) -> list[tuple[int, float]]:
            return [
                (level, days_until(end, phase))
                for phase in PHASES[unit.start :]
                for level in levels[name, phase]
            ]

        if unit.cartridge:
            mass, treats = unit.cartridge
            supply(mass, treats, fed, whole=True)
        if unit.expendables:
            supply(1.0, 1.0 / unit.expendables, fed, whole=False)
        if unit.upkeep:
            per_day = unit.upkeep / YEAR

            def served(end: float, name=name, unit=unit, per_day=per_day):
                service = sum(days_until(end, phase) for phase in PHASES[unit.start :])
                return [(units[name], per_day * service)]

            supply(1.0, 1.0, served, whole=False)
    for terms in payload[1:]:
        model.at_most(PAYLOAD, terms)

    # Reserves and their tanks.
    for name, (substance, reserve_days) in STORES.items():
        reserve = model.column(1.0 + TARE.get(name, 0.0))
        overboard = {flow for key, flows in into.items() if key[0] == OVERBOARD for flow in flows}
        for phase in PHASES:
            leaving = total(out, name, substance, phase, by=reserve_days)
            needed = [(flow, by) for flow, by in leaving if flow not in overboard]
            model.at_most(0.0, [*needed, (reserve, -1.0)])
        if name in TANKS:
            holds, mass = TANKS[name]
            model.at_most(0.0, [(reserve, 1.0), (model.column(mass, whole=True), -holds)])

    # Limits.
    for phase in PHASES:
        aboard = [(name, unit) for name, unit in UNITS.items() if unit.start <= phase]
        power = [(units[name], unit.power) for name, unit in aboard]
        power += [(level, CELL_POWER) for level in levels["cell stack", phase]]
        model.at_most(POWER, power)
        work = [(units[name], unit.crew_time / YEAR) for name, unit in aboard if unit.crew_time]
        model.at_most(CREW_TIME, work)
    model.at_most(VOLUME, [(units[name], unit.volume) for name, unit in UNITS.items()])
    stowed = [
        (flow, days[key[2]]) for key, flows in into.items() if key[0] == STOWED for flow in flows
    ]
    model.at_most(STOWAGE, stowed)
    return model.solve()


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--length", type=float, default=LENGTH)
    parser.add_argument("--sweep", nargs=3, type=float, metavar=("FROM", "BY", "POINTS"))
    parser.add_argument("--every", type=int, default=1)
    options = parser.parse_args()
    if not options.sweep:
        print(f"{launch_mass(options.length):.9f}")
        return
    start, step, points = options.sweep
    for point in range(0, int(points), options.every):
        length = start + point * step
        print(f"{length:.9g} {launch_mass(length):.9f}")


main()
